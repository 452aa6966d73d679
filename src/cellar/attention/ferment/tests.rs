use leesline_calc::quantity::Units;
use leesline_calc::registry;

use super::super::trial::{Cellar, NOW, days_ago, policy};
use super::super::{ReasonKind, attention};
use super::*;
use crate::cellar::attention::words;
use crate::cellar::entry::Property;

mod anew;

/// Pitched so many days ago, with gravities by days ago.
fn must(pitched: i64, gravities: &[(i64, f64)]) -> Cellar {
    let mut cellar = Cellar::with_vessel(23.0, 22.9);
    cellar.did(Deed::Pitched, pitched).did(Deed::Degassed, 20);
    cellar.gravities(gravities);
    cellar
}

fn goes(cellar: &Cellar) -> Option<Fermentation> {
    cellar.holding(&policy()).fermentation()
}

/// State, and the words on the board.
fn check_board(pitched: i64, gravities: &[(i64, f64)], expected: Option<(&str, &str)>) {
    let found = goes(&must(pitched, gravities));
    let words = found.map(|it| (it.state.word(), it.words()));
    let words = words.as_ref().map(|it| (it.0, it.1.as_str()));
    assert_eq!(words, expected, "{gravities:?}");
}

/// Rank and sentence of the reason of that kind.
fn check(kind: ReasonKind, pitched: i64, gravities: &[(i64, f64)], expected: &str) {
    let cellar = must(pitched, gravities);
    assert_eq!(cellar.says_why(kind), expected, "{gravities:?}");
}

/// Whether a line of evidence says that.
#[track_caller]
fn check_says(cellar: &Cellar, words: &str, expected: bool) {
    let policy = policy();
    let holding = cellar.holding(&policy);
    let lines = holding
        .fermentation()
        .unwrap_or_else(|| panic!("{words}"))
        .evidence(&holding);
    let says = lines.iter().any(|it| it.contains(words));
    assert_eq!(says, expected, "{words}: {lines:#?}");
}

const FALLING: [(i64, f64); 4] = [(7, 1.089), (4, 1.070), (2, 1.047), (1, 1.034)];
const STUCK: [(i64, f64); 5] = [(10, 1.090), (6, 1.050), (3, 1.021), (1, 1.021), (0, 1.020)];

#[test]
fn the_board_says_when_it_is_dry() {
    check_board(10, &STUCK, Some(("stuck", "stuck at 1.020")));
    // One reading says no day, and none nothing at all.
    check_board(6, &FALLING[..2], Some(("moving", "")));
    check_board(6, &FALLING[..1], None);
    check_board(6, &[], None);
}

/// Read as the must was, or a little higher, it claims no day.
#[test]
fn what_has_not_fallen_claims_no_day() {
    let expected = Some(("not-fallen", "not fallen yet"));
    check_board(2, &[(2, 1.090), (1, 1.090), (0, 1.089)], expected);
    check_board(2, &[(2, 1.090), (1, 1.092), (0, 1.094)], expected);
    check_board(5, &[(5, 1.090), (3, 1.091), (0, 1.093)], expected);
    let rises = must(2, &[(2, 1.090), (1, 1.092), (0, 1.094)]);
    check_says(&rises, "Shake the gas out and read it again", true);
    check_says(&rises, "curves laid", false);
    assert_eq!(goes(&rises).unwrap().gravity_at(NOW), None);
    // Of a must that nobody measured the first reading is the highest known.
    check_board(6, &[(4, 1.110), (2, 1.109)], expected);
    check_board(6, &[(4, 1.110)], expected);
    let falls = goes(&must(6, &[(4, 1.110), (2, 1.095)])).unwrap();
    assert_eq!(falls.state, State::Moving);
}

