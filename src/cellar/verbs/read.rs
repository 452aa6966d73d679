//! Reading what was typed into the book's own numbers, with refusals that say what to do.

use leesline_calc::hydrometer;
use leesline_calc::quantity::{Quantity, parse};

use super::loose::{self, Loose};
use super::{Form, Refusal};
use crate::cellar::amount::Volume;
use crate::cellar::entry::{Amount, Found, Property, Reading};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Wine;
use crate::cellar::thing::{Key, Sort, Thing};

/// A volume as said: how much, and whether "about" was said with it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Said {
    pub amount: Amount,
    pub about: bool,
}

/// How much a vessel holds, as said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Level {
    /// So much.
    Found {
        /// The figure taken.
        volume: Volume,
        /// Whether it is no more than about that.
        about: bool,
        /// Between what it may lie, and how that was said, where the words say more than "about".
        between: Option<([Volume; 2], String)>,
    },
    /// It is not known, and why that is all there is to say, if there is a reason.
    NotKnown(Option<String>),
}

/// The thing of that sort named in a required field.
pub(super) fn thing<'a>(
    form: &Form,
    key: &'static str,
    sort: Sort,
    cellar: &'a Snapshot,
) -> Result<&'a Thing, Refusal> {
    let name = form.get(key).unwrap_or_default();
    cellar
        .find(sort, name)
        .map_err(|it| Refusal::input(key, it.to_string()))
}

/// The thing of that sort named in a field that may be left out.
pub(super) fn thing_if_given<'a>(
    form: &Form,
    key: &'static str,
    sort: Sort,
    cellar: &'a Snapshot,
) -> Result<Option<&'a Thing>, Refusal> {
    form.get(key)
        .map(|_| thing(form, key, sort, cellar))
        .transpose()
}

/// A vessel that holds wine, with the wine.
pub(super) fn full_vessel<'a>(
    form: &Form,
    key: &'static str,
    cellar: &'a Snapshot,
) -> Result<(&'a Thing, &'a Wine), Refusal> {
    let vessel = thing(form, key, Sort::Vessel, cellar)?;
    match cellar.wine(vessel.key) {
        Some(wine) => Ok((vessel, wine)),
        None => Err(Refusal::book(
            Some(key),
            format!(
                "{name} is empty by the book on {}; if it held wine, `leesline here \"{name}\" --since {}` says so, and then this will do.",
                cellar.now.day_words(),
                cellar.now.date(),
                name = vessel.name(),
            ),
        )),
    }
}

/// A vessel or a run of bottles, by name; a vessel wins where both have it.
pub(super) fn place<'a>(
    form: &Form,
    key: &'static str,
    cellar: &'a Snapshot,
) -> Result<&'a Thing, Refusal> {
    let name = form.get(key).unwrap_or_default();
    let vessel = cellar.find(Sort::Vessel, name);
    let run = cellar.find(Sort::Run, name);
    match (vessel, run) {
        (Ok(vessel), _) => Ok(vessel),
        (Err(_), Ok(run)) => Ok(run),
        (Err(unknown), Err(_)) => Err(Refusal::input(key, unknown.to_string())),
    }
}

/// A volume: `22 L`, `5 gal`, `all`, `about 22 L`, `20 to 22 L`.
pub(super) fn volume(
    form: &Form,
    key: &'static str,
    cellar: &Snapshot,
) -> Result<Option<Said>, Refusal> {
    form.get(key)
        .map(|text| said_volume(key, text, None, cellar))
        .transpose()
}

