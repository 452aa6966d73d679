//! Questions before one wine is poured to another that it would spoil, or that would spoil it.

use std::collections::BTreeSet;

use crate::cellar::attention::{Holding, Policy};
use crate::cellar::entry::{Draft, Spot};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::Key;
use crate::cellar::trouble;

/// What is asked of each that is poured to wine that is there already, once however many bottles it is poured from.
pub(super) fn asks(draft: &Draft, cellar: &Snapshot) -> Vec<String> {
    let moved = draft.movements.iter().map(|it| (it.from, it.to));
    let poured_back = draft.bottles.iter().filter_map(|it| match it.to {
        Spot::Outside(into) => Some((it.run, into)),
        Spot::Kept(_) => None,
    });
    let pours: BTreeSet<(Key, Key)> = moved.chain(poured_back).collect();
    let meets = |it: &(Key, Key)| cellar.wine(it.0).is_some() && cellar.wine(it.1).is_some();
    let of_wine = pours.into_iter().filter(meets);
    of_wine
        .filter_map(|(from, into)| {
            marked(from, into, cellar).or_else(|| at_work(from, into, cellar))
        })
        .collect()
}

/// Either is marked with something that the other is not.
fn marked(from: Key, into: Key, cellar: &Snapshot) -> Option<String> {
    let (source, target) = (cellar.wine(from)?, cellar.wine(into)?);
    let (from, into) = (cellar.name(from), cellar.name(into));
    if let Some(fault) = trouble::brought(source, target) {
        let never = fault
            .never
            .first()
            .map_or(String::new(), |it| format!(" {it}"));
        return Some(format!(
            "{from} is marked with {}, and {into} is not: all of it would be.{never}",
            fault.name
        ));
    }
    let fault = trouble::brought(target, source)?;
    Some(format!(
        "{into} is marked with {}: what is poured to it goes the same way.",
        fault.name
    ))
}

/// What may ferment still is poured to wine that is over.
fn at_work(from: Key, into: Key, cellar: &Snapshot) -> Option<String> {
    let policy = Policy::of(cellar);
    let may_work = |place| Some(Holding::of(cellar, place, &policy)?.may_ferment());
    (may_work(from)? && !may_work(into)?).then(|| {
        let (from, into) = (cellar.name(from), cellar.name(into));
        format!(
            "{from} may still ferment, and {into} does not: its sugar and its yeast would set {into} to work again. Wait until it is dry."
        )
    })
}
