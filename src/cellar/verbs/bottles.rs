//! Bottles after the bottling: laid down, opened, given, kept, broken, poured back.

use std::collections::BTreeSet;

use chrono::Datelike;

use super::empties::emptied;
use super::keeping::{AMISS, FROM, RUN, SIZE};
use super::pull::{Bottles, stow};
use super::rack::{all_fits, is_a_blend};
use super::read::{count, thing, word};
use super::things::done;
use super::{Field, Form, Group, Prepared, Refusal, Takes, Verb, flag};
use crate::cellar::amount::Volume;
use crate::cellar::bottling::Package;
use crate::cellar::entry::{BottleMove, Draft, Kept, Kind, Posture, Spot, Tasting};
use crate::cellar::gifts;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::{BottleLot, Wine};
use crate::cellar::telling;
use crate::cellar::thing::{Account, Sort, Value, field};

const COUNT: Field = flag("count", "How many", "One if left out.", Takes::Count);
pub(super) static LAY_DOWN: Verb = Verb {
    name: "lay-down",
    sentence: "Lay bottles down.",
    group: Group::Bottles,
    fields: &[
        RUN,
        flag(
            "where",
            "Where",
            "`Rack A` for its next free slots, `Rack A/B3` to begin there, or any words.",
            Takes::Spot,
        ),
        flag(
            "count",
            "How many",
            "All that stand if left out.",
            Takes::Count,
        ),
        SIZE,
    ],
    draft: |form, cellar| {
        let bottles = Bottles::of(form, cellar)?;
        let package = Package::of(bottles.run);
        if package.keeps_part_full() {
            return Err(Refusal::book(
                Some("run"),
                format!(
                    "a {} is not laid down; `shift` says where it stands.",
                    package.label()
                ),
            ));
        }
        let stands = |it: &BottleLot| it.posture != Posture::Lying;
        let standing = bottles.count(stands);
        if standing == 0 {
            return Err(Refusal::book(
                Some("run"),
                format!("no bottle of {} is standing.", bottles.run.name()),
            ));
        }
        let wanted = count(form, "count")?.map_or(standing, |it| it.0);
        let at = form.get("where").unwrap_or_default();
        let moves = bottles.pull(wanted, stands, |from| {
            let there = from.kept();
            Spot::Kept(Kept {
                posture: Posture::Lying,
                at: if at.is_empty() {
                    there.at
                } else {
                    at.to_owned()
                },
                ..there
            })
        })?;
        let (moves, place) = stow(moves, "where", at, cellar)?;
        let mut draft = Draft::new(Kind::LayDown, cellar.now);
        draft.subject = Some(bottles.run.key);
        draft.bottles = moves;
        let place = if place.is_empty() {
            String::new()
        } else {
            format!(" {}", telling::where_words(&place))
        };
        done(
            draft,
            format!("Lay down {wanted} of {}{place}.", bottles.run.name()),
        )
    },
};

pub(super) static OPEN: Verb = Verb {
    name: "open",
    sentence: "Open a bottle; a keg, bag or jug is begun with it, and counted until it is empty.",
    group: Group::Bottles,
    fields: &[
        RUN,
        COUNT,
        flag(
            "words",
            "Taste",
            "How it tastes, if you like.",
            Takes::Words,
        ),
        FROM,
        AMISS,
        SIZE,
        flag(
            "empty",
            "Empty",
            "Of a keg, bag or jug: yes once it is empty.",
            Takes::Choice(&["yes", "no"]),
        ),
    ],
    draft: |form, cellar| {
        let bottles = Bottles::of(form, cellar)?;
        let run = bottles.run;
        let is_drawn_from = Package::of(run).is_drawn_from();
        let is_empty = word(form, "empty", &["yes", "no"])? == Some("yes");
        let mut prepared = if is_drawn_from && !is_empty {
            begin(form, &bottles, cellar)?
        } else {
            let verb = if is_drawn_from { "Empty" } else { "Open" };
            let mut meant = form.clone();
            if is_drawn_from && let Some(size_ml) = emptied_size(&bottles)? {
                meant.put("size", &size_ml.to_string());
            }
            leave(&meant, cellar, Kind::Open, Account::Drunk, verb)?
        };
        if is_drawn_from && is_empty {
            let gone = prepared.draft.bottles.iter().map(|it| it.count);
            let left = Package::begun(run, bottles.wine) - gone.sum::<i64>();
            let left = Value::Int(left.max(0));
            prepared.draft.set(run.key, field::BEGUN, left);
            let mut sizes = Package::begun_sizes(run, bottles.wine).unwrap_or_default();
            for moved in prepared.draft.bottles.clone() {
                for _ in 0..moved.count {
                    let at = sizes.iter().position(|it| *it == moved.size_ml);
                    at.map(|at| sizes.remove(at));
                }
            }
            prepared
                .draft
                .set(run.key, field::BEGUN_SIZES, lines(&sizes).as_str());
            if emptied(&mut prepared.draft, run, cellar) {
                let said = "It goes to the empties, to be washed.";
                prepared.asks.push(said.to_owned());
            }
        }
        if let Some(words) = form.get("words") {
            let tasting = Tasting {
                place: run.key,
                words: words.to_owned(),
                score: None,
                sheet: String::new(),
            };
            prepared.draft.tastings.push(tasting);
        }
        Ok(prepared)
    },
};

