//! How gravity falls while a must ferments, and when it will be dry: three published shapes laid through a few readings.
//!
//! Each shape G(t) = F + (S − F)·p(t) has a start S, an end F and two times of its own. No shape is right for every ferment, and
//! how well one goes through the middle says little about its tail, so the day is the mixture of all three with equal weights.
//! A single shape's band holds for the ferments it was made for and fails for others; see the test.

use crate::least_squares::{Fit, Parameters, Prior, fit};
use crate::normal::{chance_below, first_reaching};

/// A shape of the fall, by its two times a and b.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shape {
    /// p = 1/(1 + e^((t − M)/W)): midpoint M and width W, days. Form of the published method ASBC Yeast-14; Speers, Rogers and
    /// Smith, J. Inst. Brew. 109:229 (2003).
    Logistic,
    /// p = 1 − exp(−exp(−e·(t − I)/T)): day of the fastest fall I, and T, the days that the whole fall would take at that rate.
    /// The modified form of Zwietering et al. (1990), from memory, with I = λ + T/e for its lag λ.
    Gompertz,
    /// 1 − p − κ·ln p = t/T, the integral of dx/dt = −v·x/(K + x): T = (S − F)/v in days and κ = K/(S − F). No lag.
    Michaelis,
}

/// All of them.
pub const SHAPES: [Shape; 3] = [Shape::Logistic, Shape::Gompertz, Shape::Michaelis];

/// A wine is called dry this close to its end, in gravity: a step of the hydrometer either way.
pub const DRY_WITHIN: f64 = 0.002;
/// What a reading is off by: the hydrometer's 0.001 and what no simple shape follows.
const READING_SD: f64 = 0.003;
/// A measured start is off by this.
pub const START_SD: f64 = 0.001;
/// Where musts begin that nobody measured, and how that varies: house estimate.
pub const USUAL_START: Prior = Prior {
    mean: 1.090,
    sd: 0.010,
};
/// Where wines end that ferment to the end, and how that varies: nineteen of twenty from 0.990 to 0.998.
pub const USUAL_END: Prior = Prior {
    mean: 0.994,
    sd: 0.002,
};
/// An end that was given is off by this.
pub const GIVEN_END_SD: f64 = 0.001;
/// Every time is taken within this of its middle, as a standard deviation of its natural logarithm.
const TIME_SPREAD: f64 = 0.6;
/// No forecast is surer than this part of the days it takes.
const SUREST: f64 = 0.05;
/// A hydrometer is off by this, whatever the curves say.
const HYDROMETER_SD: f64 = 0.001;

impl Shape {
    /// What the two times are taken to be before any reading: house estimates. The logistic falls through its middle on day 5 and
    /// is dry in a fortnight; the others are set to do the same.
    const fn times(self) -> [f64; 2] {
        match self {
            Self::Logistic => [5.0, 2.2],
            Self::Gompertz => [4.0, 8.0],
            Self::Michaelis => [7.0, 0.3],
        }
    }

    /// The part still to fall on a day, and its slopes by ln a and ln b.
    fn left(self, [a, b]: [f64; 2], day: f64) -> (f64, [f64; 2]) {
        match self {
            Self::Logistic => {
                let late = (day - a) / b;
                let p = 1.0 / (1.0 + late.exp());
                let steep = p * (1.0 - p);
                (p, [steep * a / b, steep * late])
            }
            Self::Gompertz => {
                // Below −6 nothing has fallen to the last digit, and the inner exponential would overflow.
                let late = (std::f64::consts::E * (day - a) / b).max(-6.0);
                let inner = (-late).exp();
                let steep = inner * (-inner).exp();
                let slopes = [steep * std::f64::consts::E * a / b, steep * late];
                (-(-inner).exp_m1(), slopes)
            }
            Self::Michaelis => {
                // In u = ln p the left side is convex and rises, so it lies below where its tangent at u = 0 leads, and, since p is
                // not less than nothing, below (1 − t/T)/κ. From there by Halley's steps, each leaving less than its cube.
                let gone = day.max(0.0) / a;
                let mut u = (-gone / (1.0 + b)).min((1.0 - gone) / b);
                let mut p = u.exp();
                for _ in 0..60 {
                    let (off, slope) = (p + b * u - 1.0 + gone, p + b);
                    let step = off / (slope - 0.5 * off * p / slope);
                    u -= step;
                    p = u.exp();
                    if step.abs() < 1e-5 {
                        break;
                    }
                }
                (p, [gone * p / (p + b), -b * u * p / (p + b)])
            }
        }
    }

