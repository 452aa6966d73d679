//! Sugar and ethanol together in water.

use super::{bisect, ethanol_density, pure_ethanol_20, sucrose_density, water_density_sucrose};

/// What is dissolved, each as mass fraction of the whole. Extract other than sugar counts as sugar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Solutes {
    /// Sugar and other extract, −0.05 to 0.5; below zero only as the apparent extract of a reading too low.
    pub sugar: f64,
    /// Ethanol, 0 to 0.25.
    pub ethanol: f64,
}

/// Density in kg/m³ at 0 to 40 °C.
///
/// 1/ρ = (1 − s)/ρe(p/(1 − s), t) + s·φ, with φ = [1/ρs(s′, t) − (1 − s′)/ρw(t)]/s′ and s′ = s/(s + w): the sugar
/// takes the room it takes in the water there is. Exact for sugar alone and ethanol alone; for both together an
/// assumption, which differs from Tabarié's rule by 0.03 kg/m³ at 12 % vol and 25 g/L.
pub fn mixture_density(Solutes { sugar, ethanol }: Solutes, temperature_c: f64) -> f64 {
    let without_sugar = (1.0 - sugar) / ethanol_density(ethanol / (1.0 - sugar), temperature_c);
    let water = 1.0 - sugar - ethanol;
    let in_water = sugar / (sugar + water);
    if in_water == 0.0 {
        return 1.0 / without_sugar;
    }
    let room = (1.0 / sucrose_density(in_water, temperature_c)
        - (1.0 - in_water) / water_density_sucrose(temperature_c))
        / in_water;
    1.0 / (without_sugar + sugar * room)
}

/// The make-up of a wine of this strength (% vol at 20 °C, 0–25) whose density at a temperature is known (kg/m³).
///
/// The root of [`mixture_density`] in the sugar, with p·ρ(20) = q·ρ(1, 20) held. `None` where the density fits no
/// wine of that strength with less than half its mass in sugar.
pub fn wine_at(density: f64, temperature_c: f64, alcohol_pct_vol: f64) -> Option<Solutes> {
    let of = |sugar: f64| Solutes {
        sugar,
        ethanol: ethanol_beside(sugar, alcohol_pct_vol),
    };
    let off = |sugar: f64| mixture_density(of(sugar), temperature_c) - density;
    (off(-0.05) <= 0.0 && off(0.5) >= 0.0).then(|| of(bisect(-0.05, 0.5, off)))
}

/// The make-up of a wine by its label: strength (% vol at 20 °C, 0–30) and extract (g/L, 0–400).
///
/// s·ρ(20) = x and p·ρ(20) = q·ρ(1, 20), by repeating until both stand.
pub fn wine_of(alcohol_pct_vol: f64, extract_g_l: f64) -> Solutes {
    let of = |rho: f64| Solutes {
        sugar: extract_g_l / rho,
        ethanol: alcohol_pct_vol / 100.0 * pure_ethanol_20() / rho,
    };
    // Each round leaves less than half of the error even in a syrup.
    (0..60).fold(of(1000.0), |wine, _| of(mixture_density(wine, 20.0)))
}

/// Strength of a wine in % vol at 20 °C. q = p·ρ(s, p)/ρ(1, 20).
pub fn strength_of(wine: Solutes) -> f64 {
    100.0 * wine.ethanol * mixture_density(wine, 20.0) / pure_ethanol_20()
}

/// Mass fraction of ethanol that makes the strength by volume beside so much sugar.
fn ethanol_beside(sugar: f64, alcohol_pct_vol: f64) -> f64 {
    let per_m3 = alcohol_pct_vol / 100.0 * pure_ethanol_20();
    // Each round leaves less than a twentieth of the error, since density hangs little on strength.
    (0..12).fold(per_m3 / 1000.0, |ethanol, _| {
        per_m3 / mixture_density(Solutes { sugar, ethanol }, 20.0)
    })
}
