//! Checking the file against itself, and rebuilding what is derived.

use std::collections::{BTreeMap, HashMap};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::Arc;

use rusqlite::{Connection, named_params};

use crate::cellar::entry::Entry;
use crate::cellar::fold::{self, Ledger, Outcome};
use crate::cellar::racks::{self, Racks};
use crate::cellar::state::State;
use crate::cellar::telling;
use crate::cellar::thing::{Key, Things};

use super::columns::{key, to_json};
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
    let ledger = full_fold(conn, things, |ledger, entry, begun, outcome| {
        write::write_mentions(conn, entry, begun)?;
        let Some(outcome) = outcome else {
            return Ok(());
        };
        for place in reached(entry) {
            let state = ledger.states.get(&place).map(to_json).transpose()?;
            write_row(conn, place, entry, state.as_deref())?;
        }
        write_outcome(conn, entry.key, &outcome)
    })?;
    for place in ledger.things.keys() {
        write_latest(conn, *place)?;
    }
    open_ends::rebuild(conn)
}

/// Derives everything and compares it with what is kept. Contents are compared by digests, so that
/// neither the book nor the projection is ever in memory as a whole. Columns of the long tables are
/// read by number: finding them by name is a tenth of the time.
fn compare(conn: &Connection) -> rusqlite::Result<Vec<String>> {
    let mut attributes = Rows::default();
    let mut contents = Rows::default();
    let mut movements = Rows::default();
    let mut histories = Rows::default();
    let mut broken = Vec::new();

    let things = things_of_the_book(conn)?;
    for thing in things.values() {
        attributes.derived([thing.key.0, 0, 0], &format!("{thing:?}"));
    }
    let mut last: BTreeMap<Key, (i64, Option<String>)> = BTreeMap::new();
    let ledger = full_fold(conn, things, |ledger, entry, begun, outcome| {
        let when_ms = entry.draft.when.utc_ms;
        for thing in write::mentions(&entry.draft, begun) {
            histories.derived([thing.0, when_ms, entry.key.0], &());
        }
        let Some(outcome) = outcome else {
            return Ok(());
        };
        for place in reached(entry) {
            let state = ledger.states.get(&place).map(to_json).transpose()?;
            let at = [place.0, when_ms, entry.key.0];
            contents.derived(at, &(entry.stands, state.as_deref()));
            last.insert(place, (when_ms, state));
        }
        if outcome != Outcome::default() {
            movements.derived([entry.key.0, 0, 0], &format!("{outcome:?}"));
        }
        for finding in &outcome.findings {
            broken.push(format!(
                "{} breaks a rule: {}",
                telling::capital(&refusal::the_entry(entry)),
                finding.sentence(&ledger.things, "then")
            ));
        }
        Ok(())
    })?;
    let racks = Racks::of(&ledger.things);
    let runs = ledger.states.iter().map(|(place, state)| match state {
        State::Wine(wine) => (*place, &wine.bottles[..]),
        State::Supply(_) => (*place, &[][..]),
    });
    for crowd in racks::crowds(&racks, runs) {
        broken.push(telling::capital(&crowd.sentence(&racks, &ledger.things)));
    }
    for (place, (when_ms, state)) in last {
        let at = [place.0, when_ms, LATEST];
        contents.derived(at, &(LATEST, state.as_deref()));
    }

    for thing in things::all(conn)?.values() {
        attributes.kept([thing.key.0, 0, 0], &format!("{thing:?}"));
    }
    for (entry, outcome) in all_outcomes(conn)? {
        movements.kept([entry.0, 0, 0], &format!("{outcome:?}"));
    }
    let mut select = conn.prepare("SELECT thing, when_ms, entry FROM mention")?;
    let mut rows = select.query([])?;
    while let Some(row) = rows.next()? {
        histories.kept([row.get(0)?, row.get(1)?, row.get(2)?], &());
    }
    let mut select = conn.prepare(
        "SELECT place, when_ms, entry, stands, state FROM standing
         UNION ALL SELECT place, when_ms, :latest, :latest, state FROM latest",
    )?;
    let mut rows = select.query(named_params! {":latest": LATEST})?;
    while let Some(row) = rows.next()? {
        let at = [row.get(0)?, row.get(1)?, row.get(2)?];
        let stands: i64 = row.get(3)?;
        contents.kept(at, &(stands, row.get_ref(4)?.as_str_or_null()?));
    }

    let name = |key: i64| fold::name(&ledger.things, Key(key));
    broken.extend(attributes.differ("Attributes", name));
    broken.extend(contents.differ("Contents of places", name));
    broken.extend(movements.differ("Movements", |key| format!("entry {key}")));
    broken.extend(histories.differ("Histories", name));
    let open = open_ends::differences(conn)?;
    if open > 0 {
        broken.push(differ("Open jobs and jots", open as usize, "one of them"));
    }
    Ok(broken)
}

/// Stands for the entry in a row of `latest`.
const LATEST: i64 = -1;

/// Folds the whole book. Each entry is handed over with the things it began and, if it lives, what
/// it did.
fn full_fold(
    conn: &Connection,
    things: Things,
    mut each: impl FnMut(&Ledger, &Entry, &[Key], Option<Outcome>) -> rusqlite::Result<()>,
) -> rusqlite::Result<Ledger> {
    let mut ledger = Ledger {
        things,
        states: BTreeMap::new(),
    };
    read::in_order(conn, |entry| {
        let begun: Vec<Key> = if entry.draft.new_things.is_empty() {
            Vec::new()
        } else {
            let begun = write::begun_by(conn, entry.key)?;
            begun.into_iter().map(|(thing, _)| thing).collect()
        };
        let outcome = entry.is_living().then(|| ledger.apply(&entry));
        each(&ledger, &entry, &begun, outcome)
    })?;
    Ok(ledger)
}

/// Rows of one kind, those that the book gives less those that are kept: for each thing or entry that
/// they are of, the sum of their digests. It is nothing where the rows are the same, in any order.
#[derive(Debug, Default)]
struct Rows {
    sums: HashMap<i64, u64>,
}

impl Rows {
    /// The book gives this row; what it is of comes first in its key.
    fn derived(&mut self, at: [i64; 3], content: &impl Hash) {
        let sum = self.sums.entry(at[0]).or_default();
        *sum = sum.wrapping_add(digest(at, content));
    }

    /// The file has this row.
    fn kept(&mut self, at: [i64; 3], content: &impl Hash) {
        let sum = self.sums.entry(at[0]).or_default();
        *sum = sum.wrapping_sub(digest(at, content));
    }

    /// The sentence about what differs, if anything does.
    fn differ(self, what: &str, name: impl Fn(i64) -> String) -> Option<String> {
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

fn digest(at: [i64; 3], content: &impl Hash) -> u64 {
    let mut hasher = DefaultHasher::new();
    (at, content).hash(&mut hasher);
    hasher.finish()
}

fn things_of_the_book(conn: &Connection) -> rusqlite::Result<Things> {
    let keys: Vec<Key> = conn
        .prepare("SELECT key FROM thing WHERE sort <> 'account' ORDER BY key")?
        .query_map([], |row| key(row, "key"))?
        .collect::<rusqlite::Result<_>>()?;
    let mut all = Things::default();
    for at in keys {
        all.extend(things::from_book(conn, at)?.map(|it| (at, Arc::new(it))));
    }
    Ok(all)
}
