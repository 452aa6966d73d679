//! How many bottles a wine fills.

/// Whole bottles of so many millilitres out of so many, and what is left over. n = ⌊V/b⌋, rest = V − n·b.
pub fn bottles(wine_ml: f64, bottle_ml: f64) -> (u32, f64) {
    // A milliunit of slack, so that 9 L in twelve bottles is twelve however the litres were reckoned.
    let count = (wine_ml / bottle_ml + 1e-9).floor();
    (count as u32, (wine_ml - count * bottle_ml).max(0.0))
}
