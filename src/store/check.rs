//! Checking the file against itself, and rebuilding what is derived.

use std::collections::{BTreeMap, HashMap};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::panic::resume_unwind;
use std::sync::{Arc, mpsc};
use std::thread;

use rusqlite::{Connection, named_params};

use crate::cellar::entry::Entry;
use crate::cellar::fold::{self, Ledger, Outcome};
use crate::cellar::racks::{self, Racks};
use crate::cellar::state::State;
use crate::cellar::telling;
use crate::cellar::thing::{Key, Things};

use super::columns::{Columns, to_json};
use super::project::{all_outcomes, reached, write_latest, write_outcome, write_row};
use super::{Store, StoreError, open_ends, read, refusal, things, write};

/// Every table that is derived from the book.
pub(super) const DERIVED: [&str; 8] = [
    "mention", "present", "standing", "latest", "open_job", "open_jot", "flow", "finding",
];

impl Store {
    /// Refolds the whole book and compares it with the projection row by row, and asks SQLite for
    /// faults of the file. What is wrong comes back as sentences; none means that all is well.
    pub fn check(&self) -> Result<Vec<String>, StoreError> {
        let mut wrong = self.faults_of_the_file()?;
        // One transaction, so that nobody writes between the rows.
        let transaction = self.conn.unchecked_transaction()?;
        wrong.extend(compare(&transaction)?);
        Ok(wrong)
    }

    /// Throws the projection away and derives it again from the book.
    pub fn rebuild(&mut self) -> Result<(), StoreError> {
        self.memory.replace(None);
        let transaction = self.begin()?;
        derive_anew(&transaction)?;
        transaction.commit()?;
        Ok(())
    }

    fn faults_of_the_file(&self) -> Result<Vec<String>, StoreError> {
        let mut wrong = Vec::new();
        let mut select = self.conn.prepare("PRAGMA integrity_check")?;
        let mut rows = select.query([])?;
        while let Some(row) = rows.next()? {
            let said: String = row.get(0)?;
            if said != "ok" {
                wrong.push(format!(
                    "The file itself is damaged: {said}. Bring back a copy with `leesline restore`."
                ));
            }
        }
        let mut select = self.conn.prepare("PRAGMA foreign_key_check")?;
        let mut rows = select.query([])?;
        while let Some(row) = rows.next()? {
            let (table, refers_to): (String, String) = (row.get(0)?, row.get(2)?);
            wrong.push(format!(
                "A row of {table} refers to a {refers_to} that is not there. Bring back a copy with `leesline restore`."
            ));
        }
        Ok(wrong)
    }
}

/// Empties every derived table and fills it from the book, row by row.
pub(super) fn derive_anew(conn: &Connection) -> rusqlite::Result<()> {
    for table in DERIVED {
        conn.execute(&format!("DELETE FROM {table}"), [])?;
    }
    let things = things_of_the_book(conn)?;
    let mut insert =
        conn.prepare("INSERT INTO present (thing, attributes) VALUES (:thing, :attributes)")?;
    for (at, thing) in things.iter() {
        insert.execute(named_params! {
            ":thing": at.0, ":attributes": to_json(&thing.attributes)?,
        })?;
    }
    let mut ledger = Ledger::of(things);
    in_order(conn, |some| {
        for (entry, begun) in some {
            write::write_mentions(conn, &entry, &begun)?;
            if !entry.is_living() {
                continue;
            }
            let outcome = ledger.apply(&entry);
            for place in reached(&entry) {
                let state = ledger.states.get(&place).map(to_json).transpose()?;
                write_row(conn, place, &entry, state.as_deref())?;
            }
            write_outcome(conn, entry.key, &outcome)?;
        }
        Ok(())
    })?;
    for place in ledger.things.keys() {
        write_latest(conn, *place)?;
    }
    open_ends::rebuild(conn)
}

