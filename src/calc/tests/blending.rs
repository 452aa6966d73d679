//! Blends: what is found keeps the bounds, is the best there is, and what cannot be is said with by how much.

use leesline_calc::quantity::Units;
use leesline_calc::{Answer, CalcError, blend, registry};
use proptest::prelude::*;

fn ask(given: &[(&str, &str)]) -> Result<Answer, CalcError> {
    registry::find("blend")
        .expect("it is in the list")
        .ask(given, &Units::default())
}

fn check(given: &[(&str, &str)], key: &str, expected: &str) {
    let answer = ask(given).unwrap_or_else(|refusal| panic!("{given:?}: {refusal}"));
    assert_eq!(answer.results.text(key), Some(expected), "{given:?}");
}

fn check_refused(given: &[(&str, &str)], input: &str, says: &str) {
    let refusal = ask(given).expect_err(says);
    assert_eq!(refusal.input(), Some(input), "{refusal}");
    assert!(refusal.to_string().contains(says), "{refusal}");
}

/// Litres and binding bounds by the `HiGHS` solver (scipy 1.17.1, `linprog`), outside this crate.
#[test]
fn the_parts_are_those_another_solver_finds() {
    let three =
        "dark:23:alcohol=14.2:ta=5.4, light:19:alcohol=11.8:ta=7.6, jug:5:alcohol=12.6:ta=6.2";
    let bounds = "alcohol>=12.5, alcohol<=13.0, ta>=6.0, ta<=6.5";
    let given = [
        ("wines", three),
        ("make", "20 L"),
        ("bounds", bounds),
        ("aim", "least dark"),
    ];
    check(&given, "parts", "dark:6.818, light:8.182, jug:5.000");
    check(&given, "left", "dark:16.182, light:10.818");
    check(&given, "binding", "ta<=6.5; jug is used up");

    let two = [
        ("wines", "sharp:10:va=0.95, sound:23:va=0.45"),
        ("bounds", "va<=0.60"),
    ];
    check(&two, "parts", "sharp:9.857, sound:23.000");
    check(&two, "binding", "va<=0.60; sound is used up");

    let costs = "p:25:alcohol=13.5:sugar=2:ta=5.2:cost=4, q:25:alcohol=10.5:sugar=1:ta=8.0:cost=2, \
                 r:10:alcohol=12:sugar=18:ta=6.0:cost=2.8";
    let bounds = "alcohol>=12, sugar<=4, ta>=5.8";
    let given = [
        ("wines", costs),
        ("make", "30 L"),
        ("bounds", bounds),
        ("aim", "least cost"),
    ];
    check(&given, "parts", "p:12.727, q:12.727, r:4.545");
    check(&given, "binding", "alcohol>=12; sugar<=4");
}

/// By hand: shares of 20 and 10 L; 12.9 = (13.5·2 + 11.7)/3; a quarter of 8 L.
#[test]
fn without_an_aim_wines_go_together_as_they_are() {
    let wines = "one:20:alcohol=13.5, other:10:alcohol=11.7";
    check(&[("wines", wines)], "parts", "one:20.000, other:10.000");
    let all = ask(&[("wines", wines)]).expect("all there is");
    assert!((all.number("alcohol_pct_vol").expect("both are known") - 12.9).abs() < 1e-9);
    check(
        &[("wines", wines), ("make", "6 L")],
        "parts",
        "one:4.000, other:2.000",
    );
    let near = [("wines", wines), ("make", "8 L"), ("aim", "alcohol=12.15")];
    check(&near, "parts", "one:2.000, other:6.000");
}

#[test]
fn what_is_not_known_of_one_wine_is_not_known_of_the_blend() {
    let answer =
        ask(&[("wines", "one:20:alcohol=13.5:ta=6, other:10:alcohol=11.7")]).expect("it mixes");
    assert_eq!(answer.number("ta_g_l"), None);
    assert!(answer.number("alcohol_pct_vol").is_some());
}

#[test]
fn what_cannot_be_is_said_with_by_how_much() {
    let two = "one:23:alcohol=13.2, other:23:alcohol=12.1";
    let given = [
        ("wines", two),
        ("make", "20 L"),
        ("bounds", "alcohol>=13.5"),
    ];
    check_refused(
        &given,
        "bounds",
        "alcohol>=13.5 stands in the way: the nearest has 13.2, 0.30 too little",
    );
    let given = [("wines", two), ("bounds", "alcohol<=12")];
    check_refused(
        &given,
        "bounds",
        "alcohol<=12 stands in the way: the nearest has 12.1, 0.10 too much",
    );
    check_refused(
        &[("wines", two), ("make", "50 L")],
        "make_l",
        "together they are 46.00 L, 4.00 L too little",
    );
    check_refused(
        &[("wines", two), ("bounds", "ta>=5")],
        "wines",
        "ta of `one` is not known",
    );
    check_refused(
        &[("wines", two), ("bounds", "colour>=5")],
        "bounds",
        "neither a wine named here nor a property",
    );
    check_refused(&[("wines", two), ("aim", "cheap")], "aim", "is no aim");
    check_refused(
        &[("wines", two), ("aim", "most alcohol")],
        "make_l",
        "say how much to make",
    );
    check_refused(&[("wines", "one:23, one:5")], "wines", "named twice");
    check_refused(
        &[("wines", "one:23:alcohol=40")],
        "wines",
        "outside 0 to 25 % vol",
    );
}