/// Of a day that is not given nothing is said, and what fell and rose has not fallen since.
#[test]
fn no_day_that_is_not_given_is_said_to_hold() {
    let at_20 = |days: i64, readings: &[(i64, f64)]| {
        let mut cellar = must(days, readings);
        cellar.knows(Property::Temperature, 20.0, 0);
        cellar
    };
    let holds = "the day holds while it stays so";
    check_says(&at_20(6, &FALLING), holds, true);
    check_says(&at_20(10, &STUCK), holds, false);
    check_says(&at_20(6, &FALLING[..2]), holds, false);
    let rose = at_20(6, &[(6, 1.090), (3, 1.060), (1, 1.075), (0, 1.074)]);
    check_says(&rose, holds, false);
    check_says(&rose, "not fallen by 0.003 since it rose", true);
    check_says(&rose, "it has not begun", false);
}

#[test]
fn two_readings_of_one_moment_are_said_to_be_taken_as_one() {
    let twice = must(6, &[(6, 1.090), (4, 1.070), (2, 1.050), (2, 1.046)]);
    check_says(
        &twice,
        "2 readings of one moment, on 23 Nov 2026, differ and are taken as one, their mean: 1.0480.",
        true,
    );
    check_says(&must(6, &FALLING), "of one moment", false);
}

/// What the calculator says of the same readings.
#[test]
fn the_board_says_the_days_that_the_calculator_does() {
    let day = |days: i64| NOW.plus_days(-days).date().to_string();
    let readings = FALLING[1..]
        .iter()
        .map(|it| format!("{}:{}", day(it.0), it.1));
    let given = [
        ("started", day(6)),
        ("start-sg", "1.089".to_owned()),
        ("readings", readings.collect::<Vec<_>>().join(", ")),
    ];
    let given = given.each_ref().map(|it| (it.0, it.1.as_str()));
    let calculator = registry::find("ferment-fit").unwrap();
    let answer = calculator.ask(&given, &Units::default()).unwrap();
    let ferment = goes(&must(6, &FALLING)).unwrap();
    let dry = ferment.dry.unwrap();
    for (key, day) in [
        ("dry_date_low", dry.low),
        ("dry_date", dry.mid),
        ("dry_date_high", dry.high),
    ] {
        // Readings of the cellar have an hour, 18:00 here, and the calculator counts whole days.
        let hours_before = Moment {
            utc_ms: day.utc_ms - 18 * 3_600_000,
            ..day
        };
        let expected = answer.results.text(key).unwrap();
        assert_eq!(hours_before.date().to_string(), expected, "{key}");
    }
    assert_eq!(ferment.words(), format!("dry {}", dry.words()));
    assert_eq!(answer.results.text("state"), Some(ferment.state.word()));
}

#[test]
fn a_band_names_a_month_once_where_it_can() {
    let check = |from: i64, to: i64, expected: &str| {
        let dry = DryDay {
            low: NOW.plus_days(from),
            mid: NOW.plus_days(i64::midpoint(from, to)),
            high: NOW.plus_days(to),
        };
        assert_eq!(dry.words(), expected);
    };
    check(1, 4, "~27 Nov (26–29 Nov)");
    check(4, 10, "~2 Dec (29 Nov–5 Dec)");
    check(3, 3, "~28 Nov (28 Nov)");
}

#[test]
fn no_yeast_written_down_begins_with_the_first_reading() {
    let mut wild = Cellar::with_vessel(23.0, 22.9);
    wild.gravities(&FALLING);
    let dry = goes(&wild).unwrap().dry.unwrap();
    let pitched = goes(&must(7, &FALLING)).unwrap().dry.unwrap();
    assert!(dry.mid.days_since(pitched.mid).abs() <= 1);
}

#[test]
fn a_must_nobody_measured_has_a_wider_band() {
    let wide = |cellar: &Cellar| {
        let dry = goes(cellar).unwrap().dry.unwrap();
        dry.high.utc_ms - dry.low.utc_ms
    };
    let unread = must(6, &FALLING[1..3]);
    check_says(&unread, "Its start is taken as 1.090", true);
    check_says(&unread, "Two readings say little", true);
    let read = must(6, &FALLING[..3]);
    check_says(&read, "Its start is taken", false);
    assert!(wide(&unread) > wide(&read));
    check_says(&must(6, &FALLING), "Two readings say little", false);
}

