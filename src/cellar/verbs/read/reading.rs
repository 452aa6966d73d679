//! Readings as typed: `1.012`, `1.012 at 68 F`, `24-26`, `<10`, `faint`, `3.5 by strip`.

use leesline_calc::hydrometer;
use leesline_calc::quantity::{Quantity, parse};

use super::{about, within};
use crate::cellar::entry::{Found, Property, Reading};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::Key;
use crate::cellar::verbs::{Form, Refusal};

/// A reading as typed: `1.012`, `1.012 at 68 F`, `24-26`, `<10`, `faint`.
pub(in crate::cellar::verbs) fn reading(
    form: &Form,
    key: &'static str,
    place: Key,
    property: Property,
    cellar: &Snapshot,
) -> Result<Option<Reading>, Refusal> {
    let Some(typed) = form.get(key) else {
        return Ok(None);
    };
    let (value, measured_at) = match typed.split_once(" at ") {
        Some((value, at)) if property == Property::Gravity => (value, Some(at)),
        _ => (typed, None),
    };
    let (value, with) = said_instrument(value);
    let (is_about, bare) = about(value);
    let found = found(key, property, bare, cellar)?;
    let found = if is_about || with.is_some_and(|it| it.contains("strip")) {
        property.around(found, is_about)
    } else {
        found
    };
    let (found, rule) = match (measured_at, found) {
        (Some(at), Found::Number(read)) => corrected(key, read, at, cellar)?,
        (Some(_), _) => {
            let help = "give a single reading with its temperature, such as `1.012 at 68 F`.";
            return Err(Refusal::input(
                key,
                format!("`{typed}` can't be corrected; {help}"),
            ));
        }
        (None, found) => (found, String::new()),
    };
    let instrument = form
        .get("instrument")
        .or(with)
        .unwrap_or_default()
        .to_owned();
    Ok(Some(Reading {
        place,
        property,
        found,
        typed: typed.to_owned(),
        instrument,
        rule,
    }))
}

/// `3.5 by strip` is a figure and what it was read with.
fn said_instrument(text: &str) -> (&str, Option<&str>) {
    let parted = [" by ", " with ", " on "]
        .iter()
        .find_map(|it| text.split_once(it));
    match parted {
        Some((value, with)) => {
            let with = with.trim();
            let with = with.strip_prefix("a ").unwrap_or(with);
            (value.trim(), Some(with).filter(|it| !it.is_empty()))
        }
        None => match text.strip_suffix(" strip") {
            Some(value) => (value, Some("strip")),
            None => (text, None),
        },
    }
}

fn found(
    key: &'static str,
    property: Property,
    text: &str,
    cellar: &Snapshot,
) -> Result<Found, Refusal> {
    let word = text.to_lowercase();
    if let Some(word) = property.meant_by(&word) {
        return Ok(Found::Word(word.to_owned()));
    }
    let (quantity, allowed) = property.scale();
    let read = |text: &str| -> Result<f64, Refusal> {
        let value = parse(quantity, text, &cellar.settings().units).map_err(|it| {
            let words = property.words().join(", ");
            let sentence = match property {
                Property::Clarity | Property::Gas => {
                    format!(
                        "`{text}` is no word for {}; write one of {words}.",
                        property.label()
                    )
                }
                _ if words.is_empty() => it.to_string(),
                _ => format!("{it}; or one of the words {words}."),
            };
            Refusal::input(key, sentence)
        })?;
        within(key, text, value, allowed)?;
        Ok(value)
    };
    let bound = |words: &[&str]| words.iter().find_map(|it| text.strip_prefix(it));
    if let Some(bound) = bound(&["<", "less than ", "under ", "below "]) {
        return Ok(Found::Below(read(bound.trim())?));
    }
    if let Some(bound) = bound(&[">", "more than ", "over ", "above "]) {
        return Ok(Found::Above(read(bound.trim())?));
    }
    let between = text
        .strip_prefix("between ")
        .and_then(|it| it.split_once(" and "))
        .or_else(|| text.split_once(" to "));
    if let Some((low, high)) = between {
        let (low, high) = (read(low.trim())?, read(high.trim())?);
        return Ok(Found::Between(low.min(high), low.max(high)));
    }
    // A range has its dash after the first character, so that -2 °C stays a number.
    let dash = text
        .char_indices()
        .skip(1)
        .find(|(_, it)| matches!(it, '-' | '–'));
    if let Some((at, dash)) = dash {
        let (low, high) = (read(&text[..at])?, read(&text[at + dash.len_utf8()..])?);
        return Ok(Found::Between(low.min(high), low.max(high)));
    }
    Ok(Found::Number(read(text)?))
}

/// A gravity read off the hydrometer's own temperature, as it would be at 20 °C.
fn corrected(
    key: &'static str,
    read: f64,
    at: &str,
    cellar: &Snapshot,
) -> Result<(Found, String), Refusal> {
    let settings = cellar.settings();
    let celsius = parse(Quantity::Temperature, at, &settings.units)
        .map_err(|it| Refusal::input(key, it.to_string()))?;
    within(key, at, celsius, (0.0, 45.0))?;
    // Kept as it comes about: it is rounded once, where it is shown, and so as `calc` shows it.
    let gravity = hydrometer::must(read, celsius, settings.hydrometer_c).sg;
    let rule = format!(
        "hydrometer of {:.0} °C read at {celsius:.1} °C, as must",
        settings.hydrometer_c
    );
    Ok((Found::Number(gravity), rule))
}

