//! What a refractometer shows of a wine that ferments: sugar and alcohol both bend the light.

use crate::density::{Solutes, WATER_20, bisect, mixture_density, polynomial, strength_of};
use crate::ferment::after;

/// Refractive index at 20 °C and 589 nm of a sucrose solution of −5 to 45 °Brix.
///
/// A fit to the ICUMSA 1974 scale, 0–40 °Brix, within 0.0000054 (0.003 °Brix).
pub fn sucrose_index(brix: f64) -> f64 {
    polynomial(
        &[
            1.332_986_83,
            1.427_981_48e-3,
            5.391_536_86e-6,
            1.711_081_20e-8,
            1.199e-11,
        ],
        brix,
    )
}

/// What ethanol of so many % mass (0–24) adds to the refractive index of water at 20 °C.
///
/// A fit to the CRC Handbook, 102nd ed., "Concentrative properties of aqueous solutions", within 0.00005.
pub fn ethanol_adds_to_index(pct_mass: f64) -> f64 {
    polynomial(&[0.0, 5.547_215e-4, 1.245_485e-5, -2.669_355e-7], pct_mass)
}

/// The °Brix a refractometer shows of sugar and ethanol together.
///
/// n = n(s) + n(p) − n(water), read back on the scale for sucrose. Two ways to mix differ by 0.036 °Brix.
pub fn shown_brix(wine: Solutes) -> f64 {
    let index = sucrose_index(100.0 * wine.sugar) + ethanol_adds_to_index(100.0 * wine.ethanol);
    bisect(-5.0, 85.0, |brix| sucrose_index(brix) - index)
}

/// Where a ferment stands by a refractometer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// Specific gravity 20/20.
    pub sg: f64,
    /// Strength at 20 °C.
    pub alcohol_pct_vol: f64,
    /// Extract left in solution, sugar and the rest.
    pub extract_g_l: f64,
}

/// Why two readings make no ferment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NotSeen {
    /// The reading now is above the one before.
    Rising,
    /// It is below what the must shows once all its extract has fermented, given here.
    BelowAllFermented(f64),
}

/// Gravity, strength and extract from the °Brix before (1–40) and now, both at 20 °C.
///
/// Of E g of extract in 100 g, f g ferment (see [`crate::ferment::fermented`]); f is the root of n(s, p) = n(reading).
pub fn seen(start_brix: f64, now_brix: f64, extract_per_ethanol: f64) -> Result<Seen, NotSeen> {
    if now_brix > start_brix {
        return Err(NotSeen::Rising);
    }
    let at = |f: f64| after(start_brix, f, extract_per_ethanol);
    let floor = shown_brix(at(start_brix));
    if now_brix < floor {
        return Err(NotSeen::BelowAllFermented(floor));
    }
    let wine = at(bisect(0.0, start_brix, |f| now_brix - shown_brix(at(f))));
    let density = mixture_density(wine, 20.0);
    Ok(Seen {
        sg: density / WATER_20,
        alcohol_pct_vol: strength_of(wine),
        extract_g_l: wine.sugar * density,
    })
}