#[test]
fn odd_readings_give_a_sentence_and_no_day_that_is_past() {
    let year = must(400, &[(400, 1.090), (395, 1.050), (1, 1.020)]);
    // Nobody knows what went on for a year: by time it is taken as over, and nothing is foretold.
    assert!(goes(&year).is_none_or(|it| it.dry.is_none()));
    let one_moment = must(3, &[(3, 1.090), (1, 1.060), (1, 1.060), (1, 1.060)]);
    check_says(
        &one_moment,
        "One reading since the start gives no day",
        true,
    );
    let wavers = must(6, &[(6, 1.090), (4, 1.066), (3, 1.069), (1, 1.040)]);
    check_says(&wavers, "gas lifts a hydrometer", true);
    for cellar in [&wavers, &must(0, &[(0, 1.090); 3])] {
        let dry = goes(cellar).and_then(|it| it.dry);
        assert!(dry.is_none_or(|it| it.low.utc_ms > days_ago(1)));
    }
}

#[test]
fn cold_is_said_and_puts_the_day_off() {
    let at = |celsius| {
        let mut cellar = must(6, &FALLING[..3]);
        cellar.knows(Property::Temperature, celsius, 2);
        cellar
    };
    check_says(&at(12.0), "may only sleep", true);
    check_says(&at(20.0), "may only sleep", false);
    check_says(&must(6, &FALLING), "was not measured", true);
    let mid = |celsius| goes(&at(celsius)).unwrap().dry.unwrap().mid;
    assert!(mid(12.0) > mid(25.0));
    let mut asleep = must(10, &STUCK);
    asleep.knows(Property::Temperature, 11.0, 1);
    let said = asleep.says_why(ReasonKind::Stuck);
    assert_eq!(
        said,
        "! stands still at 1.020 and 11 °C: test its sugar, then warm it"
    );
}

#[test]
fn a_ferment_that_stands_still_is_stuck_and_says_what_to_do_in_order() {
    let kind = ReasonKind::Stuck;
    check(
        kind,
        10,
        &STUCK,
        "! stands still at 1.020: stuck, test its sugar",
    );
    check(
        kind,
        40,
        &[(18, 1.012), (10, 1.012), (1, 1.012)],
        "! steady at 1.012 for 18 days, not finished: stuck, test its sugar",
    );
    check(
        kind,
        10,
        &[(10, 1.090), (4, 1.036), (2, 1.032), (1, 1.030)],
        "",
    );
    // The yeast has not begun yet: must measured thrice on the day it was pitched.
    check(kind, 0, &[(4, 1.090), (2, 1.090), (0, 1.090)], "");
    let working = must(10, &STUCK).working(kind);
    let at = |words: &str| working.iter().position(|it| it.contains(words));
    let steps = [
        "test the sugar",
        "Warmth:",
        "Rouse the yeast",
        "Nutrient only early",
        "Restart",
    ];
    let order: Vec<usize> = steps.iter().filter_map(|it| at(it)).collect();
    assert_eq!(order.len(), steps.len(), "{working:#?}");
    assert!(order.is_sorted());
    assert!(at("Never sorbate").is_some());
    for line in &working[order[0]..=order[4]] {
        assert!(
            line.contains("common practice") || line.contains("Bisson"),
            "{line}"
        );
    }
}

/// Left alone a stuck ferment is no less stuck: what it asks first is to be read again.
#[test]
fn what_stood_still_is_not_let_go_because_nobody_reads_it() {
    let stood = |days: i64| STUCK.map(|(day, sg)| (day + days, sg));
    let check_at =
        |days: i64, expected: &str| check(ReasonKind::Stuck, 10 + days, &stood(days), expected);
    check_at(0, "! stands still at 1.020: stuck, test its sugar");
    check_at(21, "! stands still at 1.020: stuck, test its sugar");
    check_at(
        22,
        "! stood still at 1.020 22 days ago and not read since: measure it",
    );
    check_at(
        100,
        "! stood still at 1.020 3 months ago and not read since: measure it",
    );
}

