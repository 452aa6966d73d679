//! What was put into wine, told back.

use super::{Says, Told, days, one};
use crate::cellar::entry::{Due, Kind};
use crate::cellar::telling;
use crate::cellar::verbs::lasting::SECOND_PART;

/// What such an entry says of a field that is told here; `None` for any other field.
pub(super) fn says(told: &Told, key: &str) -> Says {
    let draft = told.draft;
    let addition = draft.additions.first();
    let job = draft.jobs.first();
    let end = || match job?.due {
        Due::On(ms) => Some(ms),
        Due::AtGravity { .. } => None,
    };
    Some(one(match (draft.kind, key) {
        (Kind::Receive, "fruit") => addition.and_then(|it| it.dose).map(telling::dose),
        (Kind::Stabilise, "sorbate") => told.dose_of("sorbate"),
        (Kind::Stabilise, "sulfite") => told.dose_of("metabisulfite"),
        (Kind::Add, "substance") | (Kind::Fine, "agent") | (Kind::Feed, "with") => {
            addition.map(|it| it.substance.replace('-', " "))
        }
        (Kind::OakIn, "days") => end().map(|it| days(it - draft.when.utc_ms)),
        (Kind::Chill | Kind::PunchDown, "until") => end().map(|it| told.date(it)),
        (Kind::Fine, "then") => {
            job.and_then(|it| Some(it.title.strip_prefix(SECOND_PART)?.to_owned()))
        }
        (Kind::SterileFilter, "sterile") => Some("yes".to_owned()),
        (Kind::Pitch, "yeast") => Some(draft.note.clone()),
        _ => return None,
    }))
}

impl Told<'_> {
    fn dose_of(&self, end: &str) -> Option<String> {
        let mut additions = self.draft.additions.iter();
        let its = additions.find(|it| it.substance.ends_with(end))?;
        Some(its.dose.map_or("a packet".to_owned(), telling::dose))
    }
}
