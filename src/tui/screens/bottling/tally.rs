//! What the presses of a run come to.

use std::collections::BTreeMap;

use crate::cellar::amount::Volume;
use crate::cellar::entry::{FillEvent, Filling};
use crate::cellar::thing::Key;
use crate::tui::message::Told;

/// Presses whose times the pace is taken from.
const LAST: usize = 12;

/// What the presses of a run come to.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Tally {
    /// Bottles that stand filled, by size in mL.
    pub(super) standing: BTreeMap<i64, i64>,
    pub(super) spilled: Volume,
    pub(super) broken: i64,
    pub(super) refused: i64,
    /// From one bottle to the next, ms: the median of the last dozen, so that a pause for the door
    /// does not make it slow.
    pub(super) pace_ms: Option<i64>,
    /// The last press, UTC ms.
    pub(super) last_ms: Option<i64>,
}

impl Tally {
    pub(super) fn of(fillings: &[Filling]) -> Tally {
        let mut tally = Tally::default();
        // When each bottle that stands was closed, one press each.
        let mut closed: Vec<i64> = Vec::new();
        for press in fillings {
            let standing = tally.standing.entry(press.size_ml).or_default();
            match press.event {
                FillEvent::Filled => {
                    *standing += press.count;
                    if press.count == 1 {
                        closed.push(press.at_ms);
                    }
                }
                FillEvent::Back => {
                    *standing -= press.count;
                    closed.pop();
                }
                FillEvent::Broken => {
                    *standing -= press.count;
                    tally.broken += press.count;
                }
                FillEvent::Spilled => {
                    tally.spilled += Volume::millilitres(press.size_ml * press.count);
                }
                FillEvent::Refused => tally.refused += press.count,
            }
            tally.last_ms = Some(press.at_ms);
        }
        tally.standing.retain(|_, count| *count != 0);
        tally.pace_ms = pace(&closed);
        tally
    }

    pub(super) fn bottles(&self) -> i64 {
        self.standing.values().sum()
    }

    /// `28 × 750 mL, 1 × 375 mL`.
    pub(super) fn sizes(&self) -> String {
        let sizes = self.standing.iter().rev();
        let sizes: Vec<String> = sizes
            .map(|(size, count)| format!("{count} × {size} mL"))
            .collect();
        sizes.join(", ")
    }
}

fn pace(closed: &[i64]) -> Option<i64> {
    let gaps = closed.windows(2).map(|it| it[1] - it[0]);
    let mut gaps: Vec<i64> = gaps.rev().take(LAST).filter(|it| *it > 0).collect();
    gaps.sort_unstable();
    let middle = gaps.len() / 2;
    gaps.get(middle).copied()
}

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

#[cfg(test)]
mod tests {
    use super::*;

    fn presses(of: &[(FillEvent, i64, i64, i64)]) -> Vec<Filling> {
        let press =
            |(at, (event, size_ml, count, seconds)): (usize, &(FillEvent, i64, i64, i64))| {
                Filling {
                    sequence: at as i64 + 1,
                    event: *event,
                    size_ml: *size_ml,
                    count: *count,
                    at_ms: seconds * 1_000,
                }
            };
        of.iter().enumerate().map(press).collect()
    }

    use FillEvent::{Back, Broken, Filled, Refused, Spilled};

    #[test]
    fn presses_come_to_bottles_by_size() {
        let tally = Tally::of(&presses(&[
            (Filled, 750, 10, 0),
            (Filled, 750, 1, 30),
            (Back, 750, 1, 31),
            (Filled, 375, 1, 60),
            (Broken, 750, 1, 70),
            (Spilled, 100, 1, 71),
            (Refused, 750, 1, 72),
        ]));
        assert_eq!(tally.sizes(), "9 × 750 mL, 1 × 375 mL");
        assert_eq!(
            (tally.bottles(), tally.broken, tally.refused, tally.spilled),
            (10, 1, 1, Volume::millilitres(100))
        );
    }

    fn check_pace(seconds: &[i64], expected: Option<i64>) {
        let of: Vec<_> = seconds.iter().map(|it| (Filled, 750, 1, *it)).collect();
        let pace = Tally::of(&presses(&of)).pace_ms;
        assert_eq!(pace, expected.map(|it| it * 1_000), "{seconds:?}");
    }

    #[test]
    fn the_pace_is_the_middle_of_the_gaps_so_that_a_pause_does_not_count() {
        check_pace(&[0], None);
        check_pace(&[0, 31], Some(31));
        check_pace(&[0, 30, 61, 661, 692, 724], Some(31));
    }

    #[test]
    fn a_bottle_taken_back_takes_its_time_with_it() {
        let tally = Tally::of(&presses(&[
            (Filled, 750, 1, 0),
            (Filled, 750, 1, 1),
            (Back, 750, 1, 2),
            (Filled, 750, 1, 30),
        ]));
        assert_eq!(tally.pace_ms, Some(30_000));
    }
}
