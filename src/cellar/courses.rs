//! The charts of a vessel or run: what was measured of its wine, and what is expected.

use super::attention::Holding;
use super::course::{Course, Expected, Point};
use super::entry::{Found, Property};
use super::state::Deed;

/// Moments at which a forecast is worked out; between them it goes straight.
const MOMENTS: i64 = 60;
/// A forecast is drawn so many days ahead.
const AHEAD_DAYS: i64 = 120;
const DAY_MS: i64 = 86_400_000;

/// Every chart that has something to show, free SO2 first.
pub fn courses(holding: &Holding) -> Vec<Course> {
    let all = [free_so2(holding), gravity(holding)];
    let has_something = |it: &Course| !it.readings.is_empty() || !it.expected.is_empty();
    all.into_iter().filter(has_something).collect()
}

/// Free SO2 from the last reading on.
fn free_so2(holding: &Holding) -> Course {
    let now = holding.now;
    let known = holding.wine.known.get(&Property::FreeSo2);
    let read = known.and_then(|it| match it.found {
        Found::Below(_) | Found::Above(_) => None,
        _ => Some(Point {
            at_ms: it.at_ms,
            value: it.found.number()?,
        }),
    });
    let from = known.map_or(now.utc_ms, |it| it.at_ms).min(now.utc_ms);
    let until = now.utc_ms + AHEAD_DAYS * DAY_MS;
    let expected = (0..=MOMENTS).filter_map(|step| {
        let at_ms = from + (until - from) / MOMENTS * step;
        let band = holding.expected_free_so2_at(now.at(at_ms))?;
        Some(Expected {
            at_ms,
            low: band.low,
            mid: band.mid,
            high: band.high,
        })
    });
    let deeds = [(Deed::Sulfited, "dose"), (Deed::Racked, "racked")];
    Course {
        title: "Free SO2".to_owned(),
        unit: "mg/L",
        decimals: 0,
        readings: read.into_iter().collect(),
        expected: expected.collect(),
        level: holding.free_so2_aim().map(|it| (it, "aim")),
        marks: marks(holding, &deeds),
        now_ms: now.utc_ms,
    }
}

/// Gravity since the must.
fn gravity(holding: &Holding) -> Course {
    let readings = holding.wine.gravities.iter().map(|it| Point {
        at_ms: it.at_ms,
        value: it.gravity,
    });
    let deeds = [
        (Deed::Pitched, "yeast"),
        (Deed::Pressed, "pressed"),
        (Deed::Racked, "racked"),
        (Deed::Sweetened, "sweetened"),
    ];
    Course {
        title: "Gravity".to_owned(),
        unit: "",
        decimals: 3,
        readings: readings.collect(),
        expected: Vec::new(),
        level: Some((holding.policy.end_gravity, "dry")),
        marks: marks(holding, &deeds),
        now_ms: holding.now.utc_ms,
    }
}

fn marks(holding: &Holding, deeds: &[(Deed, &str)]) -> Vec<(i64, String)> {
    let done = deeds.iter().filter_map(|(deed, word)| {
        let at_ms = holding.wine.when(*deed)?;
        Some((at_ms, (*word).to_owned()))
    });
    let mut marks: Vec<(i64, String)> = done.collect();
    marks.sort();
    marks
}
