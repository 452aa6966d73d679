//! What the two forecasts say in words: when they know little, when they begin anew, and when they give no day.

use leesline_calc::Answer;
use leesline_calc::quantity::Units;
use leesline_calc::registry;

fn ask(calc: &str, given: &[(&str, &str)]) -> Answer {
    registry::find(calc)
        .expect(calc)
        .ask(given, &Units::default())
        .unwrap_or_else(|refusal| panic!("{given:?}: {refusal}"))
}

/// Whether an answer warns in these words.
fn check_says(answer: &Answer, words: &str, expected: bool) {
    let says = answer.cautions.iter().any(|it| it.sentence.contains(words));
    assert_eq!(says, expected, "{words}: {:?}", answer.cautions);
}

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

fn sulfite(readings: &str) -> Answer {
    ask(
        "so2-forecast",
        &[("readings", readings), ("target-free-so2", "20")],
    )
}

#[test]
fn a_forecast_of_sulfite_says_what_it_rests_on() {
    let one = sulfite("2026-01-10:35");
    check_says(&one, "One test says where the wine stands", true);
    let two = sulfite("2026-01-10:35, 2026-02-09:31");
    check_says(&two, "One test says where the wine stands", false);
    check_says(&two, "taken as an addition", false);
    let early = two.results.text("date_low").expect("there is a day");
    check_says(&two, &format!("Test again by {early}"), true);

    let dosed = sulfite("2026-01-10:30, 2026-02-09:22, 2026-02-12:38");
    check_says(&dosed, "begins with the test of 2026-02-12", true);
    check_says(&sulfite("2026-01-10:12"), "below 20 mg/L already", true);
    let odd = sulfite("2026-01-10:40, 2026-02-09:22, 2026-03-11:28, 2026-04-10:27");
    check_says(&odd, "further off than a test errs", true);
}

/// Days between the dates of one wine in ten and of nine, on the test's aim.
fn width(answer: &Answer) -> f64 {
    let days = |key| answer.number(key).expect(key);
    days("days_high") - days("days_low")
}

#[test]
fn fewer_tests_give_a_wider_band() {
    let tests = ["2026-01-10:32", "2026-03-01:28", "2026-05-15:24"];
    let widths: Vec<f64> = (1..=3)
        .map(|count| width(&sulfite(&tests[..count].join(", "))))
        .collect();
    assert!(
        widths.is_sorted_by(|one, next| one > next),
        "{widths:?} of one, two and three tests"
    );
}

/// The days from early to late, as far as both are known: of a fall of which nobody knows since when they have no end.
fn span(tests: &[(i64, f64)], aim: &str) -> f64 {
    let first = leesline_calc::day::Day::parse("2024-01-01")
        .expect("it is a day")
        .0;
    let typed: Vec<String> = tests
        .iter()
        .map(|it| {
            format!(
                "{}:{:.1}",
                leesline_calc::day::Day(first + it.0 as f64),
                it.1
            )
        })
        .collect();
    let answer = ask(
        "so2-forecast",
        &[("readings", &typed.join(", ")), ("target-free-so2", aim)],
    );
    let day = |key| leesline_calc::day::Day::parse(answer.results.text(key)?).map(|it| it.0);
    let [low, high] = ["date_low", "date_high"].map(day);
    let high = high.expect("by when is always known");
    low.map_or(f64::INFINITY, |low| high - low)
}

/// Of wines that lose as much as is usual in a carboy or more (0.4 to 1.5 % a day), whatever they have left: any one test less, be
/// it the first, the last or one between, and the days from early to late are no fewer. (They shift with
/// what is left, which the other tests may find a little higher or lower: by less than a twentieth.)
#[test]
fn any_test_less_gives_no_narrower_days() {
    for per_day in [0.004, 0.007, 0.015] {
        for begun in [50.0, 35.0, 24.0, 21.0, 15.0] {
            for each in [10, 30, 90] {
                let tests: Vec<(i64, f64)> = (0..5)
                    .map(|at| (at * each, begun * (-per_day * (at * each) as f64).exp()))
                    .collect();
                for count in 2..=5 {
                    let all = span(&tests[..count], "20");
                    for without in 0..count {
                        let mut fewer = tests[..count].to_vec();
                        fewer.remove(without);
                        let wide = span(&fewer, "20");
                        assert!(
                            wide >= 0.95 * all,
                            "{wide} without the test {without} of {:?}, {all} with it",
                            &tests[..count]
                        );
                    }
                }
            }
        }
    }
}

