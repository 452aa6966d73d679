//! How a result may be off when several inputs were assumed.

/// A figure with the values only one in ten lies below and above. All three are above zero.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// One in ten lies below.
    pub low: f64,
    /// The figure taken.
    pub value: f64,
    /// One in ten lies above.
    pub high: f64,
}

impl Spread {
    /// A figure that is known.
    pub const fn known(value: f64) -> Self {
        Self {
            low: value,
            value,
            high: value,
        }
    }

    /// Whether there is no spread.
    pub fn is_known(self) -> bool {
        self.low >= self.value && self.high <= self.value
    }

    /// A figure with its spread.
    pub const fn new(low: f64, value: f64, high: f64) -> Self {
        Self { low, value, high }
    }

    /// The spread of the product of two figures that are off independently.
    ///
    /// Factors add as logarithms, and independent errors add as squares, each side for itself:
    /// ln(high/value)² = Σ ln(highᵢ/valueᵢ)². Textbook propagation of error, for a product.
    #[must_use]
    pub fn times(self, other: Self) -> Self {
        let value = self.value * other.value;
        let both = |own: f64, its: f64| own.ln().hypot(its.ln()).exp();
        Self {
            low: value / both(self.value / self.low, other.value / other.low),
            value,
            high: value * both(self.high / self.value, other.high / other.value),
        }
    }

    /// The same spread in another unit.
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        Self {
            low: self.low * factor,
            value: self.value * factor,
            high: self.high * factor,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_is_known_when_neither_side_spreads() {
        assert!(Spread::known(3.0).is_known());
        assert!(!Spread::new(2.9, 3.0, 3.0).is_known());
        assert!(!Spread::new(3.0, 3.0, 3.1).is_known());
    }

    // Expected from the law itself: two equal spreads of a factor e^a make one of e^(a·√2).
    #[test]
    fn independent_spreads_add_as_squares_of_logarithms() {
        let one = Spread::new((-0.3_f64).exp(), 1.0, 0.2_f64.exp());
        let two = one.times(one);
        assert!((two.low.ln() + 0.3 * 2_f64.sqrt()).abs() < 1e-12);
        assert!((two.high.ln() - 0.2 * 2_f64.sqrt()).abs() < 1e-12);
        let [two, five] = [2.0, 5.0].map(|value| one.scaled(value));
        let ten = two.times(five);
        assert!((ten.value - 10.0).abs() < 1e-12);
        assert!((ten.low - 10.0 * one.times(one).low).abs() < 1e-12);
        assert!((ten.high - 10.0 * one.times(one).high).abs() < 1e-12);
        assert!((one.times(Spread::known(3.0)).value - 3.0).abs() < 1e-12);
        assert!((one.times(Spread::known(3.0)).high - 3.0 * one.high).abs() < 1e-12);
    }
}
