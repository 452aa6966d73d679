//! What an answer comes to, in the words of a kitchen: the figure to give, the other ways to give
//! it, what it adds.

use leesline_calc::Answer;
use leesline_calc::quantity::{Quantity, Units, show};
use leesline_calc::registry::{Calculator, ResultSpec};

use super::entry::Part;
use crate::cellar::dosing::{bare, given, half, spoon_share};

/// An answer to be read at a glance.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Figure {
    /// What to do with it: `weigh`.
    pub(super) verb: &'static str,
    /// To be drawn large; empty where there is none to give.
    pub(super) number: String,
    pub(super) unit: String,
    /// How far it may be off: `0.40–1.20 g`.
    pub(super) band: Option<String>,
    /// The other ways to give it, or the other results.
    pub(super) ways: Vec<String>,
    /// What it adds, stays, comes to.
    pub(super) sums: Vec<String>,
    /// How it stands to half of the dose or all.
    pub(super) other: Option<String>,
}

/// Said instead of a figure, for a wine that should wait.
pub(super) const NOT_NOW: &str = "not now";

/// The result that stands large: the form to give it in, else the first that is a number.
pub(super) fn main_result(calculator: &Calculator, answer: &Answer) -> Option<&'static str> {
    let first = || {
        let mut keys = calculator.results.iter().map(|it| it.key);
        keys.find(|key| answer.number(key).is_some())
    };
    main_form(answer).or_else(first)
}

/// The form to give a dose in.
fn main_form(answer: &Answer) -> Option<&'static str> {
    answer.results.text("first_form").map(|form| match form {
        "solution" => "solution_ml",
        "tablets" => "tablets",
        "teaspoon" => "teaspoons",
        _ => "metabisulfite_g",
    })
}

/// The figure of an answer, with how far its main result may be off.
pub(super) fn of(
    calculator: &'static Calculator,
    answer: &Answer,
    part: Part,
    waits: bool,
    band: Option<(f64, f64)>,
    units: Units,
) -> Figure {
    let form = answer.results.text("first_form");
    let mut figure = Figure {
        verb: match form {
            Some("none") => "nothing",
            Some("wait") => NOT_NOW,
            Some("weigh") => "weigh",
            Some("solution") => "measure",
            Some("tablets") => "drop in",
            Some("teaspoon") => "level",
            _ => "",
        },
        ..Figure::default()
    };
    let Some(key) = main_result(calculator, answer) else {
        return figure;
    };
    let result = |key: &str| calculator.results.iter().find(|it| it.key == key);
    let Some(main) = result(key) else {
        return figure;
    };
    if figure.verb != "nothing" {
        let say = |it| match form {
            Some(_) => bare(main.quantity, it, units),
            None if key == "solution_ml" => bare(main.quantity, it, units),
            None => show(main.quantity, it, &units),
        };
        let shown = part_of(answer, key, part).map(say);
        (figure.number, figure.unit) = split(&shown.unwrap_or_default());
        figure.band = band.map(|it| between(main.quantity, it, units));
    }
    if calculator.name == super::BY_SPOON {
        figure.verb = match key {
            "teaspoons" => "level",
            "solution_ml" => "measure",
            _ => "weigh",
        };
    }
    if waits && figure.verb != "nothing" {
        figure.verb = NOT_NOW;
    }
    if form.is_some() {
        dose(&mut figure, key, answer, part, units);
    } else {
        figure.unit = format!("{}  {}", figure.unit, main.help);
        others(&mut figure, key, calculator, answer, units);
    }
    figure
}

impl Figure {
    /// What is in the wine already is not known, so that this is the most to give.
    pub(super) fn at_most(&mut self, holds: bool) {
        if holds && !matches!(self.verb, "nothing" | NOT_NOW) {
            self.verb = "at most";
            self.sums.retain(|it| !it.contains("since the must"));
        }
    }

