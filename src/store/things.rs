//! Things and their attributes: the last living change of each, whenever it was dated.

use std::collections::BTreeMap;
use std::sync::Arc;

use rusqlite::{Connection, OptionalExtension, named_params};
use uuid::Uuid;

use crate::cellar::attributes::Attributes;
use crate::cellar::entry::Entry;
use crate::cellar::thing::{CELLAR, Key, Sort, Thing, Things, Value, field::NAME};

use super::columns::{Columns, from_json, to_json, value_of};
use super::read::{LIVING, STANDS};

/// Every living thing, accounts aside, as the projection has them.
pub(super) fn all(conn: &Connection) -> rusqlite::Result<Things> {
    let mut select = conn.prepare_cached(
        "SELECT thing.key, thing.uid, thing.sort, present.attributes
         FROM present JOIN thing ON thing.key = present.thing ORDER BY thing.key",
    )?;
    select
        .query_map([], |row| {
            let mut columns = Columns::of(row);
            let thing = Thing {
                key: columns.get()?,
                uid: Uuid::from_bytes(columns.get()?),
                sort: columns.word(Sort::from_word)?,
                attributes: from_json(columns.text()?)?,
            };
            Ok((thing.key, Arc::new(thing)))
        })?
        .collect()
}

/// One thing from the book itself; `None` if no living entry begins it.
pub(super) fn from_book(conn: &Connection, at: Key) -> rusqlite::Result<Option<Thing>> {
    let sql = format!(
        "SELECT uid, sort FROM thing WHERE key = :thing AND (
             sort = 'cellar'
             OR EXISTS (SELECT 1 FROM begun JOIN entry ON entry.key = begun.entry
                        WHERE begun.thing = thing.key AND {LIVING}))"
    );
    let thing = conn
        .prepare_cached(&sql)?
        .query_row(named_params! {":thing": at.0}, |row| {
            let mut columns = Columns::of(row);
            Ok(Thing {
                key: at,
                uid: Uuid::from_bytes(columns.get()?),
                sort: columns.word(Sort::from_word)?,
                attributes: Attributes::default(),
            })
        })
        .optional()?;
    let Some(mut thing) = thing else {
        return Ok(None);
    };
    let sql = format!(
        "SELECT change.field, change.value FROM change JOIN entry ON entry.key = change.entry
         WHERE change.thing = :thing AND {LIVING}
         ORDER BY entry.when_ms, {STANDS}, entry.key, change.seq"
    );
    let mut select = conn.prepare_cached(&sql)?;
    let mut rows = select.query(named_params! {":thing": at.0})?;
    while let Some(row) = rows.next()? {
        let mut columns = Columns::of(row);
        let field: String = columns.get()?;
        match value_of(&mut columns)? {
            Some(value) => thing.attributes.insert(field, value),
            None => thing.attributes.remove(&field),
        }
    }
    Ok(Some(thing))
}

/// What an attribute of a thing was just before an entry.
pub(super) fn before(
    conn: &Connection,
    (thing, field): (Key, &str),
    entry: &Entry,
) -> rusqlite::Result<Option<Value>> {
    let sql = format!(
        "SELECT change.value FROM change JOIN entry ON entry.key = change.entry
         WHERE change.thing = :thing AND change.field = :field AND {LIVING}
             AND (entry.when_ms, {STANDS}) < (:when_ms, :stands)
         ORDER BY entry.when_ms DESC, {STANDS} DESC, entry.key DESC, change.seq DESC LIMIT 1"
    );
    let value = conn.prepare_cached(&sql)?.query_row(
        named_params! {
            ":thing": thing.0,
            ":field": field,
            ":when_ms": entry.draft.when.utc_ms,
            ":stands": entry.stands,
        },
        |row| value_of(&mut Columns::of(row)),
    );
    Ok(value.optional()?.flatten())
}

/// What all things were called that live no longer: a few among all that there ever were.
pub(super) fn gone(conn: &Connection, living: &Things) -> rusqlite::Result<BTreeMap<Key, String>> {
    let last: i64 = conn
        .prepare_cached("SELECT max(key) FROM thing")?
        .query_row([], |row| row.get(0))?;
    let keys = (CELLAR.0 + 1..=last).map(Key);
    let mut gone = BTreeMap::new();
    for key in keys.filter(|it| !living.contains_key(it)) {
        gone.insert(key, last_name(conn, key)?);
    }
    gone.retain(|_, name| !name.is_empty());
    Ok(gone)
}

/// What a thing that no longer lives was called.
pub(super) fn last_name(conn: &Connection, at: Key) -> rusqlite::Result<String> {
    let name = conn
        .prepare_cached(
            "SELECT value FROM change WHERE thing = :thing AND field = :name AND value IS NOT NULL
             ORDER BY entry DESC, seq DESC LIMIT 1",
        )?
        .query_row(named_params! {":thing": at.0, ":name": NAME}, |row| {
            row.get(0)
        });
    Ok(name.optional()?.unwrap_or_default())
}

/// Brings the projection of one thing up to date with the book, here and in the file, and gives
/// what it was before.
pub(super) fn refresh(
    conn: &Connection,
    things: &mut Things,
    at: Key,
) -> rusqlite::Result<Option<Arc<Thing>>> {
    let now = from_book(conn, at)?;
    let before = things.get(&at).cloned();
    if now.as_ref() == before.as_deref() {
        return Ok(before);
    }
    if let Some(thing) = now {
        conn.prepare_cached(
            "INSERT INTO present (thing, attributes) VALUES (:thing, :attributes)
                 ON CONFLICT (thing) DO UPDATE SET attributes = :attributes",
        )?
        .execute(named_params! {
            ":thing": at.0, ":attributes": to_json(&thing.attributes)?,
        })?;
        things.insert(at, Arc::new(thing));
    } else {
        conn.prepare_cached("DELETE FROM present WHERE thing = :thing")?
            .execute(named_params! {":thing": at.0})?;
        things.remove(&at);
    }
    Ok(before)
}

/// The attributes that the fold reads; a change of one refolds what is said of the thing.
pub(super) fn read_by_fold(thing: Option<&Thing>) -> [Option<&Value>; 6] {
    use crate::cellar::thing::field::{BRIM, CLOSURE, HELD_BATCH, HELD_SINCE, KIND, MARK};
    [BRIM, MARK, KIND, CLOSURE, HELD_SINCE, HELD_BATCH].map(|it| thing?.attributes.get(it))
}
