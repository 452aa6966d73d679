//! Reading what was typed into the book's own numbers, with refusals that say what to do.

mod reading;
mod volume;

use leesline_calc::quantity::{Quantity, parse};

use super::loose::{self, Loose};
use super::{Form, Refusal};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Wine;
use crate::cellar::thing::{Sort, Thing};

pub(super) use reading::{reading, warmth};
pub(super) use volume::{Level, Said, about, level, pours, said_volume, size, volume};

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
