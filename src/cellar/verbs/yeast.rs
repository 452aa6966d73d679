//! Yeast pitched: from a packet, or used again from another wine, whose name the batch then keeps.

use super::additions::{AMOUNT, LOT, PLACE, joined, put_in, substance_named};
use super::apart::apart;
use super::lots::{lot_named, lots_of};
use super::rack::{is_a_blend, over_mark};
use super::read::{full_vessel, volume};
use super::{Form, Group, Prepared, Refusal, Takes, Verb, flag};
use crate::cellar::amount::Volume;
use crate::cellar::entry::{Addition, Amount, Draft, Kind, Movement};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::{Deed, Wine};
use crate::cellar::thing::{Account, Key, Sort, Thing, Value, field};

pub(super) static PITCH: Verb = Verb {
    name: "pitch",
    sentence: "Pitch yeast.",
    group: Group::Additions,
    fields: &[
        PLACE,
        flag("yeast", "Yeast", "Which yeast.", Takes::Text),
        AMOUNT,
        LOT,
        flag(
            "from",
            "Used again",
            "Yeast of another wine: the vessel it is poured from, or the batch whose lees it is.",
            Takes::Text,
        ),
    ],
    draft: |form, cellar| {
        if let Some(from) = form.get("from") {
            return used_again(form, from, cellar);
        }
        let form = &apart(form, "yeast");
        let substance = bought_as(form, cellar);
        let mut prepared = put_in(form, cellar, Kind::Pitch, &substance)?;
        prepared.draft.subject = prepared.draft.additions.first().map(|it| it.place);
        let yeast = form.get("yeast").unwrap_or_default();
        let notes = [yeast, &prepared.draft.note].map(str::to_owned);
        prepared.draft.note = joined(&notes);
        Ok(prepared)
    },
};

/// What its packets are called in the stock: as the lot that was named, else as the yeast was, where it was bought by that
/// name; else `yeast`.
fn bought_as(form: &Form, cellar: &Snapshot) -> String {
    let lot = form
        .get("lot")
        .and_then(|it| lot_named(it, "lot", cellar).ok());
    let named = || {
        let named = substance_named(form.get("yeast")?);
        let is_owned = lots_of(&named, cellar).next().is_some();
        is_owned.then_some(named)
    };
    let bought = lot.map(|it| it.text(field::SUBSTANCE).to_owned());
    bought.or_else(named).unwrap_or_else(|| "yeast".to_owned())
}

/// Where yeast is used again from.
struct Giver<'a> {
    batch: &'a Thing,
    /// The vessel it is poured from, with what that holds; without one it is lees of the batch.
    vessel: Option<(&'a Thing, &'a Wine)>,
}

/// No packet is drawn; wine that comes with the yeast is moved.
fn used_again(form: &Form, from: &str, cellar: &Snapshot) -> Result<Prepared, Refusal> {
    let (place, wine) = full_vessel(form, "place", cellar)?;
    if form.get("lot").is_some() {
        let why = "yeast used again comes from no lot; leave out --lot, or --from.";
        return Err(Refusal::input("lot", why));
    }
    let giver = giver(from, place, cellar)?;
    let mut draft = Draft::new(Kind::Pitch, cellar.now);
    draft.subject = Some(place.key);
    draft.additions.push(Addition {
        substance: "yeast".to_owned(),
        ..Addition::of(place.key)
    });
    let own = wine.main_batch();
    if let Some(own) = own.filter(|it| *it != giver.batch.key) {
        draft.set(own, field::YEAST_FROM, Value::Int(giver.batch.key.0));
    }
    form.get("yeast")
        .unwrap_or_default()
        .clone_into(&mut draft.note);
    let moved = volume(form, "amount", cellar)?;
    let mut much = Volume::ZERO;
    if let Some(said) = moved {
        much = match (said.amount, giver.vessel) {
            (Amount::Exactly(volume), _) => volume,
            (_, Some((_, held))) => held.volume,
            (_, None) => {
                let why = "how much of the lees? Give it as near as you can, such as `300 mL`, or leave it out.";
                return Err(Refusal::input("amount", why));
            }
        };
        draft.movements.push(Movement {
            from: giver.vessel.map_or(Account::Lees.key(), |it| it.0.key),
            to: place.key,
            amount: said.amount,
            about: said.about,
            // Out of a vessel it is what that holds.
            batch: giver.vessel.is_none().then_some(giver.batch.key),
        });
    }
    let how_much = if much > Volume::ZERO {
        format!(", {much} of it")
    } else {
        String::new()
    };
    let prepared = Prepared {
        draft,
        sentence: format!(
            "Pitch yeast of {} into {}{how_much}; no packet is taken.",
            giver.batch.name(),
            place.name()
        ),
        asks: over_mark(place, much, cellar),
        loses: None,
    };
    let blend = is_a_blend(Some(giver.batch.key), much, place, cellar);
    let blend = blend.filter(|_| much > Volume::ZERO);
    Ok(prepared.only_if(unfit(&giver).into_iter().chain(blend)))
}

/// A vessel that holds wine, else a batch by its name.
fn giver<'a>(from: &str, place: &Thing, cellar: &'a Snapshot) -> Result<Giver<'a>, Refusal> {
    let input = |why: String| Refusal::input("from", why);
    let vessel = match cellar.find(Sort::Vessel, from) {
        Ok(vessel) => vessel,
        Err(unknown) => {
            let batch = cellar.find(Sort::Batch, from);
            let batch = batch.map_err(|_| input(unknown.to_string()))?;
            return Ok(Giver {
                batch,
                vessel: None,
            });
        }
    };
    let name = vessel.name();
    let lees = "name the batch whose lees they are, such as `--from 'Kit red'`";
    if vessel.key == place.key {
        return Err(input(format!(
            "{name} can't be pitched from itself; {lees}."
        )));
    }
    let Some(held) = cellar.wine(vessel.key) else {
        return Err(Refusal::book(
            Some("from"),
            format!("{name} is empty by the book; {lees}."),
        ));
    };
    let batch = held.main_batch().and_then(|it: Key| cellar.thing(it));
    let batch = batch.ok_or_else(|| {
        Refusal::book(
            Some("from"),
            format!("the wine in {name} has no name to keep; pitch without --from, and say it in --note."),
        )
    })?;
    Ok(Giver {
        batch,
        vessel: Some((vessel, held)),
    })
}

/// Yeast of a wine that is spoiled or was stabilised does not serve another (common practice).
fn unfit(giver: &Giver) -> Option<String> {
    let (vessel, held) = giver.vessel?;
    let what = if let Some((fault, _)) = held.troubles.first_key_value() {
        format!(
            "is marked with {}, which goes with it",
            fault.replace('-', " ")
        )
    } else if held.when(Deed::Sorbated).is_some() {
        "holds sorbate, which keeps yeast from growing".to_owned()
    } else if held.when(Deed::Sulfited) > held.when(Deed::Pitched) {
        "was sulfited since its yeast went in, so that little of it lives".to_owned()
    } else {
        return None;
    };
    Some(format!(
        "{} {what}: take yeast from a sound, young ferment, or a packet.",
        vessel.name()
    ))
}
