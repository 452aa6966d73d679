//! Volumes as typed: so much, about so much, all of it, a part of the vessel, not known.

use leesline_calc::quantity::{Quantity, parse};

use crate::cellar::amount::Volume;
use crate::cellar::entry::Amount;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Sort, Thing};
use crate::cellar::verbs::loose::{self, Loose};
use crate::cellar::verbs::{Form, Refusal};

/// A volume as said: how much, and whether "about" was said with it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::cellar::verbs) struct Said {
    pub amount: Amount,
    pub about: bool,
}

/// How much a vessel holds, as said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::cellar::verbs) enum Level {
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

/// A volume: `22 L`, `5 gal`, `all`, `about 22 L`, `20 to 22 L`.
pub(in crate::cellar::verbs) fn volume(
    form: &Form,
    key: &'static str,
    cellar: &Snapshot,
) -> Result<Option<Said>, Refusal> {
    form.get(key)
        .map(|text| said_volume(key, text, None, cellar))
        .transpose()
}

/// A volume as typed; `full` is what a part such as `half` is of, where that is known.
pub(in crate::cellar::verbs) fn said_volume(
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
pub(in crate::cellar::verbs) fn level(
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
    if litres < A_DROP_LITRES {
        return Err(Refusal::input(
            key,
            format!("`{text}` is less than a drop; check the unit."),
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

/// Twenty drops make a millilitre (common practice); less is a slip in the unit.
const A_DROP_LITRES: f64 = 0.05e-3;

/// The largest volume taken as meant: a typing slip above it, not a vessel.
const MOST_LITRES: f64 = 10_000.0;

/// A volume that is a size and not an amount to move: a mark, a brim, a level. Zero is one.
pub(in crate::cellar::verbs) fn size(
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

/// Vessels with an amount each: `Carboy A=22 L`; several in one text are parted by `;`.
pub(in crate::cellar::verbs) fn pours<'a>(
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
pub(in crate::cellar::verbs) fn about(text: &str) -> (bool, &str) {
    let text = text.trim();
    let rest = ["about ", "around ", "roughly ", "circa ", "ca ", "~"]
        .iter()
        .find_map(|it| text.strip_prefix(it));
    (rest.is_some(), rest.unwrap_or(text).trim())
}
