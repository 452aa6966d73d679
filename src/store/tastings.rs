//! What was tasted, each with what was known of the wine then: the state of its place after the entry
//! is a row of the projection, so nothing is folded for it.

use rusqlite::{Row, named_params};

use crate::cellar::entry::Property;
use crate::cellar::state::{Deed, State};
use crate::cellar::tasting::Tasted;

use super::columns::{Columns, from_json};
use super::read::{TASTING, tasting_of};
use super::{Store, StoreError};

impl Store {
    /// The newest tastings that were not voided, newest first.
    pub fn tastings(&self, limit: usize) -> Result<Vec<Tasted>, StoreError> {
        let mut select = self.conn.prepare_cached(&format!(
            "SELECT tasting.entry, {TASTING}, entry.when_ms, entry.offset_min, standing.state,
                    (SELECT group_concat(job.title, '; ') FROM job WHERE job.entry = tasting.entry)
               FROM tasting
               JOIN entry ON entry.key = tasting.entry
               JOIN standing ON standing.entry = tasting.entry AND standing.place = tasting.place
              ORDER BY entry.when_ms DESC, entry.key DESC, tasting.seq
              LIMIT :limit"
        ))?;
        let limit = i64::try_from(limit).unwrap_or(i64::MAX);
        let rows = select.query_map(named_params! { ":limit": limit }, tasted)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// The words of the newest tastings that were not voided, newest first.
    pub fn tasting_words(&self, limit: usize) -> Result<Vec<String>, StoreError> {
        let mut select = self.conn.prepare_cached(
            "SELECT tasting.words
               FROM tasting
               JOIN entry ON entry.key = tasting.entry
               JOIN standing ON standing.entry = tasting.entry AND standing.place = tasting.place
              WHERE tasting.words != ''
              ORDER BY entry.when_ms DESC, entry.key DESC, tasting.seq
              LIMIT :limit",
        )?;
        let limit = i64::try_from(limit).unwrap_or(i64::MAX);
        let rows = select.query_map(named_params! { ":limit": limit }, |row| row.get(0))?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}

fn tasted(row: &Row) -> rusqlite::Result<Tasted> {
    let mut columns = Columns::of(row);
    let (entry, tasting) = (columns.get()?, tasting_of(&mut columns)?);
    let (when, state, act) = (columns.moment()?, columns.some_text()?, columns.get()?);
    let wine = match state.map(from_json::<State>).transpose()? {
        Some(State::Wine(wine)) => wine,
        _ => Box::default(),
    };
    let begun = [Deed::Begun, Deed::Pitched, Deed::Bottled];
    let begun = begun.iter().filter_map(|it| wine.when(*it)).min();
    let read = |property| {
        let found = &wine.known.get(&property)?.found;
        found.number().map(|_| found.clone())
    };
    Ok(Tasted {
        entry,
        when,
        batch: wine.main_batch(),
        tasting,
        act,
        free_so2: read(Property::FreeSo2),
        gravity: read(Property::Gravity),
        ph: read(Property::Ph),
        age_days: begun.map(|it| when.days_since(when.at(it))),
    })
}