    /// The day on which this part is still to fall.
    fn day(self, [a, b]: [f64; 2], left: f64) -> f64 {
        match self {
            Self::Logistic => a + b * (1.0 / left - 1.0).ln(),
            Self::Gompertz => a - b * (-(-left).ln_1p()).ln() / std::f64::consts::E,
            Self::Michaelis => a * (1.0 - left - b * left.ln()),
        }
    }

    /// Gravity on a day, and its slopes by S, F, ln a and ln b.
    fn gravity(self, at: &Parameters, day: f64) -> (f64, Parameters) {
        let [start, end, a, b] = *at;
        let (p, [by_a, by_b]) = self.left([a.exp(), b.exp()], day);
        let fall = start - end;
        (end + fall * p, [p, 1.0 - p, fall * by_a, fall * by_b])
    }

    /// The day on which it is dry; no number where the whole fall is less than that.
    fn dry_day(self, at: &Parameters) -> f64 {
        let [start, end, a, b] = *at;
        self.day([a.exp(), b.exp()], DRY_WITHIN / (start - end))
    }
}

/// A normal law for the day on which a wine is dry.
#[derive(Clone, Copy, Debug)]
struct Dry {
    day: f64,
    sd: f64,
}

/// What is taken of a ferment before any reading.
#[derive(Clone, Copy, Debug)]
pub struct Before {
    /// The gravity that it begins at.
    pub start: Prior,
    /// The gravity that it ends at.
    pub end: Prior,
    /// How long it takes beside the usual, 1 for no more and no less; see [`pace`].
    pub pace: f64,
}

/// How long a ferment takes at this temperature beside the one it is usually at: half as long for every 9 °C more, from 8 to
/// 32 °C. House estimate: a warm red falls through its middle on day 3.5, a cool white on day 7. That rates rise strongly with
/// temperature from 11 to 35 °C: Coleman, Fish and Block, Appl. Environ. Microbiol. 73:5875 (2007), abstract.
pub fn pace(celsius: f64) -> f64 {
    const USUAL_C: f64 = 20.5;
    0.5_f64.powf((celsius.clamp(8.0, 32.0) - USUAL_C) / 9.0)
}

/// What the readings make of a ferment. Days count from its start.
#[derive(Clone, Debug)]
pub struct Ferment {
    fits: [Fit; 3],
    dry: [Dry; 3],
    start: Prior,
    read: Vec<(f64, f64)>,
    /// How many times as far as usual the readings lie from the nearest curve, as variance; 1 or more.
    off: f64,
    /// The chance that it has stopped.
    stopped: f64,
}

impl Ferment {
    /// From what is taken before, and readings as (day, gravity) in order of days. Readings that no curve comes near widen
    /// everything that is said. `None` where they go with no fall at all.
    pub fn of(before: &Before, readings: &[(f64, f64)]) -> Option<Self> {
        let found = SHAPES.map(|shape| {
            let [a, b] = shape.times().map(|time| Prior {
                mean: (time * before.pace).ln(),
                sd: TIME_SPREAD,
            });
            let curve = |at: &Parameters, day: f64| shape.gravity(at, day);
            let priors = [before.start, before.end, a, b];
            fit(curve, &priors, readings, READING_SD)
        });
        let [Some(one), Some(two), Some(three)] = found else {
            return None;
        };
        let mut fits = [one, two, three];
        let misses = SHAPES
            .iter()
            .zip(&fits)
            .map(|it| miss(*it.0, it.1, readings));
        let least = misses.fold(f64::MAX, f64::min).max(1.0);
        for fit in &mut fits {
            fit.covariance = fit.covariance.map(|row| row.map(|it| it * least));
        }
        let [Some(one), Some(two), Some(three)] =
            std::array::from_fn(|at| dry(SHAPES[at], &fits[at]))
        else {
            return None;
        };
        let mut found = Self {
            fits,
            dry: [one, two, three],
            start: before.start,
            read: readings.to_vec(),
            off: least,
            stopped: 0.0,
        };
        found.stopped = stall::chance(before.start.mean, readings, |from, to| {
            found.usual(from) - found.usual(to)
        });
        Some(found)
    }

