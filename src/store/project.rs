//! The projection: what each place holds after each entry that reaches it, kept up to date.
//!
//! A change to the book starts at some entries: new ones, voided ones, ones to be folded again.
//! From there the fold walks on along the entries that touch a place whose contents differ from
//! what the book had, and stops where they differ no more. It is the same [`Ledger::apply`] as the
//! full fold, and only rows that differ are written.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::{Connection, OptionalExtension, named_params};

use crate::cellar::entry::Entry;
use crate::cellar::fold::{Finding, Flow, Ledger, Outcome};
use crate::cellar::state::State;
use crate::cellar::thing::{Key, Things};

use super::columns::{Columns, fault_of, fault_to, from_json, to_json};
use super::read::{FLOW, flow_of};
use super::{Effects, Shift, read, things};

/// When an entry comes in the fold: its moment, where it stands among those of that, its number.
pub(super) type Order = (i64, i64, Key);

pub(super) fn order(entry: &Entry) -> Order {
    (entry.draft.when.utc_ms, entry.stands, entry.key)
}

/// Where a refold starts.
#[derive(Debug, Default)]
pub(super) struct Causes {
    /// Entries that now count: new ones, as written.
    pub(super) fresh: Vec<Entry>,
    /// Entries that no longer do.
    pub(super) gone: Vec<Entry>,
    /// Entries to be applied again though they are the same: a brim changed, a bottle was filled.
    pub(super) again: BTreeSet<Order>,
}

/// What came of a refold.
#[derive(Debug)]
pub(super) struct Refolded {
    pub(super) effects: Effects,
    /// Rules broken now that were not before, the earliest first.
    pub(super) broken: Vec<Finding>,
    /// Places of which a row was written or removed.
    pub(super) rewritten: BTreeSet<Key>,
}

/// Walks on from the causes and rewrites what differs.
pub(super) fn refold(
    conn: &Connection,
    ledger: &mut Ledger,
    causes: Causes,
) -> rusqlite::Result<Refolded> {
    let mut queue = causes.again;
    queue.extend(causes.fresh.iter().chain(&causes.gone).map(order));
    let mut walk = Walk {
        conn,
        ledger,
        book: BTreeMap::new(),
        queue,
        effects: Effects::default(),
        broken: Vec::new(),
        rewritten: BTreeSet::new(),
    };
    let mut fresh: BTreeMap<Key, Entry> = causes.fresh.into_iter().map(|it| (it.key, it)).collect();
    let mut gone: BTreeMap<Key, Entry> = causes.gone.into_iter().map(|it| (it.key, it)).collect();
    while let Some((_, _, at)) = walk.queue.pop_first() {
        if let Some(entry) = gone.remove(&at) {
            walk.take_out(&entry)?;
        } else if let Some(entry) = fresh.remove(&at) {
            walk.put_in(&entry)?;
        } else if let Some(entry) = read::entry(conn, at)? {
            walk.again(&entry)?;
        }
    }
    walk.ledger.states.clear();
    for place in &walk.rewritten {
        write_latest(conn, *place)?;
    }
    Ok(Refolded {
        effects: walk.effects,
        broken: walk.broken,
        rewritten: walk.rewritten,
    })
}

/// Every place that an entry may change.
pub(super) fn reached(entry: &Entry) -> BTreeSet<Key> {
    let mut places: BTreeSet<Key> = entry.draft.places().into_iter().collect();
    places.extend(entry.draft.filled_from().map(|(_, vessel)| vessel));
    places
}

/// What an entry that no longer counts would move if it still did: the figures it is told with.
pub(super) fn as_if_living(
    conn: &Connection,
    things: &Things,
    entry: &Entry,
) -> rusqlite::Result<Vec<Flow>> {
    let mut ledger = Ledger::of(things.clone());
    for place in reached(entry) {
        let state = before(conn, place, entry)?;
        let state = state.as_deref().map(from_json).transpose()?;
        ledger.states.extend(state.map(|it| (place, it)));
    }
    Ok(ledger.apply(entry).flows)
}

