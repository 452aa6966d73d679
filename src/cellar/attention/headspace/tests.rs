use super::super::trial::{CARBOY, Cellar, days_ago};
use super::*;
use crate::cellar::thing::Key;

fn check(litres: f64, build: impl Fn(&mut Cellar), expected: &str) {
    let mut cellar = Cellar::with_vessel(23.0, litres);
    cellar.finished();
    build(&mut cellar);
    assert_eq!(cellar.says_why(ReasonKind::Headspace), expected);
}

#[test]
fn air_that_may_cost_much_sulfite_is_now() {
    check(
        22.0,
        |_| (),
        "! headspace 1.0 L, may cost 32 mg/L SO2: top up",
    );
    check(
        22.5,
        |_| (),
        "› headspace 500 mL, may cost 15 mg/L SO2: top up",
    );
    check(22.8, |_| (), "");
    // Oxygen per litre of wine: 8.10, 7.46, 4.31 and 3.68 mg.
    let says = |litres| {
        let mut cellar = Cellar::with_vessel(23.0, litres);
        let found = cellar.finished().reason(ReasonKind::Headspace);
        found.map(|it| (it.rank, it.due.days_since(cellar.0.now)))
    };
    // Racked 60 days ago, and given a week.
    assert_eq!(says(22.35), Some((Rank::Now, -53)));
    assert_eq!(says(22.40), Some((Rank::Soon, -53)));
    assert_eq!(says(22.65), Some((Rank::Soon, -53)));
    assert_eq!(says(22.70), None);
}

// Derived: 1 L of air at 20 °C is 278.6 mg of oxygen; over 23 L of wine 12.11 mg/L, which may cost
// 30.3 mg/L at 2.5 and 48.5 at 4.004.
#[test]
fn a_litre_of_air_over_23_litres_costs_30_mg_per_litre_or_more() {
    let mut cellar = Cellar::with_vessel(24.0, 23.0);
    cellar.finished();
    assert_eq!(
        cellar.working(ReasonKind::Headspace)[1..3],
        [
            "Oxygen in it 279 mg (0.2786 mg/mL of air at 20 °C, gas law), 12.1 mg per litre of wine.",
            "If the wine takes it all up, 30 mg/L of free SO2 at 2.5 mg per mg (Pascal, Diéval and Vidal), 49 at worst (stoichiometry); and again each time the air is renewed.",
        ]
    );
}

#[test]
fn the_way_out_is_named_when_the_cellar_has_it() {
    check(
        22.0,
        |it| _ = it.spare(1, "Jug", "jug", 3.8).fill(Key(1), 2.0),
        "! headspace 1.0 L, may cost 32 mg/L SO2: top up from Jug",
    );
    check(
        4.9,
        |it| _ = it.spare(1, "Demijohn 2", "demijohn", 5.0),
        "! headspace 18.1 L, more air than sulfite can meet: rack into Demijohn 2",
    );
}

#[test]
fn a_cellar_without_another_vessel_is_not_told_to_top_up_by_the_bucket() {
    check(
        4.9,
        |_| (),
        "! headspace 18.1 L, more air than sulfite can meet: move it to a smaller vessel, or bottle it once it is ready",
    );
    // Nor by more than there is of it: 2.0 L in a demijohn that the rest of a bottling went into.
    let mut cellar = Cellar::with_vessel(5.0, 2.0);
    cellar.finished();
    let says = "! headspace 3.0 L, more air than sulfite can meet: move it to a smaller vessel, or bottle it once it is ready";
    assert_eq!(cellar.says_why(ReasonKind::Headspace), says);
    // 2.0 L of 5.0 L fit no jug of 1.5 L: nothing is named that holds less than the wine.
    check(
        2.0,
        |it| _ = it.spare(1, "Jug", "jug", 1.5),
        "! headspace 21.0 L, more air than sulfite can meet: move it to a smaller vessel, or bottle it once it is ready",
    );
}

#[test]
fn the_more_of_a_vessel_is_air_the_more_it_presses_known_or_about() {
    let weigh = |size: f64, litres: f64, about: bool| {
        let mut cellar = Cellar::with_vessel(size, litres);
        cellar.finished();
        cellar.wine().about = about;
        let reason = cellar.reason(ReasonKind::Headspace).unwrap();
        assert_eq!(reason.rank, Rank::Now);
        reason.weight
    };
    let order = [
        weigh(50.0, 33.0, true),
        weigh(19.0, 6.0, true),
        weigh(54.0, 52.0, false),
    ];
    assert!(order.is_sorted_by(|one, other| one > other), "{order:?}");
}

