//! When a wine is finished, and when it only seems so.

use super::*;
use crate::cellar::attention::stage::Ferment;
use crate::cellar::attention::trial::{Cellar, policy};

fn check(build: impl Fn(&mut Cellar), expected: Finished) {
    let mut cellar = Cellar::with_vessel(23.0, 22.0);
    cellar.did(Deed::Pitched, 90).did(Deed::Degassed, 30);
    build(&mut cellar);
    let found = cellar.holding(&policy()).finished();
    assert_eq!(found.finished, expected, "{:#?}", found.evidence);
    assert!(!found.evidence.is_empty());
}

#[test]
fn three_equal_readings_over_fourteen_days_degassed_and_dry_is_finished() {
    check(
        |it| it.gravities(&[(20, 0.995), (10, 0.995), (6, 0.995)]),
        Finished::Yes,
    );
    check(
        |it| it.gravities(&[(20, 0.996), (10, 0.996), (6, 0.996)]),
        Finished::Yes,
    );
}

#[test]
fn what_to_wait_for_has_its_day() {
    let check = |readings: &[(i64, f64)], warm, expected: &str| {
        let mut cellar = Cellar::with_vessel(23.0, 22.0);
        cellar.gravities(readings);
        let policy = policy();
        assert_eq!(cellar.holding(&policy).what_to_wait_for(warm), expected);
    };
    let two = "Wait for 2 more equal readings of gravity at 15 °C or warmer, the last on 4 Dec 2026 or later.";
    check(&[(9, 1.020), (5, 1.010)], None, two);
    let old = "Measure gravity on 25 Nov 2026 or later, at 15 °C or warmer: if it is the same, it is steady.";
    check(&[(20, 0.995), (10, 0.995)], Some(true), old);
    let soon = "Measure gravity on 3 Dec 2026 or later, at 15 °C or warmer: if it is the same, it is steady.";
    check(&[(6, 0.995), (3, 0.995), (1, 0.995)], None, soon);
    let cold = "Keep it at 15 °C or warmer, and measure gravity 3 times over 14 days.";
    check(&[(20, 0.995), (10, 0.995), (1, 0.995)], Some(false), cold);
    let gas = "Wait until no gas is left in it, then measure gravity again.";
    check(&[(20, 0.995), (10, 0.995), (1, 0.995)], Some(true), gas);
}

/// Gas lifts a hydrometer: what was read with it in the wine is read again without it.
#[test]
fn degassing_does_not_answer_for_the_gravity_that_gas_lifted() {
    let readings = [(40, 0.995), (30, 0.995), (20, 0.995)];
    let gassy = |it: &mut Cellar| {
        it.gravities(&readings);
        it.says(Property::Gas, "much", 15).did(Deed::GasFound, 15);
        it.did(Deed::Degassed, 14);
    };
    check(gassy, Finished::NotYet);
    let mut cellar = Cellar::with_vessel(23.0, 22.0);
    gassy(&mut cellar);
    let policy = policy();
    let wait = cellar.holding(&policy).what_to_wait_for(Some(true));
    assert_eq!(wait, "Measure its gravity again, now that the gas is out.");
    let read_since = |gravity| {
        move |it: &mut Cellar| {
            gassy(it);
            it.gravities(&[&readings[..], &[(10, gravity)]].concat());
        }
    };
    check(read_since(0.995), Finished::Yes);
    check(read_since(0.992), Finished::NotYet);
    // That none is found any more says no more than that it is out.
    let none_found = |it: &mut Cellar| {
        gassy(it);
        it.says(Property::Gas, "none", 12);
    };
    check(none_found, Finished::NotYet);
}

/// Tested free of sugar, then sweetened: the ferment was over before.
#[test]
fn what_sweetens_a_wine_later_takes_nothing_from_a_test_of_its_sugar() {
    let readings = [(40, 0.998), (30, 0.998), (20, 0.998)];
    let tested = |sugar| {
        move |it: &mut Cellar| {
            it.gravities(&[&readings[..], &[(5, 1.012)]].concat());
            it.knows(Property::Sugar, sugar, 20)
                .did(Deed::Sweetened, 10);
        }
    };
    check(tested(1.5), Finished::Yes);
    check(tested(2.5), Finished::Steady);
    check(
        |it| {
            tested(1.5)(it);
            it.did(Deed::Sugared, 15);
        },
        Finished::Unknown,
    );
}

