//! Whole microlitres and micrograms: what the book counts in.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Neg, Sub, SubAssign};

use leesline_calc::quantity::{grams_to_micrograms, litres_to_microlitres};
use serde::{Deserialize, Serialize};

/// A volume in whole microlitres, signed: a difference may go either way.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Volume(pub i64);

/// A mass in whole micrograms.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Mass(pub i64);

impl Volume {
    /// Nothing.
    pub const ZERO: Volume = Volume(0);

    /// From litres, rounded to the microlitre.
    pub fn litres(litres: f64) -> Volume {
        Volume(litres_to_microlitres(litres))
    }

    /// From whole millilitres, exactly.
    pub const fn millilitres(millilitres: i64) -> Volume {
        Volume(millilitres * 1_000)
    }

    /// In litres.
    pub fn in_litres(self) -> f64 {
        self.0 as f64 / 1e6
    }

    /// The share `part / whole` of this volume, rounded half up; nothing of nothing.
    pub fn share(self, part: i64, whole: i64) -> Volume {
        if whole == 0 {
            return Volume::ZERO;
        }
        let exact = i128::from(self.0) * i128::from(part);
        let whole = i128::from(whole);
        Volume((2 * exact + whole).div_euclid(2 * whole) as i64)
    }
}

impl Mass {
    /// Nothing.
    pub const ZERO: Mass = Mass(0);

    /// From grams, rounded to the microgram.
    pub fn grams(grams: f64) -> Mass {
        Mass(grams_to_micrograms(grams))
    }

    /// In grams.
    pub fn in_grams(self) -> f64 {
        self.0 as f64 / 1e6
    }
}

/// To a tenth of a litre, as people say it; below a litre in millilitres.
impl fmt::Display for Volume {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0.abs() < 1_000_000 && self.0 != 0 {
            write!(f, "{:.0} mL", self.0 as f64 / 1e3)
        } else {
            write!(f, "{:.1} L", self.in_litres())
        }
    }
}

/// To a hundredth of a gram without noughts behind; from a kilogram on in kilograms.
impl fmt::Display for Mass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (value, unit) = if self.0.abs() >= 1_000_000_000 {
            (self.in_grams() / 1e3, "kg")
        } else {
            (self.in_grams(), "g")
        };
        write!(f, "{} {unit}", (value * 100.0).round() / 100.0)
    }
}

macro_rules! adds_up {
    ($($name:ident),*) => {$(
        impl Add for $name { type Output = $name; fn add(self, other: $name) -> $name { $name(self.0 + other.0) } }
        impl Sub for $name { type Output = $name; fn sub(self, other: $name) -> $name { $name(self.0 - other.0) } }
        impl Neg for $name { type Output = $name; fn neg(self) -> $name { $name(-self.0) } }
        impl AddAssign for $name { fn add_assign(&mut self, other: $name) { self.0 += other.0; } }
        impl SubAssign for $name { fn sub_assign(&mut self, other: $name) { self.0 -= other.0; } }
        impl Sum for $name { fn sum<I: Iterator<Item = $name>>(all: I) -> $name { $name(all.map(|it| it.0).sum()) } }
    )*};
}
adds_up!(Volume, Mass);
