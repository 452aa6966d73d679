//! Scores of a wine over time.

use super::{Marks, Tasted, blind};
use crate::cellar::attention::words::count;
use crate::cellar::course::{Course, Point};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Deed;
use crate::cellar::thing::Key;

/// Scores of those tastings, given the newest first. Points on sheets of different length are drawn in per cent; points on a scale of
/// one's own are not to be compared with them, so that the more of either are drawn and the others said in words.
pub fn scores(tasted: &[&Tasted], now_ms: i64) -> Course {
    let scored = tasted.iter().rev().filter_map(|it| {
        let most = Marks::stored(&it.tasting.sheet).map(|it| it.sheet.most());
        Some((it.when.utc_ms, it.tasting.score?, most))
    });
    let (on_sheets, own): (Vec<_>, Vec<_>) = scored.partition(|it| it.2.is_some());
    let last = |all: &[(i64, f64, Option<f64>)]| all.last().map(|it| it.0);
    let own_first = (own.len(), last(&own)) > (on_sheets.len(), last(&on_sheets));
    let (drawn, left_out) = if own_first {
        (own, on_sheets)
    } else {
        (on_sheets, own)
    };
    let most = drawn.last().and_then(|it| it.2);
    let is_one_scale = drawn.iter().all(|it| it.2 == most);
    let point = |(at_ms, score, of): &(i64, f64, Option<f64>)| {
        let whole = of.filter(|_| !is_one_scale);
        Point::exact(*at_ms, whole.map_or(*score, |it| 100.0 * score / it))
    };
    Course {
        title: match most {
            Some(_) if !is_one_scale => "Score, % of its sheet".to_owned(),
            Some(most) => format!("Score of {most}"),
            None => "Score".to_owned(),
        },
        readings: drawn.iter().map(point).collect(),
        next: match left_out.len() {
            0 => String::new(),
            left_out => {
                let how = if own_first {
                    "on a sheet"
                } else {
                    "without a sheet"
                };
                format!(
                    "{} {how} not drawn: another scale.",
                    count(left_out as i64, "score")
                )
            }
        },
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
