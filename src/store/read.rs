//! Reading entries back, with all that hangs on them.

use std::collections::BTreeMap;

use rusqlite::types::Value as Sql;
use rusqlite::{Connection, Row, ToSql, named_params};
use uuid::Uuid;

use crate::cellar::amount::{Mass, Volume};
use crate::cellar::entry::{
    Addition, BottleMove, Change, Draft, Entry, FillEvent, Filling, Job, Kind, Movement, Property,
    Reading, Silence, SupplyMove, Tasting,
};
use crate::cellar::fold::Flow;
use crate::cellar::thing::{Key, Sort};

use super::columns::{
    Columns, amount_of, dose_of, due_of, found_of, from_json, spot_of, supply_of, to_json, value_of,
};

/// An entry that counts: `NOT EXISTS` over the small index of voids. `entry` is the table's name in
/// the query around it.
pub(super) const LIVING: &str =
    "NOT EXISTS (SELECT 1 FROM entry AS later WHERE later.voids = entry.key)";

/// Where an entry stands among those of its moment: in the place of what it was first written as, as an `ORDER BY` within
/// the moment.
pub(super) const STANDS: &str = "ifnull(entry.stands, entry.key)";

/// The entry of that key, if the book has it.
pub(super) fn entry(conn: &Connection, at: Key) -> rusqlite::Result<Option<Entry>> {
    Ok(entries(conn, &[at])?.pop())
}

/// Those entries in the order asked, by one query for each kind of part. Keys that lie close
/// together are read as a range, which SQLite walks along instead of seeking each.
pub(super) fn entries(conn: &Connection, keys: &[Key]) -> rusqlite::Result<Vec<Entry>> {
    let (Some(low), Some(high)) = (keys.iter().min(), keys.iter().max()) else {
        return Ok(Vec::new());
    };
    let (low, high) = (low.0, high.0);
    let listed = if high - low < 2 * keys.len() as i64 {
        Listed {
            conn,
            condition: "BETWEEN :low AND :high",
            bounds: vec![(":low", Sql::Integer(low)), (":high", Sql::Integer(high))],
        }
    } else {
        Listed {
            conn,
            condition: "IN (SELECT value FROM json_each(:keys))",
            bounds: vec![(":keys", Sql::Text(to_json(&keys)?))],
        }
    };
    let mut entries = listed.bare()?;
    if !entries.is_empty() {
        listed.hang_things(&mut entries)?;
        listed.hang_wine(&mut entries)?;
        listed.hang_bottles(&mut entries)?;
        listed.hang_jobs(&mut entries)?;
    }
    let mut found: BTreeMap<Key, Entry> = entries.into_iter().map(|it| (it.key, it)).collect();
    Ok(keys.iter().filter_map(|it| found.remove(it)).collect())
}

/// Every entry of the book, in fold order, so many at a time.
pub(super) fn in_order(
    conn: &Connection,
    mut each: impl FnMut(Vec<Entry>) -> rusqlite::Result<()>,
) -> rusqlite::Result<()> {
    let keys: Vec<Key> = conn
        .prepare(&format!(
            "SELECT key FROM entry ORDER BY when_ms, {STANDS}, key"
        ))?
        .query_map([], |row| row.get("key"))?
        .collect::<rusqlite::Result<_>>()?;
    for some in keys.chunks(250) {
        each(entries(conn, some)?)?;
    }
    Ok(())
}

fn entry_of(row: &Row) -> rusqlite::Result<Entry> {
    let mut columns = Columns::of(row);
    let key: Key = columns.get()?;
    let when = columns.moment()?;
    let mut draft = Draft::new(columns.word(Kind::from_word)?, when);
    draft.by = columns.get()?;
    draft.note = columns.get()?;
    draft.subject = columns.get()?;
    draft.voids = columns.get()?;
    draft.amends = columns.get()?;
    draft.restores = columns.get()?;
    draft.from_jot = columns.get()?;
    Ok(Entry {
        key,
        stands: columns.get()?,
        uid: Uuid::from_bytes(columns.get()?),
        recorded_ms: columns.get()?,
        draft,
        voided_by: columns.get()?,
    })
}

fn corrupt() -> rusqlite::Error {
    let code = rusqlite::ffi::Error::new(rusqlite::ffi::SQLITE_CORRUPT);
    rusqlite::Error::SqliteFailure(code, None)
}

/// Entries asked for, whose parts are to be hung on them.
struct Listed<'a> {
    conn: &'a Connection,
    /// Of an entry's key.
    condition: &'static str,
    /// What the condition compares it with.
    bounds: Vec<(&'static str, Sql)>,
}

