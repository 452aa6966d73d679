//! Densities of water, of sugar and of ethanol in water, and of the three together, which wine is.
//!
//! Three figures for water at 20 °C are in use, one to each formula, and a gravity must be referred to its own:
//! [`WATER_20`] beside ethanol, [`WATER_20_SUCROSE`] beside sugar, [`water_density`] by itself. They differ by
//! 0.006 kg/m³.

mod ethanol;
mod mixture;
mod sucrose;
mod water;

pub use ethanol::{
    WATER_20, alcohol_by_mass, alcohol_by_volume, ethanol_density, ethanol_density_20,
    pure_ethanol_20,
};
pub use mixture::{Solutes, mixture_density, strength_of, wine_at, wine_of};
pub use sucrose::{
    WATER_20_SUCROSE, brix_from_sg, sg_from_brix, sucrose_density, sucrose_density_20, sucrose_g_l,
    water_density_sucrose,
};
pub use water::water_density;

/// Σ c[k]·xᵏ by Horner's rule.
pub(crate) fn polynomial(coefficients: &[f64], x: f64) -> f64 {
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
