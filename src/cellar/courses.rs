//! The charts of a vessel or run, what was measured of its wine and what is expected; and of a supply.

use super::attention::{Fermentation, Holding, Policy};
use super::course::{Course, Falls, Point, Reaching};
use super::snapshot::Snapshot;
use super::state::Deed;
use super::supplies;
use super::tasting::{self, Tasted};
use super::thing::{Key, Sort};

/// Every chart of that vessel, run or supply that has something to show, free SO2 first and the scores of
/// those tastings, given the newest first, last.
pub fn courses(key: Key, cellar: &Snapshot, policy: &Policy, tastings: &[Tasted]) -> Vec<Course> {
    if let Some(lot) = cellar.thing(key).filter(|it| it.sort == Sort::Supply) {
        return supplies::course::course(lot, cellar).into_iter().collect();
    }
    let wine = Holding::of(cellar, key, policy);
    let mut courses = wine.map_or_else(Vec::new, |it| of_wine(&it));
    courses.extend(tasting::scores_at(key, cellar, tastings));
    courses
}

fn of_wine(holding: &Holding) -> Vec<Course> {
    let free_so2 = holding.so2_course().map(|it| Course {
        next: holding.next_so2_test().unwrap_or_default(),
        ..it
    });
    let gravity = gravity(holding);
    let end = gravity.at_its_end();
    let all = [free_so2, Some(gravity), end];
    let has_something = |it: &Course| !it.readings.is_empty() || !it.expected.is_empty();
    all.into_iter().flatten().filter(has_something).collect()
}

/// The chart of what a wine is on its way to: gravity while it ferments, else free SO2.
pub fn ahead(holding: &Holding) -> Option<Course> {
    if holding.is_fermenting() {
        return Some(gravity(holding)).filter(|it| !it.expected.is_empty());
    }
    holding.so2_course()
}

/// Gravity since the must.
fn gravity(holding: &Holding) -> Course {
    let gravities = holding.wine.gravities.iter();
    let readings = gravities.map(|it| Point::exact(it.at_ms, it.gravity));
    let deeds = [
        (Deed::Pitched, "yeast"),
        (Deed::Fed, "fed"),
        (Deed::Pressed, "pressed"),
        (Deed::Racked, "racked"),
        (Deed::Sweetened, "sweetened"),
        (Deed::Sugared, "sugar"),
    ];
    let ferment = holding.fermentation();
    let still = ferment.as_ref().and_then(Fermentation::stands_still);
    Course {
        title: still.map_or_else(|| "Gravity".to_owned(), |it| format!("Gravity, {it}")),
        unit: "",
        decimals: 3,
        readings: readings.collect(),
        expected: ferment
            .as_ref()
            .map_or_else(Vec::new, Fermentation::expected),
        // The days on which it is dry are foreseen by themselves: its end is not sure, and is no line to cross.
        falls: ferment.as_ref().map_or(Falls::AsDrawn, |it| {
            it.dry.map_or(Falls::Unsaid, |it| {
                Falls::On(Reaching::on([it.low, it.mid, it.high], holding.now))
            })
        }),
        next: ferment
            .and_then(|it| it.next_reading(holding))
            .unwrap_or_default(),
        level: Some((holding.policy.dry_gravity, "dry")),
        marks: marks(holding, &deeds),
        now_ms: holding.now.utc_ms,
    }
}

fn marks(holding: &Holding, deeds: &[(Deed, &str)]) -> Vec<(i64, String)> {
    let done = deeds.iter().filter_map(|(deed, word)| {
        let at_ms = holding.wine.when(*deed)?;
        Some((at_ms, (*word).to_owned()))
    });
    let mut marks: Vec<(i64, String)> = done.collect();
    marks.sort();
    marks
}
