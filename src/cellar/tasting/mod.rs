//! Tasting sheets, the words for aromas, and blind tastings.

pub mod blind;
mod scores;
pub mod sheets;
pub mod words;

use super::entry::{Found, Property, Tasting};
use super::moment::Moment;
use super::telling;
use super::thing::Key;

pub use blind::Flight;
pub use scores::{scores, scores_at};
pub use sheets::{Marks, SHEETS, Sheet};

/// What was tasted, with what was known of the wine then.
#[derive(Clone, Debug, PartialEq)]
pub struct Tasted {
    /// The entry that says so.
    pub entry: Key,
    /// When.
    pub when: Moment,
    /// The batch that made up most of it; `None` if none was named.
    pub batch: Option<Key>,
    /// What was said.
    pub tasting: Tasting,
    /// What it asked for, as the jobs it gave; `None` where the wine was kept as it was.
    pub act: Option<String>,
    /// Free SO2 as last read by then, mg/L.
    pub free_so2: Option<Found>,
    /// Gravity as last read by then.
    pub gravity: Option<Found>,
    /// pH as last read by then.
    pub ph: Option<Found>,
    /// Days since the must, or since it was written down.
    pub age_days: Option<i64>,
}

impl Tasted {
    /// What it is listed under: its batch, else where it was.
    pub fn subject(&self) -> Key {
        self.batch.unwrap_or(self.tasting.place)
    }

    /// What was read of it by then, as read: `SO2 22`, `SO2 <10`, `0.995`.
    pub fn read_by_then(&self) -> Vec<String> {
        let free = self.free_so2.as_ref();
        let gravity = self.gravity.as_ref();
        free.map(|it| format!("SO2 {}", telling::figure(Property::FreeSo2, it)))
            .into_iter()
            .chain(gravity.map(|it| telling::figure(Property::Gravity, it)))
            .collect()
    }

    /// What it asked for, `act: trial of acid`.
    pub fn act_words(&self) -> Option<String> {
        self.act.as_ref().map(|it| format!("act: {it}"))
    }

    /// `score 14`, or `91 of 100` where a sheet was filled in.
    pub fn score_words(&self) -> Option<String> {
        let score = self.tasting.score?;
        Some(match Marks::stored(&self.tasting.sheet) {
            Some(marks) => format!("{score} of {}", marks.sheet.most()),
            None => format!("score {score}"),
        })
    }
}