    /// More went in than is written down.
    pub(super) fn at_least(&mut self, holds: bool) {
        for sum in self
            .sums
            .iter_mut()
            .filter(|it| holds && it.contains("since the must"))
        {
            *sum = format!("at least {sum}");
        }
    }
}

/// Number and unit of a shown value.
fn split(shown: &str) -> (String, String) {
    let unit = shown.find(|it: char| it.is_alphabetic() || "%°".contains(it));
    let (number, unit) = shown.split_at(unit.unwrap_or(shown.len()));
    (number.trim().to_owned(), unit.trim().to_owned())
}

/// `0.40–1.20 g`.
pub(super) fn between(quantity: Quantity, (low, high): (f64, f64), units: Units) -> String {
    let (low, high) = (show(quantity, low, &units), show(quantity, high, &units));
    let ((number, unit), (_, other)) = (split(&low), split(&high));
    if unit == other {
        format!("{number}–{high}")
    } else {
        format!("{low}–{high}")
    }
}

/// What is given of a dose in the form that stands first.
fn part_of(answer: &Answer, main: &str, part: Part) -> Option<f64> {
    match part {
        Part::All => given(answer, main),
        Part::Half => half(answer),
    }
}

/// What is given of what was reckoned: what is rounded to the tool brings so much more or less.
pub(super) fn share(answer: &Answer, part: Part) -> f64 {
    let given = main_form(answer).and_then(|it| Some((part_of(answer, it, part)?, it)));
    let share = given.and_then(|(given, it)| Some(given / answer.number(it)?));
    share.filter(|it| it.is_finite()).unwrap_or(1.0)
}

/// The other forms of a dose of sulfite, what it adds, and how it stands to half of it or all.
fn dose(figure: &mut Figure, main: &str, answer: &Answer, part: Part, units: Units) {
    let number = |key: &str| answer.number(key);
    let share = share(answer, part);
    let is_none = figure.verb == "nothing";
    if is_none {
        figure
            .sums
            .push("The aim is met; test again within a month.".to_owned());
    } else {
        figure.unit.push_str(&of_what(main, answer, part));
        figure.ways = ways(main, answer, part, units);
        if let (Some(adds), Some(stays)) = (number("adds_total_mg_l"), number("stays_free_mg_l")) {
            figure.sums.push(format!(
                "adds {:.0} mg/L, of which {:.0} stay free",
                adds * share,
                stays * share
            ));
        }
    }
    if let (Some(total), Some(ceiling)) = (number("total_added_mg_l"), number("ceiling_mg_l")) {
        let kind = answer.inputs.text("wine").unwrap_or_default();
        let total = total + (share - 1.0) * number("adds_total_mg_l").unwrap_or(0.0);
        figure.sums.push(format!(
            "{total:.0} mg/L with this since the must; the EU allows {kind} {ceiling:.0}"
        ));
    }
    let said = |amount: Option<f64>| Some(as_given(main, amount?, units));
    figure.other = match part {
        Part::Half => {
            let likely = figure.band.take();
            let likely = likely.map_or(String::new(), |it| format!(" (likely {it})"));
            let all = said(given(answer, main));
            all.map(|all| format!("Half of {all}{likely}; test in 2 or 3 days, then the rest."))
        }
        Part::All => said(half(answer))
            .map(|half| format!("Better half now, {half}; test in 2 or 3 days, then the rest.")),
    };
}

/// A figure read across the kitchen must say of what, and that it is not all.
fn of_what(main: &str, answer: &Answer, part: Part) -> String {
    let stock = answer.inputs.number("solution_pct").unwrap_or(10.0);
    let what = match main {
        "solution_ml" => format!(" of {stock} % stock"),
        "metabisulfite_g" => " of powder".to_owned(),
        "tablets" if part_of(answer, main, part) == Some(1.0) => "tablet".to_owned(),
        "tablets" => "tablets".to_owned(),
        _ => String::new(),
    };
    match part {
        Part::Half => what + " now",
        Part::All => what,
    }
}

