//! Wines meet.

use super::here::batch_named;
use super::rack::over_mark;
use super::read::{pours, thing};
use super::{Field, Group, Need, Prepared, Refusal, Takes, Verb, ask, flag};
use crate::cellar::amount::Volume;
use crate::cellar::entry::{Amount, Draft, Kind, Movement};
use crate::cellar::thing::Sort;

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
        let batch = form
            .get("as")
            .map(|name| batch_named(&mut draft, name, form, cellar))
            .transpose()?;
        if let (Some(batch), Some(wine)) = (batch, cellar.wine(into.key)) {
            // What is there already takes the blend's name too; the flow keeps what it was.
            draft.movements.push(Movement {
                from: into.key,
                to: into.key,
                amount: Amount::Exactly(wine.volume),
                about: wine.about,
                batch: Some(batch),
            });
        }
        let (mut sum, mut names) = (Volume::ZERO, Vec::new());
        for (source, said) in parts {
            let held = cellar
                .wine(source.key)
                .map(|it| it.volume)
                .unwrap_or_default();
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
        let asks = over_mark(into, sum, cellar);
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