/// A volume as typed; `full` is what a part such as `half` is of, where that is known.
pub(super) fn said_volume(
    key: &'static str,
    text: &str,
    full: Option<Volume>,
    cellar: &Snapshot,
) -> Result<Said, Refusal> {
    let (about, bare) = about(text);
    if matches!(bare, "all" | "the rest" | "rest") {
        return Ok(Said {
            amount: Amount::RestLeaving(Volume::ZERO),
            about,
        });
    }
    match found_level(key, text, full, cellar)? {
        Level::Found { volume, about, .. } => Ok(Said {
            amount: Amount::Exactly(volume),
            about,
        }),
        Level::NotKnown(why) => Err(Refusal::input(
            key,
            why.unwrap_or_else(|| {
                format!("`{text}` is no amount to move; give it as near as you can, `about 12 L`, or `all`.")
            }),
        )),
    }
}

/// How much a vessel holds, in any words; `full` is what it holds when full.
pub(super) fn level(
    form: &Form,
    key: &'static str,
    full: Option<Volume>,
    cellar: &Snapshot,
) -> Result<Option<Level>, Refusal> {
    form.get(key)
        .map(|text| found_level(key, text, full, cellar))
        .transpose()
}

fn found_level(
    key: &'static str,
    text: &str,
    full: Option<Volume>,
    cellar: &Snapshot,
) -> Result<Level, Refusal> {
    let units = cellar.settings().units;
    let read = |it: &str| parse(Quantity::Volume, it, &units).ok();
    let (litres, about, between) = match loose::volume(text, read) {
        Some(Loose::NotKnown) => return Ok(Level::NotKnown(None)),
        Some(Loose::Exactly(litres)) => (litres, false, None),
        Some(Loose::About(litres, between)) => (litres, true, between),
        Some(Loose::Part(part, (low, high))) => match full.map(Volume::in_litres) {
            Some(full) => (full * part, true, Some((full * low, full * high))),
            None => {
                return Ok(Level::NotKnown(Some(format!(
                    "`{text}` of a vessel whose size the book does not know is no amount; give its \
                     --mark, or litres such as `about 12 L`."
                ))));
            }
        },
        None => {
            let why = parse(Quantity::Volume, about(text).1, &units)
                .map_or_else(|it| it.to_string(), |_| format!("`{text}` is no volume"));
            return Err(Refusal::input(
                key,
                format!(
                    "{why}; `about 12 L`, `20 to 22 L`, `half full`, `nearly full` or `?` will do."
                ),
            ));
        }
    };
    if litres <= 0.0 {
        return Err(Refusal::input(
            key,
            format!("`{text}` is no volume to move; give more than nothing, or `all`."),
        ));
    }
    if litres > MOST_LITRES {
        return Err(Refusal::input(
            key,
            format!("`{text}` is more than a home cellar holds (10,000 L); check the unit."),
        ));
    }
    let between = between.map(|(low, high)| {
        let span = [Volume::litres(low), Volume::litres(high)];
        (span, format!("{text}: {} to {}", span[0], span[1]))
    });
    Ok(Level::Found {
        volume: Volume::litres(litres),
        about,
        between,
    })
}

/// The largest volume taken as meant: a typing slip above it, not a vessel.
const MOST_LITRES: f64 = 10_000.0;

/// A volume that is a size and not an amount to move: a mark, a brim, a level. Zero is one.
pub(super) fn size(
    form: &Form,
    key: &'static str,
    cellar: &Snapshot,
) -> Result<Option<Volume>, Refusal> {
    let Some(text) = form.get(key) else {
        return Ok(None);
    };
    let litres = parse(Quantity::Volume, about(text).1, &cellar.settings().units)
        .map_err(|it| Refusal::input(key, it.to_string()))?;
    if !(0.0..=MOST_LITRES).contains(&litres) {
        return Err(Refusal::input(
            key,
            format!("`{text}` is outside 0 to 10,000 L; check the unit."),
        ));
    }
    Ok(Some(Volume::litres(litres)))
}

/// A plain number in that quantity's unit, within what is allowed.
pub(super) fn number(
    form: &Form,
    key: &'static str,
    quantity: Quantity,
    allowed: (f64, f64),
    cellar: &Snapshot,
) -> Result<Option<f64>, Refusal> {
    let Some(text) = form.get(key) else {
        return Ok(None);
    };
    let value = parse(quantity, text, &cellar.settings().units)
        .map_err(|it| Refusal::input(key, it.to_string()))?;
    within(key, text, value, allowed)?;
    Ok(Some(value))
}

