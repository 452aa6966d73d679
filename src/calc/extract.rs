//! The dry extract of a wine from its density and strength.

use crate::density::{
    WATER_20, WATER_20_SUCROSE, alcohol_by_mass, brix_from_sg, ethanol_density_20,
};

/// The gravity 20/20 of a wine with its alcohol taken away: `d_r = d_v − d_a + 1.000`.
///
/// `d_v` is the wine's gravity 20/20, `d_a` that of ethanol and water of the same strength (% vol). Source: Tabarié's rule as in
/// OIV-MA-AS2-03B (opened), section 3.1.
pub fn residue_sg(wine_sg: f64, alcohol_pct_vol: f64) -> f64 {
    let without = ethanol_density_20(alcohol_by_mass(alcohol_pct_vol) / 100.0) / WATER_20;
    wine_sg - without + 1.0
}

/// Extract (g/L): the sucrose in a litre of sugar water of the residue's gravity, 1.000 to 1.200. `None` outside.
///
/// `x = w(d_r)·d_r·ρw`. Source: OIV-MA-AS2-03B, section 2, with ICUMSA densities.
pub fn extract_g_l(residue_sg: f64) -> Option<f64> {
    if !(1.0..=1.2).contains(&residue_sg) {
        return None;
    }
    Some(brix_from_sg(residue_sg)? / 100.0 * residue_sg * WATER_20_SUCROSE)
}
