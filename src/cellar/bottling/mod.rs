//! What a bottling will take: bottles of each size, closures, sanitizer, sulfite, time, and what of
//! it is not on hand. Worked out from the book; nothing is written.

mod beyond;
mod chores;
mod closing;
mod closure;
mod corks;
pub mod draws;
mod fit;
mod height;
mod needs;
mod off_empties;
mod on_hand;
mod package;
mod put_out;
mod said;
mod sign;
mod sulfite;
mod sum;
mod tally;
mod typed;

use std::collections::BTreeMap;

use leesline_calc::bottling::{Size, fill};

use super::amount::{Mass, Volume};
use super::corkers::set_words;
use super::dosing::{Powder, powder_words};
use super::snapshot::Snapshot;
use super::state::{Deed, Wine};
use super::thing::{Key, Thing, field};

pub use beyond::{beyond, found_by};
pub use chores::Chore;
pub use closure::{Closure, Finish};
pub use corks::{Corks, closure_lots};
pub use fit::{Misfit, fits, package_of};
pub use height::{Height, height_of};
pub use needs::{Short, contact_ms, sanitizer_of};
pub use off_empties::off_empties;
pub use on_hand::{
    Cleanness, Empties, drawn, drawn_for, filled_or_broken, is_of_size, left, left_count, lots,
    other_mouth, still_there, usual_ml, usual_run,
};
pub use package::{Package, bar};
pub use put_out::{PutOut, put_out};
pub use said::{Read, head, said};
pub use sign::{IN_SOME, LOOKED_AT, Sign, carried, carries, sign, sign_words};
pub use sulfite::Sulfite;
pub use sum::{Sum, is_filled_from};
pub use tally::Tally;
pub use typed::millilitres;

/// What is asked of a plan.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Wish {
    /// Lees that stay behind, where it is said.
    pub lees: Option<Volume>,
    /// Sizes of bottle in mL, with how many there are of each where that is said; those on hand if
    /// none is named, from the run's own size down.
    pub sizes: Vec<(i64, Option<i64>)>,
    /// The run's own size in mL, where it is said.
    pub own_ml: Option<i64>,
    /// What it is filled into.
    pub package: Package,
    /// What closes them; the usual one of the package if not said.
    pub closure: Option<Closure>,
    /// The corker that is used, where it is said.
    pub corker: Option<Key>,
    /// From one bottle to the next in earlier sessions, ms.
    pub pace_ms: Option<i64>,
}

impl Wish {
    /// For the rest of a run that was begun.
    pub fn of(run: &Thing) -> Wish {
        Wish {
            own_ml: run.int(field::SIZE),
            package: Package::of(run),
            closure: Closure::of(run),
            lees: planned_lees(run),
            corker: run.int(field::RUN_CORKER).map(Key),
            ..Wish::default()
        }
    }
}

/// The lees of a run that were to stay behind, as was said when it began.
pub fn planned_lees(run: &Thing) -> Option<Volume> {
    run.int(field::LEES).map(Volume)
}

/// What is still to be filled of a run whose bottles so far stand by size, the largest first.
pub fn to_go(
    run: &Thing,
    left: Volume,
    standing: &BTreeMap<i64, i64>,
    cellar: &Snapshot,
) -> Vec<Fill> {
    let package = Package::of(run);
    let own = run.int(field::SIZE).unwrap_or(package.usual_ml());
    let closure = Closure::of(run).unwrap_or(package.closures()[0]);
    // A bag or keg stands by what is in it, which may be less than it holds.
    let sizes = if package.may_be_part_full() {
        vec![(own, None)]
    } else {
        let mut sizes = on_hand::sizes(own, &on_hand::empties(package, closure, cellar));
        for (size_ml, there) in &mut sizes {
            let filled = standing.get(size_ml).copied().unwrap_or(0);
            *there = there.map(|it| (it - filled).max(0));
        }
        sizes
    };
    let (mut fills, remains) = filled(left, &sizes, &[]);
    if let (Some(first), Some((lacking, _))) = (fills.first_mut(), lacking(own, remains)) {
        first.bottles += lacking;
    }
    fills.retain(|it| it.bottles > 0);
    fills
}

