//! A ferment that begins anew: sugar went in, or it stood still and moves.

use super::*;

#[test]
fn sugar_put_in_begins_it_anew_and_is_said() {
    let fed = must(
        8,
        &[(8, 1.090), (5, 1.060), (4, 1.075), (2, 1.060), (0, 1.040)],
    );
    check_says(&fed, "rose from 1.060 to 1.075", true);
    assert!(goes(&fed).unwrap().dry.unwrap().low.utc_ms > days_ago(0));
}

/// Sugar on the day of one reading, counted from its first, that raised it by so much; zero of unknown weight.
fn fed(gravities: &[(i64, f64)], after: usize, rise: f64) -> Cellar {
    let mut cellar = must(gravities[0].0, gravities);
    cellar.did(Deed::Sugared, gravities[after].0);
    cellar.wine().gravities[after].feed(rise);
    cellar
}

const BEFORE_SUGAR: [(i64, f64); 3] = [(5, 1.080), (2, 1.060), (0, 1.040)];

/// What fell from 1.080 to 1.040 and got 0.026 is as far as what fell from 1.106 to 1.066.
#[test]
fn sugar_by_weight_puts_the_day_off_as_if_it_had_been_there_from_the_start() {
    let sweeter = BEFORE_SUGAR.map(|(day, sg)| (day, sg + 0.026));
    let day = |cellar: &Cellar| goes(cellar).unwrap().dry;
    let sugared = fed(&BEFORE_SUGAR, 2, 0.026);
    assert_eq!(day(&sugared), day(&must(5, &sweeter)));
    assert!(day(&sugared).unwrap().low > day(&must(5, &BEFORE_SUGAR)).unwrap().low);
    let says = "Sugar went in on 25 Nov 2026: by its weight it raised gravity by 0.026";
    check_says(&sugared, says, true);
    check_says(&must(5, &BEFORE_SUGAR), "Sugar went in", false);
    // Drawn from the sugar on: before it gravity was lower than that.
    let drawn = goes(&sugared).unwrap().expected();
    assert_eq!(drawn[0].at_ms, days_ago(0));
    // Read since, what was read before the sugar is taken higher, and what was read after it as it is.
    let since = [(9, 1.080), (6, 1.060), (4, 1.040), (0, 1.030)];
    let sweeter = [(9, 1.106), (6, 1.086), (4, 1.066), (0, 1.030)];
    assert_eq!(day(&fed(&since, 2, 0.026)), day(&must(9, &sweeter)));
}

#[test]
fn sugar_of_unknown_weight_leaves_no_day_until_it_is_read_and_begins_anew_there() {
    let open = fed(&BEFORE_SUGAR, 2, 0.0);
    let found = goes(&open).unwrap();
    assert_eq!((found.dry, found.words().as_str()), (None, ""));
    assert!(found.expected().is_empty());
    check_says(
        &open,
        "how much it brought is not known, so no day is given",
        true,
    );
    let read = [
        (11, 1.080),
        (8, 1.060),
        (6, 1.040),
        (5, 1.060),
        (3, 1.040),
        (1, 1.022),
    ];
    let mut anew = Cellar::with_vessel(23.0, 22.9);
    anew.gravities(&read[3..]);
    let read = fed(&read, 2, 0.0);
    assert_eq!(goes(&read).unwrap().dry, goes(&anew).unwrap().dry);
    check_says(&read, "begins anew with the reading after it", true);
}

/// 0.016 in the last five days: 0.006 more, to 0.996, take two days or more at that rate, and hardly more than six.
#[test]
fn what_stood_still_and_falls_again_begins_anew_and_is_said() {
    let read = [
        (32, 1.088),
        (27, 1.080),
        (24, 1.060),
        (21, 1.042),
        (18, 1.035),
        (16, 1.032),
        (14, 1.032),
        (12, 1.032),
        (8, 1.030),
        (5, 1.018),
        (0, 1.002),
    ];
    let again = must(32, &read);
    let dry = goes(&again).unwrap().dry.unwrap();
    assert!(
        dry.low < NOW.plus_days(2) && dry.mid < NOW.plus_days(6) && dry.high > NOW.plus_days(6)
    );
    check_says(
        &again,
        "It stood still at 1.032 until 13 Nov 2026 and falls again",
        true,
    );
    check_says(&must(32, &read[..8]), "falls again", false);
}
