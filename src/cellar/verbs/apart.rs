//! An amount said in one breath with what it is of: `2 packets of yeast`, `corks 30`, `sulfite 1.5 g`.

use leesline_calc::quantity::{Quantity, Units, parse};

use super::additions::{substance_named, unit_of};
use super::loose::in_figures;
use super::{Form, Refusal};
use crate::cellar::substance;

/// Words that stand behind the number of an amount.
const UNITS: &[&str] = &[
    "g",
    "gram",
    "grams",
    "kg",
    "mg",
    "oz",
    "lb",
    "lbs",
    "ml",
    "cl",
    "l",
    "litre",
    "litres",
    "gal",
    "gallon",
    "gallons",
    "pint",
    "pints",
    "tsp",
    "teaspoon",
    "teaspoons",
    "packet",
    "packets",
    "sachet",
    "sachets",
    "pack",
    "packs",
    "tablet",
    "tablets",
    "piece",
    "pieces",
];

/// The form with the amount taken out of the words in `key`, where none was given by itself. What is no
/// amount for sure stays a part of the name.
pub(super) fn apart(form: &Form, key: &str) -> Form {
    let parted = match (form.get(key), form.get("amount")) {
        (Some(words), None) => parted(words),
        _ => None,
    };
    let Some((name, amount)) = parted else {
        return form.clone();
    };
    let others = form.pairs().filter(|(it, _)| *it != key);
    let mut form = Form::of(others);
    form.put(key, &name);
    form.put("amount", &amount);
    form
}

/// The name and the amount; the name is empty where the words are an amount and nothing else.
fn parted(words: &str) -> Option<(String, String)> {
    if substance::known(&substance_named(words)).is_some() {
        return None;
    }
    let tokens: Vec<&str> = words.split_whitespace().collect();
    (0..tokens.len()).find_map(|at| {
        let length = amount_at(&tokens[at..])?;
        let (before, after) = (&tokens[..at], &tokens[at + length..]);
        let after = after.strip_prefix(&["of"]).unwrap_or(after);
        let name = [before, after].concat().join(" ");
        let amount = tokens[at..at + length].join(" ");
        // A number alone is an amount of what is counted, and else part of a name.
        let is_bare = amount.parse::<f64>().is_ok();
        let is_counted = matches!(unit_of(&substance_named(&name)), "count" | "millitablet");
        (!is_bare || is_counted).then_some((name, amount))
    })
}

/// Whether the words are an amount and nothing else, such as `5 kg`, and so name nothing. A volume is what people call a
/// vessel, or empty bottles, by their size.
pub(super) fn is_amount(words: &str) -> bool {
    let tokens: Vec<&str> = words.split_whitespace().collect();
    let is_number = words.trim().parse::<f64>().is_ok();
    let is_size = || parse(Quantity::Volume, words, &Units::default()).is_ok();
    let is_amount = !tokens.is_empty() && amount_at(&tokens) == Some(tokens.len());
    is_amount && !is_number && !is_size()
}

/// Refuses words that say how much and not of what, and a number without a unit beside what is weighed: it
/// would be taken as part of the name. Strains of yeast have numbers.
pub(super) fn names_something(words: &str, name: &str, key: &'static str) -> Result<(), Refusal> {
    if name.trim().is_empty() {
        return Err(Refusal::input(
            key,
            format!("`{words}` is an amount; say of what, such as `{words} of sugar`."),
        ));
    }
    let begins_with_digit = |it: &&str| it.starts_with(|it: char| it.is_ascii_digit());
    let (numbers, others): (Vec<&str>, Vec<&str>) =
        name.split_whitespace().partition(begins_with_digit);
    let known = substance::known(&substance_named(&others.join(" ")));
    let is_weighed = known.is_some_and(|it| matches!(it.unit, "ug" | "ul") && it.name != "yeast");
    match numbers.first() {
        Some(number) if is_weighed => Err(Refusal::input(
            key,
            format!(
                "`{number}` of {} has no unit that is known here; say it, such as `100 g`.",
                others.join(" ")
            ),
        )),
        _ => Ok(()),
    }
}

/// Whether a word stands behind the number of an amount, such as `g` or `packets`.
pub fn is_unit(word: &str) -> bool {
    UNITS.contains(&&*word.to_lowercase())
}

/// How many of the first words are an amount, if they begin with one.
pub(super) fn amount_at(tokens: &[&str]) -> Option<usize> {
    let first = tokens.first()?.to_lowercase();
    let is_unit = |it: Option<&&str>| it.is_some_and(|it| is_unit(it));
    if first.starts_with(|it: char| it.is_ascii_digit()) {
        let unit = first.trim_start_matches(|it: char| it.is_ascii_digit() || "./,".contains(it));
        let is_fraction = tokens.get(1).is_some_and(|it| it.contains('/'));
        return match unit {
            "" if is_fraction && is_unit(tokens.get(2)) => Some(3),
            "" if is_unit(tokens.get(1)) => Some(2),
            "" => Some(1),
            unit => UNITS.contains(&unit).then_some(1),
        };
    }
    // `a packet`, `two packets`.
    let is_number = in_figures(&format!("{first} g")) != format!("{first} g");
    (is_number && is_unit(tokens.get(1))).then_some(2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_an_amount_and_nothing_else_is_no_name() {
        for amount in ["5 kg", "5kg", "2 packets", "a packet"] {
            assert!(is_amount(amount), "{amount}");
        }
        for name in [
            "12",
            "71B",
            "Demijohn 5 L",
            "A 5",
            "a",
            "D47",
            "5 gal",
            "750 mL",
        ] {
            assert!(!is_amount(name), "{name}");
        }
    }

    #[test]
    fn an_amount_is_told_from_the_name_where_it_is_one_for_sure() {
        let check = |words: &str, expected: Option<(&str, &str)>| {
            let found = parted(words);
            let found = found.as_ref().map(|it| (it.0.as_str(), it.1.as_str()));
            assert_eq!(found, expected, "{words}");
        };
        check("yeast 2 packets", Some(("yeast", "2 packets")));
        check("2 packets of yeast", Some(("yeast", "2 packets")));
        check("a packet of bentonite", Some(("bentonite", "a packet")));
        check("two packets yeast", Some(("yeast", "two packets")));
        check("sulfite 1.5 g", Some(("sulfite", "1.5 g")));
        check("25g sorbate", Some(("sorbate", "25g")));
        check(
            "pectic enzyme 1 1/2 tsp",
            Some(("pectic enzyme", "1 1/2 tsp")),
        );
        check("corks 30", Some(("corks", "30")));
        check("30 corks", Some(("corks", "30")));
        check("50 campden tablets", Some(("campden tablets", "50")));
        check("1 packet", Some(("", "1 packet")));
        // Strains of yeast and sizes of caps are names.
        check("71B", None);
        check("D47", None);
        check("yeast 71B", None);
        check("71B 5 g", Some(("71B", "5 g")));
        check("crown 29", None);
        check("yeast 1118", None);
        check("elderflower", None);
    }
}
