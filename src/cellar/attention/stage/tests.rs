use super::super::ReasonKind;
use super::super::trial::{Cellar, policy};
use super::*;
use crate::cellar::entry::Property;
use crate::cellar::thing::field;

fn check(build: impl Fn(&mut Cellar), expected: Stage) {
    let mut cellar = Cellar::with_vessel(23.0, 22.9);
    build(&mut cellar);
    assert_eq!(cellar.holding(&policy()).stage(), expected);
}

#[test]
fn nothing_written_down_is_said_so() {
    check(|_| (), Stage::Unsaid);
}

#[test]
fn must_is_high_and_unpitched() {
    check(|it| it.gravities(&[(1, 1.090)]), Stage::Must);
    check(|it| it.gravities(&[(1, 1.040)]), Stage::Must);
    check(|it| it.gravities(&[(1, 1.039)]), Stage::Doubtful);
    check(
        |it| _ = it.did(Deed::Begun, 1).did(Deed::Sulfited, 1),
        Stage::Must,
    );
    // Weeks later nobody knows whether it fermented by itself; the sulfite of its first day does not say so.
    let sulfited =
        |days| move |it: &mut Cellar| _ = it.did(Deed::Begun, 40).did(Deed::Sulfited, days);
    check(sulfited(40), Stage::Unsaid);
    check(sulfited(34), Stage::Unsaid);
    check(sulfited(33), Stage::Ageing);
    check(|it| _ = it.did(Deed::Sulfited, 5), Stage::Unsaid);
    check(|it| _ = it.did(Deed::Racked, 5), Stage::Ageing);
}

#[test]
fn pitched_and_not_yet_over_ferments() {
    check(|it| _ = it.did(Deed::Pitched, 0), Stage::Fermenting);
    check(
        |it| {
            it.did(Deed::Pitched, 12);
            it.gravities(&[(12, 1.090), (6, 1.040), (1, 1.012)]);
        },
        Stage::Fermenting,
    );
    // Wild yeast: nobody pitched, but the gravity falls.
    check(
        |it| it.gravities(&[(6, 1.090), (1, 1.072)]),
        Stage::Fermenting,
    );
}

/// It is no must that stands still there, and is called stuck as one that was pitched is.
#[test]
fn a_ferment_that_nobody_pitched_and_that_stands_still_ferments() {
    let wild = [
        (14, 1.085),
        (11, 1.060),
        (9, 1.040),
        (5, 1.023),
        (3, 1.023),
        (0, 1.023),
    ];
    check(|it| it.gravities(&wild), Stage::Fermenting);
    let mut cellar = Cellar::with_vessel(23.0, 22.9);
    cellar.did(Deed::Begun, 14).gravities(&wild);
    let said = cellar.says_why(ReasonKind::Stuck);
    assert!(said.contains("stands still at 1.023: stuck"), "{said}");
}

#[test]
fn a_fall_of_three_thousandths_a_day_is_a_ferment() {
    let restarted = |gravities: &'static [(i64, f64)]| {
        move |it: &mut Cellar| {
            it.did(Deed::Pitched, 7);
            it.gravities(gravities);
        }
    };
    check(
        restarted(&[(8, 1.030), (2, 1.006), (1, 1.000), (0, 0.997)]),
        Stage::Fermenting,
    );
    // A thousandth a day is its tail, a fall between readings three weeks apart tells nothing, and one near its end is over.
    check(
        restarted(&[(8, 1.030), (1, 0.999), (0, 0.998)]),
        Stage::OnLees,
    );
    check(
        restarted(&[(30, 1.030), (7, 1.010), (0, 0.996)]),
        Stage::OnLees,
    );
    check(
        |it| {
            it.did(Deed::Pitched, 40);
            it.gravities(&[(40, 1.090), (2, 0.998)]);
        },
        Stage::OnLees,
    );
    check(
        |it| {
            it.did(Deed::Pitched, 40);
            it.gravities(&[(40, 1.090), (12, 1.000), (11, 0.997)]);
        },
        Stage::OnLees,
    );
}

