//! Potassium sorbate, which keeps yeast from beginning again.

/// Sorbic acid in potassium sorbate, g/g: 112.13/150.22, IUPAC abridged atomic masses.
pub const SORBIC_ACID: f64 = 112.13 / 150.22;

/// Most sorbic acid in wine, mg/L: OIV, International Code of Oenological Practices, II.3.4.5 (opened).
pub const OIV_CEILING_MG_L: f64 = 200.0;

const PH: [f64; 5] = [3.1, 3.2, 3.3, 3.4, 3.5];
const ALCOHOL_PCT_VOL: [f64; 5] = [10.0, 11.0, 12.0, 13.0, 14.0];
/// Potassium sorbate in mg/L, by alcohol (rows) and pH (columns). Source: T. Underhill, table of mL of a 30 g/L
/// solution to a litre of wine, vawa.net (opened), times 30.
const SORBATE_MG_L: [[f64; 5]; 5] = [
    [165.0, 180.0, 210.0, 240.0, 270.0],
    [135.0, 150.0, 180.0, 210.0, 225.0],
    [96.0, 105.0, 120.0, 135.0, 150.0],
    [78.0, 90.0, 96.0, 105.0, 120.0],
    [60.0, 66.0, 72.0, 81.0, 90.0],
];

/// The pH at which sorbate is to be relied on at all.
pub const RELIED_ON_PH: (f64, f64) = (3.1, 3.7);
/// The same of alcohol, % vol.
pub const RELIED_ON_ALCOHOL_PCT_VOL: (f64, f64) = (9.0, 14.0);

/// Potassium sorbate (mg/L) by pH and alcohol (% vol), bilinear in the table.
///
/// The table holds for pH 3.1–3.5 and 10–14 % vol; its last slope is carried on to pH 3.7 and 9 % vol, which a caller
/// should say. `None` beyond.
pub fn sorbate_mg_l(ph: f64, alcohol_pct_vol: f64) -> Option<f64> {
    let within = |(low, high): (f64, f64), it: f64| (low..=high).contains(&it);
    if !within(RELIED_ON_PH, ph) || !within(RELIED_ON_ALCOHOL_PCT_VOL, alcohol_pct_vol) {
        return None;
    }
    let (column, across) = cell(&PH, ph);
    let (row, down) = cell(&ALCOHOL_PCT_VOL, alcohol_pct_vol);
    let between = |row: usize| {
        let [left, right] = [SORBATE_MG_L[row][column], SORBATE_MG_L[row][column + 1]];
        left + across * (right - left)
    };
    Some(between(row) + down * (between(row + 1) - between(row)))
}

/// Which interval a value lies in, and how far along; outside, the nearest interval and a part below 0 or above 1.
fn cell(points: &[f64; 5], value: f64) -> (usize, f64) {
    let at = points[1..4].iter().filter(|point| value >= **point).count();
    (at, (value - points[at]) / (points[at + 1] - points[at]))
}

/// Grams of potassium sorbate for so much sorbic acid (mg/L) in so many litres. m = γ·V/(1000·0.7464).
pub fn sorbate_g(sorbic_acid_mg_l: f64, volume_l: f64) -> f64 {
    sorbic_acid_mg_l * volume_l / (1e3 * SORBIC_ACID)
}
