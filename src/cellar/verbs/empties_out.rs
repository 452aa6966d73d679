//! Empty bottles that are out of use: broken, chipped, given away.

use super::read::{count, thing};
use super::things::done;
use super::{Group, Refusal, Takes, Verb, ask, flag};
use crate::cellar::bottling::{Package, left_count};
use crate::cellar::entry::{Dose, Draft, Kind, SupplyChange, SupplyMove};
use crate::cellar::thing::{Sort, Value, field};

/// Why; any other words will do. Chipped, crazed and mould-stained glass is out (common practice).
const BECAUSE: &[&str] = &[
    "broken",
    "chipped",
    "crazed",
    "mould-stained",
    "given away",
    "recycled",
];

pub(super) static EMPTIES_OUT: Verb = Verb {
    name: "empties out",
    sentence: "Put empty bottles out of use: broken, chipped, crazed, given away.",
    group: Group::Supplies,
    fields: &[
        ask("lot", "Bottles", "Which lot.", Takes::Thing(Sort::Supply)),
        ask(
            "count",
            "How many",
            "How many are out of use.",
            Takes::Count,
        ),
        flag(
            "because",
            "Because",
            "Why; broken if left out.",
            Takes::Suggest(BECAUSE),
        ),
    ],
    draft: |form, cellar| {
        let lot = thing(form, "lot", Sort::Supply, cellar)?;
        let Some(package) = Package::of_empties(lot) else {
            return Err(Refusal::input(
                "lot",
                format!(
                    "{0} is no lot of bottles; `stock take {0}` counts it.",
                    lot.name()
                ),
            ));
        };
        let there = left_count(lot.key, cellar).unwrap_or(0);
        let wanted = count(form, "count")?.map_or(0, |it| it.0);
        if wanted == 0 || wanted > there {
            return Err(Refusal::book(
                Some("count"),
                format!(
                    "{there} of {} are there, not {wanted}; count them with `stock take`.",
                    lot.name()
                ),
            ));
        }
        let because = form.get("because").unwrap_or(BECAUSE[0]);
        let mut draft = Draft::new(Kind::StockTake, cellar.now);
        draft.subject = Some(lot.key);
        draft.set(lot.key, field::OUT_LAST, Value::Int(wanted));
        draft.set(lot.key, field::OUT_BECAUSE, because);
        if wanted == there {
            draft.set(lot.key, field::CLOSED, Value::Int(cellar.now.utc_ms));
        }
        draft.supplies.push(SupplyMove {
            lot: lot.key,
            change: SupplyChange::By(Dose::Count(-wanted)),
        });
        let those = package.count(wanted);
        done(draft, format!("{those} of {}: {because}.", lot.name()))
    },
};