/// What the book has of a place just before an entry.
fn before(conn: &Connection, place: Key, entry: &Entry) -> rusqlite::Result<Option<String>> {
    let mut select = conn.prepare_cached(
        "SELECT state FROM standing
         WHERE place = :place AND (when_ms, stands, entry) < (:when_ms, :stands, :entry)
         ORDER BY when_ms DESC, stands DESC, entry DESC LIMIT 1",
    )?;
    let at = named_params! {
        ":place": place.0,
        ":when_ms": entry.draft.when.utc_ms,
        ":stands": entry.stands,
        ":entry": entry.key.0,
    };
    let state = select.query_row(at, |row| row.get("state")).optional()?;
    Ok(state.flatten())
}

struct Walk<'a> {
    conn: &'a Connection,
    /// States of the places that differ, or that are being looked at.
    ledger: &'a mut Ledger,
    /// What the book had of those places at the same moment.
    book: BTreeMap<Key, Option<String>>,
    /// Entries still to be looked at.
    queue: BTreeSet<Order>,
    effects: Effects,
    broken: Vec<Finding>,
    rewritten: BTreeSet<Key>,
}

impl Walk<'_> {
    fn take_out(&mut self, entry: &Entry) -> rusqlite::Result<()> {
        let rows = rows_of(self.conn, entry.key)?;
        let places: BTreeSet<Key> = rows.keys().copied().collect();
        self.meet(&places, entry)?;
        for sql in [
            "DELETE FROM standing WHERE entry = :entry",
            "DELETE FROM flow WHERE entry = :entry",
            "DELETE FROM finding WHERE entry = :entry",
        ] {
            self.conn
                .prepare_cached(sql)?
                .execute(named_params! {":entry": entry.key.0})?;
        }
        self.leave(&places, entry, &rows, false)?;
        Ok(())
    }

    fn put_in(&mut self, entry: &Entry) -> rusqlite::Result<()> {
        let places = reached(entry);
        self.meet(&places, entry)?;
        let outcome = self.apply(entry);
        write_outcome(self.conn, entry.key, &outcome)?;
        self.leave(&places, entry, &BTreeMap::new(), true)?;
        self.broken.extend(outcome.findings);
        Ok(())
    }

    fn again(&mut self, entry: &Entry) -> rusqlite::Result<()> {
        let rows = rows_of(self.conn, entry.key)?;
        let mut places = reached(entry);
        places.extend(rows.keys());
        self.meet(&places, entry)?;
        let outcome = self.apply(entry);
        let before = outcome_of(self.conn, entry.key)?;
        let moved = before.flows != outcome.flows;
        if before != outcome {
            for sql in [
                "DELETE FROM flow WHERE entry = :entry",
                "DELETE FROM finding WHERE entry = :entry",
            ] {
                self.conn
                    .prepare_cached(sql)?
                    .execute(named_params! {":entry": entry.key.0})?;
            }
            write_outcome(self.conn, entry.key, &outcome)?;
        }
        let shifted = self.leave(&places, entry, &rows, true)?;
        if shifted || moved {
            self.effects.recomputed.push(entry.key);
        }
        let was_broken = |it: &Finding| {
            before.findings.iter().any(|earlier| {
                earlier.place == it.place
                    && std::mem::discriminant(&earlier.fault) == std::mem::discriminant(&it.fault)
            })
        };
        self.broken
            .extend(outcome.findings.into_iter().filter(|it| !was_broken(it)));
        Ok(())
    }

    fn apply(&mut self, entry: &Entry) -> Outcome {
        let outcome = self.ledger.apply(entry);
        debug_assert!(
            self.ledger
                .states
                .keys()
                .all(|it| self.book.contains_key(it)),
            "the fold changed a place that entry {:?} does not reach",
            entry.key
        );
        outcome
    }

    /// Loads what places held just before an entry. One that is there already differs from the book.
    fn meet(&mut self, places: &BTreeSet<Key>, entry: &Entry) -> rusqlite::Result<()> {
        for place in places {
            if self.book.contains_key(place) {
                continue;
            }
            let state = before(self.conn, *place, entry)?;
            if let Some(text) = &state {
                self.ledger.states.insert(*place, from_json(text)?);
            }
            self.book.insert(*place, state);
        }
        Ok(())
    }

    /// Writes what the places hold after an entry, and follows those that differ from the book to
    /// the next entry that touches them. Says whether any does.
    fn leave(
        &mut self,
        places: &BTreeSet<Key>,
        entry: &Entry,
        rows: &BTreeMap<Key, Option<String>>,
        counts: bool,
    ) -> rusqlite::Result<bool> {
        let mut shifted = false;
        for place in places {
            let after = self.ledger.states.get(place).map(to_json).transpose()?;
            let row = rows.get(place);
            if counts && row != Some(&after) {
                write_row(self.conn, *place, entry, after.as_deref())?;
            }
            if !counts || row != Some(&after) {
                self.rewritten.insert(*place);
            }
            // An entry that the book did not have left the place as it was.
            let before = row.or_else(|| self.book.get(place)).cloned().flatten();
            let read = |text: &Option<String>| -> rusqlite::Result<Option<State>> {
                text.as_deref().map(from_json).transpose()
            };
            // What differed for a while and is as the book has it from here on is said too.
            let differs = before != after;
            if differs || self.effects.shifts.iter().any(|it| it.place == *place) {
                let name = match self.ledger.things.get(place) {
                    Some(thing) => thing.name().to_owned(),
                    None => things::last_name(self.conn, *place)?,
                };
                self.effects.shifts.push(Shift {
                    place: *place,
                    name,
                    entry: entry.key,
                    when: entry.draft.when,
                    before: read(&before)?,
                    after: read(&after)?,
                });
            }
            if !differs {
                self.ledger.states.remove(place);
                self.book.remove(place);
                continue;
            }
            shifted = true;
            self.book.insert(*place, before);
            self.queue.extend(self.next(*place, entry)?);
        }
        Ok(shifted)
    }

    /// The next entry in the book that touches a place.
    fn next(&self, place: Key, after: &Entry) -> rusqlite::Result<Option<Order>> {
        self.conn
            .prepare_cached(
                "SELECT when_ms, stands, entry FROM standing
                 WHERE place = :place AND (when_ms, stands, entry) > (:when_ms, :stands, :entry)
                 ORDER BY when_ms, stands, entry LIMIT 1",
            )?
            .query_row(
                named_params! {
                    ":place": place.0,
                    ":when_ms": after.draft.when.utc_ms,
                    ":stands": after.stands,
                    ":entry": after.key.0,
                },
                order_of,
            )
            .optional()
    }
}