/// From 40 to 12 mg/L in 1,230 days is 0.098 % a day, which one carboy in a hundred loses: a slow fall and no dose, and 20 were
/// passed between the two tests. Below at its only test, or at its first, nobody knows since when.
#[test]
fn a_gap_of_years_gives_years_and_no_day() {
    let years = sulfite("2023-01-01:40, 2026-05-15:12");
    check_says(&years, "taken as an addition", false);
    check_says(&years, "most of a year", true);
    let date = |answer: &Answer, key| answer.results.text(key).map(str::to_owned);
    let low = date(&years, "date_low").expect("it was enough once");
    let high = date(&years, "date_high").expect("it is too little now");
    assert!(*"2023-01-01" <= *low && *low < *"2024-09-01", "{low}");
    assert!(*"2025-01-01" < *high && *high <= *"2026-05-15", "{high}");
    for below in ["2026-05-15:12", "2026-01-10:15, 2026-05-15:12"] {
        let below = sulfite(below);
        assert_eq!(date(&below, "date_low"), None);
        assert_eq!(date(&below, "date"), None);
        check_says(&below, "or before, and since when is not known", true);
    }
    // What one test cannot tell from too little may be too little since any day.
    let near = sulfite("2026-01-10:21");
    assert_eq!(date(&near, "date_low"), None);
    check_says(&near, "below 20 mg/L already: test again now", true);
    // A curve that no wine follows: enough on one day and too little four days later.
    let sudden = sulfite("2026-01-10:40, 2026-01-14:12");
    assert_eq!(date(&sudden, "date_low").as_deref(), Some("2026-01-10"));
    assert_eq!(date(&sudden, "date"), None);
    assert_eq!(date(&sudden, "date_high").as_deref(), Some("2026-01-14"));
    check_says(&sudden, "some day between 2026-01-10 and 2026-01-14", true);
}

/// Two tests of one day say as much as their mean that errs by less: 32 and 30 ± 2.5 are 31 ± 1.77.
#[test]
fn two_tests_of_a_day_are_both_evidence() {
    let free = |readings: &str| {
        let answer = sulfite(readings);
        ["free_so2_mg_l_low", "free_so2_mg_l", "free_so2_mg_l_high"]
            .map(|it| answer.number(it).expect("it is said"))
    };
    let both = free("2026-01-10:32, 2026-01-10:30");
    let expected = [-1.281_55, 0.0, 1.281_55].map(|it| 31.0 + it * 2.5 / 2.0_f64.sqrt());
    for (found, expected) in both.into_iter().zip(expected) {
        assert!((found - expected).abs() < 0.02, "{both:?}");
    }
}

/// One a week for ten years.
#[test]
fn as_many_tests_are_taken_as_anyone_makes() {
    let first = leesline_calc::day::Day::parse("2016-01-01")
        .expect("it is a day")
        .0;
    let typed: Vec<String> = (0..520)
        .map(|at| {
            format!(
                "{}:{:.1}",
                leesline_calc::day::Day(first + 7.0 * f64::from(at)),
                60.0 - 0.05 * f64::from(at)
            )
        })
        .collect();
    let answer = sulfite(&typed.join(", "));
    assert!(answer.results.text("date_high").is_some());
}

fn dosed(readings: &str, additions: &str) -> Answer {
    let given = [
        ("readings", readings),
        ("additions", additions),
        ("target-free-so2", "20"),
    ];
    ask("so2-forecast", &given)
}

/// A third of 30 mg/L gets bound (common practice): 20 more are free on the day it is given.
#[test]
fn an_addition_begins_a_stretch_of_what_was_left_and_what_stays_free() {
    let two = "2026-01-10:30, 2026-02-09:26";
    let free = |answer: &Answer| answer.number("free_so2_mg_l").expect("it is said");
    let before = sulfite(two);
    let after = dosed(two, "2026-02-09:30");
    let more = free(&after) - free(&before);
    assert!((more - 20.0).abs() < 1.0, "{more}");
    check_says(&after, "taken as an addition", false);
    // What was learned of the rate stays.
    let rate = |answer: &Answer| answer.number("rate_per_day").expect("it is said");
    assert!((rate(&after) / rate(&before) - 1.0).abs() < 1e-9);
    // A rise that the addition explains is none that nobody wrote down.
    let tested = dosed("2026-01-10:22, 2026-02-20:40", "2026-02-09:30");
    check_says(&tested, "taken as an addition", false);
    check_says(&tested, "counts half as sure", false);
    let soon = dosed("2026-01-10:22, 2026-02-10:40", "2026-02-09:30");
    check_says(&soon, "counts half as sure", true);
}

/// The first test that finds no more than its limit says anything down to nothing: of 10 the tenths are nothing and 10, and a dose
/// of 30 that keeps 20 free is 25. After 32 mg/L it is likely just under its limit, within what a test errs (2.5), and the rate is
/// taken to be faster than before.
#[test]
fn a_test_below_its_limit_is_anything_down_to_nothing_and_evidence_of_the_rate() {
    let free = |answer: &Answer| answer.number("free_so2_mg_l").expect("it is said");
    let limit = sulfite("2026-03-01:<10");
    assert!((free(&limit) - 5.0).abs() < 0.1, "{}", free(&limit));
    check_says(&limit, "found less than 10 mg/L", true);
    check_says(&limit, "below 20 mg/L already", true);
    let band = |key| limit.number(key).expect(key);
    assert!(band("free_so2_mg_l_low").abs() < 0.1);
    assert!((band("free_so2_mg_l_high") - 10.0).abs() < 0.1);
    let given = dosed("2026-03-01:<10 mg/L", "2026-03-01:30");
    assert!((free(&given) - 25.0).abs() < 1.0, "{}", free(&given));
    let fast = sulfite("2026-01-10:32, 2026-03-01:<10");
    assert!(
        free(&fast) > 5.0 && free(&fast) < 10.0 + 2.5,
        "{}",
        free(&fast)
    );
    let rate = |answer: &Answer| answer.number("rate_per_day").expect("it is said");
    assert!(rate(&fast) > 1.5 * rate(&sulfite("2026-01-10:32")));
}

