//! Readings of one thing on several days, typed on one line: `2026-01-05:32, 2026-02-04:28`.

use super::list_input::{Item, named};
use crate::day::Day;
use crate::error::CalcError;
use crate::inputs::Inputs;
use crate::quantity::Quantity;

/// More than anyone takes of one wine: one each day for ten years.
const MOST: usize = 3_653;

/// Days that a reading or a question may be of, 1870 to 2169, since 1970.
pub(super) const DAYS: (f64, f64) = (-36_525.0, 73_049.0);

/// Days and figures of such an input, in order of days. Two of one day are both evidence. Refuses what is
/// no date, and figures outside the range.
pub(super) fn readings(
    inputs: &Inputs,
    key: &'static str,
    quantity: Quantity,
    range: (f64, f64),
    form: &str,
) -> Result<Vec<(f64, f64)>, CalcError> {
    dated(inputs, key, form, |item, typed| {
        item.figure(quantity, typed, range, *inputs.units())
    })
}

/// Days and what is read of each item and its figure as typed, in order of days.
pub(super) fn dated<T>(
    inputs: &Inputs,
    key: &'static str,
    form: &str,
    read: impl Fn(&Item, &str) -> Result<T, CalcError>,
) -> Result<Vec<(f64, T)>, CalcError> {
    let typed = inputs.text(key).unwrap_or_default();
    let mut readings = named(key, typed, form, MOST)?
        .iter()
        .map(|item| {
            let day = Day::parse(item.name)
                .filter(|day| (DAYS.0..=DAYS.1).contains(&day.0))
                .ok_or_else(|| item.refused(&format!("no date of 1870 to 2169: write {form}")))?;
            Ok((day.0, read(item, &item.fields.join(":"))?))
        })
        .collect::<Result<Vec<_>, CalcError>>()?;
    readings.sort_by(|one, other| one.0.total_cmp(&other.0));
    Ok(readings)
}
