//! An entry of the book with all that hangs on it.

use std::collections::BTreeMap;

use serde_json::{Value, json};
use uuid::Uuid;

use super::wine::found;
use super::{Object, reference, time};
use crate::cellar::entry::{Draft, Due, Entry, Spot, SupplyChange};
use crate::cellar::fold::Flow;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::telling;
use crate::cellar::thing::Key;

/// Uids of entries by key, for entries that name each other.
pub type Uids = BTreeMap<Key, Uuid>;

/// An entry; `flows` are its movements as the fold resolved them. What is voided moved nothing,
/// whatever its sentence says.
pub fn entry(entry: &Entry, flows: &[Flow], cellar: &Snapshot, uids: &Uids) -> Value {
    let draft = &entry.draft;
    let other = |key: Option<Key>| json!(key.and_then(|it| uids.get(&it)).map(Uuid::to_string));
    let moved = if entry.is_living() { flows } else { &[] };
    let mut object = Object::default();
    object
        .put("number", entry.key.0)
        .put("uid", entry.uid.to_string())
        .put("when", draft.when.to_string())
        .put("recorded", time(entry.recorded_ms, cellar))
        .put("kind", draft.kind.word())
        .put("sentence", telling::sentence(draft, flows, cellar))
        .put("by", draft.by.clone())
        .put("note", draft.note.clone())
        .put(
            "subject",
            json!(draft.subject.map(|it| reference(it, cellar))),
        )
        .put("movements", movements(moved, cellar))
        .put("readings", readings(draft, cellar))
        .put("additions", additions(draft, cellar))
        .put("tastings", tastings(draft, cellar))
        .put("bottles", bottles(draft, cellar))
        .put("fillings", fillings(draft, cellar))
        .put("supplies", supplies(draft, cellar))
        .put("changes", changes(draft, cellar))
        .put("jobs", jobs(draft, cellar))
        .put("silences", silences(draft, cellar))
        .put("from_jot", other(draft.from_jot))
        .put("voids", other(draft.voids))
        .put("amends", other(draft.amends))
        .put("voided_by", other(entry.voided_by));
    object.value()
}

fn movements(flows: &[Flow], cellar: &Snapshot) -> Vec<Value> {
    let moved = flows.iter().map(|flow| {
        let makeup = flow.makeup.iter().map(|it| {
            let mut share = Object::default();
            share
                .put("batch", json!(it.batch.map(|it| reference(it, cellar))))
                .volume("volume", Some(it.volume));
            share.value()
        });
        let mut object = Object::default();
        object
            .put("from", reference(flow.from, cellar))
            .put("to", reference(flow.to, cellar))
            .volume("volume", Some(flow.volume))
            .put("make_up", makeup.collect::<Vec<_>>());
        object.value()
    });
    moved.collect()
}

fn readings(draft: &Draft, cellar: &Snapshot) -> Vec<Value> {
    let read = draft.readings.iter().map(|it| {
        let mut object = Object::default();
        object
            .put("place", reference(it.place, cellar))
            .put("property", it.property.word());
        found(&mut object, &it.found);
        object
            .put("typed", it.typed.clone())
            .put("instrument", it.instrument.clone())
            .put("rule", it.rule.clone());
        object.value()
    });
    read.collect()
}

fn additions(draft: &Draft, cellar: &Snapshot) -> Vec<Value> {
    let added = draft.additions.iter().map(|it| {
        // A calculation is JSON already; one that cannot be read is given back as it stands.
        let calculation = match it.calculation.as_str() {
            "" => Value::Null,
            text => serde_json::from_str(text).unwrap_or_else(|_| json!(text)),
        };
        let mut object = Object::default();
        object
            .put("place", reference(it.place, cellar))
            .put("substance", it.substance.clone())
            .dose("dose", it.dose)
            .put("so2_mg", it.so2.0 as f64 / 1e3)
            .put("lot", json!(it.lot.map(|it| reference(it, cellar))))
            .put("calculation", calculation);
        object.value()
    });
    added.collect()
}

fn tastings(draft: &Draft, cellar: &Snapshot) -> Vec<Value> {
    let tasted = draft.tastings.iter().map(|it| {
        json!({
            "place": reference(it.place, cellar),
            "words": it.words,
            "score": it.score,
            "sheet": it.sheet,
        })
    });
    tasted.collect()
}

fn bottles(draft: &Draft, cellar: &Snapshot) -> Vec<Value> {
    let spot = |spot: &Spot| match spot {
        Spot::Kept(kept) => json!({
            "posture": kept.posture.word(),
            "at": kept.at,
            "reserved": kept.reserved,
            "found": kept.found,
        }),
        Spot::Outside(account) => reference(*account, cellar),
    };
    let moved = draft.bottles.iter().map(|it| {
        json!({
            "run": reference(it.run, cellar),
            "size_ml": it.size_ml,
            "count": it.count,
            "from": spot(&it.from),
            "to": spot(&it.to),
            "about": it.about,
        })
    });
    moved.collect()
}

fn fillings(draft: &Draft, cellar: &Snapshot) -> Vec<Value> {
    let filled = draft.fillings.iter().map(|it| {
        json!({
            "sequence": it.sequence,
            "event": it.event.word(),
            "size_ml": it.size_ml,
            "count": it.count,
            "at": time(it.at_ms, cellar),
        })
    });
    filled.collect()
}

fn supplies(draft: &Draft, cellar: &Snapshot) -> Vec<Value> {
    let moved = draft.supplies.iter().map(|it| {
        let mut object = Object::default();
        object.put("lot", reference(it.lot, cellar));
        match it.change {
            SupplyChange::By(dose) => object.put("change", "by").dose("amount", Some(dose)),
            SupplyChange::Found(dose) => object.put("change", "found").dose("amount", Some(dose)),
            SupplyChange::Unknown => object.put("change", "unknown"),
        };
        object.value()
    });
    moved.collect()
}

fn changes(draft: &Draft, cellar: &Snapshot) -> Vec<Value> {
    let changed = draft.changes.iter().map(|it| {
        json!({
            "thing": reference(it.thing, cellar),
            "field": it.field,
            "value": it.value,
        })
    });
    changed.collect()
}

fn jobs(draft: &Draft, cellar: &Snapshot) -> Vec<Value> {
    let set = draft.jobs.iter().map(|it| {
        let (due, gravity) = match it.due {
            Due::On(at) => (Some(at), None),
            Due::AtGravity { gravity, latest_ms } => (latest_ms, Some(gravity)),
        };
        json!({
            "subject": reference(it.subject, cellar),
            "title": it.title,
            "due": due.map(|it| time(it, cellar)),
            "at_gravity_sg": gravity,
            "verb": it.verb,
        })
    });
    set.collect()
}

fn silences(draft: &Draft, cellar: &Snapshot) -> Vec<Value> {
    let silenced = draft.silences.iter().map(|it| {
        json!({
            "subject": reference(it.subject, cellar),
            "reason": it.reason,
            "until": it.until_ms.map(|it| time(it, cellar)),
        })
    });
    silenced.collect()
}
