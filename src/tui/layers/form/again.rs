//! An entry of the book as the form that would write it.

use crate::cellar::entry::{Amount, Draft, Entry, Kind, Spot};
use crate::cellar::gifts;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::telling;
use crate::cellar::thing::{Account, Key};
use crate::cellar::verbs::{self, Takes, Verb};

type Values = Vec<(String, String)>;

/// The verb that writes such an entry, with what the entry says filled in as far as it can be told
/// back. Nothing for kinds that no verb writes, and for things begun, which are changed instead.
pub(super) fn filled(entry: &Entry, cellar: &Snapshot) -> Option<(&'static Verb, Values)> {
    let draft = &entry.draft;
    let kept = |it: &Spot| matches!(it, Spot::Kept { reserved, .. } if !reserved.is_empty());
    let word = match draft.kind {
        Kind::Move if !draft.bottles.is_empty() => "shift",
        Kind::Reserve if !draft.bottles.iter().any(|it| kept(&it.to)) => "release",
        kind => kind.word(),
    };
    let verb = verbs::find(word).or_else(|| verbs::find(&word.replace('-', " ")))?;
    if matches!(
        draft.kind,
        Kind::Here | Kind::Snooze | Kind::Dismiss | Kind::Done
    ) {
        return None;
    }
    let mut values = Values::new();
    let mut put = |key: &str, text: String| {
        let is_field = verb
            .fields
            .iter()
            .chain(verbs::COMMON)
            .any(|it| it.key == key);
        if is_field && !text.is_empty() {
            values.push((key.to_owned(), text));
        }
    };
    for (key, text) in of_kind(draft, cellar) {
        put(key, text);
    }
    for reading in &draft.readings {
        let takes = Takes::Reading(reading.property);
        if let Some(field) = verb.fields.iter().find(|it| it.takes == takes) {
            put(field.key, reading.typed.clone());
        }
    }
    if let Some(addition) = draft.additions.first() {
        put("place", cellar.name(addition.place).to_owned());
        put("substance", addition.substance.replace('-', " "));
        put(
            "amount",
            addition.dose.map_or_else(String::new, telling::dose),
        );
        put(
            "lot",
            addition.lot.map_or("", |it| cellar.name(it)).to_owned(),
        );
        put("calculation", addition.calculation.clone());
    }
    put(
        "at",
        draft.when.local().format("%Y-%m-%d %H:%M:%S").to_string(),
    );
    put("by", draft.by.clone());
    if !matches!(draft.kind, Kind::Jot | Kind::Note | Kind::Pitch) {
        put("note", gifts::beside_whom(draft).to_owned());
    }
    Some((verb, values))
}

/// What is told back kind by kind.
fn of_kind(draft: &Draft, cellar: &Snapshot) -> Vec<(&'static str, String)> {
    let name = |key: Key| cellar.name(key).to_owned();
    let mut values = Vec::new();
    match draft.kind {
        Kind::Measure => {
            values.extend(draft.readings.first().map(|it| ("place", name(it.place))));
        }
        Kind::Taste => {
            if let Some(tasting) = draft.tastings.first() {
                values.push(("place", name(tasting.place)));
                values.push(("words", tasting.words.clone()));
                values.extend(tasting.score.map(|it| ("score", it.to_string())));
            }
        }
        Kind::Rack | Kind::Press => {
            let vessels = |it: &&crate::cellar::entry::Movement| Account::from_key(it.to).is_none();
            values.extend(draft.movements.first().map(|it| ("from", name(it.from))));
            for moved in draft.movements.iter().filter(vessels) {
                match moved.amount {
                    Amount::Exactly(_) => {
                        values.push(("to", format!("{}={}", name(moved.to), said(moved.amount))));
                    }
                    Amount::RestLeaving(left) => {
                        values.push(("to", name(moved.to)));
                        if left.0 > 0 {
                            values.push(("leaving", litres(left.0)));
                        }
                    }
                    Amount::LevelFound(_) | Amount::NotKnown => {}
                }
            }
        }
        Kind::TopUp | Kind::Receive => {
            if let Some(moved) = draft.movements.first() {
                values.push(("into", name(moved.to)));
                values.push(("from", name(moved.from)));
                values.push(("amount", said(moved.amount)));
                values.extend(moved.batch.map(|it| ("batch", name(it))));
            }
        }
        Kind::Draw | Kind::Lose | Kind::Discard | Kind::Adjust => {
            if let Some(moved) = draft.movements.first() {
                values.push(("place", name(moved.from)));
                values.push(("amount", said(moved.amount)));
                values.push(("level", said(moved.amount)));
                values.push(("how", name(moved.to)));
            }
        }
        Kind::LayDown
        | Kind::Open
        | Kind::Give
        | Kind::Reserve
        | Kind::Break
        | Kind::Unbottle
        | Kind::Back
        | Kind::Move => values = of_bottles(draft, cellar),
        Kind::Jot | Kind::Note => values.push(("text", draft.note.clone())),
        Kind::Pitch => values.push(("yeast", draft.note.clone())),
        _ => {}
    }
    values
}

/// Bottles that moved: of which run, how many, out of which slot, and where they went.
fn of_bottles(draft: &Draft, cellar: &Snapshot) -> Vec<(&'static str, String)> {
    let Some(first) = draft.bottles.first() else {
        return Vec::new();
    };
    let count: i64 = draft.bottles.iter().map(|it| it.count).sum();
    let mut values = vec![
        ("run", cellar.name(first.run).to_owned()),
        ("count", count.to_string()),
    ];
    // Several places are not one to take them from again: they are found as they were found then.
    if let Spot::Kept { at, .. } = &first.from
        && draft.bottles.iter().all(|it| it.from == first.from)
    {
        values.push(("from", at.clone()));
    }
    match &first.to {
        Spot::Kept { at, reserved, .. } => {
            values.push(("where", at.clone()));
            values.push(("to", at.clone()));
            values.push(("for", reserved.clone()));
        }
        Spot::Outside(place) if Account::from_key(*place).is_none() => {
            values.push(("into", cellar.name(*place).to_owned()));
        }
        Spot::Outside(_) => {}
    }
    if draft.kind == Kind::Back && matches!(first.to, Spot::Kept { .. }) {
        values.push(("full", "yes".to_owned()));
    }
    let whom = match draft.kind {
        Kind::Give => "to",
        _ => "whom",
    };
    values.extend(gifts::whom(draft).map(|it| (whom, it.to_owned())));
    values.extend(draft.tastings.first().map(|it| ("words", it.words.clone())));
    values
}

fn said(amount: Amount) -> String {
    match amount {
        Amount::Exactly(volume) | Amount::LevelFound(volume) => litres(volume.0),
        Amount::RestLeaving(_) => "all".to_owned(),
        Amount::NotKnown => "not known".to_owned(),
    }
}

/// To the microlitre, so that what is not touched stays what it was.
fn litres(microlitres: i64) -> String {
    format!("{} L", microlitres as f64 / 1e6)
}
