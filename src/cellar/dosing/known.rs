//! How well a thing is known, what is filled in for it, and where that comes from.

/// How well something is known. The sign stands beside the value, so that no colour is needed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sign {
    /// Measured, or written in the book.
    Known,
    /// Forecast or assumed.
    Rough,
    /// Measured longer ago than the policy trusts.
    Old,
    /// Not known, and wanted.
    Unknown,
    /// Left out, and may be.
    Blank,
}

impl Sign {
    /// The sign itself.
    pub const fn mark(self) -> &'static str {
        match self {
            Sign::Known => "=",
            Sign::Rough => "~",
            Sign::Old => "old",
            Sign::Unknown => "?",
            Sign::Blank => "",
        }
    }
}

/// What is filled in for an input.
#[derive(Clone, Debug, PartialEq)]
pub struct Known {
    /// As a person would type it; empty for nothing.
    pub text: String,
    /// How well it is known.
    pub sign: Sign,
    /// Where it comes from, in a few words.
    pub words: String,
    /// Whether it is told to the calculator; its own defaults are not, so that it can say how far
    /// they may be off.
    pub given: bool,
    /// The values that one in ten lies below and above, for a forecast.
    pub band: Option<(f64, f64)>,
    /// How it was come by, in a sentence, where the words are too few for it.
    pub why: &'static str,
}

impl Known {
    pub(super) fn from_book(text: impl Into<String>, words: impl Into<String>) -> Known {
        Known {
            text: text.into(),
            sign: Sign::Known,
            words: words.into(),
            given: true,
            band: None,
            why: "",
        }
    }

    pub(super) fn rough(self) -> Known {
        Known {
            sign: Sign::Rough,
            ..self
        }
    }

    pub(super) fn assumed(text: &str, words: impl Into<String>) -> Known {
        Known {
            given: false,
            ..Known::from_book(text, words).rough()
        }
    }

    /// Nothing, and why.
    pub fn nothing(sign: Sign, words: &str) -> Known {
        Known {
            text: String::new(),
            sign,
            words: words.to_owned(),
            given: false,
            band: None,
            why: "",
        }
    }
}
