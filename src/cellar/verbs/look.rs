//! A look at bottles: corks, seepage, bubbles, haze.

use leesline_calc::hazards::RISING_CORK;

use super::keeping::{AMISS, FROM, RUN, SIZE};
use super::pull::Bottles;
use super::read::{count, reading, word};
use super::things::done;
use super::{Field, Form, Group, Refusal, Takes, Verb, flag};
use crate::cellar::attention::{Holding, Policy, pressure};
use crate::cellar::bottling::{IN_SOME, Sign, carried, sign, sign_words};
use crate::cellar::entry::{BottleMove, Draft, Found, Kept, Kind, Property, Reading, Spot};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::BottleLot;
use crate::cellar::telling::capital;
use crate::cellar::thing::Key;

const CORKS: &[&str] = &["level", "rising", "sunken"];
const SEEPAGE: &[&str] = &["none", "some", "much"];
/// What all well says.
const WELL: &[(Property, &str)] = &[
    (Property::Corks, "level"),
    (Property::Seepage, "none"),
    (Property::Gas, "none"),
    (Property::Clarity, "clear"),
];

const FIELDS: &[Field] = &[
    RUN,
    flag(
        "corks",
        "Corks or caps",
        "Level with the glass, rising out of it, or sunken; of a cap, level is that it sits tight.",
        Takes::Choice(CORKS),
    ),
    flag(
        "seepage",
        "Seepage",
        "Wine that seeps at a cork.",
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
    flag(
        "sugar",
        "Residual sugar",
        "Of one that was opened, in g/L: it is one wine in all of them.",
        Takes::Reading(Property::Sugar),
    ),
    flag(
        "well",
        "All well",
        "Corks level, nothing seeps, no bubbles, the wine clear: all of it was looked at.",
        Takes::Flag,
    ),
    FROM,
    AMISS,
    SIZE,
    flag(
        "count",
        "How many",
        "All of them, or all at that place, if left out.",
        Takes::Count,
    ),
];

pub(super) static LOOK: Verb = Verb {
    name: "look",
    sentence: "Look at bottles and write down what was seen.",
    group: Group::Bottles,
    fields: FIELDS,
    draft: |form, cellar| {
        let bottles = Bottles::of(form, cellar)?;
        let seen = readings(form, bottles.run.key, cellar)?;
        let amiss: Vec<&Sign> = seen.iter().filter_map(amiss).collect();
        let there = bottles.there()?;
        let wanted = count(form, "count")?.map_or(there, |it| it.0);
        bottles.has(wanted)?;
        let is_part = wanted < bottles.wine.bottle_count();
        let mut draft = Draft::new(Kind::Measure, cellar.now);
        draft.subject = Some(bottles.run.key);
        let words = sign_words(amiss.iter().copied());
        if form.get("well").is_some() && !amiss.is_empty() {
            return Err(Refusal::input(
                "well",
                format!("All well and {words}? Leave one of them out."),
            ));
        }
        let said = seen
            .iter()
            .map(|it| format!("{} {}", it.property.label(), it.typed));
        let seen_words = said.collect::<Vec<String>>().join(", ");
        let looked: Vec<Property> = seen.iter().map(|it| it.property).collect();
        let after = |lot: &BottleLot| after(lot, &looked, &amiss);
        draft.readings = if is_part {
            let of_some = |it: Reading| match it.property {
                Property::Sugar => it,
                _ => in_some(it),
            };
            seen.into_iter().map(of_some).collect()
        } else {
            seen
        };
        // A look at all says nothing of which bottle it was, but of what was found well none is left.
        let mut found_well = looked.clone();
        found_well.retain(|it| !amiss.iter().any(|sign| sign.property == *it));
        let well = |lot: &BottleLot| self::after(lot, &found_well, &[]);
        let mended = |lot: &BottleLot| lot.found != well(lot);
        let mended_count = bottles.count(mended);
        draft.bottles = match (is_part, mended_count) {
            (true, _) => bottles.pull(wanted, |_| true, |it| with(it, &after(it)))?,
            (false, 0) => Vec::new(),
            (false, many) => bottles.pull(many, mended, |it| with(it, &well(it)))?,
        };
        let part = is_part.then_some(wanted);
        let stands = part.and_then(|it| still_stands(it, &bottles, &looked, &amiss, cellar));
        let contradicts = contradicted(&draft, &bottles, &looked, &amiss, part, cellar);
        let part = if is_part {
            let out_of = match &bottles.from {
                Some(at) => format!(" in {at}"),
                None => bottles.out_of(&draft.bottles).replace(" out of", " in"),
            };
            format!("{wanted} of {}{out_of}", bottles.name())
        } else {
            bottles.run.name().to_owned()
        };
        let found = match (words.is_empty(), form.get("well")) {
            (false, _) => words,
            (true, Some(_)) => "all well".to_owned(),
            (true, None) => seen_words,
        };
        let mut prepared = done(draft, format!("Look at {part}: {found}."))?;
        if amiss.iter().any(|it| it.bursts) {
            prepared.asks.push(RISING_CORK.sentence.to_owned());
        }
        prepared.asks.extend(stands);
        if is_part && form.get("amiss").is_none() {
            prepared.asks.extend(counted_before(&bottles, &amiss));
        }
        Ok(prepared.only_if(contradicts))
    },
};

/// What was seen, and nothing that nobody said: of all well, that everything was.
fn readings(form: &Form, run: Key, cellar: &Snapshot) -> Result<Vec<Reading>, Refusal> {
    let seen = |property, word: &str| Reading {
        place: run,
        property,
        found: Found::Word(word.to_owned()),
        typed: word.to_owned(),
        instrument: String::new(),
        rule: String::new(),
    };
    let corks = word(form, "corks", CORKS)?;
    let seepage = word(form, "seepage", SEEPAGE)?;
    let mut readings = Vec::new();
    readings.extend(corks.map(|it| seen(Property::Corks, it)));
    readings.extend(seepage.map(|it| seen(Property::Seepage, it)));
    for (key, property) in [("bubbles", Property::Gas), ("haze", Property::Clarity)] {
        readings.extend(reading(form, key, run, property, cellar)?);
    }
    readings.extend(reading(form, "sugar", run, Property::Sugar, cellar)?);
    if form.get("well").is_some() {
        for (property, word) in WELL {
            if !readings.iter().any(|it| it.property == *property) {
                readings.push(seen(*property, word));
            }
        }
    }
    if readings.is_empty() {
        return Err(Refusal::input(
            "corks",
            "What was seen? Give --corks level, rising or sunken, --seepage, --bubbles or --haze, or --well if all is well.",
        ));
    }
    Ok(readings)
}

/// What was found with some, as a reading of their run.
fn in_some(seen: Reading) -> Reading {
    Reading {
        found: Found::Word(format!("{}{IN_SOME}", seen.typed)),
        ..seen
    }
}

/// That bottles carry the same finding already, and that those of this look are taken to be others as long as there are any.
fn counted_before(bottles: &Bottles, amiss: &[&'static Sign]) -> Option<String> {
    let carrying = |sign: &Sign| bottles.count(|it| carried(&it.found).any(|it| it == sign));
    let (sign, many) = amiss
        .iter()
        .map(|it| (*it, carrying(it)))
        .find(|it| it.1 > 0)?;
    Some(format!(
        "{} of them are marked with {} already, and these are taken to be others; with --amiss they are the same ones.",
        many,
        sign_words([sign])
    ))
}

/// A question before a look takes back that something was found which may burst a bottle.
fn contradicted(
    draft: &Draft,
    bottles: &Bottles,
    looked: &[Property],
    amiss: &[&'static Sign],
    part: Option<i64>,
    cellar: &Snapshot,
) -> Option<String> {
    let policy = Policy::of(cellar);
    let holding = Holding::of(cellar, bottles.run.key, &policy)?;
    let mut before = pressure(&holding);
    before.retain(|(sign, _)| {
        let still = amiss
            .iter()
            .any(|it| it.bursts && it.property == sign.property);
        let is_theirs = |it: &BottleMove| match &it.from {
            Spot::Kept(kept) => carried(&kept.found).any(|it| it == *sign),
            Spot::Outside(_) => false,
        };
        // The last of those that it is feared of, one by one.
        let wine = bottles.wine;
        let is_last = |part: i64| {
            let seen = wine.looked_at(sign.property) + part;
            wine.carrying(sign.property) == 0 && seen >= wine.bottle_count()
        };
        let is_theirs = || draft.bottles.iter().any(is_theirs);
        let is_meant = part.is_none_or(|it| is_theirs() || is_last(it));
        looked.contains(&sign.property) && !still && is_meant
    });
    let (_, at) = before.first()?;
    let day = cellar.now.at(*at).day_words();
    let words = sign_words(before.iter().map(|it| it.0));
    let whom = if part.is_some()
        && before
            .iter()
            .any(|it| bottles.wine.carrying(it.0.property) > 0)
    {
        "those it was found with"
    } else {
        "every bottle"
    };
    Some(format!(
        "On {day} this was found: {words}; a bottle may burst. This look says that it is no longer so. Yes only if you looked again at {whom}."
    ))
}

/// That a look at some which finds them well leaves standing what was found before, and what would end it.
fn still_stands(
    part: i64,
    bottles: &Bottles,
    looked: &[Property],
    amiss: &[&'static Sign],
    cellar: &Snapshot,
) -> Option<String> {
    let policy = Policy::of(cellar);
    let holding = Holding::of(cellar, bottles.run.key, &policy)?;
    let wine = bottles.wine;
    let found = pressure(&holding).into_iter().find(|(sign, at)| {
        let left = wine.bottle_count() - wine.looked_at_since(sign.property, *at) - part;
        let is_well = !amiss.iter().any(|it| it.property == sign.property);
        looked.contains(&sign.property) && is_well && wine.carrying(sign.property) == 0 && left > 0
    });
    let (sign, at) = found?;
    Some(format!(
        "{} on {}: that stands until all bottles were looked at and found well.",
        capital(&sign_words([sign])),
        cellar.now.at(at).day_words()
    ))
}

/// What a bottle carries after a look: what was found amiss now, and what was not looked at.
fn after(lot: &BottleLot, looked: &[Property], amiss: &[&'static Sign]) -> String {
    let still = carried(&lot.found).filter(|it| !looked.contains(&it.property));
    sign_words(amiss.iter().copied().chain(still))
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
