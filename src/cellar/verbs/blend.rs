//! Wines meet.

use super::here::batch_named;
use super::rack::over_mark;
use super::read::{pours, thing};
use super::{Field, Group, Need, Prepared, Refusal, Takes, Verb, ask, flag};
use crate::cellar::amount::Volume;
use crate::cellar::entry::{Amount, Draft, Kind, Movement};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Key, Sort, Thing, Wine, field};

/// Said of a blend whose wines are not all of one kind.
const KINDS_DIFFER: &str = "The wines are not known to be of one kind, so that of the blend is unknown and it is dosed as white; `leesline batch change` with `--wine` says what it is.";

pub(super) static BLEND: Verb = Verb {
    name: "blend",
    sentence: "Blend wines into one vessel, under a name of its own if you like.",
    group: Group::Wine,
    fields: &[
        ask(
            "into",
            "Into",
            "The vessel they meet in.",
            Takes::Thing(Sort::Vessel),
        ),
        Field {
            key: "from",
            label: "From",
            help: "Vessels with their amounts: `Carboy A=10 L; Jug=all`.",
            takes: Takes::Pours,
            need: Need::Many,
        },
        flag("as", "Named", "What the blend is called.", Takes::Text),
    ],
    draft: |form, cellar| {
        let into = thing(form, "into", Sort::Vessel, cellar)?;
        let parts = pours(form, "from", cellar)?;
        if parts.is_empty() {
            return Err(Refusal::input(
                "from",
                "Of what? `Carboy A=10 L; Jug=all` for example.",
            ));
        }
        let mut draft = Draft::new(Kind::Blend, cellar.now);
        let met: Vec<Key> = parts.iter().map(|it| it.0.key).chain([into.key]).collect();
        let mut kind = None;
        let batch = match form.get("as") {
            Some(name) => {
                let batch = batch_named(&mut draft, name, form, cellar)?;
                kind = (batch.0 < 0).then(|| kind_of(&met, cellar));
                Some(batch)
            }
            None => None,
        };
        if let (Some(batch), Some(Some(kind))) = (batch, kind) {
            draft.set(batch, field::WINE, kind.word());
        }
        if let (Some(batch), Some(wine)) = (batch, cellar.wine(into.key)) {
            // What is there already takes the blend's name too; the flow keeps what it was.
            draft.movements.push(Movement {
                from: into.key,
                to: into.key,
                amount: Amount::RestLeaving(Volume::ZERO),
                about: wine.about,
                batch: Some(batch),
            });
        }
        let (mut sum, mut there, mut names) = (Volume::ZERO, Volume::ZERO, Vec::new());
        for (source, said) in parts {
            let held = cellar
                .wine(source.key)
                .map(|it| it.volume)
                .unwrap_or_default();
            if source.key == into.key {
                // It stays where it is, and all of it is in the blend.
                all_there(said.map(|it| it.amount), held, source)?;
                there = held;
                continue;
            }
            let amount = said.map_or(Amount::RestLeaving(Volume::ZERO), |it| it.amount);
            sum += match amount {
                Amount::Exactly(volume) => volume,
                _ => held,
            };
            names.push(source.name());
            draft.movements.push(Movement {
                from: source.key,
                to: into.key,
                amount,
                about: said.is_some_and(|it| it.about),
                batch,
            });
        }
        if names.is_empty() {
            return Err(Refusal::input(
                "from",
                format!(
                    "Only {} itself is named; what is blended into it?",
                    into.name()
                ),
            ));
        }
        let mut asks = over_mark(into, sum, cellar);
        if kind == Some(None) {
            asks.push(KINDS_DIFFER.to_owned());
        }
        if there > Volume::ZERO {
            names.push("what is there");
        }
        let sum = sum + there;
        let named = form
            .get("as")
            .map(|it| format!(" as {it}"))
            .unwrap_or_default();
        Ok(Prepared {
            draft,
            sentence: format!(
                "Blend {sum} from {} into {}{named}.",
                names.join(" and "),
                into.name()
            ),
            asks,
            loses: None,
        })
    },
};

/// The kind that all wine in those vessels is of; `None` where it differs, or is not known of a part.
fn kind_of(vessels: &[Key], cellar: &Snapshot) -> Option<Wine> {
    let wines = vessels.iter().filter_map(|it| cellar.wine(*it));
    let parts = wines.flat_map(|it| &it.makeup);
    let mut kinds = parts.map(|it| {
        let batch = it.batch.and_then(|it| cellar.thing(it));
        batch.map_or(Wine::Unknown, Thing::wine)
    });
    let first = kinds.next().filter(|it| *it != Wine::Unknown)?;
    kinds.all(|it| it == first).then_some(first)
}

/// Refuses to blend a part of what is in the vessel with what comes into it: all of it meets.
fn all_there(said: Option<Amount>, held: Volume, into: &Thing) -> Result<(), Refusal> {
    match said {
        Some(Amount::Exactly(volume)) if volume != held => Err(Refusal::input(
            "from",
            format!(
                "All that is in {0} meets what comes into it, {held} by the book; write `{0}=all`, and rack away before what is to stay out.",
                into.name()
            ),
        )),
        _ => Ok(()),
    }
}
