//! A vessel is topped up: from another, with bought wine or with water.

use super::here::batch_named;
use super::rack::{is_a_blend, over_mark, room};
use super::read::{Said, full_vessel, volume};
use super::{Form, Group, Prepared, Refusal, Takes, Verb, ask, flag};
use crate::cellar::amount::Volume;
use crate::cellar::entry::{Amount, Draft, Kind, Movement};
use crate::cellar::fold::TOPPING_SHARE;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Wine;
use crate::cellar::thing::{Account, Thing, VesselKind};

pub(super) static TOP_UP: Verb = Verb {
    name: "top-up",
    sentence: "Top a vessel up from another, or with bought wine or water.",
    group: Group::Wine,
    fields: &[
        ask(
            "into",
            "Vessel",
            "Which vessel is topped up.",
            Takes::FullVessel,
        ),
        flag(
            "from",
            "With",
            "A vessel, `bought-wine` or `water`.",
            Takes::FullVessel,
        ),
        flag(
            "amount",
            "Amount",
            "How much; what fits if left out.",
            Takes::Volume,
        ),
        flag(
            "as",
            "Named",
            "What the bought wine is called, to find it again in what this one is made of.",
            Takes::Text,
        ),
    ],
    draft: |form, cellar| {
        let (into, wine) = full_vessel(form, "into", cellar)?;
        let from = form.get("from").ok_or_else(|| {
            Refusal::input(
                "from",
                "Topped up with what? A vessel, bought-wine or water.",
            )
        })?;
        let (source, name) =
            if let Some(account @ (Account::Bought | Account::Water)) = Account::from_word(from) {
                (account.key(), account.word())
            } else {
                let (vessel, _) = full_vessel(form, "from", cellar)?;
                (vessel.key, vessel.name())
            };
        if source == into.key {
            return Err(Refusal::input("from", "A vessel can't top up itself."));
        }
        let bought = form.get("as");
        if bought.is_some() && source != Account::Bought.key() {
            return Err(Refusal::input(
                "as",
                "Only bought wine is named here; what is in a vessel has its name.",
            ));
        }
        let held = cellar.wine(source).map(|it| it.volume);
        let fits = room(into, cellar).map(|it| held.map_or(it, |held| it.min(held)));
        let said = match (volume(form, "amount", cellar)?, fits) {
            (Some(said), _) => said,
            (None, Some(fits)) if fits > Volume::ZERO => Said {
                amount: Amount::Exactly(fits),
                about: true,
            },
            (None, Some(_)) => {
                return Err(Refusal::book(
                    Some("amount"),
                    format!("{} is full by the book; say how much went in.", into.name()),
                ));
            }
            (None, None) => {
                return Err(Refusal::input(
                    "amount",
                    format!(
                        "How much? The book does not know what {} holds when full.",
                        into.name()
                    ),
                ));
            }
        };
        let moved = match said.amount {
            Amount::Exactly(volume) => volume,
            _ => held.unwrap_or_default(),
        };
        let mut draft = Draft::new(Kind::TopUp, cellar.now);
        let batch = bought
            .map(|name| batch_named(&mut draft, name, &Form::default(), cellar))
            .transpose()?;
        draft.movements.push(Movement {
            from: source,
            to: into.key,
            amount: said.amount,
            about: said.about,
            batch,
        });
        let gone = through_wood(into, moved, cellar);
        draft.movements.extend(gone.map(|it| Movement {
            from: into.key,
            to: Account::Evaporated.key(),
            amount: Amount::Exactly(it),
            about: true,
            batch: None,
        }));
        let mut asks = over_mark(into, moved - gone.unwrap_or_default(), cellar);
        let more = match Account::from_key(source) {
            Some(Account::Water) => {
                let (said, is_topping) = thinned(wine, moved);
                let question = format!("{said} That is more than a topping: is it meant?");
                asks.extend(is_topping.then_some(said));
                (!is_topping).then_some(question)
            }
            Some(_) => {
                let share = wine.share_of(moved);
                let is_topping = wine.unmeasured.is_some() || share < TOPPING_SHARE;
                (!is_topping).then(|| {
                    format!(
                        "{moved} of {} is {:.0} % of what {} holds then, more than a topping: is it a like wine?",
                        bought.unwrap_or("bought wine"),
                        share * 100.0,
                        into.name()
                    )
                })
            }
            None => {
                let coming = cellar.wine(source).and_then(Wine::main_batch);
                is_a_blend(coming, moved, into, cellar)
            }
        };
        let prepared = Prepared {
            draft,
            sentence: format!(
                "Top up {} with {moved} from {}{}.",
                into.name(),
                bought.unwrap_or(name),
                gone.map_or_else(String::new, |it| format!("; {it} had evaporated"))
            ),
            asks,
            loses: None,
        };
        Ok(prepared.only_if(more))
    },
};

/// What a barrel that takes more than it has room for by the book has lost through its wood before: no more than a topping, else
/// it is asked about as any other vessel.
fn through_wood(vessel: &Thing, more: Volume, cellar: &Snapshot) -> Option<Volume> {
    let is_measured = cellar
        .wine(vessel.key)
        .is_some_and(|it| it.unmeasured.is_none());
    let gone = more - room(vessel, cellar)?;
    let most = vessel.capacity()?.in_litres() * TOPPING_SHARE;
    let is_barrel = vessel.vessel_kind() == VesselKind::Barrel;
    (is_barrel && is_measured && gone > Volume::ZERO && gone.in_litres() < most).then_some(gone)
}

/// What so much water does to a wine, and whether that is no more than a topping: all that is dissolved in it falls by the
/// water's share of the whole.
fn thinned(wine: &Wine, water: Volume) -> (String, bool) {
    let share = wine.share_of(water);
    let is_known = wine.unmeasured.is_none();
    let by = if is_known {
        format!("{:.1} %", share * 100.0)
    } else {
        "its share of the whole, which is not known".to_owned()
    };
    let said = format!(
        "Water thins alcohol, acid and SO2 by {by}: usual is to top up with like wine (common practice), and wine for sale may in \
         general have none (Regulation (EU) 1308/2013, annex VIII, and 27 CFR 24, from memory)."
    );
    (said, !is_known || share < TOPPING_SHARE)
}
