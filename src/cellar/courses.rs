//! The charts of a vessel or run: what was measured of its wine, and what is expected.

use super::attention::Holding;
use super::course::{Course, Point};
use super::state::Deed;

/// Every chart that has something to show, free SO2 first.
pub fn courses(holding: &Holding) -> Vec<Course> {
    let all = [holding.so2_course(), Some(gravity(holding))];
    let has_something = |it: &Course| !it.readings.is_empty() || !it.expected.is_empty();
    all.into_iter().flatten().filter(has_something).collect()
}

/// Gravity since the must.
fn gravity(holding: &Holding) -> Course {
    let readings = holding.wine.gravities.iter().map(|it| Point {
        at_ms: it.at_ms,
        value: it.gravity,
    });
    let deeds = [
        (Deed::Pitched, "yeast"),
        (Deed::Fed, "fed"),
        (Deed::Pressed, "pressed"),
        (Deed::Racked, "racked"),
        (Deed::Sweetened, "sweetened"),
    ];
    Course {
        title: "Gravity".to_owned(),
        unit: "",
        decimals: 3,
        readings: readings.collect(),
        expected: holding
            .fermentation()
            .map_or_else(Vec::new, |it| it.expected()),
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
