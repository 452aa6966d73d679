//! Lots of supply: which one is meant, which one is drawn down.

use super::additions::{substance_named, unit_of};
use super::{Form, Refusal};
use crate::cellar::dosing::is_powder;
use crate::cellar::entry::{Dose, Draft, SupplyChange, SupplyMove};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::supplies::opened;
use crate::cellar::thing::{Key, Sort, Thing, field};

/// A lot by its name, or by the word for what it is where only one lot of that is open.
pub(super) fn lot<'a>(
    form: &Form,
    key: &'static str,
    cellar: &'a Snapshot,
) -> Result<&'a Thing, Refusal> {
    lot_named(form.get(key).unwrap_or_default(), key, cellar)
}

/// The lot that was named in a field.
pub(super) fn lot_named<'a>(
    name: &str,
    key: &'static str,
    cellar: &'a Snapshot,
) -> Result<&'a Thing, Refusal> {
    let unknown = match cellar.find(Sort::Supply, name) {
        Ok(lot) => return Ok(lot),
        Err(unknown) => unknown,
    };
    let substance = substance_named(name);
    let lots: Vec<&Thing> = cellar
        .open(Sort::Supply)
        .filter(|it| it.text(field::SUBSTANCE) == substance)
        .collect();
    match lots.as_slice() {
        [only] => Ok(only),
        [] => Err(Refusal::input(key, unknown.to_string())),
        many => {
            let names: Vec<&str> = many.iter().map(|it| it.name()).collect();
            Err(Refusal::input(
                key,
                format!(
                    "there are {} lots of {substance}; say which: {}.",
                    names.len(),
                    names.join(", ")
                ),
            ))
        }
    }
}

/// Lots that were in the cellar at that moment.
pub(super) fn lots_of<'a>(
    substance: &'a str,
    cellar: &'a Snapshot,
) -> impl Iterator<Item = &'a Thing> {
    cellar
        .open(Sort::Supply)
        .filter(move |it| it.text(field::SUBSTANCE) == substance && is_here(it, cellar))
}

/// The unit it is counted in: as bought, else as its substance is.
pub(super) fn counted_in(lot: &Thing) -> &str {
    match lot.text(field::UNIT) {
        "" => unit_of(lot.text(field::SUBSTANCE)),
        unit => unit,
    }
}

/// Whether it had been bought by then, or was said to be open before it was written down. What is known
/// of a lot holds at every date, so that a later one is in sight of an earlier dose.
pub(super) fn is_here(lot: &Thing, cellar: &Snapshot) -> bool {
    let since = [lot.int(field::BOUGHT), opened(lot, cellar)];
    since
        .into_iter()
        .flatten()
        .min()
        .is_none_or(|it| it <= cellar.now.utc_ms)
}

pub(super) fn every_lot_came_later(substance: &str, cellar: &Snapshot) -> bool {
    let mut lots = cellar
        .open(Sort::Supply)
        .filter(|it| it.text(field::SUBSTANCE) == substance)
        .peekable();
    lots.peek().is_some() && lots.all(|it| !is_here(it, cellar))
}

/// Oldest first, the first that has enough, to the end of the book, or whose content nobody knows.
pub(super) fn oldest_with<'a>(
    substance: &'a str,
    amount: Option<Dose>,
    cellar: &'a Snapshot,
) -> Option<&'a Thing> {
    let mut lots: Vec<&Thing> = lots_of(substance, cellar).collect();
    lots.sort_by_key(|it| (it.int(field::BOUGHT), it.key));
    let wanted = amount.map_or(0, Dose::amount);
    lots.into_iter()
        .filter(|lot| amount.is_none_or(|it| it.unit() == counted_in(lot)))
        .find(|lot| spare(lot, cellar).is_none_or(|it| it.amount() >= wanted && it.amount() > 0))
}

/// What may be taken of a lot without its lacking for what the book has later; `None` where nobody knows what is left.
fn spare(lot: &Thing, cellar: &Snapshot) -> Option<Dose> {
    let left = cellar.stock(lot.key)?.left?;
    let stays = cellar.stays.get(&lot.key).copied();
    Some(left.with(left.amount().min(stays.unwrap_or(i64::MAX))))
}

/// Sulfite powders, in the order in which they are taken from.
pub(super) fn powders(cellar: &Snapshot) -> Vec<&Thing> {
    let mut lots: Vec<&Thing> = cellar
        .open(Sort::Supply)
        .filter(|it| is_powder(it.text(field::SUBSTANCE)) && is_here(it, cellar))
        .collect();
    lots.sort_by_key(|it| (it.int(field::BOUGHT), it.key));
    lots
}

/// Takes so much from lots, one after the other, as far as they go, and says from which. What the book
/// does not count in that unit is not missed.
pub(super) fn take<'a>(
    draft: &mut Draft,
    lots: impl IntoIterator<Item = &'a Thing>,
    mut wanted: Dose,
    cellar: &Snapshot,
) -> Vec<Key> {
    let mut from = Vec::new();
    for lot in lots {
        let Some(left) = spare(lot, cellar).filter(|it| it.unit() == wanted.unit()) else {
            continue;
        };
        let taken = wanted.amount().min(left.amount());
        if taken > 0 {
            draft.supplies.push(SupplyMove {
                lot: lot.key,
                change: SupplyChange::By(wanted.with(-taken)),
            });
            wanted = wanted.with(wanted.amount() - taken);
            from.push(lot.key);
        }
    }
    from
}
