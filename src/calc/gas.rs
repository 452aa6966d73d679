//! Carbon dioxide from sugar, and gas that drives the air out of a vessel.

/// Grams of carbon dioxide from a gram of grape sugar at most: 2·44.009/180.156.
pub const CO2_PER_SUGAR: f64 = 0.488_6;
/// Grams of carbon dioxide in a litre of gas at 20 °C and one atmosphere: 44.009/24.055.
pub const CO2_G_L: f64 = 1.829_5;
/// Grams that dissolve in a litre of water at 20 °C to an atmosphere of the gas. Source: M. Dharmadhikari, "Use of inert
/// gases", Iowa State University (opened).
pub const CO2_DISSOLVES_G_L: f64 = 1.69;
/// Oxygen in air, per cent.
pub const AIR_OXYGEN_PCT: f64 = 20.9;

/// Pressure (kPa) that so much sugar (g/L) adds in a full closed bottle at 20 °C once all of it has fermented.
///
/// p = c·0.4886/1.69 atmospheres: the gas stays dissolved, since there is hardly a headspace. Henry's law.
pub fn bottle_kpa(sugar_g_l: f64) -> f64 {
    sugar_g_l * CO2_PER_SUGAR / CO2_DISSOLVES_G_L * crate::expansion::ATMOSPHERE_KPA
}

/// Litres of carbon dioxide at 20 °C from so many grams of sugar.
pub fn co2_l(sugar_g: f64) -> f64 {
    sugar_g * CO2_PER_SUGAR / CO2_G_L
}

/// How many times its own volume of gas a space takes until so little oxygen (%) is left, if the gas mixes at once.
///
/// x = 20.9·e⁻ⁿ, so n = ln(20.9/x).
pub fn purges(oxygen_pct: f64) -> f64 {
    (AIR_OXYGEN_PCT / oxygen_pct).ln()
}
