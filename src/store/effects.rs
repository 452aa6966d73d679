//! What a change of the book changes, in words.

use std::collections::BTreeMap;

use crate::cellar::attention::words::count;
use crate::cellar::entry::Draft;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::tasting::blind;
use crate::cellar::telling;
use crate::cellar::thing::Key;

use super::{Effects, Shift};

impl Effects {
    /// The last shift of each place up to a moment, where that leaves it otherwise than the book had it.
    pub(super) fn in_the_end(&self, until_ms: i64) -> impl Iterator<Item = &Shift> {
        let shifts = self.shifts.iter();
        let shifts = shifts.filter(|it| it.when.utc_ms <= until_ms);
        let last: BTreeMap<Key, &Shift> = shifts.map(|it| (it.place, it)).collect();
        last.into_values().filter(|it| it.before != it.after)
    }

    /// What is different in the end once those entries are taken back or written anew, place by place, and how many entries are merely worked out anew.
    pub fn lines(&self, changed: &[&Draft], cellar: &Snapshot) -> Vec<String> {
        // Whose volume changes would say which wine that was.
        if changed.iter().any(|it| blind::is_secret(it, cellar)) {
            return vec!["What it changes is told once the blind tasting is revealed.".to_owned()];
        }
        let mut lines: Vec<String> = Vec::new();
        for shift in self.in_the_end(i64::MAX) {
            let differs = telling::differences(shift.before.as_ref(), shift.after.as_ref());
            lines.push(format!("{}: {}.", shift.name, differs.join(", ")));
        }
        lines.extend(self.strayed.iter().map(|it| {
            let bottles = count(it.count, "bottle");
            let run = telling::name(it.run, cellar);
            let now = it.now_in.as_ref().map_or_else(
                || "in no rack; `shift` says where they are".to_owned(),
                |rack| format!("in {rack}"),
            );
            format!("{run}: {bottles} at {} then {now}.", it.were_at)
        }));
        if lines.is_empty() {
            lines.push("Nothing else changes.".to_owned());
        }
        match self.recomputed.len() {
            0 => {}
            1 => lines.push("The figures of 1 later entry are worked out anew.".to_owned()),
            many => lines.push(format!(
                "The figures of {many} later entries are worked out anew."
            )),
        }
        lines
    }
}
