//! The sum of a bottling: where every microlitre of the wine went.

use super::{Package, Tally};
use crate::cellar::amount::Volume;
use crate::cellar::entry::{Entry, Filling, Kind};
use crate::cellar::fold::Flow;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::telling;
use crate::cellar::thing::{Account, Key, Thing, field};

/// Where the wine went: each line and how much.
#[derive(Debug, PartialEq, Eq)]
pub struct Sum {
    /// What the vessel held before.
    pub before: Volume,
    /// What was in it besides, as the bottles told.
    pub found: Volume,
    /// What became of it, and how much of it.
    pub lines: Vec<(String, Volume)>,
    /// What stays in the vessel.
    pub stays: Volume,
    /// What the lines do not explain: drawn or poured otherwise while it was bottled.
    pub otherwise: Volume,
}

impl Sum {
    /// Of a run whose entries are told oldest first, with what each moved; `before` is what its vessel held then.
    pub fn of<'a>(
        run: &Thing,
        before: Volume,
        told: impl IntoIterator<Item = (&'a Entry, &'a [Flow])>,
        cellar: &Snapshot,
    ) -> Option<Sum> {
        let vessel = Key(run.int(field::VESSEL)?);
        let mut lines: Vec<(String, Volume)> = Vec::new();
        let (mut explained, mut found) = (Volume::ZERO, Volume::ZERO);
        let mut fillings: &[Filling] = &[];
        for (entry, flows) in told {
            if is_filled_from(entry, run.key) {
                fillings = &entry.draft.fillings;
            }
            let fills = entry.draft.kind == Kind::Bottle && is_filled_from(entry, run.key);
            if !fills && !finishes(entry, run.key) {
                continue;
            }
            for flow in flows {
                if flow.to == vessel {
                    found += flow.volume;
                }
                if flow.from != vessel {
                    continue;
                }
                let (name, volume) = (gone(flow.to, run, fillings, cellar), flow.volume);
                explained += volume;
                match lines.iter_mut().find(|(it, _)| *it == name) {
                    Some((_, sum)) => *sum += volume,
                    None => lines.push((name, volume)),
                }
            }
        }
        let stays = cellar.wine(vessel).map_or(Volume::ZERO, |it| it.volume);
        Some(Sum {
            before,
            found,
            lines,
            stays,
            otherwise: before + found - explained - stays,
        })
    }

    /// Whether all of it is explained.
    pub fn adds_up(&self) -> bool {
        self.otherwise == Volume::ZERO
    }

    /// All of it as it is read, from what was there to what stays.
    pub fn rows(&self, vessel: &str) -> Vec<(String, Volume)> {
        let mut rows = vec![(format!("{vessel} held"), self.before)];
        if self.found > Volume::ZERO {
            rows.push(("and more than the book said".to_owned(), self.found));
        }
        rows.extend(self.lines.iter().cloned());
        rows.push((format!("stays in {vessel}"), self.stays));
        if !self.adds_up() {
            let words = "drawn or poured otherwise meanwhile".to_owned();
            rows.push((words, self.otherwise));
        }
        rows
    }
}

/// Whether a living entry says from which vessel that run is filled; its bottles hang on the last of these.
pub fn is_filled_from(entry: &Entry, run: Key) -> bool {
    let filled = entry.draft.filled_from();
    entry.is_living() && filled.is_some_and(|it| it.0 == run)
}

/// Whether a living entry finished it.
fn finishes(entry: &Entry, run: Key) -> bool {
    let mut changes = entry.draft.changes.iter();
    entry.is_living() && changes.any(|it| it.thing == run && it.field == field::FINISHED)
}

/// Where wine went, in words.
fn gone(to: Key, run: &Thing, fillings: &[Filling], cellar: &Snapshot) -> String {
    if to == run.key {
        let (tally, package) = (Tally::of(fillings), Package::of(run));
        return format!(
            "{}: {}",
            package.count(tally.bottles()),
            tally.sizes(package)
        );
    }
    match Account::from_key(to) {
        Some(Account::Spills) => "spilled".to_owned(),
        Some(Account::Samples) => "drawn to taste".to_owned(),
        Some(Account::Broken) => "lost with broken bottles".to_owned(),
        Some(Account::Lees) => "lees left behind".to_owned(),
        Some(Account::Difference) => "was never there".to_owned(),
        Some(account) => account.word().replace('-', " "),
        None => format!("into {}", telling::name(to, cellar)),
    }
}
