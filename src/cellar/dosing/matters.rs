//! Which of a calculator's inputs matter most for the wine at hand, so that they can be shown first.

use leesline_calc::registry::{Input, Need};

use super::known::{Known, Sign};
use super::wine;

/// How many inputs are shown before the rest is asked for, unless more of them cannot be left out.
const FEW: usize = 7;

/// The inputs in the order they matter, each with whether it is among the few.
///
/// What there is no answer without comes first, then what differs from wine to wine, then the rest; in
/// each the calculator's own order holds. Of inputs that stand for the same thing, the one that is
/// known stands for all. What the book has otherwise than the calculator would take it is never left out.
pub fn by_weight<'a>(known: Vec<(&'a Input, Known)>) -> Vec<(&'a Input, Known, bool)> {
    let told = |need: Need| {
        let mut group = known.iter().filter(|it| it.0.need == need);
        group.any(|it| !it.1.text.is_empty())
    };
    let weights: Vec<u8> = known
        .iter()
        .map(|(input, it)| match input.need {
            // Another line says it already.
            need @ Need::OneOf(_) if it.text.is_empty() && told(need) => 2,
            Need::Always | Need::OneOf(_) => 0,
            Need::Optional if wine::KEYS.contains(&input.key) => 1,
            Need::Optional => 2,
        })
        .collect();
    let mut weighed: Vec<(u8, (&'a Input, Known))> = weights.into_iter().zip(known).collect();
    weighed.sort_by_key(|(weight, _)| *weight);
    let few = |(at, (weight, (input, known)))| {
        let matters = at < FEW || weight == 0 || differs(input, &known);
        (input, known, matters)
    };
    weighed.into_iter().enumerate().map(few).collect()
}

/// Whether the book has it otherwise than the calculator would take it.
fn differs(input: &Input, known: &Known) -> bool {
    let Some(default) = input.default else {
        return known.given && !known.text.is_empty();
    };
    let number = |text: &str| text.parse::<f64>().ok();
    let same = match (number(default), number(&known.text)) {
        (Some(a), Some(b)) => (a - b).abs() < 1e-9,
        _ => default == known.text,
    };
    known.given && known.sign != Sign::Blank && !same
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cellar::dosing::Look;
    use leesline_calc::registry::find;

    /// The few of a calculator for a cellar that says nothing, in their order.
    fn check(calculator: &str, told: &[(&str, &str)], expected: &[&str]) {
        let calculator = find(calculator).unwrap();
        let known = calculator.inputs.iter().map(|input| {
            let told = told.iter().find(|(key, _)| *key == input.key);
            let known = match told {
                Some((_, text)) => Known::from_book(*text, "told"),
                None => Look::default_of(input),
            };
            (input, known)
        });
        let few = by_weight(known.collect());
        let few: Vec<&str> = few.iter().filter(|it| it.2).map(|it| it.0.key).collect();
        assert_eq!(few, expected);
    }

    const FEW: [&str; 7] = [
        "volume_l",
        "state",
        "wine",
        "ph",
        "free_so2_mg_l",
        "target_molecular_mg_l",
        "added_so_far_mg_l",
    ];

    #[test]
    fn what_differs_from_wine_to_wine_comes_first() {
        check("sulfite-dose", &[], &FEW);
    }

    #[test]
    fn what_is_owned_shows_where_it_is_not_the_usual() {
        let told = [("scale_step_g", "0.01"), ("syringe_step_ml", "0.50")];
        check(
            "sulfite-dose",
            &told,
            &[&FEW[..], &["scale_step_g"]].concat(),
        );
    }

    #[test]
    fn of_two_that_say_the_same_the_known_one_comes_first() {
        check("sugar", &[("brix", "24")], &["brix", "sg", "sugar_g_l"]);
    }
}
