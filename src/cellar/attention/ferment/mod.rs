//! A ferment as its readings tell it: how it stands, how fast it falls, and when it will be dry.

mod next;
mod rule;
mod said;
#[cfg(test)]
mod tests;

use leesline_calc::ferment_readings::{Readings, readings};
use leesline_calc::ferment_state::{self, Criteria, State};
use leesline_calc::gravity_curve::{self, Before, USUAL_END};
use leesline_calc::least_squares::Prior;

use super::holding::Holding;
use super::policy::Policy;
use super::stage::Ferment;
use super::warmth::Clock;
use crate::cellar::course::Expected;
use crate::cellar::moment::{self, Moment};
use crate::cellar::state::{Deed, GravityReading};

pub(super) use rule::rule;
pub(in crate::cellar) use said::{REMEDIES, STANDS_STILL};

const DAY_MS: f64 = moment::DAY_MS as f64;
/// From less above its end there is nothing to follow.
const LEAST_FALL: f64 = 0.010;
/// Of a ferment with no day to be dry on, so much more is drawn.
const DRAWN_DAYS: f64 = 14.0;
/// Days at which the chart's band is worked out.
const DRAWN: i32 = 40;

/// A ferment under way.
#[derive(Clone, Debug)]
pub struct Fermentation {
    /// How it stands at its last reading.
    pub state: State,
    /// When it is dry, if that can be said: at least two readings since its start, and not stuck.
    pub dry: Option<DryDay>,
    /// Gravity lost in a day, from the latest reading at least a day before the last.
    pub fall_per_day: Option<f64>,
    /// The gravity that it is taken to end at.
    pub end_sg: f64,
    /// Warmth of the must, °C, if it was measured since it began.
    pub celsius: Option<f64>,
    read: Readings,
    before: Before,
    curve: Option<gravity_curve::Ferment>,
    sugar: Sugar,
    /// The day that it is drawn from: before sugar it was lower than the readings are taken.
    drawn_from: f64,
    /// The moment that its days count from, UTC ms.
    from_ms: f64,
    clock: Clock,
}

/// Sugar that went in while it ran.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Sugar {
    None,
    /// By weight it raised gravity by so much in all.
    Raised(f64),
    /// By no known weight before the reading that it begins with.
    Before,
    /// By no known weight after its last reading.
    After,
}

/// The day on which a ferment is dry, by forecast.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DryDay {
    /// One in ten is dry before.
    pub low: Moment,
    /// As many are dry before as after.
    pub mid: Moment,
    /// One in ten is dry only after.
    pub high: Moment,
}

impl Policy {
    /// The numbers by which a ferment is called slow or stuck.
    fn ferment_criteria(&self) -> Criteria {
        Criteria {
            stuck_fall: self.stuck_fall,
            stuck_days: self.stuck_days,
            stuck_above_end: self.stuck_above_end,
            slow_per_day: self.slow_per_day,
            slow_days: self.slow_days,
            slow_above_end: self.slow_above_end,
            lag_days: self.lag_days,
            lag_fall: self.lag_fall,
        }
    }
}

