//! Lists from the book: entries with what they moved, readings for a chart, totals of the accounts.

use rusqlite::types::Value as Sql;
use rusqlite::{OptionalExtension, named_params, params_from_iter};
use uuid::Uuid;

use crate::cellar::amount::Volume;
use crate::cellar::bottling::Tally;
use crate::cellar::entry::{Entry, Kind, Property, Reading};
use crate::cellar::fold::Flow;
use crate::cellar::moment::Moment;
use crate::cellar::thing::{Account, Key};

use super::columns::Columns;
use super::read::{LIVING, READING, STANDS, reading_of};
use super::{Store, StoreError, project, read};

/// Entries of bottlings looked at for the pace.
const SESSIONS: usize = 50;

/// Which entries, and how many. The default is all of them, newest first, voided ones included.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Filter {
    /// Those that name this thing.
    pub thing: Option<Key>,
    /// Those of this kind.
    pub kind: Option<Kind>,
    /// From this moment on, UTC ms.
    pub from_ms: Option<i64>,
    /// Up to this moment, UTC ms.
    pub until_ms: Option<i64>,
    /// Leave out voided entries and the voids themselves.
    pub living: bool,
    /// Which end comes first.
    pub direction: Direction,
    /// Go on after this entry of the same list.
    pub after: Option<(i64, Key)>,
    /// At most so many.
    pub limit: Option<usize>,
}

/// Which end of a list comes first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Direction {
    /// The newest by fold order.
    #[default]
    NewestFirst,
    /// The oldest by fold order.
    OldestFirst,
}

/// An entry with what it moved.
#[derive(Clone, Debug, PartialEq)]
pub struct Listed {
    /// The entry.
    pub entry: Entry,
    /// Its movements resolved to the microlitre; of a voided entry, those it would make if it still
    /// counted, by which it is told.
    pub flows: Vec<Flow>,
}

/// A reading with when it was taken.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// The entry it hangs on.
    pub entry: Key,
    /// When.
    pub when: Moment,
    /// What.
    pub reading: Reading,
}

impl Store {
    /// Entries by a filter, in fold order from either end.
    pub fn entries(&self, filter: &Filter) -> Result<Vec<Listed>, StoreError> {
        let _whole = self.conn.unchecked_transaction()?;
        let keys = self.keys(filter)?;
        read::entries(&self.conn, &keys)?
            .into_iter()
            .map(|entry| self.with_flows(entry))
            .collect()
    }

