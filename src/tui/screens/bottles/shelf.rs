//! What the screen shows: runs and racks, with what the words sought leave of them. Derived once
//! from the cellar and kept until it changes.

use std::collections::BTreeMap;

use crate::cellar::bottling::{Closure, Package};
use crate::cellar::entry::Posture;
use crate::cellar::on_hand::{OnHand, Sought, on_hand};
use crate::cellar::racks::{Rack, Racks, Slot, Stowed, stowed};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::{BottleLot, Wine as Holds};
use crate::cellar::telling;
use crate::cellar::thing::{Key, Thing, Wine, field};
use crate::cellar::trouble;
use crate::cellar::which::{self, Fit};

/// Everything on the screen.
#[derive(Debug, Default)]
pub(super) struct Shelf {
    pub runs: Vec<Run>,
    pub racks: Vec<Shown>,
    /// What would tell the runs apart, if what a bottle looks like was sought.
    pub apart: String,
}

/// A run with bottles.
#[derive(Debug)]
pub(super) struct Run {
    pub key: Key,
    pub name: String,
    pub mark: String,
    /// Whether that is written on its bottles, and no sign of ours.
    pub is_marked: bool,
    pub year: Option<i64>,
    /// Bottles by size, the largest first.
    pub sizes: Vec<String>,
    /// Bottles in all.
    pub count: i64,
    pub drinkable: i64,
    /// Whether there are bottles that nobody counted.
    pub uncounted: bool,
    pub about: bool,
    pub reserved: i64,
    /// Bottles by what they are kept for.
    pub kept_for: Vec<(String, i64)>,
    /// Bottles by what a look found amiss with them.
    pub amiss: Vec<(String, i64)>,
    /// What was sought and nobody wrote down of it: the bottle may be of this run all the same.
    pub unknown: Vec<&'static str>,
    /// Until when they still wait, UTC ms, and what for.
    pub waits: Option<(&'static str, i64)>,
    /// What keeps them from being drunk.
    pub withheld: Option<&'static str>,
    /// What its wine is marked with as troubled.
    pub marked: Option<String>,
    /// Kegs, bags or jugs that were begun and are not empty, in words.
    pub begun: Option<String>,
    pub standing: i64,
    /// Bottles by rack or place.
    pub places: Vec<(String, i64)>,
}

/// A rack and what lies in it.
#[derive(Debug)]
pub(super) struct Shown {
    pub rack: Rack,
    pub room: String,
    pub cells: BTreeMap<Slot, Vec<Lot>>,
    /// Bottles in it without a slot.
    pub anywhere: Vec<Lot>,
    pub count: i64,
}

/// Bottles in a slot.
#[derive(Clone, Debug)]
pub(super) struct Lot {
    pub run: Key,
    pub mark: String,
    pub wine: Wine,
    pub size_ml: i64,
    pub count: i64,
    pub reserved: String,
    pub found: String,
    /// Whether it is among those sought.
    pub sought: bool,
}

impl Shelf {
    /// All of it, with the lots marked that every word sought fits.
    pub(super) fn of(cellar: &Snapshot, words: &str) -> Shelf {
        let racks = Racks::of(&cellar.things);
        let words: Vec<String> = words.split_whitespace().map(str::to_lowercase).collect();
        let all = on_hand(&Sought::default(), cellar);
        let mut runs: Vec<Run> = all
            .iter()
            .filter_map(|it| Run::of(it, &words, &racks, cellar))
            .collect();
        runs.sort_by_cached_key(|it| (it.unknown.len(), it.name.to_lowercase()));
        let known: BTreeMap<Key, &OnHand> = all.iter().map(|it| (it.run.key, it)).collect();
        let filled = stowed(&racks, cellar.lots());
        let none = Stowed::default();
        let shown = racks.iter().map(|rack| {
            let there = filled.get(&rack.key).unwrap_or(&none);
            let lot = |held: &crate::cellar::racks::Held| {
                let of = known.get(&held.run)?;
                Some(Lot::of(of, held.lot, &words, &racks, cellar))
            };
            let lots = |held: &[crate::cellar::racks::Held]| held.iter().filter_map(lot).collect();
            let thing = cellar.thing(rack.key);
            Shown {
                rack: rack.clone(),
                room: thing.map_or("", |it| it.text(field::ROOM)).to_owned(),
                cells: there
                    .slots
                    .iter()
                    .map(|(slot, held)| (*slot, lots(held)))
                    .collect(),
                anywhere: lots(&[&there.anywhere[..], &there.nowhere[..]].concat()),
                count: there.count(),
            }
        });
        // In the order in which they were written down.
        let mut shown: Vec<Shown> = shown.collect();
        shown.sort_by_key(|it| it.rack.key);
        let apart = if words.iter().any(|it| which::clue(it).is_some()) {
            apart(&runs, cellar)
        } else {
            String::new()
        };
        Shelf {
            runs,
            racks: shown,
            apart,
        }
    }
}

impl Run {
    fn of(all: &OnHand, words: &[String], racks: &Racks, cellar: &Snapshot) -> Option<Run> {
        let lots = all.lots.iter().copied();
        let kept = OnHand {
            run: all.run,
            year: all.year,
            lots: lots
                .filter(|it| is_sought(all, Some(it), words, racks))
                .collect(),
            uncounted: all.uncounted && is_sought(all, None, words, racks),
            about: all.about,
            withheld: all.withheld,
        };
        if kept.lots.is_empty() && !kept.uncounted {
            return None;
        }
        let owned = |parts: Vec<(&str, i64)>| -> Vec<(String, i64)> {
            let parts = parts.into_iter();
            parts.map(|(word, it)| (word.to_owned(), it)).collect()
        };
        let closure = all.run.text(field::CLOSURE);
        let standing = kept
            .lots
            .iter()
            .filter(|it| telling::posture_words(closure, it.posture) == Posture::Standing.label());
        Some(Run {
            key: all.run.key,
            name: all.run.name().to_owned(),
            mark: mark(all.run),
            is_marked: !all.run.text(field::RUN_MARK).is_empty(),
            year: all.year,
            sizes: kept
                .sizes()
                .iter()
                .map(|(size_ml, count)| Package::of(all.run).times(*count, *size_ml))
                .collect(),
            count: kept.count(),
            drinkable: kept.drinkable(),
            uncounted: kept.uncounted,
            about: kept.about,
            reserved: kept.reserved(),
            kept_for: owned(kept.kept_for()),
            amiss: owned(kept.amiss()),
            unknown: which::unknown_of(all.run, &clues(words)),
            waits: kept.waits(cellar),
            withheld: kept.withheld,
            marked: cellar.wine(all.run.key).and_then(trouble::marked),
            begun: kept.begun(cellar),
            standing: standing.map(|it| it.count).sum(),
            places: owned(kept.places(racks)),
        })
    }
}

impl Lot {
    fn of(
        all: &OnHand,
        lot: &BottleLot,
        words: &[String],
        racks: &Racks,
        cellar: &Snapshot,
    ) -> Lot {
        Lot {
            run: all.run.key,
            mark: mark(all.run),
            wine: wine(all.run, cellar),
            size_ml: lot.size_ml,
            count: lot.count,
            reserved: lot.reserved.clone(),
            found: lot.found.clone(),
            sought: is_sought(all, Some(lot), words, racks),
        }
    }
}

/// A bottle that nobody can name: what would tell the runs apart that it may be of, and what may be
/// said of allergens.
fn apart(runs: &[Run], cellar: &Snapshot) -> String {
    let fit = |run: &Run| Fit {
        run: run.key,
        agrees: Vec::new(),
        unknown: run.unknown.clone(),
    };
    let fits: Vec<Fit> = runs.iter().map(fit).collect();
    let mut said = which::apart(&fits, cellar);
    said.truncate(1);
    said.extend((!fits.is_empty()).then(|| which::allergens(&fits, cellar)));
    said.join(" ")
}

/// What the words say of a bottle's looks.
fn clues(words: &[String]) -> Vec<&'static str> {
    words.iter().filter_map(|it| which::clue(it)).collect()
}