/// Filled sixty days ago, and fallen from so many litres on those days.
fn due(litres: f64, falls: &[(i64, f64)]) -> i64 {
    let mut cellar = Cellar::with_vessel(23.0, litres);
    cellar.finished();
    cellar.wine().falls = falls
        .iter()
        .map(|(days, from)| (days_ago(*days), Volume::litres(*from)).into())
        .collect();
    let reason = cellar.reason(ReasonKind::Headspace).unwrap();
    reason.due.days_since(cellar.0.now)
}

#[test]
fn air_counts_from_the_draw_that_left_it() {
    // Given a week after it, but not under as much air as a quarter of the vessel.
    assert_eq!(due(20.2, &[(9, 22.9)]), -2);
    assert_eq!(due(10.2, &[(9, 22.9)]), -9);
    // A glass drawn later does not make it younger, nor does one drawn before, while it was full.
    assert_eq!(due(22.3, &[(30, 22.9), (9, 22.4)]), -23);
    assert_eq!(due(22.3, &[(30, 22.95), (9, 22.9)]), -2);
    assert_eq!(due(22.3, &[(9, 22.4)]), -53);
    // From a litre of air to nearly all of it.
    assert_eq!(due(10.2, &[(12, 22.9), (9, 22.0)]), -9);
    assert_eq!(due(10.2, &[(30, 22.9), (9, 22.0)]), -23);
}

#[test]
fn air_counts_from_the_end_of_the_ferment_whose_gas_kept_it_off() {
    let due_after = |gravities: &[(i64, f64)], pitched: i64| {
        let mut cellar = Cellar::with_vessel(30.0, 22.0);
        cellar
            .did(Deed::Filled, pitched)
            .did(Deed::Pitched, pitched);
        cellar.gravities(gravities);
        let reason = cellar.reason(ReasonKind::Headspace).unwrap();
        reason.due.days_since(cellar.0.now)
    };
    let read = [(40, 1.090), (20, 1.010), (9, 0.997), (5, 0.994)];
    assert_eq!(due_after(&read, 40), -9);
    // Of one that nobody measured, three weeks after the yeast.
    assert_eq!(due_after(&[], 90), -69);
}

/// A litre under 22 is pressing on the day it comes to be so, before wine that wants a label or a racking some day.
#[test]
fn what_stands_under_much_air_is_urgent_at_once() {
    let rank = |litres: f64| {
        let mut cellar = Cellar::with_vessel(23.0, litres);
        cellar.finished().did(Deed::Racked, 0).did(Deed::Filled, 0);
        cellar.reason(ReasonKind::Headspace).map(|it| it.rank)
    };
    assert_eq!(rank(1.1), Some(Rank::Now));
    assert_eq!(rank(20.0), Some(Rank::Soon));
}

#[test]
fn gas_from_the_lees_of_a_fresh_wine_keeps_air_off_for_a_while() {
    let over_since = |days: i64| {
        move |it: &mut Cellar| {
            it.never(Deed::Racked).never(Deed::Sulfited);
            it.gravities(&[(days + 20, 1.090), (days, 0.996)]);
        }
    };
    let says = "headspace 1.0 L, may cost 32 mg/L SO2: top up";
    check(22.0, over_since(10), &format!("› {says}"));
    check(22.0, over_since(40), &format!("! {says}"));
    // Three equal readings over three weeks, or a look that found none: no gas rises.
    let steady = |it: &mut Cellar| {
        over_since(21)(it);
        it.gravities(&[(41, 1.090), (21, 0.998), (11, 0.998), (0, 0.998)]);
    };
    check(22.0, steady, &format!("! {says}"));
    let without = |it: &mut Cellar| {
        over_since(10)(it);
        it.says(Property::Gas, "none", 9);
    };
    check(22.0, without, &format!("! {says}"));
}

#[test]
fn a_ferment_a_floating_lid_and_a_vessel_of_unknown_size_are_left_alone() {
    let ferment = |it: &mut Cellar| {
        it.did(Deed::Pitched, 5).never(Deed::Sulfited);
        it.gravities(&[(5, 1.090), (1, 1.040)]);
    };
    check(18.0, ferment, "");
    check(
        18.0,
        |it| _ = it.set(CARBOY, field::CLOSURE, "floating lid"),
        "",
    );
    check(
        18.0,
        |it| _ = it.thing(CARBOY, crate::cellar::thing::Sort::Vessel, "Odd"),
        "",
    );
    check(-1.0, |_| (), "");
    check(24.0, |_| (), "");
}

