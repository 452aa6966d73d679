//! The inputs of one question: names resolved, text read, defaults filled in, ranges held.

use crate::error::CalcError;
use crate::input::{Input, Need, stem};
use crate::quantity::{Reading, Units, Value};
use crate::registry::Calculator;

/// Everything a calculator needs to answer, in the order it declares its inputs.
#[derive(Clone, Debug)]
pub struct Inputs {
    units: Units,
    fields: Vec<Field>,
}

/// One input with its value.
#[derive(Clone, Debug)]
pub struct Field {
    /// What was asked.
    pub input: &'static Input,
    /// What was given, or the default; `None` where neither is.
    pub value: Option<Value>,
    /// Whether the value was given rather than assumed.
    pub given: bool,
    /// How the text was read, where it could have meant something else.
    pub note: Option<String>,
}

impl Inputs {
    /// Reads pairs of name and text for a calculator.
    ///
    /// A name is the key or a flag of it, dashes in front or not, with or without the unit at its end; one that
    /// two inputs share needs its unit, in the name or behind the number. Refuses unknown, shared and repeated
    /// names, text that is no such quantity, numbers outside what is allowed, and missing inputs.
    pub fn read(
        calculator: &Calculator,
        given: &[(&str, &str)],
        units: &Units,
    ) -> Result<Self, CalcError> {
        let mut fields: Vec<Field> = calculator
            .inputs
            .iter()
            .map(|input| Field {
                input,
                value: None,
                given: false,
                note: None,
            })
            .collect();
        for (name, text) in given {
            let at = find(calculator, name, text)?;
            let field = &mut fields[at];
            if field.given {
                return Err(CalcError::Twice {
                    key: field.input.key,
                });
            }
            let Reading { value, note } = read_one(field.input, text, *units)?;
            *field = Field {
                value: Some(value),
                given: true,
                note,
                ..*field
            };
        }
        for field in fields.iter_mut().filter(|field| !field.given) {
            if let Some(text) = field.input.default {
                field.value = Some(read_one(field.input, text, *units)?.value);
            }
        }
        let inputs = Self {
            units: *units,
            fields,
        };
        inputs.check_needs()?;
        Ok(inputs)
    }

    fn check_needs(&self) -> Result<(), CalcError> {
        for Field { input, value, .. } in &self.fields {
            match input.need {
                Need::Always if value.is_none() => {
                    return Err(CalcError::Missing {
                        key: input.key,
                        help: input.help,
                    });
                }
                Need::OneOf(group) => {
                    let of_group = || {
                        self.fields
                            .iter()
                            .filter(move |f| f.input.need == Need::OneOf(group))
                    };
                    let given: Vec<_> = of_group()
                        .filter(|f| f.given)
                        .map(|f| f.input.key)
                        .collect();
                    if given.len() != 1 {
                        let keys = of_group().map(|f| f.input.key).collect();
                        return Err(CalcError::OneOf { keys, given });
                    }
                }
                _ => {}
            }
        }
        Ok(())
    }

    fn field(&self, key: &str) -> Option<&Field> {
        self.fields.iter().find(|field| field.input.key == key)
    }

    /// All inputs in declared order.
    pub fn fields(&self) -> &[Field] {
        &self.fields
    }

    /// The units the text was read in.
    pub const fn units(&self) -> &Units {
        &self.units
    }

    /// A number in the input's own unit; `None` if it was left out and has no default.
    pub fn number(&self, key: &str) -> Option<f64> {
        match self.field(key)?.value {
            Some(Value::Number(number)) => Some(number),
            _ => None,
        }
    }

    /// A number the answer cannot do without; [`CalcError::Missing`] if it is not there.
    pub fn require(&self, key: &'static str) -> Result<f64, CalcError> {
        let help = self.field(key).map_or("", |field| field.input.help);
        self.number(key).ok_or(CalcError::Missing { key, help })
    }

    /// The word chosen; empty if it was left out and has no default.
    pub fn word(&self, key: &str) -> &'static str {
        match self.field(key).map(|field| &field.value) {
            Some(Some(Value::Word(word))) => word,
            _ => "",
        }
    }

    /// The text given; `None` if it was left out.
    pub fn text(&self, key: &str) -> Option<&str> {
        match &self.field(key)?.value {
            Some(Value::Text(text)) => Some(text),
            _ => None,
        }
    }

    /// Whether a value was given rather than left to its default.
    pub fn is_given(&self, key: &str) -> bool {
        self.field(key).is_some_and(|field| field.given)
    }
}

/// Which input a name means.
fn find(calculator: &Calculator, name: &str, text: &str) -> Result<usize, CalcError> {
    let key = name
        .trim()
        .trim_start_matches('-')
        .replace('-', "_")
        .to_lowercase();
    let inputs = calculator.inputs;
    if let Some(at) = inputs.iter().position(|input| input.key == key) {
        return Ok(at);
    }
    let mut sharing: Vec<usize> = (0..inputs.len())
        .filter(|&at| stem(inputs[at].key) == key)
        .collect();
    // A unit behind the number tells which of two is meant.
    let named: Vec<usize> = sharing
        .iter()
        .copied()
        .filter(|&at| inputs[at].quantity.is_named_in(text))
        .collect();
    if named.len() == 1 {
        sharing = named;
    }
    match sharing[..] {
        [] => Err(CalcError::UnknownInput {
            calc: calculator.name,
            given: name.to_owned(),
            known: inputs.iter().map(|input| input.key).collect(),
        }),
        [at] => Ok(at),
        _ => Err(CalcError::SharedName {
            given: name.to_owned(),
            keys: sharing.iter().map(|&at| inputs[at].key).collect(),
        }),
    }
}

/// Reads one text and holds it against the allowed range.
fn read_one(input: &'static Input, text: &str, units: Units) -> Result<Reading, CalcError> {
    let reading = input
        .quantity
        .read(text, &units)
        .map_err(|problem| CalcError::Unreadable {
            key: input.key,
            problem,
        })?;
    if let (&Value::Number(number), Some(range)) = (&reading.value, input.allowed)
        && !range.holds(number)
    {
        return Err(CalcError::OutOfRange {
            key: input.key,
            given: text.to_owned(),
            range,
            quantity: input.quantity,
        });
    }
    Ok(reading)
}
