//! What was here before the book: vessels with wine in them, and bottles.

mod bottles;

use leesline_calc::quantity::Quantity;

use super::read::{Level, level, number, size};
use super::{Form, Group, Prepared, Refusal, Takes, Verb, ask, flag};
use crate::cellar::amount::Volume;
use crate::cellar::bottling::{Closure, Package};
use crate::cellar::entry::{Amount, Draft, Kind, Movement};
use crate::cellar::moment;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Wine;
use crate::cellar::thing::{Account, Key, Sort, Thing, Value, field};

use super::things::{BRIM, KIND, MARK, WINE, done, set_batch, set_vessel, wine_said};
use bottles::bottles_here;

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
            "About how much, in any words: `22 L`, `nearly full`, `20 to 22 L`, `?`; full if left out.",
            Takes::Volume,
        ),
        KIND,
        MARK,
        BRIM,
        flag(
            "bottles",
            "Bottles",
            "For bottles: about how many: `40`, `two dozen`, `20 to 25`, `?`.",
            Takes::Count,
        ),
        flag(
            "package",
            "What",
            "Kegs, bags or jugs, if they are no bottles.",
            Takes::Choice(Package::WORDS),
        ),
        flag(
            "size",
            "Size",
            "Of a bottle in mL, 750 if left out; of a jug, bag or keg such as `19 L`.",
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
            Takes::Choice(Closure::WORDS),
        ),
        WINE,
        flag(
            "since",
            "Since",
            "Since when it holds it: `autumn 2023` will do; older entries find it there.",
            Takes::Text,
        ),
    ],
    draft: |form, cellar| match form.get("bottles") {
        Some(said) => bottles_here(form, said, cellar),
        None if form.get("package").is_some() => Err(Refusal::input(
            "bottles",
            "How many are there? Give --bottles 2, or --bottles ? if nobody counted.",
        )),
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
        .or_else(|| known.and_then(Thing::capacity));
    if !has_wine(form) {
        if let Some(wine) = cellar.wine(vessel) {
            return held_already(form, known, wine, draft, cellar);
        }
        return done(draft, format!("{name} is here, empty."));
    }
    let holds = form.get("holds");
    if let Some(wine) = cellar.wine(vessel).filter(|it| it.unmeasured.is_none()) {
        return held_already(form, known, wine, draft, cellar);
    }
    let batch = batch_named(&mut draft, holds.unwrap_or(name), form, cellar)?;
    let wine = holds.unwrap_or("wine");
    let mut asks = wine_said(form);
    let (amount, about, sentence) = match full_if_unsaid(form, capacity, cellar)? {
        Level::Found {
            volume,
            about,
            between,
        } => {
            let words = if about { "about " } else { "" };
            let span = between.as_ref().map_or_else(String::new, |(span, _)| {
                format!(" ({} to {})", span[0], span[1])
            });
            draft.note = between.map(|it| it.1).unwrap_or_default();
            let sentence = format!("{name} is here and holds {words}{volume}{span} of {wine}.");
            (Amount::Exactly(volume), about, sentence)
        }
        Level::NotKnown(why) => {
            asks.extend(why);
            let sentence =
                format!("{name} is here and holds {wine}, amount not known; `adjust` sets it.");
            (Amount::NotKnown, true, sentence)
        }
    };
    draft.movements.push(Movement {
        from: Account::Before.key(),
        to: vessel,
        amount,
        about,
        batch: Some(batch),
    });
    if let Some(words) = form.get("since") {
        asks.extend(since(&mut draft, vessel, batch, words, cellar)?);
    }
    asked(draft, sentence, asks)
}

/// Whoever says what wine it is, or since when, says that there is some, but for one who says that it is empty.
fn has_wine(form: &Form) -> bool {
    let is_empty = form.get("amount").is_some_and(|it| {
        matches!(
            it.to_lowercase().as_str(),
            "empty" | "nothing" | "none" | "0" | "0 l"
        )
    });
    let says_some = |key: &&str| form.get(key).is_some();
    !is_empty && ["holds", "amount", "wine", "since"].iter().any(says_some)
}

/// What was said of its level; of a vessel whose size is known and of which nothing was said, about all that it holds.
fn full_if_unsaid(
    form: &Form,
    capacity: Option<Volume>,
    cellar: &Snapshot,
) -> Result<Level, Refusal> {
    Ok(match (level(form, "amount", capacity, cellar)?, capacity) {
        (Some(level), _) => level,
        (None, Some(full)) => Level::Found {
            volume: full,
            about: true,
            between: None,
        },
        (None, None) => Level::NotKnown(None),
    })
}

/// What is said again of a vessel that has its wine already: only since when may be added here.
fn held_already(
    form: &Form,
    known: Option<&Thing>,
    wine: &Wine,
    mut draft: Draft,
    cellar: &Snapshot,
) -> Result<Prepared, Refusal> {
    let name = known.map_or("", Thing::name);
    match (
        known,
        form.get("since"),
        form.get("holds"),
        form.get("amount"),
    ) {
        (Some(vessel), Some(words), None, None) => {
            let batch = wine.main_batch().unwrap_or(Key(0));
            let asks = since(&mut draft, vessel.key, batch, words, cellar)?;
            let sentence = format!("{name} held its wine before it was written down.");
            asked(draft, sentence, asks.into_iter().collect())
        }
        _ => Err(Refusal::book(
            Some("name"),
            format!(
                "{name} holds {} by the book already; `leesline adjust \"{name}\" --level \"about 20 L\"` corrects how much.",
                wine.amount_words()
            ),
        )),
    }
}

/// An entry with what a person should know of how it was taken.
fn asked(draft: Draft, sentence: String, asks: Vec<String>) -> Result<Prepared, Refusal> {
    let prepared = done(draft, sentence)?;
    Ok(Prepared { asks, ..prepared })
}

/// The wine was in this vessel before it was written down: older entries find it there. What is no
/// date is kept as words, and said.
fn since(
    draft: &mut Draft,
    vessel: Key,
    batch: Key,
    words: &str,
    cellar: &Snapshot,
) -> Result<Option<String>, Refusal> {
    moment::refuse_too_early(words).map_err(|it| Refusal::input("since", it.to_string()))?;
    let first = moment::earliest(words, cellar.now, cellar.settings().zone);
    if moment::is_to_come(words) || first.is_some_and(|it| it > cellar.now) {
        return Err(Refusal::input(
            "since",
            format!(
                "`{words}` is after now; say since when it has held its wine, such as `autumn 2025` or `3 weeks ago`."
            ),
        ));
    }
    draft.set(
        vessel,
        field::SINCE_WORDS,
        Value::Text(moment::to_keep(words, cellar.now)),
    );
    let Some(first) = first else {
        return Ok(Some(format!(
            "`{words}` is kept as words; as a date the book can't use it: `autumn 2025` or `3 weeks ago` it can."
        )));
    };
    draft.set(vessel, field::HELD_SINCE, Value::Int(first.utc_ms));
    if batch != Key(0) {
        draft.set(vessel, field::HELD_BATCH, Value::Int(batch.0));
    }
    Ok(None)
}

/// Size of a bottle in whole millilitres, if it was said.
pub(super) fn bottle_size(form: &Form, cellar: &Snapshot) -> Result<Option<i64>, Refusal> {
    let (least, most) = Package::Bottle.sizes_ml();
    let range = (least as f64, most as f64);
    let size = number(form, "size", Quantity::SmallVolume, range, cellar)?;
    Ok(size.map(|it| it.round() as i64))
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
