//! Appending to the book: all or nothing, in one immediate transaction.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;
use std::time::{SystemTime, UNIX_EPOCH};

use rusqlite::{Connection, OptionalExtension, Transaction, TransactionBehavior, named_params};

use crate::cellar::amount::Volume;
use crate::cellar::entry::{Amount, Draft, Entry, Kind, Spot};
use crate::cellar::fold::Ledger;
use crate::cellar::settle::settle;
use crate::cellar::thing::{Account, Key, Sort, Thing, Things, Value};

use super::project::{self, Causes, Refolded};
use super::taken_back::Begun;
use super::write::{self, begin_things, mentions};
use super::{
    Clock, Effects, Stamp, Store, StoreError, Written, fill, open_ends, pointing, read, refusal,
    slots, things,
};

/// Whether a transaction is to last.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Lasting {
    /// Committed, and only then shown as saved.
    Committed,
    /// Given up once it is known what it would change.
    Previewed,
}

impl Store {
    /// Appends one entry. Refused if it is dated after now, names what is not there, takes a name
    /// that is taken, or makes the fold break a rule that it kept before; then nothing is written.
    pub fn append(&mut self, draft: &Draft, clock: Clock) -> Result<Written, StoreError> {
        self.append_all(std::slice::from_ref(draft), clock)
    }

    /// Appends entries together: all are written or none, and the rules are looked at once all are
    /// in. Each draft's negative keys are its own.
    pub fn append_all(&mut self, drafts: &[Draft], clock: Clock) -> Result<Written, StoreError> {
        self.change(drafts, clock, Lasting::Committed)
    }

    /// What appending those would change, or why it would be refused. Nothing is written.
    pub fn preview(&mut self, drafts: &[Draft], clock: Clock) -> Result<Effects, StoreError> {
        Ok(self.change(drafts, clock, Lasting::Previewed)?.effects)
    }

    /// Cancels an entry by a further one. Refused if it is a void, is voided already, a living entry
    /// points at it, or the book without it breaks a rule later on.
    pub fn void(&mut self, entry: Key, clock: Clock) -> Result<Written, StoreError> {
        let void = self.void_of(entry, Begun::Gone, clock)?;
        self.append(&void, clock)
    }

    /// What voiding would change, or why it would be refused.
    pub fn preview_void(&mut self, entry: Key, clock: Clock) -> Result<Effects, StoreError> {
        let void = self.void_of(entry, Begun::Gone, clock)?;
        self.preview(&[void], clock)
    }

    /// An immediate transaction: it waits for another writer now, not half way. Its borrow is
    /// shared only so that the store's own readers work inside; writers take the store exclusively.
    pub(super) fn begin(&self) -> Result<Transaction<'_>, StoreError> {
        Ok(Transaction::new_unchecked(
            &self.conn,
            TransactionBehavior::Immediate,
        )?)
    }

    fn change(
        &mut self,
        drafts: &[Draft],
        clock: Clock,
        lasting: Lasting,
    ) -> Result<Written, StoreError> {
        for draft in drafts {
            validate(draft, clock)?;
        }
        let transaction = self.begin()?;
        // Only now: nobody else can write any more.
        let before = self.recall()?;
        let mut memory = before.clone();
        let mut change = Change {
            conn: &transaction,
            ledger: Ledger::of(std::mem::take(&mut memory.things)),
            causes: Causes::default(),
            written: Vec::new(),
            touched: BTreeSet::new(),
        };
        for draft in drafts {
            change.enter(draft)?;
        }
        change.settle_things()?;
        let mut refolded = change.fold()?;
        let Change {
            ledger,
            written,
            touched,
            ..
        } = change;
        memory.things = ledger.things;
        memory.rename(&transaction, &touched)?;
        memory.reread(&transaction, &refolded.rewritten)?;
        slots::hold(&before, &memory, &touched, &refolded.rewritten)?;
        refolded.effects.strayed = slots::strayed(&before, &memory, &touched);
        if lasting == Lasting::Committed {
            transaction.commit()?;
            self.remember(memory);
        }
        Ok(Written {
            entries: written,
            effects: refolded.effects,
        })
    }
}

/// One change of the book, half made.
struct Change<'a> {
    conn: &'a Connection,
    ledger: Ledger,
    causes: Causes,
    /// The identities that the entries got.
    written: Vec<Stamp>,
    /// Things that began, ended or changed.
    touched: BTreeSet<Key>,
}