#[test]
fn slow_is_called_slow() {
    let kind = ReasonKind::Sluggish;
    check(
        kind,
        12,
        &[(12, 1.090), (6, 1.050), (3, 1.032), (0, 1.028)],
        "› slow: 1.028, falls 0.0013 a day",
    );
    check(
        kind,
        4,
        &[(4, 1.090), (0, 1.089)],
        "› hardly begun, 4 days on: 1.089",
    );
    check(kind, 6, &FALLING, "");
}

#[test]
fn an_expected_dry_day_is_something_to_look_at() {
    let kind = ReasonKind::DryDue;
    let ferment = goes(&must(6, &FALLING)).unwrap();
    let words = ferment.words();
    check(kind, 6, &FALLING, &format!("  ferments, {words}"));
    let passed: Vec<(i64, f64)> = FALLING.iter().map(|it| (it.0 + 15, it.1)).collect();
    let passed = must(21, &passed);
    let words = goes(&passed).unwrap().dry.unwrap().words();
    assert_eq!(
        passed.says_why(kind),
        format!("› dry by forecast {words}, last read 1.034")
    );
    // A reading of today settles it for today.
    let mut read = passed;
    read.gravities(&[
        (22, 1.089),
        (19, 1.070),
        (17, 1.047),
        (16, 1.034),
        (0, 1.001),
    ]);
    assert!(!read.says_why(kind).starts_with('›'));
}

fn unfinished(pitched: i64, gravities: &[(i64, f64)], expected: &str) {
    check(ReasonKind::Unfinished, pitched, gravities, expected);
}

#[test]
fn a_ferment_long_begun_is_measured() {
    unfinished(30, &[], "› 30 days since the yeast, gravity never measured");
    unfinished(
        30,
        &[(30, 1.090), (20, 1.010)],
        "› gravity 1.010 20 days ago, not yet shown finished",
    );
    unfinished(12, &[], "");
    unfinished(30, &[(30, 1.090), (2, 1.010)], "");
}

#[test]
fn dry_but_not_yet_three_times_is_worth_knowing() {
    unfinished(
        60,
        &[(60, 1.090), (40, 0.995)],
        "  gravity 0.995 40 days ago, not yet shown finished",
    );
    unfinished(60, &[(40, 0.995), (30, 0.995), (20, 0.995)], "");
}

/// The gate calls it stuck until its sugar is tested, so the board says so at once.
#[test]
fn steady_above_a_dry_gravity_asks_for_a_test_of_its_sugar() {
    let steady = [(40, 1.090), (21, 0.998), (10, 0.998), (0, 0.998)];
    unfinished(
        40,
        &steady,
        "› steady at 0.998 for 21 days, not shown dry: test its sugar",
    );
    let reason = must(40, &steady).reason(ReasonKind::Unfinished).unwrap();
    assert_eq!(reason.suggestion.verb, "measure");
    assert_eq!(reason.suggestion.needs, ["sugar"]);
    // Two readings, or less than two weeks, show nothing yet; at 0.996 it is dry by gravity.
    unfinished(40, &[(40, 1.090), (21, 0.998), (0, 0.998)], "");
    unfinished(40, &[(40, 1.090), (12, 0.998), (6, 0.998), (0, 0.998)], "");
    unfinished(40, &[(40, 1.090), (21, 0.996), (10, 0.996), (0, 0.996)], "");
    // Tested, whatever was found, or sweetened: it is known or meant.
    let says = |build: &dyn Fn(&mut Cellar)| {
        let mut cellar = must(40, &steady);
        build(&mut cellar);
        cellar.says_why(ReasonKind::Unfinished)
    };
    assert_eq!(says(&|it| _ = it.knows(Property::Sugar, 1.0, 0)), "");
    assert_eq!(says(&|it| _ = it.knows(Property::Sugar, 5.0, 0)), "");
    assert_ne!(says(&|it| _ = it.knows(Property::Sugar, 5.0, 30)), "");
    assert_eq!(says(&|it| _ = it.did(Deed::Sweetened, 0)), "");
}

