use super::super::trial::{BATCH, CARBOY, Cellar, NOW, RUN, policy};
use super::*;
use crate::cellar::thing::Key;

fn near(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{found} is not {expected} ± {tolerance}"
    );
}

fn read_35() -> Cellar {
    let mut cellar = Cellar::with_vessel(23.0, 22.9);
    cellar.knows(Property::FreeSo2, 35.0, 0);
    cellar
}

// Reference page, derived (no published series): airlock prior, F0 35 ± 2.5, no further reading,
// F(120) 12.30 / 21.49 / 28.35 at 10 / 50 / 90 %, to be met within 0.15.
#[test]
fn the_band_after_120_days_is_the_reference_pages() {
    let cellar = read_35();
    let policy = policy();
    let then = cellar
        .holding(&policy)
        .expected_free_so2_at(NOW.plus_days(120))
        .unwrap();
    near(then.low, 12.30, 0.15);
    near(then.mid, 21.49, 0.15);
    near(then.high, 28.35, 0.15);
}

// Reference page, derived: its own series, 35 on the first day, then 29, 27 and 22 a month apart.
// Each held-back reading lies in the band run down from the one before it.
#[test]
fn each_held_back_reading_lies_in_the_band_from_the_one_before() {
    for (read, held_back) in [(35.0, 29.0), (29.0, 27.0), (27.0, 22.0)] {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.knows(Property::FreeSo2, read, 30);
        let band = cellar.holding(&policy()).expected_free_so2().unwrap();
        assert!(band.low <= held_back && held_back <= band.high, "{band}");
    }
}

// Reference page: the 10–90 % band of the loss a day by how the wine is kept (house estimates),
// from a grid whose quantiles step by 1.5 %; the page asks for agreement within 2 %.
#[test]
fn the_loss_a_day_spreads_as_the_reference_page_says() {
    let policy = policy();
    let spreads = |holding: Holding, low: f64, high: f64| {
        let keeping = holding.keeping();
        let factor = (ONE_IN_TEN * keeping.spread).exp();
        near(keeping.per_day / factor / low, 1.0, 0.02);
        near(keeping.per_day * factor / high, 1.0, 0.02);
    };
    let check = |closure: &str, kind: &str, litres: f64, low: f64, high: f64| {
        let mut cellar = Cellar::with_vessel(23.0, litres);
        cellar.set(CARBOY, field::CLOSURE, closure);
        cellar.set(CARBOY, field::KIND, kind);
        cellar.knows(Property::FreeSo2, 35.0, 0);
        spreads(cellar.holding(&policy), low, high);
    };
    check("bung", "carboy", 22.9, 0.00116, 0.00537);
    check("airlock", "carboy", 22.9, 0.00186, 0.00860);
    // 4.8 and 5.2 % of headspace.
    check("airlock", "carboy", 21.9, 0.00186, 0.00860);
    check("airlock", "carboy", 21.8, 0.00328, 0.01953);
    check("lid", "tank", 22.9, 0.00328, 0.01953);
    check("bung", "barrel", 22.9, 0.00476, 0.01703);
    let mut bottles = Cellar::with_bottles(29, 30);
    bottles.knows(Property::FreeSo2, 35.0, 0);
    let run = Holding::of(&bottles.0, RUN, &policy).unwrap();
    spreads(run, 0.00029, 0.00171);
}

// Common practice: a bag keeps wine for six months to a year. From 40 to 15 mg/L in that time is a loss of
// ln(40/15) over 365 to 183 days, which the band of the house estimate holds.
#[test]
fn a_bag_keeps_for_months_and_not_for_years() {
    let mut bags = Cellar::with_bottles(4, 30);
    bags.set(RUN, field::PACKAGE, Package::Bag.word());
    bags.knows(Property::FreeSo2, 40.0, 0);
    let policy = policy();
    let run = Holding::of(&bags.0, RUN, &policy).unwrap();
    let lasts = |days: f64| (40.0_f64 / 15.0).ln() / days;
    let usual = run.keeping().per_day;
    assert!(lasts(365.0) < usual && usual < lasts(183.0), "{usual}");
    let falls = run.forecast().unwrap().falls_below(15.0).unwrap();
    let days = (falls.mid.unwrap().utc_ms - NOW.utc_ms) as f64 / DAY_MS;
    assert!((183.0..=365.0).contains(&days), "{days}");
}

