//! Amending: an entry is voided and entered anew in one step.

use crate::cellar::bottling::{Package, Tally, draws};
use crate::cellar::entry::{
    Change, Draft, Entry, FillEvent, Filling, Kind, SupplyChange, SupplyMove,
};
use crate::cellar::thing::{Key, Value, field};

use super::taken_back::{Begun, is_counted_as_then};
use super::{Clock, Effects, Filter, Store, StoreError, Written, append, fill, read, refusal};

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
            let was = &amended.draft;
            is_counted_as_then(&amended, &again)?;
            keep_drawn(&mut again, was);
            let filled = was.filled_from().or_else(|| again.filled_from());
            let filled_by = match filled {
                Some((run, _)) => fill::filled_by(&self.conn, run)?,
                None => None,
            };
            match filled_by {
                Some(it) if it.key == entry => {
                    keep_count(&mut again, was)?;
                    let now = self.snapshot(self.settings()?.zone.moment(clock.now_ms))?;
                    draws::follow(&mut again, was, &self.finish_of(was)?, &now);
                }
                Some(other) if !again.fillings.is_empty() => {
                    return Err(counted_elsewhere(&other));
                }
                _ => {}
            }
        }
        Ok([self.void_of(entry, Begun::TakenOver, clock)?, again])
    }

    /// The entry that the bottles of a finished run hang on, and the same with so many bottles of a size more, or fewer.
    pub fn recounted(
        &self,
        run: Key,
        size_ml: i64,
        more: i64,
    ) -> Result<(Entry, Draft), StoreError> {
        let Some(entry) = fill::filled_by(&self.conn, run)? else {
            return Err(append::no_thing(run));
        };
        let mut standing = Tally::of(&entry.draft.fillings).standing;
        let of_size = standing.entry(size_ml).or_default();
        if *of_size + more < 0 {
            return Err(StoreError::Refused(format!(
                "{of_size} of {size_ml} mL were filled, and {} cannot be taken back; take back no more than that.",
                -more
            )));
        }
        *of_size += more;
        standing.retain(|_, count| *count > 0);
        if standing.is_empty() {
            return Err(StoreError::Refused(format!(
                "no bottle would be left of it; `leesline void {}` takes the bottling back.",
                entry.key.0
            )));
        }
        let filled = standing.into_iter().zip(1..);
        let fillings = filled.map(|((size_ml, count), sequence)| Filling {
            sequence,
            event: FillEvent::Filled,
            size_ml,
            count,
            at_ms: entry.draft.when.utc_ms,
        });
        let draft = Draft {
            fillings: fillings.collect(),
            ..entry.draft.clone()
        };
        Ok((entry, draft))
    }

    /// The entries that finished the run whose bottles hang on an entry.
    fn finish_of(&self, filled_by: &Draft) -> Result<Vec<Draft>, StoreError> {
        let Some((run, _)) = filled_by.filled_from() else {
            return Ok(Vec::new());
        };
        let filter = Filter {
            thing: Some(run),
            kind: Some(Kind::Bottle),
            living: true,
            ..Filter::default()
        };
        let entries = self.entries(&filter)?.into_iter();
        let mut drafts: Vec<Draft> = entries.map(|it| it.entry.draft).collect();
        drafts.retain(|it| it.sets(field::FINISHED).is_some());
        Ok(drafts)
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

/// Supplies counted while bottles were filled: how many were filled by then is not reckoned anew from what was filled since.
fn keep_drawn(again: &mut Draft, was: &Draft) {
    if (again.kind, was.kind) != (Kind::StockTake, Kind::StockTake) {
        return;
    }
    let is_drawn = |it: &&SupplyMove| matches!(it.change, SupplyChange::By(_));
    let is_said = |it: &&Change| it.field == field::DRAWN_COUNTED;
    if [&*again, was]
        .iter()
        .all(|it| !it.changes.iter().any(|it| is_said(&it)))
    {
        return;
    }
    let mut supplies: Vec<SupplyMove> = was.supplies.iter().filter(is_drawn).cloned().collect();
    supplies.extend(again.supplies.drain(..).filter(|it| !is_drawn(&it)));
    again.supplies = supplies;
    again.changes.retain(|it| !is_said(&it));
    again
        .changes
        .extend(was.changes.iter().filter(is_said).cloned());
}

/// The bottles were counted after another entry made ready for them.
fn counted_elsewhere(other: &Entry) -> StoreError {
    StoreError::Refused(format!(
        "its bottles were counted later, from {} on: `leesline bottle count` takes bottles more or fewer.",
        refusal::the_entry(other)
    ))
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