/// How to set the corker of a run that is filled into bottles of that size, in words: `Bench to 3`.
pub fn corker_words(run: &Thing, size_ml: i64, cellar: &Snapshot) -> String {
    let corks = Closure::of(run).and_then(|it| corks::first(it, cellar));
    let used = run.int(field::RUN_CORKER).map(Key);
    set_words(used, corks.map(|it| it.length_mm), Some(size_ml), cellar)
}

/// What a bottling will take.
#[derive(Clone, Debug)]
pub struct Plan<'a> {
    /// The vessel it is bottled from.
    pub vessel: &'a Thing,
    /// What it holds, lees included.
    pub wine: Volume,
    /// Whether that is only about so much.
    pub about: bool,
    /// Lees that stay behind.
    pub lees: Volume,
    /// What lees may be in it besides, from and to, where it was never racked and nobody said.
    pub lees_unsaid: Option<[Volume; 2]>,
    /// Bottles of each size, the largest first.
    pub fills: Vec<Fill>,
    /// What fills no bottle.
    pub remains: Volume,
    /// How many more bottles of the first size that would fill than are on hand, with that size in mL;
    /// `None` where nobody counts them, or so many were asked for.
    pub lacking: Option<(i64, i64)>,
    /// What it is filled into.
    pub package: Package,
    /// What closes them.
    pub closure: Closure,
    /// What to mind of it.
    pub closing: String,
    /// How high it is filled.
    pub height: Height,
    /// The corks to be used first: their size, and when the packet was opened; empty where nobody said.
    pub corks: String,
    /// What speaks against that closure on the bottles there are.
    pub misfits: Vec<Misfit>,
    /// Closures to have at hand for all that the wine fills, bottles still to be had among it, with spare
    /// ones; none where the package brings its own.
    pub closures: i64,
    /// Labels to have at hand, for what is closed in another way too.
    pub labels: i64,
    /// How many closures there are, where the book counts them.
    pub closures_there: Option<i64>,
    /// What is to be made to sanitise with.
    pub sanitizer: Sanitizer,
    /// Its powder, as the owned tools measure it.
    pub sanitizer_powder: Powder,
    /// The sulfite it wants before.
    pub sulfite: Sulfite,
    /// How long it took in earlier sessions, for so many bottles.
    pub minutes: Option<i64>,
    /// What is not on hand, or not in the book.
    pub short: Vec<Short>,
}

/// Bottles of one size, or jugs, bags, kegs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fill {
    /// What goes into each, mL.
    pub size_ml: i64,
    /// What each holds, mL: the last jug, bag or keg may be filled in part, and takes a whole one.
    pub package_ml: i64,
    /// How many are filled.
    pub bottles: i64,
    /// The empty ones there are, where the book counts them.
    pub empties: Option<Empties>,
}

impl Fill {
    /// How many empty ones there are, where the book counts them.
    pub fn on_hand(&self) -> Option<i64> {
        self.empties.map(|it| it.there())
    }

    /// Whether each holds what it was made for; the last bag or keg may not.
    pub const fn is_full(&self) -> bool {
        self.package_ml == self.size_ml
    }

    /// Whether there is another empty one for it, as far as the book counts them.
    fn has_another(&self) -> bool {
        self.on_hand().is_none_or(|there| there > self.bottles)
    }
}

/// Sour sulfite water for bottles, hose and corks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sanitizer {
    /// How much to make.
    pub litres: f64,
    /// Potassium metabisulfite in it.
    pub metabisulfite_g: f64,
    /// Citric acid in it.
    pub citric_g: f64,
    /// How long it stays on what is sanitised.
    pub minutes: f64,
}

impl Sanitizer {
    /// The powder as it is weighed out, to a tenth of a gram.
    pub fn powder(self) -> Mass {
        Mass::grams((self.metabisulfite_g * 10.0).round() / 10.0)
    }

    /// The acid as it is weighed out, to a gram.
    pub fn citric(self) -> Mass {
        Mass::grams(self.citric_g.round())
    }
}

