//! What the presses of a run come to.

use std::collections::BTreeMap;

use super::Package;
use crate::cellar::amount::Volume;
use crate::cellar::entry::{FillEvent, Filling};

/// Presses whose times the pace is taken from.
const LAST: usize = 12;

/// Nobody fills and closes a bottle in less, ms: such presses are of bottles filled before. House estimate.
const QUICKEST_MS: i64 = 5_000;
/// What lies further apart had a pause in between, ms. House estimate.
const PAUSE_MS: i64 = 10 * 60_000;

/// What the presses of a run come to.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// Bottles that stand filled, by size in mL.
    pub standing: BTreeMap<i64, i64>,
    /// Wine spilled.
    pub spilled: Volume,
    /// Wine drawn to taste.
    pub drawn: Volume,
    /// Full bottles that broke.
    pub broken: i64,
    /// Closures that would not go in or hold.
    pub refused: i64,
    /// From one bottle to the next, ms: the median of the last dozen, so that a pause for the door
    /// does not make it slow.
    pub pace_ms: Option<i64>,
    /// The last press, UTC ms.
    pub last_ms: Option<i64>,
}

impl Tally {
    /// Of the presses of one run, in order.
    pub fn of(fillings: &[Filling]) -> Tally {
        let mut tally = Tally::default();
        // When each bottle that stands was closed, one press each.
        let mut closed: Vec<i64> = Vec::new();
        for press in fillings {
            *tally.standing.entry(press.size_ml).or_default() += press.standing();
            match press.event {
                FillEvent::Filled if press.count == 1 => closed.push(press.at_ms),
                FillEvent::Back => _ = closed.pop(),
                _ => {}
            }
            let wine = |count: i64| Volume::millilitres(press.size_ml * count);
            match press.mishap() {
                Some((FillEvent::Spilled, count)) => tally.spilled += wine(count),
                Some((FillEvent::Drawn, count)) => tally.drawn += wine(count),
                Some((FillEvent::Broken, count)) => tally.broken += count,
                Some((_, count)) => tally.refused += count,
                None => {}
            }
            tally.last_ms = Some(press.at_ms);
        }
        tally.standing.retain(|_, count| *count != 0);
        tally.pace_ms = pace(&closed);
        tally
    }

    /// Bottles that stand filled, of all sizes.
    pub fn bottles(&self) -> i64 {
        self.standing.values().sum()
    }

    /// Whether nothing is left of the presses: all were taken back.
    pub fn is_nothing(&self) -> bool {
        let wine = self.spilled + self.drawn;
        self.standing.is_empty() && wine == Volume::ZERO && self.broken == 0 && self.refused == 0
    }

    /// `28 × 750 mL, 1 × 375 mL`.
    pub fn sizes(&self, package: Package) -> String {
        let sizes = self.standing.iter().rev();
        let sizes: Vec<String> = sizes
            .map(|(size, count)| package.times(*count, *size))
            .collect();
        sizes.join(", ")
    }
}

fn pace(closed: &[i64]) -> Option<i64> {
    let gaps = closed.windows(2).map(|it| it[1] - it[0]);
    let is_work = |gap: &i64| (QUICKEST_MS..=PAUSE_MS).contains(gap);
    let mut gaps: Vec<i64> = gaps.rev().take(LAST).filter(is_work).collect();
    gaps.sort_unstable();
    let middle = gaps.len() / 2;
    gaps.get(middle).copied()
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

    use FillEvent::{Back, Broken, Drawn, Filled, Refused, Spilled};

    #[test]
    fn presses_come_to_bottles_by_size() {
        let tally = Tally::of(&presses(&[
            (Filled, 750, 10, 0),
            (Filled, 750, 1, 30),
            (Back, 750, 1, 31),
            (Filled, 375, 1, 60),
            (Broken, 750, 1, 70),
            (Spilled, 100, 1, 71),
            (Drawn, 150, 1, 71),
            (Refused, 750, 1, 72),
        ]));
        assert_eq!(tally.sizes(Package::Bottle), "9 × 750 mL, 1 × 375 mL");
        assert_eq!((tally.bottles(), tally.broken, tally.refused), (10, 1, 1));
        assert_eq!(
            (tally.spilled, tally.drawn),
            (Volume::millilitres(100), Volume::millilitres(150))
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
        check_pace(&[0, 4_800], None);
        check_pace(&[0, 2, 4, 6], None);
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
