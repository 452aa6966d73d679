//! Empty bottles: counted by size, mouth and colour, washed, and used up by a bottling.

use std::collections::BTreeMap;

use leesline_calc::quantity::Quantity;

use super::here::bottle_size;
use super::read::{count, number, thing, word};
use super::things::done;
use super::{Group, Refusal, Takes, Verb, ask, flag};
use crate::cellar::attention::words;
use crate::cellar::bottling::{BOTTLE, Cleanness, Finish, left, lots};
use crate::cellar::entry::{Dose, Draft, Kind, SupplyChange, SupplyMove};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Wine;
use crate::cellar::thing::{Key, Sort, Thing, Value, field};

/// What tells one lot of empty bottles from another.
const LOOKS: [&str; 4] = [field::SIZE, field::FINISH, field::COLOUR, field::DELABELLED];

pub(super) static EMPTIES_ADD: Verb = Verb {
    name: "empties add",
    sentence: "Write down empty bottles, by size, mouth and colour.",
    group: Group::Supplies,
    fields: &[
        ask("count", "How many", "How many there are.", Takes::Count),
        flag(
            "size",
            "Size",
            "Of each, in mL; 750 if left out.",
            Takes::Number("mL"),
        ),
        flag(
            "finish",
            "Mouth",
            "What closes them: a cork, a 26 or 29 mm crown, …",
            Takes::Choice(Finish::WORDS),
        ),
        flag("colour", "Colour", "Of the glass.", Takes::Text),
        flag(
            "state",
            "State",
            "How clean they are; dirty if left out.",
            Takes::Choice(Cleanness::WORDS),
        ),
        flag(
            "delabelled",
            "Delabelled",
            "Whether the old labels are off.",
            Takes::Flag,
        ),
        flag(
            "name",
            "Lot",
            "What you call them; by size and colour if left out.",
            Takes::NewName(Sort::Supply),
        ),
        flag("cost", "Cost", "What they cost.", Takes::Number("")),
    ],
    draft: |form, cellar| {
        let how_many = count(form, "count")?.map_or(0, |it| it.0);
        if how_many == 0 {
            return Err(Refusal::input("count", "How many bottles?"));
        }
        let size_ml = bottle_size(form, cellar)?;
        let colour = form.get("colour").unwrap_or_default();
        let plain = format!("{size_ml} mL {colour}").trim().to_owned();
        let name = form
            .get("name")
            .map_or_else(|| free_name(&plain, cellar), str::to_owned);
        let mut draft = Draft::new(Kind::Buy, cellar.now);
        let lot = draft.begin(Sort::Supply, &name);
        draft.subject = Some(lot);
        draft.set(lot, field::SUBSTANCE, BOTTLE);
        draft.set(lot, field::UNIT, "count");
        draft.set(lot, field::BOUGHT, Value::Int(cellar.now.utc_ms));
        draft.set(lot, field::SIZE, Value::Int(size_ml));
        if let Some(finish) = word(form, "finish", Finish::WORDS)? {
            draft.set(lot, field::FINISH, finish);
        }
        if !colour.is_empty() {
            draft.set(lot, field::COLOUR, colour);
        }
        let state = word(form, "state", Cleanness::WORDS)?.unwrap_or(Cleanness::Dirty.word());
        draft.set(lot, field::CLEANNESS, state);
        if form.get("delabelled").is_some() {
            draft.set(lot, field::DELABELLED, Value::Int(1));
        }
        if let Some(cost) = number(form, "cost", Quantity::Number, (0.0, 1e6), cellar)? {
            draft.set(lot, field::COST, Value::Int((cost * 100.0).round() as i64));
        }
        draft.supplies.push(SupplyMove {
            lot,
            change: SupplyChange::By(Dose::Count(how_many)),
        });
        done(
            draft,
            format!("{} as {name}.", words::count(how_many, "empty bottle")),
        )
    },
};

