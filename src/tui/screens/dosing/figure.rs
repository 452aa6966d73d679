//! What an answer comes to, in the words of a kitchen: the figure to give, the other ways to give
//! it, what it adds.

use leesline_calc::Answer;
use leesline_calc::quantity::{Quantity, Units, show};
use leesline_calc::registry::{Calculator, ResultSpec};

use crate::cellar::dosing::{bare, given, half_of_tablets};

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
    /// What to give now.
    pub(super) half: Option<String>,
}

/// Said instead of a figure, for a wine that should wait.
pub(super) const NOT_NOW: &str = "not now";

/// The result that stands large: the form to give it in, else the first that is a number.
pub(super) fn main_result(calculator: &Calculator, answer: &Answer) -> Option<&'static str> {
    let by_form = answer.results.text("first_form").map(|form| match form {
        "solution" => "solution_ml",
        "tablets" => "tablets",
        "teaspoon" => "teaspoons",
        _ => "metabisulfite_g",
    });
    let first = || {
        let mut keys = calculator.results.iter().map(|it| it.key);
        keys.find(|key| answer.number(key).is_some())
    };
    by_form.or_else(first)
}

/// The figure of an answer, with how far its main result may be off.
pub(super) fn of(
    calculator: &'static Calculator,
    answer: &Answer,
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
            None => show(main.quantity, it, &units),
        };
        let shown = given(answer, key).map(say);
        (figure.number, figure.unit) = split(&shown.unwrap_or_default());
        figure.band = band.map(|it| between(main.quantity, it, units));
    }
    if calculator.name == super::BY_SPOON {
        figure.verb = if key == "teaspoons" { "level" } else { "weigh" };
    }
    if waits && figure.verb != "nothing" {
        figure.verb = NOT_NOW;
    }
    if form.is_some() {
        dose(&mut figure, key, answer, units);
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

/// The other forms of a dose of sulfite, what it adds, and half of it.
fn dose(figure: &mut Figure, main: &str, answer: &Answer, units: Units) {
    let number = |key: &str| given(answer, key);
    // What is rounded to the tool brings so much more or less.
    let rounded = number(main).zip(answer.number(main));
    let ratio = rounded.map_or(1.0, |(rounded, exact)| rounded / exact);
    let ratio = if ratio.is_finite() { ratio } else { 1.0 };
    let shown = |key: &str, quantity: Quantity| number(key).map(|it| bare(quantity, it, units));
    let stock = answer.inputs.number("solution_pct").unwrap_or(10.0);
    let ways = [
        (
            "metabisulfite_g",
            shown("metabisulfite_g", Quantity::Mass),
            "of powder by weight".to_owned(),
        ),
        (
            "solution_ml",
            shown("solution_ml", Quantity::SmallVolume),
            format!("of {stock} % stock solution"),
        ),
        (
            "tablets",
            number("tablets").map(|it| format!("{it:.1}")),
            "tablets".to_owned(),
        ),
        (
            "teaspoons",
            shown("teaspoons", Quantity::Teaspoons).map(|it| format!("about {it}")),
            "level, of powder".to_owned(),
        ),
    ];
    let is_none = figure.verb == "nothing";
    if !is_none {
        // A figure read across the kitchen must say of what.
        let of_what = match main {
            "solution_ml" => format!(" of {stock} % stock"),
            "metabisulfite_g" => " of powder".to_owned(),
            "tablets" if number("tablets") == Some(1.0) => "tablet".to_owned(),
            "tablets" => "tablets".to_owned(),
            _ => String::new(),
        };
        figure.unit.push_str(&of_what);
    }
    let kept = ways
        .into_iter()
        .filter(|(key, _, _)| *key != main && !is_none);
    figure.ways = kept
        .filter_map(|(_, shown, what)| Some(format!("or {} {what}", shown?)))
        .collect();
    if is_none {
        figure
            .sums
            .push("The aim is met; test again in a month.".to_owned());
    } else if let (Some(adds), Some(stays)) = (number("adds_total_mg_l"), number("stays_free_mg_l"))
    {
        figure.sums.push(format!(
            "adds {:.0} mg/L, of which {:.0} stay free",
            adds * ratio,
            stays * ratio
        ));
    }
    if let (Some(total), Some(ceiling)) = (number("total_added_mg_l"), number("ceiling_mg_l")) {
        let kind = answer.inputs.text("wine").unwrap_or_default();
        let total = total + (ratio - 1.0) * number("adds_total_mg_l").unwrap_or(0.0);
        figure.sums.push(format!(
            "{total:.0} mg/L since the must with this; at most {ceiling:.0} in {kind} wine (EU)"
        ));
    }
    let half = match main {
        "solution_ml" => shown("half_now_ml", Quantity::SmallVolume),
        "teaspoons" => shown("half_now_tsp", Quantity::Teaspoons),
        "tablets" => {
            let all = number("tablets").filter(|it| *it > 1.0);
            all.map(half_of_tablets).map(|half| match half {
                1.0 => "1 tablet".to_owned(),
                half => format!("{half} tablets"),
            })
        }
        _ => shown("half_now_g", Quantity::Mass),
    };
    let gives = !matches!(answer.results.text("first_form"), Some("none" | "wait"));
    figure.half = half
        .filter(|_| gives)
        .map(|it| format!("Better half now, {it}; test in 2 or 3 days; then the rest."));
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
    let line = |it: &ResultSpec| {
        let band = |key: &str| answer.number(&format!("{}_{key}", it.key));
        let value = match it.quantity {
            Quantity::Choice(_) | Quantity::Text => answer.results.text(it.key)?.to_owned(),
            quantity => show(quantity, answer.number(it.key)?, &units),
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
