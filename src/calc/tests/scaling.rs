//! There and back, and more of one for more of another: what holds whatever the figures are.

use leesline_calc::quantity::Units;
use leesline_calc::{Answer, density, gas, hydrometer, must, oxygen, refraction, registry};
use proptest::prelude::*;

fn ask(calc: &str, given: &[(&str, String)]) -> Answer {
    let pairs: Vec<(&str, &str)> = given
        .iter()
        .map(|(key, text)| (*key, text.as_str()))
        .collect();
    registry::find(calc)
        .expect(calc)
        .ask(&pairs, &Units::default())
        .unwrap_or_else(|refusal| panic!("{calc} {given:?}: {refusal}"))
}

fn number(calc: &str, given: &[(&str, String)], key: &str) -> f64 {
    ask(calc, given)
        .number(key)
        .unwrap_or_else(|| panic!("{calc} gives no {key}"))
}

fn close(one: f64, other: f64, tolerance: f64) -> bool {
    (one - other).abs() <= tolerance * other.abs().max(1.0)
}

/// The calculator's example with another volume, and the results that go with it.
const BY_VOLUME: [(&str, &str, &[&str]); 17] = [
    (
        "sulfite-dose",
        "volume",
        &["metabisulfite_g", "so2_mg", "solution_ml", "half_now_g"],
    ),
    ("sulfite-by-spoon", "volume", &["metabisulfite_g"]),
    ("acid-add", "volume", &["acid_g"]),
    (
        "deacidify",
        "volume",
        &["agent_g", "agent_g_low", "agent_g_high", "co2_l"],
    ),
    (
        "nutrient",
        "volume",
        &["dap_g", "dap_first_g", "dap_ceiling_g"],
    ),
    ("yeast", "volume", &["yeast_g", "water_ml"]),
    ("sorbate", "volume", &["sorbate_g", "ceiling_g"]),
    ("fining", "volume", &["agent_g", "slurry_ml"]),
    ("trial-scale", "volume", &["agent_g", "stock_ml"]),
    ("sanitizer", "make", &["metabisulfite_g", "citric_g"]),
    ("enrich", "volume", &["sugar_g", "final_volume_l"]),
    (
        "concentrate",
        "volume",
        &["concentrate_l", "final_volume_l"],
    ),
    ("sweeten", "volume", &["sugar_g", "final_volume_l"]),
    (
        "fortify",
        "volume",
        &["spirit_l", "final_volume_l", "contraction_ml"],
    ),
    ("dilute", "volume", &["water_l", "final_volume_l"]),
    ("expansion", "volume", &["volume_change_ml"]),
    ("room-gas", "volume", &["co2_l", "co2_g"]),
];

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn so_many_times_the_wine_takes_so_many_times_as_much(
        which in 0..BY_VOLUME.len(), litres in 15.0..40.0_f64, times in 1.1..10.0_f64,
    ) {
        let (calc, volume, results) = BY_VOLUME[which];
        let of = |litres: f64| {
            let example = registry::find(calc).expect(calc).example.iter();
            let others = example.filter(|(name, _)| *name != volume).map(|(name, text)| (*name, (*text).to_owned()));
            ask(calc, &others.chain([(volume, litres.to_string())]).collect::<Vec<_>>())
        };
        let (one, many) = (of(litres), of(litres * times));
        for key in results {
            let [one, many] = [&one, &many].map(|answer| answer.number(key).expect(key));
            prop_assert!(one != 0.0 && close(many, times * one, 1e-9), "{calc} {key}: {one} {many}");
        }
    }

    #[test]
    fn gravity_brix_and_sugar_come_back(sg in 1.0..1.3_f64) {
        let from = |key: &'static str, value: f64, to: &str| number("sugar", &[(key, format!("{value} {}", match key {
            "brix" => "Bx",
            "sg" => "sg",
            _ => "g/L",
        }))], to);
        let brix = from("sg", sg, "brix");
        let grams = from("brix", brix, "sugar_g_l");
        prop_assert!(close(from("sugar_g_l", grams, "sg"), sg, 1e-9));
        prop_assert!(close(from("brix", brix, "sg"), sg, 1e-9));
        prop_assert!(close(from("sg", sg, "sugar_g_l"), grams, 1e-9));
        prop_assert!(from("sg", sg + 0.001, "brix") > brix && from("sg", sg + 0.001, "sugar_g_l") > grams);
    }

    #[test]
    fn strength_by_mass_and_by_volume_come_back(pct_vol in 0.0..100.0_f64) {
        let mass = density::alcohol_by_mass(pct_vol);
        prop_assert!(close(density::alcohol_by_volume(mass), pct_vol, 1e-9));
        prop_assert!(mass <= pct_vol + 1e-9);
    }

    #[test]
    fn more_spirit_and_more_warmth_make_it_lighter(mass in 0.0..0.99_f64, t in -5.0..39.0_f64) {
        let here = density::ethanol_density(mass, t);
        // Water alone is heaviest at 4 °C, and thin spirit near it.
        prop_assert!(density::ethanol_density(mass + 0.01, t) < here);
        prop_assert!(t < 5.0 || density::ethanol_density(mass, t + 1.0) < here);
    }

    #[test]
    fn more_sugar_is_heavier_and_bends_more(brix in 0.0..44.0_f64, t in 0.0..80.0_f64) {
        let heavy = |brix: f64| density::sucrose_density(brix / 100.0, t);
        prop_assert!(heavy(brix + 0.1) > heavy(brix));
        prop_assert!(refraction::sucrose_index(brix + 0.1) > refraction::sucrose_index(brix));
    }

    #[test]
    fn must_holds_less_sugar_than_sugar_water_and_more_by_the_degree(brix in 10.0..29.9_f64) {
        let sugar = must::sugar_g_l(brix).expect("inside the table");
        prop_assert!(sugar < density::sucrose_g_l(brix));
        prop_assert!(must::sugar_g_l(brix + 0.1).expect("inside the table") > sugar);
    }

    #[test]
    fn colder_holds_more_oxygen(t in 0.0..39.0_f64, ml in 1.0..5000.0_f64) {
        let water = |t| oxygen::water_holds_mg_l(t).expect("inside the table");
        prop_assert!(water(t) > water(t + 1.0));
        prop_assert!(oxygen::air_oxygen_mg(ml, t) > oxygen::air_oxygen_mg(ml, t + 1.0));
        prop_assert!(oxygen::air_oxygen_mg(ml + 1.0, t) > oxygen::air_oxygen_mg(ml, t));
    }

    #[test]
    fn a_warm_must_floats_the_hydrometer_too_low(reading in 1.0..1.15_f64, t in 8.0..34.0_f64) {
        let corrected = |t| hydrometer::must(reading, t, 20.0).sg;
        prop_assert!(corrected(t + 1.0) > corrected(t));
        // Within what water at 20 °C is rounded to.
        prop_assert!((corrected(20.0) - reading).abs() < 1e-7);
        // Read again in the must there is, it shows what it showed.
        let must = density::brix_from_sg(corrected(t)).expect("it is a must") / 100.0;
        prop_assert!(close(hydrometer::floats_in(reading, t, 20.0), density::sucrose_density(must, t), 1e-7));
    }

    #[test]
    fn a_warm_refractometer_shows_too_little(reading in 0.0..30.0_f64, t in 10.0..29.0_f64) {
        let add = |t| refraction::warmth_correction(reading, t).expect("inside the table");
        prop_assert!(add(t + 1.0) > add(t));
        prop_assert!(add(20.0).abs() < 1e-12);
    }

    #[test]
    fn bottles_and_what_is_left_are_the_wine(litres in 1.0..500.0_f64, bottle in 187.0..1500.0_f64, loss in 0.0..0.9_f64) {
        let given = [
            ("volume_l", litres.to_string()),
            ("bottle_ml", bottle.to_string()),
            ("loss_l", loss.to_string()),
        ];
        let plan = ask("bottling-plan", &given);
        let of = |key| plan.number(key).expect(key);
        prop_assert!(close(of("bottles") * bottle + of("left_over_ml"), (litres - loss) * 1e3, 1e-9));
        prop_assert!(of("left_over_ml") < bottle && of("corks") > of("bottles"));
    }

    #[test]
    fn more_sugar_presses_more_and_less_oxygen_takes_more_gas(sugar in 0.1..50.0_f64, pct in 0.02..19.0_f64) {
        prop_assert!(gas::bottle_kpa(sugar + 0.1) > gas::bottle_kpa(sugar));
        // 20.9·e⁻ⁿ is what so many fillings leave.
        prop_assert!(close(gas::AIR_OXYGEN_PCT * (-gas::purges(pct)).exp(), pct, 1e-9));
        prop_assert!(gas::purges(pct - 0.01) > gas::purges(pct));
    }
}