/// Whether every word fits something of these bottles: name, mark, year, size, place, closure, colour,
/// shape, what they are kept for, or what was found amiss. A closure, colour or shape that nobody wrote
/// down may be any. `kept` finds all that are kept, `amiss` all with something amiss. Of bottles that nobody
/// counted only the run and its room are known.
fn is_sought(all: &OnHand, lot: Option<&BottleLot>, words: &[String], racks: &Racks) -> bool {
    let run = all.run;
    let closure = run.text(field::CLOSURE);
    let mut said = vec![
        run.name().to_lowercase(),
        closure.to_lowercase(),
        Closure::said(closure),
        run.text(field::COLOUR).to_lowercase(),
        run.text(field::SHAPE).to_lowercase(),
    ];
    let mut numbers = vec![all.year.unwrap_or_default().to_string()];
    if let Some(lot) = lot {
        let kept = if lot.reserved.is_empty() { "" } else { "kept" };
        let amiss = if lot.found.is_empty() { "" } else { "amiss" };
        let place = racks.told(&lot.at).to_lowercase();
        said.extend([place, lot.reserved.to_lowercase(), lot.found.to_lowercase()]);
        said.extend([lot.posture.word(), kept, amiss].map(str::to_owned));
        numbers.push(lot.size_ml.to_string());
    } else {
        said.push(run.text(field::ROOM).to_lowercase());
    }
    let mark = run.text(field::RUN_MARK).to_lowercase();
    let is_unknown =
        |word: &str| which::clue(word).is_some_and(|it| !which::unknown_of(run, &[it]).is_empty());
    words.iter().all(|word| {
        let fits = said.iter().any(|it| it.contains(word));
        fits || mark == *word || numbers.contains(word) || is_unknown(word)
    })
}

/// The mark on a run's corks. Where it has none, two characters of its name to draw it by, small, so that
/// nobody looks for them on a cork.
fn mark(run: &Thing) -> String {
    let mark = run.text(field::RUN_MARK);
    if !mark.is_empty() {
        return mark.to_owned();
    }
    let mut chars = run.name().chars().filter(|it| it.is_alphanumeric());
    let sign: String = chars.next().into_iter().chain(chars.next_back()).collect();
    sign.to_lowercase()
}

fn wine(run: &Thing, cellar: &Snapshot) -> Wine {
    let batch = cellar.wine(run.key).and_then(Holds::main_batch);
    batch
        .and_then(|it| cellar.thing(it))
        .map_or(Wine::Unknown, Thing::wine)
}
