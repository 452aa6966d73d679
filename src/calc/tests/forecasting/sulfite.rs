//! What the forecast of free SO2 says.

use leesline_calc::Answer;

use super::{ask, between, caution, check_says};

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
