//! Sugar that went in while a ferment ran: what was read before it is taken higher by what it brought.

use super::super::acid_inputs::refused;
use super::super::dated::readings;
use super::super::strengthen_inputs::SUGAR_ROOM;
use crate::answer::Answer;
use crate::day::Day;
use crate::error::CalcError;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::strengthen::{SUGAR_ML_PER_G, sugared};

/// What anyone adds to a litre of must at once, g.
const G_L: (f64, f64) = (0.1, 500.0);

/// Days and grams for each litre of must, in order of days.
pub(super) fn given(inputs: &Inputs, started: f64) -> Result<Vec<(f64, f64)>, CalcError> {
    if inputs.text("sugar").is_none() {
        return Ok(Vec::new());
    }
    let form = "date:g/L, such as 2026-10-06:40";
    let given = readings(inputs, "sugar", Quantity::GramsPerLitre, G_L, form)?;
    match given.first() {
        Some((day, _)) if *day < started => Err(refused(
            "sugar",
            format!(
                "{} is before the start of {}: give the gravity that it had with it as the start",
                Day(*day),
                Day(started)
            ),
        )),
        _ => Ok(given),
    }
}

/// How much each raised gravity, by the last reading before it; one of the same day came before it. Readings in order of days.
fn rises(start: f64, read: &[(f64, f64)], given: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut rises: Vec<(f64, f64)> = Vec::new();
    for &(day, grams) in given {
        let last = read.iter().rfind(|it| it.0 <= day);
        let since = last.map_or(f64::MIN, |it| it.0);
        let meanwhile = rises.iter().filter(|it| it.0 >= since).map(|it| it.1);
        let before = last.map_or(start, |it| it.1) + meanwhile.sum::<f64>();
        let litres = 1.0 + grams * SUGAR_ML_PER_G / 1e3;
        rises.push((day, sugared(before, grams, 0.0, litres) - before));
    }
    rises
}

/// The start and the readings, each higher by what went in after it; and says so.
pub(super) fn counted(
    start: f64,
    read: &[(f64, f64)],
    given: &[(f64, f64)],
    answer: &mut Answer,
) -> (f64, Vec<(f64, f64)>) {
    let mut read = read.to_vec();
    read.sort_by(|one, other| one.0.total_cmp(&other.0));
    let rises = rises(start, &read, given);
    for ((day, grams), (_, rise)) in given.iter().zip(&rises) {
        answer.work(
            "sugar",
            format!(
                "{grams:.0} g in each litre on {} raise gravity by {rise:.4}, and what was read by then is taken so much higher",
                Day(*day)
            ),
        );
    }
    if !given.is_empty() {
        answer.source(SUGAR_ROOM);
    }
    let after = |then: f64| {
        let later = rises.iter().filter(|it| it.0 >= then);
        later.map(|it| it.1).sum::<f64>()
    };
    let start = start + after(f64::MIN);
    let read = read.iter().map(|it| (it.0, it.1 + after(it.0))).collect();
    (start, read)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Units;

    /// A litre at 1.040 weighs 1038.13 g; with 75 g of sugar it is 1.0465 L of 1113.13 g, 1.0656 times the water of 1044.62.
    #[test]
    fn sugar_raises_what_was_read_before_it() {
        let read = [(3.0, 1.080), (6.0, 1.040), (9.0, 1.045)];
        let found = rises(1.090, &read, &[(6.0, 75.0)]);
        assert!((found[0].1 - 0.0256).abs() < 1e-4, "{found:?}");
        // Half and half come to the same, the second on top of the first.
        let halves = rises(1.090, &read, &[(6.0, 37.5), (7.0, 37.5)]);
        let sum: f64 = halves.iter().map(|it| it.1).sum();
        assert!((sum - 0.0256).abs() < 5e-4, "{halves:?}");
    }

    fn fit(start: &str, readings: &str, sugar: Option<&str>) -> Answer {
        let mut given = vec![
            ("started", "2026-10-01"),
            ("start-sg", start),
            ("readings", readings),
        ];
        given.extend(sugar.map(|it| ("sugar", it)));
        let found = crate::registry::find("ferment-fit").unwrap();
        found.ask(&given, &Units::default()).unwrap()
    }

    /// By hand: 1.040 rises by 0.02559, and with it all that was read by then.
    #[test]
    fn the_fit_is_that_of_readings_taken_so_much_higher() {
        let read = "2026-10-03:1.080, 2026-10-06:1.040, 2026-10-09:1.045, 2026-10-11:1.030";
        let raised = "2026-10-03:1.10559, 2026-10-06:1.06559, 2026-10-09:1.045, 2026-10-11:1.030";
        let told = fit("1.090", read, Some("2026-10-06:75"));
        let by_hand = fit("1.11559", raised, None);
        for key in ["dry_days_low", "dry_days", "dry_days_high"] {
            let [one, other] = [&told, &by_hand].map(|it| it.number(key).unwrap());
            assert!((one - other).abs() < 0.02, "{key}: {one} {other}");
        }
        let rose = |answer: &Answer| {
            let mut cautions = answer.cautions.iter();
            cautions.any(|it| it.sentence.contains("Gravity rose"))
        };
        assert!(!rose(&told) && rose(&fit("1.090", read, None)));
    }

    #[test]
    fn sugar_from_before_the_start_is_refused() {
        let found = crate::registry::find("ferment-fit").unwrap();
        let given = [
            ("started", "2026-10-01"),
            ("readings", "2026-10-03:1.080, 2026-10-06:1.040"),
            ("sugar", "2026-09-30:20"),
        ];
        assert!(found.ask(&given, &Units::default()).is_err());
    }
}