impl Change<'_> {
    /// Writes the rows of a draft.
    fn enter(&mut self, draft: &Draft) -> Result<(), StoreError> {
        let mut filled = Vec::new();
        if let Some(voided) = draft.voids {
            let voided = self.voidable(voided)?;
            let begun = write::begun_by(self.conn, voided.key)?;
            self.touched.extend(begun.iter().map(|(thing, _)| *thing));
            self.touched
                .extend(voided.draft.changes.iter().map(|it| it.thing));
            filled.extend(voided.draft.filled_from().map(|it| it.0));
            self.causes.gone.push(voided);
        }
        self.refers_to_what_is_there(draft)?;
        let begun = begin_things(self.conn, draft)?;
        self.touched.extend(&begun);
        let draft = settle(draft.clone(), &begun);
        for thing in mentions(&draft, &begun) {
            if !self.ledger.things.contains_key(&thing) && !self.touched.contains(&thing) {
                return Err(no_thing(thing));
            }
        }
        self.touched.extend(draft.changes.iter().map(|it| it.thing));
        filled.extend(draft.filled_from().map(|it| it.0));
        self.presses_move(&filled)?;
        let mut entry = write::write(self.conn, draft, &begun, real_clock())?;
        if entry.draft.filled_from().is_some() {
            // With the presses that hang on it from now on.
            entry = read::entry(self.conn, entry.key)?.unwrap_or(entry);
        }
        self.presses_move(&filled)?;
        self.written.push(Stamp {
            key: entry.key,
            uid: entry.uid,
            things: begun,
        });
        self.causes.fresh.push(entry);
        Ok(())
    }

    /// Where the presses of a run hang: they move to an entry that says later from which vessel it is filled, and back once that
    /// is voided.
    fn presses_move(&mut self, runs: &[Key]) -> Result<(), StoreError> {
        for run in runs {
            let entry = fill::filled_by(self.conn, *run)?;
            self.causes.again.extend(entry.as_ref().map(project::order));
        }
        Ok(())
    }

    /// The entry to be voided, if that may be.
    fn voidable(&self, at: Key) -> Result<Entry, StoreError> {
        let Some(entry) = read::entry(self.conn, at)? else {
            return Err(no_entry(at));
        };
        if entry.draft.kind == Kind::Void {
            return Err(StoreError::Refused(format!(
                "{} is itself a void and stays; enter again what it cancelled.",
                refusal::the_entry(&entry)
            )));
        }
        if entry.voided_by.is_some() {
            return Err(StoreError::Refused(format!(
                "{} is voided already; there is nothing left to cancel.",
                refusal::the_entry(&entry)
            )));
        }
        Ok(entry)
    }

    fn refers_to_what_is_there(&self, draft: &Draft) -> Result<(), StoreError> {
        let there = |sql: &str, at: Key| -> Result<bool, StoreError> {
            let found: Option<i64> = self
                .conn
                .prepare_cached(sql)?
                .query_row(named_params! {":key": at.0}, |row| row.get("key"))
                .optional()?;
            Ok(found.is_some())
        };
        for at in draft.amends.into_iter().chain(draft.from_jot) {
            if !there("SELECT key FROM entry WHERE key = :key", at)? {
                return Err(no_entry(at));
            }
        }
        for job in &draft.closes {
            if !there("SELECT key FROM job WHERE key = :key", *job)? {
                return Err(StoreError::Input(format!(
                    "the book has no job {}; `leesline due` lists those that are open.",
                    job.0
                )));
            }
        }
        Ok(())
    }

    /// Brings the attributes of all things touched and what is open up to date, and looks at what
    /// hangs on them.
    fn settle_things(&mut self) -> Result<(), StoreError> {
        let before = self.causes.gone.iter().map(|it| it.key);
        let pointed: Vec<Key> = before.collect();
        let mut was: BTreeMap<Key, Option<Arc<Thing>>> = BTreeMap::new();
        for thing in &self.touched {
            let before = things::refresh(self.conn, &mut self.ledger.things, *thing)?;
            let now = self.ledger.things.get(thing);
            if before.is_some()
                && things::read_by_fold(before.as_deref())
                    != things::read_by_fold(now.map(Arc::as_ref))
            {
                self.causes
                    .again
                    .extend(project::touching(self.conn, *thing)?);
            }
            was.insert(*thing, before);
        }
        let names: Things = was
            .into_iter()
            .filter_map(|(key, thing)| Some((key, thing?)))
            .collect();
        for (at, entry) in pointed.into_iter().zip(&self.causes.gone) {
            let begun = write::begun_by(self.conn, at)?;
            let begun: Vec<Key> = begun.into_iter().map(|(thing, _)| thing).collect();
            if let Some((by, how)) = pointing::first(self.conn, at, &begun)? {
                return Err(refusal::pointed_at(self.conn, &names, entry, by, how)?);
            }
        }
        for entry in &self.causes.fresh {
            for thing in mentions(&entry.draft, &[]) {
                if !self.ledger.things.contains_key(&thing) {
                    return Err(no_thing(thing));
                }
            }
        }
        for entry in self.causes.gone.iter().chain(&self.causes.fresh) {
            open_ends::refresh(self.conn, entry)?;
        }
        self.names_are_free()
    }

    fn names_are_free(&self) -> Result<(), StoreError> {
        let things = &self.ledger.things;
        let sorts = self.touched.iter().filter_map(|it| things.get(it));
        let sorts: BTreeSet<Sort> = sorts.map(|it| it.sort).collect();
        let mut named: BTreeMap<(Sort, String), &Thing> = BTreeMap::new();
        let asked = things.values().filter(|it| sorts.contains(&it.sort));
        for thing in asked.filter(|it| it.is_open()) {
            let name = thing.name().trim().to_lowercase();
            let Some(taken) = named.insert((thing.sort, name), thing) else {
                continue;
            };
            if self.touched.contains(&thing.key) || self.touched.contains(&taken.key) {
                return Err(StoreError::Refused(format!(
                    "there is a {} called {} already; give another name, or retire that one first.",
                    taken.sort.label(),
                    taken.name()
                )));
            }
        }
        Ok(())
    }

    /// Refolds, and refuses what breaks a rule.
    fn fold(&mut self) -> Result<Refolded, StoreError> {
        let fresh: Vec<Key> = self.causes.fresh.iter().map(|it| it.key).collect();
        let causes = std::mem::take(&mut self.causes);
        let refolded = project::refold(self.conn, &mut self.ledger, causes)?;
        if !refolded.broken.is_empty() {
            let broken = &refolded.broken;
            let why = refusal::broken(self.conn, &self.ledger.things, broken, &fresh)?;
            return Err(StoreError::Refused(why));
        }
        Ok(refolded)
    }
}