/// One test, tests that go up, a gap of a year: the band is wider than of an even series, and a sentence says why.
#[test]
fn an_odd_series_is_said_to_be_odd() {
    let even = sulfite("2026-01-10:30, 2026-02-09:27, 2026-03-11:25");
    let up = sulfite("2026-01-10:25, 2026-02-09:28, 2026-03-11:32");
    check_says(&even, "go up, or scatter", false);
    check_says(&up, "go up, or scatter", true);
    let gap = sulfite("2026-01-10:45, 2027-02-09:25");
    check_says(&gap, "most of a year", true);
    check_says(&even, "most of a year", false);
    for odd in [sulfite("2026-01-10:30"), up] {
        assert!(width(&odd) > width(&even));
    }
}

#[test]
fn the_other_constant_has_days_of_its_own() {
    let given = [("readings", "2026-01-10:35"), ("ph", "3.4")];
    let answer = ask("so2-forecast", &given);
    let other = answer.other_constant.as_ref().expect("a pH was given");
    // The OIV's constant is the higher one in wine, so it asks for less and the wine keeps longer.
    assert!(other.number("target_free_so2_mg_l") < answer.number("target_free_so2_mg_l"));
    assert!(other.text("date") > answer.results.text("date"));
}

/// The caution that begins so.
fn caution<'a>(answer: &'a Answer, begins: &str) -> &'a str {
    let mut all = answer.cautions.iter().map(|it| &*it.sentence);
    all.find(|it| it.starts_with(begins))
        .unwrap_or_else(|| panic!("{:#?}", answer.cautions))
}

/// What is between two parts of a sentence.
fn between<'a>(sentence: &'a str, before: &str, after: &str) -> &'a str {
    let (_, rest) = sentence.split_once(before).expect(sentence);
    rest.split_once(after).expect(sentence).0
}

/// A test that is promised to narrow the days does so by as much once it is made.
#[test]
fn the_next_test_of_sulfite_narrows_as_it_is_said_to() {
    let readings = "2026-01-10:32, 2026-03-01:24, 2026-05-15:18";
    let told = |readings: &str, on: Option<&str>| {
        let mut given = vec![
            ("readings", readings),
            ("ph", "3.4"),
            ("target-molecular", "0.5"),
        ];
        given.extend(on.map(|it| ("on", it)));
        ask("so2-forecast", &given)
    };
    let first = told("2026-01-10:32", None);
    let day = first.results.text("date_low").unwrap();
    let said = caution(&first, &format!("A test on {day} that finds "));
    let free = told("2026-01-10:32", Some(day))
        .number("free_so2_mg_l")
        .unwrap();
    let tested = told(&format!("2026-01-10:32, {day}:{free}"), None);
    let [low, high] = ["date_low", "date_high"].map(|it| tested.results.text(it).unwrap());
    assert!(said.ends_with(&format!(": {low} to {high}.")), "{said}");
    let [low, high] =
        ["free_so2_mg_l_low", "free_so2_mg_l_high"].map(|it| tested.number(it).unwrap());
    let promised = between(said, " mg/L to ", ",");
    assert_eq!(promised, format!("{low:.1}–{high:.1}"), "{said}");
    // Below already, nothing but the figure itself is left to narrow; a day asked for is the day of the test.
    let below = told(readings, Some("2026-12-01"));
    let said = caution(&below, "A test on 2026-12-01 that finds ");
    assert!(!said.contains("days"), "{said}");
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

/// 32 mg/L are enough and nothing is too little, and no curve that is usual goes from one to the other: it was between the two tests,
/// and on which day nobody knows.
#[test]
fn a_fall_that_no_course_explains_was_on_any_day_between_its_two_tests() {
    for next in ["0, 2026-05-01:0", "5"] {
        let readings = format!("2026-01-10:32, 2026-03-01:{next}");
        let given = [
            ("readings", readings.as_str()),
            ("target-free-so2", "20"),
            ("keeping", "carboy-airlock"),
        ];
        let answer = ask("so2-forecast", &given);
        let date = |key| answer.results.text(key).map(str::to_owned);
        assert_eq!(date("date_low").as_deref(), Some("2026-01-10"), "{next}");
        assert_eq!(date("date_high").as_deref(), Some("2026-03-01"), "{next}");
        assert_eq!(date("date"), None, "{next}");
    }
}

/// 30 after 32 is no rise, though after a year and a third it is more than was left; 40 after 32 is one.
#[test]
fn what_fell_is_not_called_a_rise() {
    for (last, rises) in [("30", false), ("40", true)] {
        let answer = sulfite(&format!("2025-01-10:32, 2026-05-15:{last}"));
        check_says(&answer, "A rise of more than", rises);
        check_says(&answer, "something that is not written down", !rises);
    }
}
