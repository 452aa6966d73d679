//! What a calculator gives back: the figures, how they came about, what was assumed, and what to mind.

use serde::{Serialize, Serializer};

use crate::day::Day;
use crate::hazards::Hazard;
use crate::inputs::{Field, Inputs};
use crate::quantity::{Quantity, Value};
use crate::spread::Spread;

/// An answer. Its `Serialize` is the JSON that `leesline calc NAME --json` prints.
#[derive(Clone, Debug, Serialize)]
pub struct Answer {
    /// The calculator's name.
    pub calc: &'static str,
    /// The inputs by key, with defaults filled in.
    pub inputs: Fields,
    /// The results by key, flat; a band is `KEY_low` and `KEY_high` (10 and 90 %).
    pub results: Fields,
    /// The same question under the other dissociation constant, where there is one; never mixed with `results`.
    pub other_constant: Option<Fields>,
    /// The steps from inputs to results, with the numbers in them.
    pub working: Vec<Working>,
    /// What was taken without being given, and how text was read that could mean two things.
    pub assumptions: Vec<Assumption>,
    /// Where formulas and figures come from.
    pub sources: Vec<Source>,
    /// Hazards, limits and doubts: first those that ask, then the gravest.
    pub cautions: Vec<Caution>,
}

/// Keys and values in a fixed order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Fields(Vec<(String, FieldValue)>);

/// A value in an answer.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(untagged)]
pub enum FieldValue {
    /// A finite number in the unit its key names.
    Number(f64),
    /// A whole number of things.
    Count(i64),
    /// A word or a sentence.
    Text(String),
    /// There is none; `null` in JSON.
    Missing,
}

/// One step: the expression with its numbers and what it comes to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Working {
    /// What the step finds, in a word or two.
    pub step: &'static str,
    /// The expression.
    pub sentence: String,
}

/// A figure that was taken rather than given, with its spread where it has one.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Assumption {
    /// What was taken, and why or how far it may be off.
    pub sentence: String,
    /// The input's key.
    pub key: &'static str,
    /// What was taken.
    pub value: FieldValue,
    /// The value only one in ten lies below.
    pub low: Option<f64>,
    /// The value only one in ten lies above.
    pub high: Option<f64>,
}

/// A source and how it was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Source {
    /// Title and section.
    pub sentence: &'static str,
    /// How far it was checked.
    pub standing: Standing,
}

/// How far a source was checked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// It was opened and says so.
    Opened,
    /// Arithmetic from atomic masses, definitions or a textbook law.
    Derived,
    /// A habit of the trade; nothing is cited.
    CommonPractice,
    /// Known, but nobody opened it for this.
    FromMemory,
}

/// Something to mind: the hazard, then what to do.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Caution {
    /// What sort of thing it is.
    pub kind: CautionKind,
    /// The hazard, then what to do.
    pub sentence: String,
    /// The same in a few words, for when it has been shown in full before.
    pub short: Option<&'static str>,
    /// A question to be answered with yes before the dose is given; a program stops here.
    pub asks: Option<String>,
    /// Where it comes from.
    pub source: &'static str,
}

/// What sort of thing a caution is about, the gravest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum CautionKind {
    /// Someone can be hurt.
    Hazard,
    /// The state of the wine speaks against it.
    State,
    /// A legal or tasted ceiling.
    Limit,
    /// An input lies where no source reaches.
    Range,
    /// How to do it well.
    Practice,
}

impl Answer {
    /// An answer with the inputs filled in and nothing else yet.
    pub fn new(calc: &'static str, inputs: &Inputs) -> Self {
        let mut fields = Fields::default();
        for field in inputs.fields() {
            fields.put(field.input.key, FieldValue::of(field));
        }
        Self {
            calc,
            inputs: fields,
            results: Fields::default(),
            other_constant: None,
            working: Vec::new(),
            assumptions: Vec::new(),
            sources: Vec::new(),
            cautions: Vec::new(),
        }
    }

    /// A result that is a number: `number("metabisulfite_g")`. `None` for a key that is absent, null or a word.
    pub fn number(&self, key: &str) -> Option<f64> {
        self.results.number(key)
    }

    /// The questions that must be answered with yes before anything is done.
    pub fn asks(&self) -> impl Iterator<Item = &str> {
        self.cautions
            .iter()
            .filter_map(|caution| caution.asks.as_deref())
    }

    /// Adds a result.
    pub fn result(&mut self, key: &str, value: impl Into<FieldValue>) {
        self.results.put(key, value);
    }

    /// Adds a result with its band as `KEY_low` and `KEY_high`.
    pub fn band(&mut self, key: &str, low: f64, value: f64, high: f64) {
        self.results.put(key, value);
        self.results.put(&format!("{key}_low"), low);
        self.results.put(&format!("{key}_high"), high);
    }

