//! Amending: an entry is voided and entered anew in one step.

use crate::cellar::bottling::{Package, Tally};
use crate::cellar::entry::{Draft, FillEvent, Filling};
use crate::cellar::thing::{Key, Value, field};

use super::taken_back::Begun;
use super::{Clock, Effects, Store, StoreError, Written, read};

impl Store {
    /// Cancels an entry and re-enters it as `draft`, in one step. Things that the entry began stay
    /// the same things: the draft's first new thing is the entry's first, if of the same sort.
    pub fn amend(
        &mut self,
        entry: Key,
        draft: &Draft,
        clock: Clock,
    ) -> Result<Written, StoreError> {
        let both = self.amendment(entry, draft, clock)?;
        self.append_all(&both, clock)
    }

    /// What amending would change, or why it would be refused.
    pub fn preview_amend(
        &mut self,
        entry: Key,
        draft: &Draft,
        clock: Clock,
    ) -> Result<Effects, StoreError> {
        let both = self.amendment(entry, draft, clock)?;
        self.preview(&both, clock)
    }

    fn amendment(&self, entry: Key, draft: &Draft, clock: Clock) -> Result<[Draft; 2], StoreError> {
        let mut again = draft.clone();
        again.amends = Some(entry);
        again.voids = None;
        if let Some(amended) = read::entry(&self.conn, entry)? {
            // What was made of a jot is still made of it.
            again.from_jot = again.from_jot.or(amended.draft.from_jot);
            if again.run_begun().is_some() {
                keep_count(&mut again, &amended.draft)?;
            }
        }
        Ok([self.void_of(entry, Begun::TakenOver, clock)?, again])
    }
}

/// A bottling that is entered anew without a count keeps what was counted. With one, so many stand, and
/// what was spilled, drawn or broken still was.
fn keep_count(again: &mut Draft, was: &Draft) -> Result<(), StoreError> {
    if again.fillings.is_empty() {
        let what = |draft: &Draft| [field::SIZE, field::PACKAGE].map(|it| draft.sets(it).cloned());
        if !was.fillings.is_empty() && what(again) != what(was) {
            return Err(counted_otherwise(was));
        }
        again.fillings.clone_from(&was.fillings);
    } else if again.fillings != was.fillings {
        let amiss = was.fillings.iter().filter(|it| it.mishap().is_some());
        for it in amiss {
            // Full bottles that broke were filled before.
            let standing = it.standing();
            let event = if standing < 0 {
                FillEvent::Filled
            } else {
                FillEvent::Back
            };
            let made_good = (standing != 0).then(|| Filling {
                event,
                ..it.clone()
            });
            again.fillings.extend(made_good);
            again.fillings.push(it.clone());
        }
    }
    Ok(())
}

/// The size is another, and how many of it were filled is not said.
fn counted_otherwise(was: &Draft) -> StoreError {
    let package = was.sets(field::PACKAGE).and_then(|it| match it {
        Value::Text(word) => Package::from_word(word),
        _ => None,
    });
    let counted = Tally::of(&was.fillings).sizes(package.unwrap_or_default());
    StoreError::Refused(format!(
        "{counted} were counted, and it would be of another size; give that size again, or how many of the new one \
         were filled (`--filled 10x375`)."
    ))
}
