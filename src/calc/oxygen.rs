//! Oxygen in the air above a wine, and the sulfite it uses up.

/// Milligrams of oxygen in so many millilitres of air at 1 atm and this temperature (°C, −5 to 45).
///
/// m = V·x·P·M/(R·T), with x = 0.20946 (dry air), P = 101 325 Pa, M = 31.998 g/mol, R = 8.314462 J/(mol·K).
/// Source: the gas law with CODATA R and IUPAC atomic masses; 0.2786 mg per mL at 20 °C.
pub fn air_oxygen_mg(air_ml: f64, temperature_c: f64) -> f64 {
    air_ml * 1e-6 * 0.209_46 * 101_325.0 * 31.998 * 1e3 / (8.314_462 * (temperature_c + 273.15))
}

/// Oxygen (mg/L) that water in moist air at 1 atm holds at most, 0–40 °C; `None` outside.
///
/// ln C = −139.34411 + 1.575701·10⁵/T − 6.642308·10⁷/T² + 1.243800·10¹⁰/T³ − 8.621949·10¹¹/T⁴, T in kelvin. Source: Benson and
/// Krause, as APHA Standard Methods 4500-O and the US Geological Survey print it; coefficients from memory, its values
/// those of the printed table.
pub fn water_holds_mg_l(temperature_c: f64) -> Option<f64> {
    if !(0.0..=40.0).contains(&temperature_c) {
        return None;
    }
    let t = temperature_c + 273.15;
    let ln = -139.344_11 + 1.575_701e5 / t - 6.642_308e7 / t.powi(2) + 1.243_800e10 / t.powi(3)
        - 8.621_949e11 / t.powi(4);
    Some(ln.exp())
}

/// What wine holds of that: low, middle, high. 6 to 8.6 mg/L at 20 °C, often given as 8.4, against 9.09 in water: Singleton;
/// du Toit et al., South African Journal of Enology and Viticulture 2006, from memory. Alcohol raises it a little and sugar
/// and acids lower it; no source that could be opened has it by strength, so the band is for all wines.
pub const WINE_HOLDS: (f64, f64, f64) = (6.0 / 9.09, 8.4 / 9.09, 8.6 / 9.09);

/// Milligrams of free SO2 used by a milligram of oxygen, as measured: mean of a hundred bottled wines.
/// Source: Pascal, Diéval and Vidal, infowine, abstract.
pub const SO2_PER_OXYGEN: f64 = 2.5;
/// The least reported ratio (Waterhouse et al., AJEV 2016, from memory).
pub const SO2_PER_OXYGEN_LOW: f64 = 1.0;
/// The most there can be: two SO2 to one O2, 2·64.058/31.998.
pub const SO2_PER_OXYGEN_HIGH: f64 = 4.004;

/// Oxygen that a racking by siphon at home brings in, mg/L: the low end (common practice) of the 0.5 to 8 that any cellar step does, be
/// it pumping, filtering or racking (pick-up figures of a wine laboratory, vinlab).
pub const RACKING_MG_L: [f64; 2] = [1.0, 3.0];

/// Oxygen that a bottling without gas or vacuum brings in with all it meets, mg/L (pick-up figures of a wine laboratory, vinlab: 4 to
/// 5 in all where no care is taken).
pub const FILLING_MG_L: [f64; 2] = [4.0, 5.0];
