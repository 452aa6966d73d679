//! Whether a ferment moves, from the gravities read so far. "Stuck" and "sluggish" are Bisson's words (author abstract, "Stuck and
//! sluggish fermentations").

use crate::gravity_curve::{DRY_WITHIN, Ferment};

/// How a ferment stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// It falls as it should.
    Moving,
    /// By its readings it has not fallen yet: it has not begun, or one of them is wrong.
    NotFallen,
    /// It falls too slowly.
    Sluggish,
    /// Near its end, and read the same over two days or more: it may be at its end or have stopped before it.
    Steady,
    /// It stands still above its end.
    Stuck,
    /// Within 0.002 of its end. A hydrometer proves no more than that.
    Dry,
}

impl State {
    /// In one word, as results give it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Moving => "moving",
            Self::NotFallen => "not-fallen",
            Self::Sluggish => "sluggish",
            Self::Steady => "steady",
            Self::Stuck => "stuck",
            Self::Dry => "dry",
        }
    }
}

/// The words of the states.
pub const STATE_WORDS: &[&str] = &["moving", "not-fallen", "sluggish", "steady", "stuck", "dry"];

/// Numbers by which a ferment is called slow or stuck.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Criteria {
    /// Stuck: within so little in gravity,
    pub stuck_fall: f64,
    /// over so many days and three readings or more,
    pub stuck_days: f64,
    /// more than this above its end.
    pub stuck_above_end: f64,
    /// Sluggish: by less than this a day,
    pub slow_per_day: f64,
    /// over so many days,
    pub slow_days: f64,
    /// more than this above its end.
    pub slow_above_end: f64,
    /// Late to begin: after so many days,
    pub lag_days: f64,
    /// fallen by less than this.
    pub lag_fall: f64,
}

/// House estimates. That a ferment is stuck when it stands still for more than 24 hours before it is dry, and sluggish below
/// 0.002 a day near its end, is a handbook's: Pambianchi, Modern Home Winemaking, "Stuck alcoholic fermentation". A day more is
/// asked for either, because a hydrometer is no surer than 0.001.
pub const CRITERIA: Criteria = Criteria {
    stuck_fall: 0.001,
    stuck_days: 3.0,
    stuck_above_end: 0.004,
    slow_per_day: 0.002,
    slow_days: 2.0,
    slow_above_end: 0.010,
    lag_days: 3.0,
    lag_fall: 0.003,
};

/// A twentieth of a step of the hydrometer: decimals are not exact, and no reading is as fine.
const DIGIT: f64 = 5e-5;

/// Readings within half a mark of a hydrometer are equal.
const EQUAL: f64 = 5e-4;

/// The first reading at which it was dry, by its place in the list.
pub fn dry_at(readings: &[(f64, f64)], end_sg: f64) -> Option<usize> {
    readings
        .iter()
        .position(|(_, sg)| *sg <= end_sg + DRY_WITHIN + DIGIT)
}

/// The fewest last readings that are at least so many and span at least so many days.
fn last(readings: &[(f64, f64)], count: usize, days: f64) -> Option<&[(f64, f64)]> {
    let end = readings.last()?.0;
    let at = readings.iter().rposition(|(day, _)| end - day >= days)?;
    let at = at.min(readings.len().checked_sub(count)?);
    Some(&readings[at..])
}

/// Gravity lost in a day, from the latest reading at least so many days before the last.
pub fn fall_per_day(readings: &[(f64, f64)], days: f64) -> Option<f64> {
    let ((from, before), (to, now)) = (*last(readings, 2, days)?.first()?, *readings.last()?);
    Some((before - now) / (to - from))
}

/// Gravity lost between the first and the last of some readings, by the straight line nearest to all of them.
pub(crate) fn fall(readings: &[(f64, f64)]) -> f64 {
    let count = readings.len() as f64;
    let mean = |of: fn(&(f64, f64)) -> f64| readings.iter().map(of).sum::<f64>() / count;
    let (day, sg) = (mean(|it| it.0), mean(|it| it.1));
    let both: f64 = readings.iter().map(|it| (it.0 - day) * (it.1 - sg)).sum();
    let square: f64 = readings.iter().map(|it| (it.0 - day).powi(2)).sum();
    let days = readings[readings.len() - 1].0 - readings[0].0;
    -both / square * days
}