/// What no book could hold, whatever is in it, and what is still to come.
fn validate(draft: &Draft, clock: Clock) -> Result<(), StoreError> {
    if draft.when.utc_ms > clock.now_ms {
        return Err(StoreError::Refused(format!(
            "{} is after now, and the book takes what has happened: for what is to come, enter a plan (`leesline plan add`).",
            draft.when.day_words()
        )));
    }
    if (draft.kind == Kind::Void) != draft.voids.is_some() {
        return Err(StoreError::Input(
            "a void names the entry that it cancels, and nothing else does; give its key."
                .to_owned(),
        ));
    }
    for movement in &draft.movements {
        let volume = match movement.amount {
            Amount::Exactly(it) | Amount::RestLeaving(it) | Amount::LevelFound(it) => it,
            Amount::NotKnown => Volume::ZERO,
        };
        if volume < Volume::ZERO {
            return Err(StoreError::Input(format!(
                "{volume} cannot be moved; give an amount of zero or more."
            )));
        }
    }
    let bottles = draft.bottles.iter().map(|it| (it.size_ml, it.count, 0));
    let filled = draft.fillings.iter().map(|it| (it.size_ml, it.count, 1));
    for (size_ml, count, least) in bottles.chain(filled) {
        if size_ml <= 0 || count < least {
            return Err(StoreError::Input(format!(
                "{count} bottles of {size_ml} mL cannot be; give a whole number and a size above zero."
            )));
        }
    }
    // Bottles go to an account or, poured back, into a vessel; they come from nowhere else than an account.
    for bottles in &draft.bottles {
        match bottles.from {
            Spot::Outside(key) if Account::from_key(key).is_none() => return Err(no_thing(key)),
            _ => {}
        }
    }
    if !numbers(draft).all(f64::is_finite) {
        return Err(StoreError::Input(
            "one of the figures is not a number; give it again.".to_owned(),
        ));
    }
    Ok(())
}

/// Every number of a draft that is not a whole one.
fn numbers(draft: &Draft) -> impl Iterator<Item = f64> {
    use crate::cellar::entry::{Due, Found};
    let found = draft.readings.iter().flat_map(|it| match it.found {
        Found::Number(one) | Found::Below(one) | Found::Above(one) => vec![one],
        Found::Between(low, high) => vec![low, high],
        Found::Word(_) => Vec::new(),
    });
    let set = draft.changes.iter().filter_map(|it| match it.value {
        Some(Value::Real(value)) => Some(value),
        _ => None,
    });
    let due = draft.jobs.iter().filter_map(|it| match it.due {
        Due::AtGravity { gravity, .. } => Some(gravity),
        Due::On(_) => None,
    });
    let scores = draft.tastings.iter().filter_map(|it| it.score);
    found.chain(set).chain(due).chain(scores)
}

pub(super) fn no_entry(at: Key) -> StoreError {
    StoreError::Input(format!(
        "the book has no entry {}; `leesline book` lists what it has.",
        at.0
    ))
}

pub(super) fn no_thing(at: Key) -> StoreError {
    StoreError::Input(format!(
        "the cellar has nothing with key {}; it may have been voided meanwhile.",
        at.0
    ))
}

/// The real clock, UTC ms.
pub(super) fn real_clock() -> i64 {
    SystemTime::now()
        .duration_since(UNIX_EPOCH)
        .map_or(0, |it| it.as_millis() as i64)
}
