//! What one more reading of a ferment would narrow.

use leesline_calc::ferment_state::{self, State};
use leesline_calc::gravity_curve;

use super::{DAY_MS, Fermentation};
use crate::cellar::attention::holding::Holding;
use crate::cellar::attention::words::gravity;

/// A hydrometer is read to a thousandth.
const DIGITS: f64 = 1e3;

impl Fermentation {
    /// How wide the days are on which it may be dry, and how wide they would be with a reading today (tomorrow, if it was read
    /// within half a day) that finds what is expected; `None` where no day can be said, or it is dry.
    pub fn next_reading(&self, holding: &Holding) -> Option<String> {
        if self.state == State::Dry || self.state == State::Stuck {
            return None;
        }
        let curve = self.curve.as_ref()?;
        let is = self.dry?;
        let (last, _) = *self.read.since.last()?;
        let today = (holding.now.utc_ms as f64 - self.from_ms) / DAY_MS;
        let (day, word) = if today - last >= 0.5 {
            (today, "today")
        } else {
            (today + 1.0, "tomorrow")
        };
        let found = (curve.gravity(day, 0.5) * DIGITS).round() / DIGITS;
        let mut since = self.read.since.clone();
        since.push((day, found));
        let criteria = holding.policy.ferment_criteria();
        let state = ferment_state::state(self.read.start.mean, &since, self.end_sg, &criteria);
        let found = gravity(found);
        if state == State::Dry {
            return Some(format!(
                "A reading {word} that finds {found} would show it dry."
            ));
        }
        let curve = gravity_curve::Ferment::of(&self.before, &since);
        let [low, _, high] = ferment_state::dry(state, curve.as_ref(), &since, self.end_sg)?;
        let (is, then) = (is.high.days_since(is.low), (high - low).round() as i64);
        let lead = format!("Between early and late of the day it is dry lie {is} days");
        Some(if then < is {
            format!("{lead}; a reading {word} that finds {found} would make it {then}.")
        } else {
            format!(
                "{lead}; a reading {word} that finds {found}, as expected, would not narrow it."
            )
        })
    }
}
