//! When too little is left, or that it is below already and nobody knows since when.

use super::{Event, Grid, ONE_IN_TEN, What};

/// The days on which less is left than an aim, as events count them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Falls {
    /// One wine in ten has fallen below by then; `None` where it may have before anything was read.
    pub low: Option<f64>,
    /// Half of them; `None` where that was before the curves begin, or they go against the tests.
    pub mid: Option<f64>,
    /// Nine in ten.
    pub high: f64,
}

impl Falls {
    /// By the curves that go with the tests, and between the tests that found enough and too little: where something happened that
    /// nobody wrote down, no curve goes through all of them, and it may have been on any day between those two.
    pub fn of<const STEPS: usize>(found: &Grid<STEPS>, events: &[Event], aim_mg_l: f64) -> Falls {
        let begins = found.begins();
        let [low, mid, high] = [0.1, 0.5, 0.9].map(|chance| {
            let days = found.days_to(aim_mg_l, chance)?;
            Some(begins + days)
        });
        let (from, until) = between(events, aim_mg_l);
        if let (Some(from), Some(until)) = (from, until)
            && found.is_odd(events)
        {
            return Falls {
                low: Some(from),
                mid: None,
                high: until,
            };
        }
        let last = events.iter().map(|it| it.day).fold(begins, f64::max);
        // Below since its curves begin: by then, if nothing was found since that says otherwise.
        let high = high.unwrap_or(from.map_or(begins, |_| last));
        let high = high.min(until.unwrap_or(f64::INFINITY));
        let low = match (low, from) {
            (Some(low), Some(from)) => Some(low.max(from)),
            (low, from) => low.or(from),
        };
        let is_between = |day: &f64| low.is_none_or(|low| low <= *day) && *day <= high;
        Falls {
            low: low.map(|it| it.min(high)),
            mid: mid.filter(is_between),
            high,
        }
    }
}

/// The last test that found enough, and the first after it and after the last change that found too little; each by more than one
/// test in ten errs, which is what the first and the last of the days are. A wine that was never found to have enough is not said
/// to have had it, and a test of the moment of a dose was taken before it.
pub fn between(events: &[Event], aim_mg_l: f64) -> (Option<f64>, Option<f64>) {
    let is_enough = |it: &Event| match it.what {
        What::Test { free_mg_l, sd } => free_mg_l >= aim_mg_l + ONE_IN_TEN * sd,
        _ => false,
    };
    let is_short = |it: &&Event| match it.what {
        What::Test { free_mg_l, sd } => free_mg_l <= aim_mg_l - ONE_IN_TEN * sd,
        What::Below { bound, sd } => bound <= aim_mg_l - ONE_IN_TEN * sd,
        _ => false,
    };
    let enough = events.iter().rposition(is_enough);
    let changed = events.iter().rposition(|it| !it.is_test());
    let after = |at: Option<usize>| at.map_or(0, |it| it + 1);
    let since = after(enough).max(after(changed));
    let short = events[since..].iter().find(is_short);
    (enough.map(|at| events[at].day), short.map(|it| it.day))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 18 of 35 mg/L is short, and of the moment of a dose it says what was there before it.
    #[test]
    fn a_test_of_the_moment_of_a_dose_was_taken_before_it() {
        let event = |day, what| Event { day, what };
        let test = |day, free_mg_l| event(day, What::Test { free_mg_l, sd: 2.5 });
        let dose = |day| event(day, What::Added(29.0));
        let check = |events: &[Event], expected| assert_eq!(between(events, 35.0), expected);
        check(&[test(0.0, 18.0)], (None, Some(0.0)));
        check(&[test(0.0, 18.0), dose(0.0)], (None, None));
        check(&[dose(0.0), test(0.0, 18.0)], (None, Some(0.0)));
        let fell = [
            test(0.0, 18.0),
            dose(0.0),
            test(9.0, 40.0),
            test(60.0, 20.0),
        ];
        check(&fell, (Some(9.0), Some(60.0)));
    }
}
