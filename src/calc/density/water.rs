//! Water by itself.

/// Density of air-free water at 1 atm in kg/m³, 0 to 40 °C; `None` outside.
///
/// ρ(t) = a5·[1 − (t + a1)²·(t + a2) / (a3·(t + a4))]. Source: M. Tanaka et al., Metrologia 38 (2001) 301, the
/// CIPM's recommended table; uncertainty under 0.001 kg/m³.
pub fn water_density(temperature_c: f64) -> Option<f64> {
    const A1: f64 = -3.983_035;
    const A2: f64 = 301.797;
    const A3: f64 = 522_528.9;
    const A4: f64 = 69.348_81;
    const A5: f64 = 999.974_950;
    let t = temperature_c;
    (0.0..=40.0)
        .contains(&t)
        .then(|| A5 * (1.0 - (t + A1).powi(2) * (t + A2) / (A3 * (t + A4))))
}
