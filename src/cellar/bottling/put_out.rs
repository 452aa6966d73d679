//! Empty bottles that were put out of use, by lot and by why.

use std::collections::BTreeMap;

use crate::cellar::entry::{Dose, Draft, SupplyChange};
use crate::cellar::thing::{Key, Value, field};

/// How many bottles of each lot were put out of use, by why, in the order of the words.
pub type PutOut = BTreeMap<Key, BTreeMap<String, i64>>;

/// What those entries put out of use.
pub fn put_out<'a>(drafts: impl IntoIterator<Item = &'a Draft>) -> PutOut {
    let mut all = PutOut::new();
    for draft in drafts {
        let because = draft
            .changes
            .iter()
            .find(|it| it.field == field::OUT_BECAUSE);
        let Some(Value::Text(because)) = because.and_then(|it| it.value.as_ref()) else {
            continue;
        };
        for moved in &draft.supplies {
            if let SupplyChange::By(Dose::Count(count)) = moved.change {
                let lot = all.entry(moved.lot).or_default();
                *lot.entry(because.clone()).or_default() -= count;
            }
        }
    }
    all
}