/// From the lowest of some gravities to the highest.
fn spread(readings: &[(f64, f64)]) -> f64 {
    let highest = readings.iter().fold(f64::MIN, |most, it| it.1.max(most));
    let lowest = readings.iter().fold(f64::MAX, |least, it| it.1.min(least));
    highest - lowest
}

/// Whether these readings stand still: all within that, or their straight line falls no more.
fn stands(readings: &[(f64, f64)], within: f64) -> bool {
    spread(readings) <= within + DIGIT || fall(readings) <= within + DIGIT
}

/// Whether it has fallen by more than a must does before the yeast begins.
pub(crate) fn begun(start_sg: f64, now: f64, by: &Criteria) -> bool {
    start_sg - now >= by.lag_fall - DIGIT
}

/// Whether a ferment that has not fallen yet is late.
pub fn is_late(readings: &[(f64, f64)], by: &Criteria) -> bool {
    readings.last().is_some_and(|it| it.0 >= by.lag_days)
}

/// How a ferment stands at its last reading: readings are (days since the start, gravity) in order of days.
pub fn state(start_sg: f64, readings: &[(f64, f64)], end_sg: f64, by: &Criteria) -> State {
    let Some((_, now)) = readings.last().copied() else {
        return State::NotFallen;
    };
    if dry_at(&readings[readings.len() - 1..], end_sg).is_some() {
        return State::Dry;
    }
    if !begun(start_sg, now, by) {
        return State::NotFallen;
    }
    // One reading that errs is no sugar.
    let has_sugar = |it: &(f64, f64)| it.1 > end_sg + by.stuck_above_end + DIGIT;
    let still = last(readings, 3, by.stuck_days)
        .is_some_and(|it| stands(it, by.stuck_fall) && it.iter().all(has_sugar));
    if still {
        return State::Stuck;
    }
    let slow = fall_per_day(readings, by.slow_days).is_some_and(|it| it < by.slow_per_day - DIGIT);
    if slow && now > end_sg + by.slow_above_end + DIGIT {
        return State::Sluggish;
    }
    match last(readings, 2, by.slow_days) {
        Some(it) if slow && spread(it) <= EQUAL + DIGIT => State::Steady,
        _ => State::Moving,
    }
}

/// The days on which it is dry: one ferment in ten, half, and nine in ten. One that was read dry was so between two readings; one
/// that is stuck, has not begun, or has more likely stopped than not, has none, and where the curves are sure that it was dry by its last reading,
/// and it was not, they are wrong.
pub fn dry(
    stands: State,
    found: Option<&Ferment>,
    readings: &[(f64, f64)],
    end_sg: f64,
) -> Option<[f64; 3]> {
    const SURELY: f64 = 0.98;
    match stands {
        State::Dry => {
            let at = dry_at(readings, end_sg)?;
            let before = if at == 0 { 0.0 } else { readings[at - 1].0 };
            Some([before, readings[at].0, readings[at].0])
        }
        State::Stuck | State::NotFallen => None,
        State::Moving | State::Sluggish | State::Steady => {
            let (found, last) = (found?, readings.last()?.0);
            let is_late = found.dry_by(last) >= SURELY;
            let goes = found.stopped() <= 0.5;
            (goes && !is_late).then(|| [0.1, 0.5, 0.9].map(|chance| found.dry_day(chance, last)))
        }
    }
}

/// Whether it falls slower than a handbook likes: above 1.005 by less than 0.005 a day, below by less than 0.002. Source:
/// Pambianchi, Modern Home Winemaking, "Stuck alcoholic fermentation", which prints "a day" beside 24 hours only.
pub fn wants_watching(readings: &[(f64, f64)]) -> bool {
    let now = readings.last().map_or(0.0, |it| it.1);
    let least = if now > 1.005 { 0.005 } else { 0.002 };
    fall_per_day(readings, 1.0).is_some_and(|fall| fall < least - DIGIT)
}

#[cfg(test)]
mod hindcast;
#[cfg(test)]
mod tests {
    use super::*;

    fn check(readings: &[(f64, f64)], expected: State) {
        assert_eq!(
            state(1.090, readings, 0.994, &CRITERIA),
            expected,
            "{readings:?}"
        );
    }

