//! The cellar at a moment, as everything above the store reads it.

use std::collections::BTreeMap;
use std::sync::Arc;

use rusqlite::{OptionalExtension, named_params};

use crate::cellar::entry::Entry;
use crate::cellar::moment::Moment;
use crate::cellar::plan::{self, Progress};
use crate::cellar::shared::Shared;
use crate::cellar::snapshot::{PutOff, Settings, Snapshot};
use crate::cellar::state::{State, Stock};
use crate::cellar::thing::{CELLAR, Key, Sort};

use super::columns::{Columns, from_json};
use super::memory::Memory;
use super::read::{LIVING, SILENCE, silence_of};
use super::{Store, StoreError, open_ends};

impl Store {
    /// The settings, without reading the cellar around them.
    pub fn settings(&self) -> Result<Settings, StoreError> {
        let cellar = super::things::from_book(&self.conn, CELLAR)?;
        Ok(Settings::of(cellar.as_ref()))
    }

    /// The cellar at a moment: what happened up to then. Things are as they are known today.
    pub fn snapshot(&self, at: Moment) -> Result<Snapshot, StoreError> {
        self.snapshot_until(at, (at.utc_ms + 1, 0))
    }

    /// The cellar just before an entry, at its moment: what else is written of that moment may come before it.
    pub fn before(&self, entry: &Entry) -> Result<Snapshot, StoreError> {
        let at = entry.draft.when;
        self.snapshot_until(at, (at.utc_ms, entry.stands))
    }

    /// The cellar at a moment, with places as they were before the end.
    fn snapshot_until(&self, at: Moment, end: (i64, i64)) -> Result<Snapshot, StoreError> {
        // One transaction: what is read together is of one state of the file.
        let _whole = self.conn.unchecked_transaction()?;
        let memory = self.recall()?;
        let things = &memory.things;
        let mut snapshot = Snapshot {
            now: at,
            states: self.states(&memory, end)?,
            jobs: open_ends::jobs(&self.conn, at.utc_ms)?,
            silences: self.silences(at.utc_ms)?,
            jots: open_ends::jots(&self.conn, at.utc_ms)?,
            last_round_ms: self.last_round(at.utc_ms)?,
            filling: things.values().find(|it| it.is_filling()).map(|it| it.key),
            things: things.clone(),
            stays: self.stays(&memory, end)?,
            kept: None,
            gone: memory.gone.clone(),
        }
        .with_taken_over();
        let open = std::mem::take(&mut snapshot.jobs).into_iter();
        snapshot.jobs = open
            .filter(|it| plan::progress(it, &snapshot) != Progress::Done)
            .collect();
        Ok(snapshot)
    }

    /// What places held before a moment and where an entry stands among those of that moment. Where the last entry
    /// comes later, the one before it is sought.
    fn states(&self, memory: &Memory, end: (i64, i64)) -> rusqlite::Result<Shared<State>> {
        let mut states = memory.states.clone();
        if memory.newest_ms < end.0 {
            return Ok(states);
        }
        let mut select = self.conn.prepare_cached(
            "SELECT state FROM standing WHERE place = :place AND (when_ms, stands) < (:at_ms, :stands)
             ORDER BY when_ms DESC, stands DESC, entry DESC LIMIT 1",
        )?;
        for (place, _) in memory.since.iter().filter(|it| *it.1 >= end.0) {
            let end = named_params! {":place": place.0, ":at_ms": end.0, ":stands": end.1};
            let text: Option<Option<String>> =
                select.query_row(end, |row| row.get("state")).optional()?;
            match text.flatten().as_deref().map(from_json).transpose()? {
                Some(state) => states.insert(*place, Arc::new(state)),
                None => states.remove(place),
            };
        }
        Ok(states)
    }

    /// How little stays of each lot that something happens to from that end on, until it is counted.
    fn stays(&self, memory: &Memory, end: (i64, i64)) -> rusqlite::Result<BTreeMap<Key, i64>> {
        let mut stays = BTreeMap::new();
        let is_lot = |it: &Key| {
            memory
                .things
                .get(it)
                .is_some_and(|it| it.sort == Sort::Supply)
        };
        let later = memory.since.iter();
        for (lot, _) in later.filter(|(lot, since)| **since >= end.0 && is_lot(lot)) {
            let mut select = self.conn.prepare_cached(
                "SELECT state FROM standing WHERE place = :place AND (when_ms, stands) >= (:at_ms, :stands)
                 ORDER BY when_ms, stands, entry",
            )?;
            let mut rows =
                select.query(named_params! {":place": lot.0, ":at_ms": end.0, ":stands": end.1})?;
            while let Some(row) = rows.next()? {
                let text: Option<String> = row.get("state")?;
                let state = text.as_deref().map(from_json).transpose()?;
                let Some(State::Supply(Stock {
                    left: Some(left),
                    counted_ms,
                    ..
                })) = state
                else {
                    break;
                };
                // What was found then is there, whatever was taken before it.
                if counted_ms >= Some(end.0) {
                    break;
                }
                let least = stays.entry(*lot).or_insert(left.amount());
                *least = left.amount().min(*least);
            }
        }
        Ok(stays)
    }

    /// The `+` has them sorted after the index has found them, instead of all gone through in order.
    fn silences(&self, at_ms: i64) -> rusqlite::Result<Vec<PutOff>> {
        let sql = format!(
            "SELECT {SILENCE}, silence.entry, entry.when_ms, entry.offset_min, entry.note
             FROM silence JOIN entry ON entry.key = silence.entry
             WHERE ifnull(silence.until_ms, 9223372036854775807) > :at_ms
               AND entry.when_ms <= :at_ms AND {LIVING}
             ORDER BY +silence.entry, silence.seq"
        );
        let mut select = self.conn.prepare_cached(&sql)?;
        select
            .query_map(named_params! {":at_ms": at_ms}, |row| {
                let mut columns = Columns::of(row);
                Ok(PutOff {
                    silence: silence_of(&mut columns)?,
                    entry: columns.get()?,
                    said: columns.moment()?,
                    why: columns.get()?,
                })
            })?
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
