//! What one more reading of a ferment would narrow.

use crate::ferment_readings::Readings;
use crate::ferment_state::{Criteria, State, dry, state};
use crate::gravity_curve::{Before, Ferment};

/// A hydrometer is read to a thousandth.
const DIGITS: f64 = 1e3;

/// A ferment as its readings have it so far.
#[derive(Clone, Copy, Debug)]
pub struct SoFar<'a> {
    /// What was read.
    pub read: &'a Readings,
    /// What was taken before any of it.
    pub before: &'a Before,
    /// What both make of it.
    pub curve: &'a Ferment,
    /// How it stands.
    pub state: State,
    /// The days on which it is dry, from its beginning: one ferment in ten, half, and nine in ten.
    pub dry: [f64; 3],
    /// By which it is called slow or stuck.
    pub criteria: &'a Criteria,
}

/// How wide the days are on which it may be dry, and how wide they would be with a reading on a day (from its beginning; `when`
/// says it, such as `today`) that finds what is expected, in a sentence; `None` where it is dry, stuck or has not begun, or no day could be said.
pub fn next_reading(so_far: &SoFar<'_>, day: f64, when: &str) -> Option<String> {
    let SoFar {
        read,
        before,
        curve,
        criteria,
        ..
    } = *so_far;
    if matches!(so_far.state, State::Dry | State::Stuck | State::NotFallen) {
        return None;
    }
    let found = (curve.gravity(day, 0.5) * DIGITS).round() / DIGITS;
    let mut since = read.since.clone();
    since.push((day, found));
    let end_sg = before.end.mean;
    let state = state(read.start.mean, &since, end_sg, criteria);
    if state == State::Dry {
        return Some(format!(
            "A reading {when} that finds {found:.3} would show it dry."
        ));
    }
    let curve = Ferment::of(before, &since);
    let (is, then) = (
        wide(so_far.dry),
        wide(dry(state, curve.as_ref(), &since, end_sg)?),
    );
    let narrows = then < is;
    let [is, then] = [is, then].map(|days| {
        if days < 10.0 {
            format!("{days:.1}")
        } else {
            format!("{days:.0}")
        }
    });
    let lead = format!("Between early and late of the day it is dry lie {is} days");
    Some(if narrows && then != is {
        format!("{lead}; a reading {when} that finds {found:.3} would make it {then}.")
    } else {
        format!("{lead}; a reading {when} that finds {found:.3}, as expected, would not narrow it.")
    })
}

fn wide([low, _, high]: [f64; 3]) -> f64 {
    high - low
}
