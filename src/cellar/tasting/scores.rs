//! Scores of a wine over time.

use super::{Marks, Tasted, blind};
use crate::cellar::course::{Course, Point};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Deed;
use crate::cellar::thing::Key;

/// Scores of those tastings, given the newest first, on the scale of the last one: points on a sheet and
/// points on a scale of one's own are not to be compared.
pub fn scores(tasted: &[&Tasted], now_ms: i64) -> Course {
    let most = |it: &Tasted| Marks::stored(&it.tasting.sheet).map(|it| it.sheet.most());
    let scored: Vec<(Point, Option<f64>)> = tasted
        .iter()
        .filter_map(|it| {
            let value = it.tasting.score?;
            Some((Point::exact(it.when.utc_ms, value), most(it)))
        })
        .collect();
    let last = scored.first().and_then(|it| it.1);
    let alike = scored.iter().rev().filter(|it| it.1 == last);
    Course {
        title: match last {
            Some(most) => format!("Score of {most}"),
            None => "Score".to_owned(),
        },
        readings: alike.map(|it| it.0).collect(),
        now_ms,
        ..Course::default()
    }
}

/// Scores of the wine in that vessel or run, of tastings given the newest first. What was tasted blind and is
/// not revealed is not among them; one score alone is no course.
pub fn scores_at(place: Key, cellar: &Snapshot, tastings: &[Tasted]) -> Option<Course> {
    let wine = cellar.wine(place)?;
    let begun = wine.when(Deed::Begun).unwrap_or(i64::MIN);
    let mut its = tastings.to_vec();
    // What no batch was named for is of this wine if it was tasted here since the wine came in.
    its.retain(|it| match it.batch {
        Some(batch) => wine.main_batch() == Some(batch),
        None => it.tasting.place == place && it.when.utc_ms >= begun,
    });
    blind::keep_secret(&mut its, cellar);
    let course = scores(&its.iter().collect::<Vec<_>>(), cellar.now.utc_ms);
    (course.readings.len() > 1).then_some(course)
}
