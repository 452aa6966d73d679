//! Why a calculation was refused, in one sentence that says what and what to do.

use std::fmt;

use crate::day::Day;
use crate::input::Range;
use crate::quantity::{ParseError, Quantity, quoted};

/// A refusal. It names the input, what was given, what is allowed and why; `Display` is one plain sentence.
#[derive(Clone, Debug, PartialEq)]
pub enum CalcError {
    /// No input of the calculator answers to this name.
    UnknownInput {
        /// The calculator asked.
        calc: &'static str,
        /// The name as typed.
        given: String,
        /// The keys it does take.
        known: Vec<&'static str>,
    },
    /// A name without its unit that belongs to two inputs.
    SharedName {
        /// The name as typed.
        given: String,
        /// The keys it could mean.
        keys: Vec<&'static str>,
    },
    /// The same input given twice.
    Twice {
        /// The input's key.
        key: &'static str,
    },
    /// Text that is no such quantity.
    Unreadable {
        /// The input's key.
        key: &'static str,
        /// What is wrong with the text.
        problem: ParseError,
    },
    /// A number outside what is allowed.
    OutOfRange {
        /// The input's key.
        key: &'static str,
        /// The text as typed.
        given: String,
        /// What is allowed, and why.
        range: Range,
        /// What the input measures, and with it the unit of the range.
        quantity: Quantity,
    },
    /// An input without which there is no answer.
    Missing {
        /// The input's key.
        key: &'static str,
        /// What the input is.
        help: &'static str,
    },
    /// None, or more than one, of several inputs that stand for each other.
    OneOf {
        /// Their keys.
        keys: Vec<&'static str>,
        /// Those that were given.
        given: Vec<&'static str>,
    },
    /// Each input is fine by itself and together they have no answer.
    Refused {
        /// The input to change.
        key: &'static str,
        /// What was given, what is allowed and why, and what to do.
        sentence: String,
    },
}

impl CalcError {
    /// The key of the input at fault, so that a form can put the sentence at its field.
    pub fn input(&self) -> Option<&str> {
        match self {
            Self::UnknownInput { .. } => None,
            Self::SharedName { keys, .. } | Self::OneOf { keys, .. } => keys.first().copied(),
            Self::Twice { key }
            | Self::Unreadable { key, .. }
            | Self::OutOfRange { key, .. }
            | Self::Missing { key, .. }
            | Self::Refused { key, .. } => Some(key),
        }
    }
}

/// The ends of a range in words, with their unit.
fn between(Range { low, high, .. }: Range, quantity: Quantity) -> String {
    match quantity {
        Quantity::Date => format!("{} to {}", Day(low), Day(high)),
        _ => format!("{low} to {high} {}", quantity.unit())
            .trim_end()
            .to_owned(),
    }
}

impl fmt::Display for CalcError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::UnknownInput { calc, given, known } => write!(
                f,
                "{calc} has no input {}: it takes {}",
                quoted(given),
                known.join(", ")
            ),
            Self::SharedName { given, keys } => write!(
                f,
                "{} could be {}: name it with its unit",
                quoted(given),
                keys.join(" or ")
            ),
            Self::Twice { key } => write!(f, "{key} was given twice: give it once"),
            Self::Unreadable { key, problem } => write!(f, "{key}: {problem}"),
            Self::OutOfRange {
                key,
                given,
                range,
                quantity,
            } => write!(
                f,
                "{key}: {} is outside {}, and {}: check the figure and give it again",
                quoted(given),
                between(*range, *quantity),
                range.why
            ),
            Self::Missing { key, help } => write!(f, "{key} is missing ({help}): give it"),
            Self::OneOf { keys, given } if given.is_empty() => {
                write!(
                    f,
                    "there is nothing to reckon from: give one of {}",
                    keys.join(", ")
                )
            }
            Self::OneOf { given, .. } => write!(
                f,
                "{} stand for the same thing: give only one of them",
                given.join(" and ")
            ),
            Self::Refused { key, sentence } => write!(f, "{key}: {sentence}"),
        }
    }
}

impl std::error::Error for CalcError {}
