//! Numbers with their unit: what an input takes, how people type it, how it is shown.
//!
//! ```
//! use leesline_calc::quantity::{Quantity, Units, parse, show};
//! let units = Units::default();
//! let litres = parse(Quantity::Volume, "5 gal", &units)?;
//! assert!((litres - 18.927).abs() < 0.001);
//! assert_eq!(show(Quantity::Volume, litres, &units), "18.9 L");
//! assert_eq!(
//!     parse(Quantity::Volume, "5 stone", &units).unwrap_err().to_string(),
//!     "`5 stone` is no volume: write it in L, mL, gal, qt, pt, fl oz, tbsp or tsp"
//! );
//! # Ok::<(), leesline_calc::quantity::ParseError>(())
//! ```

mod number;
mod show;
mod units;

use std::fmt;

pub use show::{show, stepped};
pub use units::{Gallon, IMPERIAL_GALLON_L, Measure, POUND_G, US_GALLON_L, Units};

use crate::day::Day;
use crate::density;

/// What an input or a result measures, and with it the unit of the number: one variant per unit in use.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// Litres.
    Volume,
    /// Millilitres: samples, headspace, bottles, stock solutions.
    SmallVolume,
    /// Level teaspoons.
    Teaspoons,
    /// Grams.
    Mass,
    /// Milligrams.
    SmallMass,
    /// Milligrams per litre.
    MassPerVolume,
    /// Grams per litre.
    GramsPerLitre,
    /// Grams per hectolitre.
    GramsPerHectolitre,
    /// Kilograms per cubic metre.
    Density,
    /// Ethanol, per cent by volume at 20 °C.
    AlcoholByVolume,
    /// Ethanol, per cent by mass.
    AlcoholByMass,
    /// Specific gravity 20/20. A number from 900 to 1200 is read as thousandths: `1090` is 1.090.
    Gravity,
    /// Degrees Brix: grams of sucrose in 100 g of solution.
    Brix,
    /// pH.
    Ph,
    /// Degrees Celsius.
    Temperature,
    /// Per cent.
    Percent,
    /// A part of one, 0–1; `33 %` is read as 0.33.
    Fraction,
    /// Millimetres.
    Length,
    /// Square centimetres.
    Area,
    /// Kilopascals.
    Pressure,
    /// Days.
    Days,
    /// Minutes.
    Minutes,
    /// Per day.
    PerDay,
    /// A civil date, as days since 1970-01-01 (see [`Day`]).
    Date,
    /// A whole number of things.
    Count,
    /// A number without a unit.
    Number,
    /// One of these words.
    Choice(&'static [&'static str]),
    /// Free text with a form of its own, such as a list of readings.
    Text,
}

/// A value as read: a number in the quantity's unit, one of its words, or text.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// In the unit of the quantity.
    Number(f64),
    /// One of the words of a [`Quantity::Choice`].
    Word(&'static str),
    /// Of a [`Quantity::Text`].
    Text(String),
}

/// A value, and what to tell the person about how it was read (which gallon, which spoon).
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// What was read.
    pub value: Value,
    /// A sentence, where the text could have meant something else.
    pub note: Option<String>,
}

/// Why typed text could not be read. Its `Display` is one sentence: what, and what to write instead.
#[derive(Clone, Debug, PartialEq)]
pub struct ParseError {
    quantity: Quantity,
    given: String,
    problem: Problem,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Problem {
    Empty,
    NotANumber,
    TwoSeparators,
    CommaEitherWay,
    UnknownUnit,
    OunceOfVolume,
    NotWhole,
    NotADate,
    NotAWord,
    NoSuchConversion,
    GravityOrBrix,
}

/// Reads typed text as a number in the unit of the quantity.
///
/// Refuses what is no finite number, a unit that does not measure the quantity, and quantities that are
/// words or text (use [`Quantity::read`] for those). Signs and ranges are the input's affair, not the parser's.
pub fn parse(quantity: Quantity, text: &str, units: &Units) -> Result<f64, ParseError> {
    match quantity.read(text, units)?.value {
        Value::Number(number) => Ok(number),
        Value::Word(_) | Value::Text(_) => Err(quantity.error(text, Problem::NotANumber)),
    }
}

impl Quantity {
    /// Reads typed text as a value of this quantity; a bare number takes the quantity's own unit.
    pub fn read(self, text: &str, units: &Units) -> Result<Reading, ParseError> {
        let plain = |value| Ok(Reading { value, note: None });
        match self {
            Self::Text if text.trim().is_empty() => Err(self.error(text, Problem::Empty)),
            Self::Text => plain(Value::Text(text.trim().to_owned())),
            Self::Choice(words) => {
                let typed = text.trim().to_lowercase();
                match words.iter().find(|word| **word == typed) {
                    Some(word) => plain(Value::Word(word)),
                    None => Err(self.error(text, Problem::NotAWord)),
                }
            }
            Self::Date => match Day::parse(text) {
                Some(day) => plain(Value::Number(day.0)),
                None => Err(self.error(text, Problem::NotADate)),
            },
            _ => self
                .read_number(text, *units)
                .map_err(|problem| self.error(text, problem)),
        }
    }