#[test]
fn a_reading_above_its_end_is_not_outlived_by_the_calendar() {
    let mead = |build: &dyn Fn(&mut Cellar), expected: Stage| {
        check(
            |it| {
                it.did(Deed::Pitched, 90);
                it.gravities(&[(90, 1.110), (54, 1.020)]);
                build(it);
            },
            expected,
        );
    };
    mead(&|_| (), Stage::Doubtful);
    mead(&|it| _ = it.did(Deed::Racked, 60), Stage::Doubtful);
    // Neither a racking nor sulfite stops it; a test of its sugar may say that it is over, and a late reading that it is followed.
    mead(&|it| _ = it.did(Deed::Racked, 30), Stage::Doubtful);
    let tested = |it: &mut Cellar| _ = it.did(Deed::Racked, 30).knows(Property::Sugar, 1.0, 29);
    mead(&tested, Stage::Ageing);
    mead(&|it| _ = it.did(Deed::Sulfited, 30), Stage::Doubtful);
    mead(
        &|it| it.gravities(&[(90, 1.110), (54, 1.020), (2, 1.012)]),
        Stage::Fermenting,
    );
    let mut cellar = Cellar::with_vessel(23.0, 22.9);
    cellar.did(Deed::Pitched, 90);
    cellar.gravities(&[(90, 1.110), (54, 1.020)]);
    // Neither racked nor sulfited before it is measured; air it may stand under is said, and does not press.
    assert_eq!(cellar.says_why(ReasonKind::Lees), "");
    assert_eq!(cellar.says_why(ReasonKind::Untested), "");
    cellar.wine().volume = crate::cellar::amount::Volume::millilitres(21_000);
    let air = cellar.reason(ReasonKind::Headspace).unwrap();
    assert_eq!(air.rank, super::super::Rank::Soon);
    assert_eq!(
        cellar.says_why(ReasonKind::Unfinished),
        "› gravity 1.020 54 days ago, not known whether it still ferments: measure"
    );
}

/// It stood at 1.020 for six days, was racked four days later, and nobody looked again.
#[test]
fn a_racking_does_not_end_a_ferment_that_was_read_above_its_end() {
    let racked = |last: f64, build: &dyn Fn(&mut Cellar)| {
        let mut cellar = Cellar::with_vessel(12.0, 12.0);
        cellar.did(Deed::Pitched, 62).did(Deed::Racked, 43);
        cellar.gravities(&[(62, 1.090), (53, last), (50, last), (47, last)]);
        build(&mut cellar);
        cellar
    };
    let stage = |last, build: &dyn Fn(&mut Cellar)| racked(last, build).holding(&policy()).stage();
    assert_eq!(stage(1.020, &|_| ()), Stage::Doubtful);
    // Read a day or two before it was racked: the racking tells no more of it.
    let fresh = |it: &mut Cellar| {
        it.did(Deed::Racked, 2);
        it.gravities(&[(3, 1.030)]);
    };
    assert_eq!(stage(1.020, &fresh), Stage::Doubtful);
    // Nor of one that nobody pitched.
    let unpitched = |it: &mut Cellar| {
        it.never(Deed::Pitched);
        it.gravities(&[(47, 1.020)]);
    };
    assert_eq!(stage(1.020, &unpitched), Stage::Doubtful);
    // Sorbate holds it, and tested dry it is over.
    assert_eq!(
        stage(1.020, &|it| _ = it.did(Deed::Sorbated, 30)),
        Stage::Ageing
    );
    let dry = |it: &mut Cellar| _ = it.knows(Property::Sugar, 1.0, 30);
    assert_eq!(stage(1.020, &dry), Stage::Ageing);
    // Never read, or last read near its end, whoever racked it took it as over.
    let unread = |it: &mut Cellar| it.gravities(&[]);
    assert_eq!(stage(1.020, &unread), Stage::Ageing);
    assert_eq!(stage(0.998, &|_| ()), Stage::Ageing);

    let doubtful = racked(1.020, &|_| ());
    let of_sulfite = [
        ReasonKind::FirstSulfite,
        ReasonKind::Untested,
        ReasonKind::Presumed,
        ReasonKind::MaloAsked,
        ReasonKind::Lees,
    ];
    for kind in of_sulfite {
        assert_eq!(doubtful.says_why(kind), "");
    }
    assert_eq!(
        doubtful.says_why(ReasonKind::Stuck),
        "! stood still at 1.020 47 days ago and not read since: measure it"
    );
}

#[test]
fn a_blend_of_dry_parts_is_taken_as_over_and_one_with_sugar_in_it_is_not() {
    let blend = |gravity: f64| {
        move |it: &mut Cellar| {
            it.did(Deed::Pitched, 50).did(Deed::Blended, 1);
            it.knows(Property::Gravity, gravity, 20);
            it.wine()
                .known
                .get_mut(&Property::Gravity)
                .unwrap()
                .estimated = true;
        }
    };
    check(blend(0.994), Stage::OnLees);
    check(blend(0.998), Stage::Fermenting);
    // Yeast that went in after its parts were read works again.
    check(
        |it| {
            blend(0.994)(it);
            it.did(Deed::Pitched, 5);
        },
        Stage::Fermenting,
    );
}

#[test]
fn a_sweetened_wine_is_over_unless_its_gravity_falls() {
    let sweetened = |it: &mut Cellar| _ = it.finished().did(Deed::Sweetened, 30);
    check(sweetened, Stage::Ageing);
    check(
        |it| {
            sweetened(it);
            it.gravities(&[(70, 0.995), (62, 0.995), (29, 1.006), (2, 1.001)]);
        },
        Stage::Fermenting,
    );
}

