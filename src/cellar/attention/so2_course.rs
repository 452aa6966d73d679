//! Free SO2 over time as a chart shows it: tests, doses and rackings, the aim, and what is expected.

use super::holding::Holding;
use crate::cellar::course::{Course, Expected, Point};
use crate::cellar::entry::Property;
use crate::cellar::state::Deed;

/// So far ahead free SO2 is shown, days.
const AHEAD_DAYS: i64 = 180;
/// Days between two points of the band.
const STEP_DAYS: i64 = 6;

impl Holding<'_> {
    /// Free SO2 of this wine over time, and as expected from its last test to half a year from now;
    /// `None` when it was never tested.
    pub fn so2_course(&self) -> Option<Course> {
        let (value, known) = self.known_between(Property::FreeSo2, 0.0, 1_000.0)?;
        let mut marks = Vec::new();
        for (deed, word) in [(Deed::Sulfited, "dose"), (Deed::Racked, "racked")] {
            let at = self.wine.when(deed).filter(|it| *it >= known.at_ms);
            marks.extend(at.map(|it| (it, word.to_owned())));
        }
        let from = self.now.at(known.at_ms);
        let days = self.days(known.at_ms).max(0) + AHEAD_DAYS;
        let expected = (0..=days / STEP_DAYS).filter_map(|step| {
            let then = from.plus_days(step * STEP_DAYS);
            let band = self.expected_free_so2_at(then)?;
            Some(Expected {
                at_ms: then.utc_ms,
                low: band.low,
                mid: band.mid,
                high: band.high,
            })
        });
        Some(Course {
            title: "Free SO2".to_owned(),
            unit: "mg/L",
            decimals: 0,
            readings: vec![Point {
                at_ms: known.at_ms,
                value,
            }],
            expected: expected.collect(),
            level: self.free_so2_aim().map(|it| (it, "aim")),
            marks,
            now_ms: self.now.utc_ms,
        })
    }
}