    fn read_number(self, text: &str, units: Units) -> Result<Reading, Problem> {
        let trimmed = text.trim();
        let bare = match trimmed.get(..2) {
            Some(prefix) if self == Self::Ph && prefix.eq_ignore_ascii_case("ph") => &trimmed[2..],
            _ => trimmed,
        };
        let (typed, unit) = number::split(bare, self == Self::Gravity)?;
        if self == Self::Brix && unit.is_empty() && is_written_as_a_gravity(bare, typed) {
            return Err(Problem::GravityOrBrix);
        }
        let value = if unit.is_empty() || self.is_own_unit(&unit) {
            typed
        } else {
            self.convert(typed, &unit, units)?
        };
        let thousandths = self == Self::Gravity && (900.0..=1200.0).contains(&value);
        let value = if thousandths { value / 1000.0 } else { value };
        if !value.is_finite() {
            return Err(Problem::NotANumber);
        }
        if self == Self::Count && (value < 0.0 || value.fract() != 0.0) {
            return Err(Problem::NotWhole);
        }
        let note = if thousandths {
            Some(format!(
                "{} is read as a specific gravity of {value:.3}.",
                quoted(text)
            ))
        } else {
            units::gallon_note(&unit, units.gallon)
                .map(|which| format!("{} is read in {which}.", quoted(text)))
        };
        Ok(Reading {
            value: Value::Number(value),
            note,
        })
    }

    /// The value in this quantity's own unit of `typed` in another unit.
    fn convert(self, typed: f64, unit: &str, units: Units) -> Result<f64, Problem> {
        let scaled = |factor: Option<f64>| factor.map(|f| typed * f).ok_or(Problem::UnknownUnit);
        let litres = || match (unit, units::litres_in(unit, units.gallon)) {
            ("oz" | "ounce" | "ounces", None) => Err(Problem::OunceOfVolume),
            (_, factor) => scaled(factor),
        };
        match self {
            Self::Volume => litres(),
            Self::SmallVolume => Ok(litres()? * 1e3),
            Self::Teaspoons => Ok(litres()? / units.gallon.teaspoon_l()),
            Self::Mass => scaled(units::grams_in(unit)),
            Self::SmallMass => Ok(scaled(units::grams_in(unit))? * 1e3),
            Self::MassPerVolume => scaled(units::milligrams_per_litre_in(unit)),
            Self::GramsPerLitre => Ok(scaled(units::milligrams_per_litre_in(unit))? / 1e3),
            Self::GramsPerHectolitre => Ok(scaled(units::milligrams_per_litre_in(unit))? / 10.0),
            Self::Density => match unit {
                "g/ml" | "g/cm3" | "kg/l" => Ok(typed * 1e3),
                "g/l" => Ok(typed),
                _ => Err(Problem::UnknownUnit),
            },
            Self::AlcoholByVolume if by_mass(unit) => {
                strength(typed).map(density::alcohol_by_volume)
            }
            Self::AlcoholByMass if by_volume(unit) => strength(typed).map(density::alcohol_by_mass),
            Self::Gravity if brix(unit) => match typed {
                -6.0..=85.0 => Ok(density::sg_from_brix(typed)),
                _ => Err(Problem::NoSuchConversion),
            },
            Self::Brix if unit == "sg" => {
                let sg = if (900.0..=1200.0).contains(&typed) {
                    typed / 1e3
                } else {
                    typed
                };
                density::brix_from_sg(sg).ok_or(Problem::NoSuchConversion)
            }
            Self::Temperature => match unit {
                "f" | "°f" | "degf" => Ok((typed - 32.0) * 5.0 / 9.0),
                "k" => Ok(typed - 273.15),
                _ => Err(Problem::UnknownUnit),
            },
            Self::Fraction if percent(unit) => Ok(typed / 100.0),
            Self::Length => scaled(units::millimetres_in(unit)),
            Self::Pressure => scaled(units::kilopascals_in(unit)),
            Self::Days => scaled(units::days_in(unit)),
            Self::Minutes => Ok(scaled(units::days_in(unit))? * 1440.0),
            _ => Err(Problem::UnknownUnit),
        }
    }

