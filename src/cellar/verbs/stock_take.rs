//! Supplies counted: one lot or many, and why they are not what the book had.

use std::collections::BTreeMap;

use super::doses::dose;
use super::empties::taken_so_far;
use super::lots::lot_named;
use super::things::done;
use super::{Field, Form, Group, Need, Refusal, Takes, Verb, ask, flag};
use crate::cellar::amount::{Mass, Volume};
use crate::cellar::bottling::{Closure, Package, closure_lots, draws};
use crate::cellar::entry::{Change, Dose, Draft, Kind, SupplyChange, SupplyMove};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::telling;
use crate::cellar::thing::{Key, Sort, Thing, Value, field};

/// Why there is less or more than the book had; any other words will do.
const BECAUSE: &[&str] = &["spilled", "given", "used unwritten", "miscounted"];

pub(super) static STOCK_TAKE: Verb = Verb {
    name: "stock take",
    sentence: "Count or weigh what is left of supplies; the book derives the difference.",
    group: Group::Supplies,
    fields: &[
        ask(
            "lot",
            "Lot",
            "Which lot; with what is left of it, `Sulfite=180 g`, as many may follow as were counted.",
            Takes::Thing(Sort::Supply),
        ),
        flag(
            "amount",
            "Found",
            "How much or how many are left of that lot; `none` if it is used up.",
            Takes::Dose,
        ),
        Field {
            key: "also",
            label: "Also",
            help: "Another lot with what is left of it: `Corks=55`.",
            takes: Takes::Thing(Sort::Supply),
            need: Need::Many,
        },
        flag(
            "because",
            "Because",
            "Why it is not what the book had.",
            Takes::Suggest(BECAUSE),
        ),
    ],
    draft: |form, cellar| {
        let counted = counted(form, cellar)?;
        let mut draft = Draft::new(Kind::StockTake, cellar.now);
        draft.subject = counted.first().map(|it| it.0.key);
        let (run, so_far) = taken_so_far(cellar).unzip();
        let mut off: BTreeMap<Key, i64> = so_far.unwrap_or_default();
        off.retain(|lot, _| counted.iter().any(|it| it.0.key == *lot));
        let left = |lot: &Thing| {
            let left = cellar.stock(lot.key).and_then(|it| it.left)?;
            let off = off.get(&lot.key).copied().unwrap_or(0);
            Some(left.with(left.amount() - off))
        };
        for (lot, off) in &off {
            draft.supplies.push(SupplyMove {
                lot: *lot,
                change: SupplyChange::By(Dose::Count(-off)),
            });
        }
        for (lot, found) in &counted {
            // Where the count is as the book has it, nothing was lost that a reason could be of.
            let because = form.get("because").filter(|_| left(lot) != Some(*found));
            draft.supplies.push(SupplyMove {
                lot: lot.key,
                change: SupplyChange::Found(*found),
            });
            if found.amount() == 0 {
                draft.set(lot.key, field::CLOSED, Value::Int(cellar.now.utc_ms));
            }
            // The reason is that of the last count.
            if because.is_some() || !lot.text(field::COUNTED_BECAUSE).is_empty() {
                draft.changes.push(Change {
                    thing: lot.key,
                    field: field::COUNTED_BECAUSE.to_owned(),
                    value: because.map(|it| Value::Text(it.to_owned())),
                });
            }
        }
        let said: Vec<String> = counted
            .iter()
            .map(|(lot, found)| {
                let against = against(*found, left(lot));
                format!("{} left in {}{against}", telling::dose(*found), lot.name())
            })
            .collect();
        let mut said = format!("{}.", said.join(", "));
        if let Some(run) = run.filter(|_| !off.is_empty()) {
            let of_each: Vec<String> = off
                .iter()
                .map(|(lot, count)| format!("{count} of {}", cellar.name(*lot)))
                .collect();
            said = format!(
                "{said} {} are used for {} so far, and are off with this: its finish does not take them again.",
                of_each.join(" and "),
                run.name()
            );
            let mut all = draws::counted(run);
            for (lot, count) in &off {
                *all.entry(*lot).or_default() += count;
            }
            draft.set(run.key, field::DRAWN_COUNTED, draws::lines(&all).as_str());
        }
        Ok(done(draft, said)?.only_if(taken_later(&counted, cellar)))
    },
};

