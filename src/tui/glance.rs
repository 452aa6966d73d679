//! What the board says of a vessel at a glance, the same in pictures and in rows.

use super::commands::{self, Id};
use super::message::Facts;
use super::widgets::vessel::Picture;
use super::words;
use crate::cellar::amount::Volume;
use crate::cellar::attention::{Rank, Reason};
use crate::cellar::entry::Property;
use crate::cellar::state::{Deed, Wine};
use crate::cellar::telling;
use crate::cellar::thing::{self, Key, Sort, Thing};

/// A vessel at a glance.
#[derive(Clone, Debug)]
pub struct Glance<'a> {
    /// The vessel.
    pub thing: &'a Thing,
    /// What is in it, if anything.
    pub wine: Option<&'a Wine>,
    /// Its batch by name; what is known otherwise.
    pub holds: String,
    /// Kind of wine.
    pub kind: thing::Wine,
    /// The reason that presses most.
    pub reason: Option<&'a Reason>,
}

/// Every vessel in use: first those that need someone, most pressing first; then those that hold
/// wine; then the empty ones; by name within each.
pub fn vessels(facts: &Facts) -> Vec<Glance<'_>> {
    let mut all: Vec<Glance<'_>> = facts
        .cellar
        .open(Sort::Vessel)
        .map(|it| glance(it, facts))
        .collect();
    let place_of = |key: Key| facts.reasons.iter().position(|it| it.subject == key);
    all.sort_by_cached_key(|it| {
        let reason = place_of(it.thing.key).unwrap_or(usize::MAX);
        (reason, it.wine.is_none(), it.thing.name().to_lowercase())
    });
    all
}

/// One vessel.
pub fn glance<'a>(thing: &'a Thing, facts: &'a Facts) -> Glance<'a> {
    let wine = facts.cellar.wine(thing.key);
    let batch = wine
        .and_then(Wine::main_batch)
        .and_then(|it| facts.cellar.thing(it));
    let holds = match (wine, batch) {
        (None, _) => "empty".to_owned(),
        (Some(_), None) => "wine without a name".to_owned(),
        (Some(wine), Some(batch)) => {
            let others = wine.makeup.iter().filter(|it| it.batch != Some(batch.key));
            let others: Volume = others.map(|it| it.volume).sum();
            // Below a twentieth it was topping up, and the name stands alone.
            let blended = others.0 * 20 >= wine.volume.0 && others.0 > 0;
            format!(
                "{}{}",
                batch.name(),
                if blended { " and other" } else { "" }
            )
        }
    };
    Glance {
        thing,
        wine,
        holds,
        kind: batch.map_or(thing::Wine::Unknown, Thing::wine),
        reason: facts.reasons_for(thing.key).next(),
    }
}

impl Glance<'_> {
    /// How full, 0 to 1; `None` while the vessel's size is not known.
    pub fn full(&self) -> Option<f64> {
        let capacity = self.thing.capacity().filter(|it| it.0 > 0)?;
        let held = self.wine.map_or(0.0, |it| it.volume.in_litres());
        Some(held / capacity.in_litres())
    }

    /// `4.6 of 5.0 L`.
    pub fn volume(&self) -> String {
        let about = if self.wine.is_some_and(|it| it.about) {
            "~"
        } else {
            ""
        };
        match (self.wine, self.thing.capacity()) {
            (None, None) => "size not known".to_owned(),
            (None, Some(capacity)) => capacity.to_string(),
            (Some(wine), None) => format!("{about}{}", wine.volume),
            (Some(wine), Some(capacity)) => {
                format!(
                    "{about}{:.1} of {:.1} L",
                    wine.volume.in_litres(),
                    capacity.in_litres()
                )
            }
        }
    }

    /// What is missing to the brim: `headspace 400 mL`; nothing for a full or unknown vessel.
    pub fn headspace(&self) -> Option<String> {
        let missing = self.thing.capacity()? - self.wine?.volume;
        (missing.0 >= 50_000).then(|| format!("headspace {missing}"))
    }

    /// Days since the must came in, or since the wine was first written down.
    pub fn days(&self, facts: &Facts) -> Option<i64> {
        let begun = self.wine?.when(Deed::Begun)?;
        let now = facts.cellar.now;
        Some(now.days_since(now.at(begun)))
    }

    /// The last free SO2 with its age: `=22, 12 d`.
    pub fn so2(&self, facts: &Facts) -> Option<String> {
        let known = self.wine?.known.get(&Property::FreeSo2)?;
        let now = facts.cellar.now;
        let age = words::age(now.days_since(now.at(known.at_ms)));
        let sign = if known.estimated { "~" } else { "=" };
        let found = telling::found(Property::FreeSo2, &known.found);
        Some(format!("{sign}{}, {age}", found.trim_end_matches(" mg/L")))
    }

    /// The last gravity and which way it goes: `1.034 ↓`.
    pub fn gravity(&self) -> Option<String> {
        let wine = self.wine?;
        let last = wine.gravities.last()?;
        let before = wine.gravities.iter().rev().nth(1);
        let falls = before.is_some_and(|it| it.gravity - last.gravity >= 0.001);
        Some(format!(
            "{:.3}{}",
            last.gravity,
            if falls { " ↓" } else { "" }
        ))
    }

    /// Whether it ferments, as far as the readings say: falling and not yet dry.
    pub fn ferments(&self) -> bool {
        let Some(wine) = self.wine else {
            return false;
        };
        let pitched = wine.when(Deed::Pitched).is_some();
        let last = wine.gravities.last().map(|it| it.gravity);
        pitched && last.is_none_or(|it| it > 0.998) && wine.when(Deed::Racked).is_none()
            || last.is_some_and(|it| it > 1.005)
                && self.gravity().is_some_and(|it| it.ends_with('↓'))
    }

    /// Its picture.
    pub fn picture(&self, wine: ratatui::style::Style) -> Picture {
        let gross = self
            .wine
            .is_some_and(|it| it.when(Deed::Pitched).is_some() && it.when(Deed::Racked).is_none());
        Picture {
            kind: self.thing.vessel_kind(),
            full: self
                .full()
                .unwrap_or(if self.wine.is_some() { 0.8 } else { 0.0 }),
            wine,
            lees: gross,
            bubbles: self.ferments(),
        }
    }
}

/// The key and the verb that deal with a reason: `r rack`.
pub fn next(reason: &Reason) -> (String, String) {
    let verb = reason.suggestion.verb;
    let key = commands::of(Id::Verb(verb)).map(|it| it.keys[0].to_string());
    let named = commands::of(Id::Verb(verb)).map_or(verb, |it| it.name);
    (
        key.unwrap_or_else(|| "↵".to_owned()),
        named.replace('-', " "),
    )
}

/// The sign of the reason that presses most, blank when nothing does.
pub fn rank_of(glance: &Glance<'_>) -> Option<Rank> {
    glance.reason.map(|it| it.rank)
}