/// The temperature that a gravity was read at, `1.012 at 68 F`: of the wine too, as near as a
/// thermometer in a fresh sample has it.
pub(in crate::cellar::verbs) fn warmth(reading: &Reading, cellar: &Snapshot) -> Option<Reading> {
    let (_, at) = reading.typed.split_once(" at ")?;
    let celsius = parse(Quantity::Temperature, at, &cellar.settings().units).ok()?;
    (reading.property == Property::Gravity).then(|| Reading {
        property: Property::Temperature,
        found: Found::Number(celsius),
        typed: at.to_owned(),
        instrument: String::new(),
        rule: "read with the gravity".to_owned(),
        ..reading.clone()
    })
}

impl Property {
    /// Unit and range of its numbers; outside the range it is a slip of the pen, not a wine.
    pub fn scale(self) -> (Quantity, (f64, f64)) {
        match self {
            Property::Gravity => (Quantity::Gravity, (0.97, 1.2)),
            Property::Temperature => (Quantity::Temperature, (-10.0, 50.0)),
            Property::Ph => (Quantity::Ph, (2.0, 5.0)),
            Property::FreeSo2 => (Quantity::MassPerVolume, (0.0, 400.0)),
            Property::TotalSo2 => (Quantity::MassPerVolume, (0.0, 800.0)),
            Property::Ta => (Quantity::GramsPerLitre, (0.0, 30.0)),
            Property::Alcohol => (Quantity::AlcoholByVolume, (0.0, 25.0)),
            Property::Sugar => (Quantity::GramsPerLitre, (0.0, 500.0)),
            Property::Malic => (Quantity::GramsPerLitre, (0.0, 20.0)),
            Property::Volatile => (Quantity::GramsPerLitre, (0.0, 10.0)),
            Property::Clarity
            | Property::Gas
            | Property::Corks
            | Property::Seepage
            | Property::Trouble => (Quantity::Number, (0.0, 100.0)),
        }
    }

    /// Words that say it without a number.
    pub fn words(self) -> &'static [&'static str] {
        match self {
            Property::Malic => &["strong", "faint", "gone"],
            Property::Clarity => &["cloudy", "hazy", "clear", "bright"],
            Property::Gas => &["much", "some", "none"],
            Property::Ph | Property::FreeSo2 => &["low", "middle", "high"],
            _ => &[],
        }
    }
}

impl Property {
    /// The word of this property that a text is, or means.
    fn meant_by(self, text: &str) -> Option<&'static str> {
        let own = self.words().iter().copied().find(|it| *it == text);
        let mut others = SAME_WORDS.iter().filter(|it| it.0 == self);
        own.or_else(|| others.find(|it| it.1.contains(&text)).map(|it| it.2))
    }
}

impl Property {
    /// What a figure said as "about", or read off a strip, lies between, where doses go by it (house
    /// estimates; the fields of a strip are 0.2 to 0.3 of pH apart).
    fn around(self, found: Found, is_about: bool) -> Found {
        let Found::Number(value) = found else {
            return found;
        };
        let beside = match self {
            Property::Ph if is_about => 0.1,
            Property::Ph => 0.2,
            Property::FreeSo2 | Property::TotalSo2 => value * 0.2,
            Property::Ta => 0.5,
            _ => return found,
        };
        // To the hundredth, which is as fine as any of them is read.
        let to = |it: f64| (it * 100.0).round() / 100.0;
        Found::Between(to((value - beside).max(0.0)), to(value + beside))
    }
}

/// Other words for those of a property, and what they are taken for.
const SAME_WORDS: &[(Property, &[&str], &str)] = &[
    (
        Property::Clarity,
        &[
            "nearly clear",
            "almost clear",
            "mostly clear",
            "fairly clear",
            "not quite clear",
            "a bit hazy",
            "a little hazy",
            "slightly hazy",
            "haze",
            "a bit cloudy",
            "a little cloudy",
            "slightly cloudy",
            "a slight haze",
            "misty",
        ],
        "hazy",
    ),
    (
        Property::Clarity,
        &[
            "very cloudy",
            "quite cloudy",
            "murky",
            "muddy",
            "turbid",
            "milky",
            "thick",
        ],
        "cloudy",
    ),
    (
        Property::Clarity,
        &["cleared", "has cleared", "see-through"],
        "clear",
    ),
    (
        Property::Clarity,
        &[
            "very clear",
            "crystal clear",
            "brilliant",
            "star bright",
            "polished",
        ],
        "bright",
    ),
    (Property::Gas, &["a lot", "lots", "fizzy", "gassy"], "much"),
    (
        Property::Gas,
        &["a little", "a bit", "little", "slight", "prickly"],
        "some",
    ),
    (Property::Gas, &["no", "no gas", "flat"], "none"),
    (Property::Malic, &["none", "finished", "done"], "gone"),
    (Property::Malic, &["weak", "a trace", "trace"], "faint"),
];