    /// Entries that name a batch, and the living ones of places that held any of its wine just before or
    /// after them, newest first.
    pub fn entries_of_batch(&self, batch: Key) -> Result<Vec<Listed>, StoreError> {
        let _whole = self.conn.unchecked_transaction()?;
        // Only places that ever held a batch of such a number are gone through.
        let mut select = self.conn.prepare_cached(
            "WITH step AS (
                 SELECT entry, when_ms, state,
                        LAG(state) OVER (PARTITION BY place ORDER BY when_ms, stands, entry) AS before
                 FROM standing WHERE place IN (
                     SELECT place FROM standing WHERE instr(state, '\"b\":' || :batch)))
             SELECT entry AS key, when_ms FROM step, json_each(json_array(json(state), json(before))) AS side
             WHERE side.value ->> '$.wine.nm.b' = :batch OR EXISTS (
                 SELECT 1 FROM json_each(side.value, '$.wine.mk') AS share WHERE share.value ->> 'b' = :batch)
             UNION SELECT entry AS key, when_ms FROM mention WHERE thing = :batch
             ORDER BY when_ms DESC, key DESC",
        )?;
        let keys: Vec<Key> = select
            .query_map(named_params! {":batch": batch.0}, |row| row.get("key"))?
            .collect::<rusqlite::Result<_>>()?;
        read::entries(&self.conn, &keys)?
            .into_iter()
            .map(|entry| self.with_flows(entry))
            .collect()
    }

    /// From one bottle to the next in the last sessions that were counted one by one: the middle of them, ms.
    pub fn bottling_pace(&self) -> Result<Option<i64>, StoreError> {
        let filter = Filter {
            kind: Some(Kind::Bottle),
            living: true,
            limit: Some(SESSIONS),
            ..Filter::default()
        };
        let listed = self.entries(&filter)?;
        let mut paces: Vec<i64> = listed
            .iter()
            .filter_map(|it| Tally::of(&it.entry.draft.fillings).pace_ms)
            .collect();
        paces.sort_unstable();
        Ok(paces.get(paces.len() / 2).copied())
    }

    fn keys(&self, filter: &Filter) -> Result<Vec<Key>, StoreError> {
        let mut sql = match filter.thing {
            Some(_) => "SELECT entry.key FROM mention JOIN entry ON entry.key = mention.entry",
            None => "SELECT entry.key FROM entry",
        }
        .to_owned();
        let mut values = Vec::new();
        let mut conditions = Vec::new();
        let (when, at) = match filter.thing {
            Some(thing) => {
                conditions.push("mention.thing = ?".to_owned());
                values.push(Sql::Integer(thing.0));
                ("mention.when_ms", "mention.entry")
            }
            None => ("entry.when_ms", "entry.key"),
        };
        let (beyond, order) = match filter.direction {
            Direction::NewestFirst => ("<", "DESC"),
            Direction::OldestFirst => (">", "ASC"),
        };
        if let Some(kind) = filter.kind {
            conditions.push("entry.kind = ?".to_owned());
            values.push(Sql::Text(kind.word().to_owned()));
        }
        if let Some(from) = filter.from_ms {
            conditions.push(format!("{when} >= ?"));
            values.push(Sql::Integer(from));
        }
        if let Some(until) = filter.until_ms {
            conditions.push(format!("{when} <= ?"));
            values.push(Sql::Integer(until));
        }
        if let Some((after_ms, after)) = filter.after {
            conditions.push(format!("({when}, {at}) {beyond} (?, ?)"));
            values.extend([Sql::Integer(after_ms), Sql::Integer(after.0)]);
        }
        if filter.living {
            conditions.push(format!("entry.kind <> 'void' AND {LIVING}"));
        }
        if !conditions.is_empty() {
            sql += " WHERE ";
            sql += &conditions.join(" AND ");
        }
        // A negative limit is none.
        values.push(Sql::Integer(filter.limit.map_or(-1, |it| it as i64)));
        let sql = format!("{sql} ORDER BY {when} {order}, {at} {order} LIMIT ?");
        let mut select = self.conn.prepare_cached(&sql)?;
        let keys = select
            .query_map(params_from_iter(values), |row| row.get("key"))?
            .collect::<rusqlite::Result<_>>()?;
        Ok(keys)
    }

    /// One entry with what it moved; refused if the book has none of that key.
    pub fn listed(&self, at: Key) -> Result<Listed, StoreError> {
        let _whole = self.conn.unchecked_transaction()?;
        self.with_flows(self.entry(at)?)
    }

    fn with_flows(&self, entry: Entry) -> Result<Listed, StoreError> {
        let flows = if entry.is_living() {
            read::flows(&self.conn, entry.key)?
        } else {
            let memory = self.recall()?;
            let subject = entry.draft.subject;
            // What it was about is voided too: without that it would move something else, which it never did.
            if subject.is_some_and(|it| !memory.things.contains_key(&it)) {
                Vec::new()
            } else {
                project::as_if_living(&self.conn, &memory.things, &entry)?
            }
        };
        Ok(Listed { entry, flows })
    }

    /// One entry; refused if the book has none of that key.
    pub fn entry(&self, at: Key) -> Result<Entry, StoreError> {
        read::entry(&self.conn, at)?.ok_or_else(|| super::append::no_entry(at))
    }

    /// The entry of that uid, or of the one uid that ends so: four hexadecimal digits or more, as
    /// lists show them. Dashes do not matter.
    pub fn entry_by_uid(&self, text: &str) -> Result<Entry, StoreError> {
        let digits: String = text.trim().to_lowercase().replace('-', "");
        let not_one = |why: &str| {
            StoreError::Input(format!(
                "{why} `{}`; `leesline book` shows each entry's own.",
                text.trim()
            ))
        };
        if digits.len() < 4 || !digits.chars().all(|it| it.is_ascii_hexdigit()) {
            return Err(not_one("an entry is named by four or more of 0-9 a-f, not"));
        }
        if let Ok(uid) = Uuid::try_parse(&digits) {
            let found = self
                .conn
                .prepare_cached("SELECT key FROM entry WHERE uid = :uid")?
                .query_row(named_params! {":uid": uid.into_bytes()}, |row| {
                    row.get("key")
                })
                .optional()?;
            return self.entry(found.ok_or_else(|| not_one("no entry has the uid"))?);
        }
        let mut select = self.conn.prepare_cached(
            "SELECT key FROM entry WHERE lower(hex(uid)) LIKE '%' || :digits LIMIT 2",
        )?;
        let found: Vec<Key> = select
            .query_map(named_params! {":digits": digits}, |row| row.get("key"))?
            .collect::<rusqlite::Result<_>>()?;
        match found.as_slice() {
            [one] => self.entry(*one),
            [] => Err(not_one("no entry has a uid that ends in")),
            _ => Err(not_one("more than one entry has a uid that ends in")),
        }
    }

    /// When anything was last written to the book, by the real clock, UTC ms; `None` while it is empty.
    pub fn last_recorded_ms(&self) -> Result<Option<i64>, StoreError> {
        let sql = "SELECT recorded_ms FROM entry ORDER BY key DESC LIMIT 1";
        let mut select = self.conn.prepare_cached(sql)?;
        Ok(select
            .query_row([], |row| row.get("recorded_ms"))
            .optional()?)
    }

    /// Living readings of one property of one place, in fold order.
    pub fn history(&self, place: Key, property: Property) -> Result<Vec<Measured>, StoreError> {
        let sql = format!(
            "SELECT entry.key, entry.when_ms, entry.offset_min, {READING}
             FROM reading JOIN entry ON entry.key = reading.entry
             WHERE reading.place = :place AND reading.property = :property AND {LIVING}
             ORDER BY entry.when_ms, {STANDS}, entry.key, reading.seq"
        );
        let mut select = self.conn.prepare_cached(&sql)?;
        let measured = select
            .query_map(
                named_params! {":place": place.0, ":property": property.word()},
                |row| {
                    let mut columns = Columns::of(row);
                    Ok(Measured {
                        entry: columns.get()?,
                        when: columns.moment()?,
                        reading: reading_of(&mut columns)?,
                    })
                },
            )?
            .collect::<rusqlite::Result<_>>()?;
        Ok(measured)
    }

    /// What went to each account less what came from it, over the whole book. With what all places
    /// hold at the end they sum to nothing.
    pub fn account_totals(&self) -> Result<Vec<(Account, Volume)>, StoreError> {
        let mut select = self.conn.prepare_cached(
            "SELECT account, sum(volume_ul) AS volume_ul FROM (
                 SELECT to_place AS account, volume_ul FROM flow
                 UNION ALL SELECT from_place, -volume_ul FROM flow)
             GROUP BY account ORDER BY account",
        )?;
        let rows: Vec<(Key, i64)> = select
            .query_map([], |row| Ok((row.get("account")?, row.get("volume_ul")?)))?
            .collect::<rusqlite::Result<_>>()?;
        Ok(rows
            .into_iter()
            .filter_map(|(at, volume)| Some((Account::from_key(at)?, Volume(volume))))
            .collect())
    }
}