pub(super) static EMPTIES_WASH: Verb = Verb {
    name: "empties wash",
    sentence: "Say how far empty bottles are: soaking, clean, sanitised.",
    group: Group::Supplies,
    fields: &[
        ask("lot", "Bottles", "Which lot.", Takes::Thing(Sort::Supply)),
        flag(
            "to",
            "Now",
            "How clean they are now; clean if left out.",
            Takes::Choice(Cleanness::WORDS),
        ),
        flag(
            "count",
            "How many",
            "All of the lot if left out.",
            Takes::Count,
        ),
        flag(
            "delabelled",
            "Delabelled",
            "The old labels are off.",
            Takes::Flag,
        ),
    ],
    draft: |form, cellar| {
        let lot = thing(form, "lot", Sort::Supply, cellar)?;
        if lot.text(field::SUBSTANCE) != BOTTLE {
            return Err(Refusal::input(
                "lot",
                format!("{} is no lot of bottles.", lot.name()),
            ));
        }
        let to = word(form, "to", Cleanness::WORDS)?.unwrap_or(Cleanness::Clean.word());
        let there = match left(lot.key, cellar) {
            Some(Dose::Count(there)) => there,
            _ => 0,
        };
        let wanted = count(form, "count")?.map_or(there, |it| it.0);
        if wanted == 0 || wanted > there {
            return Err(Refusal::book(
                Some("count"),
                format!(
                    "{there} of {} are there, not {wanted}; count them with `stock take`.",
                    lot.name()
                ),
            ));
        }
        let mut draft = Draft::new(Kind::StockTake, cellar.now);
        draft.subject = Some(lot.key);
        let labels_off = form.get("delabelled").is_some();
        if wanted == there {
            draft.set(lot.key, field::CLEANNESS, to);
            if labels_off {
                draft.set(lot.key, field::DELABELLED, Value::Int(1));
            }
        } else {
            let target = alike(lot, to, labels_off, cellar).unwrap_or_else(|| {
                let new = draft.begin(
                    Sort::Supply,
                    &free_name(&format!("{}, {to}", lot.name()), cellar),
                );
                for look in [field::SUBSTANCE, field::UNIT, field::BOUGHT]
                    .iter()
                    .chain(&LOOKS)
                {
                    if let Some(value) = lot.attributes.get(*look) {
                        draft.set(new, look, value.clone());
                    }
                }
                if labels_off {
                    draft.set(new, field::DELABELLED, Value::Int(1));
                }
                new
            });
            draft.set(target, field::CLEANNESS, to);
            for (lot, by) in [(lot.key, -wanted), (target, wanted)] {
                draft.supplies.push(SupplyMove {
                    lot,
                    change: SupplyChange::By(Dose::Count(by)),
                });
            }
        }
        done(
            draft,
            format!(
                "{} of {}: {to}.",
                words::count(wanted, "bottle"),
                lot.name()
            ),
        )
    },
};

/// Another lot that these bottles are as clean as and look like.
fn alike(lot: &Thing, to: &str, labels_off: bool, cellar: &Snapshot) -> Option<Key> {
    let found = lots(BOTTLE, cellar).find(|it| {
        it.key != lot.key
            && it.text(field::CLEANNESS) == to
            && LOOKS.iter().all(|look| {
                let own = lot.attributes.get(*look);
                let its = it.attributes.get(*look);
                own == its || (*look == field::DELABELLED && labels_off && its.is_some())
            })
    });
    found.map(|it| it.key)
}

/// A name no supply has yet.
fn free_name(name: &str, cellar: &Snapshot) -> String {
    let taken = |name: &str| {
        cellar
            .all()
            .any(|it| it.sort == Sort::Supply && it.name().eq_ignore_ascii_case(name))
    };
    let all = cellar.all().count();
    let numbered = (2..=all + 2).map(|n| format!("{name} {n}"));
    let mut names = std::iter::once(name.to_owned()).chain(numbered);
    names.find(|it| !taken(it)).unwrap_or_default()
}

/// What a finished bottling took of empty bottles and closures, as far as the book counts them: the cleanest first, then
/// the first bought. What is not counted is not missed.
pub(super) fn use_up(draft: &mut Draft, run: &Thing, wine: &Wine, cellar: &Snapshot) {
    let mut sizes = BTreeMap::<i64, i64>::new();
    for lot in &wine.bottles {
        *sizes.entry(lot.size_ml).or_default() += lot.count;
    }
    let closure = run.text(field::CLOSURE);
    for (size, bottles) in &sizes {
        let mut of_size: Vec<&Thing> = lots(BOTTLE, cellar)
            .filter(|it| it.int(field::SIZE) == Some(*size))
            .filter(|it| Finish::of(it).is_none_or(|it| it.takes(closure)))
            .collect();
        of_size
            .sort_by_key(|it| std::cmp::Reverse(Cleanness::from_word(it.text(field::CLEANNESS))));
        take(draft, of_size.into_iter(), *bottles, cellar);
    }
    if !closure.is_empty() {
        take(draft, lots(closure, cellar), sizes.values().sum(), cellar);
    }
}

/// Takes so many from lots, one after the other, as far as they go.
fn take<'a>(
    draft: &mut Draft,
    lots: impl Iterator<Item = &'a Thing>,
    mut wanted: i64,
    cellar: &Snapshot,
) {
    for lot in lots {
        if let Some(Dose::Count(there)) = left(lot.key, cellar) {
            let taken = wanted.min(there);
            if taken > 0 {
                let change = SupplyChange::By(Dose::Count(-taken));
                draft.supplies.push(SupplyMove {
                    lot: lot.key,
                    change,
                });
                wanted -= taken;
            }
        }
    }
}

/// A question where all bottles of that size on hand have a mouth that the closure does not fit.
pub(super) fn ill_fitting(size_ml: i64, closure: &str, cellar: &Snapshot) -> Option<String> {
    let finishes: Vec<Finish> = lots(BOTTLE, cellar)
        .filter(|it| it.int(field::SIZE) == Some(size_ml))
        .map(|it| Finish::of(it).filter(|_| left(it.key, cellar).is_some()))
        .collect::<Option<_>>()?;
    let first = finishes.first()?;
    (!finishes.iter().any(|it| it.takes(closure))).then(|| {
        format!(
            "The {size_ml} mL bottles on hand are {}, where a {} does not hold: take other bottles, or another closure.",
            first.label(),
            closure.replace('-', " ")
        )
    })
}