#[test]
fn a_ferment_has_one_reason_at_a_time() {
    for gravities in [&FALLING[..], &STUCK[..], &FALLING[..2], &[]] {
        let all = attention(&must(8, gravities).0, &policy());
        let kinds = [
            ReasonKind::Stuck,
            ReasonKind::Sluggish,
            ReasonKind::DryDue,
            ReasonKind::Unfinished,
        ];
        assert!(all.iter().filter(|it| kinds.contains(&it.kind)).count() <= 1);
    }
}

#[test]
fn the_chart_has_a_band_that_falls_to_its_end() {
    let expected = goes(&must(6, &FALLING)).unwrap().expected();
    assert!(
        expected
            .iter()
            .all(|it| it.low <= it.mid && it.mid <= it.high)
    );
    let (first, last) = (expected[0], expected[expected.len() - 1]);
    assert!(first.low > 1.075 && first.high < 1.092, "{first:?}");
    assert!(last.mid < 0.9965 && last.high < 1.002, "{last:?}");
    assert!(goes(&must(6, &FALLING[..2])).unwrap().expected().is_empty());
}

/// The reading that is promised to narrow the days does so by as much once it is made.
#[test]
fn the_next_reading_narrows_as_it_was_said_to() {
    let said = |cellar: &Cellar| {
        let policy = policy();
        let holding = cellar.holding(&policy);
        let said = holding.fermentation()?.next_reading(&holding)?;
        let word = |before: &str| said.split(before).nth(1)?.split([' ', ';']).next();
        let is: f64 = word("dry lie ")?.parse().ok()?;
        let found: f64 = word("that finds ")?.parse().ok()?;
        let then = word("make it ")?.strip_suffix('.')?.parse::<f64>().ok()?;
        Some((is, found, then))
    };
    let check = |gravities: &[(i64, f64)]| {
        let (is, found, then) = said(&must(6, gravities)).unwrap();
        assert!(then < is, "{then} is no less than {is}");
        let made = must(6, &[gravities, &[(0, found)]].concat());
        let dry = goes(&made).unwrap().dry.unwrap();
        let days = (dry.high.utc_ms - dry.low.utc_ms) as f64 / DAY_MS;
        let off = if days < 10.0 { 0.051 } else { 0.51 };
        assert!((days - then).abs() <= off, "{days} is not {then}");
    };
    check(&FALLING);
    check(&FALLING[1..]);
    // Of one reading no day can be said, and of one that is stuck there is none.
    assert_eq!(said(&must(6, &FALLING[..1])), None);
    assert_eq!(said(&must(10, &STUCK)), None);
}

/// What is foretold of a ferment that stands still is what was read; with fewer equal readings, that it may.
#[test]
fn what_was_read_is_foretold_and_no_fall_of_one_that_is_stuck() {
    let check = |gravities: &[(i64, f64)], board: &str, reaches: f64| {
        let cellar = must(12, gravities);
        let ferment = goes(&cellar).unwrap();
        assert_eq!(ferment.words(), board, "{gravities:?}");
        let read = gravities.last().unwrap().1;
        let [low, mid, high] = ferment.gravity_at(NOW).unwrap();
        assert!((mid - read).abs() < 0.0005, "{mid} is not {read}");
        assert!(low > read - 0.002 && high < read + 0.002, "{low} to {high}");
        let [low, _, high] = ferment.gravity_at(NOW.plus_days(5)).unwrap();
        assert!(low > reaches, "{low} is not above {reaches}");
        assert!(high > read - 0.001, "{high} is below {read}");
        for (days, sg) in gravities {
            let drawn = ferment.expected();
            let at = drawn
                .iter()
                .rfind(|it| it.at_ms <= days_ago(*days))
                .unwrap();
            assert!(at.low <= *sg && *sg <= at.high, "{days} {sg}: {at:?}");
        }
    };
    let daily: [(i64, f64); 9] = [
        (12, 1.090),
        (10, 1.080),
        (8, 1.060),
        (6, 1.040),
        (4, 1.030),
        (3, 1.030),
        (2, 1.030),
        (1, 1.030),
        (0, 1.030),
    ];
    check(&daily, "stuck at 1.030", 1.028);
    let three = [
        (10, 1.088),
        (9, 1.080),
        (8, 1.070),
        (7, 1.060),
        (6, 1.051),
        (5, 1.043),
        (4, 1.036),
        (2, 1.030),
        (1, 1.030),
        (0, 1.030),
    ];
    let three = [&[(12, 1.090)], &three[..]].concat();
    check(&three, "may have stopped at 1.030", 0.990);
    assert_eq!(goes(&must(12, &three)).unwrap().dry, None);
}

