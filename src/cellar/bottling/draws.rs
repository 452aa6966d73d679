//! What a bottling took of empties and closures follows its count, where that is written anew after it was finished.

use std::collections::BTreeMap;

use super::{Closure, Package, Tally, closure_lots, drawn_for, left_count, other_mouth};
use crate::cellar::entry::{Dose, Draft, SupplyChange, SupplyMove};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Key, Thing, Value, field};

/// What counting a run anew took of each lot since it was finished; below nought it was given back.
pub fn since(run: &Thing) -> BTreeMap<Key, i64> {
    by_lot(run.text(field::DRAWN_SINCE))
}

/// What was off each lot when it was counted while the run was filled, which the finish does not take once more.
pub fn counted(run: &Thing) -> BTreeMap<Key, i64> {
    by_lot(run.text(field::DRAWN_COUNTED))
}

/// The same of all lots of which that is true.
pub fn counted_of(run: &Thing, cellar: &Snapshot, is_of: impl Fn(&Thing) -> bool) -> i64 {
    let counted = counted(run).into_iter();
    counted
        .filter(|it| cellar.thing(it.0).is_some_and(&is_of))
        .map(|it| it.1)
        .sum()
}

/// A line for each lot.
pub fn lines(drawn: &BTreeMap<Key, i64>) -> String {
    let lines = drawn
        .iter()
        .map(|(lot, count)| format!("{} {count}", lot.0));
    lines.collect::<Vec<String>>().join("\n")
}

fn by_lot(lines: &str) -> BTreeMap<Key, i64> {
    let drawn = lines.lines().filter_map(|it| it.split_once(' '));
    drawn
        .filter_map(|(lot, count)| Some((Key(lot.parse().ok()?), count.parse().ok()?)))
        .collect()
}

/// Lets an entry that begins a run take as much more or less of the supplies as it counts more or fewer bottles
/// than the entry in whose stead it is, once the run is finished by those. Of what the finish left alone
/// nothing is taken.
pub fn follow(again: &mut Draft, was: &Draft, finishes: &[Draft], cellar: &Snapshot) {
    let (Some((run, _)), Some((key, _))) = (again.filled_from(), was.filled_from()) else {
        return;
    };
    let (Some(thing), false) = (cellar.thing(key), finishes.is_empty()) else {
        return;
    };
    let mut drawn = BTreeMap::new();
    for moved in finishes.iter().chain([was]).flat_map(|it| &it.supplies) {
        if let SupplyChange::By(Dose::Count(count)) = moved.change {
            *drawn.entry(moved.lot).or_insert(0) -= count;
        }
    }
    let mut taking = Draws {
        cellar,
        drawn,
        more: since(thing),
    };
    let package = Package::of(thing);
    let closure = Closure::of(thing);
    let (before, after) = (Tally::of(&was.fillings), Tally::of(&again.fillings));
    let mut sizes: BTreeMap<i64, i64> = after.standing.clone();
    for (size_ml, count) in &before.standing {
        *sizes.entry(*size_ml).or_default() -= count;
    }
    for (size_ml, more) in &sizes {
        let of_size = drawn_for(package, *size_ml, closure, cellar);
        taking.take(&of_size, *more, |it| Package::of_empties(it).is_some());
    }
    if let Some(closure) = closure.filter(|it| it.is_used_up()) {
        let lots: Vec<&Thing> = closure_lots(closure, cellar).into_iter().collect();
        let is_closed =
            |size_ml: i64| other_mouth(package, size_ml, Some(closure), cellar).is_none();
        let closed = sizes.iter().filter(|it| is_closed(*it.0));
        let more = closed.map(|it| it.1).sum();
        taking.take(&lots, more, |it| Package::of_empties(it).is_none());
    }
    taking.more.retain(|_, count| *count != 0);
    again.supplies = taking
        .more
        .iter()
        .map(|(lot, count)| taken(*lot, *count))
        .collect();
    let lines = lines(&taking.more);
    again.changes.retain(|it| it.field != field::DRAWN_SINCE);
    if !lines.is_empty() {
        again.set(run, field::DRAWN_SINCE, Value::Text(lines));
    }
}

fn taken(lot: Key, count: i64) -> SupplyMove {
    SupplyMove {
        lot,
        change: SupplyChange::By(Dose::Count(-count)),
    }
}

struct Draws<'a> {
    cellar: &'a Snapshot,
    /// What was taken of each lot until now.
    drawn: BTreeMap<Key, i64>,
    /// What is taken besides what the finish took.
    more: BTreeMap<Key, i64>,
}

impl Draws<'_> {
    /// Takes so many more of those lots, first of those that were taken from; below nought gives back, no more than
    /// was taken. If the bottling took nothing of their kind, nothing happens.
    fn take(&mut self, lots: &[&Thing], mut more: i64, is_of_kind: impl Fn(&Thing) -> bool) {
        let took = |lot: &Key| self.cellar.thing(*lot).is_some_and(&is_of_kind);
        if !self.drawn.keys().any(took) {
            return;
        }
        let (before, others): (Vec<&Thing>, Vec<&Thing>) =
            lots.iter().partition(|it| self.drawn.contains_key(&it.key));
        for lot in before.into_iter().chain(others) {
            let drawn = self.drawn.get(&lot.key).copied().unwrap_or(0);
            let there = left_count(lot.key, self.cellar).unwrap_or(0);
            let part = more.clamp(-drawn.max(0), there.max(0));
            *self.more.entry(lot.key).or_default() += part;
            *self.drawn.entry(lot.key).or_default() += part;
            more -= part;
        }
    }
}