/// What a place holds right after an entry.
pub(super) fn write_row(
    conn: &Connection,
    place: Key,
    entry: &Entry,
    state: Option<&str>,
) -> rusqlite::Result<()> {
    conn.prepare_cached(
        "INSERT INTO standing (place, when_ms, stands, entry, state)
         VALUES (:place, :when_ms, :stands, :entry, :state)
         ON CONFLICT (place, when_ms, stands, entry) DO UPDATE SET state = :state",
    )?
    .execute(named_params! {
        ":place": place.0,
        ":when_ms": entry.draft.when.utc_ms,
        ":stands": entry.stands,
        ":entry": entry.key.0,
        ":state": state,
    })?;
    Ok(())
}

/// Copies the last row of a place to where the board reads it.
pub(super) fn write_latest(conn: &Connection, place: Key) -> rusqlite::Result<()> {
    let place = named_params! {":place": place.0};
    conn.prepare_cached("DELETE FROM latest WHERE place = :place")?
        .execute(place)?;
    conn.prepare_cached(
        "INSERT INTO latest (place, when_ms, state)
         SELECT place, when_ms, state FROM standing WHERE place = :place
         ORDER BY when_ms DESC, stands DESC, entry DESC LIMIT 1",
    )?
    .execute(place)?;
    Ok(())
}

/// Every entry that touches a place.
pub(super) fn touching(conn: &Connection, place: Key) -> rusqlite::Result<Vec<Order>> {
    let mut select =
        conn.prepare_cached("SELECT when_ms, stands, entry FROM standing WHERE place = :place")?;
    select
        .query_map(named_params! {":place": place.0}, order_of)?
        .collect()
}