/// An amount of a dose in words: `7.5 mL`, `3 tablets`.
fn as_given(form: &str, amount: f64, units: Units) -> String {
    match form {
        "solution_ml" => bare(Quantity::SmallVolume, amount, units),
        "tablets" if amount > 1.0 => format!("{amount} tablets"),
        "tablets" => "1 tablet".to_owned(),
        "teaspoons" => bare(Quantity::Teaspoons, amount, units),
        _ => bare(Quantity::Mass, amount, units),
    }
}

/// The other forms it can be given in.
fn ways(main: &str, answer: &Answer, part: Part, units: Units) -> Vec<String> {
    let amount = |all: &str, half: &str| match part {
        Part::All => given(answer, all),
        Part::Half => given(answer, half),
    };
    let said = |key: &str, half: &str| Some(as_given(key, amount(key, half)?, units));
    let stock = answer.inputs.number("solution_pct").unwrap_or(10.0);
    let tablets = answer.number("tablets").map(|all| match part {
        Part::All => all,
        Part::Half => all / 2.0,
    });
    let all = [
        (
            "metabisulfite_g",
            said("metabisulfite_g", "half_now_g").map(|it| format!("or {it} of powder by weight")),
        ),
        (
            "solution_ml",
            said("solution_ml", "half_now_ml")
                .map(|it| format!("or {it} of {stock} % stock solution")),
        ),
        ("tablets", tablets.map(|it| format!("or {it:.1} tablets"))),
        (
            "teaspoons",
            said("teaspoons", "half_now_tsp").map(|it| format!("or about {it} level, of powder")),
        ),
    ];
    let others = all.into_iter().filter(|(key, _)| *key != main);
    others.filter_map(|(_, said)| said).collect()
}

/// What else a calculator gives.
fn others(
    figure: &mut Figure,
    main: &str,
    calculator: &'static Calculator,
    answer: &Answer,
    units: Units,
) {
    let rest = calculator.results.iter().filter(|it| it.key != main);
    // By the spoon, all of it goes with what a level one gives.
    let share = if calculator.name == super::BY_SPOON {
        spoon_share(answer)
    } else {
        1.0
    };
    let number = |key: &str| answer.number(key).map(|it| it * share);
    let line = |it: &ResultSpec| {
        let band = |key: &str| number(&format!("{}_{key}", it.key));
        let value = match it.quantity {
            Quantity::Choice(_) | Quantity::Text => answer.results.text(it.key)?.to_owned(),
            quantity => show(quantity, number(it.key)?, &units),
        };
        let off = match (band("low"), band("high")) {
            (Some(low), Some(high)) => format!(" ({})", between(it.quantity, (low, high), units)),
            _ => String::new(),
        };
        Some(format!("{value}{off}  {}", it.help))
    };
    figure.sums = rest.filter_map(line).collect();
    if calculator.name == super::BY_SPOON {
        // What it leaves, and what measuring would make of that, is said as a sentence.
        figure.sums.truncate(3);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(shown: &str, number: &str, unit: &str) {
        assert_eq!(split(shown), (number.to_owned(), unit.to_owned()));
    }

    #[test]
    fn a_number_stands_apart_from_its_unit() {
        check("0.71 g", "0.71", "g");
        check("1 1/4 tsp", "1 1/4", "tsp");
        check("6.00 US gal", "6.00", "US gal");
        check("12.5 % vol", "12.5", "% vol");
        check("3.31", "3.31", "");
    }

    #[test]
    fn a_band_names_its_unit_once() {
        let units = Units::default();
        assert_eq!(between(Quantity::Mass, (0.4, 1.2), units), "0.40–1.20 g");
        assert_eq!(
            between(Quantity::Mass, (0.05, 0.2), units),
            "50.0 mg–0.20 g"
        );
    }
}
