//! A broken rule as a sentence, with the numbers and the way out.

use super::{Fault, Finding};
use crate::cellar::amount::{Mass, Volume};
use crate::cellar::thing::{Account, Key, Things, field};

impl Finding {
    /// The rule broken, the numbers and the way out. `then` says when.
    pub fn sentence(&self, things: &Things, then: &str) -> String {
        let place = name(things, self.place);
        match self.fault {
            Fault::BelowZero { held, taken } => {
                let (held, taken) = apart(held, taken);
                format!(
                    "{place} holds {held} {then} and {taken} is taken from it; take less, or first say that more was in it (adjust) or that some went elsewhere."
                )
            }
            Fault::OverBrim { would_hold, brim } => {
                let (would_hold, brim) = apart(would_hold, brim);
                format!(
                    "{place} would hold {would_hold} {then} and its measured brim is {brim}; put less in, say that some went elsewhere, or set the brim."
                )
            }
            Fault::Empty => format!(
                "{place} holds nothing {then}; say first what was in it (here, receive), or give another date or vessel."
            ),
            Fault::BottlesShort { held, taken } => format!(
                "{place} has {held} bottles at that place {then} and {taken} are taken from there; take fewer, or say first where the others are."
            ),
            Fault::SupplyShort { held, used } => {
                let unit = things
                    .get(&self.place)
                    .map_or("", |it| it.text(field::UNIT));
                let amount = |it: i64| match unit {
                    "ug" => Mass(it).to_string(),
                    "ul" => Volume(it).to_string(),
                    _ => it.to_string(),
                };
                format!(
                    "of {place} there is {} {then} and {} is used; use less, take it from another lot (--lot), or say first what was bought or found (buy, stock take).",
                    amount(held),
                    amount(used)
                )
            }
        }
    }
}

/// The name of a thing, or what it is if it has none.
pub fn name(things: &Things, key: Key) -> String {
    if let Some(account) = Account::from_key(key) {
        return account.word().to_owned();
    }
    match things.get(&key) {
        Some(thing) if !thing.name().is_empty() => thing.name().to_owned(),
        Some(thing) => format!("the {} without a name", thing.sort.word()),
        None => "a thing that is no longer there".to_owned(),
    }
}

/// Two volumes with as many digits as it takes to tell them apart.
fn apart(one: Volume, other: Volume) -> (String, String) {
    let short = (one.to_string(), other.to_string());
    if short.0 != short.1 {
        return short;
    }
    let long = |it: Volume| format!("{:.6} L", it.in_litres());
    (long(one), long(other))
}
