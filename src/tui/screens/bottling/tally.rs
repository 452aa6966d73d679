//! What the book says of a run, as read for the screen.

use crate::cellar::entry::Filling;
use crate::cellar::thing::Key;
use crate::tui::message::Told;

/// The entry that began a run.
pub(super) fn start(run: Key, told: &[Told]) -> Option<&Told> {
    let begins = |it: &&Told| {
        it.entry.is_living()
            && it
                .entry
                .draft
                .run_begun()
                .is_some_and(|(key, _)| key == run)
    };
    told.iter().find(begins)
}

/// Whether it was begun though the gate spoke against it.
pub(super) fn is_overruled(run: Key, told: &[Told]) -> bool {
    let note = start(run, told).map_or("", |it| it.entry.draft.note.as_str());
    note.starts_with("overruled: ")
}

/// The presses of a run so far.
pub(super) fn fillings(run: Key, told: &[Told]) -> &[Filling] {
    start(run, told).map_or(&[], |it| &it.entry.draft.fillings)
}
