//! Tests that what is written down does not lead to: the account of it gives way, or it is begun anew from the test.

use super::*;

/// What to make of less than a test can read where no steady rate leads there: as much as of a test that found the limit itself.
/// Of 33 ± 2.5 mg/L at 0.4 % a day 33·e^(−0.056) = 31.20 are left after 14 days, ± 2.5·e^(−0.056) = 2.364; a limit of 10 ± 2.5
/// lies 21.20 below, where √(2.364² + 2.5²) = 3.441 are usual. So √(21.20² − 3.441²) = 20.92 are unexplained.
#[test]
fn the_account_gives_way_to_a_limit_as_to_a_figure() {
    let what = What::Below {
        bound: 10.0,
        sd: SD,
    };
    for last in [test(14.0, 10.0), Event { day: 14.0, what }] {
        let (all, error) = with_unexplained(0.004, None, &[test(0.0, 33.0), last]);
        let What::Unexplained(sd) = all[1].what else {
            panic!("{all:?}");
        };
        assert!((sd - 20.92).abs() < 0.01, "{sd}");
        // Its square is (21.20/3.441)² = 37.96, and the upper tenth of one square is 1 + 1.2816·√2 = 2.812 as a normal figure.
        assert!((error - (1.0 + 37.96 - 2.812_f64).sqrt()).abs() < 0.01);
    }
}

/// One at the limit and one just below it are two words for one test: what they make of the rate lies less far apart than what
/// wines kept alike do (one standard deviation of its logarithm), whether a steady rate leads there or not.
#[test]
fn less_than_a_limit_says_of_the_rate_what_a_figure_below_it_says() {
    let steady = [test(0.0, 32.0), test(33.0, 21.0)];
    let faster = [test(0.0, 33.0), test(33.0, 26.0)];
    let at_once = [test(0.0, 33.0), test(28.0, 33.0)];
    let late = [test(0.0, 33.0), test(28.0, 30.0), test(60.0, 29.0)];
    let check = |known: &[Event], day: f64| {
        let what = What::Below {
            bound: 10.0,
            sd: SD,
        };
        let of_last = |last| found(&[known, &[last]].concat());
        let (figure, limit) = (of_last(test(day, 9.0)), of_last(Event { day, what }));
        let apart = (limit.rate(0.5) / figure.rate(0.5)).ln();
        assert!(apart.abs() < AIRLOCK.spread, "{apart} on {day}: {known:?}");
        // What is left is at most the limit and what a test errs, and not nothing.
        let [low, mid, high] = [0.1, 0.5, 0.9].map(|it| limit.free_mg_l(day - limit.begins(), it));
        let most = 10.0 + 2.0 * SD;
        assert!(
            low >= 0.0 && mid >= 4.9 && high <= most,
            "{low} {mid} {high}"
        );
    };
    check(&steady, 74.0);
    check(&faster, 74.0);
    check(&at_once, 42.0);
    check(&late, 70.0);
    check(&late[..1], 42.0);
    check(&late[..1], 100.0);
}

fn check_rises(tests: &[(f64, f64)], expected: &[f64]) {
    let tests: Vec<Event> = tests.iter().map(|it| test(it.0, it.1)).collect();
    let all = with_unwritten(AIRLOCK, &tests);
    let unknown = all.iter().filter(|it| it.what == What::AddedUnknown);
    let days: Vec<f64> = unknown.map(|it| it.day).collect();
    assert_eq!(days, expected, "{tests:?}");
}

#[test]
fn a_rise_beyond_what_error_makes_is_an_addition_nobody_wrote_down() {
    check_rises(&[(0.0, 30.0)], &[]);
    check_rises(&[(0.0, 30.0), (30.0, 28.0), (60.0, 34.0)], &[]);
    check_rises(
        &[(0.0, 30.0), (30.0, 24.0), (31.0, 38.0), (60.0, 33.0)],
        &[31.0],
    );
    let known = [test(0.0, 20.0), added(5.0, 40.0), test(10.0, 45.0)];
    assert_eq!(with_unwritten(AIRLOCK, &known), known);
    let anew = with_unwritten(
        AIRLOCK,
        &[test(0.0, 30.0), test(30.0, 24.0), test(31.0, 38.0)],
    );
    assert!((found(&anew).free_mg_l(0.0, 0.5) - 38.0).abs() < 0.01);
    assert!((found(&anew).begins() - 31.0).abs() < 1e-12);
}