/// Begins a keg, bag or jug that is none yet.
fn begin(form: &Form, bottles: &Bottles, cellar: &Snapshot) -> Result<Prepared, Refusal> {
    let (run, package) = (bottles.run, Package::of(bottles.run));
    let (name, label) = (run.name(), package.label());
    if count(form, "count")?.is_some_and(|it| it.0 != 1) {
        let why = format!("{label}s are begun one at a time; leave the number out.");
        return Err(Refusal::book(Some("count"), telling::capital(&why)));
    }
    let begun = Package::begun(run, bottles.wine);
    let mut sizes = Package::begun_sizes(run, bottles.wine);
    // Of a size that is all begun none is begun once more.
    let is_free = |lot: &BottleLot| match &sizes {
        None => bottles.count(|_| true) > begun,
        Some(sizes) => {
            let of_size = sizes.iter().filter(|it| **it == lot.size_ml).count();
            bottles.count(|it| it.size_ml == lot.size_ml) > of_size as i64
        }
    };
    if begun > 0 && bottles.there()? > 0 && bottles.count(is_free) == 0 {
        let why = format!(
            "{} of {name} is begun already, and no other is left; `open \"{name}\" --empty yes` says that it is empty.",
            package.count(begun)
        );
        return Err(Refusal::book(Some("run"), why));
    }
    // Refused where there is none.
    let moved = bottles.pull(1, is_free, |lot| Spot::Kept(lot.kept()))?;
    let size_ml = moved.first().map(|it| it.size_ml);
    let mut sizes = sizes.take().unwrap_or_default();
    sizes.extend(size_ml);
    let mut draft = Draft::new(Kind::Open, cellar.now);
    draft.subject = Some(run.key);
    draft.set(run.key, field::BEGUN, Value::Int(begun + 1));
    draft.set(run.key, field::BEGUN_SIZES, lines(&sizes).as_str());
    let since = Value::Int(cellar.now.utc_ms);
    draft.set(run.key, field::BEGUN_SINCE, since);
    let one = size_ml.map_or(label.to_owned(), |it| package.times(1, it));
    let mut prepared = done(draft, format!("Begin {one} of {name}."))?;
    prepared.asks.push(package.keeps_begun().to_owned());
    Ok(prepared)
}

/// Which size is empty, where that goes without saying; refused where another may be meant.
fn emptied_size(bottles: &Bottles) -> Result<Option<i64>, Refusal> {
    let (run, package) = (bottles.run, Package::of(bottles.run));
    let there: BTreeSet<i64> = bottles.wine.bottles.iter().map(|it| it.size_ml).collect();
    let meant: Vec<i64> = there
        .into_iter()
        .filter(|size| bottles.count(|it| it.size_ml == *size) > 0)
        .collect();
    if meant.len() < 2 {
        return Ok(None);
    }
    let begun = Package::begun_sizes(run, bottles.wine).unwrap_or_default();
    match BTreeSet::from_iter(begun).into_iter().collect::<Vec<i64>>()[..] {
        [size_ml] if meant.contains(&size_ml) => Ok(Some(size_ml)),
        _ => {
            let sizes: Vec<String> = meant.iter().map(|it| package.size_words(*it)).collect();
            let why = format!(
                "{} is in {}s of {}; give the --size of the one that is empty.",
                run.name(),
                package.label(),
                telling::and(&sizes)
            );
            Err(Refusal::input("size", why))
        }
    }
}

