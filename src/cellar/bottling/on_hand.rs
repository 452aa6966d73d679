//! Empties on hand: how many of which size, how clean they are, and which are drawn first.

use std::collections::BTreeMap;

use super::{Closure, Finish, Package, draws};
use crate::cellar::amount::Volume;
use crate::cellar::entry::Dose;
use crate::cellar::moment::Moment;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Wine;
use crate::cellar::thing::{Key, Sort, Thing, field, words};

words! {
    /// How far empty bottles are on their way to the filler.
    Cleanness {
        Dirty "dirty" "dirty",
        Soaking "soaking" "soaking",
        Clean "clean" "clean",
        Sanitised "sanitised" "sanitised",
    }
}

/// A bottle is sanitised for so long; after that it is a clean one again (common practice).
const SANITISED_MS: i64 = 24 * 3_600_000;

impl Cleanness {
    /// How clean a lot is now. Where nobody said when it was sanitised, that is over.
    pub fn of(lot: &Thing, now: Moment) -> Option<Cleanness> {
        let said = Cleanness::from_word(lot.text(field::CLEANNESS))?;
        let since = lot.int(field::CLEAN_SINCE);
        let lasts = since.is_some_and(|it| now.utc_ms - it < SANITISED_MS);
        Some(match said {
            Cleanness::Sanitised if !lasts => Cleanness::Clean,
            said => said,
        })
    }
}

/// Empties of one size that a closure fits or may fit, by how far they are.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Empties {
    /// What each holds, mL.
    pub size_ml: i64,
    /// Sanitised within the day.
    pub sanitised: i64,
    /// Clean.
    pub clean: i64,
    /// Soaking.
    pub soaking: i64,
    /// Dirty, or nobody said.
    pub dirty: i64,
    /// Those of them without their old labels.
    pub labels_off: i64,
}

impl Empties {
    /// None of that size.
    pub(super) fn none_of(size_ml: i64) -> Empties {
        Empties {
            size_ml,
            ..Empties::default()
        }
    }

    /// All of them.
    pub fn there(&self) -> i64 {
        self.sanitised + self.clean + self.soaking + self.dirty
    }

    /// How many of so many drawn are still to be washed: the cleanest are drawn first.
    pub fn to_wash(&self, drawn: i64) -> i64 {
        (drawn.min(self.there()) - self.sanitised - self.clean).max(0)
    }

    /// What is left once so many are filled: the cleanest are drawn first.
    fn without(mut self, mut drawn: i64) -> Empties {
        for of in [
            &mut self.sanitised,
            &mut self.clean,
            &mut self.soaking,
            &mut self.dirty,
        ] {
            let taken = drawn.clamp(0, (*of).max(0));
            *of -= taken;
            drawn -= taken;
        }
        self
    }

    /// `40 there: 25 sanitised, 15 dirty`.
    pub fn words(&self) -> String {
        let counts = [
            (self.sanitised, "sanitised"),
            (self.clean, "clean"),
            (self.soaking, "soaking"),
            (self.dirty, "dirty"),
            (self.labels_off, "with the labels off"),
        ];
        let said: Vec<String> = counts
            .iter()
            .filter(|it| it.0 > 0)
            .map(|(count, word)| format!("{count} {word}"))
            .collect();
        match said.as_slice() {
            [] => "0 there".to_owned(),
            _ => format!("{} there: {}", self.there(), said.join(", ")),
        }
    }
}

/// Lots of a supply that are in use, the first bought first.
pub fn lots<'a>(substance: &str, cellar: &'a Snapshot) -> impl Iterator<Item = &'a Thing> {
    let mut lots: Vec<&Thing> = cellar
        .open(Sort::Supply)
        .filter(|it| it.text(field::SUBSTANCE) == substance)
        .collect();
    lots.sort_by_key(|it| (it.int(field::BOUGHT), it.key));
    lots.into_iter()
}

/// What is left of a lot, where it is known.
pub fn left(lot: Key, cellar: &Snapshot) -> Option<Dose> {
    cellar.stock(lot)?.left
}

