//! Bottles filled one by one: each press is committed before the digit changes.

use rusqlite::{Connection, OptionalExtension, named_params};

use crate::cellar::bottling::{Chore, Package};
use crate::cellar::entry::{Draft, Entry, FillEvent, Filling, Kind};
use crate::cellar::fold::{self, Ledger};
use crate::cellar::thing::{Key, Thing, Value, field};

use super::project::{self, Causes};
use super::read::{LIVING, STANDS};
use super::{Clock, Effects, Store, StoreError, append, read, refusal, write};

impl Store {
    /// Records a press at the spout. Refused when the run is not being filled, when more is taken
    /// back than was filled, and when far more is filled than the vessel held by the book: up to a
    /// tenth more is found in it by the fold.
    pub fn fill(
        &mut self,
        run: Key,
        event: FillEvent,
        size_ml: i64,
        count: i64,
        at_ms: i64,
    ) -> Result<Effects, StoreError> {
        if size_ml <= 0 || count <= 0 {
            return Err(StoreError::Input(format!(
                "{count} bottles of {size_ml} mL cannot be filled; give a number and a size above zero."
            )));
        }
        let transaction = self.begin()?;
        let mut memory = self.recall()?;
        if !memory.things.get(&run).is_some_and(|it| it.is_filling()) {
            let name = fold::name(&memory.things, run);
            let thing = memory.things.get(&run);
            let why = if thing.is_some_and(|it| it.int(field::FINISHED).is_some()) {
                "is finished already; `leesline bottle count` takes bottles more or fewer, and for anything else void its finish"
            } else {
                "is not being filled; start a bottling first"
            };
            return Err(StoreError::Refused(format!("{name} {why}.")));
        }
        let thing = memory.things.get(&run);
        let package = thing.map(|it| Package::of(it)).unwrap_or_default();
        let holds_ml = thing.and_then(|it| it.int(field::SIZE)).unwrap_or(size_ml);
        if event == FillEvent::Filled
            && let Some(overfilled) = package.overfilled(holds_ml, size_ml)
        {
            return Err(StoreError::Refused(overfilled));
        }
        let Some(entry) = filled_by(&transaction, run)? else {
            return Err(append::no_thing(run));
        };
        if let Some(ready) = first_ready(&transaction, thing.map(|it| &**it), &entry)? {
            drop(transaction);
            let now_ms = ready.when.utc_ms;
            self.append(&ready, Clock { now_ms })?;
            return self.fill(run, event, size_ml, count, at_ms);
        }
        let fillings = &entry.draft.fillings;
        let of_size = || fillings.iter().filter(|it| it.size_ml == size_ml);
        let size = package.size_words(size_ml);
        let (there, what) = match event {
            FillEvent::Filled | FillEvent::Spilled | FillEvent::Drawn | FillEvent::Refused => {
                (i64::MAX, "")
            }
            FillEvent::Back | FillEvent::Broken => {
                (of_size().map(Filling::standing).sum(), "filled")
            }
            taken_back => {
                let amiss = taken_back.opposite();
                let mishaps = of_size().filter_map(Filling::mishap);
                let of_it = mishaps.filter(|it| it.0 == amiss);
                (of_it.map(|it| it.1).sum(), amiss.word())
            }
        };
        if count > there {
            let there = match there {
                0 => format!("Nothing of {size} is {what}"),
                1 => format!("Only {} is {what}", package.times(1, size_ml)),
                _ => format!("Only {} are {what}", package.times(there, size_ml)),
            };
            return Err(StoreError::Refused(format!(
                "{there}, and {count} cannot be taken back; take back no more than that."
            )));
        }
        let vessel = entry.draft.filled_from().map(|it| it.1);
        let taken_before = taken_since(&transaction, vessel, &entry)?;
        let mut filling = Filling {
            sequence: 0,
            event,
            size_ml,
            count,
            at_ms,
        };
        write::write_filling(&transaction, run, None, &mut filling)?;
        let mut ledger = Ledger::of(std::mem::take(&mut memory.things));
        let causes = Causes {
            again: [project::order(&entry)].into(),
            ..Causes::default()
        };
        let refolded = project::refold(&transaction, &mut ledger, causes)?;
        if !refolded.broken.is_empty() {
            let broken = &refolded.broken;
            let why = refusal::broken(&transaction, &ledger.things, broken, &[entry.key])?;
            return Err(StoreError::Refused(why));
        }
        // What was poured away meanwhile, down to the last of it, cannot be in the bottles too.
        if let (Some(before), Some(at)) = (taken_before, vessel)
            && taken_since(&transaction, vessel, &entry)?.is_none_or(|it| it.0 < before.0)
            && let Some(by) = read::entry(&transaction, before.1)?
        {
            return Err(StoreError::Refused(refusal::taken_meanwhile(
                &ledger.things,
                at,
                &by,
            )));
        }
        memory.things = ledger.things;
        memory.reread(&transaction, &refolded.rewritten)?;
        transaction.commit()?;
        self.remember(memory);
        Ok(refolded.effects)
    }
}

