//! What the book refuses, as sentences with the number and the way out.

use rusqlite::Connection;

use crate::cellar::entry::Entry;
use crate::cellar::fold::{Finding, name};
use crate::cellar::thing::{Key, Things};

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

/// Why an entry is refused: the first rule broken, and by which entry if that is a later one.
pub(super) fn broken(
    conn: &Connection,
    things: &Things,
    finding: &Finding,
    fresh: &[Key],
) -> Result<String, StoreError> {
    let Some(entry) = read::entry(conn, finding.entry)? else {
        return Ok(finding.sentence(things, "then"));
    };
    if fresh.contains(&finding.entry) {
        let day = format!("on {}", entry.draft.when.day_words());
        return Ok(finding.sentence(things, &day));
    }
    Ok(format!(
        "{} would no longer hold: {}",
        the_entry(&entry),
        finding.sentence(things, "then")
    ))
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