/// Derives everything and compares it with what is kept. While this thread reads the book, another folds
/// what was read.
fn compare(conn: &Connection) -> rusqlite::Result<Vec<String>> {
    let things = things_of_the_book(conn)?;
    let (hand_over, handed_over) = mpsc::sync_channel(AHEAD);
    let (derived, kept) = thread::scope(|scope| {
        let folding = scope.spawn(|| Derived::from_book(things, handed_over));
        let read = in_order(conn, move |some| {
            // It is taken unless folding stopped, and why it did is told below.
            let _ = hand_over.send(some);
            Ok(())
        });
        let kept = read.and_then(|()| Digests::of_what_is_kept(conn));
        (folding.join(), kept)
    });
    let derived = derived.unwrap_or_else(|panic| resume_unwind(panic))?;
    let mut broken = derived.broken;
    broken.extend(derived.digests.differences(kept?, &derived.things));
    let open = open_ends::differences(conn)?;
    if open > 0 {
        broken.push(differ("Open jobs and jots", open as usize, "one of them"));
    }
    Ok(broken)
}

/// So many handfuls of entries are read while those before them are folded.
const AHEAD: usize = 1;

/// Entries in fold order, each with the things that it began.
type Handful = Vec<(Entry, Vec<Key>)>;

/// Hands over the whole book in fold order.
fn in_order(
    conn: &Connection,
    mut each: impl FnMut(Handful) -> rusqlite::Result<()>,
) -> rusqlite::Result<()> {
    read::in_order(conn, |entries| {
        let with_begun = entries.into_iter().map(|entry| {
            let begun = if entry.draft.new_things.is_empty() {
                Vec::new()
            } else {
                write::begun_by(conn, entry.key)?
            };
            Ok((entry, begun.into_iter().map(|it| it.0).collect()))
        });
        each(with_begun.collect::<rusqlite::Result<_>>()?)
    })
}

/// What the book gives.
struct Derived {
    digests: Digests,
    /// Rules that entries break, in sentences.
    broken: Vec<String>,
    things: Things,
}

impl Derived {
    /// Folds the whole book as it is handed over.
    fn from_book(
        things: Things,
        book: impl IntoIterator<Item = Handful>,
    ) -> rusqlite::Result<Derived> {
        let mut digests = Digests::default();
        let mut broken = Vec::new();
        for thing in things.values() {
            digests
                .attributes
                .add([thing.key.0, 0, 0], &format!("{thing:?}"));
        }
        let mut ledger = Ledger::of(things);
        let mut last: BTreeMap<Key, i64> = BTreeMap::new();
        for (entry, begun) in book.into_iter().flatten() {
            let when_ms = entry.draft.when.utc_ms;
            for thing in write::mentions(&entry.draft, &begun) {
                digests.histories.add([thing.0, when_ms, entry.key.0], &());
            }
            if !entry.is_living() {
                continue;
            }
            let outcome = ledger.apply(&entry);
            for place in reached(&entry) {
                let state = ledger.states.get(&place).map(to_json).transpose()?;
                let at = [place.0, when_ms, entry.key.0];
                digests.contents.add(at, &(entry.stands, state.as_deref()));
                last.insert(place, when_ms);
            }
            if outcome != Outcome::default() {
                digests
                    .movements
                    .add([entry.key.0, 0, 0], &format!("{outcome:?}"));
            }
            for finding in &outcome.findings {
                broken.push(format!(
                    "{} breaks a rule: {}",
                    telling::capital(&refusal::the_entry(&entry)),
                    finding.sentence(&ledger.things, "then")
                ));
            }
        }
        for (place, when_ms) in last {
            let state = ledger.states.get(&place).map(to_json).transpose()?;
            let at = [place.0, when_ms, LATEST];
            digests.contents.add(at, &(LATEST, state.as_deref()));
        }
        broken.extend(crowds(&ledger));
        Ok(Derived {
            digests,
            broken,
            things: ledger.things,
        })
    }
}

/// What lies in a slot that is taken, or in a rack that is full, in sentences.
fn crowds(ledger: &Ledger) -> Vec<String> {
    let racks = Racks::of(&ledger.things);
    let runs = ledger.states.iter().map(|(place, state)| match state {
        State::Wine(wine) => (*place, &wine.bottles[..]),
        State::Supply(_) => (*place, &[][..]),
    });
    let crowds = racks::crowds(&racks, runs).into_iter();
    crowds
        .map(|it| telling::capital(&it.sentence(&racks, &ledger.things)))
        .collect()
}

