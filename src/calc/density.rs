//! Densities of the two solutions wine lies between: sucrose in water, ethanol in water, both at 20 °C.

/// Density of a sucrose solution at 20 °C in kg/m³; `mass_fraction` is °Brix/100.
///
/// ρ(w) = ρw + Σ bk·wᵏ, k = 1..6. Source: ICUMSA SPS-4 in the form of Bettin et al., read in two
/// open transcriptions (b4 differs in its last digit: 0.00001 kg/m³ at 40 °Brix). Holds for w 0–0.85;
/// down to −0.06 it serves to express the gravity of a finished wine as an apparent °Brix.
pub fn sucrose_density_20(mass_fraction: f64) -> f64 {
    const B: [f64; 6] = [385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.2890];
    WATER_20_SUCROSE + polynomial(&B, mass_fraction) * mass_fraction
}

/// Water at 20 °C in kg/m³ as the sucrose formula has it; only for use beside [`sucrose_density_20`].
pub const WATER_20_SUCROSE: f64 = 998.2031;

/// Specific gravity 20/20 (true) of a sucrose solution of so many °Brix. SG = ρ(w)/ρw.
pub fn sg_from_brix(brix: f64) -> f64 {
    sucrose_density_20(brix / 100.0) / WATER_20_SUCROSE
}

/// °Brix of a sucrose solution of this specific gravity 20/20: the root of [`sg_from_brix`].
///
/// Below 1.000 the result is negative and only apparent. `None` outside SG 0.980–1.400.
pub fn brix_from_sg(sg: f64) -> Option<f64> {
    (0.98..=1.4)
        .contains(&sg)
        .then(|| bisect(-6.0, 85.0, |brix| sg_from_brix(brix) - sg))
}

/// Density of ethanol and water at 20 °C in kg/m³; `mass_fraction` of ethanol 0–1.
///
/// ρ(p, 20) = Σ Ak·p^(k−1), k = 1..12. Source: OIML R 22 (1975), printed in Directive 76/766/EEC,
/// Annex §4; A5 and later read in open transcriptions, confirmed by its spot values.
pub fn ethanol_density_20(mass_fraction: f64) -> f64 {
    const A: [f64; 12] = [
        9.982_012_300e2,
        -1.929_769_495e2,
        3.891_238_958e2,
        -1.668_103_923e3,
        1.352_215_441e4,
        -8.829_278_388e4,
        3.062_874_042e5,
        -6.138_381_234e5,
        7.470_172_998e5,
        -5.478_461_354e5,
        2.234_460_334e5,
        -3.903_285_426e4,
    ];
    polynomial(&A, mass_fraction)
}

/// Strength by volume at 20 °C (% vol) of a water–ethanol mixture of this strength by mass (% mass, 0–100).
///
/// q = p·ρ(p, 20)/ρ(1, 20). Source: OIML R 22 (1975).
pub fn alcohol_by_volume(pct_mass: f64) -> f64 {
    pct_mass * ethanol_density_20(pct_mass / 100.0) / ethanol_density_20(1.0)
}

/// Strength by mass (% mass) of a water–ethanol mixture of this strength by volume at 20 °C (% vol, 0–100).
pub fn alcohol_by_mass(pct_vol: f64) -> f64 {
    bisect(0.0, 100.0, |mass| alcohol_by_volume(mass) - pct_vol)
}

/// Σ c[k]·xᵏ by Horner's rule.
fn polynomial(coefficients: &[f64], x: f64) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

/// The root of an increasing function between two bounds, to the last bits.
pub(crate) fn bisect(mut low: f64, mut high: f64, rises: impl Fn(f64) -> f64) -> f64 {
    // Sixty halvings take any bracket in use below the spacing of doubles.
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if rises(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}