    /// Whether a typed unit (lower case, without blanks) is the very unit this quantity is kept in.
    fn is_own_unit(self, unit: &str) -> bool {
        match self {
            Self::Density => matches!(unit, "kg/m3" | "kg/m³"),
            Self::AlcoholByVolume => by_volume(unit),
            Self::AlcoholByMass => by_mass(unit),
            Self::Gravity => unit == "sg",
            Self::Brix => brix(unit),
            Self::Temperature => matches!(unit, "c" | "°c" | "degc"),
            Self::Percent => percent(unit),
            Self::Area => matches!(unit, "cm2" | "cm²"),
            Self::PerDay => matches!(unit, "/d" | "/day" | "perday"),
            Self::Ph => unit == "ph",
            _ => unit == self.unit().replace(' ', "").to_lowercase(),
        }
    }

    /// Whether the text carries this quantity's own unit in so many letters; settles an alias two inputs share.
    pub(crate) fn is_named_in(self, text: &str) -> bool {
        number::split(text, true)
            .is_ok_and(|(_, unit)| !unit.is_empty() && unit != "%" && self.is_own_unit(&unit))
    }

    /// The unit of the number as it is printed: `L`, `mg/L`, `% vol`; empty where there is none.
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Volume => "L",
            Self::SmallVolume => "mL",
            Self::Teaspoons => "tsp",
            Self::Mass => "g",
            Self::SmallMass => "mg",
            Self::MassPerVolume => "mg/L",
            Self::GramsPerLitre => "g/L",
            Self::GramsPerHectolitre => "g/hL",
            Self::Density => "kg/m³",
            Self::AlcoholByVolume => "% vol",
            Self::AlcoholByMass => "% mass",
            Self::Brix => "°Bx",
            Self::Temperature => "°C",
            Self::Percent => "%",
            Self::Length => "mm",
            Self::Area => "cm²",
            Self::Pressure => "kPa",
            Self::Days => "days",
            Self::Minutes => "min",
            Self::PerDay => "per day",
            Self::Gravity
            | Self::Ph
            | Self::Fraction
            | Self::Date
            | Self::Count
            | Self::Number
            | Self::Choice(_)
            | Self::Text => "",
        }
    }

    fn error(self, given: &str, problem: Problem) -> ParseError {
        ParseError {
            quantity: self,
            given: quoted(given),
            problem,
        }
    }

    /// What it is and how to write it, for a message.
    const fn ask(self) -> (&'static str, &'static str) {
        match self {
            Self::Volume | Self::SmallVolume | Self::Teaspoons => {
                ("volume", "L, mL, gal, qt, pt, fl oz, tbsp or tsp")
            }
            Self::Mass | Self::SmallMass => ("weight", "g, mg, kg, oz or lb"),
            Self::MassPerVolume | Self::GramsPerLitre | Self::GramsPerHectolitre => {
                ("concentration", "mg/L, ppm, g/L or g/hL")
            }
            Self::Density => ("density", "kg/m³ or g/mL"),
            Self::AlcoholByVolume | Self::AlcoholByMass => ("strength", "% vol or % mass"),
            Self::Gravity => ("gravity", "SG (1.090) or °Bx"),
            Self::Brix => ("sugar reading", "°Bx or SG"),
            Self::Temperature => ("temperature", "°C or °F"),
            Self::Percent => ("percentage", "%"),
            Self::Length => ("length", "mm, cm or in"),
            Self::Area => ("area", "cm²"),
            Self::Pressure => ("pressure", "kPa, bar or psi"),
            Self::Days | Self::Minutes => ("time", "days, weeks, hours or minutes"),
            Self::PerDay => ("rate", "per day"),
            Self::Ph => ("pH", "plain figures, such as 3.4"),
            Self::Fraction => ("part of one", "figures such as 0.33, or %"),
            Self::Date => ("date", "figures as year-month-day, such as 2026-11-25"),
            Self::Count => ("whole number", "plain figures"),
            Self::Number | Self::Choice(_) | Self::Text => ("number", "plain figures"),
        }
    }
}

