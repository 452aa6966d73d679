//! Bottles filled one by one: each press is committed before the digit changes.

use std::collections::BTreeMap;

use rusqlite::{OptionalExtension, named_params};

use crate::cellar::bottling::Package;
use crate::cellar::entry::{FillEvent, Filling};
use crate::cellar::fold::{self, Ledger};
use crate::cellar::thing::{Key, field};

use super::project::{self, Causes};
use super::read::LIVING;
use super::{Effects, Store, StoreError, append, columns, read, refusal, write};

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
                "is finished already; void that entry to go on with it, or begin another with `bottle start`"
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
        let sql = format!(
            "SELECT entry.key FROM begun JOIN entry ON entry.key = begun.entry
             WHERE begun.thing = :run AND {LIVING} ORDER BY entry.key DESC LIMIT 1"
        );
        let begins = transaction
            .prepare_cached(&sql)?
            .query_row(named_params! {":run": run.0}, |row| {
                columns::key(row, "key")
            })
            .optional()?;
        let Some(entry) = begins
            .map(|it| read::entry(&transaction, it))
            .transpose()?
            .flatten()
        else {
            return Err(append::no_thing(run));
        };
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
        let mut filling = Filling {
            sequence: 0,
            event,
            size_ml,
            count,
            at_ms,
        };
        write::write_filling(&transaction, run, None, &mut filling)?;
        let mut ledger = Ledger {
            things: std::mem::take(&mut memory.things),
            states: BTreeMap::new(),
        };
        let causes = Causes {
            again: [(entry.draft.when.utc_ms, entry.key)].into(),
            ..Causes::default()
        };
        let refolded = project::refold(&transaction, &mut ledger, causes)?;
        if let Some(first) = refolded.broken.first() {
            let why = refusal::broken(&transaction, &ledger.things, first, &[entry.key])?;
            return Err(StoreError::Refused(why));
        }
        memory.things = ledger.things;
        memory.reread(&transaction, &refolded.rewritten)?;
        transaction.commit()?;
        self.remember(memory);
        Ok(refolded.effects)
    }
}
