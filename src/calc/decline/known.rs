//! What is known of free SO2 at some moment, if the rate is so much.

use super::event::{OPENING, STAYS_FREE, racking_takes};
use super::{Keeping, ONE_IN_TEN, What};
use crate::normal::below;

/// What is known of free SO2 at some moment if the rate is so much: normal, or nothing yet.
#[derive(Clone, Copy, Debug)]
pub(super) struct Known {
    pub(super) day: f64,
    pub(super) mean: f64,
    pub(super) variance: f64,
    /// Air that still takes some of it.
    pub(super) taking: Taking,
}

/// Air that takes some day by day until a day, mg/L, and the variance of a day's.
#[derive(Clone, Copy, Debug)]
pub(super) struct Taking {
    until: f64,
    per_day: f64,
    variance: f64,
}

impl Taking {
    pub(super) const NOTHING: Taking = Taking {
        until: f64::NEG_INFINITY,
        per_day: 0.0,
        variance: 0.0,
    };

    /// For how many days it takes some from one day to another; less than none the other way.
    fn days(&self, from: f64, to: f64) -> f64 {
        if from.min(to) >= self.until {
            return 0.0;
        }
        to.min(self.until) - from.min(self.until)
    }
}

/// After so many e-foldings nothing is left that any figure could show; e to it, and its square, are floats still.
const MOST_FOLDINGS: f64 = 300.0;
/// What has run down for ever is known as closely as this, so that nothing is divided by nothing.
const LEAST_VARIANCE: f64 = 1e-300;

impl Known {
    pub(super) const NOTHING: Known = Known {
        day: 0.0,
        mean: 0.0,
        variance: LEAST_VARIANCE,
        taking: Taking::NOTHING,
    };

    /// By a test that found less than that: one in ten is below nothing, so to say, and one in ten above it.
    pub(super) fn below(day: f64, bound: f64) -> Known {
        Known {
            day,
            mean: bound / 2.0,
            variance: (bound / 2.0 / ONE_IN_TEN).powi(2),
            ..Known::NOTHING
        }
    }

    /// Run down, or back, to another day.
    pub(super) fn on(self, day: f64, per_day: f64) -> Known {
        let foldings = per_day * (day - self.day);
        let left = (-foldings).clamp(-MOST_FOLDINGS, MOST_FOLDINGS).exp();
        let taken = self.taking.days(self.day, day);
        let variance = self.variance * left * left + self.taking.variance * taken.abs();
        Known {
            day,
            // No wine has less than nothing: what finds no more of it is used up otherwise.
            mean: (self.mean * left - self.taking.per_day * taken).max(0.0),
            variance: variance.max(LEAST_VARIANCE),
            ..self
        }
    }

    /// Run down by what its keeping makes likely, without asking which rate it is: the spread of rates widens it in a straight line.
    pub(super) fn roughly_on(self, day: f64, keeping: Keeping) -> Known {
        let then = self.on(day, keeping.per_day);
        let spread = then.mean * keeping.per_day * (day - self.day) * keeping.spread;
        Known {
            variance: then.variance + spread * spread,
            ..then
        }
    }

    /// With a test of it.
    pub(super) fn tested(self, free_mg_l: f64, sd: f64) -> Known {
        let gain = self.variance / (self.variance + sd * sd);
        Known {
            mean: self.mean + gain * (free_mg_l - self.mean),
            variance: self.variance * (1.0 - gain),
            ..self
        }
    }

    /// How many standard deviations the limit of a test lies above what is expected.
    pub(super) fn off_bound(self, bound: f64, sd: f64) -> f64 {
        (bound - self.mean) / (self.variance + sd * sd).sqrt()
    }

    /// With a test that found less than that: mean and variance of a normal figure whose test lies below a limit (textbook:
    /// truncated normal). No wine has less than nothing: where far more was expected, and so widely that this would put most of it
    /// there, what is left lies anywhere below the limit.
    pub(super) fn found_below(self, bound: f64, sd: f64) -> Known {
        let z = self.off_bound(bound, sd);
        let gain = self.variance / (self.variance + sd * sd);
        let slope = below(z).slope;
        let mean = self.mean - slope * gain * (self.variance + sd * sd).sqrt();
        if mean < bound / 2.0 && self.mean > bound {
            return Known {
                taking: self.taking,
                ..Known::below(self.day, bound)
            };
        }
        Known {
            mean,
            variance: self.variance * (1.0 - gain * slope * (slope + z)).max(1.0 - gain),
            ..self
        }
    }

    /// After something other than a test; nothing is known after an addition of unknown size.
    pub(super) fn after(self, what: What) -> Option<Known> {
        match what {
            What::Test { .. } | What::Below { .. } | What::Moved(_) => Some(self),
            What::Added(mg_l) => Some(self.and((mg_l * STAYS_FREE.0, mg_l * STAYS_FREE.1))),
            What::AddedUnknown => None,
            What::Aired => Some(self.without(OPENING)),
            What::Racked => Some(self.without(racking_takes())),
            What::Takes { mg_l, sd, days } => Some(Known {
                taking: Taking {
                    until: self.day + days,
                    per_day: mg_l / days,
                    variance: sd * sd / days,
                },
                ..self
            }),
            What::Unexplained(sd) => Some(self.and((0.0, sd))),
        }
    }

    fn without(self, (takes, sd): (f64, f64)) -> Known {
        self.and((-takes, sd))
    }

    fn and(self, (more, sd): (f64, f64)) -> Known {
        Known {
            mean: self.mean + more,
            variance: self.variance + sd * sd,
            ..self
        }
    }
}