#[test]
fn steady_above_the_end_is_stuck() {
    check(
        |it| {
            it.did(Deed::Pitched, 40);
            it.gravities(&[(18, 1.012), (10, 1.012), (1, 1.012)]);
        },
        Stage::Stuck,
    );
}

/// Sulfite takes no sugar out of a wine, and a trace of sorbate holds none of its yeast.
#[test]
fn sulfite_does_not_end_a_ferment_that_was_read_above_its_end() {
    let kit = |gravities: &'static [(i64, f64)]| {
        move |it: &mut Cellar| {
            it.did(Deed::Pitched, 40).did(Deed::Sulfited, 0);
            it.gravities(gravities);
        }
    };
    check(
        kit(&[(40, 1.090), (9, 1.004), (6, 1.004), (2, 1.004)]),
        Stage::Fermenting,
    );
    check(
        kit(&[(40, 1.090), (18, 1.004), (9, 1.004), (2, 1.004)]),
        Stage::Stuck,
    );
    check(
        kit(&[(40, 1.090), (1, 1.012), (0, 1.011)]),
        Stage::Fermenting,
    );
    check(kit(&[(40, 1.090), (1, 0.996)]), Stage::OnLees);
    let sorbate = |grams: f64| {
        move |it: &mut Cellar| {
            kit(&[(40, 1.090), (18, 1.004), (9, 1.004), (2, 1.004)])(it);
            it.knows(Property::Ph, 3.3, 2).did(Deed::Sorbated, 0);
            it.wine().weighed.sorbate = crate::cellar::amount::Mass::grams(grams);
        }
    };
    check(sorbate(0.2), Stage::Stuck);
    check(sorbate(4.2), Stage::OnLees);
    let mut cellar = Cellar::with_vessel(23.0, 20.0);
    kit(&[(40, 1.090), (9, 1.004), (6, 1.004), (2, 1.004)])(&mut cellar);
    assert_eq!(
        cellar.says_why(ReasonKind::Stuck),
        "! stands still at 1.004: stuck, test its sugar"
    );
    // It stands at one gravity for more than a week: no gas keeps the air off.
    assert_eq!(
        cellar.says_why(ReasonKind::Headspace),
        "! headspace 3.0 L, more air than sulfite can meet: top up"
    );
}

#[test]
fn over_and_not_racked_is_on_its_lees() {
    check(
        |it| {
            it.did(Deed::Pitched, 30);
            it.gravities(&[(30, 1.090), (3, 0.996)]);
        },
        Stage::OnLees,
    );
    check(|it| _ = it.did(Deed::Pitched, 90), Stage::OnLees);
    check(
        |it| _ = it.did(Deed::Pitched, 30).did(Deed::Sulfited, 8),
        Stage::OnLees,
    );
}

#[test]
fn where_a_ferment_is_taken_as_over() {
    let read = |gravity| {
        move |it: &mut Cellar| {
            it.did(Deed::Pitched, 40);
            it.gravities(&[(2, gravity)]);
        }
    };
    check(read(0.998), Stage::OnLees);
    check(read(0.999), Stage::Fermenting);
    let pitched = |days| move |it: &mut Cellar| _ = it.did(Deed::Pitched, days);
    check(pitched(61), Stage::OnLees);
    check(pitched(60), Stage::Fermenting);
    let sulfited = |days| {
        move |it: &mut Cellar| {
            it.did(Deed::Pitched, 30).did(Deed::Sulfited, days);
        }
    };
    check(sulfited(23), Stage::OnLees);
    check(sulfited(24), Stage::Fermenting);
}

#[test]
fn bacteria_not_yet_finished_is_malo() {
    check(
        |it| _ = it.finished().did(Deed::MaloStarted, 50),
        Stage::Malo,
    );
    check(
        |it| {
            _ = it
                .finished()
                .did(Deed::MaloStarted, 50)
                .did(Deed::MaloFinished, 5);
        },
        Stage::Ageing,
    );
}

#[test]
fn every_question_of_the_gate_answered_is_ready() {
    check(|it| _ = it.finished(), Stage::Ageing);
    check(
        |it| {
            it.finished().says(Property::Clarity, "clear", 2);
            it.knows(Property::Ph, 3.3, 2)
                .knows(Property::FreeSo2, 30.0, 2);
        },
        Stage::Ready,
    );
}

#[test]
fn a_run_is_in_bottle() {
    let mut cellar = Cellar::with_bottles(29, 2);
    cellar.set(super::super::trial::RUN, field::CLOSURE, "cork");
    let policy = policy();
    let run = Holding::of(&cellar.0, super::super::trial::RUN, &policy).unwrap();
    assert_eq!(run.stage(), Stage::Bottled);
}
