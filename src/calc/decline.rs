//! How fast free SO2 goes, from one's own tests and what was done to the wine, and when too little is left.
//!
//! First order: F(t) = F₀·e^(−k·t). ln k is normal about what the keeping suggests ([`keeping`]); its steps are a grid. At each
//! of them all else is linear and normal, and so has a closed form (textbook: normal mean with known error, carried from event
//! to event): a test narrows what there is, an addition brings its dose without the part that gets bound, air met takes some.
//! A dose or air whose size is known only within bounds widens the band by as much.

mod account;
mod event;
pub mod falls;
pub mod keeping;
mod known;
pub mod next;
mod rises;

pub use event::{
    BINDING_DAYS, Event, FILLING_DAYS, HEADSPACE_DAYS, OPENING_MG_L, STAYS_FREE, What,
    filling_takes, gap_hides, headspace_takes, racking_takes,
};
pub use falls::Falls;
pub use keeping::{KEEPING_WORDS, KEEPINGS, Keeping, find};
pub use rises::{addition_mg_l, long_gap, with_unwritten};

use crate::normal::{chance_below, reaching};
use account::{follow, with_unexplained};
use known::Known;

/// Temperatures of which it is said how the rate changes with them, °C (from memory, with [`ENERGY`]).
pub const WARMTH_C: (f64, f64) = (5.0, 30.0);
/// Activation energy of the loss of SO2, J/mol; 8.6 kcal. From memory: Boulton and others, Principles and Practices of
/// Winemaking; Ough, Am. J. Enol. Vitic. 36:18 (1985).
pub const ENERGY: f64 = 36e3;

/// Where nothing is written down for longer, something may have happened, days (house rule).
const LONG_GAP_DAYS: f64 = 270.0;
/// Standard normal deviate that one in ten exceeds.
const ONE_IN_TEN: f64 = 1.281_551_57;
/// The steps of ln k reach so many standard deviations either way.
const REACH: f64 = 5.0;
/// So many standard deviations off a rate is odd: one in seven hundred.
const ODD: f64 = 3.0;
/// A test so many times its error off the course strays (house rule).
const STRAY: f64 = 2.5;
/// A step that carries less than this changes no figure that is shown.
const LEAST_WEIGHT: f64 = 1e-9;
/// More than any wine holds, mg/L; what the days before the last test were like at the fastest rates ends here.
const MOST_MG_L: f64 = 1e3;
/// Longer than any wine is kept, days; every forecast ends before.
const LONGEST_DAYS: f64 = 1e6;

/// What the tests make of the rate and of the free SO2, at full grain: 401 rates.
pub type Decline = Grid<401>;
/// The same with 61 rates, for what there is in the next weeks of many wines at once; a day far ahead would come out in
/// steps.
pub type Quick = Grid<61>;

/// Rates in even steps of their logarithm, an odd number so that the middle is one of them.
#[derive(Clone, Debug)]
pub struct Grid<const STEPS: usize> {
    steps: [Step; STEPS],
    begins: f64,
    error: f64,
}

/// A rate with its weight, and what there was at the last event if that is the rate.
#[derive(Clone, Copy, Debug)]
struct Step {
    per_day: f64,
    weight: f64,
    last: Known,
}

impl<const STEPS: usize> Grid<STEPS> {
    /// From a keeping and events in order of days, a test among them at least; `None` where no test says what there is after the
    /// last addition of unknown size. What an earlier keeping showed of the rate says nothing of the present one, and of it only
    /// what is left is carried over, as that keeping lost it.
    pub fn of(keeping: Keeping, events: &[Event]) -> Option<Self> {
        let moved = |(at, it): (usize, &Event)| match it.what {
            What::Moved(kept) => Some((at, kept)),
            _ => None,
        };
        let last_move = events.iter().enumerate().rev().find_map(moved);
        let (before, since) = events.split_at(last_move.map_or(0, |it| it.0));
        let carried = last_move.and_then(|(at, kept)| {
            let left = Grid::<STEPS>::of(kept, before)?;
            Some(left.carried(events[at].day))
        });
        let known = (carried, begins(events));
        let as_said = Self::once(keeping, known, since, 1.0)?;
        let (all, error) = with_unexplained(as_said.middle_rate(), carried, since);
        if all.is_empty() {
            return Some(as_said);
        }
        Self::once(keeping, known, &all, error)
    }