// Reference page, derived: days until F0 35 reaches 20 with the usual loss.
#[test]
fn the_day_it_reaches_twenty_follows_the_keeping() {
    let reached = |closure: &str, kind: &str| {
        let mut cellar = read_35();
        cellar.set(CARBOY, field::CLOSURE, closure);
        cellar.set(CARBOY, field::KIND, kind);
        let policy = policy();
        let falls = cellar
            .holding(&policy)
            .forecast()
            .unwrap()
            .falls_below(20.0);
        (falls.unwrap().mid.unwrap().utc_ms - NOW.utc_ms) as f64 / DAY_MS
    };
    // The page's table, to be met within 2 %.
    near(reached("bung", "carboy"), 221.0, 0.02 * 221.0);
    near(reached("airlock", "carboy"), 138.0, 0.02 * 138.0);
    near(reached("lid", "tank"), 69.0, 0.02 * 69.0);
    near(reached("bung", "barrel"), 61.0, 0.02 * 61.0);
}

/// By hand, with the house estimate of 0.008 a day: ln(35/20)/0.008 are 70 days, and 138 in glass.
#[test]
fn plastic_lets_more_air_through_than_glass_whatever_closes_it() {
    for closure in ["airlock", "bung"] {
        let mut cellar = read_35();
        cellar.set(CARBOY, field::CLOSURE, closure);
        cellar.set(CARBOY, field::MATERIAL, "plastic");
        let policy = policy();
        let holding = cellar.holding(&policy);
        let falls = holding.forecast().unwrap().falls_below(20.0);
        let days = (falls.unwrap().mid.unwrap().utc_ms - NOW.utc_ms) as f64 / DAY_MS;
        near(days, 70.0, 0.03 * 70.0);
    }
}

// Univ. of California Coop. Extension, Enology Briefs I(1), 1982: free SO2 for 0.5 and 0.8 mg/L
// molecular, printed as whole numbers.
#[test]
fn the_aim_is_the_extension_tables() {
    let aim = |wine: &str, ph: f64| {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar
            .set(BATCH, field::WINE, wine)
            .knows(Property::Ph, ph, 5);
        cellar.holding(&policy()).free_so2_aim().unwrap()
    };
    near(aim("red", 3.3), 16.0, 1.0);
    near(aim("red", 3.6), 31.0, 1.0);
    near(aim("white", 3.0), 13.0, 1.0);
    near(aim("white", 3.3), 26.0, 1.0);
    near(aim("fruit", 3.5), 40.0, 1.0);
    near(aim("sweet", 3.7), 63.0, 1.0);
}

#[test]
fn the_batchs_own_aim_comes_first() {
    let mut cellar = Cellar::with_vessel(23.0, 22.9);
    cellar.set(BATCH, field::AIM, Value::Real(0.6));
    near(cellar.holding(&policy()).molecular_aim(), 0.6, 0.0);
}

// A third of what was added is bound, 25–50 % (common practice): 30 mg/L more bring 20, 15 to 22.5.
#[test]
fn what_was_added_since_counts_without_its_bound_part() {
    let mut cellar = read_35();
    cellar.sulfited(30.0, 0);
    let found = cellar.holding(&policy()).expected_free_so2().unwrap();
    near(found.mid, 35.0 + 20.0, 1.0);
    // With 3.2 of the reading's error, as squares: 5.9 below and 4.1 above, taken as alike.
    let (down, up) = (5.0f64.hypot(3.204), 2.5f64.hypot(3.204));
    near((found.high - found.low) / (down + up), 1.0, 0.05);
}

