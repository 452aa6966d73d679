//! Oxygen in the air above a wine, and the sulfite it uses up.

/// Milligrams of oxygen in so many millilitres of air at 1 atm and this temperature (°C, −5 to 45).
///
/// m = V·x·P·M/(R·T), with x = 0.20946 (dry air), P = 101 325 Pa, M = 31.998 g/mol, R = 8.314462 J/(mol·K).
/// Source: the gas law with CODATA R and IUPAC atomic masses; 0.2786 mg per mL at 20 °C.
pub fn air_oxygen_mg(air_ml: f64, temperature_c: f64) -> f64 {
    air_ml * 1e-6 * 0.209_46 * 101_325.0 * 31.998 * 1e3 / (8.314_462 * (temperature_c + 273.15))
}

/// Milligrams of free SO2 used by a milligram of oxygen, as measured: mean of a hundred bottled wines.
/// Source: Pascal, Diéval and Vidal, infowine, abstract.
pub const SO2_PER_OXYGEN: f64 = 2.5;
/// The least reported ratio (Waterhouse et al., AJEV 2016, from memory).
pub const SO2_PER_OXYGEN_LOW: f64 = 1.0;
/// The most there can be: two SO2 to one O2, 2·64.058/31.998.
pub const SO2_PER_OXYGEN_HIGH: f64 = 4.004;
