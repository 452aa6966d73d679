//! The fold: entries in order become what is where.
//!
//! [`Ledger::apply`] takes one entry on top of the states before it and says what flowed and what
//! is wrong; the full fold and the store's incremental one are both nothing but that, in order.
//! It never fails: what breaks a rule is a [`Finding`], so that two copies that were merged can
//! still be read and mended. Whether a finding refuses an entry is the store's to say.

mod bottles;
mod fault;
mod look;
mod pour;
mod record;
mod so2;

pub use fault::name;
pub(super) use pour::TOPPING_SHARE;
pub use record::DRAWS_KEPT;
pub(super) use so2::{ULLAGE_SHARE, UNDER_AIR_SHARE};

use std::collections::{BTreeMap, BTreeSet};

use super::amount::Volume;
use super::entry::Entry;
use super::state::{Share, State, Wine};
use super::thing::{Key, Things};
use so2::Level;

/// What is where, in the middle of a fold.
#[derive(Clone, Debug, Default)]
pub struct Ledger {
    /// Living things with their attributes, which hold at all times.
    pub things: Things,
    /// What each vessel, run and lot of supply holds.
    pub states: BTreeMap<Key, State>,
}

/// What one entry did.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outcome {
    /// Wine and lees that moved, resolved to the microlitre.
    pub flows: Vec<Flow>,
    /// Rules it breaks.
    pub findings: Vec<Finding>,
}

/// So much went from one place to another.
#[derive(Clone, Debug, PartialEq)]
pub struct Flow {
    /// From a vessel, run or account.
    pub from: Key,
    /// To a vessel, run or account.
    pub to: Key,
    /// How much; never negative.
    pub volume: Volume,
    /// Of which batches; sums to the volume.
    pub makeup: Vec<Share>,
}

/// A rule that an entry breaks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// The entry.
    pub entry: Key,
    /// The place where it breaks.
    pub place: Key,
    /// Which rule.
    pub fault: Fault,
}

/// Rules that a cellar keeps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// More was taken than was there.
    BelowZero {
        /// What was there.
        held: Volume,
        /// What was taken.
        taken: Volume,
    },
    /// More was put in than fits, by the measured brim.
    OverBrim {
        /// What it would hold.
        would_hold: Volume,
        /// Its brim.
        brim: Volume,
    },
    /// Something was said of a place that held nothing then.
    Empty,
    /// More bottles were taken from a position than stood there.
    BottlesShort {
        /// What was there.
        held: i64,
        /// What was taken.
        taken: i64,
    },
    /// More of a supply was used than there was, in the unit of the lot.
    SupplyShort {
        /// What was there.
        held: i64,
        /// What was used.
        used: i64,
    },
}

/// Folds a whole book. Entries may come in any order; voided ones are passed over. The outcome of
/// each living entry comes beside its key, in fold order.
pub fn fold(things: Things, entries: &[Entry]) -> (Ledger, Vec<(Key, Outcome)>) {
    let mut ledger = Ledger::of(things);
    let mut living: Vec<&Entry> = entries.iter().filter(|it| it.is_living()).collect();
    living.sort_by_key(|it| it.order());
    let outcomes = living
        .into_iter()
        .map(|entry| (entry.key, ledger.apply(entry)))
        .collect();
    (ledger, outcomes)
}

impl Ledger {
    /// Those things, before the first entry.
    pub fn of(things: Things) -> Ledger {
        Ledger {
            things,
            states: BTreeMap::new(),
        }
    }

    /// Applies one entry on top of the states before it. Wine moves first, so that what an entry
    /// says of a vessel holds for what the vessel holds after it.
    pub fn apply(&mut self, entry: &Entry) -> Outcome {
        self.begin_taken_over(entry);
        let held_before: BTreeSet<Key> = entry
            .draft
            .places()
            .into_iter()
            .filter(|it| self.holds_wine(*it))
            .collect();
        let poured = so2::poured(entry).into_iter();
        let before = poured.map(|it| (it, self.level(it))).collect();
        let mut step = Step {
            ledger: self,
            entry,
            outcome: Outcome::default(),
            held_before,
            before,
        };
        step.move_wine();
        // What is said as a bottling begins is of the wine that goes into the bottles.
        let begins = entry.draft.run_begun().is_some();
        if begins {
            step.write_readings();
        }
        step.fill_bottles();
        step.move_bottles();
        step.note_levels();
        step.note_falls();
        step.write_deeds();
        if !begins {
            step.write_readings();
        }
        step.write_additions();
        step.write_tastings();
        step.move_supplies();
        step.check_brims();
        step.outcome
    }

    /// Whether there is wine in a vessel or run.
    pub fn holds_wine(&self, place: Key) -> bool {
        matches!(self.states.get(&place), Some(State::Wine(wine))
            if wine.volume > Volume::ZERO || wine.unmeasured.is_some())
    }

    /// A vessel that was taken over full holds its wine from its own date on, though it was written
    /// down later: what is remembered of that time finds it there.
    fn begin_taken_over(&mut self, entry: &Entry) {
        let vessel = entry.draft.filled_from().map(|(_, vessel)| vessel);
        for place in entry.draft.places().into_iter().chain(vessel) {
            if self.states.contains_key(&place) {
                continue;
            }
            let vessel = self.things.get(&place);
            let wine = vessel.and_then(|it| Wine::taken_over(it, entry.draft.when.utc_ms));
            self.states.extend(wine.map(|it| (place, it.into())));
        }
    }
}

/// One entry in the middle of being applied.
struct Step<'a> {
    ledger: &'a mut Ledger,
    entry: &'a Entry,
    outcome: Outcome,
    /// Places that held wine before it.
    held_before: BTreeSet<Key>,
    /// How full the places were before it whose level it changes.
    before: BTreeMap<Key, Level>,
}

impl Step<'_> {
    fn now(&self) -> i64 {
        self.entry.draft.when.utc_ms
    }

    fn find(&mut self, place: Key, fault: Fault) {
        self.outcome.findings.push(Finding {
            entry: self.entry.key,
            place,
            fault,
        });
    }

    /// The wine in a vessel or run, empty if there was none yet.
    fn wine(&mut self, place: Key) -> &mut Wine {
        let state = self
            .ledger
            .states
            .entry(place)
            .or_insert_with(|| State::Wine(Box::default()));
        if let State::Supply(_) = state {
            *state = State::Wine(Box::default());
        }
        match state {
            State::Wine(wine) => wine,
            State::Supply(_) => unreachable!("replaced by wine above"),
        }
    }

    /// The wine that something is said of: there now, or there before this entry took the last.
    fn spoken_of(&mut self, place: Key) -> Option<&mut Wine> {
        if self.ledger.holds_wine(place) {
            return Some(self.wine(place));
        }
        if !self.held_before.contains(&place) {
            self.find(place, Fault::Empty);
        }
        None
    }

    fn check_brims(&mut self) {
        for place in self.entry.draft.places() {
            let brim = self.ledger.things.get(&place).and_then(|it| it.brim());
            let (Some(brim), Some(State::Wine(wine))) = (brim, self.ledger.states.get(&place))
            else {
                continue;
            };
            if wine.volume > brim {
                let would_hold = wine.volume;
                self.find(place, Fault::OverBrim { would_hold, brim });
            }
        }
    }
}

#[cfg(test)]
mod tests;