    /// How many times as far from what was expected of them the tests lie as they should, because they scatter, go up, or something
    /// was not written down; they say less of the rate by as much. 1 as a rule.
    pub fn error(&self) -> f64 {
        self.error
    }

    /// The last test of the last stretch that lies further off its course than a test errs: its day, and what it found.
    pub fn strays(&self, events: &[Event]) -> Option<(f64, f64)> {
        let since = events.iter().rev().take_while(|it| it.day >= self.begins);
        let mut tests = since.filter_map(|it| match it.what {
            What::Test { free_mg_l, sd } => Some((it.day, free_mg_l, sd)),
            _ => None,
        });
        let stray = tests.find(|(day, free, sd)| {
            let course = self.free_mg_l(day - self.begins, 0.5);
            (free - course).abs() > STRAY * sd
        });
        stray.map(|(day, free, _)| (day, free))
    }

    /// Whether no usual course goes through its tests: they err by more than chance explains, one strays, or only a rate would do
    /// that chance makes once in seven hundred. Something happened then that nobody wrote down, and no curve says when.
    pub fn is_odd(&self, events: &[Event]) -> bool {
        let [first, last] = [0, STEPS - 1].map(|it| self.steps[it].per_day.ln());
        let (middle, each) = (f64::midpoint(first, last), (last - first) / (2.0 * REACH));
        self.error > 1.0
            || (self.rate(0.5).ln() - middle).abs() > ODD * each
            || self.strays(events).is_some()
    }

    /// The day on which the last stretch begins; days are counted from it.
    pub fn begins(&self) -> f64 {
        self.begins
    }

    /// The part of free SO2 lost in a day that the true one lies below with this chance (0–1).
    pub fn rate(&self, chance: f64) -> f64 {
        let mut below = 0.0;
        let mut reached = self.steps.iter().filter(|it| {
            below += it.weight;
            below >= chance
        });
        reached.next().unwrap_or(&self.steps[STEPS - 1]).per_day
    }

    /// The chance (0–1) that so many days after the beginning of the last stretch less than this is left, mg/L.
    pub fn chance_below(&self, free_mg_l: f64, days: f64) -> f64 {
        self.on(days)
            .map(|(weight, it)| weight * chance_below((free_mg_l - it.mean) / it.variance.sqrt()))
            .sum()
    }

    /// Free SO2 (mg/L) so many days after the beginning of the last stretch that the true one lies below with this chance.
    pub fn free_mg_l(&self, days: f64, chance: f64) -> f64 {
        let [free] = self.free_at(days, [chance]);
        free
    }

    /// The same for several chances at once, the least first.
    pub fn free_at<const N: usize>(&self, days: f64, chances: [f64; N]) -> [f64; N] {
        let mut there = [(0.0, 0.0, 0.0); STEPS];
        let mut count = 0;
        for (weight, it) in self.on(days) {
            let sd = it.variance.sqrt();
            there[count] = (weight, 1.0 / sd, it.mean / sd);
            count += 1;
        }
        let below = |free: f64| -> f64 {
            let each = there[..count].iter();
            each.map(|(weight, per, mean)| weight * chance_below(free * per - mean))
                .sum()
        };
        let (mean, variance) = self.moments(days);
        let sd = variance.sqrt();
        // To a thousandth, and closer where little is left.
        let close = (1e-3_f64).min(6e-3 * sd);
        let mut least = 0.0;
        chances.map(|chance| {
            // Whatever the law of a figure, it lies no further off with that chance (Cantelli's inequality, textbook); nor below
            // where it does with a lesser one.
            let off = (chance / (1.0 - chance)).sqrt();
            let low = (mean - sd / off).min(MOST_MG_L).max(least);
            let high = (mean + sd * off).min(MOST_MG_L).max(low);
            least = reaching(chance, (low, high), (1e-5, close), below);
            least
        })
    }