impl Listed<'_> {
    fn bounds(&self) -> Vec<(&str, &dyn ToSql)> {
        let bounds = self.bounds.iter();
        bounds.map(|(name, it)| (*name, it as &dyn ToSql)).collect()
    }

    /// The entries without their parts, in order of key.
    fn bare(&self) -> rusqlite::Result<Vec<Entry>> {
        let mut select = self.conn.prepare_cached(&format!(
            "SELECT entry.key, entry.when_ms, entry.offset_min, entry.kind, entry.by_whom, entry.note,
                    entry.subject, entry.voids, entry.amends, ifnull(entry.restores, 0), entry.from_jot,
                    {STANDS}, entry.uid, entry.recorded_ms, later.key
             FROM entry LEFT JOIN entry AS later ON later.voids = entry.key
             WHERE entry.key {} ORDER BY entry.key",
            self.condition
        ))?;
        select
            .query_map(self.bounds().as_slice(), entry_of)?
            .collect()
    }

    /// Hangs each row of a query on the entry that its first column names. `{which}` stands for the
    /// condition; rows come in order of entry and sequence.
    fn hang<T>(
        &self,
        entries: &mut [Entry],
        sql: &str,
        part: impl Fn(&mut Columns) -> rusqlite::Result<T>,
        onto: impl Fn(&mut Draft) -> &mut Vec<T>,
    ) -> rusqlite::Result<()> {
        let sql = sql.replace("{which}", self.condition);
        let mut select = self.conn.prepare_cached(&sql)?;
        let mut rows = select.query(self.bounds().as_slice())?;
        let mut at = 0;
        while let Some(row) = rows.next()? {
            let mut columns = Columns::of(row);
            let owner: Key = columns.get()?;
            while entries.get(at).is_some_and(|it| it.key < owner) {
                at += 1;
            }
            // A row of an entry that is not there was put there by no program of ours.
            let entry = entries.get_mut(at).filter(|it| it.key == owner);
            let entry = entry.ok_or_else(corrupt)?;
            onto(&mut entry.draft).push(part(&mut columns)?);
        }
        Ok(())
    }

    fn hang_things(&self, entries: &mut [Entry]) -> rusqlite::Result<()> {
        self.hang(
            entries,
            "SELECT begun.entry, thing.sort FROM begun JOIN thing ON thing.key = begun.thing
             WHERE begun.entry {which} ORDER BY begun.entry, begun.seq",
            |columns| columns.word(Sort::from_word),
            |draft| &mut draft.new_things,
        )?;
        self.hang(
            entries,
            "SELECT entry, thing, field, value FROM change WHERE entry {which} ORDER BY entry, seq",
            |columns| {
                Ok(Change {
                    thing: columns.get()?,
                    field: columns.get()?,
                    value: value_of(columns)?,
                })
            },
            |draft| &mut draft.changes,
        )
    }

    fn hang_wine(&self, entries: &mut [Entry]) -> rusqlite::Result<()> {
        self.hang(
            entries,
            "SELECT entry, from_place, to_place, how, amount_ul, about, batch
             FROM movement WHERE entry {which} ORDER BY entry, seq",
            |columns| {
                Ok(Movement {
                    from: columns.get()?,
                    to: columns.get()?,
                    amount: amount_of(columns)?,
                    about: columns.get()?,
                    batch: columns.get()?,
                })
            },
            |draft| &mut draft.movements,
        )?;
        self.hang(
            entries,
            &format!(
                "SELECT entry, {READING} FROM reading WHERE entry {{which}} ORDER BY entry, seq"
            ),
            reading_of,
            |draft| &mut draft.readings,
        )?;
        self.hang(
            entries,
            "SELECT entry, place, substance, unit, dose, so2_ug, lot, calculation
             FROM addition WHERE entry {which} ORDER BY entry, seq",
            |columns| {
                Ok(Addition {
                    place: columns.get()?,
                    substance: columns.get()?,
                    dose: dose_of(columns)?,
                    so2: Mass(columns.get()?),
                    lot: columns.get()?,
                    calculation: columns.get()?,
                })
            },
            |draft| &mut draft.additions,
        )?;
        self.hang(
            entries,
            &format!(
                "SELECT entry, {TASTING} FROM tasting WHERE entry {{which}} ORDER BY entry, seq"
            ),
            tasting_of,
            |draft| &mut draft.tastings,
        )
    }

    fn hang_bottles(&self, entries: &mut [Entry]) -> rusqlite::Result<()> {
        self.hang(
            entries,
            "SELECT entry, run, size_ml, count, from_account, from_posture, from_at, from_reserved, from_found,
                    to_account, to_posture, to_at, to_reserved, to_found, about
             FROM bottle_move WHERE entry {which} ORDER BY entry, seq",
            |columns| {
                Ok(BottleMove {
                    run: columns.get()?,
                    size_ml: columns.get()?,
                    count: columns.get()?,
                    from: spot_of(columns)?,
                    to: spot_of(columns)?,
                    about: columns.get()?,
                })
            },
            |draft| &mut draft.bottles,
        )?;
        self.hang(
            entries,
            // Those counted in the entry itself, and the presses since, where no living entry says later from which vessel the
            // run is filled.
            "SELECT change.entry, sequence, event, size_ml, count, at_ms
             FROM change JOIN entry ON entry.key = change.entry JOIN filling ON filling.run = change.thing
             WHERE change.entry {which} AND change.field = 'vessel' AND entry.kind = 'bottle'
                 AND (counted_in = change.entry
                     OR counted_in IS NULL AND sequence > ifnull(
                         (SELECT max(own.sequence) FROM filling AS own
                          WHERE own.run = change.thing AND own.counted_in = change.entry), 0)
                     AND NOT EXISTS (
                         SELECT 1 FROM change AS other JOIN entry AS after ON after.key = other.entry
                         WHERE other.thing = change.thing AND other.field = 'vessel' AND after.kind = 'bottle'
                             AND (after.when_ms, ifnull(after.stands, after.key))
                                 > (entry.when_ms, ifnull(entry.stands, entry.key))
                             AND NOT EXISTS (SELECT 1 FROM entry AS later WHERE later.voids = after.key)))
             ORDER BY change.entry, sequence",
            |columns| {
                Ok(Filling {
                    sequence: columns.get()?,
                    event: columns.word(FillEvent::from_word)?,
                    size_ml: columns.get()?,
                    count: columns.get()?,
                    at_ms: columns.get()?,
                })
            },
            |draft| &mut draft.fillings,
        )?;
        self.hang(
            entries,
            "SELECT entry, lot, how, unit, dose FROM supply_move WHERE entry {which} ORDER BY entry, seq",
            |columns| {
                Ok(SupplyMove {
                    lot: columns.get()?,
                    change: supply_of(columns)?,
                })
            },
            |draft| &mut draft.supplies,
        )
    }

    fn hang_jobs(&self, entries: &mut [Entry]) -> rusqlite::Result<()> {
        self.hang(
            entries,
            &format!("SELECT entry, {JOB} FROM job WHERE entry {{which}} ORDER BY entry, seq"),
            job_of,
            |draft| &mut draft.jobs,
        )?;
        self.hang(
            entries,
            "SELECT entry, job FROM job_closed WHERE entry {which}
             ORDER BY entry, seq",
            |columns| Ok(Key(columns.get()?)),
            |draft| &mut draft.closes,
        )?;
        self.hang(
            entries,
            &format!(
                "SELECT entry, {SILENCE} FROM silence WHERE entry {{which}} ORDER BY entry, seq"
            ),
            silence_of,
            |draft| &mut draft.silences,
        )
    }
}

