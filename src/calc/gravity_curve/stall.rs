//! How likely it is that a ferment has stopped, from last readings that fall less than its curve does.

use super::HYDROMETER_SD;
use crate::ferment_state::{CRITERIA, begun, fall};

/// Of ferments one in ten stops before its end: house estimate.
const STOPS: f64 = 0.1;
/// A curve's fall is off by this part of it: house estimate.
const FALL_SPREAD: f64 = 0.5;

/// The chance (0–1) that it has stopped, from the gravity it began at, the readings in order of days, and how far it falls between
/// two days as long as it goes on. By Bayes's rule, of the run of last readings that says so most clearly: one that has stopped
/// falls by nothing within what two readings are off by, one that goes on by what its curve does within half of that besides.
pub(super) fn chance(start_sg: f64, read: &[(f64, f64)], falls: impl Fn(f64, f64) -> f64) -> f64 {
    let Some((last, now)) = read.last().copied() else {
        return 0.0;
    };
    if !begun(start_sg, now, &CRITERIA) {
        return 0.0;
    }
    let two_sd = HYDROMETER_SD * std::f64::consts::SQRT_2;
    let of = |run: &[(f64, f64)]| {
        let (seen, expected) = (fall(run), falls(run[0].0, last).max(0.0));
        // One that falls too fast has not stopped either.
        let seen = seen.max(0.0);
        let density = |mean: f64, sd: f64| (-0.5 * ((seen - mean) / sd).powi(2)).exp() / sd;
        let stopped = STOPS * density(0.0, two_sd);
        let goes = (1.0 - STOPS) * density(expected, two_sd.hypot(FALL_SPREAD * expected));
        stopped / (stopped + goes)
    };
    let runs = (0..read.len() - 1).map(|at| &read[at..]);
    runs.map(of).fold(0.0, f64::max)
}
