//! What each verb makes of what is typed. A file here is a subject.

mod bottling;
mod fits;
mod here;
mod keeping;
mod look;
mod moving;
mod names;
mod notes;
mod odd;
mod questions;
mod reading;
mod shelves;
mod supplies;
mod words;
mod yeast;

use std::sync::Arc;

use uuid::Uuid;

use super::*;
use crate::cellar::amount::Volume;
use crate::cellar::attributes::Attributes;
use crate::cellar::entry::{Amount, Draft, Entry, Found};
use crate::cellar::fold::Ledger;
use crate::cellar::state::State;
use crate::cellar::thing::{Account, CELLAR, Thing, Value};

/// A cellar in memory that writes what it is told, as the store does with less ceremony.
struct Cellar {
    snapshot: Snapshot,
    entries: i64,
}

impl Cellar {
    fn new() -> Cellar {
        let (now, _) = Zone::Fixed(0)
            .wall("2026-11-25T18:00:00".parse().unwrap())
            .unwrap();
        Cellar {
            snapshot: Snapshot::empty(now),
            entries: 0,
        }
    }

    fn prepare(&self, verb: &str, pairs: &[(&str, &str)]) -> Result<Prepared, Refusal> {
        let verb = find(verb).unwrap();
        let form = Form::of(pairs.iter().copied());
        let said = when(&form, self.snapshot.now, Zone::Fixed(0))?;
        prepare(verb, &form, &self.snapshot, &said)
    }

    /// The verb is taken, and the cellar holds what it wrote.
    fn write(&mut self, verb: &str, pairs: &[(&str, &str)]) -> &mut Cellar {
        let mut draft = self.prepare(verb, pairs).unwrap().draft;
        let begun = draft.new_things.clone();
        let base = self
            .snapshot
            .things
            .keys()
            .map(|it| it.0)
            .max()
            .unwrap_or(100);
        let real = |key: Key| if key.0 < 0 { Key(base - key.0) } else { key };
        settle(&mut draft, real);
        for (at, sort) in (1..).zip(begun) {
            let key = Key(base + at);
            let uid = Uuid::from_u128(key.0 as u128);
            self.snapshot.things.insert(
                key,
                Thing {
                    key,
                    uid,
                    sort,
                    attributes: Attributes::default(),
                }
                .into(),
            );
        }
        for change in &draft.changes {
            let thing = self.snapshot.things.get_mut(&change.thing).unwrap();
            Arc::make_mut(thing)
                .attributes
                .insert(change.field.clone(), change.value.clone().unwrap());
        }
        self.entries += 1;
        let entry = Entry {
            key: Key(self.entries),
            stands: self.entries,
            uid: Uuid::nil(),
            recorded_ms: 0,
            draft,
            voided_by: None,
        };
        let mut ledger = Ledger {
            things: self.snapshot.things.clone(),
            states: self
                .snapshot
                .states
                .iter()
                .map(|(key, it)| (*key, State::clone(it)))
                .collect(),
        };
        let outcome = ledger.apply(&entry);
        assert_eq!(outcome.findings, [], "{verb}");
        let states = ledger.states.into_iter();
        self.snapshot.states = states.map(|(key, it)| (key, it.into())).collect();
        self
    }

    /// The verb says that it will do this.
    fn check(&self, verb: &str, pairs: &[(&str, &str)], sentence: &str) {
        let said = self
            .prepare(verb, pairs)
            .map_or_else(|it| format!("refused: {it}"), |it| it.sentence);
        assert_eq!(said, sentence);
    }

    fn check_asks(&self, verb: &str, pairs: &[(&str, &str)], asks: &[&str]) {
        assert_eq!(self.prepare(verb, pairs).unwrap().asks, asks);
    }

    /// Told back as what would be typed for it, it is the same verb and the same entry.
    fn check_again(&self, verb: &str, pairs: &[(&str, &str)]) {
        let entry = Entry {
            key: Key(900),
            stands: 900,
            uid: Uuid::nil(),
            recorded_ms: 0,
            draft: self.prepare(verb, pairs).unwrap().draft,
            voided_by: None,
        };
        let (found, typed) = again(&entry, &self.snapshot).unwrap();
        assert_eq!(found.name, verb);
        let again: Vec<(&str, &str)> = typed
            .iter()
            .filter(|it| it.0 != "at")
            .map(|(key, text)| (key.as_str(), text.as_str()))
            .collect();
        let same = self.prepare(verb, &again).unwrap().draft;
        assert_eq!(same, entry.draft, "{pairs:?}: {again:?}");
    }

    /// These places hold these litres.
    fn holds(&self, expected: &[(&str, f64)]) {
        for (name, litres) in expected {
            let place = self.snapshot.find(Sort::Vessel, name).unwrap().key;
            let held = self
                .snapshot
                .wine(place)
                .map(|it| it.volume)
                .unwrap_or_default();
            assert_eq!(held, Volume::litres(*litres), "{name}");
        }
    }
}

fn settle(draft: &mut Draft, real: impl Fn(Key) -> Key) {
    draft.subject = draft.subject.map(&real);
    for it in &mut draft.changes {
        it.thing = real(it.thing);
    }
    for it in &mut draft.movements {
        (it.from, it.to, it.batch) = (real(it.from), real(it.to), it.batch.map(&real));
    }
    for it in &mut draft.bottles {
        it.run = real(it.run);
    }
    for it in &mut draft.supplies {
        it.lot = real(it.lot);
    }
}

fn with_must() -> Cellar {
    let mut cellar = Cellar::new();
    cellar
        .write("vessel add", &[("name", "Bucket"), ("mark", "30 L")])
        .write(
            "vessel add",
            &[("name", "Carboy A"), ("mark", "23 L"), ("brim", "23.4 L")],
        )
        .write("vessel add", &[("name", "Demijohn 1"), ("mark", "4.5 L")])
        .write("vessel add", &[("name", "Jug"), ("mark", "2 L")])
        .write(
            "receive",
            &[
                ("into", "Bucket"),
                ("amount", "25 L"),
                ("batch", "Damson 26"),
                ("gravity", "1.085"),
            ],
        );
    cellar
}

#[test]
fn every_field_has_a_name_of_its_own_in_its_verb() {
    for verb in VERBS {
        let mut keys: Vec<&str> = verb.fields.iter().chain(COMMON).map(|it| it.key).collect();
        let all = keys.len();
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), all, "{}", verb.name);
        let required = verb
            .fields
            .iter()
            .take_while(|it| it.need == Need::Required)
            .count();
        assert!(required <= 2, "{} asks too much", verb.name);
        let later = verb
            .fields
            .iter()
            .skip(required)
            .any(|it| it.need == Need::Required);
        assert!(
            !later,
            "{} asks for something after what may be left out",
            verb.name
        );
    }
}

#[test]
fn names_of_verbs_are_told_apart() {
    let mut names: Vec<&str> = VERBS.iter().map(|it| it.name).collect();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), VERBS.len());
}
