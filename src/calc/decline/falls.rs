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
    /// nobody wrote down, no curve goes through all of them.
    pub fn of<const STEPS: usize>(found: &Grid<STEPS>, events: &[Event], aim_mg_l: f64) -> Falls {
        let begins = found.begins();
        let [low, mid, high] = [0.1, 0.5, 0.9].map(|chance| {
            let days = found.days_to(aim_mg_l, chance)?;
            Some(begins + days)
        });
        let (from, until) = between(events, begins, aim_mg_l);
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

/// The last test that found enough, and the first after it and after the last stretch began that found too little; each by more than one test in ten errs, which is
/// what the first and the last of the days are. A wine that was never found to have enough is not said to have had it.
pub fn between(events: &[Event], begins: f64, aim_mg_l: f64) -> (Option<f64>, Option<f64>) {
    let is_enough = |it: &Event| match it.what {
        What::Test { free_mg_l, sd } => free_mg_l >= aim_mg_l + ONE_IN_TEN * sd,
        _ => false,
    };
    let is_short = |it: &&Event| match it.what {
        _ if it.day < begins => false,
        What::Test { free_mg_l, sd } => free_mg_l <= aim_mg_l - ONE_IN_TEN * sd,
        What::Below { bound, sd } => bound <= aim_mg_l - ONE_IN_TEN * sd,
        _ => false,
    };
    let enough = events.iter().rposition(is_enough);
    let since = enough.map_or(0, |at| at + 1);
    let short = events[since..].iter().find(is_short);
    (enough.map(|at| events[at].day), short.map(|it| it.day))
}