/// The command does what the headline says, and what was done is followed by the next thing.
#[test]
fn a_stuck_ferment_names_the_next_thing_to_do() {
    let mut cellar = must(10, &STUCK);
    let check = |cellar: &Cellar, says: &str, verb: &str, asks: &str| {
        let reason = cellar.reason(ReasonKind::Stuck).unwrap();
        assert_eq!(reason.sentence, says);
        let asked: Vec<&str> = reason.suggestion.needs.clone();
        assert_eq!((reason.suggestion.verb, &asked[..]), (verb, &[asks][..]));
    };
    // What was measured before it stood still says nothing.
    cellar.knows(Property::Sugar, 190.0, 9);
    cellar.knows(Property::Temperature, 22.0, 9);
    let first = "stands still at 1.020: stuck, test its sugar";
    check(&cellar, first, "measure", "sugar");
    cellar.knows(Property::Sugar, 65.0, 0);
    check(
        &cellar,
        "stuck at 1.020 with 65 g/L of sugar: warm it to 20–24 °C, and measure how warm it is",
        "measure",
        "temperature",
    );
    cellar.knows(Property::Temperature, 16.0, 0);
    check(
        &cellar,
        "stuck at 1.020 with 65 g/L of sugar and 16 °C: warm it to 20–24 °C",
        "measure",
        "temperature",
    );
    cellar.knows(Property::Temperature, 20.0, 0);
    check(
        &cellar,
        "stuck at 1.020 with 65 g/L of sugar, 20 °C: rouse it, then restart it with new yeast",
        "pitch",
        "yeast",
    );
    cellar.did(Deed::Pitched, 0);
    assert_eq!(cellar.says_why(ReasonKind::Stuck), "");
}

/// What is said of a stuck ferment elsewhere has the numbers that it is judged by.
#[test]
fn stuck_is_told_by_the_numbers_of_the_policy() {
    let policy = policy();
    for said in [
        format!("over {:.0} days", policy.stuck_days),
        format!("no more than {}", words::gravity(policy.stuck_fall)),
        format!(
            "more than {} above its end",
            words::gravity(policy.stuck_above_end)
        ),
    ] {
        assert!(super::STANDS_STILL.contains(&said), "{said}");
    }
    let told = crate::cellar::trouble::find("stuck").unwrap();
    assert_eq!(told.today[..5], *super::REMEDIES);
    assert_eq!(told.tell[0], super::STANDS_STILL);
}

/// Read twice and then not for eleven days, where a ferment that runs is read every week at least.
#[test]
fn a_ferment_that_went_and_was_not_read_for_over_a_week_asks_to_be_read() {
    let unread = |days: i64| [(days + 2, 1.089), (days, 1.070)];
    let measure = ReasonKind::Unfinished;
    check(
        measure,
        13,
        &unread(11),
        "› gravity 1.070 11 days ago, not yet shown finished",
    );
    check(measure, 8, &unread(6), "");
}
