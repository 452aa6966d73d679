//! How much faster what happens in a wine goes where it is warmer: the law of Arrhenius, for rates of one activation energy.

/// Gas constant, J/(mol K).
const GAS: f64 = 8.314_462_618;
/// 0 °C in kelvins.
const FREEZING_K: f64 = 273.15;

/// How many times as fast it goes at one temperature as at another, both in °C: exp\[(Ea/R)·(1/T₁ − 1/T₂)\], for an activation
/// energy in J/mol.
pub fn times_as_fast(energy: f64, from_c: f64, to_c: f64) -> f64 {
    let per_kelvin = 1.0 / (FREEZING_K + from_c) - 1.0 / (FREEZING_K + to_c);
    (energy / GAS * per_kelvin).exp()
}