// A test that finds `<10` says 0 to 10 and nothing more; the loss runs it down.
#[test]
fn a_bound_is_anything_below_it_and_is_shown_as_read() {
    let mut cellar = Cellar::with_vessel(23.0, 22.9);
    cellar.found(Property::FreeSo2, Found::Below(10.0), 0);
    let band = cellar.holding(&policy()).expected_free_so2().unwrap();
    near(band.low, 0.0, 0.01);
    near(band.mid, 5.0, 0.01);
    near(band.high, 10.0, 0.01);
    assert_eq!(band.to_string(), "<10");
    // 20 ± 2.5 mg/L of sixty days before lead one to expect it at its bound: of 400 first readings times 400 rates, each weighed by
    // Φ((10 − F)/2.5), one in ten lies below 7.23 and half below 10.68. A normal figure in place of that sum is off by a few
    // tenths. Nothing is reckoned from more than the bound.
    let mut after = Cellar::with_vessel(23.0, 22.9);
    after.knows(Property::FreeSo2, 20.0, 60);
    after.found(Property::FreeSo2, Found::Below(10.0), 0);
    let again = after.holding(&policy()).expected_free_so2().unwrap();
    near(again.low, 7.23, 0.3);
    near(again.mid, 10.0, 1e-9);
    near(again.high, 10.0, 1e-9);
    // The chart and its words have no more either.
    let course = after.holding(&policy()).so2_course().unwrap();
    let now = course.expected_at(NOW.utc_ms).unwrap();
    near(now.mid, again.mid, 1e-9);
    near(now.high, again.high, 1e-9);
    assert_eq!(again.to_string(), "<10");
    cellar.sulfited(30.0, 0);
    let given = cellar.holding(&policy()).expected_free_so2().unwrap();
    near(given.mid, 5.0 + 20.0, 0.01);
    // A half of 10/2, and of the dose 30 times a half of 0.5 − 0.25, as squares.
    near((given.high - given.low) / 2.0, 5.0f64.hypot(3.75), 0.01);
    assert_eq!(given.below, None);
}

#[test]
fn its_own_tests_narrow_it_and_so_would_one_more() {
    let width = |tests: &[(f64, i64)]| {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        for (free, days) in tests {
            cellar.knows(Property::FreeSo2, *free, *days);
        }
        let band = cellar
            .holding(&policy())
            .expected_free_so2_at(NOW.plus_days(60));
        band.map(|it| it.high - it.low).unwrap()
    };
    let widths = [
        width(&[(24.0, 30)]),
        width(&[(31.0, 90), (24.0, 30)]),
        width(&[(31.0, 90), (27.0, 60), (24.0, 30)]),
    ];
    assert!(widths.is_sorted_by(|one, next| one > next), "{widths:?}");
    let mut cellar = Cellar::with_vessel(23.0, 22.9);
    cellar.knows(Property::FreeSo2, 31.0, 90);
    let policy = policy();
    let holding = cellar.holding(&policy);
    let forecast = holding.forecast().unwrap();
    let tested = forecast.with_a_test(policy.reading_sd_mg_l).unwrap();
    let spread = |it: &Forecast| it.at(NOW)[2] - it.at(NOW)[0];
    assert!(spread(&tested) < spread(forecast));
}

/// The test that is promised to narrow the days does so by as much once it is made.
#[test]
fn the_next_test_narrows_the_days_as_it_was_said_to() {
    let mut cellar = Cellar::with_vessel(23.0, 22.9);
    cellar.knows(Property::Ph, 3.2, 40);
    cellar
        .knows(Property::FreeSo2, 35.0, 60)
        .knows(Property::FreeSo2, 31.0, 30);
    let policy = policy();
    let wide = |cellar: &Cellar| {
        let falls = cellar.holding(&policy).falls_below_aim().unwrap();
        falls.high.days_since(falls.low.unwrap())
    };
    let said = cellar.holding(&policy).next_so2_test().unwrap();
    let is = wide(&cellar);
    let found = cellar.holding(&policy).expected_free_so2().unwrap().mid;
    cellar.knows(Property::FreeSo2, found, 0);
    let words = format!("the {is} days from early to late to {}:", wide(&cellar));
    assert!(said.contains(&words), "{said} has not `{words}`");
}

#[test]
fn air_met_since_takes_some_and_the_headspace_more() {
    let mid = |air: Option<Air>, litres: f64| {
        let mut cellar = Cellar::with_vessel(23.0, litres);
        cellar.knows(Property::FreeSo2, 35.0, 1);
        if let Some(air) = air {
            cellar.so2(So2Change::MetAir(air, None), 0);
        }
        let policy = policy();
        cellar.holding(&policy).expected_free_so2().unwrap().mid
    };
    let kept = mid(None, 23.0);
    // Half to two mg/L at an opening (house estimate).
    let opened = kept - mid(Some(Air::Opened), 23.0);
    assert!((0.5..=2.0).contains(&opened), "{opened}");
    near(kept - mid(Some(Air::Opened), 22.5), opened, 0.1);
    // By hand: 2 mg/L of oxygen at a racking, and 2.5 mg of free SO2 for each of them.
    near(kept - mid(Some(Air::Racked), 23.0), 5.0, 0.1);
    // Half a litre of air is 139 mg of oxygen, 6.2 a litre: 2.5 mg each of what is taken up, half of it; evenly over four weeks, and
    // foreseen on the day itself as much as it is found then.
    let later = |litres: f64, days: i64, ahead: i64| {
        let mut cellar = Cellar::with_vessel(23.0, litres);
        cellar
            .knows(Property::FreeSo2, 35.0, days + 1)
            .so2(So2Change::MetAir(Air::Racked, None), days);
        let policy = policy();
        let then = NOW.plus_days(ahead);
        let band = cellar.holding(&policy).expected_free_so2_at(then);
        band.unwrap().mid
    };
    for (days, part) in [(0, 0.0), (14, 0.5), (28, 1.0), (40, 1.0)] {
        for (days, ahead) in [(days, 0), (0, days)] {
            let takes = later(23.0, days, ahead) - later(22.5, days, ahead);
            near(takes, part * 6.19 * 2.5 / 2.0, 0.3);
        }
    }
    // Tested since: what the test found stands.
    let mut cellar = Cellar::with_vessel(23.0, 22.5);
    cellar
        .so2(So2Change::MetAir(Air::Racked, None), 5)
        .knows(Property::FreeSo2, 35.0, 0);
    near(
        cellar.holding(&policy()).expected_free_so2().unwrap().mid,
        35.0,
        0.01,
    );
}

