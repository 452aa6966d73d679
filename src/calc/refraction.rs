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

/// The first temperature of [`WARMTH`], °C; a row is a degree.
const WARMTH_FROM_C: f64 = 10.0;
/// The last temperature of [`WARMTH`], °C.
const WARMTH_TO_C: f64 = 30.0;
/// The °Brix of the columns of [`WARMTH`].
const WARMTH_BRIX: [f64; 6] = [0.0, 10.0, 15.0, 20.0, 25.0, 30.0];
/// What to add to the °Brix read at 10–30 °C, in hundredths.
///
/// From 10 °Brix on OIV-MA-AS2-02, Table I: rows 10–17 °C opened, 18–30 °C from memory. At 0 °Brix, which it lacks, the index
/// of water (IAPWS 1997) on the ICUMSA scale.
const WARMTH: [[i8; 6]; 21] = [
    [-50, -59, -62, -65, -67, -69],
    [-46, -54, -57, -59, -61, -63],
    [-42, -49, -51, -53, -55, -56],
    [-38, -43, -45, -47, -48, -50],
    [-33, -38, -39, -40, -42, -43],
    [-28, -32, -33, -34, -35, -36],
    [-23, -26, -27, -28, -28, -29],
    [-18, -20, -20, -21, -21, -22],
    [-12, -13, -14, -14, -14, -15],
    [-6, -7, -7, -7, -7, -8],
    [0, 0, 0, 0, 0, 0],
    [6, 7, 7, 7, 7, 8],
    [13, 14, 14, 15, 15, 15],
    [20, 21, 22, 22, 23, 23],
    [27, 29, 29, 30, 30, 31],
    [34, 36, 37, 38, 38, 39],
    [42, 44, 45, 46, 46, 47],
    [50, 52, 53, 54, 55, 55],
    [58, 60, 61, 62, 63, 64],
    [66, 68, 69, 70, 71, 72],
    [74, 77, 78, 79, 80, 81],
];

/// What to add to the °Brix (0–40) of a refractometer made for 20 °C and read at 10–30 °C; `None` at other temperatures.
///
/// Straight between the entries of the table, and on from its last column above 30 °Brix.
pub fn warmth_correction(brix: f64, temperature_c: f64) -> Option<f64> {
    if !(WARMTH_FROM_C..=WARMTH_TO_C).contains(&temperature_c) {
        return None;
    }
    let right = WARMTH_BRIX
        .iter()
        .position(|column| brix < *column)
        .unwrap_or(5)
        .max(1);
    let (from, to) = (WARMTH_BRIX[right - 1], WARMTH_BRIX[right]);
    let across = |row: usize| {
        let [left, right] = [right - 1, right].map(|column| f64::from(WARMTH[row][column]) / 100.0);
        left + (brix - from) / (to - from) * (right - left)
    };
    let below = (temperature_c - WARMTH_FROM_C).floor().min(19.0);
    let row = below as usize;
    let down = temperature_c - WARMTH_FROM_C - below;
    Some(across(row) + down * (across(row + 1) - across(row)))
}
