//! Checking the file against itself, and rebuilding what is derived.

use std::collections::BTreeMap;

use rusqlite::{Connection, named_params};

use crate::cellar::entry::Entry;
use crate::cellar::fold::{Ledger, Outcome};
use crate::cellar::thing::{Key, Thing};

use super::columns::{key, to_json};
use super::project::{finding_of, reached, write_outcome};
use super::read::flow_of;
use super::{Store, StoreError, read, refusal, things, write};

/// Every table that is derived from the book.
const DERIVED: [&str; 5] = ["mention", "present", "standing", "flow", "finding"];

impl Store {
    /// Refolds the whole book and compares it with the projection row by row, and asks SQLite for
    /// faults of the file. What is wrong comes back as sentences; none means that all is well.
    pub fn check(&self) -> Result<Vec<String>, StoreError> {
        let mut wrong = self.faults_of_the_file()?;
        let derived = Derived::of(&self.conn)?;
        let kept = Derived::kept(&self.conn)?;
        wrong.extend(derived.broken.clone());
        wrong.extend(derived.differs_from(&kept));
        Ok(wrong)
    }

    /// Throws the projection away and derives it again from the book.
    pub fn rebuild(&mut self) -> Result<(), StoreError> {
        self.things.replace(None);
        let transaction = self.begin()?;
        let derived = Derived::of(&transaction)?;
        for table in DERIVED {
            transaction.execute(&format!("DELETE FROM {table}"), [])?;
        }
        derived.write(&transaction)?;
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

/// Place, when and entry of a row of `standing`.
type At = (Key, i64, Key);

/// Everything derived from the book: as the full fold has it, or as the file keeps it.
#[derive(Debug, Default)]
struct Derived {
    things: BTreeMap<Key, Thing>,
    mentions: Vec<At>,
    standing: BTreeMap<At, Option<String>>,
    outcomes: BTreeMap<Key, Outcome>,
    /// Rules that the book breaks, as sentences.
    broken: Vec<String>,
}

impl Derived {
    /// By the full fold.
    fn of(conn: &Connection) -> rusqlite::Result<Derived> {
        let entries = read::all(conn)?;
        let mut derived = Derived {
            things: things_of_the_book(conn)?,
            ..Derived::default()
        };
        for entry in &entries {
            let begun: Vec<Key> = if entry.draft.new_things.is_empty() {
                Vec::new()
            } else {
                let begun = write::begun_by(conn, entry.key)?;
                begun.into_iter().map(|(thing, _)| thing).collect()
            };
            let named = write::mentions(&entry.draft, &begun);
            let when_ms = entry.draft.when.utc_ms;
            derived
                .mentions
                .extend(named.into_iter().map(|it| (it, when_ms, entry.key)));
        }
        derived.mentions.sort_unstable();
        let mut ledger = Ledger {
            things: std::mem::take(&mut derived.things),
            states: BTreeMap::new(),
        };
        let mut living: Vec<&Entry> = entries.iter().filter(|it| it.is_living()).collect();
        living.sort_by_key(|it| it.order());
        for entry in living {
            derived.apply(&mut ledger, entry)?;
        }
        derived.things = ledger.things;
        Ok(derived)
    }

    fn apply(&mut self, ledger: &mut Ledger, entry: &Entry) -> rusqlite::Result<()> {
        let outcome = ledger.apply(entry);
        for place in reached(entry) {
            let state = ledger.states.get(&place).map(to_json).transpose()?;
            self.standing
                .insert((place, entry.draft.when.utc_ms, entry.key), state);
        }
        for finding in &outcome.findings {
            self.broken.push(format!(
                "{} breaks a rule: {}",
                capital(&refusal::the_entry(entry)),
                refusal::fault(&ledger.things, finding, "then")
            ));
        }
        if outcome != Outcome::default() {
            self.outcomes.insert(entry.key, outcome);
        }
        Ok(())
    }

    /// As the file keeps it.
    fn kept(conn: &Connection) -> rusqlite::Result<Derived> {
        let mut kept = Derived {
            things: things::all(conn)?,
            ..Derived::default()
        };
        let at = |row: &rusqlite::Row, place: &str| -> rusqlite::Result<At> {
            Ok((key(row, place)?, row.get("when_ms")?, key(row, "entry")?))
        };
        kept.mentions = conn
            .prepare("SELECT * FROM mention ORDER BY thing, when_ms, entry")?
            .query_map([], |row| at(row, "thing"))?
            .collect::<rusqlite::Result<_>>()?;
        kept.standing = conn
            .prepare("SELECT * FROM standing ORDER BY place, when_ms, entry")?
            .query_map([], |row| Ok((at(row, "place")?, row.get("state")?)))?
            .collect::<rusqlite::Result<_>>()?;
        let mut select = conn.prepare("SELECT * FROM flow ORDER BY entry, seq")?;
        let mut rows = select.query([])?;
        while let Some(row) = rows.next()? {
            let outcome = kept.outcomes.entry(key(row, "entry")?).or_default();
            outcome.flows.push(flow_of(row)?);
        }
        let mut select = conn.prepare("SELECT * FROM finding ORDER BY entry, seq")?;
        let mut rows = select.query([])?;
        while let Some(row) = rows.next()? {
            let finding = finding_of(row)?;
            let outcome = kept.outcomes.entry(finding.entry).or_default();
            outcome.findings.push(finding);
        }
        Ok(kept)
    }

    fn write(&self, conn: &Connection) -> rusqlite::Result<()> {
        let mut insert =
            conn.prepare("INSERT INTO present (thing, attributes) VALUES (:thing, :attributes)")?;
        for (key, thing) in &self.things {
            insert.execute(named_params! {
                ":thing": key.0, ":attributes": to_json(&thing.attributes)?,
            })?;
        }
        let mut insert = conn.prepare(
            "INSERT INTO mention (thing, when_ms, entry) VALUES (:thing, :when_ms, :entry)",
        )?;
        for (thing, when_ms, entry) in &self.mentions {
            insert.execute(named_params! {
                ":thing": thing.0, ":when_ms": when_ms, ":entry": entry.0,
            })?;
        }
        let mut insert = conn.prepare(
            "INSERT INTO standing (place, when_ms, entry, state)
             VALUES (:place, :when_ms, :entry, :state)",
        )?;
        for ((place, when_ms, entry), state) in &self.standing {
            insert.execute(named_params! {
                ":place": place.0, ":when_ms": when_ms, ":entry": entry.0, ":state": state,
            })?;
        }
        for (entry, outcome) in &self.outcomes {
            write_outcome(conn, *entry, outcome)?;
        }
        Ok(())
    }

    /// One sentence for each kind of difference, with how many rows and the first.
    fn differs_from(&self, kept: &Derived) -> Vec<String> {
        let mut differences = Vec::new();
        let mut note = |what: &str, rows: usize, first: Option<String>| {
            if let Some(first) = first {
                differences.push(format!(
                    "{what} kept beside the book differ from it in {rows} rows, first for {first}. `leesline check --mend` derives them again."
                ));
            }
        };
        let things = differing(&self.things, &kept.things);
        let name = |it: &Key| refusal::name(&self.things, *it);
        note("Attributes", things.len(), things.first().map(name));
        let standing = differing(&self.standing, &kept.standing);
        let first = standing.first().map(|(place, _, _)| name(place));
        note("Contents of places", standing.len(), first);
        let outcomes = differing(&self.outcomes, &kept.outcomes);
        let first = outcomes.first().map(|it| format!("entry {}", it.0));
        note("Movements", outcomes.len(), first);
        if self.mentions != kept.mentions {
            let rows = self.mentions.len().abs_diff(kept.mentions.len()).max(1);
            note("Histories", rows, Some("one thing".to_owned()));
        }
        differences
    }
}

/// Keys at which two maps do not agree.
fn differing<K: Ord + Clone, V: PartialEq>(one: &BTreeMap<K, V>, other: &BTreeMap<K, V>) -> Vec<K> {
    let here = one
        .iter()
        .filter(|(key, value)| other.get(key) != Some(value));
    let there = other.keys().filter(|key| !one.contains_key(key));
    here.map(|(key, _)| key).chain(there).cloned().collect()
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