#[test]
fn a_dose_of_unknown_weight_is_left_out_until_a_test() {
    let mut cellar = Cellar::with_vessel(23.0, 22.9);
    cellar
        .knows(Property::FreeSo2, 20.0, 10)
        .so2(So2Change::AddedUnknown, 5);
    near(
        cellar.holding(&policy()).expected_free_so2().unwrap().mid,
        20.0 * (-0.04f64).exp(),
        0.2,
    );
    cellar.knows(Property::FreeSo2, 44.0, 0);
    near(
        cellar.holding(&policy()).expected_free_so2().unwrap().mid,
        44.0,
        0.1,
    );
}

#[test]
fn the_course_has_tests_doses_and_a_band_that_widens() {
    let mut cellar = Cellar::with_vessel(23.0, 22.9);
    cellar.knows(Property::Ph, 3.3, 40);
    cellar.knows(Property::FreeSo2, 30.0, 90).sulfited(20.0, 60);
    cellar.knows(Property::FreeSo2, 38.0, 30);
    let policy = policy();
    let course = cellar.holding(&policy).so2_course().unwrap();
    let values: Vec<f64> = course.readings.iter().map(|it| it.value).collect();
    assert_eq!(values, [30.0, 38.0]);
    assert_eq!(
        course
            .marks
            .iter()
            .map(|it| it.1.as_str())
            .collect::<Vec<_>>(),
        ["dose"]
    );
    let share = |it: &crate::cellar::course::Expected| (it.high - it.low) / it.mid;
    let (first, last) = (course.expected[0], *course.expected.last().unwrap());
    assert!(first.at_ms == course.readings[1].at_ms && last.at_ms > NOW.utc_ms);
    assert!(share(&last) > share(&first));
    assert_eq!(course.level.map(|it| it.1), Some("aim"));
}

#[test]
fn a_wine_never_tested_has_no_band() {
    let mut cellar = Cellar::with_vessel(23.0, 22.9);
    assert_eq!(cellar.holding(&policy()).expected_free_so2(), None);
    cellar.says(Property::FreeSo2, "pale", 3);
    assert_eq!(cellar.holding(&policy()).expected_free_so2(), None);
}

#[test]
fn a_reading_dated_ahead_or_a_volume_below_zero_breaks_nothing() {
    let mut cellar = read_35();
    cellar.knows(Property::FreeSo2, 35.0, -3);
    cellar.wine().volume = crate::cellar::amount::Volume(-5);
    let band = cellar.holding(&policy()).expected_free_so2().unwrap();
    // Twice the same three days apart: the first is taken as half a milligram more.
    near(band.mid, 35.0, 1.0);
}

use crate::cellar::thing::Value;

