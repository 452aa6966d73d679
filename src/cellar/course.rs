//! How something went over time and how it is expected to go on: the one shape of every chart, drawn
//! in the terminal and on paper alike.

mod axes;
mod end;
mod said;

use super::entry::Found;

pub use axes::Axes;
pub use said::Reaching;

/// A quantity over time.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Course {
    /// What it is of: `Free SO2`.
    pub title: String,
    /// Unit of its values; empty for a gravity or a score.
    pub unit: &'static str,
    /// Digits shown after the point.
    pub decimals: usize,
    /// What was found, oldest first.
    pub readings: Vec<Point>,
    /// What is expected, oldest first; empty where nothing can be said.
    pub expected: Vec<Expected>,
    /// What it should not fall below, or is on its way to, with a word for it: `aim`.
    pub level: Option<(f64, &'static str)>,
    /// How it is known when it falls to that.
    pub falls: Falls,
    /// What was done that changed it, with a word for each: `dose`, `racked`.
    pub marks: Vec<(i64, String)>,
    /// What one more reading would narrow, in a sentence; empty where that is not known.
    pub next: String,
    /// Now, UTC ms.
    pub now_ms: i64,
}

/// How it is known when something falls to its level.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Falls {
    /// Where what is expected crosses it.
    #[default]
    AsDrawn,
    /// On days that were foreseen by themselves.
    On(Reaching),
    /// No day can be said.
    Unsaid,
}

/// What was found at a moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// When, UTC ms.
    pub at_ms: i64,
    /// What; of a span its middle, else the limit where no more than that is known.
    pub value: f64,
    /// What of it is known.
    pub known: Extent,
}

/// What is known of a figure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Extent {
    /// The figure.
    Exact,
    /// That it lies between these.
    Between(f64, f64),
    /// That it lies anywhere from nothing to its value, which is the least that its test can tell.
    Below,
    /// That it lies above its value.
    Above,
}

impl Point {
    /// A figure as it stands.
    pub const fn exact(at_ms: i64, value: f64) -> Point {
        let known = Extent::Exact;
        Point {
            at_ms,
            value,
            known,
        }
    }

    /// What a reading found; nothing where it found a word.
    pub fn found(at_ms: i64, found: &Found) -> Option<Point> {
        let known = match found {
            Found::Between(low, high) => Extent::Between(*low, *high),
            Found::Below(_) => Extent::Below,
            Found::Above(_) => Extent::Above,
            Found::Number(_) | Found::Word(_) => Extent::Exact,
        };
        let value = found.number()?;
        Some(Point {
            at_ms,
            value,
            known,
        })
    }

    /// From where to where it may lie, as far as that is known.
    pub fn reach(&self) -> (f64, f64) {
        match self.known {
            Extent::Exact | Extent::Above => (self.value, self.value),
            Extent::Between(low, high) => (low, high),
            Extent::Below => (self.value.min(0.0), self.value),
        }
    }
}

/// What is expected at a moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expected {
    /// When, UTC ms.
    pub at_ms: i64,
    /// One in ten is below.
    pub low: f64,
    /// As many are below as above.
    pub mid: f64,
    /// One in ten is above.
    pub high: f64,
}
