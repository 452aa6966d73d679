//! The only place where the program touches the store.

use std::collections::BTreeMap;

use super::message::{Effect, Facts, Preview, Reply, Told};
use crate::cellar::attention::Policy;
use crate::cellar::moment::Moment;
use crate::cellar::telling;
use crate::cellar::thing::Key;
use crate::store::{Clock, Effects, Filter, Listed, Shift, Store, StoreError};

/// Does what was asked and says how it went; nothing for what is the terminal's to do.
pub fn perform(effect: Effect, store: &mut Store, now: Moment) -> Option<Reply> {
    let done = match effect {
        Effect::Load => load(store, now),
        Effect::LookBack(then) => store.snapshot(then).map(|it| Reply::Past(Box::new(it))),
        Effect::Write { draft, said } => store.append(&draft, clock(now)).map(|written| {
            let entry = written.key();
            Reply::Written { entry, said }
        }),
        Effect::ReadBook { about, limit } => {
            let filter = Filter {
                thing: about,
                limit: Some(limit),
                ..Filter::default()
            };
            store.entries(&filter).map(|listed| Reply::Book {
                about,
                limit,
                entries: listed.into_iter().map(told).collect(),
            })
        }
        Effect::PreviewVoid(entry) => preview(store, entry, now),
        Effect::Void(entry) => store.void(entry, clock(now)).map(|_| Reply::Voided(entry)),
        Effect::Suspend | Effect::Redraw => return None,
    };
    Some(done.unwrap_or_else(|error| Reply::Refused(capital(&error.to_string()))))
}

fn clock(now: Moment) -> Clock {
    Clock { now_ms: now.utc_ms }
}

fn load(store: &Store, now: Moment) -> Result<Reply, StoreError> {
    let cellar = store.snapshot(now)?;
    let zone = cellar.settings().zone;
    let mut facts = Facts::of(cellar, Policy::default());
    facts.cellar.now = zone.moment(now.utc_ms);
    Ok(Reply::Loaded(Box::new(facts)))
}

fn told(listed: Listed) -> Told {
    Told {
        entry: listed.entry,
        flows: listed.flows,
    }
}

/// What voiding would change. That it may not be voided is an answer too, with the entry shown.
fn preview(store: &mut Store, entry: Option<Key>, now: Moment) -> Result<Reply, StoreError> {
    let entry = match entry {
        Some(key) => Some(store.entry(key)?),
        None => store.newest_living()?,
    };
    let entry = entry
        .ok_or_else(|| StoreError::Refused("there is nothing in the book to undo.".to_owned()))?;
    let cellar = store.snapshot(now)?;
    let (changes, refused) = match store.preview_void(entry.key, clock(now)) {
        Ok(effects) => (changes(&effects, |key| telling::name(key, &cellar)), None),
        Err(StoreError::Refused(sentence)) => (Vec::new(), Some(capital(&sentence))),
        Err(other) => return Err(other),
    };
    let told = Told {
        entry,
        flows: Vec::new(),
    };
    Ok(Reply::Preview(Box::new(Preview {
        told,
        changes,
        refused,
    })))
}

/// What changes in the end, place by place, and how many entries are merely recomputed.
fn changes(effects: &Effects, name: impl Fn(Key) -> String) -> Vec<String> {
    let mut last: BTreeMap<Key, &Shift> = BTreeMap::new();
    for shift in &effects.shifts {
        last.insert(shift.place, shift);
    }
    let mut lines: Vec<String> = Vec::new();
    for (place, shift) in last {
        let differs = telling::differences(shift.before.as_ref(), shift.after.as_ref());
        lines.push(format!("{}: {}.", name(place), differs.join(", ")));
    }
    if lines.is_empty() {
        lines.push("Nothing else changes.".to_owned());
    }
    match effects.recomputed.len() {
        0 => {}
        1 => lines.push("The figures of 1 later entry are worked out anew.".to_owned()),
        many => lines.push(format!(
            "The figures of {many} later entries are worked out anew."
        )),
    }
    lines
}

/// The store's sentences begin small, to follow the program's name on the command line.
fn capital(sentence: &str) -> String {
    let mut letters = sentence.chars();
    let first = letters.next().map(|it| it.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}
