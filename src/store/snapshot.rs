//! The cellar at a moment, as everything above the store reads it.

use std::collections::BTreeMap;

use rusqlite::{OptionalExtension, named_params};

use crate::cellar::entry::Silence;
use crate::cellar::moment::Moment;
use crate::cellar::snapshot::{Settings, Snapshot};
use crate::cellar::state::State;
use crate::cellar::thing::{CELLAR, Key};

use super::columns::{from_json, key};
use super::read::{LIVING, silence_of};
use super::{Store, StoreError, open_ends};

impl Store {
    /// The settings, without reading the cellar around them.
    pub fn settings(&self) -> Result<Settings, StoreError> {
        let cellar = super::things::from_book(&self.conn, CELLAR)?;
        Ok(Settings::of(cellar.as_ref()))
    }

    /// The cellar at a moment: what happened up to then. Things are as they are known today.
    pub fn snapshot(&self, at: Moment) -> Result<Snapshot, StoreError> {
        // One transaction: what is read together is of one state of the file.
        let _whole = self.conn.unchecked_transaction()?;
        let things = self.take_things()?;
        let snapshot = Snapshot {
            now: at,
            states: self.states(at.utc_ms)?,
            jobs: open_ends::jobs(&self.conn, at.utc_ms)?,
            silences: self.silences(at.utc_ms)?,
            jots: open_ends::jots(&self.conn, at.utc_ms)?,
            last_round_ms: self.last_round(at.utc_ms)?,
            filling: things.values().find(|it| it.is_filling()).map(|it| it.key),
            things: things.clone(),
        };
        self.keep_things(things)?;
        Ok(snapshot)
    }

    fn states(&self, at_ms: i64) -> rusqlite::Result<BTreeMap<Key, State>> {
        // Only where the last entry is still to come at that moment, the one before it is sought.
        let mut select = self.conn.prepare_cached(
            "SELECT place, CASE WHEN when_ms <= :at_ms THEN state ELSE (
                 SELECT standing.state FROM standing
                 WHERE standing.place = latest.place AND standing.when_ms <= :at_ms
                 ORDER BY standing.when_ms DESC, standing.entry DESC LIMIT 1) END AS state
             FROM latest",
        )?;
        let mut rows = select.query(named_params! {":at_ms": at_ms})?;
        let mut states = BTreeMap::new();
        while let Some(row) = rows.next()? {
            if let Some(text) = row.get_ref("state")?.as_str_or_null()? {
                states.insert(key(row, "place")?, from_json(text)?);
            }
        }
        Ok(states)
    }

    fn silences(&self, at_ms: i64) -> rusqlite::Result<Vec<Silence>> {
        let sql = format!(
            "SELECT silence.* FROM silence JOIN entry ON entry.key = silence.entry
             WHERE (silence.until_ms IS NULL OR silence.until_ms > :at_ms)
               AND entry.when_ms <= :at_ms AND {LIVING}
             ORDER BY silence.entry, silence.seq"
        );
        let mut select = self.conn.prepare_cached(&sql)?;
        select
            .query_map(named_params! {":at_ms": at_ms}, silence_of)?
            .collect()
    }

    fn last_round(&self, at_ms: i64) -> rusqlite::Result<Option<i64>> {
        let sql = format!(
            "SELECT when_ms FROM entry WHERE kind = 'round' AND when_ms <= :at_ms AND {LIVING}
             ORDER BY when_ms DESC, key DESC LIMIT 1"
        );
        self.conn
            .prepare_cached(&sql)?
            .query_row(named_params! {":at_ms": at_ms}, |row| row.get("when_ms"))
            .optional()
    }
}