/// 12 and 8 mg/L in summer, a racking on the 129th day back, 18 and then 24 of yesterday; the dose of that racking is entered
/// late. The test of yesterday says what there is, within its error, and it was enough for an aim below it until then.
#[test]
fn a_dose_entered_late_does_not_lower_it_under_a_later_test() {
    let mut cellar = Cellar::with_vessel(23.0, 22.9);
    for (free, days) in [(12.0, 164), (8.0, 144)] {
        cellar.knows(Property::FreeSo2, free, days);
    }
    cellar
        .so2(So2Change::MetAir(Air::Racked, None), 129)
        .sulfited(27.7, 129);
    for (free, days) in [(18.0, 62), (24.0, 1)] {
        cellar.knows(Property::FreeSo2, free, days);
    }
    let policy = policy();
    let holding = cellar.holding(&policy);
    let yesterday = NOW.plus_days(-1);
    let then = holding.expected_free_so2_at(yesterday).unwrap();
    near(then.mid, 24.0, policy.reading_sd_mg_l);
    let falls = holding.forecast().unwrap().falls_below(20.5).unwrap();
    assert!(falls.low >= Some(yesterday), "{falls:?}");
    let course = holding.so2_course().unwrap();
    near(course.expected[0].mid, 24.0, policy.reading_sd_mg_l);
}

/// 18 mg/L in a full carboy, of which all but 1.1 L was drawn off: under 21.9 L of air its 6.1 g of oxygen are enough for all of its
/// sulfite a thousand times over, and little is left after three months, which nobody can say closely.
#[test]
fn wine_under_much_air_keeps_little_of_it() {
    let months_later = |litres: f64| {
        let mut cellar = Cellar::with_vessel(23.0, litres);
        for (free, days) in [(22.0, 100), (20.0, 30), (18.0, 2)] {
            cellar.knows(Property::FreeSo2, free, days);
        }
        if litres < 20.0 {
            let before = KeptUntil {
                place: CARBOY,
                empty: 4,
            };
            cellar.so2(So2Change::MetAir(Air::Opened, Some(before)), 1);
        }
        let policy = policy();
        let then = NOW.plus_days(30);
        cellar.holding(&policy).expected_free_so2_at(then).unwrap()
    };
    let (full, half, drop) = (months_later(22.9), months_later(11.5), months_later(1.1));
    assert!(full.mid > 15.0, "{full}");
    // Half of it is full of air: half of what there was, or nearly nothing, or nearly all.
    assert!((4.0..=12.0).contains(&half.mid), "{half}");
    assert!(half.high - half.low > 8.0, "{half}");
    assert!(drop.mid < 1.0, "{drop}");
    assert!(drop.high < full.low, "{drop} {full}");
}

/// Racked by way of a bucket and back within the hour, it loses what it always lost; a week in the bucket is another matter.
#[test]
fn what_a_racking_goes_by_keeps_the_wine_in_no_way_of_its_own() {
    let rate_of = |back: Option<i64>| {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.spare(1, "Bucket", "bucket", 30.0);
        for (free, days) in [(40.0, 100), (30.0, 70), (22.0, 40)] {
            cellar.knows(Property::FreeSo2, free, days);
        }
        if let Some(back) = back {
            let kept =
                |place, empty| So2Change::MetAir(Air::Racked, Some(KeptUntil { place, empty }));
            cellar.so2(kept(CARBOY, 4), 30).so2(kept(Key(1), 230), back);
        }
        let policy = policy();
        let holding = cellar.holding(&policy);
        let stays = holding.stays().len();
        (stays, holding.forecast().unwrap().quick.rate(0.5))
    };
    let (stays, stayed) = rate_of(None);
    let (by_bucket, moved) = rate_of(Some(30));
    assert_eq!((stays, by_bucket), (0, 0));
    // Its own three tests say how fast it goes; air met twice between says nothing of that.
    near(moved, stayed, 0.05 * stayed);
    assert_eq!(rate_of(Some(20)).0, 2);
}

/// By hand: 35 mg/L at filling lose 0.0007 a day in a closed bottle, to 33.6 in sixty days, and what filling met takes 11.25: 22.3.
#[test]
fn bottles_lose_to_the_air_met_at_filling_what_the_plan_says_they_will() {
    let filled = |days: i64| {
        let mut cellar = Cellar::with_bottles(30, days);
        let tested = So2Change::Tested(Found::Number(35.0));
        cellar.so2(tested, days);
        cellar.so2(So2Change::MetAir(Air::Bottled, None), days);
        cellar
    };
    let policy = policy();
    let after = |cellar: &Cellar, then| {
        let holding = Holding::of(&cellar.0, RUN, &policy).unwrap();
        holding.expected_free_so2_at(then).unwrap()
    };
    let then = after(&filled(60), NOW);
    near(then.mid, 22.3, 0.7);
    // Foreseen on the day itself, and no less sure for being looked at later.
    let ahead = after(&filled(0), NOW.plus_days(60));
    near(ahead.mid, then.mid, 0.3);
    assert!(ahead.high - ahead.low > 10.0, "{ahead}");
}