/// Two goals in each other's way are missed by the smaller part of the bound: half and half misses 14 % vol by 2/14, all of the
/// first would miss 1.5 g/L by as much again.
#[test]
fn the_nearest_misses_by_the_smallest_part() {
    let given = [
        (
            "wines",
            "one:10:alcohol=14:sugar=3, other:10:alcohol=10:sugar=0",
        ),
        ("make", "10 L"),
        ("bounds", "alcohol>=14, sugar<=1.5"),
    ];
    check_refused(
        &given,
        "bounds",
        "alcohol>=14 stands in the way: the nearest has 12.0, 2.00 too little",
    );
}

#[test]
fn an_aim_out_of_reach_is_come_near_from_either_side() {
    let wines = "one:20:alcohol=13.5, other:10:alcohol=11.7";
    let near = |aim| [("wines", wines), ("make", "8 L"), ("aim", aim)];
    check(&near("alcohol=10"), "parts", "other:8.000");
    check(&near("alcohol=15"), "parts", "one:8.000");
}

#[test]
fn nothing_is_no_blend() {
    let least = blend::Aim::Least(blend::Subject::Volume);
    assert_eq!(
        blend::solve(&[10.0, 10.0], None, &[], &least),
        Err(blend::NoBlend::Unsolved)
    );
}

/// A millionth of the bound, or of one where the bound is less.
#[test]
fn a_bound_is_kept_and_met_within_rounding() {
    let check = |figure: f64, litres: f64, kept: bool| {
        for side in [blend::Side::AtMost, blend::Side::AtLeast] {
            let subject = blend::Subject::Volume;
            let bound = blend::Bound {
                subject,
                side,
                figure,
            };
            let off = if side == blend::Side::AtMost {
                litres
            } else {
                -litres
            };
            assert_eq!(
                bound.is_kept(&[figure + off]),
                kept,
                "{side:?} {figure} off {off}"
            );
            assert_eq!(
                bound.is_met(&[figure + off]),
                kept,
                "{side:?} {figure} off {off}"
            );
        }
    };
    check(1000.0, 0.9e-3, true);
    check(1000.0, 1.1e-3, false);
    check(0.5, 0.9e-6, true);
    check(0.5, 1.1e-6, false);
}

/// Σ βᵢ·Vᵢ·pHᵢ / Σ βᵢ·Vᵢ by hand, with β doubled below the middle for the low end and above it for the high one:
/// (2·3.0 + 3.5 + 4.0)/4 and (3.0 + 3.5 + 2·4.0)/4.
#[test]
fn a_mixed_ph_lies_between_what_the_buffers_may_do() {
    let it = blend::mixed_ph(&[10.0, 10.0, 10.0], &[3.0, 3.5, 4.0]);
    for (ours, expected) in [(it.low, 3.375), (it.value, 3.5), (it.high, 3.625)] {
        assert!(
            (ours - expected).abs() < 1e-12,
            "{ours}, expected {expected}"
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Beside a walk over a fine grid of two wines: nothing on the grid that keeps the bound is better.
    #[test]
    fn no_grid_finds_a_better_blend_of_two(
        have in prop::array::uniform2(1.0..30.0_f64),
        strength in prop::array::uniform2(9.0..15.0_f64),
        part in 0.1..0.95_f64,
        least in 9.0..15.0_f64,
    ) {
        let make = part * (have[0] + have[1]);
        let figures = blend::Subject::Figure(strength.to_vec());
        let bound = blend::Bound { subject: figures, side: blend::Side::AtLeast, figure: least };
        let aim = blend::Aim::Most(blend::Subject::Wine(0));
        let found = blend::solve(&have, Some(make), std::slice::from_ref(&bound), &aim);
        let grid = (0..=1000_u32)
            .map(|step| f64::from(step) / 1000.0 * make)
            .map(|first| [first, make - first])
            .filter(|it| it[0] <= have[0] && it[1] <= have[1])
            .filter(|it| blend::mixed(it, &strength) >= least)
            .map(|it| it[0])
            .reduce(f64::max);
        match (found, grid) {
            (Ok(litres), best) => {
                prop_assert!(bound.is_kept(&litres));
                prop_assert!((litres[0] + litres[1] - make).abs() < 1e-6);
                prop_assert!(best.is_none_or(|best| litres[0] >= best - 1e-6));
            }
            (Err(blend::NoBlend::InTheWay(missed)), None) => {
                // The nearest is as strong as can be: all of the stronger, as far as it goes.
                let strong = usize::from(strength[1] > strength[0]);
                let first = have[strong].min(make);
                let nearest = (first * strength[strong] + (make - first) * strength[1 - strong]) / make;
                prop_assert!((missed[0].1 - nearest).abs() < 1e-6);
            }
            (Err(why), best) => prop_assert!(false, "{why:?} though {best:?} would do"),
        }
    }

    #[test]
    fn a_mixed_figure_lies_between_those_that_mix(
        litres in prop::collection::vec(0.1..30.0_f64, 3),
        ph in prop::collection::vec(2.9..4.1_f64, 3),
    ) {
        let (low, high) = (ph.iter().copied().fold(9.0, f64::min), ph.iter().copied().fold(0.0, f64::max));
        let it = blend::mixed_ph(&litres, &ph);
        prop_assert!(low - 1e-9 <= it.low && it.low <= it.value && it.value <= it.high && it.high <= high + 1e-9);
    }
}
