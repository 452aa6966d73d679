//! The numeric cores by name, for tables whose rows give a core its arguments.

use leesline_calc::quantity::{POUND_G, US_GALLON_L};
use leesline_calc::{
    acid, ageing, density, extract, ferment, hydrometer, must, nitrogen, refraction, strengthen,
    sulfite, warmth,
};

/// What a cubic metre of air weighs, kg: weighed in it, liquid and brass weights are so much lighter.
const AIR: f64 = 1.2;
const BRASS: f64 = 8400.0;
/// 60 °F in °C.
const SIXTY_F: f64 = 140.0 / 9.0;

/// What a core makes of the arguments a row gives.
pub(super) fn core(name: &str, arguments: &[f64]) -> f64 {
    match (name, arguments) {
        ("free_needed_mg_l", &[target, ph, pk1]) => sulfite::free_needed_mg_l(target, ph, pk1),
        ("pk1_oiv", &[temperature, alcohol]) => {
            sulfite::pk1_oiv(temperature, alcohol).expect("the table is well formed")
        }
        ("ethanol_density_20", &[mass]) => density::ethanol_density_20(mass),
        ("water_density", &[t]) => density::water_density(t).expect("in range"),
        ("ethanol_density", &[mass, t]) => density::ethanol_density(mass, t),
        ("sucrose_density", &[mass, t]) => density::sucrose_density(mass, t),
        ("sucrose_index", &[brix]) => refraction::sucrose_index(brix),
        ("ethanol_index", &[mass]) => {
            refraction::sucrose_index(0.0) + refraction::ethanol_adds_to_index(mass)
        }
        ("shown_brix", &[sugar, ethanol]) => {
            refraction::shown_brix(density::Solutes { sugar, ethanol })
        }
        ("extract_of_residue", &[sg]) => extract::extract_g_l(sg).unwrap_or(f64::NAN),
        ("poured_volume_l", &[a, strength_a, b, strength_b]) => {
            strengthen::pour_together((a, strength_a), (b, strength_b)).0
        }
        ("poured_strength", &[a, strength_a, b, strength_b]) => {
            strengthen::pour_together((a, strength_a), (b, strength_b)).1
        }
        ("sugar_adds_l", &[litres, brix, alcohol, kilograms]) => {
            added_by_sugar_l(litres, brix, alcohol, kilograms)
        }
        ("sugar_adds_ml_per_g", &[litres, brix, alcohol, kilograms]) => {
            added_by_sugar_l(litres, brix, alcohol, kilograms) / kilograms
        }
        ("volume_against_20", &[alcohol, extract_g_l, t]) => {
            let wine = wine_of(alcohol, extract_g_l);
            density::mixture_density(wine, 20.0) / density::mixture_density(wine, t)
        }
        ("must_brix_from_density", &[kg_l]) => {
            must::brix_from_sg(kg_l * 1e3 / density::WATER_20).unwrap_or(f64::NAN)
        }
        ("alcohol_by_mass", &[pct]) => density::alcohol_by_mass(pct),
        ("alcohol_by_volume", &[pct]) => density::alcohol_by_volume(pct),
        ("brix_from_sg", &[sg]) => density::brix_from_sg(sg).expect("the table is well formed"),
        ("apparent_sg", &[brix]) => apparent_sg(brix),
        ("pounds_per_gallon_in_air", &[brix]) => {
            pounds_per_gallon(density::sucrose_density_20(brix / 100.0))
        }
        ("pounds_per_gallon_in_air_at_60f", &[pct_vol]) => {
            pounds_per_gallon(spirit_at_60f(pct_vol))
        }
        ("gallons_per_pound_in_air", &[pct_vol]) => {
            pounds_per_gallon(spirit_at_60f(pct_vol)).recip()
        }
        // A gallon at 50 % vol is a proof gallon.
        ("proof_gallons_per_pound_in_air", &[pct_vol]) => {
            pct_vol / 50.0 / pounds_per_gallon(spirit_at_60f(pct_vol))
        }
        ("ethanol_sg_60f", &[mass]) => {
            density::ethanol_density(mass, SIXTY_F) / density::ethanol_density(0.0, SIXTY_F)
        }
        ("alcoholometer", &[reading, t]) => alcoholometer(reading, t),
        ("nbs_brix_less_ours", &[brix]) => nbs_brix(apparent_sg(brix)) - brix,
        ("mixture_density", &[alcohol, extract_g_l, t]) => {
            density::mixture_density(wine_of(alcohol, extract_g_l), t)
        }
        ("hydrometer_brix_correction", &[reading, t]) => {
            brix(hydrometer::must(reading, t, 20.0).sg) - brix(reading)
        }
        ("brix_shown_in_water", &[t]) => {
            // R·ρw(20)/[1 + γ·(t − 20)] = ρw(t) solved for what the instrument shows.
            let shown = density::water_density_sucrose(t) * (1.0 + hydrometer::GLASS * (t - 20.0));
            brix(shown / density::WATER_20_SUCROSE)
        }
        ("must_sugar_by_sucrose_brix", &[sg]) => {
            must::sugar_g_l(brix(sg)).expect("the table is well formed")
        }
        ("floor_sg", &[start, per_ethanol]) => floor_sg(start, per_ethanol),
        ("floor_alcohol", &[start, per_ethanol]) => {
            ferment::fermented(start, floor_sg(start, per_ethanol), per_ethanol)
                .expect("all of it may ferment")
                .alcohol_pct_vol
        }
        ("floor_brix", &[start, per_ethanol]) => match refraction::seen(start, 0.0, per_ethanol) {
            Err(refraction::NotSeen::BelowAllFermented(floor)) => floor,
            other => panic!("no must shows 0 °Brix: {other:?}"),
        },
        ("carbon_dioxide_l", &[grams]) => acid::carbon_dioxide_l(grams),
        ("air_ppm", &[so2_mg, room_m3]) => sulfite::air_ppm(so2_mg, room_m3),
        ("ageing_pace", &[storage_c, energy]) => ageing::pace(storage_c, energy),
        ("times_as_fast", &[energy, from_c, to_c]) => warmth::times_as_fast(energy, from_c, to_c),
        ("dap_nitrogen_mg_l", &[grams_l]) => nitrogen::dap_nitrogen_mg_l(grams_l),
        _ => panic!("no core {name} of {} arguments", arguments.len()),
    }
}

