//! Wine on the move, told back: where it came from, where it went, what stayed behind.

use super::{Says, Told, litres, one, pour, said};
use crate::cellar::entry::{Amount, Kind};
use crate::cellar::thing::{Account, Key, Value, field};

/// What such an entry says of a field that is told here; `None` for any other field.
pub(super) fn says(told: &Told, key: &str) -> Says {
    let moved = told.draft.movements.first();
    Some(match (told.draft.kind, key) {
        // Bottles poured away are told as all bottles are.
        (Kind::Discard, _) if !told.draft.bottles.is_empty() => return None,
        (Kind::Rack | Kind::Press | Kind::Split | Kind::TopUp, "from")
        | (Kind::Draw | Kind::Lose | Kind::Discard, "place") => {
            one(moved.map(|it| told.name(it.from)))
        }
        (Kind::Adjust, "place") => one(moved.map(|it| {
            let found = it.from == Account::Difference.key();
            told.name(if found { it.to } else { it.from })
        })),
        (Kind::Rack | Kind::Press | Kind::Split, "to") => told.targets(),
        (Kind::Rack | Kind::Press, "leaving") => one(told.left_behind()),
        (Kind::Pitch, "from") => one(told.yeast_from()),
        (Kind::Pitch, "amount") => one(Some(told.yeast()?)),
        (Kind::Blend, "from") => {
            let poured = told.draft.movements.iter();
            let each = poured.map(|it| pour(&told.name(it.from), it.amount));
            each.collect()
        }
        (Kind::Blend, "as") => one(told.change(field::NAME).map(|it| told.changed(it).concat())),
        (Kind::Blend | Kind::TopUp | Kind::Receive, "into") | (Kind::Lose, "how") => {
            one(moved.map(|it| told.name(it.to)))
        }
        (Kind::Receive, "batch") | (Kind::Here, "holds") => {
            one(moved.and_then(|it| it.batch).map(|it| told.name(it)))
        }
        _ => return None,
    })
}

impl Told<'_> {
    /// Vessels filled, each with what was asked for.
    fn targets(&self) -> Vec<String> {
        let vessels = self
            .draft
            .movements
            .iter()
            .filter(|it| Account::from_key(it.to).is_none());
        vessels
            .map(|it| pour(&self.name(it.to), it.amount))
            .collect()
    }

    /// What stayed behind on the lees.
    fn left_behind(&self) -> Option<String> {
        self.draft.movements.iter().find_map(|it| match it.amount {
            Amount::RestLeaving(left) if left.0 > 0 => Some(litres(left.0)),
            _ => None,
        })
    }

    /// How much of the yeast's own wine was poured in, where any was.
    fn yeast(&self) -> Option<String> {
        if !self.draft.supplies.is_empty() {
            return None;
        }
        let moved = self.draft.movements.first()?;
        let about = if moved.about { "about " } else { "" };
        Some(format!("{about}{}", said(moved.amount)))
    }

    /// Where yeast was used again from: the vessel, else the batch whose lees it is.
    fn yeast_from(&self) -> Option<String> {
        let poured = self.draft.movements.first().map(|it| it.from);
        let vessel = poured.filter(|it| Account::from_key(*it).is_none());
        let batch = || match self.change(field::YEAST_FROM)?.value {
            Some(Value::Int(batch)) => Some(Key(batch)),
            _ => None,
        };
        vessel.or_else(batch).map(|it| self.name(it))
    }
}
