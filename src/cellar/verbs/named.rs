//! What the words of a step take: the substances that the book knows, and of each the amount said beside it.

use super::Form;
use super::additions::in_its_form;
use super::apart::amount_at;
use super::doses::{amount_of, packets};
use super::lots::lots_of;
use crate::cellar::entry::Dose;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::substance::{self, Substance};

/// A substance that words name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Named {
    /// Which, as the book calls it.
    pub substance: &'static str,
    /// How much; `None` where nobody said, or in a way that has no weight.
    pub amount: Option<Dose>,
}

/// Behind an amount these make a rate of it, and what it comes to is not said.
const EACH: &[&str] = &["per", "a", "each", "every", "/"];

/// A name has at most so many words.
const NAME_WORDS: usize = 3;

/// The substances that words name, in their order: `yeast 5 g`, `5 g sorbate and 2 g of sulfite`.
pub fn named(words: &str, cellar: &Snapshot) -> Vec<Named> {
    let words = words.to_lowercase();
    let mut clauses: Vec<Vec<&str>> = vec![Vec::new()];
    for word in words.split_whitespace() {
        let bare = word.trim_matches(['(', ')', ',', ';', ':', '.', '!']);
        clauses.extend(word.starts_with('(').then(Vec::new));
        if let Some(last) = clauses.last_mut().filter(|_| !bare.is_empty()) {
            last.push(bare);
        }
        let ends = word.ends_with([',', ';', ')', '.']) || bare.is_empty();
        clauses.extend(ends.then(Vec::new));
    }
    clauses
        .iter()
        .flat_map(|it| of_clause(it, cellar))
        .collect()
}

/// A part of words: so many from there on.
enum Part {
    Amount(String),
    Substance(&'static str),
    Other,
}

fn of_clause(words: &[&str], cellar: &Snapshot) -> Vec<Named> {
    let mut parts = Vec::new();
    let mut at = 0;
    while at < words.len() {
        let (part, length) = part(&words[at..]);
        parts.extend(part);
        at += length;
    }
    let mut all = Vec::new();
    let mut taken = None;
    for (at, part) in parts.iter().enumerate() {
        let Part::Substance(substance) = part else {
            continue;
        };
        let amount = |at: usize| match parts.get(at) {
            Some(Part::Amount(text)) => Some((at, text)),
            _ => None,
        };
        let before = at.checked_sub(1).and_then(amount);
        let beside = before
            .filter(|it| taken != Some(it.0))
            .or_else(|| amount(at + 1));
        taken = beside.map(|it| it.0).or(taken);
        let said = beside.map(|it| it.1.as_str());
        all.extend(of(substance, said, cellar));
    }
    all
}

/// What the first of the words are, if that matters, and how many they are.
fn part(words: &[&str]) -> (Option<Part>, usize) {
    if let Some(length) = amount_at(words) {
        let is_rate = words.get(length).is_some_and(|it| EACH.contains(it));
        let part = if is_rate {
            Part::Other
        } else {
            Part::Amount(words[..length].join(" "))
        };
        return (Some(part), length);
    }
    let longest = (1..=NAME_WORDS.min(words.len())).rev();
    let mut names = longest.filter_map(|it| Some((called(&words[..it].join(" "))?, it)));
    match names.next() {
        Some((known, length)) => (Some(Part::Substance(known.name)), length),
        // `5 g of sugar` is the sugar's.
        None if words.first() == Some(&"of") => (None, 1),
        None => (Some(Part::Other), 1),
    }
}

/// A salt may be called without its potassium.
fn called(name: &str) -> Option<&'static Substance> {
    let of_potassium = || substance::known(&format!("potassium-{name}"));
    substance::called(name).or_else(of_potassium)
}

fn of(substance: &'static str, said: Option<&str>, cellar: &Snapshot) -> Option<Named> {
    let known = substance::known(substance)?;
    let Some(text) = said else {
        return Some(Named {
            substance,
            amount: None,
        });
    };
    // A number alone counts what is counted; beside what is weighed it is a strain of yeast, or lacks its unit.
    let is_bare = text.parse::<f64>().is_ok();
    if is_bare && !matches!(known.unit, "count" | "millitablet") {
        return of(substance, None, cellar);
    }
    let form = Form::of([("amount", text)]);
    let substance = in_its_form(known.name, &form, "amount");
    // Of what the book has none of, a packet is as good a measure as any.
    let is_new = lots_of(substance, cellar).next().is_none();
    let amount = packets(text).filter(|_| is_new);
    let amount = amount.or_else(|| amount_of(&form, "amount", substance, cellar).ok().flatten());
    Some(Named { substance, amount })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cellar::amount::Mass;
    use crate::cellar::attention::trial::Cellar;

    fn check(words: &str, expected: &[(&str, Option<Dose>)]) {
        let cellar = Cellar::with_vessel(23.0, 20.0);
        let found = named(words, &cellar.0);
        let found: Vec<_> = found.iter().map(|it| (it.substance, it.amount)).collect();
        assert_eq!(found, expected, "{words}");
    }

    #[test]
    fn a_step_takes_of_each_substance_the_amount_said_beside_it() {
        let g = |it: f64| Some(Dose::Mass(Mass::grams(it)));
        check("yeast 5 g", &[("yeast", g(5.0))]);
        check("nutrient 10 g", &[("yeast-nutrient", g(10.0))]);
        check("sulfite 2 g", &[("potassium-metabisulfite", g(2.0))]);
        check("add 5g of sorbate", &[("potassium-sorbate", g(5.0))]);
        check("Bentonite: 20 g.", &[("bentonite", g(20.0))]);
        check("bicarbonate 5 g", &[("potassium-bicarbonate", g(5.0))]);
        check("citric acid 0.03 kg", &[("citric-acid", g(30.0))]);
        let both = [
            ("potassium-sorbate", g(5.0)),
            ("potassium-metabisulfite", g(2.0)),
        ];
        check("rack, sorbate 5 g and sulfite 2 g", &both);
        check("5 g sorbate 2 g sulfite", &both);
        check("yeast 1 packet", &[("yeast", Some(Dose::Packets(1)))]);
        check(
            "3 campden tablets",
            &[("sulfite-tablet", Some(Dose::Tablets(3000)))],
        );
        check(
            "cork with 30 corks",
            &[("cork", None), ("cork", Some(Dose::Count(30)))],
        );
    }

    #[test]
    fn what_is_no_amount_of_it_is_not_taken_as_one() {
        check(
            "sorbate, 5 g bentonite",
            &[
                ("potassium-sorbate", None),
                ("bentonite", Some(Dose::Mass(Mass::grams(5.0)))),
            ],
        );
        // A rate is no amount, and a spoon of sorbate has no weight here.
        check("bentonite 5 g per 10 L", &[("bentonite", None)]);
        check("yeast 1118", &[("yeast", None)]);
        check("bentonite 1 g/L", &[("bentonite", None)]);
        check("sorbate 1/2 tsp", &[("potassium-sorbate", None)]);
        check("rack to 23 L at 18 C", &[]);
    }
}
