//! A look at bottles: corks, seepage, bubbles, haze.

use leesline_calc::hazards::RISING_CORK;

use super::read::{reading, thing, word};
use super::things::done;
use super::{Field, Group, Refusal, Takes, Verb, ask, flag};
use crate::cellar::entry::{Draft, Found, Kind, Property, Reading};
use crate::cellar::thing::Sort;

const CORKS: &[&str] = &["level", "rising", "sunken"];
const SEEPAGE: &[&str] = &["none", "some", "much"];

const FIELDS: &[Field] = &[
    ask("run", "Bottles", "Which bottles.", Takes::Thing(Sort::Run)),
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
    flag(
        "where",
        "Where",
        "Which bottles, if not all: `rack 2, third from the left`.",
        Takes::Text,
    ),
];

pub(super) static LOOK: Verb = Verb {
    name: "look",
    sentence: "Look at bottles and write down what was found; nothing amiss if nothing is said.",
    group: Group::Bottles,
    fields: FIELDS,
    draft: |form, cellar| {
        let run = thing(form, "run", Sort::Run, cellar)?;
        if cellar.wine(run.key).is_none() {
            return Err(Refusal::book(
                Some("run"),
                format!("no bottle of {} is left by the book.", run.name()),
            ));
        }
        let mut draft = Draft::new(Kind::Measure, cellar.now);
        let seen = |property, word: &str| Reading {
            place: run.key,
            property,
            found: Found::Word(word.to_owned()),
            typed: word.to_owned(),
            instrument: String::new(),
            rule: String::new(),
        };
        let corks = word(form, "corks", CORKS)?.unwrap_or("level");
        let seepage = word(form, "seepage", SEEPAGE)?.unwrap_or("none");
        draft.readings.push(seen(Property::Corks, corks));
        draft.readings.push(seen(Property::Seepage, seepage));
        for (key, property) in [("bubbles", Property::Gas), ("haze", Property::Clarity)] {
            draft
                .readings
                .extend(reading(form, key, run.key, property, cellar)?);
        }
        form.get("where")
            .unwrap_or_default()
            .clone_into(&mut draft.note);
        let has_gas = draft
            .readings
            .iter()
            .any(|it| it.property == Property::Gas && it.found != Found::Word("none".to_owned()));
        let mut prepared = done(draft, format!("Look at {}: corks {corks}.", run.name()))?;
        if corks == "rising" || has_gas {
            prepared.asks.push(RISING_CORK.sentence.to_owned());
        }
        Ok(prepared)
    },
};
