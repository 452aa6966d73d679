//! What a calculator asks for: one declaration that the flags, the forms, the JSON and the manual all read.

use crate::quantity::Quantity;

/// One input of a calculator.
#[derive(Clone, Copy, Debug)]
pub struct Input {
    /// Name in JSON, `snake_case` with the unit at its end.
    pub key: &'static str,
    /// What it measures, and the unit a bare number takes.
    pub quantity: Quantity,
    /// What it is, in a few plain words.
    pub help: &'static str,
    /// Whether an answer needs it.
    pub need: Need,
    /// What is taken when it is not given, as a person would type it.
    pub default: Option<&'static str>,
    /// Outside of this the number is refused. Every input that is a number has one.
    pub allowed: Option<Range>,
    /// Outside of this the answer is given with a warning, since no source reaches there.
    pub sourced: Option<Range>,
}

/// A closed range in the unit of its input, and the reason for its ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// The lowest value inside.
    pub low: f64,
    /// The highest value inside.
    pub high: f64,
    /// Why it ends there; reads after "and" or "since".
    pub why: &'static str,
}

/// Whether an answer needs an input.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// Without it there is no answer.
    Always,
    /// It may be left out.
    Optional,
    /// Exactly one of the inputs of the same group must be given.
    OneOf(&'static str),
}

impl Range {
    /// Whether a value lies inside, ends included.
    pub fn holds(&self, value: f64) -> bool {
        (self.low..=self.high).contains(&value)
    }
}

impl Input {
    /// An optional input without default or range; the functions below add to it.
    pub const fn new(key: &'static str, quantity: Quantity, help: &'static str) -> Self {
        Self {
            key,
            quantity,
            help,
            need: Need::Optional,
            default: None,
            allowed: None,
            sourced: None,
        }
    }

    /// The same input, without which there is no answer.
    #[must_use]
    pub const fn required(self) -> Self {
        Self {
            need: Need::Always,
            ..self
        }
    }

    /// The same input as one of a group of which exactly one must be given.
    #[must_use]
    pub const fn one_of(self, group: &'static str) -> Self {
        Self {
            need: Need::OneOf(group),
            ..self
        }
    }

    /// The same input with what is taken when it is not given.
    #[must_use]
    pub const fn default(self, text: &'static str) -> Self {
        Self {
            default: Some(text),
            ..self
        }
    }

    /// The same input, refused outside of this range.
    #[must_use]
    pub const fn allowed(self, low: f64, high: f64, why: &'static str) -> Self {
        Self {
            allowed: Some(Range { low, high, why }),
            ..self
        }
    }

    /// The same input, answered with a warning outside of this range.
    #[must_use]
    pub const fn sourced(self, low: f64, high: f64, why: &'static str) -> Self {
        Self {
            sourced: Some(Range { low, high, why }),
            ..self
        }
    }

    /// The names it answers to on a command line, without dashes in front: the key, then the key without its unit.
    pub fn flags(&self) -> Vec<String> {
        let full = self.key.replace('_', "-");
        let short = stem(self.key).replace('_', "-");
        if short == full {
            vec![full]
        } else {
            vec![full, short]
        }
    }
}

/// The unit suffixes a flag may leave out, longest first.
pub(crate) const SUFFIXES: [&str; 23] = [
    "_pct_mass",
    "_per_day",
    "_pct_vol",
    "_kg_m3",
    "_brix",
    "_days",
    "_g_hl",
    "_mg_l",
    "_cm2",
    "_g_l",
    "_kpa",
    "_min",
    "_pct",
    "_tsp",
    "_day",
    "_mg",
    "_ml",
    "_mm",
    "_sg",
    "_ul",
    "_c",
    "_g",
    "_l",
];

/// A key without its unit; the key itself where nothing would be left.
pub(crate) fn stem(key: &str) -> &str {
    SUFFIXES
        .iter()
        .find_map(|suffix| key.strip_suffix(suffix).filter(|rest| !rest.is_empty()))
        .unwrap_or(key)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(key: &'static str, expected: &[&str]) {
        assert_eq!(Input::new(key, Quantity::Number, "").flags(), expected);
    }

    #[test]
    fn a_flag_may_leave_its_unit_out() {
        check("free_so2_mg_l", &["free-so2-mg-l", "free-so2"]);
        check("alcohol_pct_vol", &["alcohol-pct-vol", "alcohol"]);
        check("alcohol_pct_mass", &["alcohol-pct-mass", "alcohol"]);
        check("volume_l", &["volume-l", "volume"]);
        check("temperature_c", &["temperature-c", "temperature"]);
        check("rate_g_hl", &["rate-g-hl", "rate"]);
        check("sugar_g_l", &["sugar-g-l", "sugar"]);
        check("ph", &["ph"]);
        check("sg", &["sg"]);
        check("_l", &["-l"]);
    }

    #[test]
    fn suffixes_stand_longest_first() {
        assert!(SUFFIXES.is_sorted_by(|a, b| a.len() >= b.len()));
    }
}
