//! The cellar as if an entry were not in the book: what amending an entry is written against.

use std::sync::Arc;

use crate::cellar::entry::Entry;
use crate::cellar::moment::Moment;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::field;

use super::{Clock, Store, StoreError, things};

impl Store {
    /// The cellar at a moment without an entry: what it began is not there yet, and what it poured
    /// away still is.
    pub fn without(
        &mut self,
        entry: &Entry,
        at: Moment,
        clock: Clock,
    ) -> Result<Snapshot, StoreError> {
        let mut then = if at == entry.draft.when {
            // What else is written of that moment came before it or comes after, as it does now.
            self.before(entry)?
        } else if let Ok(effects) = self.preview_void(entry.key, clock) {
            let mut then = self.snapshot(at)?;
            // What differs no more is at that moment as the book has it, whatever came to it since.
            for shift in effects.in_the_end(at.utc_ms) {
                match &shift.after {
                    Some(state) => then.states.insert(shift.place, state.clone().into()),
                    None => then.states.remove(&shift.place),
                };
            }
            then
        } else {
            // Later entries speak of what it began, so it cannot be voided alone; what was there
            // before it is known all the same.
            let before = at.at(at.utc_ms.min(entry.draft.when.utc_ms) - 1);
            Snapshot {
                now: at,
                ..self.snapshot(before)?
            }
        };
        // What it takes itself is not lacking later.
        let taken = entry.draft.supplies.iter().map(|it| it.lot);
        let added = entry.draft.additions.iter().filter_map(|it| it.lot);
        for lot in taken.chain(added) {
            then.stays.remove(&lot);
        }
        // A run is not yet finished, a vessel not yet retired.
        for change in &entry.draft.changes {
            if let (field::FINISHED | field::CLOSED, Some(thing)) =
                (change.field.as_str(), then.things.get_mut(&change.thing))
            {
                Arc::make_mut(thing).attributes.remove(&change.field);
            }
        }
        self.steps_before(entry, &mut then)?;
        let names = entry
            .draft
            .changes
            .iter()
            .filter(|it| it.field == field::NAME);
        for begun in names.take(entry.draft.new_things.len()) {
            then.things.remove(&begun.thing);
            then.filling = then.filling.filter(|it| *it != begun.thing);
        }
        Ok(then)
    }

    /// A bottling is where it was before an entry that went a step on.
    fn steps_before(&self, entry: &Entry, then: &mut Snapshot) -> Result<(), StoreError> {
        let mut changes = entry.draft.changes.iter();
        let step = changes.find(|it| it.field == field::CHORE);
        let Some((run, thing)) =
            step.and_then(|it| Some((it.thing, then.things.get_mut(&it.thing)?)))
        else {
            return Ok(());
        };
        let attributes = &mut Arc::make_mut(thing).attributes;
        for name in [field::CHORE, field::CHORE_SINCE, field::FINISHED] {
            match things::before(&self.conn, (run, name), entry)? {
                Some(value) => attributes.insert(name.to_owned(), value),
                None => attributes.remove(name),
            }
        }
        Ok(())
    }
}
