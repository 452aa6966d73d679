//! One threshold of the policy, as the program shows it and a person may set it.

use std::fmt;

use super::{ReasonKind, words};

/// One threshold, as the program shows it.
#[derive(Clone, Debug, PartialEq)]
pub struct Threshold {
    /// Its name, such as `gross_lees_days`.
    pub name: &'static str,
    /// What it is set to.
    pub value: f64,
    /// What it is where nobody sets it.
    pub usual: f64,
    /// Unit of the value; empty for a share or a gravity.
    pub unit: &'static str,
    /// What it is for.
    pub why: &'static str,
    /// Where it comes from.
    pub source: Source,
    /// The reasons it decides about; none where it is asked only before bottling.
    pub kinds: &'static [ReasonKind],
    /// Between which values a person may set it; `None` where it is not theirs to set.
    pub range: Option<(f64, f64)>,
}

/// Where a threshold comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// A fact of the trade without a published source.
    CommonPractice,
    /// Our own judgement; no published figure was found.
    HouseEstimate,
    /// Published, and read there.
    Published(&'static str),
    /// Published, and not opened by us.
    FromMemory(&'static str),
}

impl Threshold {
    /// Whether a person set it to something else than usual.
    pub fn is_own(&self) -> bool {
        (self.value - self.usual).abs() > 1e-9
    }

    /// `28 d`, or `40 d, yours; usually 28`.
    pub fn value_words(&self) -> String {
        let value = format!("{} {}", self.number(self.value), self.unit);
        let value = value.trim();
        if self.is_own() {
            format!("{value}, yours; usually {}", self.number(self.usual))
        } else {
            value.to_owned()
        }
    }

    /// A gravity is read to three places.
    fn number(&self, value: f64) -> String {
        if self.name.ends_with("_gravity") {
            words::gravity(value)
        } else {
            value.to_string()
        }
    }

    /// Its name as people say it, without its unit: `gross lees days`, `dry sugar`.
    pub fn label(&self) -> String {
        let units = ["_mg_l", "_g_l", "_pct_vol", "_mm", "_c"];
        let bare = units.iter().find_map(|it| self.name.strip_suffix(it));
        bare.unwrap_or(self.name).replace('_', " ")
    }
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Source::CommonPractice => f.write_str("common practice"),
            Source::HouseEstimate => f.write_str("house estimate"),
            Source::Published(source) => f.write_str(source),
            Source::FromMemory(source) => write!(f, "from memory: {source}"),
        }
    }
}