fn within(
    key: &'static str,
    text: &str,
    value: f64,
    (low, high): (f64, f64),
) -> Result<(), Refusal> {
    if value < low || value > high {
        return Err(Refusal::input(
            key,
            format!("`{text}` is outside {low} to {high}; check the number and its unit."),
        ));
    }
    Ok(())
}

/// A whole number of at least one, and whether it is about that; `a dozen` and `about 40` are some.
pub(super) fn count(form: &Form, key: &'static str) -> Result<Option<(i64, bool)>, Refusal> {
    let Some(text) = form.get(key) else {
        return Ok(None);
    };
    match loose::bottles(text) {
        Some(Loose::Exactly(count)) => Ok(Some((count as i64, false))),
        Some(Loose::About(count, _)) => Ok(Some((count as i64, true))),
        Some(Loose::NotKnown) => Err(Refusal::input(
            key,
            format!("`{text}` is no number to go by; give one, such as `12` or `about 40`."),
        )),
        _ => Err(Refusal::input(
            key,
            format!(
                "`{text}` is not a whole number from 1 on; `about 40`, `20 to 25` and `two dozen` will do too."
            ),
        )),
    }
}

/// One of a field's words; a beginning that fits only one is enough.
pub(super) fn word(
    form: &Form,
    key: &'static str,
    words: &'static [&'static str],
) -> Result<Option<&'static str>, Refusal> {
    let Some(text) = form.get(key) else {
        return Ok(None);
    };
    let wanted = text.to_lowercase();
    if let Some(exact) = words.iter().copied().find(|it| *it == wanted) {
        return Ok(Some(exact));
    }
    let begins: Vec<_> = words
        .iter()
        .copied()
        .filter(|it| it.starts_with(&wanted))
        .collect();
    match begins.as_slice() {
        [only] => Ok(Some(only)),
        _ => Err(Refusal::input(
            key,
            format!("`{text}` is not one of {}.", words.join(", ")),
        )),
    }
}

/// Vessels with an amount each: `Carboy A=22 L`; several in one text are parted by `;`.
pub(super) fn pours<'a>(
    form: &Form,
    key: &'static str,
    cellar: &'a Snapshot,
) -> Result<Vec<(&'a Thing, Option<Said>)>, Refusal> {
    let texts = form
        .all(key)
        .iter()
        .flat_map(|it| it.split(';'))
        .map(str::trim)
        .filter(|it| !it.is_empty());
    texts
        .map(|text| {
            let (name, amount) = text
                .split_once('=')
                .map_or((text, None), |(name, amount)| (name, Some(amount)));
            let vessel = cellar
                .find(Sort::Vessel, name)
                .map_err(|it| Refusal::input(key, it.to_string()))?;
            let amount = amount
                .map(|it| said_volume(key, it, vessel.capacity(), cellar))
                .transpose()?;
            Ok((vessel, amount))
        })
        .collect()
}

/// `about 22 L` and `~22 L` are 22 L, about.
pub(super) fn about(text: &str) -> (bool, &str) {
    let text = text.trim();
    let rest = ["about ", "around ", "roughly ", "circa ", "ca ", "~"]
        .iter()
        .find_map(|it| text.strip_prefix(it));
    (rest.is_some(), rest.unwrap_or(text).trim())
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

/// The temperature that a gravity was read at, `1.012 at 68 F`: of the wine too, as near as a
/// thermometer in a fresh sample has it.
pub(super) fn warmth(reading: &Reading, cellar: &Snapshot) -> Option<Reading> {
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

/// A reading as typed: `1.012`, `1.012 at 68 F`, `24-26`, `<10`, `faint`.
pub(super) fn reading(
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
