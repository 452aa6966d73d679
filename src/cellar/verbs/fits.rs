//! Amounts that no vessel, wine or household has, whichever verb they were typed with: what cannot be is
//! refused, what is merely unlikely wants a yes.

use std::collections::BTreeMap;

use super::Refusal;
use crate::cellar::amount::{Mass, Volume};
use crate::cellar::entry::{Amount, Dose, Draft, Kind, Movement, Spot, SupplyChange};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::telling;
use crate::cellar::thing::{Account, Key, Sort, Value, field};

/// No vessel holds so many times its mark (house estimate): a slip, or it is not empty.
const FAR_OVER_MARK: f64 = 1.5;
/// Less is no vessel but a spoon, and more is a winery's (house estimates).
const VESSEL_LITRES: (f64, f64) = (0.05, 1_000.0);
/// More bottles than any household takes over or buys at once (house estimate).
const MOST_PIECES: i64 = 5_000;
/// More powder, sugar or liquid than any household buys at once, kg or L (house estimate).
const MOST_BOUGHT: f64 = 50.0;
/// So many times that is no question any more: no sum of the book is to run over (house estimate).
const IMPOSSIBLY_MANY: i64 = 1_000;

/// Refuses a vessel that would hold far more than its mark, or whose sizes contradict one another or
/// what is in it. Over a measured brim the book refuses by itself.
pub(super) fn impossible(draft: &Draft, cellar: &Snapshot) -> Result<(), Refusal> {
    amounts_are_some(draft)?;
    for change in draft.changes.iter().filter(|it| is_size(&it.field)) {
        sizes_agree(change.thing, draft, cellar)?;
    }
    let (mark, brim) = (field::MARK, field::BRIM);
    let after = levels(draft, cellar);
    for (vessel, (held, level)) in after {
        let size = |it| said(vessel, it, draft, cellar);
        let (Some(mark), None) = (size(mark), size(brim)) else {
            continue;
        };
        if level > held && level.in_litres() > mark.in_litres() * FAR_OVER_MARK {
            let name = name(vessel, draft, cellar);
            return Err(Refusal::book(
                Some("amount"),
                format!(
                    "{name} is marked {mark}, holds {held} and can't take {more}; check the amount, name another vessel, \
                     or `adjust` {name} first if it holds less.",
                    more = level - held
                ),
            ));
        }
    }
    Ok(())
}

/// Refuses a dose of nothing, nothing bought, and amounts that no cellar ever had.
fn amounts_are_some(draft: &Draft) -> Result<(), Refusal> {
    let added = draft.additions.iter().filter_map(|it| {
        let key = match (draft.kind, it.substance.as_str()) {
            (Kind::Stabilise, "potassium-sorbate") => "sorbate",
            (Kind::Stabilise, _) => "sulfite",
            (Kind::Receive, _) => "fruit",
            _ => "amount",
        };
        Some((key, it.dose?, true))
    });
    let moved = draft.supplies.iter().filter_map(|it| match it.change {
        SupplyChange::By(dose) => Some(("amount", dose, draft.kind == Kind::Buy)),
        SupplyChange::Found(dose) => Some(("amount", dose, false)),
        SupplyChange::Unknown => None,
    });
    for (key, dose, must_be_some) in added.chain(moved) {
        if dose.amount() == 0 && must_be_some {
            return Err(Refusal::input(
                key,
                format!(
                    "{} is nothing at all; give how much, or leave it out if nobody knows.",
                    telling::dose(dose)
                ),
            ));
        }
        is_of_this_world(key, dose)?;
    }
    Ok(())
}

/// Refuses more than there is anywhere.
pub(super) fn is_of_this_world(key: &'static str, dose: Dose) -> Result<(), Refusal> {
    if is_more_than(dose, IMPOSSIBLY_MANY) {
        return Err(Refusal::input(
            key,
            "That is more than any cellar ever had; check the number and its unit.",
        ));
    }
    Ok(())
}

fn is_size(field: &str) -> bool {
    matches!(field, field::MARK | field::BRIM)
}

/// A vessel's mark and brim, as they would be, against each other and what it holds.
fn sizes_agree(vessel: Key, draft: &Draft, cellar: &Snapshot) -> Result<(), Refusal> {
    let mark = said(vessel, field::MARK, draft, cellar);
    let brim = said(vessel, field::BRIM, draft, cellar);
    let wrong = |key, sentence| Err(Refusal::input(key, sentence));
    if let Some(least) = [mark, brim].into_iter().flatten().min()
        && least.in_litres() < VESSEL_LITRES.0
    {
        let key = if mark == Some(least) { "mark" } else { "brim" };
        return wrong(
            key,
            format!("{least} is no size of a vessel; give what it holds, such as `5 L`."),
        );
    }
    if let (Some(mark), Some(brim)) = (mark, brim) {
        if brim < mark {
            return wrong(
                "brim",
                format!("the brim, {brim}, is below the mark, {mark}; the brim is the very top."),
            );
        }
        if brim.in_litres() > mark.in_litres() * FAR_OVER_MARK {
            return wrong(
                "brim",
                format!(
                    "the brim, {brim}, is far above the mark, {mark}; check both, and give --mark and --brim together if the \
                     mark was wrong."
                ),
            );
        }
    }
    let most = brim.or_else(|| mark.map(|it| Volume::litres(it.in_litres() * FAR_OVER_MARK)));
    if let (Some(wine), Some(most)) = (cellar.wine(vessel), most)
        && wine.volume > most
    {
        let name = name(vessel, draft, cellar);
        return Err(Refusal::book(
            Some("mark"),
            format!(
                "{name} holds {} by the book and can't be so small; check the size, or `adjust` {name} first if it holds \
                 less.",
                wine.volume
            ),
        ));
    }
    Ok(())
}

