//! Free SO2 over time as a chart shows it: tests, doses and rackings, the aim, and what is expected.

use super::free_so2::Band;
use super::holding::Holding;
use crate::cellar::course::{Course, Expected, Falls, Point};
use crate::cellar::moment::{DAY_MS, Moment};
use crate::cellar::state::{Air, So2Change, So2Event};

/// So far ahead of now free SO2 is shown, days.
const AHEAD_DAYS: i64 = 120;
/// Moments of the band; between them it goes straight.
const MOMENTS: i64 = 48;

impl Holding<'_> {
    /// Free SO2 of this wine over time, and as expected from its last test, dose or racking to four months from now; where it was
    /// never tested, from what went in alone. `None` when that is not known either.
    pub fn so2_course(&self) -> Option<Course> {
        let band = |then: Moment| match self.forecast() {
            Some(forecast) => Some(self.band(forecast, then)),
            None => self.presumed_free_so2_at(then),
        };
        band(self.now)?;
        let point = |it: &So2Event| match &it.what {
            So2Change::Tested(found) => Point::found(it.at_ms, found),
            _ => None,
        };
        let mark = |it: &So2Event| {
            let word = match it.what {
                So2Change::Added(..)
                | So2Change::AddedToUnmeasured(..)
                | So2Change::AddedUnknown => "dose",
                So2Change::MetAir(Air::Opened, _) => "opened",
                So2Change::MetAir(Air::Racked, _) => "racked",
                So2Change::MetAir(Air::Bottled, _) => "bottled",
                So2Change::Tested(_) | So2Change::Estimated(_) => return None,
            };
            Some((it.at_ms, word.to_owned()))
        };
        let is_tested = self.forecast().is_some();
        let last = self.wine.so2.last().filter(|_| is_tested);
        let from = last.map_or(self.now.utc_ms, |it| it.at_ms.min(self.now.utc_ms));
        let until = self.now.utc_ms + AHEAD_DAYS * DAY_MS;
        let expected = (0..=MOMENTS).filter_map(|step| {
            let at_ms = from + (until - from) / MOMENTS * step;
            // As every other face has it: no more than a test below its limit found.
            let then = Moment {
                utc_ms: at_ms,
                ..self.now
            };
            let Band { low, mid, high, .. } = band(then)?;
            Some(Expected {
                at_ms,
                low,
                mid,
                high,
            })
        });
        Some(Course {
            title: "Free SO2".to_owned(),
            unit: "mg/L",
            decimals: 0,
            readings: self.wine.so2.iter().filter_map(point).collect(),
            expected: expected.collect(),
            level: self.free_so2_aim().map(|it| (it, "aim")),
            marks: self.wine.so2.iter().filter_map(mark).collect(),
            next: String::new(),
            falls: Falls::AsDrawn,
            now_ms: self.now.utc_ms,
        })
    }
}