fn lines(sizes: &[i64]) -> String {
    let sizes: Vec<String> = sizes.iter().map(i64::to_string).collect();
    sizes.join("\n")
}

pub(super) static GIVE: Verb = Verb {
    name: "give",
    sentence: "Give bottles away. Whether home wine may be given or sold is for your local law.",
    group: Group::Bottles,
    fields: &[
        RUN,
        COUNT,
        flag("to", "To", "To whom.", Takes::Text),
        FROM,
        AMISS,
        SIZE,
    ],
    draft: |form, cellar| {
        let mut prepared = leave(form, cellar, Kind::Give, Account::Given, "Give")?;
        prepared.draft.note = form.get("to").map(gifts::to_note).unwrap_or_default();
        prepared.asks.extend(contains(&prepared.draft, cellar));
        Ok(prepared)
    },
};

/// What whoever gets bottles is to be told is in them, by the book: what somebody may not bear is best said with the bottle.
fn contains(draft: &Draft, cellar: &Snapshot) -> Option<String> {
    let wine = cellar.wine(draft.subject?)?;
    let all: Vec<&String> = wine.allergens.iter().collect();
    let named = telling::and(&all);
    (!all.is_empty()).then(|| {
        format!(
            "Tell whoever gets it: by the book there is {named} in it; whether there is anything else, nobody wrote down."
        )
    })
}

pub(super) static BREAK: Verb = Verb {
    name: "break",
    sentence: "A bottle broke.",
    group: Group::Bottles,
    fields: &[RUN, COUNT, FROM, AMISS, SIZE],
    draft: |form, cellar| leave(form, cellar, Kind::Break, Account::Broken, "Broken:"),
};

/// Pours bottles of a run away with what is in them: all that are meant, or so many.
pub(super) fn discard_bottles(form: &Form, cellar: &Snapshot) -> Result<Prepared, Refusal> {
    if form.get("amount").is_some() {
        let why = "bottles are poured away by the bottle; say with --count how many.";
        return Err(Refusal::input("amount", why));
    }
    let mut bottles_of = form.clone();
    bottles_of.put("run", form.get("place").unwrap_or_default());
    let there = Bottles::of(&bottles_of, cellar)?.there()?;
    let is_all = form.get("count").is_none();
    if is_all {
        bottles_of.put("count", &there.to_string());
    }
    let mut prepared = leave(
        &bottles_of,
        cellar,
        Kind::Discard,
        Account::Discarded,
        "Pour away",
    )?;
    if is_all && there > 1 {
        let asked = format!("All {there} of them are poured away; give --count if it is fewer.");
        prepared = prepared.only_if([asked]);
    }
    Ok(prepared)
}

pub(super) static UNBOTTLE: Verb = Verb {
    name: "unbottle",
    sentence: "Pour bottles back into a vessel.",
    group: Group::Bottles,
    fields: &[
        RUN,
        COUNT,
        flag("into", "Into", "Which vessel.", Takes::Thing(Sort::Vessel)),
        FROM,
        AMISS,
        SIZE,
    ],
    draft: |form, cellar| {
        if form.get("into").is_none() {
            return Err(Refusal::input("into", "Into which vessel?"));
        }
        let into = thing(form, "into", Sort::Vessel, cellar)?;
        let bottles = Bottles::of(form, cellar)?;
        let run = bottles.run;
        let wanted = count(form, "count")?.map_or(1, |it| it.0);
        let mut draft = Draft::new(Kind::Unbottle, cellar.now);
        draft.subject = Some(run.key);
        draft.bottles = bottles.pull(wanted, |_| true, |_| Spot::Outside(into.key))?;
        let poured = draft
            .bottles
            .iter()
            .map(|it| Volume::millilitres(it.size_ml * it.count))
            .sum();
        all_fits("into", into, poured, cellar)?;
        let coming = cellar.wine(run.key).and_then(Wine::main_batch);
        let blend = is_a_blend(coming, poured, into, cellar);
        let asked = kept_for(&bottles, &draft).into_iter().chain(blend);
        let said = format!("Pour {wanted} of {} back into {}.", run.name(), into.name());
        Ok(done(draft, said)?.only_if(asked))
    },
};

