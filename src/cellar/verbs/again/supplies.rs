//! Supplies bought, counted and used up, told back.

use super::{Says, Told, one};
use crate::cellar::dosing::is_powder;
use crate::cellar::entry::{Dose, Kind, SupplyChange};
use crate::cellar::telling;
use crate::cellar::thing::{Key, field};

/// What such an entry says of a field that is told here; `None` for any other field.
pub(super) fn says(told: &Told, key: &str) -> Says {
    let draft = told.draft;
    Some(one(match (draft.kind, key) {
        (Kind::StockTake, "lot" | "also" | "amount") => return Some(told.counted(key)),
        (Kind::Sanitise, "sanitizer") => draft
            .supplies
            .first()
            .and_then(|it| told.cellar.thing(it.lot))
            .map(|it| it.text(field::SUBSTANCE))
            .filter(|it| !is_powder(it))
            .map(telling::substance),
        (Kind::Sanitise, "amount") | (Kind::Bottle, "powder") => told.drawn(),
        (Kind::Sanitise, "gear") => Some(draft.note.clone()),
        (Kind::Buy, "substance") => told
            .change(field::SUBSTANCE)
            .map(|it| told.changed(it).concat()),
        (Kind::Buy, "size") => told.cork_size(),
        _ => return None,
    }))
}

impl Told<'_> {
    /// Lots that were counted; more than one with what was found of each.
    fn counted(&self, key: &str) -> Vec<String> {
        let found = self.draft.supplies.iter().filter_map(|it| match it.change {
            SupplyChange::Found(dose) if dose.amount() == 0 => Some((it.lot, "none".to_owned())),
            SupplyChange::Found(dose) => Some((it.lot, telling::dose(dose))),
            SupplyChange::By(_) | SupplyChange::Unknown => None,
        });
        let found: Vec<(Key, String)> = found.collect();
        let both = |it: &(Key, String)| format!("{}={}", self.name(it.0), it.1);
        match (found.as_slice(), key) {
            ([only], "lot") => vec![self.name(only.0)],
            ([only], "amount") => vec![only.1.clone()],
            ([first, _, ..], "lot") => vec![both(first)],
            ([_, others @ ..], "also") => others.iter().map(both).collect(),
            _ => Vec::new(),
        }
    }

    /// What sanitising took of the first supply it took from, and of what stands in for it: all its powder.
    fn drawn(&self) -> Option<String> {
        let substance = |lot: Key| self.cellar.thing(lot).map(|it| it.text(field::SUBSTANCE));
        let weighed = self.draft.supplies.iter().filter_map(|it| match it.change {
            SupplyChange::By(dose) if dose.amount() < 0 && dose.unit() != "count" => {
                Some((substance(it.lot)?, dose.times(-1)))
            }
            _ => None,
        });
        let weighed: Vec<(&str, Dose)> = weighed.collect();
        let (first, _) = weighed.first()?;
        let same = weighed
            .iter()
            .filter(|it| it.0 == *first || is_powder(it.0) && is_powder(first));
        let sum = same.map(|it| it.1).reduce(Dose::plus);
        sum.map(telling::dose)
    }

    /// `38x24`, of corks that were bought.
    fn cork_size(&self) -> Option<String> {
        let length = self.changed(self.change(field::CORK_LENGTH)?).concat();
        let diameter = self
            .change(field::CORK_DIAMETER)
            .map(|it| self.changed(it).concat());
        Some(diameter.map_or(length.clone(), |it| format!("{length}x{it}")))
    }
}
