//! The tests and additions of a wine, as they were typed.

use super::super::dated::dated;
use crate::decline::{Event, What};
use crate::error::CalcError;
use crate::inputs::Inputs;
use crate::quantity::Quantity;

/// What was given, and what was made of it.
pub(super) struct History<'a> {
    pub(super) read: &'a [Event],
    pub(super) given: &'a [(f64, f64)],
    pub(super) events: &'a [Event],
    pub(super) sd: f64,
}

/// What no wine and no addition is above, mg/L.
pub(super) const MG_L: (f64, f64) = (0.0, 500.0);
/// A limit below which a test tells nothing, mg/L.
const LIMIT_MG_L: (f64, f64) = (1.0, 50.0);

/// The tests in order of days: what each found, or less than its limit.
pub(super) fn tests(inputs: &Inputs, form: &str, sd: f64) -> Result<Vec<Event>, CalcError> {
    let read = dated(inputs, "readings", form, |item, typed| {
        let figure =
            |typed, range| item.figure(Quantity::MassPerVolume, typed, range, *inputs.units());
        Ok(match typed.strip_prefix('<') {
            Some(limit) => What::Below {
                bound: figure(limit.trim(), LIMIT_MG_L)?,
                sd,
            },
            None => What::Test {
                free_mg_l: figure(typed, MG_L)?,
                sd,
            },
        })
    })?;
    Ok(read
        .into_iter()
        .map(|(day, what)| Event { day, what })
        .collect())
}

/// Tests and additions in order of days; on the same day the test came first.
pub(super) fn events(read: &[Event], given: &[(f64, f64)]) -> Vec<Event> {
    let additions = given.iter().map(|&(day, mg_l)| {
        let what = What::Added(mg_l);
        Event { day, what }
    });
    let mut events: Vec<Event> = read.iter().copied().chain(additions).collect();
    events.sort_by(|one, other| one.day.total_cmp(&other.day));
    events
}
