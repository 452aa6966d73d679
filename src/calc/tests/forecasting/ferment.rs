//! What the forecast of a ferment says.

use leesline_calc::Answer;

use super::{ask, between, caution, check_says};

fn ferment(readings: &str) -> Answer {
    ask(
        "ferment-fit",
        &[
            ("started", "2026-10-01"),
            ("start-sg", "1.090"),
            ("readings", readings),
        ],
    )
}

/// Readings alone are taken to begin with the first of them.
#[test]
fn readings_alone_begin_with_the_first() {
    let since = "2026-10-03:1.082, 2026-10-04:1.076, 2026-10-06:1.051";
    let whole = format!("2026-10-01:1.090, {since}");
    let alone = ask("ferment-fit", &[("readings", &whole)]);
    assert_eq!(alone.results, ferment(since).results);
    assert!(alone.assumptions.iter().any(|it| it.key == "start_sg"));
    assert!(
        ferment(since)
            .assumptions
            .iter()
            .all(|it| it.key != "start_sg")
    );
}

fn check_ferment(readings: &str, state: &str, has_a_day: bool) -> Answer {
    let answer = ferment(readings);
    assert_eq!(answer.results.text("state"), Some(state), "{readings}");
    for key in ["dry_date_low", "dry_date", "dry_date_high"] {
        assert_eq!(
            answer.results.text(key).is_some(),
            has_a_day,
            "{readings}: {key}"
        );
    }
    answer
}

#[test]
fn a_ferment_that_moves_has_a_day_and_one_that_is_stuck_has_none() {
    let two = check_ferment("2026-10-03:1.075, 2026-10-05:1.045", "moving", true);
    check_says(&two, "Two readings say little", true);
    let three = check_ferment(
        "2026-10-03:1.075, 2026-10-05:1.045, 2026-10-07:1.020",
        "moving",
        true,
    );
    check_says(&three, "Two readings say little", false);
    check_says(&three, "The end is assumed", true);

    let stuck = "2026-10-05:1.045, 2026-10-10:1.021, 2026-10-12:1.020, 2026-10-13:1.020";
    let stuck = check_ferment(stuck, "stuck", false);
    check_says(&stuck, "No day is given", true);

    let slow = check_ferment("2026-10-10:1.030, 2026-10-14:1.026", "sluggish", true);
    check_says(&slow, "while it still moves", true);
    check_says(&slow, "The day holds only if it goes on", true);
}

/// At 0.998 a hydrometer does not tell a dry wine from one that stopped, so it is not said to move.
#[test]
fn equal_readings_near_the_end_are_steady_and_ask_for_the_sugar() {
    let steady =
        "2026-10-06:1.060, 2026-10-11:1.020, 2026-10-18:1.002, 2026-11-01:0.998, 2026-11-11:0.998";
    let steady = check_ferment(steady, "steady", false);
    check_says(&steady, "Test its sugar; below 2 g/L it is dry", true);
    check_says(&steady, "It falls slower than", false);
}

/// What was read as the must was, or higher, has no day to be dry on.
#[test]
fn a_ferment_that_has_not_fallen_is_to_be_read_again() {
    for readings in [
        "2026-10-02:1.090, 2026-10-03:1.089",
        "2026-10-02:1.092, 2026-10-03:1.094, 2026-10-06:1.093",
        "2026-10-03:1.096, 2026-10-06:1.102",
        "2026-10-01:1.090",
    ] {
        let answer = check_ferment(readings, "not-fallen", false);
        check_says(&answer, "read it again tomorrow", true);
        check_says(&answer, "Two readings say little", false);
        check_says(&answer, "One reading since", false);
    }
}

/// It fell by 0.030 and rose: that it has not fallen is said of the days since.
#[test]
fn a_ferment_that_fell_and_rose_is_not_said_never_to_have_fallen() {
    let rose = check_ferment("2026-10-04:1.060, 2026-10-07:1.075", "not-fallen", false);
    check_says(&rose, "has not fallen by 0.003 since it rose", true);
    check_says(&rose, "it has not begun", false);
}

#[test]
fn readings_of_one_day_are_said_to_be_taken_as_one() {
    let works = |readings: &str| {
        let answer = check_ferment(readings, "moving", true);
        let steps = answer.working.into_iter();
        let steps = steps.filter(|it| it.step == "readings");
        steps.map(|it| it.sentence).collect::<Vec<_>>()
    };
    assert_eq!(
        works("2026-10-03:1.080, 2026-10-05:1.058, 2026-10-05:1.055, 2026-10-07:1.030"),
        ["2 readings of 2026-10-05 differ and are taken as one, their mean: 1.0565"]
    );
    let none: [&str; 0] = [];
    assert_eq!(works("2026-10-03:1.080, 2026-10-05:1.056"), none);
}

/// It fell by 0.016 in the last five days after a stand of four: by that rate 0.006 more, to 0.996, take two days, and a falling rate
/// no more than twice as many again.
#[test]
fn a_ferment_that_stood_still_and_falls_again_begins_anew() {
    let until = "2026-10-04:1.080, 2026-10-07:1.060, 2026-10-10:1.042, 2026-10-13:1.035, 2026-10-15:1.032, 2026-10-17:1.032, \
                 2026-10-19:1.032";
    check_says(&ferment(until), "falls again", false);
    check_ferment(until, "stuck", false);
    let since = "2026-10-23:1.030, 2026-10-26:1.018, 2026-10-31:1.002";
    let goes = check_ferment(&format!("{until}, {since}"), "moving", true);
    check_says(
        &goes,
        "It stood still at 1.032 until 2026-10-19 and falls again",
        true,
    );
    let day = |key| goes.results.text(key);
    assert!(day("dry_date_low") <= Some("2026-11-02"));
    assert!(day("dry_date_high") >= Some("2026-11-05"));
}

