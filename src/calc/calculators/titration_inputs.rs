//! What every titration asks: the sample, what was used of the titrant, and its strength.

use crate::input::Input;
use crate::quantity::Quantity;

pub(super) const SAMPLE: Input = Input::new("sample_ml", Quantity::SmallVolume, "wine titrated")
    .required()
    .allowed(1.0, 500.0, "less cannot be measured and more is wasted");

pub(super) const TITRANT: Input = Input::new(
    "titrant_ml",
    Quantity::SmallVolume,
    "titrant used, blank taken off",
)
.required()
.allowed(0.0, 100.0, "a burette is read from 0 up");

/// Strength of the lye that takes up an acid.
pub(super) const LYE: Input = Input::new(
    "normality",
    Quantity::Number,
    "strength of the lye in mol/L: 0.1 as a rule",
)
.required()
.allowed(0.01, 1.0, "weaker or stronger lye gives no figure");

/// Strength of what takes up SO2.
pub(super) const IODINE: Input = Input::new(
    "normality",
    Quantity::Number,
    "equivalents per litre: twice the mol/L of I2, the mol/L of lye",
)
.required()
.allowed(0.001, 0.2, "weaker or stronger gives no figure");
