//! Since when a vessel's wine stands as low as it does: the levels that it fell from.

use serde::{Deserialize, Serialize};

use super::amount::Volume;
use super::state::Wine;

/// Levels kept with a wine. Of one that is drawn from often, the nearest to another is dropped.
const KEPT: usize = 12;

/// A level that the wine in a vessel fell from, and has not risen to since.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(from = "(i64, Volume)", into = "(i64, Volume)")]
pub struct Fall {
    /// When, UTC ms.
    pub at_ms: i64,
    /// How much there was before.
    pub from: Volume,
}

impl From<(i64, Volume)> for Fall {
    fn from((at_ms, from): (i64, Volume)) -> Fall {
        Fall { at_ms, from }
    }
}

impl From<Fall> for (i64, Volume) {
    fn from(it: Fall) -> (i64, Volume) {
        (it.at_ms, it.from)
    }
}

impl Wine {
    /// Its level has changed from that to what it is now. What it rose to again it never fell from, so that the levels kept
    /// are each lower than the one before.
    pub(super) fn level_changed(&mut self, from: Volume, at_ms: i64) {
        let now = self.volume;
        self.falls.retain(|it| it.from > now);
        if from > now {
            self.falls.push(Fall { at_ms, from });
        }
        if self.falls.len() > KEPT {
            let step = |it: &usize| self.falls[it - 1].from - self.falls[*it].from;
            let nearest = (1..self.falls.len()).min_by_key(step);
            nearest.map(|it| self.falls.remove(it));
        }
    }

    /// When it fell last from a level that was not low, UTC ms; `None` where it has been low since the vessel was filled.
    pub fn low_since(&self, is_low: impl Fn(Volume) -> bool) -> Option<i64> {
        let mut latest_first = self.falls.iter().rev();
        latest_first.find(|it| !is_low(it.from)).map(|it| it.at_ms)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Since when a wine of such levels, one a day, is below 22 L.
    fn check(litres: &[f64], expected: Option<i64>) {
        let mut wine = Wine::default();
        for (day, litres) in (0..).zip(litres) {
            let from = std::mem::replace(&mut wine.volume, Volume::litres(*litres));
            wine.level_changed(from, day);
        }
        let low = |it: Volume| it < Volume::litres(22.0);
        assert_eq!(wine.low_since(low), expected, "{litres:?}");
        assert!(wine.falls.is_sorted_by(|one, other| one.from > other.from));
    }

    #[test]
    fn it_is_low_since_the_draw_that_made_it_so() {
        check(&[23.0, 22.5, 21.9], Some(2));
        check(&[23.0, 21.9, 21.8, 21.7], Some(1));
        check(&[21.0, 20.0], None);
    }

    #[test]
    fn a_rise_counts_where_it_was_enough() {
        check(&[23.0, 21.0, 21.5], Some(1));
        check(&[23.0, 21.0, 22.8, 21.5], Some(3));
        check(&[21.0, 23.0, 21.5, 21.4], Some(2));
    }

    /// Of a hundred draws the twelve levels kept share the fall among them: none tells it later than it was, nor earlier by more
    /// than two of their steps.
    #[test]
    fn a_wine_that_is_drawn_from_often_tells_it_nearly_to_the_draw() {
        for draws in [12, 30, 60, 100] {
            let mut wine = Wine::default();
            for draw in 0..=draws {
                let from = std::mem::replace(&mut wine.volume, Volume(1_000_000 - draw * 1_000));
                wine.level_changed(from, draw);
            }
            assert!(wine.falls.len() <= KEPT);
            for low in 1..draws {
                let since = wine.low_since(|it| it < Volume(1_000_000 - low * 1_000));
                let early = low + 1 - since.unwrap();
                assert!(
                    (0..=2 * draws / 12 + 1).contains(&early),
                    "{draws}, {low}: {early}"
                );
            }
        }
    }
}