/// A question where a bottling was being filled then and is finished since: its finish takes what it used after this count.
fn taken_later(counted: &[(&Thing, Dose)], cellar: &Snapshot) -> Option<String> {
    let is_under_way = |run: &&Thing| {
        let finished = run.int(field::FINISHED);
        finished.is_some_and(|it| it > cellar.now.utc_ms)
            && run.int(field::VESSEL).is_some()
            && cellar.wine(run.key).is_some()
    };
    let run = cellar.open(Sort::Run).find(is_under_way)?;
    let closure = Closure::of(run).filter(|it| it.is_used_up());
    let closures: Vec<Key> = closure
        .into_iter()
        .flat_map(|it| closure_lots(it, cellar))
        .map(|it| it.key)
        .collect();
    // What was off as it was counted then stays off, written anew.
    let off = draws::counted(run);
    let is_used = |lot: &Thing| {
        let is_empty = Package::of_empties(lot) == Some(Package::of(run));
        (is_empty || closures.contains(&lot.key)) && !off.contains_key(&lot.key)
    };
    let mut used = counted.iter().map(|it| it.0).filter(|it| is_used(it));
    let lot = used.next()?.name();
    let name = run.name();
    Some(format!(
        "{name} was being filled then, and its finish takes all it used of {lot} after this count: count what was used by then \
         as still there, or take stock as of now."
    ))
}

/// How much more or less was found than the book has: `, 20 g less than by the book`.
fn against(found: Dose, left: Option<Dose>) -> String {
    let left = left.filter(|it| it.unit() == found.unit());
    let more = left.map_or(0, |it| found.amount() - it.amount());
    let (by, which) = (
        found.with(more.abs()),
        if more > 0 { "more" } else { "less" },
    );
    match more {
        0 => String::new(),
        _ => format!(", {} {which} than by the book", telling::dose(by)),
    }
}

/// Each lot with what was found of it, once.
fn counted<'a>(form: &Form, cellar: &'a Snapshot) -> Result<Vec<(&'a Thing, Dose)>, Refusal> {
    let mut counted: Vec<(&Thing, Dose)> = Vec::new();
    let mut lone = form.get("amount");
    for key in ["lot", "also"] {
        let texts = form.all(key).iter().flat_map(|it| it.split(';'));
        for text in texts.map(str::trim).filter(|it| !it.is_empty()) {
            let (name, amount) = match text.split_once('=') {
                Some((name, amount)) => (name.trim(), Some(amount.trim())),
                None => (text, lone.take()),
            };
            let lot = lot_named(name, key, cellar)?;
            let name = lot.name();
            let Some(amount) = amount else {
                let at = if key == "lot" { "amount" } else { key };
                let why = format!("How much is left of {name}? Write `{name}=…` with it.");
                return Err(Refusal::input(at, why));
            };
            if counted.iter().any(|it| it.0.key == lot.key) {
                let why = format!("{name} is counted twice; leave one of them out.");
                return Err(Refusal::input(key, why));
            }
            counted.push((lot, found(key, amount, lot, cellar)?));
        }
    }
    match lone {
        Some(amount) => Err(Refusal::input(
            "amount",
            format!("Of what is `{amount}` left? Each lot has its own amount already."),
        )),
        None => Ok(counted),
    }
}

/// What was found of a lot, in the unit that it is counted in.
fn found(key: &'static str, amount: &str, lot: &Thing, cellar: &Snapshot) -> Result<Dose, Refusal> {
    let unit = lot.text(field::UNIT);
    if matches!(amount, "0" | "none" | "nothing") {
        return Ok(match unit {
            "count" => Dose::Count(0),
            "packet" => Dose::Packets(0),
            "millitablet" => Dose::Tablets(0),
            "ul" => Dose::Volume(Volume::ZERO),
            _ => Dose::Mass(Mass::ZERO),
        });
    }
    let form = Form::of([("amount", amount)]);
    let found = dose(&form, "amount", unit, cellar).map_err(|it| Refusal {
        field: Some(if key == "lot" { "amount" } else { key }),
        ..it
    })?;
    found.ok_or_else(|| {
        let why = format!(
            "`{amount}` says nothing of how much is left of {}.",
            lot.name()
        );
        Refusal::input("amount", why)
    })
}