    /// Days from the beginning of the last stretch until less than this is left (mg/L, above 0), with this chance; `None` where
    /// it was so when that stretch began, and so nobody knows since when.
    pub fn days_to(&self, free_mg_l: f64, chance: f64) -> Option<f64> {
        if self.chance_below(free_mg_l, 0.0) >= chance {
            return None;
        }
        let (mut begin, mut end) = (0.0, 1.0);
        while end < LONGEST_DAYS && self.chance_below(free_mg_l, end) < chance {
            (begin, end) = (end, end * 2.0);
        }
        // To within ten seconds, or what they change of the chance: nobody is told more than the day.
        Some(reaching(chance, (begin, end), (1e-6, 1e-4), |days| {
            self.chance_below(free_mg_l, days)
        }))
    }
}

/// How it is made.
impl<const STEPS: usize> Grid<STEPS> {
    /// With what each test says of the rate taken to err so many times as much as it says.
    fn once(
        keeping: Keeping,
        (carried, begins): (Option<Known>, f64),
        events: &[Event],
        error: f64,
    ) -> Option<Self> {
        let mut steps = [Step {
            per_day: keeping.per_day,
            weight: 0.0,
            last: Known::NOTHING,
        }; STEPS];
        let mut most = f64::MIN;
        for (at, step) in steps.iter_mut().enumerate() {
            let z = REACH * (2.0 * at as f64 / (STEPS - 1) as f64 - 1.0);
            step.per_day = keeping.per_day * (keeping.spread * z).exp();
            let says = follow(step.per_day, carried, error, events);
            step.last = says.known?;
            step.weight = says.fit - 0.5 * z * z;
            most = most.max(step.weight);
        }
        let mut sum = 0.0;
        for step in &mut steps {
            step.weight = (step.weight - most).exp();
            sum += step.weight;
        }
        for step in &mut steps {
            step.weight /= sum;
        }
        Some(Self {
            steps,
            begins,
            error,
        })
    }

    /// The middle of the rates by their logarithm.
    fn middle_rate(&self) -> f64 {
        let each = self.steps.iter();
        let mean: f64 = each.map(|it| it.weight * it.per_day.ln()).sum();
        mean.exp()
    }

    /// Mean and variance on a day, over all rates.
    fn carried(&self, day: f64) -> Known {
        let (mean, variance) = self.moments(day - self.begins);
        Known {
            day,
            mean,
            variance,
            ..Known::NOTHING
        }
    }

    fn moments(&self, days: f64) -> (f64, f64) {
        let (mut mean, mut square) = (0.0, 0.0);
        for (weight, it) in self.on(days) {
            mean += weight * it.mean;
            square += weight * (it.mean * it.mean + it.variance);
        }
        (mean, (square - mean * mean).max(0.0))
    }

    /// What there is so many days after the beginning of the last stretch, at each rate with its weight.
    fn on(&self, days: f64) -> impl Iterator<Item = (f64, Known)> {
        let day = self.begins + days;
        let each = self.steps.iter().filter(|it| it.weight > LEAST_WEIGHT);
        each.map(move |it| (it.weight, it.last.on(day, it.per_day)))
    }
}

/// The day on which the last stretch begins, from which on there are only tests: that of the last change, or of the test that
/// first said what there is.
fn begins(events: &[Event]) -> f64 {
    let known = events
        .iter()
        .enumerate()
        .rev()
        .find_map(|(at, it)| match it.what {
            What::AddedUnknown => Some(at + 1),
            _ => None,
        });
    let known = known.unwrap_or(0);
    let test = events[known..].iter().find(|it| it.is_test());
    let change = events[known..].iter().rfind(|it| !it.is_test());
    let day = |it: Option<&Event>| it.map_or(f64::MIN, |it| it.day);
    day(change).max(day(test))
}

#[cfg(test)]
mod tests;
