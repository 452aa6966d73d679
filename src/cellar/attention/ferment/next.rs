//! What one more reading of a ferment would narrow.

use leesline_calc::ferment_next::{SoFar, next_reading};

use super::Fermentation;
use crate::cellar::attention::holding::Holding;

impl Fermentation {
    /// How wide the days are on which it may be dry, and how wide they would be with a reading today (tomorrow, if it was read
    /// within half a day) that finds what is expected; `None` where no day can be said, or it is dry.
    pub fn next_reading(&self, holding: &Holding) -> Option<String> {
        let dry = self.dry?;
        let so_far = SoFar {
            read: &self.read,
            before: &self.before,
            curve: self.curve.as_ref()?,
            state: self.state,
            dry: [dry.low, dry.mid, dry.high].map(|it| self.counted(it)),
            criteria: &holding.policy.ferment_criteria(),
        };
        let (last, _) = *self.read.since.last()?;
        let today = self.counted(holding.now);
        if today - last >= 0.5 {
            next_reading(&so_far, today, "today")
        } else {
            next_reading(&so_far, today + 1.0, "tomorrow")
        }
    }
}
