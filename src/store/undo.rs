//! Undoing: the entry written last is voided, and what it amended is entered again as it was; of a void, what it
//! voided is.

use rusqlite::{Connection, named_params};

use crate::cellar::entry::{Draft, Entry};
use crate::cellar::thing::Key;

use super::read::{self, LIVING};
use super::taken_back::Begun;
use super::{Clock, Effects, Store, StoreError, Written};

/// Noted with a void by which an entry was undone: undo goes on with what came before that, and does not bring it
/// back. What is to be brought back was voided by its number.
const UNDONE: &str = "undone";

impl Store {
    /// The newest entry that counts, by recording order, or the void of one by its number: what undo takes back.
    pub fn newest_living(&self) -> Result<Option<Entry>, StoreError> {
        match newest_living(&self.conn)? {
            Some(at) => Ok(read::entry(&self.conn, at)?),
            None => Ok(None),
        }
    }

    /// The entry that comes back when that one is undone: the one that it amended, or voided.
    pub fn brought_back(&self, undone: &Entry) -> Result<Option<Entry>, StoreError> {
        let conn = &self.conn;
        if let Some(voided) = undone.draft.voids {
            return Ok(read::entry(conn, voided)?);
        }
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
        let is_void = undone.as_ref().is_some_and(|it| it.draft.voids.is_some());
        let back = match undone.filter(Entry::is_living) {
            Some(it) => self.brought_back(&it)?,
            None => None,
        };
        let Some(back) = back else {
            return Ok(vec![self.undone(entry, Begun::Gone, clock)?]);
        };
        let again = Draft {
            amends: Some(back.key),
            restores: true,
            ..back.draft
        };
        if is_void {
            return Ok(vec![again]);
        }
        Ok(vec![self.undone(entry, Begun::TakenOver, clock)?, again])
    }

    fn undone(&self, entry: Key, begun: Begun, clock: Clock) -> Result<Draft, StoreError> {
        Ok(Draft {
            note: UNDONE.to_owned(),
            ..self.void_of(entry, begun, clock)?
        })
    }
}

/// The entry that this one brought back, if it does. Otherwise itself.
fn original(conn: &Connection, entry: &Entry) -> rusqlite::Result<Entry> {
    let back = match entry.draft.amends {
        Some(amended) if is_brought_back(conn, amended, entry.key)? => read::entry(conn, amended)?,
        _ => None,
    };
    Ok(back.unwrap_or_else(|| entry.clone()))
}

/// Whether the entry that amends that one brought it back. Of entries from before that was written down: an amendment
/// of it was undone, so that two entries amend it, or its void, so that the one that amends it says what it said.
fn is_brought_back(conn: &Connection, amended: Key, by: Key) -> rusqlite::Result<bool> {
    let restores: Option<bool> = conn
        .prepare_cached("SELECT restores FROM entry WHERE key = :by")?
        .query_row(named_params! {":by": by.0}, |row| row.get("restores"))?;
    if let Some(restores) = restores {
        return Ok(restores);
    }
    let before = conn
        .prepare_cached("SELECT 1 FROM entry WHERE amends = :amended AND key < :by")?
        .exists(named_params! {":amended": amended.0, ":by": by.0})?;
    if before {
        return Ok(true);
    }
    let (was, is) = (read::entry(conn, amended)?, read::entry(conn, by)?);
    Ok(was.zip(is).is_some_and(|(was, is)| says(&was) == says(&is)))
}

/// What an entry says, wherever in the book it stands.
fn says(entry: &Entry) -> Draft {
    let mut draft = entry.draft.clone();
    draft.amends = None;
    for job in &mut draft.jobs {
        job.key = Key(0);
    }
    draft
}

/// The newest by recording order that counts, or that voided one by its number. What was brought back stands where
/// it stood before.
fn newest_living(conn: &Connection) -> rusqlite::Result<Option<Key>> {
    // A void that is half of an amendment, or was taken back, has an entry after it that amends what it voided.
    let sql = format!(
        "SELECT key, amends FROM entry
         WHERE {LIVING} AND (kind <> 'void' OR note <> :undone AND NOT EXISTS (
             SELECT 1 FROM entry AS again WHERE again.amends = entry.voids AND again.key > entry.key))
         ORDER BY key DESC"
    );
    let mut select = conn.prepare_cached(&sql)?;
    let mut rows = select.query(named_params! {":undone": UNDONE})?;
    let mut newest: Option<(Key, Key)> = None;
    while let Some(row) = rows.next()? {
        let (at, amended) = (row.get("key")?, row.get("amends")?);
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