    #[test]
    fn words_and_states_are_the_same_list() {
        let all = [
            State::Moving,
            State::NotFallen,
            State::Sluggish,
            State::Steady,
            State::Stuck,
            State::Dry,
        ];
        assert_eq!(all.map(State::word), STATE_WORDS);
    }

    #[test]
    fn a_ferment_is_called_by_the_numbers_of_its_rules() {
        check(&[(3.0, 1.060), (5.0, 1.030)], State::Moving);
        check(&[(8.0, 1.000), (14.0, 0.996)], State::Dry);
        check(&[(8.0, 1.000), (14.0, 0.997)], State::Moving);
        // Within 0.001 over three days, three readings; two readings or two days are not enough.
        check(&[(10.0, 1.021), (12.0, 1.020), (13.0, 1.020)], State::Stuck);
        check(
            &[(10.0, 1.022), (12.0, 1.020), (13.0, 1.020)],
            State::Sluggish,
        );
        check(&[(10.0, 1.020), (13.0, 1.020)], State::Sluggish);
        check(
            &[(10.0, 1.020), (11.0, 1.020), (11.5, 1.020)],
            State::Moving,
        );
        // Steady, but at most 0.004 above its end; or near it by two readings.
        check(
            &[(20.0, 0.998), (22.0, 0.998), (24.0, 0.998)],
            State::Steady,
        );
        check(&[(20.0, 0.998), (30.0, 0.998)], State::Steady);
        check(&[(20.0, 1.002), (22.0, 1.002)], State::Steady);
        check(&[(20.0, 0.999), (22.0, 0.998)], State::Moving);
        check(&[(20.0, 0.998), (21.0, 0.998)], State::Moving);
        check(&[(20.0, 0.999), (22.0, 0.999), (24.0, 0.999)], State::Stuck);
        // Readings a week apart are as good as readings of a day.
        check(&[(10.0, 1.020), (17.0, 1.020)], State::Sluggish);
        check(&[(10.0, 1.020), (17.0, 1.020), (24.0, 1.020)], State::Stuck);
        // Readings that waver by more than a step stand still where their line does.
        let wavers = [1.020, 1.022, 1.020, 1.021];
        let wavers: Vec<(f64, f64)> = (10..).map(f64::from).zip(wavers).collect();
        check(&wavers, State::Stuck);
        // A must that has not begun is not stuck, however long that is, and one that was only read higher does not move.
        check(
            &[(1.0, 1.090), (3.0, 1.090), (4.0, 1.090)],
            State::NotFallen,
        );
        check(&[(1.0, 1.091), (2.0, 1.093)], State::NotFallen);
        check(&[], State::NotFallen);
        // 0.002 a day is fast enough, and near its end any fall is.
        check(&[(10.0, 1.024), (12.0, 1.020)], State::Moving);
        check(&[(10.0, 1.023), (12.0, 1.020)], State::Sluggish);
        check(&[(10.0, 1.006), (12.0, 1.004)], State::Moving);
        check(&[(1.0, 1.090), (2.0, 1.088)], State::NotFallen);
        check(&[(3.0, 1.087)], State::Moving);
    }

    #[test]
    fn nothing_after_three_days_is_late() {
        assert!(is_late(&[(1.0, 1.090), (3.0, 1.088)], &CRITERIA));
        assert!(!is_late(&[(1.0, 1.090), (2.0, 1.088)], &CRITERIA));
    }

    #[test]
    fn the_handbook_asks_for_a_watch_sooner() {
        assert!(wants_watching(&[(4.0, 1.040), (5.0, 1.036)]));
        assert!(!wants_watching(&[(4.0, 1.040), (5.0, 1.035)]));
        assert!(wants_watching(&[(9.0, 1.005), (10.0, 1.004)]));
        assert!(!wants_watching(&[(9.0, 1.006), (10.0, 1.004)]));
        assert!(!wants_watching(&[(9.0, 1.006)]));
    }

    #[test]
    fn the_first_dry_reading_is_found() {
        assert_eq!(
            dry_at(&[(8.0, 1.0), (12.0, 0.996), (14.0, 0.995)], 0.994),
            Some(1)
        );
        assert_eq!(dry_at(&[(8.0, 1.0)], 0.994), None);
    }
}
