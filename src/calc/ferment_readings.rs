//! Gravities as they were written down, made into readings of one ferment: in order of days from its start, begun anew where
//! sugar went in, or where it moves again after it stood still.

use crate::ferment_state::{Criteria, State, begun, state};
use crate::gravity_curve::{START_SD, USUAL_START};
use crate::least_squares::Prior;

/// A rise of more is no error of reading.
pub const MOST_RISE: f64 = 0.004;
/// A rise of less is none.
const DIGIT: f64 = 5e-5;

/// The readings of one ferment.
#[derive(Clone, Debug, PartialEq)]
pub struct Readings {
    /// The day it begins: the first given, the one on which it was found to have risen, or the last of those on which it stood
    /// still.
    pub from: f64,
    /// The gravity it begins at.
    pub start: Prior,
    /// Readings since, as (days from its beginning, gravity), of one day as one.
    pub since: Vec<(f64, f64)>,
    /// The last rise that was more than an error: gravity before, and after.
    pub rose: Option<(f64, f64)>,
    /// Whether it begins where it stood still before, and fell again.
    pub stood: bool,
    /// How often it was read a little higher than before.
    pub wavers: usize,
    /// Days of several readings that differ, from its beginning, with how many and the mean that they are taken as.
    pub means: Vec<(f64, usize, f64)>,
}

impl Readings {
    /// The gravity that it fell from: where nobody measured its start, the highest since, if that is more than a start is taken as.
    pub fn fell_from(&self) -> f64 {
        let since = self.since.iter().filter(|_| self.start == USUAL_START);
        since.fold(self.start.mean, |most, it| it.1.max(most))
    }
}