pub(super) static RESERVE: Verb = Verb {
    name: "reserve",
    sentence: "Keep bottles for someone or something; they no longer count as drinkable.",
    group: Group::Bottles,
    fields: &[
        RUN,
        COUNT,
        flag("for", "For", "`2030`, `the show`, a name.", Takes::Text),
        FROM,
        SIZE,
    ],
    draft: |form, cellar| {
        let bottles = Bottles::of(form, cellar)?;
        let run = bottles.run;
        let wanted = count(form, "count")?.map_or(1, |it| it.0);
        let keep_for = form
            .get("for")
            .ok_or_else(|| Refusal::input("for", "For whom or what? Say it with --for."))?;
        let year = keep_for.trim().parse::<i32>().ok();
        if let Some(year) = year.filter(|it| (1_000..cellar.now.date().year()).contains(it)) {
            return Err(Refusal::input(
                "for",
                format!(
                    "{year} is past, so nothing can be kept for it; give a year to come, an occasion or a name."
                ),
            ));
        }
        let mut draft = Draft::new(Kind::Reserve, cellar.now);
        draft.subject = Some(run.key);
        draft.bottles = bottles.pull(
            wanted,
            |it| it.reserved.is_empty(),
            |from| {
                Spot::Kept(Kept {
                    reserved: keep_for.to_owned(),
                    ..from.kept()
                })
            },
        )?;
        done(
            draft,
            format!("Keep {wanted} of {} for {keep_for}.", run.name()),
        )
    },
};

fn leave(
    form: &Form,
    cellar: &Snapshot,
    kind: Kind,
    to: Account,
    verb: &str,
) -> Result<Prepared, Refusal> {
    let bottles = Bottles::of(form, cellar)?;
    let wanted = count(form, "count")?.map_or(1, |it| it.0);
    let mut draft = Draft::new(kind, cellar.now);
    draft.subject = Some(bottles.run.key);
    draft.bottles = bottles.pull(wanted, |_| true, |_| Spot::Outside(to.key()))?;
    let out_of = bottles.out_of(&draft.bottles);
    let said = format!("{verb} {wanted} of {}{out_of}.", bottles.run.name());
    let kept = kept_for(&bottles, &draft);
    let mut prepared = done(draft, said)?;
    // One that broke is broken, whoever it was kept for.
    if kind == Kind::Break {
        prepared.asks.extend(kept);
        return Ok(prepared);
    }
    Ok(prepared.only_if(kept))
}

/// A question before bottles go that were kept for someone, with how many are free instead.
fn kept_for(bottles: &Bottles, draft: &Draft) -> Option<String> {
    let whom = |it: &BottleMove| match &it.from {
        Spot::Kept(kept) if !kept.reserved.is_empty() => Some(kept.reserved.clone()),
        _ => None,
    };
    let moves = draft.bottles.iter();
    let (kept, free): (Vec<&BottleMove>, Vec<&BottleMove>) =
        moves.partition(|it| whom(it).is_some());
    let all: BTreeSet<String> = kept.into_iter().filter_map(whom).collect();
    let mut lots = bottles.wine.bottles.iter();
    let for_others = lots.any(|it| !it.reserved.is_empty() && !all.contains(&it.reserved));
    let whom = Vec::from_iter(all).join(" and ");
    if whom.is_empty() {
        return None;
    }
    let taken: i64 = free.iter().map(|it| it.count).sum();
    let lots = bottles.wine.bottles.iter();
    let all_free: i64 = lots
        .filter(|it| it.reserved.is_empty())
        .map(|it| it.count)
        .sum();
    let others = match all_free - taken {
        ..=0 => "and no other is free".to_owned(),
        1 => "but 1 other is free".to_owned(),
        others => format!("but {others} others are free"),
    };
    Some(match &bottles.from {
        Some(from) if taken > 0 => {
            format!("Some of those in {from} are kept for {whom}, {others}.")
        }
        Some(from) => format!("Those in {from} are kept for {whom}, {others}."),
        None if all_free > taken => format!("Those meant are kept for {whom}, {others}."),
        None if taken == 1 => {
            format!("Only 1 of these is free; what is more is kept for {whom}.")
        }
        None if taken > 0 => {
            format!("Only {taken} of these are free; what is more is kept for {whom}.")
        }
        None if for_others => format!("All that are left are kept for someone, these for {whom}."),
        None => format!("The only ones left are kept for {whom}."),
    })
}
