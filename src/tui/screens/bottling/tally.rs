//! What the book says of a run, as read for the screen.

use crate::cellar::entry::Filling;
use crate::cellar::thing::Key;
use crate::tui::message::Told;

/// The entry that its bottles hang on: the last that says from which vessel it is filled.
pub(super) fn filled_by(run: Key, told: &[Told]) -> Option<&Told> {
    let mut living = told.iter().filter(|it| it.entry.is_living());
    living.find(|it| it.entry.draft.filled_from().is_some_and(|it| it.0 == run))
}

/// The entry that began a run.
fn start(run: Key, told: &[Told]) -> Option<&Told> {
    let mut living = told.iter().filter(|it| it.entry.is_living());
    living.find(|it| it.entry.draft.run_begun().is_some_and(|it| it.0 == run))
}

/// Whether it was begun though the gate spoke against it.
pub(super) fn is_overruled(run: Key, told: &[Told]) -> bool {
    let note = start(run, told).map_or("", |it| it.entry.draft.note.as_str());
    note.starts_with("overruled: ")
}

/// The presses of a run so far.
pub(super) fn fillings(run: Key, told: &[Told]) -> &[Filling] {
    filled_by(run, told).map_or(&[], |it| &it.entry.draft.fillings)
}
