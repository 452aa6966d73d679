//! The gravity behind a hydrometer that was read warmer or colder than it was made for.

use crate::density::{
    WATER_20, WATER_20_SUCROSE, bisect, mixture_density, sucrose_density, water_density_sucrose,
    wine_at,
};

/// Cubic expansion of a hydrometer's glass per °C. Source: ISO 1768:1975, clause 3 (opened).
pub const GLASS: f64 = 25e-6;

/// A gravity with the temperature taken out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corrected {
    /// Specific gravity 20/20, which all other calculations take.
    pub sg: f64,
    /// What the hydrometer would show at its own temperature.
    pub at_calibration: f64,
}

/// Density (kg/m³) of the liquid a hydrometer floats in.
///
/// ρ(t) = R·ρw(Tc) / [1 + γ·(t − Tc)]: what it displaces weighs what it weighs, and its glass has grown by γ. Surface
/// tension and air are left out (at most 0.0002 in gravity).
pub fn floats_in(reading_sg: f64, sample_c: f64, calibration_c: f64) -> f64 {
    reading_sg * water_density_sucrose(calibration_c) / (1.0 + GLASS * (sample_c - calibration_c))
}

/// The gravity of a must, taken as sugar and water, read at 0 to 45 °C.
///
/// Solves ρs(w, t) = [`floats_in`], then SG = ρs(w, T)/ρw(T). Within 0.0002 of the table of Bigelow and Stevenson.
pub fn must(reading_sg: f64, sample_c: f64, calibration_c: f64) -> Corrected {
    let density = floats_in(reading_sg, sample_c, calibration_c);
    let sugar = bisect(-0.12, 0.85, |sugar| {
        sucrose_density(sugar, sample_c) - density
    });
    Corrected {
        sg: sucrose_density(sugar, 20.0) / WATER_20_SUCROSE,
        at_calibration: sucrose_density(sugar, calibration_c)
            / water_density_sucrose(calibration_c),
    }
}

/// The gravity of a wine of known strength (% vol), which expands more than must does.
///
/// As [`must`], with the mixture of sugar, ethanol and water. `None` where no wine of that strength is so light.
pub fn wine(
    reading_sg: f64,
    sample_c: f64,
    calibration_c: f64,
    alcohol_pct_vol: f64,
) -> Option<Corrected> {
    let density = floats_in(reading_sg, sample_c, calibration_c);
    let wine = wine_at(density, sample_c, alcohol_pct_vol)?;
    Some(Corrected {
        sg: mixture_density(wine, 20.0) / WATER_20,
        at_calibration: mixture_density(wine, calibration_c) / water_density_sucrose(calibration_c),
    })
}
