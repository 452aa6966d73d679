//! What wine is filled into: each kind with its usual size, its closures and its own limits.

use std::collections::BTreeMap;

use leesline_calc::hazards::{BAG, Hazard, KEG, WET_GLASS};

use super::Closure;
use crate::cellar::attention::words::count;
use crate::cellar::state::Wine;
use crate::cellar::thing::{Thing, field, words};

words! {
    /// What wine is filled into.
    Package {
        Bottle "bottle" "bottle",
        Jug "jug" "jug",
        Bag "bag-in-box" "bag",
        Keg "keg" "keg",
    }
}

#[allow(
    clippy::derivable_impls,
    reason = "the list of words makes the enum, and most such enums have no default"
)]
impl Default for Package {
    fn default() -> Package {
        Package::Bottle
    }
}

impl Package {
    /// That of a run. Nothing said is a bottle, as it was before there were others.
    pub fn of(run: &Thing) -> Package {
        Package::from_word(run.text(field::PACKAGE)).unwrap_or(Package::Bottle)
    }

    /// That of a lot of empties, if it is one: its substance is the word.
    pub fn of_empties(lot: &Thing) -> Option<Package> {
        Package::from_word(lot.text(field::SUBSTANCE))
    }

    /// What each of a lot of empties holds, mL; the usual size where nobody said.
    pub fn empties_ml(lot: &Thing) -> i64 {
        let usual = || Package::of_empties(lot).unwrap_or_default().usual_ml();
        lot.int(field::SIZE).unwrap_or_else(usual)
    }

    /// The size taken where none is said, mL (common practice).
    pub const fn usual_ml(self) -> i64 {
        match self {
            Package::Bottle => 750,
            Package::Jug => 3_785,
            Package::Bag => 5_000,
            Package::Keg => 19_000,
        }
    }

    /// The smallest and the largest there is, mL (common practice).
    pub const fn sizes_ml(self) -> (i64, i64) {
        match self {
            Package::Bottle => (20, 60_000),
            Package::Jug => (500, 25_000),
            Package::Bag => (1_000, 25_000),
            Package::Keg => (1_000, 60_000),
        }
    }