#[test]
fn fewer_or_shorter_or_falling_is_not_yet() {
    check(
        |it| it.gravities(&[(20, 0.995), (6, 0.995)]),
        Finished::NotYet,
    );
    check(
        |it| it.gravities(&[(19, 0.995), (10, 0.995), (6, 0.995)]),
        Finished::NotYet,
    );
    check(
        |it| it.gravities(&[(20, 0.998), (10, 0.997), (6, 0.996)]),
        Finished::NotYet,
    );
    check(
        |it| it.gravities(&[(6, 0.995), (6, 0.995), (6, 0.995)]),
        Finished::NotYet,
    );
}

#[test]
fn half_a_mark_of_a_hydrometer_is_equal_and_more_is_not() {
    let readings =
        |first| move |it: &mut Cellar| it.gravities(&[(20, first), (10, 0.996), (6, 0.996)]);
    check(readings(0.9955), Finished::Yes);
    check(readings(0.9954), Finished::NotYet);
    check(readings(0.9965), Finished::Yes);
    check(readings(0.9966), Finished::NotYet);
}

#[test]
fn steady_above_the_end_is_stuck_unless_sugar_was_tested() {
    let high = [(20, 1.004), (10, 1.004), (6, 1.004)];
    check(|it| it.gravities(&high), Finished::Steady);
    check(
        |it| {
            it.gravities(&high);
            it.knows(Property::Sugar, 1.9, 6);
        },
        Finished::Yes,
    );
    check(
        |it| {
            it.gravities(&high);
            it.knows(Property::Sugar, 2.0, 6);
        },
        Finished::Steady,
    );
}

#[test]
fn cold_or_gassy_readings_do_not_count() {
    let dry = [(20, 0.995), (10, 0.995), (6, 0.995)];
    let at = |celsius| {
        move |it: &mut Cellar| {
            it.gravities(&dry);
            it.knows(Property::Temperature, celsius, 6);
        }
    };
    check(at(15.0), Finished::Yes);
    check(at(11.0), Finished::NotYet);
    let said = |found: Found| {
        move |it: &mut Cellar| {
            at(18.0)(it);
            let known = it.wine().known.get_mut(&Property::Temperature);
            known.unwrap().found = found.clone();
        }
    };
    check(said(Found::Above(15.0)), Finished::Yes);
    check(said(Found::Below(15.0)), Finished::NotYet);
    check(
        |it| {
            it.gravities(&dry);
            it.says(Property::Gas, "some", 5);
        },
        Finished::NotYet,
    );
}

/// One warm day at the end does not make up for weeks in the cold.
#[test]
fn readings_of_a_cold_wine_are_not_made_good_by_a_warm_one() {
    let measured = |celsius: [f64; 4]| {
        move |it: &mut Cellar| {
            it.gravities(&[(30, 0.995), (20, 0.995), (10, 0.995), (1, 0.995)]);
            for (reading, celsius) in it.wine().gravities.iter_mut().zip(celsius) {
                reading.celsius = Some(celsius);
            }
            it.knows(Property::Temperature, celsius[3], 1);
        }
    };
    check(measured([8.0, 8.0, 8.0, 20.0]), Finished::NotYet);
    check(measured([8.0, 8.0, 8.0, 8.0]), Finished::NotYet);
    check(measured([15.0, 15.0, 15.0, 20.0]), Finished::Yes);
    check(measured([18.0, 8.0, 18.0, 18.0]), Finished::Yes);
    check(measured([18.0, 8.0, 8.0, 18.0]), Finished::NotYet);
    let mut cellar = Cellar::with_vessel(23.0, 22.0);
    measured([8.0, 8.0, 8.0, 20.0])(&mut cellar);
    let policy = policy();
    let holding = cellar.holding(&policy);
    let evidence = holding.finished().evidence;
    let line = "3 readings taken below 15 °C, where a ferment may only sleep: not counted.";
    assert_eq!(evidence[1], line);
    let wait = "Wait for 2 more equal readings of gravity at 15 °C or warmer, the last on 8 Dec 2026 or later.";
    assert_eq!(holding.what_to_wait_for(Some(true)), wait);
}