/// Questions about what is possible and unlikely; each wants a yes before anything is written.
pub(super) fn unlikely(draft: &Draft, cellar: &Snapshot) -> Vec<String> {
    let check = "check the number and its unit.";
    let mut asked = Vec::new();
    for change in draft.changes.iter().filter(|it| is_size(&it.field)) {
        if let Some(Value::Int(size)) = change.value
            && Volume(size).in_litres() > VESSEL_LITRES.1
        {
            let size = Volume(size);
            asked.push(format!(
                "A vessel of {size} is a winery's and no household's: {check}"
            ));
        }
    }
    for (vessel, (held, level)) in levels(draft, cellar) {
        let is_sized = said(vessel, field::MARK, draft, cellar).is_some();
        if !is_sized && level > held && level.in_litres() > VESSEL_LITRES.1 {
            asked.push(format!(
                "{} would hold {level}, more than any vessel of a household: {check}",
                name(vessel, draft, cellar)
            ));
        }
    }
    let too_many = draft
        .bottles
        .iter()
        .find(|it| it.count > MOST_PIECES && it.from == Spot::Outside(Account::Before.key()));
    asked.extend(too_many.map(|it| {
        format!(
            "{} bottles are more than a household's cellar holds: {check}",
            it.count
        )
    }));
    let bought = draft.supplies.iter().find_map(|it| match it.change {
        SupplyChange::By(dose) | SupplyChange::Found(dose) => is_more_than(dose, 1).then_some(dose),
        SupplyChange::Unknown => None,
    });
    asked.extend(bought.map(|dose| {
        let dose = telling::dose(dose);
        format!("{dose} are more than a household keeps of a supply: {check}")
    }));
    asked
}

/// Whether it is more than so many times what a household buys at once.
fn is_more_than(dose: Dose, times: i64) -> bool {
    let most = match dose {
        Dose::Mass(_) => Mass::grams(MOST_BOUGHT * 1e3).0,
        Dose::Volume(_) => Volume::litres(MOST_BOUGHT).0,
        Dose::Count(_) | Dose::Packets(_) => MOST_PIECES,
        Dose::Tablets(_) => MOST_PIECES * 1_000,
    };
    dose.amount() > most * times
}

/// What each vessel that the draft moves wine in or out of holds before and after it.
fn levels(draft: &Draft, cellar: &Snapshot) -> BTreeMap<Key, (Volume, Volume)> {
    let mut levels: BTreeMap<Key, (Volume, Volume)> = BTreeMap::new();
    // The room that sugar takes is asked about with its weight.
    let wine = |it: &&Movement| it.from != Account::Volume.key();
    for it in draft.movements.iter().filter(wine) {
        for place in [it.from, it.to] {
            if is_vessel(place, draft, cellar) {
                let held = cellar.wine(place).map_or(Volume::ZERO, |it| it.volume);
                levels.entry(place).or_insert((held, held));
            }
        }
        let from = levels.get(&it.from).map_or(Volume::ZERO, |it| it.1);
        let poured = match it.amount {
            Amount::Exactly(volume) => volume,
            Amount::RestLeaving(left) => (from - left).max(Volume::ZERO),
            Amount::LevelFound(level) => from - level,
            Amount::NotKnown => Volume::ZERO,
        };
        if let Some(level) = levels.get_mut(&it.from) {
            level.1 -= poured;
        }
        if let Some(level) = levels.get_mut(&it.to) {
            level.1 += poured;
        }
    }
    levels
}

/// Whether it is a vessel, or will be: bottles are counted, and have no mark.
fn is_vessel(place: Key, draft: &Draft, cellar: &Snapshot) -> bool {
    if let Some(thing) = cellar.thing(place) {
        return thing.sort == Sort::Vessel;
    }
    let new = usize::try_from(-place.0 - 1).ok();
    new.and_then(|it| draft.new_things.get(it)) == Some(&Sort::Vessel)
}

/// A size of a vessel as the draft leaves it.
fn said(vessel: Key, field: &str, draft: &Draft, cellar: &Snapshot) -> Option<Volume> {
    let changed = draft.changes.iter().rev();
    let mut changed = changed.filter(|it| it.thing == vessel && it.field == field);
    match changed.next() {
        Some(change) => match change.value {
            Some(Value::Int(size)) => Some(Volume(size)),
            _ => None,
        },
        None => cellar.thing(vessel)?.int(field).map(Volume),
    }
}

fn name<'a>(vessel: Key, draft: &'a Draft, cellar: &'a Snapshot) -> &'a str {
    let begun = draft.changes.iter().find_map(|it| match &it.value {
        Some(Value::Text(name)) if it.thing == vessel && it.field == field::NAME => {
            Some(name.as_str())
        }
        _ => None,
    });
    begun.unwrap_or_else(|| cellar.name(vessel))
}