/// The columns that [`reading_of`] reads; those below stand before what reads them likewise.
pub(super) const READING: &str = "place, property, form, low, high, word, typed, instrument, rule";

pub(super) fn reading_of(columns: &mut Columns) -> rusqlite::Result<Reading> {
    Ok(Reading {
        place: columns.get()?,
        property: columns.word(Property::from_word)?,
        found: found_of(columns)?,
        typed: columns.get()?,
        instrument: columns.get()?,
        rule: columns.get()?,
    })
}

pub(super) const TASTING: &str = "tasting.place, words, score, sheet";

pub(super) fn tasting_of(columns: &mut Columns) -> rusqlite::Result<Tasting> {
    Ok(Tasting {
        place: columns.get()?,
        words: columns.get()?,
        score: columns.get()?,
        sheet: columns.get()?,
    })
}

pub(super) const JOB: &str = "job.key, job.subject, title, due_ms, gravity, verb";

pub(super) fn job_of(columns: &mut Columns) -> rusqlite::Result<Job> {
    Ok(Job {
        key: columns.get()?,
        subject: columns.get()?,
        title: columns.get()?,
        due: due_of(columns)?,
        verb: columns.get()?,
    })
}

pub(super) const SILENCE: &str = "silence.subject, reason, until_ms";

pub(super) fn silence_of(columns: &mut Columns) -> rusqlite::Result<Silence> {
    Ok(Silence {
        subject: columns.get()?,
        reason: columns.get()?,
        until_ms: columns.get()?,
    })
}

/// What an entry moved, resolved.
pub(super) fn flows(conn: &Connection, entry: Key) -> rusqlite::Result<Vec<Flow>> {
    let mut select = conn.prepare_cached(&format!(
        "SELECT {FLOW} FROM flow WHERE entry = :entry ORDER BY seq"
    ))?;
    select
        .query_map(named_params! {":entry": entry.0}, |row| {
            flow_of(&mut Columns::of(row))
        })?
        .collect()
}

pub(super) const FLOW: &str = "from_place, to_place, volume_ul, makeup";

pub(super) fn flow_of(columns: &mut Columns) -> rusqlite::Result<Flow> {
    Ok(Flow {
        from: columns.get()?,
        to: columns.get()?,
        volume: Volume(columns.get()?),
        makeup: from_json(columns.text()?)?,
    })
}