fn by_volume(unit: &str) -> bool {
    matches!(unit, "%" | "%vol" | "vol%" | "%v/v" | "%abv" | "abv")
}

fn by_mass(unit: &str) -> bool {
    matches!(unit, "%mass" | "mass%" | "%w/w" | "%m/m")
}

fn brix(unit: &str) -> bool {
    matches!(unit, "bx" | "°bx" | "brix" | "°brix")
}

/// Whether a bare number is written as hydrometers are read, with two decimals or more: `1.090`, where a °Brix would be `21.6`.
fn is_written_as_a_gravity(text: &str, typed: f64) -> bool {
    let decimals = text
        .split_once(['.', ','])
        .map_or(0, |(_, after)| after.len());
    (0.97..=1.2).contains(&typed) && decimals >= 2
}

fn percent(unit: &str) -> bool {
    matches!(unit, "%" | "pct" | "percent")
}

fn strength(pct: f64) -> Result<f64, Problem> {
    (0.0..=100.0)
        .contains(&pct)
        .then_some(pct)
        .ok_or(Problem::NoSuchConversion)
}

/// What was typed, for a message: short, on one line, in quotes of its own.
pub(crate) fn quoted(text: &str) -> String {
    let mut short: String = text
        .trim()
        .chars()
        .take(40)
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    if text.trim().chars().count() > 40 {
        short.push('…');
    }
    format!("`{short}`")
}

impl fmt::Display for ParseError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let given = &self.given;
        let (what, how) = self.quantity.ask();
        match (self.problem, self.quantity) {
            (Problem::NotAWord, Quantity::Choice(words)) => {
                write!(
                    f,
                    "{given} is none of its words: choose {}",
                    words.join(", ")
                )
            }
            (Problem::Empty, Quantity::Text) => {
                write!(
                    f,
                    "nothing was given: fill it in, or leave it out where it may be"
                )
            }
            (Problem::GravityOrBrix, _) => write!(
                f,
                "{given} could be a gravity or °Brix: write sg or Bx behind it"
            ),
            (Problem::Empty, _) => write!(
                f,
                "nothing was given: write a {what} in {how}, or leave it out"
            ),
            (Problem::TwoSeparators, _) => {
                write!(
                    f,
                    "{given} has two separators: write the number with one decimal point"
                )
            }
            (Problem::CommaEitherWay, _) => write!(
                f,
                "{given} could be thousands or a decimal comma: write it with a point, or without a separator"
            ),
            (Problem::OunceOfVolume, _) => {
                write!(
                    f,
                    "{given} is a weight, and a volume is asked: write fl oz, or L, mL or gal"
                )
            }
            (Problem::NotWhole, _) => write!(
                f,
                "{given} is no whole number: write how many there are, 0 or more"
            ),
            (Problem::NoSuchConversion, _) => {
                write!(
                    f,
                    "{given} is beyond what can be converted: check the figure, and write it in {how}"
                )
            }
            _ => write!(f, "{given} is no {what}: write it in {how}"),
        }
    }
}

impl std::error::Error for ParseError {}

/// Whole microlitres of so many litres, halves away from zero, as the cellar book keeps volume.
/// Exact for any volume the book can hold (9·10¹² L); what is no number gives 0.
pub fn litres_to_microlitres(litres: f64) -> i64 {
    (litres * 1e6).round() as i64
}

/// Whole micrograms of so many grams, halves away from zero, as the cellar book keeps mass.
pub fn grams_to_micrograms(grams: f64) -> i64 {
    (grams * 1e6).round() as i64
}

#[cfg(test)]
mod tests;
