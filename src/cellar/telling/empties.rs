//! Empty bottles, as a notebook has them.

use super::Telling;
use crate::cellar::attention::words::count;
use crate::cellar::bottling::{Cleanness, Package};
use crate::cellar::entry::{Dose, SupplyChange};
use crate::cellar::thing::{Value, field};

impl Telling<'_> {
    /// Whether the entry brings in empty bottles.
    pub(super) fn is_of_empties(&self) -> bool {
        self.empties().is_some() && self.washed_to().is_some()
    }

    /// What sort of empties it brings in.
    fn empties(&self) -> Option<Package> {
        self.changes().find_map(|(field, value)| match value {
            Some(Value::Text(word)) if field == field::SUBSTANCE => Package::from_word(word),
            _ => None,
        })
    }

    pub(super) fn took_in_empties(&self) -> String {
        let lot = self.subject();
        let many = self.bottles().unwrap_or_default();
        let package = self.empties().unwrap_or_default().label();
        format!("Put by {}, {lot}", count(many, &format!("empty {package}")))
    }

    /// How clean the entry says bottles are.
    pub(super) fn washed_to(&self) -> Option<Cleanness> {
        self.changes().find_map(|(field, value)| match value {
            Some(Value::Text(word)) if field == field::CLEANNESS => Cleanness::from_word(word),
            _ => None,
        })
    }

    pub(super) fn washed(&self, to: Cleanness) -> String {
        let lot = self.subject();
        let bottles = match self.bottles() {
            Some(many) => format!("{} of {lot}", count(many, "bottle")),
            None => format!("all bottles of {lot}"),
        };
        match to {
            Cleanness::Dirty => format!("Put {bottles} with the dirty ones"),
            Cleanness::Soaking => format!("Set {bottles} to soak"),
            Cleanness::Clean => format!("Cleaned {bottles}"),
            Cleanness::Sanitised => format!("Sanitised {bottles}"),
        }
    }

    /// What it puts out of use, if it does: `Put 2 bottles of Green out of use: chipped`.
    pub(super) fn put_out(&self) -> Option<String> {
        let set = |name: &str| self.changes().find(|it| it.0 == name)?.1;
        let Some(Value::Int(many)) = set(field::OUT_LAST) else {
            return None;
        };
        let lot = self.subject();
        let package = self.draft.subject.and_then(|it| self.cellar.thing(it));
        let package = package.and_then(Package::of_empties).unwrap_or_default();
        let because = match set(field::OUT_BECAUSE) {
            Some(Value::Text(why)) => format!(": {why}"),
            _ => String::new(),
        };
        let those = package.count(*many);
        Some(format!("Put {those} of {lot} out of use{because}"))
    }

    /// How many came to the lot.
    fn bottles(&self) -> Option<i64> {
        self.draft.supplies.iter().find_map(|it| match it.change {
            SupplyChange::By(Dose::Count(count)) if count > 0 => Some(count),
            _ => None,
        })
    }
}
