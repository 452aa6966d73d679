//! Every calculator by name: the one list that the command line, the forms, the JSON and the manual read.
//!
//! To add a calculator: write its file in `calculators/` with one `pub(super) static CALCULATOR`, and enter it
//! in `calculators/mod.rs`. Nothing else needs to know.

use std::collections::BTreeMap;

use crate::answer::{Answer, CautionKind, FieldValue};
pub use crate::calculators::CALCULATORS;
use crate::error::CalcError;
pub use crate::input::{Input, Need, Range};
pub use crate::inputs::{Field, Inputs};
use crate::quantity::{Quantity, Units, Value, show};

/// One calculation: what it asks, what it gives, and how.
#[derive(Debug)]
pub struct Calculator {
    /// Its name on the command line.
    pub name: &'static str,
    /// What it answers, in one plain sentence.
    pub sentence: &'static str,
    /// The heading it stands under in lists.
    pub group: &'static str,
    /// What it asks for, the most important first.
    pub inputs: &'static [Input],
    /// What it gives, the most important first.
    pub results: &'static [ResultSpec],
    /// A question it answers, for the manual and the tests: names and text as typed.
    pub example: &'static [(&'static str, &'static str)],
    /// The calculation. Callers want [`Calculator::answer`], which adds what every answer must say.
    pub solve: fn(&Inputs) -> Result<Answer, CalcError>,
}

/// One result of a calculator.
#[derive(Clone, Copy, Debug)]
pub struct ResultSpec {
    /// Name in JSON; its band, where it has one, is `KEY_low` and `KEY_high`.
    pub key: &'static str,
    /// What it measures.
    pub quantity: Quantity,
    /// What it is, in a few plain words.
    pub help: &'static str,
}

impl ResultSpec {
    /// A result.
    pub const fn new(key: &'static str, quantity: Quantity, help: &'static str) -> Self {
        Self {
            key,
            quantity,
            help,
        }
    }
}

/// The calculator of this name.
pub fn find(name: &str) -> Option<&'static Calculator> {
    CALCULATORS
        .iter()
        .copied()
        .find(|calculator| calculator.name == name)
}

impl Calculator {
    /// Answers from names and text as typed; see [`Inputs::read`] for what is refused.
    pub fn ask(&self, given: &[(&str, &str)], units: &Units) -> Result<Answer, CalcError> {
        self.answer(&Inputs::read(self, given, units)?)
    }

    /// Solves, and adds what every answer must say: how ambiguous text was read, what was taken by default, and
    /// which inputs lie where no source reaches. Refuses rather than give a figure that is no finite number.
    pub fn answer(&self, inputs: &Inputs) -> Result<Answer, CalcError> {
        let mut answer = (self.solve)(inputs)?;
        for (key, value) in answer.results.iter() {
            if matches!(value, FieldValue::Number(number) if !number.is_finite()) {
                let input = self.inputs.first().map_or("", |input| input.key);
                return Err(CalcError::Refused {
                    key: input,
                    sentence: format!(
                        "{key} comes to no number with these inputs: check them and give them again"
                    ),
                });
            }
        }
        for field in inputs.fields() {
            let (key, quantity) = (field.input.key, field.input.quantity);
            let Some(value) = &field.value else { continue };
            if let Some(note) = &field.note {
                answer.assume_plainly(key, value, note.clone());
            }
            if !field.given && !answer.assumptions.iter().any(|known| known.key == key) {
                let taken = match value {
                    Value::Number(number) => show(quantity, *number, inputs.units()),
                    Value::Word(word) => (*word).to_owned(),
                    Value::Text(text) => text.clone(),
                };
                answer.assume_plainly(
                    key,
                    value,
                    format!("{key} was not given: {taken} is taken."),
                );
            }
            if let (&Value::Number(number), Some(range)) = (value, field.input.sourced)
                && !range.holds(number)
            {
                let Range { low, high, why } = range;
                answer.caution(
                    CautionKind::Range,
                    "the sources of this calculation",
                    format!(
                        "{key} {number} is outside {low} to {high}, since {why}: take the answer as a \
                         rough one."
                    ),
                );
            }
        }
        answer
            .cautions
            .sort_by_key(|caution| (caution.asks.is_none(), caution.kind));
        Ok(answer)
    }

    /// Every name an input answers to, without dashes in front, with the keys it stands for. A name with more
    /// than one key is shared and needs its unit.
    pub fn flags(&self) -> BTreeMap<String, Vec<&'static str>> {
        let mut flags = BTreeMap::<String, Vec<&'static str>>::new();
        for input in self.inputs {
            for flag in input.flags() {
                flags.entry(flag).or_default().push(input.key);
            }
        }
        flags
    }
}

#[cfg(test)]
mod tests;