fn order_of(row: &rusqlite::Row) -> rusqlite::Result<Order> {
    let mut columns = Columns::of(row);
    Ok((columns.get()?, columns.get()?, columns.get()?))
}

/// What the book has of the places an entry touches, right after it.
fn rows_of(conn: &Connection, entry: Key) -> rusqlite::Result<BTreeMap<Key, Option<String>>> {
    let mut select =
        conn.prepare_cached("SELECT place, state FROM standing WHERE entry = :entry")?;
    select
        .query_map(named_params! {":entry": entry.0}, |row| {
            Ok((row.get("place")?, row.get("state")?))
        })?
        .collect()
}

/// What the file keeps of what an entry did.
fn outcome_of(conn: &Connection, entry: Key) -> rusqlite::Result<Outcome> {
    let mut select = conn.prepare_cached(&format!(
        "SELECT {FINDING} FROM finding WHERE entry = :entry ORDER BY seq"
    ))?;
    let findings = select
        .query_map(named_params! {":entry": entry.0}, finding_of)?
        .collect::<rusqlite::Result<_>>()?;
    Ok(Outcome {
        flows: read::flows(conn, entry)?,
        findings,
    })
}

/// What the file keeps of what each entry did, for entries that did anything.
pub(super) fn all_outcomes(conn: &Connection) -> rusqlite::Result<BTreeMap<Key, Outcome>> {
    let mut outcomes: BTreeMap<Key, Outcome> = BTreeMap::new();
    let mut select = conn.prepare(&format!(
        "SELECT entry, {FLOW} FROM flow ORDER BY entry, seq"
    ))?;
    let mut rows = select.query([])?;
    while let Some(row) = rows.next()? {
        let mut columns = Columns::of(row);
        let outcome = outcomes.entry(columns.get()?).or_default();
        outcome.flows.push(flow_of(&mut columns)?);
    }
    let mut select = conn.prepare(&format!(
        "SELECT {FINDING} FROM finding ORDER BY entry, seq"
    ))?;
    let mut rows = select.query([])?;
    while let Some(row) = rows.next()? {
        let finding = finding_of(row)?;
        let outcome = outcomes.entry(finding.entry).or_default();
        outcome.findings.push(finding);
    }
    Ok(outcomes)
}

/// The columns that [`finding_of`] reads.
const FINDING: &str = "entry, place, fault, held, taken";

fn finding_of(row: &rusqlite::Row) -> rusqlite::Result<Finding> {
    let mut columns = Columns::of(row);
    Ok(Finding {
        entry: columns.get()?,
        place: columns.get()?,
        fault: fault_of(&mut columns)?,
    })
}

pub(super) fn write_outcome(
    conn: &Connection,
    entry: Key,
    outcome: &Outcome,
) -> rusqlite::Result<()> {
    let mut insert = conn.prepare_cached(
        "INSERT INTO flow (entry, seq, from_place, to_place, volume_ul, makeup)
         VALUES (:entry, :seq, :from_place, :to_place, :volume_ul, :makeup)",
    )?;
    for (
        seq,
        Flow {
            from,
            to,
            volume,
            makeup,
        },
    ) in outcome.flows.iter().enumerate()
    {
        insert.execute(named_params! {
            ":entry": entry.0,
            ":seq": seq as i64,
            ":from_place": from.0,
            ":to_place": to.0,
            ":volume_ul": volume.0,
            ":makeup": to_json(makeup)?,
        })?;
    }
    let mut insert = conn.prepare_cached(
        "INSERT INTO finding (entry, seq, place, fault, held, taken)
         VALUES (:entry, :seq, :place, :fault, :held, :taken)",
    )?;
    for (seq, finding) in outcome.findings.iter().enumerate() {
        let (fault, held, taken) = fault_to(finding.fault);
        insert.execute(named_params! {
            ":entry": entry.0,
            ":seq": seq as i64,
            ":place": finding.place.0,
            ":fault": fault,
            ":held": held,
            ":taken": taken,
        })?;
    }
    Ok(())
}