/// How many are left of a lot, where it is counted.
pub fn left_count(lot: Key, cellar: &Snapshot) -> Option<i64> {
    match left(lot, cellar) {
        Some(Dose::Count(count)) => Some(count),
        _ => None,
    }
}

/// Lots of empties of that kind whose mouth takes the closure or was never said, in the order in which
/// they are drawn: the cleanest first, those without labels before those with, then the first bought.
pub fn drawn(package: Package, closure: Option<Closure>, cellar: &Snapshot) -> Vec<&Thing> {
    in_order(package, |lot| takes(lot, closure), cellar)
}

fn takes(lot: &Thing, closure: Option<Closure>) -> bool {
    let finish = Finish::of(lot);
    finish.is_none_or(|it| closure.is_some_and(|closure| it.takes(closure)))
}

fn in_order(package: Package, of: impl Fn(&Thing) -> bool, cellar: &Snapshot) -> Vec<&Thing> {
    let mut of: Vec<&Thing> = lots(package.word(), cellar).filter(|it| of(it)).collect();
    of.sort_by_key(|it| {
        let labelled = it.int(field::DELABELLED) != Some(1);
        (std::cmp::Reverse(Cleanness::of(it, cellar.now)), labelled)
    });
    of
}

/// Those of them that so much goes into: a bottle of that size, or the smallest jug, bag or keg that holds it. Where
/// all of that size have another mouth, what is filled is those all the same.
pub fn drawn_for(
    package: Package,
    size_ml: i64,
    closure: Option<Closure>,
    cellar: &Snapshot,
) -> Vec<&Thing> {
    if package.may_be_part_full() {
        let mut of_size = drawn(package, closure, cellar);
        of_size.retain(|it| Package::empties_ml(it) >= size_ml);
        of_size.sort_by_key(|it| Package::empties_ml(it));
        return of_size;
    }
    let is_other = other_mouth(package, size_ml, closure, cellar).is_some();
    let is_drawn =
        |lot: &Thing| Package::empties_ml(lot) == size_ml && (is_other || takes(lot, closure));
    in_order(package, is_drawn, cellar)
}

/// The mouth of the bottles of a size that the closure fits none of: they are closed in their own way.
pub fn other_mouth(
    package: Package,
    size_ml: i64,
    closure: Option<Closure>,
    cellar: &Snapshot,
) -> Option<Finish> {
    let mut of_size = lots(package.word(), cellar)
        .filter(|it| Package::empties_ml(it) == size_ml && left_count(it.key, cellar).is_some())
        .peekable();
    let first = Finish::of(of_size.peek()?)?;
    let fits_none = !package.may_be_part_full() && of_size.all(|it| !takes(it, closure));
    fits_none.then_some(first)
}

/// Empties by size, of those that a bottling with that closure draws from.
pub(super) fn empties(package: Package, closure: Closure, cellar: &Snapshot) -> Vec<Empties> {
    let mut sizes: Vec<Empties> = Vec::new();
    for lot in drawn(package, Some(closure), cellar) {
        let Some(count) = left_count(lot.key, cellar) else {
            continue;
        };
        let size_ml = Package::empties_ml(lot);
        let at = sizes.iter().position(|it| it.size_ml == size_ml);
        let at = at.unwrap_or_else(|| {
            sizes.push(Empties::none_of(size_ml));
            sizes.len() - 1
        });
        let of_size = &mut sizes[at];
        match Cleanness::of(lot, cellar.now) {
            Some(Cleanness::Sanitised) => of_size.sanitised += count,
            Some(Cleanness::Clean) => of_size.clean += count,
            Some(Cleanness::Soaking) => of_size.soaking += count,
            Some(Cleanness::Dirty) | None => of_size.dirty += count,
        }
        if lot.int(field::DELABELLED) == Some(1) {
            of_size.labels_off += count;
        }
    }
    sizes
}