    /// The same ferment where it is known to have stopped at its last reading.
    #[must_use]
    pub fn that_stopped(self) -> Self {
        Self {
            stopped: 1.0,
            ..self
        }
    }

    /// The chance (0–1), by its last readings, that it has stopped.
    pub fn stopped(&self) -> f64 {
        self.stopped
    }

    /// The gravity on a day as the mean of the three curves has it, before any gives way to a reading.
    fn usual(&self, day: f64) -> f64 {
        let curves = SHAPES.iter().zip(&self.fits);
        curves.map(|it| it.0.gravity(&it.1.at, day).0).sum::<f64>() / 3.0
    }

    /// The chance (0–1) that it is dry by a day.
    pub fn dry_by(&self, day: f64) -> f64 {
        let of = |dry: &Dry| chance_below((day - dry.day) / dry.sd);
        self.dry.iter().map(of).sum::<f64>() / 3.0
    }

    /// The day by which it is dry with this chance (0–1), given that it was not on the day `after`.
    pub fn dry_day(&self, chance: f64, after: f64) -> f64 {
        let before = self.dry_by(after);
        let last = self
            .dry
            .iter()
            .map(|dry| dry.day + 8.0 * dry.sd)
            .fold(after, f64::max);
        let level = before + chance * (1.0 - before);
        first_reaching(level, (after, last), |day| self.dry_by(day))
    }

    /// The day on which the logistic falls fastest, and one standard deviation of its logarithm.
    pub fn midpoint_days(&self) -> (f64, f64) {
        self.time(2)
    }

    /// The width of the logistic in days, and one standard deviation of its logarithm.
    pub fn width_days(&self) -> (f64, f64) {
        self.time(3)
    }

    fn time(&self, which: usize) -> (f64, f64) {
        (
            self.fits[0].at[which].exp(),
            self.fits[0].covariance[which][which].sqrt(),
        )
    }

    /// Where the logistic ends, with its standard deviation.
    pub fn end_sg(&self) -> (f64, f64) {
        (self.fits[0].at[1], self.fits[0].covariance[1][1].sqrt())
    }
}

/// How far the readings lie from a curve, as the mean square of what each is taken to be off by: 1 or less for one that goes
/// through them.
fn miss(shape: Shape, fit: &Fit, readings: &[(f64, f64)]) -> f64 {
    let off = |(day, sg): &(f64, f64)| ((shape.gravity(&fit.at, *day).0 - sg) / READING_SD).powi(2);
    readings.iter().map(off).sum::<f64>() / readings.len().max(1) as f64
}

/// The day and its spread, never surer than a twentieth.
fn dry(shape: Shape, found: &Fit) -> Option<Dry> {
    const STEP: Parameters = [1e-6, 1e-6, 1e-5, 1e-5];
    let slopes: Parameters = std::array::from_fn(|i| {
        let (mut up, mut down) = (found.at, found.at);
        up[i] += STEP[i];
        down[i] -= STEP[i];
        (shape.dry_day(&up) - shape.dry_day(&down)) / (2.0 * STEP[i])
    });
    let day = shape.dry_day(&found.at);
    let sd = (spread(&found.covariance, &slopes) + (SUREST * day).powi(2)).sqrt();
    (day.is_finite() && sd.is_finite() && sd > 0.0).then_some(Dry { day, sd })
}

/// The variance of something with these slopes by the parameters: gᵀ·C·g.
fn spread(covariance: &[Parameters; 4], slopes: &Parameters) -> f64 {
    let row = |row: &Parameters| -> f64 { row.iter().zip(slopes).map(|it| it.0 * it.1).sum() };
    let rows = covariance.iter().zip(slopes);
    rows.map(|(it, slope)| slope * row(it)).sum()
}

mod as_read;
mod stall;
#[cfg(test)]
mod tests;
#[cfg(test)]
pub(crate) mod truths;
