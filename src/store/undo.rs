//! Undoing: the entry written last is voided, and what it amended is entered again as it was.

use rusqlite::{Connection, named_params};

use crate::cellar::entry::{Draft, Entry};
use crate::cellar::thing::Key;

use super::columns::{key, some_key};
use super::read::{self, LIVING};
use super::taken_back::Begun;
use super::{Clock, Effects, Store, StoreError, Written};

impl Store {
    /// The newest entry that counts, by recording order: what undo takes back.
    pub fn newest_living(&self) -> Result<Option<Entry>, StoreError> {
        match newest_living(&self.conn)? {
            Some(at) => Ok(read::entry(&self.conn, at)?),
            None => Ok(None),
        }
    }

    /// The entry that comes back when that one is undone: the one that it amended.
    pub fn brought_back(&self, undone: &Entry) -> Result<Option<Entry>, StoreError> {
        let conn = &self.conn;
        let amended = match original(conn, undone)?.draft.amends {
            Some(amended) => read::entry(conn, amended)?,
            None => None,
        };
        Ok(amended.map(|it| original(conn, &it)).transpose()?)
    }

    /// Voids an entry, and brings back the one that it amended.
    pub fn undo(&mut self, entry: Key, clock: Clock) -> Result<Written, StoreError> {
        let drafts = self.undoing(entry, clock)?;
        self.append_all(&drafts, clock)
    }

    /// What undoing would change, or why it would be refused.
    pub fn preview_undo(&mut self, entry: Key, clock: Clock) -> Result<Effects, StoreError> {
        let drafts = self.undoing(entry, clock)?;
        self.preview(&drafts, clock)
    }

    fn undoing(&self, entry: Key, clock: Clock) -> Result<Vec<Draft>, StoreError> {
        let undone = read::entry(&self.conn, entry)?;
        let back = match undone.filter(Entry::is_living) {
            Some(it) => self.brought_back(&it)?,
            None => None,
        };
        let Some(back) = back else {
            return Ok(vec![self.void_of(entry, Begun::Gone, clock)?]);
        };
        let again = Draft {
            amends: Some(back.key),
            ..back.draft
        };
        Ok(vec![self.void_of(entry, Begun::TakenOver, clock)?, again])
    }
}

/// The entry that this one brought back, if it does: an amendment of it was undone, so that two entries
/// amend it. Otherwise itself.
fn original(conn: &Connection, entry: &Entry) -> rusqlite::Result<Entry> {
    let back = match entry.draft.amends {
        Some(amended) if is_brought_back(conn, amended, entry.key)? => read::entry(conn, amended)?,
        _ => None,
    };
    Ok(back.unwrap_or_else(|| entry.clone()))
}

fn is_brought_back(conn: &Connection, amended: Key, by: Key) -> rusqlite::Result<bool> {
    conn.prepare_cached("SELECT 1 FROM entry WHERE amends = :amended AND key < :by")?
        .exists(named_params! {":amended": amended.0, ":by": by.0})
}

/// The newest by recording order that counts and is no void itself. What was brought back stands where
/// it stood before.
fn newest_living(conn: &Connection) -> rusqlite::Result<Option<Key>> {
    let sql = format!(
        "SELECT key, amends FROM entry WHERE kind <> 'void' AND {LIVING} ORDER BY key DESC"
    );
    let mut select = conn.prepare_cached(&sql)?;
    let mut rows = select.query([])?;
    let mut newest: Option<(Key, Key)> = None;
    while let Some(row) = rows.next()? {
        let (at, amended) = (key(row, "key")?, some_key(row, "amends")?);
        if newest.is_some_and(|it| it.0 > at) {
            break;
        }
        let stands = match amended {
            Some(amended) if is_brought_back(conn, amended, at)? => amended,
            _ => at,
        };
        newest = newest.max(Some((stands, at)));
    }
    Ok(newest.map(|it| it.1))
}