/// The sizes that a bottling takes, in mL, with how many there are of each: its own, and smaller ones for what
/// they leave over. Larger ones are taken only where someone asks for them; where none of its own are counted, as
/// many of those as it takes.
pub(super) fn sizes(own_ml: i64, empties: &[Empties]) -> Vec<(i64, Option<i64>)> {
    let there = |it: &Empties| (it.size_ml, Some(it.there()));
    let own = empties.iter().find(|it| it.size_ml == own_ml).map(there);
    let smaller = empties.iter().filter(|it| it.size_ml < own_ml).map(there);
    [own.unwrap_or((own_ml, None))]
        .into_iter()
        .chain(smaller)
        .collect()
}

/// So many bottlings ago counts as what is usual here.
const RECENT: usize = 12;

/// The bottling that the next one is likely like: of the last dozen the one with the most bottles still there, so that a
/// few swing tops at the end of an evening are not what everything goes into.
pub fn usual_run(package: Option<Package>, cellar: &Snapshot) -> Option<&Thing> {
    let runs = cellar.things.values().rev().map(AsRef::as_ref);
    let such = runs.filter(|it: &&Thing| {
        it.int(field::VESSEL).is_some() && package.is_none_or(|of| of == Package::of(it))
    });
    let bottles = |it: &Thing| cellar.wine(it.key).map_or(0, Wine::bottle_count);
    such.take(RECENT).max_by_key(|it| (bottles(it), it.key))
}

/// The size that so much wine is likely bottled in, mL: that of the usual bottling if some are there, else the one on
/// hand that holds the most in all if they take half of it, else the usual one all the same.
pub fn usual_ml(package: Package, closure: Closure, wine: Volume, cellar: &Snapshot) -> i64 {
    usual_of(package, &empties(package, closure, cellar), wine, cellar)
}

/// The same from those empties.
pub(super) fn usual_of(
    package: Package,
    empties: &[Empties],
    wine: Volume,
    cellar: &Snapshot,
) -> i64 {
    let usual = usual_run(Some(package), cellar).and_then(|it| it.int(field::SIZE));
    let holds = |it: &Empties| Volume::millilitres(it.size_ml * it.there());
    let there = || empties.iter().filter(|it| it.there() > 0);
    let most = there().max_by_key(|it| (holds(it), it.size_ml));
    let is_there = |size: &i64| there().any(|it| it.size_ml == *size);
    let takes_half = |it: &&Empties| holds(it).0 * 2 >= wine.0;
    usual
        .filter(is_there)
        .or(most.filter(takes_half).map(|it| it.size_ml))
        .or(usual)
        .unwrap_or(package.usual_ml())
}

/// Empty bottles of that size that a bottling under way may still fill, where the book counts any for it.
pub fn still_there(run: &Thing, size_ml: i64, cellar: &Snapshot) -> Option<Empties> {
    let package = Package::of(run);
    let counted = empties(package, Closure::of(run)?, cellar);
    if counted.is_empty() || package.may_be_part_full() {
        return None;
    }
    let of_size = counted.into_iter().find(|it| it.size_ml == size_ml);
    let wine = cellar.wine(run.key);
    let drawn = wine.and_then(|it| filled_or_broken(it).get(&size_ml).copied());
    // Those that were off already as the empties were counted are not there twice.
    let off = draws::counted_of(run, cellar, |it| is_of_size(it, package, size_ml));
    // Whether their labels are off does not matter any more.
    let there = Empties {
        labels_off: 0,
        ..of_size.unwrap_or(Empties::none_of(size_ml))
    };
    Some(there.without((drawn.unwrap_or(0) - off).max(0)))
}

/// Whether a lot is of empties of that size.
pub fn is_of_size(lot: &Thing, package: Package, size_ml: i64) -> bool {
    Package::of_empties(lot) == Some(package) && Package::empties_ml(lot) == size_ml
}

/// Bottles that a bottling filled or broke, by size in mL.
pub fn filled_or_broken(wine: &Wine) -> BTreeMap<i64, i64> {
    let mut sizes = BTreeMap::<i64, i64>::new();
    for lot in &wine.bottles {
        *sizes.entry(lot.size_ml).or_default() += lot.count;
    }
    for (size_ml, broken) in wine.astray.iter().flat_map(|it| &it.broken) {
        *sizes.entry(*size_ml).or_default() += broken;
    }
    sizes
}
