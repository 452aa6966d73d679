//! What a bottling will take: bottles of each size, closures, sanitizer, sulfite, time, and what of
//! it is not on hand. Worked out from the book; nothing is written.

mod chores;
mod needs;
mod on_hand;
mod sign;
mod tally;

use leesline_calc::Answer;
use leesline_calc::bottling::{Size, fill};
use leesline_calc::quantity::Units;
use leesline_calc::registry;

use super::amount::Volume;
use super::snapshot::Snapshot;
use super::thing::{Key, Thing};

pub use chores::Chore;
pub use needs::{Short, contact_ms};
pub use on_hand::{BOTTLE, Cleanness, Finish, left, lots};
pub use sign::{Sign, sign};
pub use tally::Tally;

/// What is asked of a plan.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Wish {
    /// Lees that stay behind.
    pub lees: Volume,
    /// Sizes of bottle in mL, with how many there are of each where that is said; those on hand if
    /// none is named.
    pub sizes: Vec<(i64, Option<i64>)>,
    /// What closes them.
    pub closure: String,
    /// From one bottle to the next in earlier sessions, ms.
    pub pace_ms: Option<i64>,
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
    /// Bottles of each size, the largest first.
    pub fills: Vec<Fill>,
    /// What fills no bottle.
    pub remains: Volume,
    /// What closes them.
    pub closure: String,
    /// What to mind of corks and corker; empty for other closures.
    pub corking: String,
    /// Closures to have at hand, with spare ones; capsules and labels likewise.
    pub closures: i64,
    /// How many closures there are, where the book counts them.
    pub closures_there: Option<i64>,
    /// What is to be made to sanitise with.
    pub sanitizer: Sanitizer,
    /// The sulfite it wants before, where it can be worked out.
    pub sulfite: Option<Answer>,
    /// How long it took in earlier sessions, for so many bottles.
    pub minutes: Option<i64>,
    /// What is not on hand.
    pub short: Vec<Short>,
}

/// Bottles of one size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fill {
    /// What each holds, mL.
    pub size_ml: i64,
    /// How many are filled.
    pub bottles: i64,
    /// How many empty ones there are, where the book counts them.
    pub on_hand: Option<i64>,
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

/// The size that is taken where none is named and none on hand.
const USUAL_ML: i64 = 750;

impl<'a> Plan<'a> {
    /// The plan for a vessel that holds wine; `None` where it holds none.
    pub fn of(vessel: &'a Thing, wish: &Wish, cellar: &Snapshot) -> Option<Plan<'a>> {
        let wine = cellar.wine(vessel.key)?;
        let empties = on_hand::empties(cellar, &wish.closure);
        let mut sizes = wish.sizes.clone();
        if sizes.is_empty() {
            sizes = empties
                .iter()
                .map(|(size, count)| (*size, Some(*count)))
                .collect();
        }
        if sizes.is_empty() {
            sizes.push((USUAL_ML, None));
        }
        sizes.sort_unstable_by_key(|(size, _)| std::cmp::Reverse(*size));
        sizes.dedup_by_key(|(size, _)| *size);
        let lees = wish.lees.min(wine.volume);
        let (fills, remains) = filled(wine.volume - lees, &sizes, &empties);
        let bottles = fills.iter().map(|it| it.bottles).sum();
        let closures = needs::with_spare(bottles);
        let mut plan = Plan {
            vessel,
            wine: wine.volume,
            about: wine.about,
            lees,
            fills,
            remains,
            closure: wish.closure.clone(),
            corking: needs::corking(&wish.closure, &cellar.settings().corker),
            closures,
            closures_there: needs::counted(&wish.closure, cellar),
            sanitizer: needs::sanitizer(bottles),
            sulfite: sulfite(vessel.key, cellar),
            minutes: wish.pace_ms.map(|it| (it * bottles + 59_999) / 60_000),
            short: Vec::new(),
        };
        plan.short = needs::short(&plan, cellar);
        Some(plan)
    }

    /// How many more bottles of the first size the wine would fill than are on hand, with that size
    /// in mL; `None` where nobody counts them.
    pub fn lacking(&self) -> Option<(i64, i64)> {
        let first = self.fills.iter().find(|it| it.on_hand.is_some())?;
        let lacking = self.remains.0 / (first.size_ml * 1_000);
        (lacking > 0).then_some((lacking, first.size_ml))
    }

    /// Bottles of all sizes.
    pub fn bottles(&self) -> i64 {
        self.fills.iter().map(|it| it.bottles).sum()
    }
}

fn filled(
    wine: Volume,
    sizes: &[(i64, Option<i64>)],
    empties: &[(i64, i64)],
) -> (Vec<Fill>, Volume) {
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
            bottles: i64::from(bottles),
            on_hand: empties
                .iter()
                .find(|(size, _)| size == size_ml)
                .map(|(_, count)| *count),
        })
        .collect();
    let bottled: i64 = fills.iter().map(|it| it.size_ml * it.bottles).sum();
    (fills, wine - Volume::millilitres(bottled))
}

/// The dose by what the book knows, as the dosing screen has it; by the rule of thumb where no pH is
/// known.
fn sulfite(vessel: Key, cellar: &Snapshot) -> Option<Answer> {
    let units: Units = cellar.settings().units;
    ["sulfite-dose", "sulfite-by-spoon"]
        .iter()
        .find_map(|name| {
            let calculator = registry::find(name)?;
            let told = super::dosing::told(calculator, vessel, cellar);
            let told: Vec<(&str, &str)> = told
                .iter()
                .map(|(key, text)| (*key, text.as_str()))
                .collect();
            calculator.ask(&told, &units).ok()
        })
}

#[cfg(test)]
mod tests;
