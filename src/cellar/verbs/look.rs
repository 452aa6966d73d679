//! A look at bottles: corks, seepage, bubbles, haze.

use leesline_calc::hazards::RISING_CORK;

use super::keeping::{FROM, RUN};
use super::pull::Bottles;
use super::read::{count, reading, word};
use super::things::done;
use super::{Field, Form, Group, Refusal, Takes, Verb, flag};
use crate::cellar::bottling::{Sign, sign, sign_words};
use crate::cellar::entry::{Draft, Found, Kept, Kind, Property, Reading, Spot};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::BottleLot;
use crate::cellar::thing::Key;

const CORKS: &[&str] = &["level", "rising", "sunken"];
const SEEPAGE: &[&str] = &["none", "some", "much"];

const FIELDS: &[Field] = &[
    RUN,
    flag("corks", "Corks", "Level if left out.", Takes::Choice(CORKS)),
    flag(
        "seepage",
        "Seepage",
        "Wine that seeps at a cork; none if left out.",
        Takes::Choice(SEEPAGE),
    ),
    flag(
        "bubbles",
        "Bubbles",
        "Bubbles at rest or when turned: much, some or none.",
        Takes::Reading(Property::Gas),
    ),
    flag(
        "haze",
        "Clarity",
        "Cloudy, hazy, clear or bright.",
        Takes::Reading(Property::Clarity),
    ),
    FROM,
    flag(
        "count",
        "How many",
        "All of them, or all at that place, if left out.",
        Takes::Count,
    ),
];

pub(super) static LOOK: Verb = Verb {
    name: "look",
    sentence: "Look at bottles and write down what was found; nothing amiss if nothing is said.",
    group: Group::Bottles,
    fields: FIELDS,
    draft: |form, cellar| {
        let bottles = Bottles::of(form, cellar)?;
        let seen = readings(form, bottles.run.key, cellar)?;
        let amiss: Vec<&Sign> = seen.iter().filter_map(amiss).collect();
        let there = bottles.count(|_| true);
        let wanted = count(form, "count")?.map_or(there, |it| it.0);
        let is_part = wanted < bottles.wine.bottle_count();
        let mut draft = Draft::new(Kind::Measure, cellar.now);
        draft.subject = Some(bottles.run.key);
        let words = sign_words(amiss.iter().copied());
        // What is found with some is a warning about all; that nothing is says nothing of the rest.
        draft.readings = if is_part {
            let warns = |it: &Reading| self::amiss(it).is_some();
            seen.into_iter().filter(warns).collect()
        } else {
            seen
        };
        let marked = bottles.count(|it| !it.found.is_empty());
        draft.bottles = match (is_part, words.is_empty()) {
            (true, _) => bottles.pull(wanted, |_| true, |it| with(it, &words))?,
            (false, true) if marked > 0 => {
                bottles.pull(marked, |it| !it.found.is_empty(), |it| with(it, ""))?
            }
            (false, _) => Vec::new(),
        };
        let part = if is_part {
            let out_of = match &bottles.from {
                Some(at) => format!(" in {at}"),
                None => bottles.out_of(&draft.bottles).replace(" out of", " in"),
            };
            format!("{wanted} of {}{out_of}", bottles.run.name())
        } else {
            bottles.run.name().to_owned()
        };
        let found = if words.is_empty() {
            "nothing amiss"
        } else {
            &words
        };
        let mut prepared = done(draft, format!("Look at {part}: {found}."))?;
        if amiss.iter().any(|it| it.bursts) {
            prepared.asks.push(RISING_CORK.sentence.to_owned());
        }
        Ok(prepared)
    },
};

/// What was seen: corks level and no seepage where nothing is said of them.
fn readings(form: &Form, run: Key, cellar: &Snapshot) -> Result<Vec<Reading>, Refusal> {
    let seen = |property, word: &str| Reading {
        place: run,
        property,
        found: Found::Word(word.to_owned()),
        typed: word.to_owned(),
        instrument: String::new(),
        rule: String::new(),
    };
    let corks = word(form, "corks", CORKS)?.unwrap_or("level");
    let seepage = word(form, "seepage", SEEPAGE)?.unwrap_or("none");
    let mut readings = vec![
        seen(Property::Corks, corks),
        seen(Property::Seepage, seepage),
    ];
    for (key, property) in [("bubbles", Property::Gas), ("haze", Property::Clarity)] {
        readings.extend(reading(form, key, run, property, cellar)?);
    }
    Ok(readings)
}

fn amiss(reading: &Reading) -> Option<&'static Sign> {
    match &reading.found {
        Found::Word(word) => sign(reading.property, word),
        _ => None,
    }
}

/// Bottles where they are, with that found amiss.
fn with(lot: &BottleLot, found: &str) -> Spot {
    Spot::Kept(Kept {
        found: found.to_owned(),
        ..lot.kept()
    })
}