impl Holding<'_> {
    /// The ferment in this vessel; `None` where none runs, or nothing was read since it began.
    pub fn fermentation(&self) -> Option<Fermentation> {
        match self.ferment() {
            Ferment::Running | Ferment::Stuck => self.fermentation_as_read(),
            Ferment::Unsaid
            | Ferment::Must
            | Ferment::Doubtful
            | Ferment::Presumed
            | Ferment::Over => None,
        }
    }

    /// The ferment of a wine of which nobody knows any more whether it ferments, if it stood still as it was last read: left
    /// alone it is no less stuck.
    fn stood_still(&self) -> Option<Fermentation> {
        let read = || {
            self.fermentation_as_read()
                .filter(|it| it.state == State::Stuck)
        };
        (self.ferment() == Ferment::Doubtful).then(read).flatten()
    }

    /// Gravities since sugar went in of which nobody knows how much it brought: those before are of another must. Until one is read
    /// there is no other.
    fn of_this_must(&self) -> &[GravityReading] {
        let all = self.wine.gravities.as_slice();
        let before = &all[..all.len().saturating_sub(1)];
        let last = before.iter().rposition(GravityReading::is_fed_unweighed);
        last.map_or(all, |at| &all[at + 1..])
    }

    fn fermentation_as_read(&self) -> Option<Fermentation> {
        let gravities = self.of_this_must();
        let is_another = gravities.len() < self.wine.gravities.len();
        // What was read before sugar went in is taken higher by what it brought.
        let mut rise = 0.0;
        let mut days: Vec<(f64, f64)> = Vec::new();
        for it in gravities.iter().rev() {
            rise += it.fed.unwrap_or_default();
            days.insert(0, (it.at_ms as f64 / DAY_MS, it.gravity + rise));
        }
        let sugared = self.wine.when(Deed::Sugared);
        let pitched = self.wine.when(Deed::Pitched);
        let pitched = pitched.filter(|it| !is_another || Some(*it) >= sugared);
        let pitched = pitched.map(|it| it as f64 / DAY_MS);
        // Begun with the yeast, at the last gravity before it, or one of the same day. A ferment that
        // nobody pitched, or that got sugar by no known weight, began with its first reading, as far as anyone knows.
        let (from, start_sg) = match pitched {
            Some(pitched) => {
                let before = days.iter().rev().find(|it| it.0 <= pitched);
                let same_day = days
                    .iter()
                    .find(|it| it.0 > pitched && it.0 <= pitched + 0.5);
                (pitched, before.or(same_day).map(|it| it.1))
            }
            None => days.first().map(|it| (it.0, Some(it.1)))?,
        };
        let criteria = self.policy.ferment_criteria();
        let read = readings(from, start_sg, &days, self.policy.end_gravity, &criteria);
        if read.since.is_empty() {
            return None;
        }
        let end = Prior {
            mean: self.policy.end_gravity,
            sd: USUAL_END.sd,
        };
        let celsius = self
            .living_c()
            .filter(|(_, known)| known.at_ms as f64 / DAY_MS >= read.from - 1.0)
            .map(|it| it.0);
        let before = Before {
            start: read.start,
            end,
            pace: celsius.map_or(1.0, gravity_curve::pace),
        };
        let first = days.partition_point(|it| it.0 <= read.from).max(1) - 1;
        let raised = gravities[first..].iter().filter_map(|it| it.fed).sum();
        let is_open = gravities
            .last()
            .is_some_and(GravityReading::is_fed_unweighed);
        let sugar = match raised {
            _ if is_open => Sugar::After,
            raised if raised > 0.0 => Sugar::Raised(raised),
            _ if is_another && first == 0 => Sugar::Before,
            _ => Sugar::None,
        };
        let state = if is_open {
            State::Moving
        } else if self.ferment() == Ferment::Stuck {
            State::Stuck
        } else {
            ferment_state::state(read.fell_from(), &read.since, end.mean, &criteria)
        };
        let can_follow = !is_open
            && state != State::NotFallen
            && read.since.len() >= 2
            && read.start.mean - end.mean >= LEAST_FALL;
        let curve = can_follow
            .then(|| gravity_curve::Ferment::of(&before, &read.since))
            .flatten();
        let curve = match state {
            State::Stuck => curve.map(gravity_curve::Ferment::that_stopped),
            _ => curve,
        };
        let from_ms = read.from * DAY_MS;
        let drawn_from = match sugared {
            Some(at_ms) if rise > 0.0 => ((at_ms as f64 - from_ms) / DAY_MS).max(0.0),
            _ => 0.0,
        };
        let clock = self.ferment_clock(from_ms);
        let moment = |day: f64| {
            let day = clock.by_calendar(day);
            self.now.at((from_ms + day * DAY_MS) as i64)
        };
        let dry = ferment_state::dry(state, curve.as_ref(), &read.since, end.mean);
        Some(Fermentation {
            state,
            dry: dry.map(|[low, mid, high]| DryDay {
                low: moment(low),
                mid: moment(mid),
                high: moment(high),
            }),
            fall_per_day: fall_per_day(&read),
            end_sg: end.mean,
            celsius,
            read,
            before,
            curve,
            sugar,
            drawn_from,
            from_ms,
            clock,
        })
    }
}

/// How fast it fell last; of a single reading, since its start.
fn fall_per_day(read: &Readings) -> Option<f64> {
    let last = *read.since.last()?;
    let since_start = || {
        let is_measured = read.start.sd <= gravity_curve::START_SD;
        (is_measured && last.0 >= 1.0).then(|| (read.start.mean - last.1) / last.0)
    };
    ferment_state::fall_per_day(&read.since, 1.0).or_else(since_start)
}

impl Fermentation {
    /// The last reading: when (UTC ms), and the gravity.
    fn last(&self) -> (i64, f64) {
        let last = self.read.since.last().copied().unwrap_or_default();
        ((self.from_ms + last.0 * DAY_MS) as i64, last.1)
    }

    /// Days from its beginning to a moment, as it counts them.
    fn counted(&self, then: Moment) -> f64 {
        self.clock
            .counted((then.utc_ms as f64 - self.from_ms) / DAY_MS)
    }

    /// The gravity expected then: one in ten is below, as many below as above, one in ten above. `None` where no curve was found.
    pub fn gravity_at(&self, then: Moment) -> Option<[f64; 3]> {
        let curve = self.curve.as_ref()?;
        let day = self.counted(then);
        Some([0.1, 0.5, 0.9].map(|it| curve.gravity(day, it)))
    }

    /// The gravity expected from its start until it is surely dry; empty where no curve was found.
    pub fn expected(&self) -> Vec<Expected> {
        let Some(curve) = &self.curve else {
            return Vec::new();
        };
        let read = self.read.since.last().map_or(0.0, |it| it.0);
        let until = match self.dry {
            Some(dry) => self.counted(dry.high),
            None => read + DRAWN_DAYS,
        };
        let from = self.drawn_from.min(until);
        let steps =
            (0..=DRAWN).map(|step| from + (until - from) * f64::from(step) / f64::from(DRAWN));
        // On the days of its readings too, so that what is drawn passes them.
        let mut days: Vec<f64> = steps.chain(self.read.since.iter().map(|it| it.0)).collect();
        days.retain(|it| *it >= from);
        days.sort_by(f64::total_cmp);
        days.dedup();
        let drawn = days.into_iter().map(|day| Expected {
            at_ms: (self.from_ms + self.clock.by_calendar(day) * DAY_MS) as i64,
            low: curve.gravity(day, 0.1),
            mid: curve.gravity(day, 0.5),
            high: curve.gravity(day, 0.9),
        });
        drawn.collect()
    }
}
