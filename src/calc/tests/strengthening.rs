//! What must hold for every addition of sugar and spirit.

use leesline_calc::density::{
    Solutes, WATER_20, alcohol_by_mass, brix_from_sg, ethanol_density_20, mixture_density,
    strength_of, wine_of,
};
use leesline_calc::strengthen::{
    enrich, fortify, pour_together, sweeten, thin_wine, volume_with_sugar,
};
use proptest::prelude::*;

fn close(one: f64, other: f64, tolerance: f64) -> bool {
    (one - other).abs() <= tolerance * other.abs().max(1.0)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_label_read_back_is_the_label(alcohol in 0.0..25.0_f64, extract in 0.0..300.0_f64) {
        prop_assert!(close(strength_of(wine_of(alcohol, extract)), alcohol, 1e-9));
    }

    #[test]
    fn two_steps_of_sugar_are_one(from in 0.0..20.0_f64, first in 0.1..10.0_f64, second in 0.1..10.0_f64) {
        let one = enrich(10.0, from, from + first + second);
        let half = enrich(10.0, from, from + first);
        let rest = enrich(half.final_volume_l, from + first, from + first + second);
        prop_assert!(close(half.amount + rest.amount, one.amount, 1e-9));
        prop_assert!(close(rest.final_volume_l, one.final_volume_l, 1e-9));
    }

    #[test]
    fn what_is_sweetened_holds_what_was_aimed_at(
        volume in 0.5..500.0_f64,
        alcohol in 0.0..20.0_f64,
        from in 0.0..100.0_f64,
        more in 0.1..200.0_f64,
    ) {
        let added = sweeten(volume, alcohol, from, from + more);
        let grams = from * volume + added.amount;
        prop_assert!(close(grams / added.final_volume_l, from + more, 1e-9));
        prop_assert!(added.final_volume_l > volume && added.amount > more * volume);
        let back = volume_with_sugar(volume, wine_of(alcohol, from), added.amount);
        prop_assert!(close(back, added.final_volume_l, 1e-12));
    }

    #[test]
    fn what_is_fortified_has_the_alcohol_of_both(
        volume in 0.5..500.0_f64,
        from in 5.0..16.0_f64,
        more in 0.1..8.0_f64,
        spirit in 30.0..100.0_f64,
    ) {
        let to = from + more;
        let added = fortify(volume, wine_of(from, 0.0), alcohol_by_mass(spirit), to);
        // Alcohol by volume is alcohol by mass over one density, so it adds up where the volumes do not.
        let alcohol = from * volume + spirit * added.amount;
        prop_assert!(close(alcohol / added.final_volume_l, to, 1e-9));
        let (together, strength) = pour_together((volume, from), (added.amount, spirit));
        prop_assert!(close(together, added.final_volume_l, 1e-9) && close(strength, to, 1e-9));
    }

    /// Sugar, ethanol and mass of both are in what there is then.
    #[test]
    fn what_is_fortified_weighs_what_went_in(
        volume in 0.5..500.0_f64, from in 5.0..16.0_f64, sugar in 0.0..150.0_f64, more in 0.1..8.0_f64, spirit in 30.0..100.0_f64,
    ) {
        let (wine, spirit_mass) = (wine_of(from, sugar), alcohol_by_mass(spirit));
        let added = fortify(volume, wine, spirit_mass, from + more);
        let wine_g = volume * mixture_density(wine, 20.0);
        let spirit_g = added.amount * ethanol_density_20(spirit_mass / 100.0);
        let mass = wine_g + spirit_g;
        let both = Solutes {
            sugar: wine.sugar * wine_g / mass,
            ethanol: (wine.ethanol * wine_g + spirit_mass / 100.0 * spirit_g) / mass,
        };
        prop_assert!(close(strength_of(both), from + more, 1e-9));
        prop_assert!(close(mass / mixture_density(both, 20.0), added.final_volume_l, 1e-9));
    }

    #[test]
    fn what_is_thinned_weighs_what_went_in(
        volume in 0.5..500.0_f64, from in 8.0..20.0_f64, sugar in 0.0..150.0_f64, part in 0.5..0.99_f64,
    ) {
        let wine = wine_of(from, sugar);
        let added = thin_wine(volume, wine, from * part);
        let wine_g = volume * mixture_density(wine, 20.0);
        let mass = wine_g + added.amount * WATER_20;
        let thin = Solutes { sugar: wine.sugar * wine_g / mass, ethanol: wine.ethanol * wine_g / mass };
        prop_assert!(close(strength_of(thin), from * part, 1e-9));
        prop_assert!(close(mass / mixture_density(thin, 20.0), added.final_volume_l, 1e-9));
    }

    #[test]
    fn a_stronger_spirit_takes_less(from in 8.0..14.0_f64, spirit in 30.0..95.0_f64, more in 0.5..5.0_f64) {
        let needed = |spirit| fortify(10.0, wine_of(from, 0.0), alcohol_by_mass(spirit), from + 5.0).amount;
        prop_assert!(needed(spirit) > needed(spirit + more));
    }
}

#[test]
fn a_brix_of_a_gravity_is_the_gravity() {
    let added = enrich(
        23.0,
        brix_from_sg(1.070).unwrap(),
        brix_from_sg(1.090).unwrap(),
    );
    // Masses before and after by gravity × 998.2031 g/L: 23·1068.0773 + m = V·1088.0414.
    let by_mass = (23.0 * 1068.0773 + added.amount) / 1088.0414;
    assert!(close(by_mass, added.final_volume_l, 1e-5));
}