/// From the day it began, the gravity then if it was read, and readings as (day, gravity), of the same calendar and in any order.
/// What was read before that day is left out, and so is what was read before it stood still by these criteria, with sugar enough
/// above its end, and fell again: a curve through both would take the stand for its tail.
pub fn readings(
    from: f64,
    start_sg: Option<f64>,
    all: &[(f64, f64)],
    end_sg: f64,
    by: &Criteria,
) -> Readings {
    let mut all: Vec<(f64, f64)> = all.iter().copied().filter(|it| it.0 >= from).collect();
    all.sort_by(|one, other| one.0.total_cmp(&other.0));
    let begins = |from: f64, start_sg: Option<f64>, rose| Readings {
        from,
        start: start_sg.map_or(USUAL_START, |mean| Prior { mean, sd: START_SD }),
        since: Vec::new(),
        rose,
        stood: false,
        wavers: 0,
        means: Vec::new(),
    };
    let mut of = begins(from, start_sg, None);
    // Of a must that nobody measured the first reading can rise over nothing.
    let mut before = start_sg;
    let mut stood = None;
    for day in all.chunk_by(|one, other| one.0.total_cmp(&other.0).is_eq()) {
        let sg = day.iter().map(|it| it.1).sum::<f64>() / day.len() as f64;
        let at = day[0].0;
        let rise = before.map_or(0.0, |it| sg - it);
        if rise > MOST_RISE + DIGIT {
            of = begins(at, Some(sg), before.map(|it| (it, sg)));
            stood = None;
        } else if at > of.from {
            of.wavers += usize::from(rise > DIGIT);
            of.since.push((at - of.from, sg));
        }
        if day.iter().any(|it| (it.1 - sg).abs() > DIGIT) {
            of.means.push((at - of.from, day.len(), sg));
        }
        before = Some(sg);
        let stands = state(of.fell_from(), &of.since, end_sg, by) == State::Stuck;
        if stands && sg > end_sg + by.slow_above_end {
            stood = Some((at, sg));
        } else if let Some((at, _)) = stood.filter(|it| begun(it.1, sg, by)) {
            let mut again = readings(at, stood.map(|it| it.1), &all, end_sg, by);
            again.stood |= again.rose.is_none();
            return again;
        }
    }
    of
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ferment_state::CRITERIA;

    fn check(start: Option<f64>, all: &[(f64, f64)], from: f64, since: &[(f64, f64)]) -> Readings {
        let found = readings(10.0, start, all, 0.994, &CRITERIA);
        assert!((found.from - from).abs() < 1e-9, "{found:?}");
        assert_eq!(found.since.len(), since.len(), "{found:?}");
        for (found, expected) in found.since.iter().zip(since) {
            assert!((found.0 - expected.0).abs() < 1e-9 && (found.1 - expected.1).abs() < 1e-9);
        }
        found
    }

    #[test]
    fn days_count_from_the_start_in_their_order() {
        let all = [(14.0, 1.050), (12.0, 1.080), (9.0, 1.091), (10.0, 1.090)];
        let found = check(Some(1.090), &all, 10.0, &[(2.0, 1.080), (4.0, 1.050)]);
        assert_eq!((found.rose, found.wavers), (None, 0));
        assert!((found.start.mean - 1.090).abs() < 1e-9);
    }

    #[test]
    fn readings_of_one_moment_are_one() {
        let all = [(12.0, 1.080), (12.0, 1.078), (14.0, 1.050)];
        let found = check(Some(1.090), &all, 10.0, &[(2.0, 1.079), (4.0, 1.050)]);
        let [(day, count, mean)] = found.means[..] else {
            panic!("{found:?}");
        };
        assert_eq!(count, 2);
        assert!((day - 2.0).abs() < 1e-9 && (mean - 1.079).abs() < 1e-9);
        // Equal ones are no mean of anything.
        let found = check(Some(1.090), &[(12.0, 1.080); 3], 10.0, &[(2.0, 1.080)]);
        assert_eq!(found.means, []);
    }

    #[test]
    fn a_rise_begins_it_anew_and_a_small_one_is_an_error_of_reading() {
        let rose = [(12.0, 1.060), (14.0, 1.040), (15.0, 1.052), (17.0, 1.030)];
        let found = check(Some(1.090), &rose, 15.0, &[(2.0, 1.030)]);
        assert_eq!(found.rose, Some((1.040, 1.052)));
        assert!((found.start.mean - 1.052).abs() < 1e-9);
        let wavers = [(12.0, 1.060), (14.0, 1.064), (15.0, 1.050)];
        let found = check(
            Some(1.090),
            &wavers,
            10.0,
            &[(2.0, 1.060), (4.0, 1.064), (5.0, 1.050)],
        );
        assert_eq!((found.rose, found.wavers), (None, 1));
    }

    #[test]
    fn after_a_stand_it_begins_anew_once_it_falls_by_more_than_a_must_may() {
        let mut all = vec![(14.0, 1.060), (18.0, 1.032), (20.0, 1.032), (22.0, 1.032)];
        all.push((24.0, 1.030));
        let since = [(4.0, 1.060), (8.0, 1.032), (10.0, 1.032), (12.0, 1.032)];
        let mut still = since.to_vec();
        still.push((14.0, 1.030));
        assert!(!check(Some(1.090), &all, 10.0, &still).stood);
        all.push((27.0, 1.020));
        let found = check(Some(1.090), &all, 22.0, &[(2.0, 1.030), (5.0, 1.020)]);
        assert!(found.stood && (found.start.mean - 1.032).abs() < 1e-9);
        // Two readings, or three of two days, are no stand; nor is one with hardly any sugar left, or one before the yeast began.
        for all in [
            &[(12.0, 1.060), (14.0, 1.032), (18.0, 1.032), (20.0, 1.020)][..],
            &[(12.0, 1.032), (13.0, 1.032), (14.0, 1.032), (15.0, 1.020)],
            &[(20.0, 1.003), (22.0, 1.003), (24.0, 1.003), (26.0, 0.998)],
            &[(12.0, 1.090), (14.0, 1.090), (16.0, 1.090), (18.0, 1.080)],
        ] {
            let found = readings(10.0, Some(1.090), all, 0.994, &CRITERIA);
            assert!(!found.stood && found.since.len() == all.len(), "{found:?}");
        }
    }

    #[test]
    fn a_must_that_nobody_measured_is_taken_as_usual() {
        let found = check(None, &[(12.0, 1.099)], 10.0, &[(2.0, 1.099)]);
        assert_eq!(found.start, USUAL_START);
        assert!((found.fell_from() - 1.099).abs() < 1e-9);
    }
}