    /// What closes it, the usual one first.
    pub const fn closures(self) -> &'static [Closure] {
        match self {
            Package::Bottle => Closure::OF_BOTTLES,
            Package::Jug => &[
                Closure::ScrewCap,
                Closure::Stopper,
                Closure::Cork,
                Closure::SwingTop,
            ],
            Package::Bag => &[Closure::Tap],
            Package::Keg => &[Closure::Lid],
        }
    }

    /// What to mind before it is filled.
    pub const fn hazard(self) -> Hazard {
        match self {
            Package::Bottle | Package::Jug => WET_GLASS,
            Package::Bag => BAG,
            Package::Keg => KEG,
        }
    }

    /// Whether it is glass, or stands no pressure for another reason.
    pub const fn takes_pressure(self) -> bool {
        matches!(self, Package::Keg)
    }

    /// Whether one of a larger size may be filled in part: a bottle is full or it is none.
    pub const fn may_be_part_full(self) -> bool {
        !matches!(self, Package::Bottle)
    }

    /// Why one of a size is not filled with so much: a keg of 19 L does not hold 20 L. A bottle of
    /// another size is another bottle.
    pub fn overfilled(self, size_ml: i64, wanted_ml: i64) -> Option<String> {
        (self.may_be_part_full() && wanted_ml > size_ml).then(|| {
            format!(
                "A {} of {} does not hold {}; fill less into it, or give its --size.",
                self.label(),
                self.size_words(size_ml),
                self.size_words(wanted_ml)
            )
        })
    }

    /// Why what the vessel holds is too little for bags or kegs counted as full: they may be filled in part, and
    /// what is missing would be found in the vessel.
    pub fn more_than_left(self, wanted_ml: i64, wine: &Wine) -> Option<String> {
        let left_ml = wine.volume.0 / 1_000;
        let is_known = wine.unmeasured.is_none() && left_ml > 0;
        (self.keeps_part_full() && is_known && wanted_ml > left_ml).then(|| {
            let left_said = self.size_words(left_ml);
            format!(
                "{} is more than the {left_said} that is left by the book; is the {what} full? If not, give what is in it \
                 (`--filled 1x{left_ml}`, or `bottle count` with `--size {left_ml}`); if so, `adjust` the vessel first.",
                self.size_words(wanted_ml),
                what = self.label(),
            )
        })
    }

    /// Whether wine keeps in one that is not full: a bag has its air squeezed out, a keg driven out (common practice).
    pub const fn keeps_part_full(self) -> bool {
        matches!(self, Package::Bag | Package::Keg)
    }

    /// Whether wine is drawn from it over days or weeks, so that one that is opened is not empty with it.
    pub const fn is_drawn_from(self) -> bool {
        !matches!(self, Package::Bottle)
    }

    /// How long wine keeps in one that is begun.
    pub const fn keeps_begun(self) -> &'static str {
        match self {
            Package::Bottle => {
                "A bottle begun keeps three to five days, cold and closed (common practice)."
            }
            Package::Jug => {
                "A jug begun keeps three to five days, cold and closed (common practice)."
            }
            Package::Bag => "A bag begun keeps four to six weeks, cool (common practice).",
            Package::Keg => {
                "A keg begun keeps weeks to months under its gas, a few days once air is let in (common practice)."
            }
        }
    }

    /// How many of a run were begun and are not empty.
    pub fn begun(run: &Thing, wine: &Wine) -> i64 {
        let begun = run.int(field::BEGUN).unwrap_or(0);
        begun.min(wine.bottle_count()).max(0)
    }

    /// What each of those holds, mL; `None` where nobody said and the run has several sizes.
    pub fn begun_sizes(run: &Thing, wine: &Wine) -> Option<Vec<i64>> {
        let begun = Package::begun(run, wine) as usize;
        let mut there: BTreeMap<i64, usize> = BTreeMap::new();
        for lot in &wine.bottles {
            *there.entry(lot.size_ml).or_default() += lot.count.max(0) as usize;
        }
        if let (Some((size_ml, _)), 1) = (there.first_key_value(), there.len()) {
            return Some(vec![*size_ml; begun]);
        }
        let said = run.text(field::BEGUN_SIZES).lines();
        let said: Vec<i64> = said.filter_map(|it| it.parse().ok()).collect();
        // One that was given away or broke may have been begun.
        let is_there = |size: &i64| {
            let of_size = said.iter().filter(|it| *it == size).count();
            there.get(size).is_some_and(|it| of_size <= *it)
        };
        (said.len() == begun && said.iter().all(is_there)).then_some(said)
    }

    /// `29 bottles`, `1 keg`.
    pub fn count(self, number: i64) -> String {
        count(number, self.label())
    }

    /// `28 × 750 mL`, `2 × 19 L kegs`: bottles go without saying.
    pub fn times(self, number: i64, size_ml: i64) -> String {
        let size = self.size_words(size_ml);
        match self {
            Package::Bottle => format!("{number} × {size}"),
            other if number == 1 => format!("1 × {size} {}", other.label()),
            other => format!("{number} × {size} {}s", other.label()),
        }
    }

    /// Size as people have it: bottles in millilitres, all else in litres.
    pub fn size_words(self, size_ml: i64) -> String {
        match self {
            Package::Bottle => format!("{size_ml} mL"),
            _ if size_ml % 1_000 == 0 => format!("{} L", size_ml / 1_000),
            _ => {
                let litres = format!("{:.3}", size_ml as f64 / 1e3);
                format!("{} L", litres.trim_end_matches('0'))
            }
        }
    }
}

/// A pressure as most kegs have it printed: `9 bar`.
pub fn bar(kpa: f64) -> String {
    let bar = format!("{:.2}", kpa / 100.0);
    format!("{} bar", bar.trim_end_matches('0').trim_end_matches('.'))
}
