//! Sugar and water.

use super::{bisect, polynomial};

/// Density of a sucrose solution in kg/m³; mass fraction 0–0.85 (°Brix/100), temperature 0–80 °C.
///
/// ρ(w,t) = ρw(t) + Σ bk·wᵏ + τ·Σ c1k·wᵏ + τ²·Σ c2k·wᵏ + τ³·Σ c3k·wᵏ + τ⁴·Σ c4k·wᵏ, τ = (t − 20)/100. Source: ICUMSA
/// SPS-4 in the form of Bettin et al., read in two open transcriptions (b4 differs in its last digit: 0.00001
/// kg/m³ at 40 °Brix). Down to −0.12 it serves to give the gravity of a finished wine as an apparent °Brix.
pub fn sucrose_density(mass_fraction: f64, temperature_c: f64) -> f64 {
    const C1: [f64; 5] = [-46.2720, -7.1720, 1.1597, 5.1126, 17.5254];
    const C2: [f64; 4] = [59.7712, 7.2491, 12.3630, -35.4791];
    const C3: [f64; 3] = [-47.2207, -21.6977, 27.6301];
    const C4: [f64; 2] = [18.3184, 12.3081];
    let tau = (temperature_c - 20.0) / 100.0;
    let by_sugar = [
        polynomial(&B, mass_fraction),
        polynomial(&C1, mass_fraction),
        polynomial(&C2, mass_fraction),
        polynomial(&C3, mass_fraction),
        polynomial(&C4, mass_fraction),
    ];
    water_density_sucrose(temperature_c) + mass_fraction * polynomial(&by_sugar, tau)
}

const B: [f64; 6] = [385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.2890];

/// [`sucrose_density`] at 20 °C.
pub fn sucrose_density_20(mass_fraction: f64) -> f64 {
    WATER_20_SUCROSE + mass_fraction * polynomial(&B, mass_fraction)
}

/// Water in kg/m³ as the sucrose formula has it, 0–80 °C; only for use beside [`sucrose_density`].
pub fn water_density_sucrose(temperature_c: f64) -> f64 {
    const ABOVE: [f64; 6] = [
        999.839_52,
        16.952_577,
        -7.990_512_7e-3,
        -46.241_757e-6,
        105.846_01e-9,
        -281.030_06e-12,
    ];
    polynomial(&ABOVE, temperature_c) / (1.0 + 16.887_236e-3 * temperature_c)
}

/// [`water_density_sucrose`] at 20 °C.
pub const WATER_20_SUCROSE: f64 = 998.203_1;

/// Specific gravity 20/20 (true) of a sucrose solution of so many °Brix. SG = ρ(w)/ρw.
pub fn sg_from_brix(brix: f64) -> f64 {
    sucrose_density_20(brix / 100.0) / WATER_20_SUCROSE
}

/// °Brix of a sucrose solution of this specific gravity 20/20: the root of [`sg_from_brix`].
///
/// Below 1.000 the result is negative and only apparent. `None` outside SG 0.960–1.400.
pub fn brix_from_sg(sg: f64) -> Option<f64> {
    (0.96..=1.4)
        .contains(&sg)
        .then(|| bisect(-12.0, 85.0, |brix| sg_from_brix(brix) - sg))
}

/// Grams of sucrose in a litre, at 20 °C, of a solution of so many °Brix. c = w·ρ.
pub fn sucrose_g_l(brix: f64) -> f64 {
    brix / 100.0 * sucrose_density_20(brix / 100.0)
}