#[test]
fn one_reading_gives_no_day_and_odd_ones_a_wider_band_with_a_sentence() {
    let one = check_ferment("2026-10-03:1.080", "moving", false);
    check_says(&one, "One reading since its start gives no day", true);
    let at_the_start = check_ferment("2026-10-01:1.090, 2026-10-03:1.080", "moving", false);
    check_says(
        &at_the_start,
        "One reading since its start gives no day",
        true,
    );

    let wide = |answer: &Answer| {
        let of = |key| answer.number(key).expect(key);
        of("dry_days_high") - of("dry_days_low")
    };
    let even = check_ferment(
        "2026-10-03:1.080, 2026-10-05:1.056, 2026-10-07:1.030",
        "moving",
        true,
    );
    check_says(&even, "a little higher than before", false);
    let wavers = "2026-10-03:1.062, 2026-10-04:1.066, 2026-10-05:1.066, 2026-10-07:1.030";
    let wavers = check_ferment(wavers, "moving", true);
    check_says(&wavers, "a little higher than before", true);
    assert!(wide(&wavers) > wide(&even));

    let rose = "2026-10-04:1.040, 2026-10-05:1.060, 2026-10-07:1.045, 2026-10-09:1.030";
    let rose = check_ferment(rose, "moving", true);
    check_says(&rose, "rose from 1.040 to 1.060 on 2026-10-05", true);
    assert!(rose.results.text("dry_date_low") > Some("2026-10-09"));

    let year = check_ferment("2026-10-05:1.056, 2027-10-05:0.995", "dry", true);
    check_says(&year, "More than a month lies between", true);
    assert_eq!(year.results.text("dry_date_low"), Some("2026-10-05"));
    assert_eq!(year.results.text("dry_date_high"), Some("2027-10-05"));
    let year = check_ferment("2026-10-05:1.056, 2027-10-05:1.020", "sluggish", false);
    check_says(&year, "it should be dry, and it is not", true);
    check_says(&year, "The day holds", false);
}

#[test]
fn cold_puts_the_day_off_and_is_said() {
    let at = |celsius| {
        ask(
            "ferment-fit",
            &[
                ("started", "2026-10-01"),
                ("start-sg", "1.090"),
                ("readings", "2026-10-03:1.082, 2026-10-04:1.076"),
                ("temperature", celsius),
            ],
        )
    };
    let (cold, warm) = (at("13"), at("24"));
    let days = |answer: &Answer| answer.number("dry_days").expect("it moves");
    assert!(
        days(&cold) > days(&warm) + 1.0,
        "{} {}",
        days(&cold),
        days(&warm)
    );
    check_says(&cold, "may only sleep", true);
    check_says(&warm, "may only sleep", false);
}

#[test]
fn a_dry_wine_was_so_between_two_readings_and_is_not_proved_so() {
    let dry = check_ferment(
        "2026-10-08:1.004, 2026-10-14:0.996, 2026-10-20:0.995",
        "dry",
        true,
    );
    assert_eq!(dry.results.text("dry_date_low"), Some("2026-10-08"));
    assert_eq!(dry.results.text("dry_date"), Some("2026-10-14"));
    check_says(&dry, "cannot prove a wine dry", true);
    check_says(&dry, "the bottle bursts", true);
}

#[test]
fn a_curve_that_is_long_past_its_end_gives_no_day() {
    let late = check_ferment(
        "2026-10-04:1.040, 2026-10-07:1.000, 2026-12-01:0.997",
        "moving",
        false,
    );
    check_says(&late, "it should be dry, and it is not", true);
}

#[test]
fn an_end_that_is_known_is_taken_and_not_assumed() {
    let given = [
        ("started", "2026-10-01"),
        ("start-sg", "1.090"),
        (
            "readings",
            "2026-10-03:1.075, 2026-10-05:1.045, 2026-10-07:1.020",
        ),
        ("final-sg", "1.010"),
    ];
    let sweet = ask("ferment-fit", &given);
    check_says(&sweet, "The end is assumed", false);
    assert!(sweet.assumptions.iter().all(|it| it.key != "final_sg"));
    let days = |answer: &Answer| answer.number("dry_days").expect("it moves");
    assert!(days(&sweet) < days(&ferment(given[2].1)));
}

#[test]
fn the_next_reading_of_a_ferment_narrows_as_it_is_said_to() {
    let readings = "2026-10-03:1.080, 2026-10-05:1.056";
    let before = check_ferment(readings, "moving", true);
    let said = caution(&before, "Between early and late");
    let wide = |answer: &Answer| {
        let of = |key| answer.number(key).expect(key);
        let days = of("dry_days_high") - of("dry_days_low");
        if days < 10.0 {
            format!("{days:.1}")
        } else {
            format!("{days:.0}")
        }
    };
    assert_eq!(between(said, "lie ", " days"), wide(&before));
    let found = between(said, "a reading on 2026-10-06 that finds ", " would");
    let after = check_ferment(&format!("{readings}, 2026-10-06:{found}"), "moving", true);
    assert!(
        said.ends_with(&format!(" would make it {}.", wide(&after))),
        "{said}"
    );
    // A stuck ferment has no day to narrow, nor has one that was read dry.
    for (readings, state) in [
        (
            "2026-10-10:1.020, 2026-10-12:1.020, 2026-10-14:1.020",
            "stuck",
        ),
        (
            "2026-10-08:1.004, 2026-10-14:0.996, 2026-10-20:0.995",
            "dry",
        ),
    ] {
        let answer = check_ferment(readings, state, state == "dry");
        check_says(&answer, "Between early and late", false);
    }
}
