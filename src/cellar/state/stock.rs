//! What is on hand of a supply.

use serde::{Deserialize, Serialize};

use crate::cellar::entry::Dose;

/// A lot of supply on hand.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Stock {
    /// How much; `None` while nobody knows.
    #[serde(rename = "q")]
    pub left: Option<Dose>,
    /// Last counted or weighed, UTC ms.
    #[serde(rename = "c", default, skip_serializing_if = "Option::is_none")]
    pub counted_ms: Option<i64>,
    /// How much more (or less, negative) was found then than the book had, in the unit of the lot; `None`
    /// where nobody knew what to expect.
    #[serde(rename = "m", default, skip_serializing_if = "Option::is_none")]
    pub unexpected: Option<i64>,
    /// When something was first taken out of it, UTC ms.
    #[serde(rename = "f", default, skip_serializing_if = "Option::is_none")]
    pub first_used_ms: Option<i64>,
    /// What was taken out of it, oldest first, the last sixty times.
    #[serde(rename = "d", default, skip_serializing_if = "Vec::is_empty")]
    pub draws: Vec<Draw>,
}

impl Stock {
    /// How much more, or less (negative), the last count found than the book had.
    pub fn unexpected_dose(&self) -> Option<Dose> {
        Some(self.left?.with(self.unexpected?))
    }
}

/// Something taken out of a lot.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(from = "(i64, i64, bool)", into = "(i64, i64, bool)")]
pub struct Draw {
    /// When, UTC ms.
    pub at_ms: i64,
    /// How much, in the unit of the lot (µg, µL, pieces or thousandths of a tablet).
    pub amount: i64,
    /// Whether it went into wine, and not into a bottling or sanitizer.
    pub into_wine: bool,
}

impl From<(i64, i64, bool)> for Draw {
    fn from((at_ms, amount, into_wine): (i64, i64, bool)) -> Draw {
        Draw {
            at_ms,
            amount,
            into_wine,
        }
    }
}

impl From<Draw> for (i64, i64, bool) {
    fn from(it: Draw) -> (i64, i64, bool) {
        (it.at_ms, it.amount, it.into_wine)
    }
}
