//! What was here before the book: vessels with wine in them, and bottles.

use leesline_calc::quantity::Quantity;

use super::read::{count, number, size, volume, word};
use super::{Form, Group, Prepared, Refusal, Takes, Verb, ask, flag};
use crate::cellar::amount::Volume;
use crate::cellar::entry::{Amount, BottleMove, Draft, Kind, Movement, Posture, Spot};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Account, Key, Sort, Value, field};

use super::things::{BRIM, CLOSURES, KIND, MARK, WINE, done, set_batch, set_vessel};

pub(super) static HERE: Verb = Verb {
    name: "here",
    sentence: "Write down what the cellar already holds: a vessel, or a lot of bottles.",
    group: Group::Cellar,
    fields: &[
        ask(
            "name",
            "Name",
            "The vessel's name, or the bottles'.",
            Takes::Text,
        ),
        flag("holds", "Holds", "What wine, as you call it.", Takes::Text),
        flag(
            "amount",
            "About",
            "About how much; full if left out.",
            Takes::Volume,
        ),
        KIND,
        MARK,
        BRIM,
        flag(
            "bottles",
            "Bottles",
            "For bottles: about how many.",
            Takes::Count,
        ),
        flag(
            "size",
            "Size",
            "Bottle size in mL; 750 if left out.",
            Takes::Number("mL"),
        ),
        flag(
            "where",
            "Where",
            "Shelf or rack, as loosely as you like.",
            Takes::Text,
        ),
        flag(
            "bottle-closure",
            "Closure",
            "What closes the bottles.",
            Takes::Choice(CLOSURES),
        ),
        WINE,
        flag(
            "since",
            "Since",
            "When it was made or filled: `autumn 2023` will do.",
            Takes::Text,
        ),
    ],
    draft: |form, cellar| match count(form, "bottles")? {
        Some(bottles) => bottles_here(form, bottles, cellar),
        None => vessel_here(form, cellar),
    },
};

fn vessel_here(form: &Form, cellar: &Snapshot) -> Result<Prepared, Refusal> {
    let name = form.get("name").unwrap_or_default();
    let mut draft = Draft::new(Kind::Here, cellar.now);
    let known = cellar
        .open(Sort::Vessel)
        .find(|it| it.name().eq_ignore_ascii_case(name));
    let vessel = match known {
        Some(vessel) => vessel.key,
        None => draft.begin(Sort::Vessel, name),
    };
    draft.subject = Some(vessel);
    set_vessel(
        &mut draft,
        vessel,
        if known.is_none() { name } else { "" },
        form,
        cellar,
    )?;
    let capacity = size(form, "mark", cellar)?
        .or(size(form, "brim", cellar)?)
        .or_else(|| known.and_then(super::super::thing::Thing::capacity));
    let said = volume(form, "amount", cellar)?.and_then(|it| match it.amount {
        Amount::Exactly(volume) => Some((volume, it.about)),
        _ => None,
    });
    let holds = form.get("holds");
    let amount = match (said, capacity, holds) {
        (Some(said), _, _) => Some(said),
        (None, Some(full), Some(_)) => Some((full, true)),
        (None, None, Some(_)) => {
            return Err(Refusal::input(
                "amount",
                "About how much does it hold? Give --amount, or its --mark if it is full.",
            ));
        }
        (None, _, None) => None,
    };
    if let Some((volume, about)) = amount {
        let batch = batch_named(&mut draft, holds.unwrap_or(name), form, cellar)?;
        let movement = Movement {
            from: Account::Before.key(),
            to: vessel,
            amount: Amount::Exactly(volume),
            about,
            batch: Some(batch),
        };
        draft.movements.push(movement);
        if let Some(words) = form.get("since") {
            draft.set(vessel, field::SINCE_WORDS, words);
        }
        let about = if about { "about " } else { "" };
        let wine = holds.unwrap_or("wine");
        return done(
            draft,
            format!("{name} is here and holds {about}{volume} of {wine}."),
        );
    }
    done(draft, format!("{name} is here, empty."))
}

fn bottles_here(
    form: &Form,
    (bottles, about): (i64, bool),
    cellar: &Snapshot,
) -> Result<Prepared, Refusal> {
    let name = form.get("name").unwrap_or_default();
    let size_ml = bottle_size(form, cellar)?;
    let mut draft = Draft::new(Kind::Here, cellar.now);
    let run = draft.begin(Sort::Run, name);
    draft.subject = Some(run);
    let batch = batch_named(&mut draft, form.get("holds").unwrap_or(name), form, cellar)?;
    draft.set(run, field::SIZE, Value::Int(size_ml));
    draft.set(run, field::FINISHED, Value::Int(cellar.now.utc_ms));
    if let Some(closure) = word(form, "bottle-closure", CLOSURES)? {
        draft.set(run, field::CLOSURE, closure);
    }
    if let Some(words) = form.get("since") {
        draft.set(run, field::SINCE_WORDS, words);
    }
    draft.movements.push(Movement {
        from: Account::Before.key(),
        to: run,
        amount: Amount::Exactly(Volume::millilitres(size_ml * bottles)),
        about,
        batch: Some(batch),
    });
    // Bottles that were here already are taken to lie where they belong.
    let at = form.get("where").unwrap_or_default().to_owned();
    draft.bottles.push(BottleMove {
        run,
        size_ml,
        count: bottles,
        from: Spot::Outside(Account::Before.key()),
        to: Spot::Kept {
            posture: Posture::Lying,
            at,
            reserved: String::new(),
        },
        about,
    });
    let about = if about { "about " } else { "" };
    done(
        draft,
        format!("{about}{bottles} bottles of {name} are here.").replacen("about", "About", 1),
    )
}

/// Size of a bottle in whole millilitres.
pub(super) fn bottle_size(form: &Form, cellar: &Snapshot) -> Result<i64, Refusal> {
    let size = number(
        form,
        "size",
        Quantity::SmallVolume,
        (20.0, 60_000.0),
        cellar,
    )?;
    Ok(size.map_or(750, |it| it.round() as i64))
}

/// The batch of that name, or a new one with what the form says of it.
pub(super) fn batch_named(
    draft: &mut Draft,
    name: &str,
    form: &Form,
    cellar: &Snapshot,
) -> Result<Key, Refusal> {
    if let Some(known) = cellar
        .open(Sort::Batch)
        .find(|it| it.name().eq_ignore_ascii_case(name.trim()))
    {
        return Ok(known.key);
    }
    let batch = draft.begin(Sort::Batch, name.trim());
    set_batch(draft, batch, form, cellar)?;
    Ok(batch)
}
