//! Must, juice, fruit or bought wine comes in.

use leesline_calc::limits::too_much;

use super::here::batch_named;
use super::rack::{is_a_blend, over_mark};
use super::read::{Level, level, reading, thing};
use super::things::{SOURCES, wine_said};
use super::{Group, Prepared, Refusal, Takes, Verb, ask, flag};
use crate::cellar::entry::{Addition, Amount, Dose, Draft, Kind, Movement, Property};
use crate::cellar::thing::{Account, Sort, Wine};

pub(super) static RECEIVE: Verb = Verb {
    name: "receive",
    sentence: "Receive must, juice, fruit or bought wine into a vessel.",
    group: Group::Wine,
    fields: &[
        ask("into", "Into", "Which vessel.", Takes::Thing(Sort::Vessel)),
        flag(
            "amount",
            "Amount",
            "How much; about to the vessel's mark if left out.",
            Takes::Volume,
        ),
        flag(
            "batch",
            "Batch",
            "What the wine is called; begun if new.",
            Takes::Text,
        ),
        flag(
            "wine",
            "Wine",
            "What wine it will be.",
            Takes::Suggest(Wine::WORDS),
        ),
        flag(
            "source",
            "Made from",
            "Where it comes from.",
            Takes::Choice(SOURCES),
        ),
        flag(
            "gravity",
            "Gravity",
            "Its gravity, if measured.",
            Takes::Reading(Property::Gravity),
        ),
        flag(
            "temperature",
            "Temperature",
            "Its temperature, if measured.",
            Takes::Reading(Property::Temperature),
        ),
        flag(
            "ph",
            "pH",
            "Its pH, if measured.",
            Takes::Reading(Property::Ph),
        ),
        flag("fruit", "Fruit", "Weight of the fruit in it.", Takes::Dose),
    ],
    draft: |form, cellar| {
        let into = thing(form, "into", Sort::Vessel, cellar)?;
        let mut draft = Draft::new(Kind::Receive, cellar.now);
        let level = match (level(form, "amount", into.capacity(), cellar)?, into.mark()) {
            (Some(level), _) => level,
            (None, Some(mark)) => Level::Found {
                volume: mark,
                about: true,
                between: None,
            },
            (None, None) => {
                return Err(Refusal::input(
                    "amount",
                    format!(
                        "How much? {} has no mark to go by; `about 20 L` or `?` will do.",
                        into.name()
                    ),
                ));
            }
        };
        let (amount, about, words) = match level {
            Level::Found {
                volume,
                about,
                between,
            } => {
                draft.note = between.map(|it| it.1).unwrap_or_default();
                let words = if about { "about " } else { "" };
                (Amount::Exactly(volume), about, format!("{words}{volume}"))
            }
            Level::NotKnown(_) => (Amount::NotKnown, true, "an amount not known".to_owned()),
        };
        let name = form.get("batch").unwrap_or(into.name());
        let batch = batch_named(&mut draft, name, form, cellar)?;
        let from = if form
            .get("source")
            .is_some_and(|it| "bought".starts_with(it))
        {
            Account::Bought
        } else {
            Account::Must
        };
        draft.movements.push(Movement {
            from: from.key(),
            to: into.key,
            amount,
            about,
            batch: Some(batch),
        });
        if let Some(dose) = super::doses::dose(form, "fruit", "ug", cellar)? {
            draft.additions.push(Addition {
                substance: "fruit".to_owned(),
                dose: Some(dose),
                ..Addition::of(into.key)
            });
        }
        for (key, property) in [
            ("gravity", Property::Gravity),
            ("temperature", Property::Temperature),
            ("ph", Property::Ph),
        ] {
            draft
                .readings
                .extend(reading(form, key, into.key, property, cellar)?);
        }
        let weighed = draft.additions.first().and_then(|it| it.dose);
        let stops = match amount {
            Amount::Exactly(volume) => {
                let fruit = match weighed {
                    Some(Dose::Mass(mass)) => {
                        too_much("fruit", mass.in_grams(), volume.in_litres())
                    }
                    _ => None,
                };
                let blend = is_a_blend(Some(batch), volume, into, cellar);
                let over = over_mark(into, volume, cellar);
                blend.into_iter().chain(over).chain(fruit).collect()
            }
            _ => Vec::new(),
        };
        let prepared = Prepared {
            draft,
            sentence: format!("Receive {words} of {name} into {}.", into.name()),
            asks: wine_said(form),
            loses: None,
        };
        Ok(prepared.only_if(stops))
    },
};
