//! What a store remembers of the file between two questions, so that a key pressed in a large cellar
//! does not read it all again.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use rusqlite::{Connection, OptionalExtension, named_params};

use crate::cellar::shared::Shared;
use crate::cellar::state::State;
use crate::cellar::thing::{Key, Things};

use super::columns::{Columns, from_json};
use super::{Store, StoreError, things};

/// Everything living and what each place last held, as of one version of the file. A copy shares all
/// with the one it was made of until it is changed.
#[derive(Clone, Debug)]
pub(super) struct Memory {
    version: i64,
    /// Living things, accounts aside.
    pub(super) things: Things,
    /// What things were called that live no longer.
    pub(super) gone: Arc<BTreeMap<Key, String>>,
    /// What each place holds since its last entry.
    pub(super) states: Shared<State>,
    /// When the last entry of each place happened, UTC ms.
    pub(super) since: Arc<BTreeMap<Key, i64>>,
    /// None of those is later.
    pub(super) newest_ms: i64,
}

impl Store {
    /// What is remembered, or is read anew if somebody has written since. To be asked inside a
    /// transaction, so that it stays true for as long as that lasts. A copy that was changed is given
    /// back with [`Store::remember`] once the change is in the file.
    pub(super) fn recall(&self) -> Result<Memory, StoreError> {
        let version = self.data_version()?;
        let mut kept = self.memory.borrow_mut();
        if let Some(memory) = kept.as_ref().filter(|it| it.version == version) {
            return Ok(memory.clone());
        }
        // What was true before is let go first: both would not be needed at once.
        *kept = None;
        let memory = Memory::read(&self.conn, version)?;
        Ok(kept.insert(memory).clone())
    }

    /// Keeps it. The version stands: what this connection writes itself does not change it.
    pub(super) fn remember(&self, memory: Memory) {
        self.memory.replace(Some(memory));
    }
}

/// When the last entry of a place happened, UTC ms, and what it holds since.
type Last = (i64, Option<Arc<State>>);

impl Memory {
    fn read(conn: &Connection, version: i64) -> rusqlite::Result<Memory> {
        let (mut states, mut since) = (BTreeMap::new(), BTreeMap::new());
        let mut select = conn.prepare_cached("SELECT place, when_ms, state FROM latest")?;
        let mut rows = select.query([])?;
        while let Some(row) = rows.next()? {
            let mut columns = Columns::of(row);
            let place = columns.get()?;
            let (when_ms, state) = last_of(&mut columns)?;
            since.insert(place, when_ms);
            states.extend(state.map(|it| (place, it)));
        }
        let things = things::all(conn)?;
        Ok(Memory {
            version,
            gone: Arc::new(things::gone(conn, &things)?),
            things,
            newest_ms: since.values().copied().max().unwrap_or(i64::MIN),
            states: states.into_iter().collect(),
            since: Arc::new(since),
        })
    }

    /// Reads again what those are called that live no longer.
    pub(super) fn rename(
        &mut self,
        conn: &Connection,
        touched: &BTreeSet<Key>,
    ) -> rusqlite::Result<()> {
        for thing in touched {
            if self.things.contains_key(thing) {
                if self.gone.contains_key(thing) {
                    Arc::make_mut(&mut self.gone).remove(thing);
                }
            } else {
                let name = things::last_name(conn, *thing)?;
                if !name.is_empty() {
                    Arc::make_mut(&mut self.gone).insert(*thing, name);
                }
            }
        }
        Ok(())
    }

    /// Reads again what places last held.
    pub(super) fn reread(
        &mut self,
        conn: &Connection,
        places: &BTreeSet<Key>,
    ) -> rusqlite::Result<()> {
        if places.is_empty() {
            return Ok(());
        }
        let since = Arc::make_mut(&mut self.since);
        let mut select =
            conn.prepare_cached("SELECT when_ms, state FROM latest WHERE place = :place")?;
        for place in places {
            let last = select
                .query_row(named_params! {":place": place.0}, |row| {
                    last_of(&mut Columns::of(row))
                })
                .optional()?;
            if let Some((when_ms, _)) = last {
                since.insert(*place, when_ms);
                self.newest_ms = self.newest_ms.max(when_ms);
            } else {
                since.remove(place);
            }
            match last.and_then(|(_, state)| state) {
                Some(state) => self.states.insert(*place, state),
                None => self.states.remove(place),
            };
        }
        Ok(())
    }
}

fn last_of(columns: &mut Columns) -> rusqlite::Result<Last> {
    let (when_ms, text) = (columns.get()?, columns.some_text()?);
    let state = text.map(from_json).transpose()?.map(Arc::new);
    Ok((when_ms, state))
}
