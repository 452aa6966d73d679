//! Empty bottles: counted by size, mouth and colour, washed, and used up by a bottling.

use std::collections::BTreeMap;

use leesline_calc::quantity::Quantity;

use super::lots::take;
use super::packages;
use super::read::{count, number, thing, word};
use super::things::done;
use super::{Group, Refusal, Takes, Verb, ask, flag};
use crate::cellar::attention::words;
use crate::cellar::bottling::{
    Cleanness, Closure, Finish, Package, closure_lots, drawn_for, draws, filled_or_broken,
    is_of_size, left_count, lots, other_mouth,
};
use crate::cellar::entry::{Dose, Draft, Kind, SupplyChange, SupplyMove};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Wine;
use crate::cellar::thing::{Key, Sort, Thing, Value, field};

/// What tells one lot of empty bottles from another.
const LOOKS: [&str; 6] = [
    field::SUBSTANCE,
    field::SIZE,
    field::FINISH,
    field::COLOUR,
    field::RATING,
    field::DELABELLED,
];

pub(super) static EMPTIES_ADD: Verb = Verb {
    name: "empties add",
    sentence: "Write down empty bottles, by size, mouth and colour.",
    group: Group::Supplies,
    fields: &[
        ask("count", "How many", "How many there are.", Takes::Count),
        flag(
            "size",
            "Size",
            "Of each: a bottle's in mL, 750 if left out; a jug's, bag's or keg's such as `19 L`.",
            Takes::Number("mL"),
        ),
        flag(
            "package",
            "What",
            "Bottles if left out.",
            Takes::Choice(Package::WORDS),
        ),
        flag(
            "rating",
            "Rating",
            "What a keg is rated for, as printed on it: `9 bar`, `130 psi`, `900 kPa`.",
            Takes::Number("bar or psi"),
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
        let package = word(form, "package", Package::WORDS)?.and_then(Package::from_word);
        let package = package.unwrap_or_default();
        let size_ml = packages::size(form, package, cellar)?;
        let rating = packages::rating(form, package, cellar)?;
        let colour = form.get("colour").unwrap_or_default();
        let what = match package {
            Package::Bottle => colour.to_owned(),
            other => format!("{colour} {}", other.label()),
        };
        let plain = format!("{} {}", package.size_words(size_ml), what.trim());
        let plain = plain.trim().to_owned();
        let name = form
            .get("name")
            .map_or_else(|| free_name(&plain, cellar), str::to_owned);
        let mut draft = Draft::new(Kind::Buy, cellar.now);
        let lot = draft.begin(Sort::Supply, &name);
        draft.subject = Some(lot);
        draft.set(lot, field::SUBSTANCE, package.word());
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
        set_state(&mut draft, lot, state, cellar);
        if let Some(rating) = rating {
            draft.set(lot, field::RATING, Value::Real(rating));
        }
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
            format!(
                "{} as {name}.",
                words::count(how_many, &format!("empty {}", package.label()))
            ),
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
        let Some(package) = Package::of_empties(lot) else {
            return Err(Refusal::input(
                "lot",
                format!("{} is no lot of bottles.", lot.name()),
            ));
        };
        let to = word(form, "to", Cleanness::WORDS)?.unwrap_or(Cleanness::Clean.word());
        let there = left_count(lot.key, cellar).unwrap_or(0);
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
        bring(&mut draft, lot, (wanted, there), to, labels_off, cellar);
        done(
            draft,
            format!("{} of {}: {to}.", package.count(wanted), lot.name()),
        )
    },
};

/// So many of a lot are now as clean as that: the lot itself where it is all of it, else they go to one that
/// looks alike, or to a new one.
fn bring(
    draft: &mut Draft,
    lot: &Thing,
    (wanted, there): (i64, i64),
    to: &str,
    labels_off: bool,
    cellar: &Snapshot,
) {
    if wanted == there {
        set_state(draft, lot.key, to, cellar);
        if labels_off {
            draft.set(lot.key, field::DELABELLED, Value::Int(1));
        }
        return;
    }
    let target = beside(draft, lot, to, labels_off, cellar);
    for (lot, by) in [(lot.key, -wanted), (target, wanted)] {
        let change = SupplyChange::By(Dose::Count(by));
        draft.supplies.push(SupplyMove { lot, change });
    }
}

/// A lot that looks like this one and is as clean as that, new if there is none yet.
fn beside(draft: &mut Draft, lot: &Thing, to: &str, labels_off: bool, cellar: &Snapshot) -> Key {
    let target = alike(lot, to, labels_off, cellar).unwrap_or_else(|| {
        let name = free_name(&format!("{}, {to}", lot.name()), cellar);
        let new = draft.begin(Sort::Supply, &name);
        for look in [field::UNIT, field::BOUGHT].iter().chain(&LOOKS) {
            if let Some(value) = lot.attributes.get(look) {
                draft.set(new, look, value.clone());
            }
        }
        if labels_off {
            draft.set(new, field::DELABELLED, Value::Int(1));
        }
        draft.set(new, field::CLEAN_SINCE, Value::Int(cellar.now.utc_ms));
        new
    });
    draft.set(target, field::CLEANNESS, to);
    target
}

/// Kegs or jugs of a run that are empty now go, dirty, to the empties that they came from, by the rule by which they were
/// drawn; nothing where the book counts none such, and a bag is filled once. Whether they did.
pub(super) fn emptied(draft: &mut Draft, run: &Thing, cellar: &Snapshot) -> bool {
    let package = Package::of(run);
    if package == Package::Bag {
        return false;
    }
    let before = draft.supplies.len();
    for moved in draft.bottles.clone() {
        let drawn = drawn_for(package, moved.size_ml, Closure::of(run), cellar);
        let mut counted = drawn.into_iter();
        let counted = counted.find_map(|it| Some((it, left_count(it.key, cellar)?)));
        let Some((lot, there)) = counted else {
            continue;
        };
        let dirty = Cleanness::Dirty;
        let lot = if there == 0 {
            set_state(draft, lot.key, dirty.word(), cellar);
            lot.key
        } else if Cleanness::of(lot, cellar.now) == Some(dirty) {
            lot.key
        } else {
            beside(draft, lot, dirty.word(), false, cellar)
        };
        let change = SupplyChange::By(Dose::Count(moved.count));
        draft.supplies.push(SupplyMove { lot, change });
    }
    draft.supplies.len() > before
}

/// How clean a lot is, and since when.
fn set_state(draft: &mut Draft, lot: Key, to: &str, cellar: &Snapshot) {
    draft.set(lot, field::CLEANNESS, to);
    draft.set(lot, field::CLEAN_SINCE, Value::Int(cellar.now.utc_ms));
}

/// Another lot that these bottles are as clean as and look like. What is sanitised joins what was sanitised
/// within the day, and is over with it: rather too soon than too late.
fn alike(lot: &Thing, to: &str, labels_off: bool, cellar: &Snapshot) -> Option<Key> {
    let found = lots(lot.text(field::SUBSTANCE), cellar).find(|it| {
        it.key != lot.key
            && Cleanness::of(it, cellar.now).is_some_and(|it| it.word() == to)
            && LOOKS.iter().all(|look| {
                let own = lot.attributes.get(look);
                let its = it.attributes.get(look);
                own == its || (*look == field::DELABELLED && labels_off && its.is_some())
            })
    });
    found.map(|it| it.key)
}

/// What is to be filled next is sanitised: of empties that the book counts, so many of each size, the cleanest
/// first.
pub(super) fn sanitise(
    draft: &mut Draft,
    run: &Thing,
    fills: impl Iterator<Item = (i64, i64)>,
    cellar: &Snapshot,
) {
    for (size_ml, bottles) in fills {
        let mut wanted = bottles;
        for lot in drawn_for(Package::of(run), size_ml, Closure::of(run), cellar) {
            let there = left_count(lot.key, cellar).unwrap_or(0);
            let taken = wanted.min(there);
            if taken <= 0 {
                continue;
            }
            wanted -= taken;
            if Cleanness::of(lot, cellar.now) != Some(Cleanness::Sanitised) {
                bring(
                    draft,
                    lot,
                    (taken, there),
                    Cleanness::Sanitised.word(),
                    false,
                    cellar,
                );
            }
        }
    }
}

/// Bottles of a run that are empty now and go to the empties, dirty and with their labels; nothing where the book counts no
/// empties of that size, since a few of many would be taken for all. Whether they did.
pub(super) fn come_back(
    draft: &mut Draft,
    run: &Thing,
    (size_ml, count): (i64, i64),
    cellar: &Snapshot,
) -> bool {
    let package = Package::of(run);
    let of_size = |it: &&Thing| it.int(field::SIZE) == Some(size_ml);
    let mut counted = lots(package.word(), cellar).filter(of_size);
    if counted.all(|it| left_count(it.key, cellar).is_none()) {
        return false;
    }
    let closure = Closure::of(run).and_then(Finish::of_closure);
    let finish = closure.or_else(|| Finish::of(run));
    let colour = run.text(field::COLOUR);
    let is_such = |it: &&Thing| {
        Cleanness::of(it, cellar.now) == Some(Cleanness::Dirty)
            && it.int(field::DELABELLED).is_none()
            && Finish::of(it) == finish
            && it.text(field::COLOUR) == colour
    };
    let such = lots(package.word(), cellar).filter(of_size).find(is_such);
    let lot = such.map_or_else(
        || {
            let plain = format!("{} {colour}", package.size_words(size_ml));
            let name = free_name(&format!("{}, back", plain.trim()), cellar);
            let lot = draft.begin(Sort::Supply, &name);
            draft.set(lot, field::SUBSTANCE, package.word());
            draft.set(lot, field::UNIT, "count");
            draft.set(lot, field::SIZE, Value::Int(size_ml));
            if let Some(finish) = finish {
                draft.set(lot, field::FINISH, finish.word());
            }
            if !colour.is_empty() {
                draft.set(lot, field::COLOUR, colour);
            }
            set_state(draft, lot, Cleanness::Dirty.word(), cellar);
            lot
        },
        |it| it.key,
    );
    let change = SupplyChange::By(Dose::Count(count));
    draft.supplies.push(SupplyMove { lot, change });
    true
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

/// What a finished bottling took of empties and closures, what broke and what was refused among them, as far as the
/// book counts them, in the order in which empties are drawn. What is not counted is not missed. `of_empties` is no
/// where it was filled into others than those.
pub(super) fn use_up(
    draft: &mut Draft,
    run: &Thing,
    wine: &Wine,
    of_empties: bool,
    cellar: &Snapshot,
) {
    draw(draft, run, wine, of_empties, cellar);
    // What was taken as it was counted anew is gone already.
    let before = draws::since(run);
    for moved in &mut draft.supplies {
        if let (Some(drawn), SupplyChange::By(dose)) = (before.get(&moved.lot), &mut moved.change) {
            *dose = dose.with((dose.amount() + drawn).min(0));
        }
    }
    draft
        .supplies
        .retain(|it| !matches!(it.change, SupplyChange::By(dose) if dose.amount() == 0));
}

/// What a bottling under way took so far of each lot, besides what was off them as they were counted: its finish takes it.
pub(super) fn taken_so_far(cellar: &Snapshot) -> Option<(&Thing, BTreeMap<Key, i64>)> {
    let run = cellar.thing(cellar.filling?)?;
    let mut draft = Draft::new(Kind::Bottle, cellar.now);
    use_up(&mut draft, run, cellar.wine(run.key)?, true, cellar);
    let mut taken = BTreeMap::new();
    for moved in &draft.supplies {
        if let SupplyChange::By(dose) = moved.change {
            *taken.entry(moved.lot).or_default() -= dose.amount();
        }
    }
    Some((run, taken))
}

fn draw(draft: &mut Draft, run: &Thing, wine: &Wine, of_empties: bool, cellar: &Snapshot) {
    let off = |is_of: &dyn Fn(&Thing) -> bool| draws::counted_of(run, cellar, is_of);
    let sizes = filled_or_broken(wine);
    let (package, closure) = (Package::of(run), Closure::of(run));
    // Those that were off as they were counted were filled too.
    let mut used: Vec<Key> = draws::counted(run).into_keys().collect();
    used.retain(|it| {
        cellar
            .thing(*it)
            .is_some_and(|it| Package::of_empties(it).is_some())
    });
    let mut is_all = true;
    for (size, bottles) in sizes.iter().filter(|_| of_empties) {
        let of_size = drawn_for(package, *size, closure, cellar);
        let before = draft.supplies.len();
        let wanted = (bottles - off(&|it| is_of_size(it, package, *size))).max(0);
        used.extend(take(draft, of_size, Dose::Count(wanted), cellar));
        let moves = draft.supplies[before..].iter();
        let taken = moves.map(|it| match it.change {
            SupplyChange::By(dose) => -dose.amount(),
            SupplyChange::Found(_) | SupplyChange::Unknown => 0,
        });
        let taken: i64 = taken.sum();
        is_all &= taken == wanted;
    }
    if is_all {
        look_like(draft, run, &used, cellar);
    }
    let Some(closure) = closure.filter(|it| it.is_used_up()) else {
        return;
    };
    // A bottle that broke was closed: it is counted once it is. One of another mouth was closed in its own way.
    let refused = wine.astray.as_ref().map_or(0, |it| it.refused);
    let is_closed = |size_ml: i64| {
        !of_empties || other_mouth(package, size_ml, Some(closure), cellar).is_none()
    };
    let closed = sizes.iter().filter(|it| is_closed(*it.0));
    let closures = closed.map(|it| it.1).sum::<i64>() + refused;
    let wanted = (closures - off(&|it| Package::of_empties(it).is_none())).max(0);
    take(
        draft,
        closure_lots(closure, cellar),
        Dose::Count(wanted),
        cellar,
    );
}

/// What is known of all the empties that were filled is known of the bottles: their glass, and their mouth where
/// the closure does not tell it. What was said of the bottles before stands.
fn look_like(draft: &mut Draft, run: &Thing, used: &[Key], cellar: &Snapshot) {
    let said = |look: &str| -> Option<Vec<&str>> {
        let mut words: Vec<&str> = Vec::new();
        for lot in used {
            let word = cellar.thing(*lot)?.text(look).trim();
            if word.is_empty() {
                return None;
            }
            if !words.iter().any(|it| it.eq_ignore_ascii_case(word)) {
                words.push(word);
            }
        }
        Some(words).filter(|it| !it.is_empty())
    };
    if run.text(field::COLOUR).is_empty()
        && let Some(colours) = said(field::COLOUR)
    {
        draft.set(run.key, field::COLOUR, colours.join(" and ").as_str());
    }
    let told = Closure::of(run).and_then(Finish::of_closure);
    if told.is_none()
        && let Some([mouth]) = said(field::FINISH).as_deref()
    {
        draft.set(run.key, field::FINISH, *mouth);
    }
}
