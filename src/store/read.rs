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
use crate::cellar::moment::Moment;
use crate::cellar::thing::{Key, Sort};

use super::columns::{
    amount_of, dose_of, due_of, found_of, from_json, key, some_key, spot_of, supply_of, to_json,
    value_of, word,
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
    mut each: impl FnMut(Entry) -> rusqlite::Result<()>,
) -> rusqlite::Result<()> {
    let keys: Vec<Key> = conn
        .prepare(&format!(
            "SELECT key FROM entry ORDER BY when_ms, {STANDS}, key"
        ))?
        .query_map([], |row| key(row, "key"))?
        .collect::<rusqlite::Result<_>>()?;
    for some in keys.chunks(1_000) {
        for entry in entries(conn, some)? {
            each(entry)?;
        }
    }
    Ok(())
}

fn entry_of(row: &Row) -> rusqlite::Result<Entry> {
    let when = Moment {
        utc_ms: row.get("when_ms")?,
        offset_min: row.get("offset_min")?,
    };
    let mut draft = Draft::new(word(row, "kind", Kind::from_word)?, when);
    draft.by = row.get("by_whom")?;
    draft.note = row.get("note")?;
    draft.subject = some_key(row, "subject")?;
    draft.voids = some_key(row, "voids")?;
    draft.amends = some_key(row, "amends")?;
    draft.restores = row.get::<_, Option<bool>>("restores")?.unwrap_or(false);
    draft.from_jot = some_key(row, "from_jot")?;
    let own = key(row, "key")?;
    Ok(Entry {
        key: own,
        stands: row.get::<_, Option<i64>>("stands")?.unwrap_or(own.0),
        uid: Uuid::from_bytes(row.get("uid")?),
        recorded_ms: row.get("recorded_ms")?,
        draft,
        voided_by: some_key(row, "voided_by")?,
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
            "SELECT entry.*, later.key AS voided_by
             FROM entry LEFT JOIN entry AS later ON later.voids = entry.key
             WHERE entry.key {} ORDER BY entry.key",
            self.condition
        ))?;
        select
            .query_map(self.bounds().as_slice(), entry_of)?
            .collect()
    }

    /// Hangs each row of a query on the entry it names. `{which}` stands for the condition; rows
    /// come in order of entry and sequence.
    fn hang<T>(
        &self,
        entries: &mut [Entry],
        sql: &str,
        part: impl Fn(&Row) -> rusqlite::Result<T>,
        onto: impl Fn(&mut Draft) -> &mut Vec<T>,
    ) -> rusqlite::Result<()> {
        let sql = sql.replace("{which}", self.condition);
        let mut select = self.conn.prepare_cached(&sql)?;
        let mut rows = select.query(self.bounds().as_slice())?;
        let mut at = 0;
        while let Some(row) = rows.next()? {
            let owner = key(row, "entry")?;
            while entries.get(at).is_some_and(|it| it.key < owner) {
                at += 1;
            }
            // A row of an entry that is not there was put there by no program of ours.
            let entry = entries.get_mut(at).filter(|it| it.key == owner);
            let entry = entry.ok_or_else(corrupt)?;
            onto(&mut entry.draft).push(part(row)?);
        }
        Ok(())
    }

    fn hang_things(&self, entries: &mut [Entry]) -> rusqlite::Result<()> {
        self.hang(
            entries,
            "SELECT begun.entry, thing.sort FROM begun JOIN thing ON thing.key = begun.thing
             WHERE begun.entry {which} ORDER BY begun.entry, begun.seq",
            |row| word(row, "sort", Sort::from_word),
            |draft| &mut draft.new_things,
        )?;
        self.hang(
            entries,
            "SELECT * FROM change WHERE entry {which} ORDER BY entry, seq",
            |row| {
                Ok(Change {
                    thing: key(row, "thing")?,
                    field: row.get("field")?,
                    value: value_of(row, "value")?,
                })
            },
            |draft| &mut draft.changes,
        )
    }

    fn hang_wine(&self, entries: &mut [Entry]) -> rusqlite::Result<()> {
        self.hang(
            entries,
            "SELECT * FROM movement WHERE entry {which} ORDER BY entry, seq",
            |row| {
                Ok(Movement {
                    from: key(row, "from_place")?,
                    to: key(row, "to_place")?,
                    amount: amount_of(row)?,
                    about: row.get("about")?,
                    batch: some_key(row, "batch")?,
                })
            },
            |draft| &mut draft.movements,
        )?;
        self.hang(
            entries,
            "SELECT * FROM reading WHERE entry {which} ORDER BY entry, seq",
            reading_of,
            |draft| &mut draft.readings,
        )?;
        self.hang(
            entries,
            "SELECT * FROM addition WHERE entry {which} ORDER BY entry, seq",
            |row| {
                Ok(Addition {
                    place: key(row, "place")?,
                    substance: row.get("substance")?,
                    dose: dose_of(row)?,
                    so2: Mass(row.get("so2_ug")?),
                    lot: some_key(row, "lot")?,
                    calculation: row.get("calculation")?,
                })
            },
            |draft| &mut draft.additions,
        )?;
        self.hang(
            entries,
            "SELECT * FROM tasting WHERE entry {which} ORDER BY entry, seq",
            |row| {
                Ok(Tasting {
                    place: key(row, "place")?,
                    words: row.get("words")?,
                    score: row.get("score")?,
                    sheet: row.get("sheet")?,
                })
            },
            |draft| &mut draft.tastings,
        )
    }

    fn hang_bottles(&self, entries: &mut [Entry]) -> rusqlite::Result<()> {
        self.hang(
            entries,
            "SELECT * FROM bottle_move WHERE entry {which} ORDER BY entry, seq",
            |row| {
                Ok(BottleMove {
                    run: key(row, "run")?,
                    size_ml: row.get("size_ml")?,
                    count: row.get("count")?,
                    from: spot_of(row, "from")?,
                    to: spot_of(row, "to")?,
                    about: row.get("about")?,
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
             WHERE change.entry {which} AND change.field = 'vessel'
                 AND (counted_in = change.entry
                     OR counted_in IS NULL AND sequence > ifnull(
                         (SELECT max(own.sequence) FROM filling AS own
                          WHERE own.run = change.thing AND own.counted_in = change.entry), 0)
                     AND NOT EXISTS (
                         SELECT 1 FROM change AS other JOIN entry AS after ON after.key = other.entry
                         WHERE other.thing = change.thing AND other.field = 'vessel'
                             AND (after.when_ms, ifnull(after.stands, after.key))
                                 > (entry.when_ms, ifnull(entry.stands, entry.key))
                             AND NOT EXISTS (SELECT 1 FROM entry AS later WHERE later.voids = after.key)))
             ORDER BY change.entry, sequence",
            |row| {
                Ok(Filling {
                    sequence: row.get("sequence")?,
                    event: word(row, "event", FillEvent::from_word)?,
                    size_ml: row.get("size_ml")?,
                    count: row.get("count")?,
                    at_ms: row.get("at_ms")?,
                })
            },
            |draft| &mut draft.fillings,
        )?;
        self.hang(
            entries,
            "SELECT * FROM supply_move WHERE entry {which} ORDER BY entry, seq",
            |row| {
                Ok(SupplyMove {
                    lot: key(row, "lot")?,
                    change: supply_of(row)?,
                })
            },
            |draft| &mut draft.supplies,
        )
    }

    fn hang_jobs(&self, entries: &mut [Entry]) -> rusqlite::Result<()> {
        self.hang(
            entries,
            "SELECT * FROM job WHERE entry {which} ORDER BY entry, seq",
            job_of,
            |draft| &mut draft.jobs,
        )?;
        self.hang(
            entries,
            "SELECT entry, job FROM job_closed WHERE entry {which}
             ORDER BY entry, seq",
            |row| key(row, "job"),
            |draft| &mut draft.closes,
        )?;
        self.hang(
            entries,
            "SELECT * FROM silence WHERE entry {which} ORDER BY entry, seq",
            silence_of,
            |draft| &mut draft.silences,
        )
    }
}

pub(super) fn reading_of(row: &Row) -> rusqlite::Result<Reading> {
    Ok(Reading {
        place: key(row, "place")?,
        property: word(row, "property", Property::from_word)?,
        found: found_of(row)?,
        typed: row.get("typed")?,
        instrument: row.get("instrument")?,
        rule: row.get("rule")?,
    })
}

pub(super) fn job_of(row: &Row) -> rusqlite::Result<Job> {
    Ok(Job {
        key: key(row, "key")?,
        subject: key(row, "subject")?,
        title: row.get("title")?,
        due: due_of(row)?,
        verb: row.get("verb")?,
    })
}

pub(super) fn silence_of(row: &Row) -> rusqlite::Result<Silence> {
    Ok(Silence {
        subject: key(row, "subject")?,
        reason: row.get("reason")?,
        until_ms: row.get("until_ms")?,
    })
}

/// What an entry moved, resolved.
pub(super) fn flows(conn: &Connection, entry: Key) -> rusqlite::Result<Vec<Flow>> {
    let mut select = conn.prepare_cached("SELECT * FROM flow WHERE entry = :entry ORDER BY seq")?;
    select
        .query_map(named_params! {":entry": entry.0}, flow_of)?
        .collect()
}

pub(super) fn flow_of(row: &Row) -> rusqlite::Result<Flow> {
    Ok(Flow {
        from: key(row, "from_place")?,
        to: key(row, "to_place")?,
        volume: Volume(row.get("volume_ul")?),
        makeup: from_json(row.get_ref("makeup")?.as_str()?)?,
    })
}