/// Before the first press: where its wine was racked, dosed or found otherwise since the entry that the presses would hang on, a
/// further one says that the run is filled from there on. So the bottles have what their wine was given before them.
fn first_ready(
    conn: &Connection,
    run: Option<&Thing>,
    filled_by: &Entry,
) -> rusqlite::Result<Option<Draft>> {
    let first =
        run.filter(|it| filled_by.draft.fillings.is_empty() && Chore::of(it) == Chore::Fill);
    let Some((run, vessel)) = first.and_then(|it| Some((it.key, it.int(field::VESSEL)?))) else {
        return Ok(None);
    };
    let since = changed_since(conn, Key(vessel), filled_by)?;
    Ok(since.map(|since| {
        let mut ready = Draft::new(Kind::Bottle, filled_by.draft.when.at(since));
        ready.subject = Some(run);
        ready.set(run, field::CHORE, Chore::Fill.word());
        ready.set(run, field::VESSEL, Value::Int(vessel));
        ready
    }))
}

/// When the wine of a vessel was last changed after an entry (UTC ms): poured, found otherwise, or something put in.
fn changed_since(conn: &Connection, vessel: Key, entry: &Entry) -> rusqlite::Result<Option<i64>> {
    let sql = format!(
        "SELECT max(entry.when_ms) AS since FROM mention JOIN entry ON entry.key = mention.entry
         WHERE mention.thing = :vessel AND {LIVING} AND (entry.when_ms, {STANDS}) > (:when_ms, :stands)
             AND (EXISTS (SELECT 1 FROM flow WHERE flow.entry = entry.key AND :vessel IN (flow.from_place, flow.to_place))
                 OR EXISTS (SELECT 1 FROM addition WHERE addition.entry = entry.key AND addition.place = :vessel))"
    );
    conn.prepare_cached(&sql)?.query_row(
        named_params! {
            ":vessel": vessel.0,
            ":when_ms": entry.draft.when.utc_ms,
            ":stands": entry.stands,
        },
        |row| row.get("since"),
    )
}

/// How much was taken out of a vessel by entries after the one that began to bottle from it, and by which
/// of them last.
fn taken_since(
    conn: &Connection,
    vessel: Option<Key>,
    begins: &Entry,
) -> rusqlite::Result<Option<(i64, Key)>> {
    let Some(vessel) = vessel else {
        return Ok(None);
    };
    let sql = "SELECT flow.volume_ul, flow.entry FROM mention
         JOIN flow ON flow.entry = mention.entry AND flow.from_place = mention.thing
         WHERE mention.thing = :vessel AND (mention.when_ms, mention.entry) > (:when_ms, :begins)
         ORDER BY mention.when_ms, mention.entry";
    let mut select = conn.prepare_cached(sql)?;
    let mut rows = select.query(named_params! {
        ":vessel": vessel.0,
        ":when_ms": begins.draft.when.utc_ms,
        ":begins": begins.key.0,
    })?;
    let mut taken = None;
    while let Some(row) = rows.next()? {
        let so_far = taken.map_or(0, |it: (i64, Key)| it.0);
        let more: i64 = row.get("volume_ul")?;
        taken = Some((so_far + more, row.get("entry")?));
    }
    Ok(taken)
}

/// The living entry that the presses of a run hang on: the last that says from which vessel it is filled.
pub(super) fn filled_by(conn: &Connection, run: Key) -> rusqlite::Result<Option<Entry>> {
    let sql = format!(
        "SELECT entry.key FROM change JOIN entry ON entry.key = change.entry
         WHERE change.thing = :run AND change.field = 'vessel' AND entry.kind = 'bottle' AND {LIVING}
         ORDER BY entry.when_ms DESC, {STANDS} DESC, entry.key DESC LIMIT 1"
    );
    let key = conn
        .prepare_cached(&sql)?
        .query_row(named_params! {":run": run.0}, |row| row.get("key"))
        .optional()?;
    Ok(key.map(|it| read::entry(conn, it)).transpose()?.flatten())
}
