//! What the book refuses, as sentences with the number and the way out.

use rusqlite::Connection;

use crate::cellar::amount::{Mass, Volume};
use crate::cellar::entry::Entry;
use crate::cellar::fold::{Fault, Finding};
use crate::cellar::thing::{Account, Key, Things, field};

use super::pointing::Pointing;
use super::{StoreError, read};

/// The entry's date and kind, as in `the entry of 12 Oct 2026 (racked)`.
pub(super) fn the_entry(entry: &Entry) -> String {
    format!(
        "the entry of {} ({})",
        entry.draft.when.day_words(),
        entry.draft.kind.label()
    )
}

/// The name of a thing, or what it is if it has none.
pub(super) fn name(things: &Things, key: Key) -> String {
    if let Some(account) = Account::from_key(key) {
        return account.word().to_owned();
    }
    match things.get(&key) {
        Some(thing) if !thing.name().is_empty() => thing.name().to_owned(),
        Some(thing) => format!("the {} without a name", thing.sort.word()),
        None => "a thing that is no more".to_owned(),
    }
}

/// Why an entry is refused: the first rule broken, and by which entry if that is a later one.
pub(super) fn broken(
    conn: &Connection,
    things: &Things,
    finding: &Finding,
    fresh: &[Key],
) -> Result<String, StoreError> {
    let Some(entry) = read::entry(conn, finding.entry)? else {
        return Ok(fault(things, finding, "then"));
    };
    if fresh.contains(&finding.entry) {
        let day = format!("on {}", entry.draft.when.day_words());
        return Ok(fault(things, finding, &day));
    }
    Ok(format!(
        "{} would no longer hold: {}",
        the_entry(&entry),
        fault(things, finding, "then")
    ))
}

/// The rule broken, the numbers and the way out. `then` says when.
pub(super) fn fault(things: &Things, finding: &Finding, then: &str) -> String {
    let place = name(things, finding.place);
    match finding.fault {
        Fault::BelowZero { held, taken } => {
            let (held, taken) = apart(held, taken);
            format!(
                "{place} holds {held} {then} and {taken} is taken from it; take less, or first say that more was in it (adjust) or that some went elsewhere."
            )
        }
        Fault::OverBrim { would_hold, brim } => {
            let (would_hold, brim) = apart(would_hold, brim);
            format!(
                "{place} would hold {would_hold} {then} and its measured brim is {brim}; put less in, say that some went elsewhere, or set the brim."
            )
        }
        Fault::Empty => format!(
            "{place} holds nothing {then}; say first what was in it (here, receive), or give another date or vessel."
        ),
        Fault::BottlesShort { held, taken } => format!(
            "{place} has {held} bottles at that place {then} and {taken} are taken from there; take fewer, or say first where the others are."
        ),
        Fault::SupplyShort { held, used } => {
            let unit = things
                .get(&finding.place)
                .map_or("", |it| it.text(field::UNIT));
            let amount = |it: i64| match unit {
                "ug" => Mass(it).to_string(),
                "ul" => Volume(it).to_string(),
                _ => it.to_string(),
            };
            format!(
                "of {place} there is {} {then} and {} is used; use less, or say first what was bought or found (buy, stock take).",
                amount(held),
                amount(used)
            )
        }
    }
}

/// Two volumes with as many digits as it takes to tell them apart.
fn apart(one: Volume, other: Volume) -> (String, String) {
    let short = (one.to_string(), other.to_string());
    if short.0 != short.1 {
        return short;
    }
    let long = |it: Volume| format!("{:.6} L", it.in_litres());
    (long(one), long(other))
}

/// Why an entry cannot be voided yet.
pub(super) fn pointed_at(
    conn: &Connection,
    things_before: &Things,
    entry: &Entry,
    by: Key,
    how: Pointing,
) -> Result<StoreError, StoreError> {
    let by = match read::entry(conn, by)? {
        Some(by) => the_entry(&by),
        None => "a later entry".to_owned(),
    };
    let (why, out) = match how {
        Pointing::Uses(thing) => (
            format!(
                "{by} speaks of {}, which began with it",
                name(things_before, thing)
            ),
            "void that one first, or amend this one",
        ),
        Pointing::Closes => (
            format!("{by} closes a job that it set"),
            "void that one first",
        ),
        Pointing::MadeFrom => (format!("{by} was made from it"), "void that one first"),
    };
    Ok(StoreError::Refused(format!(
        "{} cannot be voided while {why}; {out}.",
        the_entry(entry)
    )))
}
