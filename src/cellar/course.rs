//! How something went over time and how it is expected to go on: the one shape of every chart, drawn
//! in the terminal and on paper alike.

mod axes;
mod end;
mod said;

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
    /// What.
    pub value: f64,
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
