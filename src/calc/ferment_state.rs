//! Whether a ferment moves, from the gravities read so far. The numbers are house estimates but for the watch, which is a
//! handbook's; "stuck" and "sluggish" themselves are Bisson's words (author abstract, "Stuck and sluggish fermentations").

use crate::gravity_curve::DRY_WITHIN;

/// How a ferment stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// It falls as it should.
    Moving,
    /// It falls by less than 0.002 a day over two days, 0.010 or more above its end; or by less than 0.003 in the first three.
    Sluggish,
    /// Three readings over three days within 0.001, more than 0.004 above its end.
    Stuck,
    /// Within 0.002 of its end. A hydrometer proves no more than that.
    Dry,
}

impl State {
    /// In one word, as results give it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Moving => "moving",
            Self::Sluggish => "sluggish",
            Self::Stuck => "stuck",
            Self::Dry => "dry",
        }
    }
}

/// The words of the states.
pub const STATE_WORDS: &[&str] = &["moving", "sluggish", "stuck", "dry"];

/// A twentieth of a step of the hydrometer: decimals are not exact, and no reading is as fine.
const DIGIT: f64 = 5e-5;

/// The first reading at which it was dry, by its place in the list.
pub fn dry_at(readings: &[(f64, f64)], end_sg: f64) -> Option<usize> {
    readings
        .iter()
        .position(|(_, sg)| *sg <= end_sg + DRY_WITHIN + DIGIT)
}

/// The latest reading at least so many days before the last one, and all after it.
fn since(readings: &[(f64, f64)], days: f64) -> Option<&[(f64, f64)]> {
    let last = readings.last()?.0;
    let at = readings.iter().rposition(|(day, _)| last - day >= days)?;
    Some(&readings[at..])
}

/// Gravity lost in a day, from the latest reading at least so many days before the last.
pub fn fall_per_day(readings: &[(f64, f64)], days: f64) -> Option<f64> {
    let ((from, before), (to, now)) = (*since(readings, days)?.first()?, *readings.last()?);
    Some((before - now) / (to - from))
}

/// How a ferment stands at its last reading: readings are (days since the start, gravity) in order of days.
pub fn state(start_sg: f64, readings: &[(f64, f64)], end_sg: f64) -> State {
    let Some((day, now)) = readings.last().copied() else {
        return State::Moving;
    };
    if dry_at(&readings[readings.len() - 1..], end_sg).is_some() {
        return State::Dry;
    }
    let still = since(readings, 3.0).is_some_and(|it| {
        let highest = it.iter().fold(f64::MIN, |most, it| it.1.max(most));
        let lowest = it.iter().fold(f64::MAX, |least, it| it.1.min(least));
        it.len() >= 3 && highest - lowest <= 0.001 + DIGIT
    });
    if still && now > end_sg + 0.004 + DIGIT {
        return State::Stuck;
    }
    let slow = fall_per_day(readings, 2.0).is_some_and(|fall| fall < 0.002 - DIGIT);
    let not_begun = day >= 3.0 && start_sg - now < 0.003 - DIGIT;
    if not_begun || (slow && now > end_sg + 0.010 + DIGIT) {
        return State::Sluggish;
    }
    State::Moving
}

/// Whether it falls slower than a handbook likes: above 1.005 by less than 0.005 a day, below by less than 0.002. Source:
/// Pambianchi, Modern Home Winemaking, "Stuck alcoholic fermentation", which prints "a day" beside 24 hours only.
pub fn wants_watching(readings: &[(f64, f64)]) -> bool {
    let now = readings.last().map_or(0.0, |it| it.1);
    let least = if now > 1.005 { 0.005 } else { 0.002 };
    fall_per_day(readings, 1.0).is_some_and(|fall| fall < least - DIGIT)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(readings: &[(f64, f64)], expected: State) {
        assert_eq!(state(1.090, readings, 0.994), expected, "{readings:?}");
    }

    #[test]
    fn words_and_states_are_the_same_list() {
        let all = [State::Moving, State::Sluggish, State::Stuck, State::Dry];
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
        // Steady, but at most 0.004 above its end.
        check(
            &[(20.0, 0.998), (22.0, 0.998), (24.0, 0.998)],
            State::Moving,
        );
        check(&[(20.0, 0.999), (22.0, 0.999), (24.0, 0.999)], State::Stuck);
        // 0.002 a day is fast enough, and near its end any fall is.
        check(&[(10.0, 1.024), (12.0, 1.020)], State::Moving);
        check(&[(10.0, 1.023), (12.0, 1.020)], State::Sluggish);
        check(&[(10.0, 1.006), (12.0, 1.004)], State::Moving);
        // Nothing after three days is slow, after two it is a lag.
        check(&[(1.0, 1.090), (3.0, 1.088)], State::Sluggish);
        check(&[(1.0, 1.090), (2.0, 1.088)], State::Moving);
        check(&[(3.0, 1.087)], State::Moving);
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
