//! Fining by bench trial, and wine held cold until its tartrate drops.

/// Grams to a hectolitre of wine of a stock (g/L) of which so much (mL) went into a trial (mL of wine).
///
/// dose = c·a/v·100.
pub fn dose_g_hl(stock_g_l: f64, added_ml: f64, trial_ml: f64) -> f64 {
    stock_g_l * added_ml / trial_ml * 100.0
}

/// Grams for so many litres at so many grams to a hectolitre. m = dose·V/100.
pub fn agent_g(dose_g_hl: f64, volume_l: f64) -> f64 {
    dose_g_hl * volume_l / 100.0
}

/// Temperature (°C) at which wine of so much alcohol (% vol) freezes, within half a degree. T = −A/2.
pub fn freezing_c(alcohol_pct_vol: f64) -> f64 {
    -alcohol_pct_vol / 2.0
}

/// Temperatures (°C) to hold a wine at until its tartrate drops: half its strength below zero and one degree up, and
/// half of a degree less than its strength, T = −A/2 + 1 and T = −(A − 1)/2. Both from memory; the lower one first.
pub fn cold_hold_c(alcohol_pct_vol: f64) -> (f64, f64) {
    let perin = -(alcohol_pct_vol - 1.0) / 2.0;
    let plain = -alcohol_pct_vol / 2.0 + 1.0;
    (perin, plain)
}

/// What a gram of potassium hydrogen tartrate takes along when it drops.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dropped {
    /// Grams of tartaric acid: 150.09/188.18.
    pub tartaric_g: f64,
    /// Grams of titratable acidity as tartaric: one proton of two.
    pub acidity_g: f64,
    /// Grams of potassium: 39.098/188.18.
    pub potassium_g: f64,
}

/// What so many grams of potassium hydrogen tartrate take along.
pub fn tartrate_drop(grams: f64) -> Dropped {
    let moles = grams / 188.18;
    Dropped {
        tartaric_g: moles * 150.09,
        acidity_g: moles * 150.09 / 2.0,
        potassium_g: moles * 39.098,
    }
}