impl<'a> Plan<'a> {
    /// The plan for a vessel that holds wine; `None` where it holds none.
    pub fn of(vessel: &'a Thing, wish: &Wish, cellar: &Snapshot) -> Option<Plan<'a>> {
        let wine = cellar.wine(vessel.key)?;
        let package = wish.package;
        let closure = wish.closure.unwrap_or(package.closures()[0]);
        let empties = on_hand::empties(package, closure, cellar);
        let own_ml = wish.own_ml;
        let own_ml =
            own_ml.unwrap_or_else(|| on_hand::usual_of(package, &empties, wine.volume, cellar));
        let mut sizes = wish.sizes.clone();
        if sizes.is_empty() {
            sizes = on_hand::sizes(own_ml, &empties);
        }
        sizes.sort_unstable_by_key(|(size, _)| std::cmp::Reverse(*size));
        sizes.dedup_by_key(|(size, _)| *size);
        let lees = wish.lees.unwrap_or_default().min(wine.volume);
        let lees_unsaid = unracked_lees(wine).filter(|_| wish.lees.is_none());
        if !wish.sizes.is_empty() {
            sizes = as_there(wine.volume - lees, sizes, &empties);
        }
        let (mut fills, mut remains) = filled(wine.volume - lees, &sizes, &empties);
        if package.keeps_part_full() {
            fill_in_part(&mut fills, &sizes, &mut remains);
        }
        let lacking = lacking(own_ml, remains).filter(|_| wish.sizes.is_empty());
        // Who gets the bottles that are lacking closes and sanitises them too.
        let filled: i64 = fills.iter().map(|it| it.bottles).sum();
        let bottles = filled + lacking.map_or(0, |it| it.0);
        // What is filled besides and has another mouth is closed in its own way. Of the run's own size others are
        // taken, if those on hand do not take the closure that was asked for.
        let is_other = |it: &&Fill| {
            it.package_ml != own_ml
                && other_mouth(package, it.package_ml, Some(closure), cellar).is_some()
        };
        let others: i64 = fills.iter().filter(is_other).map(|it| it.bottles).sum();
        let spare = |of: i64| closure.supply().map_or(0, |_| needs::with_spare(of));
        let (closures, labels) = (spare(bottles - others), spare(bottles));
        let used: Vec<i64> = fills
            .iter()
            .filter(|it| it.bottles > 0)
            .map(|it| it.size_ml)
            .collect();
        let misfits: Vec<Misfit> = used
            .iter()
            .filter_map(|it| fits(package, *it, closure, cellar))
            .collect();
        // Where there are only such as it does not fit, none is there for it.
        for fill in fills.iter_mut().filter(|it| it.empties.is_none()) {
            let is_misfit = misfits.iter().any(|it| it.size_ml == fill.package_ml);
            fill.empties = is_misfit.then(|| Empties::none_of(fill.package_ml));
        }
        let corks = corks::first(closure, cellar);
        let length = corks.map(|it| it.length_mm);
        let corker = set_words(wish.corker, length, used.first().copied(), cellar);
        let made = needs::sanitizer(bottles);
        let mut plan = Plan {
            vessel,
            wine: wine.volume,
            about: wine.about,
            lees,
            lees_unsaid,
            fills,
            remains,
            lacking,
            package,
            closure,
            closing: closing::closing(closure, &corker),
            height: Height::of(closure, length),
            corks: corks.map_or(String::new(), |it| it.words(cellar)),
            misfits,
            closures,
            labels,
            closures_there: closure.supply().and_then(|it| needs::counted(it, cellar)),
            sanitizer_powder: powder_words(made.metabisulfite_g, &cellar.settings()),
            sanitizer: made,
            sulfite: Sulfite::of(vessel, cellar),
            minutes: wish.pace_ms.map(|it| (it * bottles + 59_999) / 60_000),
            short: Vec::new(),
        };
        plan.short = needs::short(&plan, cellar);
        Some(plan)
    }

    /// How many of those that a fill takes are still to be washed: the cleanest went into the fills before.
    pub fn to_wash(&self, fill: &Fill) -> Option<i64> {
        let empties = fill.empties?;
        let such = self
            .fills
            .iter()
            .filter(|it| it.package_ml == fill.package_ml);
        let before = such.take_while(|it| it.size_ml != fill.size_ml);
        let before: i64 = before.map(|it| it.bottles).sum();
        Some(empties.to_wash(before + fill.bottles) - empties.to_wash(before))
    }

    /// Bottles of all sizes that are filled, those still to be had left out.
    pub fn bottles(&self) -> i64 {
        self.fills.iter().map(|it| it.bottles).sum()
    }
}

/// How many more bottles of a size there is wine for, with that size in mL.
const fn lacking(own_ml: i64, remains: Volume) -> Option<(i64, i64)> {
    match remains.0 / Volume::millilitres(own_ml).0 {
        0 => None,
        lacking => Some((lacking, own_ml)),
    }
}

/// Why so much cannot stay behind as lees; nothing where the vessel holds as much, or nobody knows what it holds.
pub fn more_lees(lees: Volume, vessel: &Thing, wine: &Wine) -> Option<String> {
    let (held, name) = (wine.volume, vessel.name());
    let is_more = wine.unmeasured.is_none() && lees > held;
    is_more.then(|| format!("{lees} of lees is more than the {held} in {name}; give less."))
}

/// Lees of a wine that was never racked, as a share of it (from memory).
pub const LEES_SHARE: [f64; 2] = [0.02, 0.06];

/// The lees that a wine may lie on which came into its vessel as must and was never racked. Of what was here
/// before the book nobody knows.
fn unracked_lees(wine: &Wine) -> Option<[Volume; 2]> {
    let is_unracked = wine.when(Deed::Racked).is_none()
        && wine.when(Deed::BeforeBook).is_none()
        && wine.when(Deed::Begun).is_some();
    is_unracked.then(|| LEES_SHARE.map(|it| Volume::litres(wine.volume.in_litres() * it)))
}

/// The sizes with no more of each than there are, where those there take the wine; else as they were asked for.
fn as_there(
    wine: Volume,
    sizes: Vec<(i64, Option<i64>)>,
    empties: &[Empties],
) -> Vec<(i64, Option<i64>)> {
    let there = |size_ml| empties.iter().find(|it: &&Empties| it.size_ml == size_ml);
    let most = |(size_ml, most): &(i64, Option<i64>)| {
        (*size_ml, most.or(there(*size_ml).map(Empties::there)))
    };
    let as_there: Vec<_> = sizes.iter().map(most).collect();
    let (_, remains) = filled(wine, &as_there, empties);
    let smallest = sizes.iter().map(|it| Volume::millilitres(it.0)).min();
    if smallest.is_some_and(|it| remains < it) {
        as_there
    } else {
        sizes
    }
}

fn filled(wine: Volume, sizes: &[(i64, Option<i64>)], empties: &[Empties]) -> (Vec<Fill>, Volume) {
    let whole_ml = u32::try_from(wine.0 / 1_000).unwrap_or(0);
    let small = |it: i64| u32::try_from(it).unwrap_or(0);
    let of: Vec<Size> = sizes
        .iter()
        .map(|(ml, most)| Size {
            ml: small(*ml).max(1),
            most: most.map(small),
        })
        .collect();
    let (counts, _) = fill(whole_ml, &of);
    let fills: Vec<Fill> = sizes
        .iter()
        .zip(counts)
        .map(|((size_ml, _), bottles)| Fill {
            size_ml: *size_ml,
            package_ml: *size_ml,
            bottles: i64::from(bottles),
            empties: empties.iter().find(|it| it.size_ml == *size_ml).copied(),
        })
        .collect();
    let bottled: i64 = fills.iter().map(|it| it.size_ml * it.bottles).sum();
    (fills, wine - Volume::millilitres(bottled))
}

/// What fills no bag or keg goes into the smallest that there is still one of, part full, if it is more
/// than a tasting glass. Sizes of which so many were asked for take no more.
fn fill_in_part(fills: &mut Vec<Fill>, sizes: &[(i64, Option<i64>)], remains: &mut Volume) {
    let rest_ml = remains.0 / 1_000;
    let asked = |it: &Fill| sizes.iter().find(|size| size.0 == it.size_ml)?.1;
    let may_take = |it: &&Fill| {
        rest_ml >= 250
            && it.size_ml >= rest_ml
            && it.has_another()
            && asked(it).is_none_or(|most| most > it.bottles)
    };
    let Some(smallest) = fills.iter().filter(may_take).min_by_key(|it| it.size_ml) else {
        return;
    };
    let part = Fill {
        size_ml: rest_ml,
        bottles: 1,
        ..*smallest
    };
    *remains -= Volume::millilitres(rest_ml);
    fills.push(part);
}

#[cfg(test)]
mod tests;
