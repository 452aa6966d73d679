//! Days to come, as a verb is told until when something lasts.

use super::Refusal;
use crate::cellar::moment;
use crate::cellar::snapshot::Snapshot;

/// No plan or wait of a home cellar is longer: ten years.
pub(super) const LONGEST_DAYS: i64 = 3_660;

/// `7d`, `3 days`, `tomorrow`, `Sunday`, or a date after now at its noon; of a field `until`.
pub(super) fn day_to_come(text: &str, cellar: &Snapshot) -> Result<i64, Refusal> {
    to_come(text, cellar).ok_or_else(|| {
        Refusal::input(
            "until",
            format!("`{text}` is no day to come; write 7d, 3 weeks, Sunday or 2026-12-24."),
        )
    })
}

/// The same, UTC ms, where the words mean a day to come.
pub(super) fn to_come(text: &str, cellar: &Snapshot) -> Option<i64> {
    if let Some(days) = moment::days_in(text) {
        return (1..=LONGEST_DAYS)
            .contains(&days)
            .then(|| cellar.now.plus_days(days).utc_ms);
    }
    let date = moment::coming(text, cellar.now)?;
    let noon = date.and_hms_opt(12, 0, 0)?;
    let (noon, _) = cellar.settings().zone.wall(noon).ok()?;
    (noon > cellar.now).then_some(noon.utc_ms)
}
