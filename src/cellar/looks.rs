//! What was looked at of a run's bottles, and how many carry what was found.

use serde::{Deserialize, Serialize};

use super::bottling::carries;
use super::entry::Property;
use super::state::{Wine, is_false};

/// Looks at one property of a run's bottles: rounds, in which all are looked at, at once or some at a time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Looks {
    /// When the first of the last round were looked at, UTC ms.
    #[serde(rename = "t")]
    pub since_ms: i64,
    /// How many of this round are still here and carry no finding. What leaves counts as looked at, so that
    /// it is never too many.
    #[serde(rename = "n")]
    pub count: i64,
    /// When the last round began that reached all of them, UTC ms.
    #[serde(rename = "a", default, skip_serializing_if = "Option::is_none")]
    pub all_ms: Option<i64>,
    /// Whether what was found amiss is settled for those that do not carry it: all were looked at since.
    #[serde(rename = "s", default, skip_serializing_if = "is_false")]
    pub settled: bool,
    /// Whether a bottle left that carried a finding which nobody settled: no look at it can take it back.
    #[serde(rename = "g", default, skip_serializing_if = "is_false")]
    pub gone: bool,
}

impl Looks {
    /// A look at all of them at once, of which so many carry no finding.
    pub(super) fn at_all(count: i64, at_ms: i64) -> Looks {
        Looks {
            since_ms: at_ms,
            count,
            all_ms: Some(at_ms),
            settled: false,
            gone: false,
        }
    }
}

impl Wine {
    /// Bottles that carry a finding of that property.
    pub fn carrying(&self, property: Property) -> i64 {
        let marked = self
            .bottles
            .iter()
            .filter(|it| carries(&it.found, property));
        marked.map(|it| it.count).sum()
    }

    /// Bottles that were looked at for that property in the last round.
    pub fn looked_at(&self, property: Property) -> i64 {
        let well = self.looks.get(&property).map_or(0, |it| it.count);
        well + self.carrying(property)
    }

    /// Of a round that has not reached all of them, those that were looked at since what was found then (UTC ms).
    pub fn looked_at_since(&self, property: Property, found_ms: i64) -> i64 {
        let round = self.looks.get(&property);
        let goes_on = |it: &&Looks| it.since_ms >= found_ms && it.all_ms != Some(it.since_ms);
        round
            .filter(goes_on)
            .map_or(0, |_| self.looked_at(property))
    }
}