/// Half a carboy of air over a ferment that stood at 1.020 for weeks: no gas is made any more that would keep it off.
#[test]
fn air_over_a_stuck_ferment_is_told_too() {
    let stuck = |gas: Option<&'static str>| {
        move |it: &mut Cellar| {
            it.did(Deed::Pitched, 100).never(Deed::Sulfited);
            it.gravities(&[(100, 1.090), (60, 1.020), (40, 1.020), (20, 1.020)]);
            if let Some(word) = gas {
                it.says(Property::Gas, word, 2);
            }
        }
    };
    let said = "! headspace 11.0 L, more air than sulfite can meet: ";
    for gas in [None, Some("none")] {
        let mut cellar = Cellar::with_vessel(23.0, 12.0);
        stuck(gas)(&mut cellar);
        let found = cellar.says_why(ReasonKind::Headspace);
        assert!(found.starts_with(said), "{found}");
    }
    check(12.0, stuck(Some("much")), "");
}

/// The same while it stands there for days only, by readings so many days ago: it is measured again before a week has gone by.
#[test]
fn air_over_a_ferment_that_stood_still_for_a_week_is_told() {
    let says = |readings: [i64; 3], gas: Option<&str>| {
        let mut cellar = Cellar::with_vessel(23.0, 12.0);
        cellar.did(Deed::Filled, 24).did(Deed::Pitched, 24);
        let [first, second, last] = readings.map(|it| (it, 1.020));
        cellar.gravities(&[(24, 1.090), (20, 1.050), first, second, last]);
        if let Some(word) = gas {
            cellar.says(Property::Gas, word, 1);
        }
        let stuck = cellar.says_why(ReasonKind::Stuck);
        assert!(stuck.contains("stands still at 1.020"), "{stuck}");
        cellar.says_why(ReasonKind::Headspace)
    };
    let air = "headspace 11.0 L, more air than sulfite can meet";
    assert_eq!(says([6, 3, 0], None), "");
    let home = format!("! {air}: move it to a smaller vessel, or bottle it once it is ready");
    assert_eq!(says([7, 4, 1], None), home);
    assert_eq!(says([12, 9, 6], Some("none")), home);
    assert_eq!(says([7, 4, 1], Some("much")), "");
    let measure = "measure its gravity again, and top up if it ferments no more";
    assert_eq!(says([13, 10, 7], None), format!("› {air}: {measure}"));
}

/// Read at 1.012 forty days ago: gas may keep the air off, and topping up a ferment makes it foam.
#[test]
fn a_wine_that_may_ferment_is_measured_before_it_is_topped_up() {
    let mut cellar = Cellar::with_vessel(23.0, 22.0);
    cellar.did(Deed::Pitched, 120);
    cellar.gravities(&[(120, 1.090), (40, 1.012)]);
    let reason = cellar.reason(ReasonKind::Headspace).unwrap();
    let first = "measure its gravity again, and top up if it ferments no more";
    assert!(reason.sentence.ends_with(first), "{}", reason.sentence);
    assert_eq!(reason.suggestion.verb, "measure");
}

/// A bought wine at 1.012, whose yeast nobody pitched: what is asked next, and in which words.
#[test]
fn one_reading_alone_is_not_asked_for_again_on_the_same_day() {
    let asks = |build: &dyn Fn(&mut Cellar)| {
        let mut cellar = Cellar::with_vessel(23.0, 22.0);
        build(&mut cellar);
        let found = cellar.reason(ReasonKind::Headspace);
        found.map(|it| {
            let what = it.sentence.rsplit(": ").next().unwrap_or_default();
            (what.to_owned(), it.suggestion.verb, it.suggestion.needs)
        })
    };
    let told =
        |what: &str, verb, needs: &[&'static str]| Some((what.to_owned(), verb, needs.to_vec()));
    let gravity = "measure its gravity again, and top up if it ferments no more";
    let gravity = told(gravity, "measure", &["gravity"]);
    let sample = "shake a sample, and top up if no gas is in it";
    let sample = told(sample, "measure", &["gas"]);
    let top_up = told("top up", "top-up", &["from"]);
    let read = |it: &mut Cellar, at: &[i64]| {
        let all: Vec<(i64, f64)> = at.iter().map(|days| (*days, 1.012)).collect();
        it.gravities(&all);
    };
    assert_eq!(asks(&|it| read(it, &[7])), gravity);
    assert_eq!(asks(&|it| read(it, &[0])), sample);
    assert_eq!(asks(&|it| read(it, &[3, 0])), sample);
    assert_eq!(asks(&|it| read(it, &[7, 0])), top_up);
    let shaken = |word: &'static str| {
        move |it: &mut Cellar| {
            read(it, &[0]);
            it.says(Property::Gas, word, 0);
        }
    };
    assert_eq!(asks(&shaken("none")), top_up);
    assert_eq!(asks(&shaken("much")), None);
}
