//! Living entries that point at an entry, which therefore cannot be voided before them.

use rusqlite::{Connection, OptionalExtension, named_params};

use crate::cellar::thing::Key;

use super::read::LIVING;

/// How a later entry points at an earlier one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Pointing {
    /// It speaks of a thing that the earlier one began.
    Uses(Key),
    /// It closes a job that the earlier one set.
    Closes,
    /// It was made from that jot.
    MadeFrom,
}

/// The first living entry that points at `at`, which is itself no longer living.
pub(super) fn first(
    conn: &Connection,
    at: Key,
    begun: &[Key],
) -> rusqlite::Result<Option<(Key, Pointing)>> {
    for thing in begun {
        // An entry that amends this one has taken the thing over.
        if super::things::from_book(conn, *thing)?.is_some() {
            continue;
        }
        // A void says at most what its rack was called, and that goes with the rack.
        let uses = format!(
            "SELECT entry.key FROM mention JOIN entry ON entry.key = mention.entry
             WHERE mention.thing = :at AND entry.kind <> 'void' AND {LIVING} ORDER BY mention.when_ms, mention.entry LIMIT 1"
        );
        if let Some(by) = one(conn, &uses, *thing)? {
            return Ok(Some((by, Pointing::Uses(*thing))));
        }
    }
    let closes = format!(
        "SELECT entry.key FROM job JOIN job_closed ON job_closed.job = job.key
         JOIN entry ON entry.key = job_closed.entry
         WHERE job.entry = :at AND {LIVING} ORDER BY entry.key LIMIT 1"
    );
    if let Some(by) = one(conn, &closes, at)? {
        return Ok(Some((by, Pointing::Closes)));
    }
    let made =
        format!("SELECT key FROM entry WHERE from_jot = :at AND {LIVING} ORDER BY key LIMIT 1");
    Ok(one(conn, &made, at)?.map(|by| (by, Pointing::MadeFrom)))
}

fn one(conn: &Connection, sql: &str, at: Key) -> rusqlite::Result<Option<Key>> {
    conn.prepare_cached(sql)?
        .query_row(named_params! {":at": at.0}, |row| row.get("key"))
        .optional()
}