/// Stands for the entry in a row of `latest`.
const LATEST: i64 = -1;

/// The derived rows of each kind, by digests, so that neither the book nor the projection is ever in
/// memory as a whole.
#[derive(Debug, Default)]
struct Digests {
    attributes: Rows,
    contents: Rows,
    movements: Rows,
    histories: Rows,
}

impl Digests {
    fn of_what_is_kept(conn: &Connection) -> rusqlite::Result<Digests> {
        let mut digests = Digests::default();
        for thing in things::all(conn)?.values() {
            digests
                .attributes
                .add([thing.key.0, 0, 0], &format!("{thing:?}"));
        }
        for (entry, outcome) in all_outcomes(conn)? {
            digests
                .movements
                .add([entry.0, 0, 0], &format!("{outcome:?}"));
        }
        let mut select = conn.prepare("SELECT thing, when_ms, entry FROM mention")?;
        let mut rows = select.query([])?;
        while let Some(row) = rows.next()? {
            let mut columns = Columns::of(row);
            let at = [columns.get()?, columns.get()?, columns.get()?];
            digests.histories.add(at, &());
        }
        let mut select = conn.prepare(
            "SELECT place, when_ms, entry, stands, state FROM standing
             UNION ALL SELECT place, when_ms, :latest, :latest, state FROM latest",
        )?;
        let mut rows = select.query(named_params! {":latest": LATEST})?;
        while let Some(row) = rows.next()? {
            let mut columns = Columns::of(row);
            let at = [columns.get()?, columns.get()?, columns.get()?];
            let stands: i64 = columns.get()?;
            digests.contents.add(at, &(stands, columns.some_text()?));
        }
        Ok(digests)
    }

    /// A sentence for each kind of rows that are not the same.
    fn differences(self, kept: Digests, things: &Things) -> impl Iterator<Item = String> {
        let name = |key: i64| fold::name(things, Key(key));
        let entry = |key: i64| format!("entry {key}");
        let kinds = [
            self.attributes.differ(kept.attributes, "Attributes", name),
            self.contents
                .differ(kept.contents, "Contents of places", name),
            self.movements.differ(kept.movements, "Movements", entry),
            self.histories.differ(kept.histories, "Histories", name),
        ];
        kinds.into_iter().flatten()
    }
}

/// Rows of one kind: for each thing or entry that they are of, the sum of their digests. It is the same
/// where the rows are, in any order.
#[derive(Debug, Default)]
struct Rows {
    sums: HashMap<i64, u64>,
}

impl Rows {
    /// There is this row; what it is of comes first in its key.
    fn add(&mut self, at: [i64; 3], content: &impl Hash) {
        let mut hasher = DefaultHasher::new();
        (at, content).hash(&mut hasher);
        let sum = self.sums.entry(at[0]).or_default();
        *sum = sum.wrapping_add(hasher.finish());
    }

    /// The sentence about what differs from what is kept, if anything does.
    fn differ(mut self, kept: Rows, what: &str, name: impl Fn(i64) -> String) -> Option<String> {
        for (of, sum) in kept.sums {
            let derived = self.sums.entry(of).or_default();
            *derived = derived.wrapping_sub(sum);
        }
        let differing = self.sums.into_iter().filter(|(_, sum)| *sum != 0);
        let differing: Vec<i64> = differing.map(|(of, _)| of).collect();
        let first = differing.iter().min()?;
        Some(differ(what, differing.len(), &name(*first)))
    }
}

fn differ(what: &str, number: usize, first: &str) -> String {
    format!(
        "{what} kept beside the book differ from it, first for {first} ({number} in all); derive them again with `leesline check --mend`."
    )
}

fn things_of_the_book(conn: &Connection) -> rusqlite::Result<Things> {
    let keys: Vec<Key> = conn
        .prepare("SELECT key FROM thing WHERE sort <> 'account' ORDER BY key")?
        .query_map([], |row| row.get("key"))?
        .collect::<rusqlite::Result<_>>()?;
    let mut all = Things::default();
    for at in keys {
        all.extend(things::from_book(conn, at)?.map(|it| (at, Arc::new(it))));
    }
    Ok(all)
}
