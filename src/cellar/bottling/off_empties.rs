//! What goes off the empties with a bottling that nobody would guess, asked before it does.

use super::{Closure, Package, drawn_for, filled_or_broken, left_count, other_mouth};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Wine;
use crate::cellar::thing::Thing;

/// What to ask before a bottling takes its empties, as half a sentence.
pub fn off_empties(run: &Thing, wine: &Wine, cellar: &Snapshot) -> Option<String> {
    let filled = filled_or_broken(wine);
    let mut asked = filled.into_iter();
    asked.find_map(|(size_ml, count)| {
        part_full(run, size_ml, cellar).or_else(|| of_other_mouth(run, size_ml, count, cellar))
    })
}

/// A jug, bag or keg that was filled in part takes a whole one.
fn part_full(run: &Thing, size_ml: i64, cellar: &Snapshot) -> Option<String> {
    let (package, closure) = (Package::of(run), Closure::of(run));
    let drawn = drawn_for(package, size_ml, closure, cellar);
    let mut there = drawn
        .iter()
        .filter(|it| left_count(it.key, cellar).is_some_and(|it| it > 0));
    let whole_ml = Package::empties_ml(there.next()?);
    (whole_ml != size_ml).then(|| {
        format!(
            "a whole {} of {} goes off the empties for {}",
            package.label(),
            package.size_words(whole_ml),
            package.size_words(size_ml)
        )
    })
}

/// Bottles that the run's closure does not fit are closed in their own way.
fn of_other_mouth(run: &Thing, size_ml: i64, count: i64, cellar: &Snapshot) -> Option<String> {
    let (package, closure) = (Package::of(run), Closure::of(run)?);
    let mouth = other_mouth(package, size_ml, Some(closure), cellar)?;
    Some(format!(
        "{count} of {} go off the empties {}, the only ones of that size, and no {} is counted for them",
        package.size_words(size_ml),
        mouth.label(),
        closure.label()
    ))
}