fn added_by_sugar_l(litres: f64, brix: f64, alcohol: f64, kilograms: f64) -> f64 {
    let wine = density::wine_of(alcohol, density::sucrose_g_l(brix));
    strengthen::volume_with_sugar(litres, wine, kilograms * 1e3) - litres
}

/// The make-up of a wine by its label: s·ρ = extract and p·ρ = strength, by repeating until it stands.
fn wine_of(alcohol: f64, extract_g_l: f64) -> density::Solutes {
    let of = |rho: f64| density::Solutes {
        sugar: extract_g_l / rho,
        ethanol: alcohol / 100.0 * density::pure_ethanol_20() / rho,
    };
    (0..50).fold(of(1000.0), |wine, _| {
        of(density::mixture_density(wine, 20.0))
    })
}

/// Gravity 20/20 of sugar water weighed in air.
fn apparent_sg(brix: f64) -> f64 {
    (density::sucrose_density_20(brix / 100.0) - AIR) / (density::WATER_20_SUCROSE - AIR)
}

fn brix(sg: f64) -> f64 {
    density::brix_from_sg(sg).expect("the table is well formed")
}

/// Avoirdupois pounds to a US gallon, weighed in air with brass.
fn pounds_per_gallon(density: f64) -> f64 {
    (density - AIR) / (1.0 - AIR / BRASS) * US_GALLON_L / POUND_G
}

/// Density at 60 °F of spirit whose strength in % vol is taken at 60 °F, as US law has it.
fn spirit_at_60f(pct_vol: f64) -> f64 {
    let density = |mass| density::ethanol_density(mass, SIXTY_F);
    let mass = root(0.0, 1.0, |mass| {
        mass * density(mass) / density(1.0) - pct_vol / 100.0
    });
    density(mass)
}

/// % vol at 20 °C behind what an alcoholometer of glass for 20 °C shows: ρ = ρ20(shown)·[1 − γ·(t − 20)].
fn alcoholometer(shown: f64, t: f64) -> f64 {
    let mass = |pct_vol| density::alcohol_by_mass(pct_vol) / 100.0;
    let floats_in =
        density::ethanol_density_20(mass(shown)) * (1.0 - hydrometer::GLASS * (t - 20.0));
    root(0.0, 100.0, |pct_vol| {
        floats_in - density::ethanol_density(mass(pct_vol), t)
    })
}

/// The cubic that an encyclopaedia gives for NBS Circular 440, of the gravity 20/20 in air.
fn nbs_brix(apparent_sg: f64) -> f64 {
    let s = apparent_sg;
    182.460_07 * s.powi(3) - 775.682_12 * s.powi(2) + 1_262.779_4 * s - 669.562_18
}

/// The gravity at which all extract has fermented, as the refusal of a lower one names it.
fn floor_sg(start_sg: f64, per_ethanol: f64) -> f64 {
    match ferment::fermented(start_sg, 0.9, per_ethanol) {
        Err(ferment::NoFerment::BelowAllFermented(floor)) => floor,
        other => panic!("no wine is so light: {other:?}"),
    }
}

/// Where an increasing function is zero.
fn root(low: f64, high: f64, rises: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (low, high);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if rises(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}
