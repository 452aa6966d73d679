//! What a store remembers of the file between two questions, so that a key pressed in a large cellar
//! does not read it all again.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use rusqlite::{Connection, OptionalExtension, named_params};

use crate::cellar::state::State;
use crate::cellar::thing::{Key, Things};

use super::columns::{from_json, key};
use super::{Store, StoreError, things};

/// Everything living and what each place last held, as of one version of the file.
#[derive(Debug)]
pub(super) struct Memory {
    version: i64,
    /// Living things, accounts aside.
    pub(super) things: Things,
    /// The last row of each place.
    pub(super) latest: BTreeMap<Key, Latest>,
}

/// What a place holds since its last entry.
#[derive(Debug)]
pub(super) struct Latest {
    /// When that entry happened, UTC ms.
    pub(super) when_ms: i64,
    pub(super) state: Option<Arc<State>>,
}

impl Store {
    /// What is remembered, or is read anew if somebody has written since. It comes out of the store:
    /// who is done gives it back with [`Store::remember`], unless a transaction was given up. To be
    /// asked inside a transaction, so that it stays true for as long as that lasts.
    pub(super) fn recall(&self) -> Result<Memory, StoreError> {
        let version = self.data_version()?;
        match self.memory.take() {
            Some(memory) if memory.version == version => Ok(memory),
            _ => Ok(Memory {
                version,
                things: things::all(&self.conn)?,
                latest: all_latest(&self.conn)?,
            }),
        }
    }

    /// Keeps it. The version stands: what this connection writes itself does not change it.
    pub(super) fn remember(&self, memory: Memory) {
        self.memory.replace(Some(memory));
    }
}

impl Memory {
    /// Reads again what places last held, and gives what they held before.
    pub(super) fn reread(
        &mut self,
        conn: &Connection,
        places: &BTreeSet<Key>,
    ) -> rusqlite::Result<BTreeMap<Key, Latest>> {
        let mut before = BTreeMap::new();
        let mut select =
            conn.prepare_cached("SELECT when_ms, state FROM latest WHERE place = :place")?;
        for place in places {
            let latest = select
                .query_row(named_params! {":place": place.0}, latest_of)
                .optional()?;
            let was = match latest {
                Some(latest) => self.latest.insert(*place, latest),
                None => self.latest.remove(place),
            };
            before.extend(was.map(|it| (*place, it)));
        }
        Ok(before)
    }
}

fn all_latest(conn: &Connection) -> rusqlite::Result<BTreeMap<Key, Latest>> {
    let mut select = conn.prepare_cached("SELECT place, when_ms, state FROM latest")?;
    select
        .query_map([], |row| Ok((key(row, "place")?, latest_of(row)?)))?
        .collect()
}

fn latest_of(row: &rusqlite::Row) -> rusqlite::Result<Latest> {
    let text = row.get_ref("state")?.as_str_or_null()?;
    Ok(Latest {
        when_ms: row.get("when_ms")?,
        state: text.map(from_json).transpose()?.map(Arc::new),
    })
}
