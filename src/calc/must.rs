//! Grape must: what a refractometer's °Brix says of its sugar and density.

/// Must density (kg/m³) and sugar (g/L) at 20 °C from 10 to 30 °Brix, a degree a row.
/// Source: French arrêté of 14 September 2011, Annex IV, after OIV-MA-AS2-02 (opened).
const TABLE: [(f64, f64); 21] = [
    (1_039.1, 82.2),
    (1_043.1, 92.8),
    (1_047.2, 103.5),
    (1_051.4, 114.3),
    (1_055.6, 125.2),
    (1_059.8, 136.1),
    (1_064.1, 147.1),
    (1_068.5, 158.2),
    (1_072.9, 169.4),
    (1_077.3, 180.6),
    (1_081.8, 191.9),
    (1_086.3, 203.3),
    (1_090.8, 214.7),
    (1_095.4, 226.2),
    (1_100.1, 237.8),
    (1_104.7, 249.5),
    (1_109.5, 261.2),
    (1_114.2, 273.0),
    (1_119.0, 284.9),
    (1_123.9, 296.9),
    (1_128.7, 308.9),
];

/// °Brix at which the table begins; below, a must holds more acid and salts beside its sugar than it knows of.
pub const FIRST_BRIX: f64 = 10.0;
/// °Brix at which it ends.
pub const LAST_BRIX: f64 = 30.0;

/// Grams of fermentable sugar in a litre of grape must of so many °Brix, 22 to 29 g/L less than in sugar water,
/// since acids and salts refract too. Linear between the rows; `None` outside 10–30 °Brix.
pub fn sugar_g_l(brix: f64) -> Option<f64> {
    if !(FIRST_BRIX..=LAST_BRIX).contains(&brix) {
        return None;
    }
    let at = ((brix - FIRST_BRIX).floor() as usize).min(TABLE.len() - 2);
    let part = brix - FIRST_BRIX - at as f64;
    let (low, high) = (TABLE[at].1, TABLE[at + 1].1);
    Some(low + part * (high - low))
}

/// °Brix of a grape must of this specific gravity 20/20, by its density; `None` outside the table.
pub fn brix_from_sg(sg: f64) -> Option<f64> {
    let density = sg * crate::density::WATER_20;
    let above = TABLE.iter().position(|(row, _)| *row >= density)?;
    let part = |at: usize| (density - TABLE[at].0) / (TABLE[at + 1].0 - TABLE[at].0);
    match above {
        0 => (density >= TABLE[0].0).then_some(FIRST_BRIX),
        above => Some(FIRST_BRIX + (above - 1) as f64 + part(above - 1)),
    }
}
