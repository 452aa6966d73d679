//! A dose as the owned tool gives it: in steps of the scale, marks of the syringe, whole tablets.

use leesline_calc::Answer;
use leesline_calc::quantity::{Quantity, Units, show};

/// The nearest amount that a tool of that step gives; one step at least, so that it is never nothing.
fn stepped(amount: f64, step: Option<f64>) -> f64 {
    match step {
        // A binary fraction times a step is not quite the step's decimal; a thousandth is enough.
        Some(step) if step > 0.0 && amount > 0.0 => {
            ((amount / step).round().max(1.0) * step * 1e6).round() / 1e6
        }
        _ => amount,
    }
}

/// A result of a dose as its tool gives it. A scale or tablets too coarse to be offered first round
/// nothing: what is said of them is what a finer one would give.
pub fn given(answer: &Answer, key: &str) -> Option<f64> {
    let amount = answer.number(key)?;
    let step = |key: &str| answer.inputs.number(key);
    Some(match (key, answer.results.text("first_form")) {
        ("metabisulfite_g" | "half_now_g", Some("weigh")) => stepped(amount, step("scale_step_g")),
        ("solution_ml" | "half_now_ml", _) => stepped(amount, step("syringe_step_ml")),
        ("tablets", Some("tablets")) => stepped(amount, Some(1.0)),
        _ => amount,
    })
}

/// Half of so many tablets, which are not broken.
pub fn half_of_tablets(all: f64) -> f64 {
    (all / 2.0).ceil()
}

/// An amount in words, without noughts that no tool shows.
pub fn bare(quantity: Quantity, amount: f64, units: Units) -> String {
    if quantity == Quantity::SmallVolume {
        // Syringes are marked in millilitres everywhere.
        return format!("{} mL", (amount * 1e3).round() / 1e3);
    }
    let shown = show(quantity, amount, &units);
    let Some((number, unit)) = shown.split_once(' ') else {
        return trimmed(&shown).to_owned();
    };
    // What a fine scale shows is not cut to the digits of a figure worked out.
    let exact = (amount * 1e6).round() / 1e6;
    let fine = unit == "g" && (exact * 1e3).fract() == 0.0;
    if fine {
        return format!("{exact} {unit}");
    }
    format!("{} {unit}", trimmed(number))
}

fn trimmed(number: &str) -> &str {
    if number.contains('.') {
        number.trim_end_matches('0').trim_end_matches('.')
    } else {
        number
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_step_is_never_rounded_to_nothing() {
        for (amount, step, expected) in [
            (14.2, Some(0.5), 14.0),
            (0.1, Some(0.5), 0.5),
            (0.123, None, 0.123),
        ] {
            let found = stepped(amount, step);
            assert!(
                (found - expected).abs() < 1e-12,
                "{found} is not {expected}"
            );
        }
    }

    #[test]
    fn no_needless_nought_is_said() {
        let check = |quantity, amount, expected: &str| {
            assert_eq!(bare(quantity, amount, Units::default()), expected);
        };
        check(Quantity::SmallVolume, 7.5, "7.5 mL");
        check(Quantity::SmallVolume, 14.0, "14 mL");
        check(Quantity::Mass, 4.0, "4 g");
        check(Quantity::Mass, 12.35, "12.35 g");
        check(Quantity::Mass, 0.05, "50 mg");
        check(Quantity::Mass, 100.0, "100 g");
        check(Quantity::Mass, 0.654_7, "0.65 g");
        check(Quantity::Number, 2.0, "2");
    }
}