/// Of a dose of 30 mg/L 20 stay free: 33 are expected, and 16 says that the dose was not what was reckoned with. Without a dose
/// a low test is a fast loss, and narrows that.
#[test]
fn a_test_far_below_what_a_dose_would_leave_begins_anew() {
    let events = [test(0.0, 13.0), added(19.0, 30.0), test(25.0, 16.0)];
    let all = with_unwritten(AIRLOCK, &events);
    assert_eq!(all[2].what, What::AddedUnknown);
    assert!((found(&all).free_mg_l(0.0, 0.5) - 16.0).abs() < 0.01);
    let events = [test(0.0, 33.0), test(25.0, 16.0)];
    assert_eq!(with_unwritten(AIRLOCK, &events), events);
    let events = [test(0.0, 13.0), added(19.0, 30.0), test(25.0, 26.0)];
    assert_eq!(with_unwritten(AIRLOCK, &events), events);
}

/// 23 mg/L stay free of a dose of 34, and eight months later most of that is gone: 38 mg/L are of another dose.
#[test]
fn a_test_above_all_that_the_account_explains_begins_anew() {
    let events = [test(0.0, 10.0), added(1.0, 34.0), test(245.0, 38.0)];
    let all = with_unwritten(AIRLOCK, &events);
    assert_eq!(all[2].what, What::AddedUnknown);
    assert!((found(&all).free_mg_l(0.0, 0.5) - 38.0).abs() < 0.01);
    // In a bottle it is lost so slowly that as much may be left.
    let bottle = with_unwritten(keeping::BOTTLE, &events);
    assert_eq!(bottle, events);
}

/// By hand, in a straight line about the middle rate: 40·e^(−0.0025·360) = 16.26 mg/L after 360 days. The tests err by 2.5/40 = 0.063
/// and 2.5/16.26 = 0.154 of that, together 0.166, which over 0.0025 · 360 = 0.9 foldings is 0.184 of the rate; with the keeping's 0.6,
/// 0.176. Where a racking more or less (± √(5² + 3.18²) = 5.93 mg/L) may have come between, it is √(2.5² + 5.93²)/16.26 = 0.396 and so
/// 0.401, 0.445 of the rate, and with the keeping's 0.357.
#[test]
fn two_tests_far_apart_say_less_of_the_rate_and_the_band_is_wider() {
    let written = [test(0.0, 40.0), test(360.0, 16.26)];
    let all = with_unwritten(keeping::BUNG, &written);
    let of = |events: &[Event]| Decline::of(keeping::BUNG, events).unwrap();
    let (with, without) = (of(&all), of(&written));
    let spread = |it: &Decline| (it.rate(0.9) / it.rate(0.1)).ln() / (2.0 * ONE_IN_TEN);
    // A tenth, for the line is not straight.
    for (found, expected) in [(spread(&without), 0.176), (spread(&with), 0.357)] {
        assert!((found / expected - 1.0).abs() < 0.1, "{found} {expected}");
    }
    // What there is on the day of the second test is what that found; how it goes on is less known, and so is the day of too little.
    for ahead in [90.0, 180.0, 365.0] {
        let wide = |it: &Decline| width(it, 360.0 + ahead - it.begins());
        assert!(wide(&with) > 1.04 * wide(&without), "{ahead}");
    }
    let days = |it: &Decline| it.days_to(10.0, 0.9).unwrap() - it.days_to(10.0, 0.1).unwrap();
    assert!(days(&with) > 1.2 * days(&without));
    assert_eq!(long_gap(&all), Some((0.0, 360.0)));
    // What a test is said to be worth before it is made is reckoned so too.
    assert_eq!(next::with_a_test(&written[..1], 360.0, 16.26, SD), all);
    // Whatever ends the silence, nobody knows what went on before it.
    let dosed = [written[0], added(360.0, 20.0), test(365.0, 30.0)];
    let all = with_unwritten(keeping::BUNG, &dosed);
    assert_eq!(long_gap(&all), Some((0.0, 360.0)));
    // Of a shorter time, and of what a test was the first to see, nothing is supposed.
    for plain in [
        [test(0.0, 40.0), test(200.0, 24.0)],
        [added(0.0, 40.0), test(360.0, 24.0)],
    ] {
        assert_eq!(with_unwritten(keeping::BUNG, &plain), plain);
    }
}

#[test]
fn a_dose_of_unknown_size_leaves_nothing_known_until_the_next_test() {
    let what = What::AddedUnknown;
    let events = [test(0.0, 30.0), Event { day: 10.0, what }];
    assert!(Decline::of(AIRLOCK, &events).is_none());
    let events = [events.as_slice(), &[test(20.0, 41.0)]].concat();
    let found = found(&events);
    assert!((found.begins() - 20.0).abs() < 1e-12);
    assert!((found.free_mg_l(0.0, 0.5) - 41.0).abs() < 0.01);
}
