//! Checking the file against itself, and rebuilding what is derived.

use std::collections::BTreeMap;

use rusqlite::{Connection, named_params};

use crate::cellar::entry::Entry;
use crate::cellar::fold::{Ledger, Outcome};
use crate::cellar::thing::{Key, Thing};

use super::columns::{key, to_json};
use super::project::{outcome_of, reached, rows_of, write_latest, write_outcome, write_row};
use super::{Store, StoreError, open_ends, read, refusal, things, write};

/// Every table that is derived from the book.
const DERIVED: [&str; 8] = [
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
        self.things.replace(None);
        let transaction = self.begin()?;
        for table in DERIVED {
            transaction.execute(&format!("DELETE FROM {table}"), [])?;
        }
        rebuild(&transaction)?;
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

/// Derives everything, row by row, into empty tables.
fn rebuild(conn: &Connection) -> rusqlite::Result<()> {
    let things = things_of_the_book(conn)?;
    let mut insert =
        conn.prepare("INSERT INTO present (thing, attributes) VALUES (:thing, :attributes)")?;
    for (at, thing) in &things {
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

/// Derives everything and compares it with what is kept.
fn compare(conn: &Connection) -> rusqlite::Result<Vec<String>> {
    let mut attributes = Differences::default();
    let mut contents = Differences::default();
    let mut movements = Differences::default();
    let mut histories = Differences::default();
    let mut broken = Vec::new();

    let things = things_of_the_book(conn)?;
    let kept = things::all(conn)?;
    for (at, _) in things.iter().filter(|(at, it)| kept.get(at) != Some(it)) {
        attributes.note(refusal::name(&things, *at));
    }
    for at in kept.keys().filter(|it| !things.contains_key(it)) {
        attributes.note(refusal::name(&kept, *at));
    }

    let mut named: Vec<[i64; 3]> = Vec::new();
    let mut last: BTreeMap<Key, (i64, Option<String>)> = BTreeMap::new();
    let ledger = full_fold(conn, things, |ledger, entry, begun, outcome| {
        let when_ms = entry.draft.when.utc_ms;
        let mentions = write::mentions(&entry.draft, begun);
        named.extend(mentions.iter().map(|it| [it.0, when_ms, entry.key.0]));
        let Some(outcome) = outcome else {
            return Ok(());
        };
        let mut kept = rows_of(conn, entry.key)?;
        for place in reached(entry) {
            contents.seen += 1;
            let state = ledger.states.get(&place).map(to_json).transpose()?;
            if kept.remove(&place).as_ref() != Some(&state) {
                contents.note(refusal::name(&ledger.things, place));
            }
            last.insert(place, (when_ms, state));
        }
        for finding in &outcome.findings {
            broken.push(format!(
                "{} breaks a rule: {}",
                capital(&refusal::the_entry(entry)),
                refusal::fault(&ledger.things, finding, "then")
            ));
        }
        movements.seen += (outcome.flows.len() + outcome.findings.len()) as i64;
        if outcome_of(conn, entry.key)? != outcome {
            movements.note(refusal::the_entry(entry));
        }
        Ok(())
    })?;

    named.sort_unstable();
    histories.seen = named.len() as i64;
    let mut select =
        conn.prepare("SELECT thing, when_ms, entry FROM mention ORDER BY thing, when_ms, entry")?;
    let kept: Vec<[i64; 3]> = select
        .query_map([], |row| {
            Ok([row.get("thing")?, row.get("when_ms")?, row.get("entry")?])
        })?
        .collect::<rusqlite::Result<_>>()?;
    for [thing, ..] in named.iter().filter(|it| kept.binary_search(it).is_err()) {
        histories.note(refusal::name(&ledger.things, Key(*thing)));
    }
    histories.surplus(kept.len() as i64);

    let mut select = conn.prepare("SELECT place, when_ms, state FROM latest")?;
    let mut rows = select.query([])?;
    while let Some(row) = rows.next()? {
        let place = key(row, "place")?;
        let kept = (row.get("when_ms")?, row.get("state")?);
        if last.remove(&place) != Some(kept) {
            contents.note(refusal::name(&ledger.things, place));
        }
    }
    for place in last.keys() {
        contents.note(refusal::name(&ledger.things, *place));
    }
    let rows =
        |sql: &str| -> rusqlite::Result<i64> { conn.query_row(sql, [], |row| row.get("rows")) };
    // Two rows of one place and entry, or one under a wrong date, do not show above.
    contents.surplus(rows(
        "SELECT (SELECT count(*) FROM standing) + (
             SELECT count(*) FROM standing JOIN entry ON entry.key = standing.entry
             WHERE standing.when_ms <> entry.when_ms) AS rows",
    )?);
    movements.surplus(rows(
        "SELECT (SELECT count(*) FROM flow) + (SELECT count(*) FROM finding) AS rows",
    )?);

    let open = open_ends::differences(conn)?;
    if open > 0 {
        broken.push(format!(
            "Open jobs and jots kept beside the book differ from it in {open} rows; derive them again with `leesline check --mend`."
        ));
    }
    broken.extend(attributes.sentence("Attributes"));
    broken.extend(contents.sentence("Contents of places"));
    broken.extend(movements.sentence("Movements"));
    broken.extend(histories.sentence("Histories"));
    Ok(broken)
}

/// Folds the whole book. Each entry is handed over with the things it began and, if it lives, what
/// it did.
fn full_fold(
    conn: &Connection,
    things: BTreeMap<Key, Thing>,
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

/// Rows of one kind in which the projection differs from the book.
#[derive(Debug, Default)]
struct Differences {
    /// Rows that the book gives.
    seen: i64,
    /// Rows that are not so in the file.
    rows: i64,
    /// Where the first is.
    first: Option<String>,
}

impl Differences {
    fn note(&mut self, of: String) {
        self.rows += 1;
        self.first.get_or_insert(of);
    }

    /// Rows in the file beyond those of the book.
    fn surplus(&mut self, kept: i64) {
        if kept > self.seen {
            self.rows += kept - self.seen;
            self.first
                .get_or_insert_with(|| "what is not so in the book".to_owned());
        }
    }

    fn sentence(self, what: &str) -> Option<String> {
        let first = self.first?;
        Some(format!(
            "{what} kept beside the book differ from it in {} rows, first for {first}; derive them again with `leesline check --mend`.",
            self.rows
        ))
    }
}

fn things_of_the_book(conn: &Connection) -> rusqlite::Result<BTreeMap<Key, Thing>> {
    let keys: Vec<Key> = conn
        .prepare("SELECT key FROM thing WHERE sort <> 'account' ORDER BY key")?
        .query_map([], |row| key(row, "key"))?
        .collect::<rusqlite::Result<_>>()?;
    let mut all = BTreeMap::new();
    for at in keys {
        all.extend(things::from_book(conn, at)?.map(|it| (at, it)));
    }
    Ok(all)
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}
