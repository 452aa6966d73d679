//! The cellar file: the only SQL there is.
//!
//! The book is append-only; everything else in the file is derived from it by the one fold of
//! `cellar` and kept beside it, so that opening a cellar does not read its whole life. Every
//! writing transaction is immediate, refolds what it reaches, and is refused as a whole if the
//! fold breaks a rule that it did not break before.
//!
//! Reading order: the store and its errors, opening, appending and the rules for it, writing and
//! reading rows, the projection, what is read from it, checking and copies.

mod amend;
mod append;
mod backup;
mod check;
mod columns;
mod effects;
mod error;
mod fill;
mod list;
mod memory;
mod open;
mod open_ends;
mod pointing;
mod project;
mod read;
mod refusal;
mod rung;
mod slots;
mod snapshot;
mod taken_back;
mod tastings;
mod things;
mod undo;
mod without;
mod write;

use std::cell::RefCell;
use std::path::{Path, PathBuf};

use rusqlite::Connection;
use uuid::Uuid;

use crate::cellar::moment::Moment;
use crate::cellar::state::State;
use crate::cellar::thing::Key;

pub use error::StoreError;
pub use list::{Direction, Filter, Listed, Measured};

/// An open cellar file. One connection, one writer at a time.
#[derive(Debug)]
pub struct Store {
    conn: Connection,
    path: PathBuf,
    /// What was last read of it. Nobody else's commit goes unseen.
    memory: RefCell<Option<memory::Memory>>,
}

/// What time the program takes it to be; `--today` moves it. The book's `recorded_ms` does not
/// follow it: that is the real clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Clock {
    /// Now, UTC ms.
    pub now_ms: i64,
}

/// What was written, and what it changed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Written {
    /// The entries appended, in the order given.
    pub entries: Vec<Stamp>,
    /// What the book now says differently.
    pub effects: Effects,
}

impl Written {
    /// The key of the last entry appended; zero if none was.
    pub fn key(&self) -> Key {
        self.entries.last().map_or(Key(0), |it| it.key)
    }
}

/// The identity that an entry got.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stamp {
    /// Local key.
    pub key: Key,
    /// The same in every copy of the cellar.
    pub uid: Uuid,
    /// Keys of the things that began with it, in the order of the draft: `Key(-1)` became the first.
    pub things: Vec<Key>,
}

/// What a change to the book changes in what is where.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Effects {
    /// Places whose contents the book now gives differently, in fold order.
    pub shifts: Vec<Shift>,
    /// Entries already in the book whose figures merely change.
    pub recomputed: Vec<Key>,
    /// Bottles whose place is in that rack no more, though nobody moved them.
    pub strayed: Vec<Strayed>,
}

/// Bottles of a run whose place meant slots of a rack before a change of racks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Strayed {
    /// The run.
    pub run: Key,
    /// How many.
    pub count: i64,
    /// Where they lay, in words.
    pub were_at: String,
    /// The rack that their place means now, if any.
    pub now_in: Option<String>,
}

/// What a place holds right after a moment, without and with the change.
#[derive(Clone, Debug, PartialEq)]
pub struct Shift {
    /// The vessel, run or lot of supply.
    pub place: Key,
    /// What it is called; what it was called last, where the change leaves no such thing.
    pub name: String,
    /// The entry after which it differs.
    pub entry: Key,
    /// When that happened.
    pub when: Moment,
    /// As the book had it.
    pub before: Option<State>,
    /// As it has it with the change; the same where it differed for a while and does so no more.
    pub after: Option<State>,
}

impl Store {
    /// The file.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Changes whenever another program has written to the file; a cheap question to ask while idle.
    pub fn data_version(&self) -> Result<i64, StoreError> {
        Ok(self
            .conn
            .pragma_query_value(None, "data_version", |row| row.get(0))?)
    }
}

#[cfg(test)]
mod tests;
