//! Notes, troubles, thresholds, jobs and reasons put off, told back.

use super::{Says, Told, one};
use crate::cellar::entry::{Kind, Silence};
use crate::cellar::telling;
use crate::cellar::thing::{Value, field};

/// What such an entry says of a field that is told here; `None` for any other field.
pub(super) fn says(told: &Told, key: &str) -> Says {
    let draft = told.draft;
    let silence = draft.silences.first();
    let reading = draft.readings.first();
    Some(one(match (draft.kind, key) {
        (Kind::Jot | Kind::Note, "text") | (Kind::Done, "job") => Some(draft.note.clone()),
        (Kind::Snooze | Kind::Dismiss, "reason") => silence.map(|it| {
            let kind = it.reason.split(": ").next();
            kind.unwrap_or_default().to_owned()
        }),
        (Kind::Snooze | Kind::Dismiss, "job") => silence.and_then(Silence::job).map(str::to_owned),
        (Kind::Snooze, "until") => silence.and_then(|it| it.until_ms).map(|it| told.date(it)),
        (Kind::Settings, "threshold") => return Some(told.thresholds()),
        (Kind::Trouble | Kind::TroubleOver, "fault") => {
            reading.map(|it| telling::found(it.property, &it.found))
        }
        (Kind::Trouble, "words") => reading.map(|it| it.typed.clone()),
        _ => return None,
    }))
}

impl Told<'_> {
    /// Thresholds that were set: `round_days=10`.
    fn thresholds(&self) -> Vec<String> {
        let changes = self.draft.changes.iter();
        let set = changes.filter_map(|it| {
            let name = it.field.strip_prefix(field::THRESHOLD)?;
            Some(match &it.value {
                Some(Value::Real(value)) => format!("{name}={value}"),
                _ => format!("{name}=usual"),
            })
        });
        set.collect()
    }
}