#[test]
fn without_readings_or_word_of_degassing_it_is_not_known() {
    check(|_| (), Finished::Unknown);
    check(
        |it| {
            it.gravities(&[(20, 0.995), (10, 0.995), (6, 0.995)]);
            it.never(Deed::Degassed);
        },
        Finished::Unknown,
    );
}

#[test]
fn sugar_put_in_later_is_set_aside_while_nothing_falls() {
    let dry = [(40, 0.995), (30, 0.995), (24, 0.995)];
    let with = |after: &'static [(i64, f64)]| {
        move |it: &mut Cellar| {
            it.did(Deed::Sweetened, 20);
            it.gravities(&[&dry[..], after].concat());
        }
    };
    check(with(&[]), Finished::Yes);
    check(with(&[(19, 1.005), (2, 1.005)]), Finished::Yes);
    check(with(&[(19, 1.005), (2, 1.003)]), Finished::NotYet);
}

#[test]
fn an_unknown_temperature_is_said() {
    let mut cellar = Cellar::with_vessel(23.0, 22.0);
    cellar.did(Deed::Degassed, 30);
    cellar.gravities(&[(20, 0.995), (10, 0.995), (6, 0.995)]);
    assert_eq!(
        cellar.holding(&policy()).finished().evidence,
        [
            "Gravity 0.995, 3 equal readings over 14 days to 19 Nov 2026; 3 equal readings over 14 days are asked (common practice).",
            "Its temperature then is not known; the readings count at 15 °C or warmer.",
            "0.995 is at or below 0.996: dry by gravity.",
            "Degassed, 26 Oct 2026.",
        ]
    );
}

/// Warm as it was read first says nothing of the weeks after: three equal readings over 14 days are asked at 15 °C or warmer.
#[test]
fn each_reading_that_counts_was_warm_or_someone_says_so_of_all_of_them() {
    let check = |celsius: [Option<f64>; 4], said: Option<(Found, i64)>, expected: Option<bool>| {
        let mut cellar = Cellar::with_vessel(23.0, 22.0);
        cellar.did(Deed::Degassed, 30);
        cellar.gravities(&[(32, 0.995), (25, 0.995), (18, 0.995), (9, 0.995)]);
        for (reading, celsius) in cellar.wine().gravities.iter_mut().zip(celsius) {
            reading.celsius = celsius;
        }
        if let Some((found, days)) = said {
            cellar.found(Property::Temperature, found, days);
        }
        let policy = policy();
        let found = cellar.holding(&policy).finished();
        assert_eq!(found.warm, expected, "{:#?}", found.evidence);
    };
    let warm = Some(20.0);
    check([None; 4], None, None);
    check(
        [warm, None, None, None],
        Some((Found::Number(20.0), 32)),
        None,
    );
    check(
        [None, None, None, warm],
        Some((Found::Number(20.0), 9)),
        None,
    );
    check([warm, warm, warm, None], None, Some(true));
    check([None, warm, warm, warm], None, Some(true));
    check([None, None, warm, warm], None, None);
    let above = |days| Some((Found::Above(15.0), days));
    check([None; 4], above(9), Some(true));
    check([None; 4], above(32), None);
    check([None; 4], Some((Found::Below(15.0), 20)), Some(false));
    // Chilled once it was done.
    check([warm; 4], Some((Found::Number(4.0), 2)), Some(true));
}

/// Sugar added to a wine that was steady and dry makes it a must again: what was read before proves nothing of it.
#[test]
fn sugar_added_to_ferment_is_waited_out() {
    let policy = policy();
    let finished = |sugared: i64, build: &dyn Fn(&mut Cellar)| {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.finished().did(Deed::Sugared, sugared);
        build(&mut cellar);
        let found = cellar.holding(&policy).finished();
        (found.finished, cellar.holding(&policy).ferment())
    };
    let (before, now) = finished(2, &|_| ());
    assert_eq!((before, now), (Finished::Unknown, Ferment::Running));
    // Sugar given while it fermented, and read dry since.
    assert_eq!(finished(90, &|_| ()).0, Finished::Yes);
    let tested = |it: &mut Cellar| _ = it.knows(Property::Sugar, 1.0, 5);
    assert_eq!(finished(2, &tested).0, Finished::Unknown);
}