    /// Adds a step of the working.
    pub fn work(&mut self, step: &'static str, sentence: impl Into<String>) {
        self.working.push(Working {
            step,
            sentence: sentence.into(),
        });
    }

    /// Adds a result with its band, where it has one.
    pub fn spread(&mut self, key: &str, spread: Spread) {
        if spread.is_known() {
            self.result(key, spread.value);
        } else {
            self.band(key, spread.low, spread.value, spread.high);
        }
    }

    /// Adds an assumption with its spread.
    pub fn assume(
        &mut self,
        key: &'static str,
        value: f64,
        spread: (f64, f64),
        sentence: impl Into<String>,
    ) {
        self.assumptions.push(Assumption {
            sentence: sentence.into(),
            key,
            value: value.into(),
            low: Some(spread.0),
            high: Some(spread.1),
        });
    }

    /// Adds an assumption without a spread.
    pub fn assume_plainly(
        &mut self,
        key: &'static str,
        value: &Value,
        sentence: impl Into<String>,
    ) {
        self.assumptions.push(Assumption {
            sentence: sentence.into(),
            key,
            value: value.into(),
            low: None,
            high: None,
        });
    }

    /// Adds a source, once.
    pub fn source(&mut self, source: Source) {
        if !self.sources.contains(&source) {
            self.sources.push(source);
        }
    }

    /// Adds a caution.
    pub fn caution(
        &mut self,
        kind: CautionKind,
        source: &'static str,
        sentence: impl Into<String>,
    ) {
        self.cautions.push(Caution {
            kind,
            sentence: sentence.into(),
            short: None,
            asks: None,
            source,
        });
    }

    /// Adds a hazard.
    pub fn hazard(
        &mut self,
        Hazard {
            sentence,
            short,
            source,
        }: Hazard,
    ) {
        self.cautions.push(Caution {
            kind: CautionKind::Hazard,
            sentence: sentence.to_owned(),
            short: Some(short),
            asks: None,
            source,
        });
    }

    /// Adds a caution that stops until its question is answered.
    pub fn stop(
        &mut self,
        kind: CautionKind,
        source: &'static str,
        sentence: impl Into<String>,
        asks: impl Into<String>,
    ) {
        let asks = Some(asks.into());
        self.cautions.push(Caution {
            kind,
            sentence: sentence.into(),
            short: None,
            asks,
            source,
        });
    }
}

impl Fields {
    /// Sets a key, in its old place if it has one.
    pub fn put(&mut self, key: &str, value: impl Into<FieldValue>) {
        let value = value.into();
        match self.0.iter_mut().find(|(known, _)| known == key) {
            Some((_, old)) => *old = value,
            None => self.0.push((key.to_owned(), value)),
        }
    }

    /// The value of a key.
    pub fn get(&self, key: &str) -> Option<&FieldValue> {
        self.0
            .iter()
            .find(|(known, _)| known == key)
            .map(|(_, value)| value)
    }

    /// The number of a key; counts too.
    pub fn number(&self, key: &str) -> Option<f64> {
        match self.get(key)? {
            FieldValue::Number(number) => Some(*number),
            FieldValue::Count(count) => Some(*count as f64),
            FieldValue::Text(_) | FieldValue::Missing => None,
        }
    }

    /// The text of a key.
    pub fn text(&self, key: &str) -> Option<&str> {
        match self.get(key)? {
            FieldValue::Text(text) => Some(text),
            _ => None,
        }
    }

    /// Keys and values in order.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &FieldValue)> {
        self.0.iter().map(|(key, value)| (key.as_str(), value))
    }
}

impl FieldValue {
    /// An input's value; a date is written as one.
    fn of(field: &Field) -> Self {
        match (&field.value, field.input.quantity) {
            (None, _) => Self::Missing,
            (Some(Value::Number(days)), Quantity::Date) => Self::Text(Day(*days).to_string()),
            (Some(value), _) => value.into(),
        }
    }
}

impl Serialize for Fields {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.iter())
    }
}

impl From<f64> for FieldValue {
    fn from(number: f64) -> Self {
        Self::Number(number)
    }
}

impl From<Option<f64>> for FieldValue {
    fn from(number: Option<f64>) -> Self {
        number.map_or(Self::Missing, Self::Number)
    }
}

impl From<i64> for FieldValue {
    fn from(count: i64) -> Self {
        Self::Count(count)
    }
}

impl From<&str> for FieldValue {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<String> for FieldValue {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<&Value> for FieldValue {
    fn from(value: &Value) -> Self {
        match value {
            Value::Number(number) => Self::Number(*number),
            Value::Word(word) => Self::Text((*word).to_owned()),
            Value::Text(text) => Self::Text(text.clone()),
        }
    }
}
