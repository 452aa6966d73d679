//! A dose of sulfite in one plain sentence, rounded to what the scale or the syringe can give.

use leesline_calc::Answer;
use leesline_calc::quantity::{Quantity, Units, show};

use super::tool::{bare, given, half, spoon_share};
use crate::cellar::attention::Policy;

/// What to do, first: for the calculators of a dose of sulfite; `None` for any other.
/// The rule of thumb says what it leaves beside the molecular SO2 that is wanted, mg/L.
pub fn plain(answer: &Answer, units: Units, wanted: f64) -> Option<String> {
    if answer.calc == super::BY_SPOON {
        return by_spoon(answer, units, wanted);
    }
    if answer.calc != super::DOSE {
        return None;
    }
    match answer.results.text("first_form")? {
        "none" => {
            return Some("Add nothing: the aim is met. Test again within a month.".to_owned());
        }
        "wait" => {
            let why = answer.working.iter().find(|it| it.step == "first")?;
            return Some(why.sentence.clone());
        }
        _ => {}
    }
    let all = all_of_it(answer, units)?;
    let give = match half(answer) {
        Some(half) => format!(
            "Give {} now, stir, test in two or three days, then the rest: {all} in all.",
            said(answer, half, units)
        ),
        None => format!("Give {all}, stir, and test in two or three days."),
    };
    Some(give + &otherwise(answer, units))
}

/// How a stock solution is made, and what of the powder would be weighed instead, where the scale tells that to within a quarter.
fn otherwise(answer: &Answer, units: Units) -> String {
    if answer.results.text("first_form") != Some("solution") {
        return String::new();
    }
    let stock = answer.inputs.number("solution_pct").unwrap_or(10.0);
    let made = format!(" The stock is {stock} g of powder in cool water, made up to 100 mL");
    let weighed = |key: &str| Some(bare(Quantity::Mass, given(answer, key)?, units));
    match (weighed("half_now_g"), weighed("metabisulfite_g")) {
        (Some(half), Some(all)) if half != all => {
            format!("{made}; by weight it is {half} of powder now, {all} in all.")
        }
        (_, Some(all)) => format!("{made}; by weight it is {all} of powder in all."),
        _ => format!("{made}."),
    }
}

/// That less is missing than a home test can tell, where it is so.
pub fn can_wait(answer: &Answer, policy: &Policy) -> Option<String> {
    let missing = answer.number("stays_free_mg_l").filter(|it| *it > 0.0)?;
    let aim = answer.number("target_free_so2_mg_l")?;
    let told_apart = (aim * policy.margin_share).max(policy.margin_mg_l);
    (missing < told_apart).then(|| {
        format!("Only {missing:.0} mg/L are missing, less than a home test can tell: it can wait.")
    })
}

/// All of a dose at once, in the form that stands first: `7.5 mL of 10 % stock solution`.
pub fn all_of_it(answer: &Answer, units: Units) -> Option<String> {
    let key = match answer.results.text("first_form")? {
        "none" | "wait" => return None,
        "solution" => "solution_ml",
        "teaspoon" => "teaspoons",
        "tablets" => "tablets",
        _ => "metabisulfite_g",
    };
    Some(said(answer, given(answer, key)?, units))
}

/// So much of a dose in the form that stands first.
fn said(answer: &Answer, amount: f64, units: Units) -> String {
    let salt = answer.inputs.text("salt").unwrap_or("potassium");
    let salt = format!("{salt} metabisulfite");
    let stock = answer.inputs.number("solution_pct").unwrap_or(10.0);
    match answer.results.text("first_form") {
        Some("solution") => {
            let millilitres = bare(Quantity::SmallVolume, amount, units);
            format!("{millilitres} of {stock} % stock solution")
        }
        Some("teaspoon") => format!(
            "{} of {salt}, level",
            show(Quantity::Teaspoons, amount, &units)
        ),
        Some("tablets") => counted(amount),
        _ => format!("{} of {salt}", bare(Quantity::Mass, amount, units)),
    }
}

fn counted(tablets: f64) -> String {
    let what = if tablets > 1.0 { "tablets" } else { "tablet" };
    format!("{tablets} {what}")
}

/// The rule of thumb, its band, and what measuring would make of that.
fn by_spoon(answer: &Answer, units: Units, wanted: f64) -> Option<String> {
    let ends = |key: &str| {
        let end = |which: &str| answer.number(&format!("{key}_{which}"));
        Some((end("low")?, end("high")?))
    };
    // All of it goes with what a level spoon gives, which is not quite what the rule says.
    let share = spoon_share(answer);
    let leaves = |key: &str| {
        let (low, high) = ends(key)?;
        Some(format!("{:.1} to {:.1}", low * share, high * share))
    };
    let grams = answer.number("metabisulfite_g")? * share;
    let grams = show(Quantity::Mass, grams, &units);
    let spoons = answer.number("teaspoons");
    let give = match (spoons, given(answer, "solution_ml")) {
        (Some(spoons), _) => format!(
            "{} level of metabisulfite, about {grams}",
            show(Quantity::Teaspoons, spoons, &units)
        ),
        (None, Some(millilitres)) => format!(
            "{} of {} % stock solution, {grams} of metabisulfite",
            bare(Quantity::SmallVolume, millilitres, units),
            answer.inputs.number("solution_pct")?
        ),
        (None, None) => format!("{grams} of metabisulfite"),
    };
    let (low, high) = ends("stays_free_mg_l")?;
    let (low, high) = (low * share, high * share);
    let none = leaves("molecular_so2_mg_l")?;
    let worth = match answer.inputs.number("ph") {
        Some(ph) => format!(
            "At its pH {ph:.2} that is {none} mg/L molecular where about {wanted} is wanted; an SO2 test makes it {}.",
            leaves("molecular_with_test_mg_l")?
        ),
        None => format!(
            "It leaves {none} mg/L molecular where about {wanted} is wanted; a pH strip makes that {}, a meter with an SO2 test {}.",
            leaves("molecular_with_strip_mg_l")?,
            leaves("molecular_with_both_mg_l")?
        ),
    };
    Some(format!(
        "By rule of thumb give {give}, and stir: {low:.0} to {high:.0} mg/L more stay free. {worth}"
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use leesline_calc::registry::find;

    fn check(told: &[(&str, &str)], expected: &str) {
        let units = Units::default();
        let answer = find("sulfite-dose").unwrap().ask(told, &units).unwrap();
        assert_eq!(plain(&answer, units, 0.8).unwrap(), expected);
    }

    /// 1/4 tsp to 5 US gal is 1.5 g to 18.93 L: 0.38 g for 4.8 L, 3.8 mL of 10 %, which a syringe of 0.5 mL gives as 4.
    #[test]
    fn the_rule_of_thumb_goes_by_the_ph_and_the_tools_there_are() {
        let said = |told: &[(&str, &str)]| {
            let rule = find("sulfite-by-spoon").unwrap();
            let answer = rule.ask(told, &Units::default()).unwrap();
            plain(&answer, Units::default(), 0.5).unwrap()
        };
        let spoon = said(&[("volume", "19"), ("ph", "3.6")]);
        assert!(spoon.contains("At its pH 3.60 that is "), "{spoon}");
        assert!(
            !spoon.contains("strip") && spoon.contains("an SO2 test makes it"),
            "{spoon}"
        );
        let small = [("volume", "4.8"), ("scale-step", "1")];
        let stock = said(&small);
        let begins =
            "By rule of thumb give 4 mL of 10 % stock solution, 0.40 g of metabisulfite, and stir";
        assert!(stock.starts_with(begins), "{stock}");
        let weighed = said(&[("volume", "4.8"), ("scale-step", "0.01")]);
        let begins = "By rule of thumb give 0.38 g of metabisulfite, and stir";
        assert!(weighed.starts_with(begins), "{weighed}");
    }

    // (26 − 12) / 0.67 × 22.7 / 576.3 = 0.823 g, 8.23 mL of 10 %; half of it 4.12 mL (yield from IUPAC
    // atomic masses).
    #[test]
    fn a_dose_is_rounded_to_what_the_tool_gives() {
        let told = [
            ("volume", "22.7"),
            ("free-so2", "12"),
            ("target-free-so2", "26"),
        ];
        check(
            &[&told[..], &[("scale-step", "0.01")]].concat(),
            "Give 0.41 g of potassium metabisulfite now, stir, test in two or three days, then the rest: 0.82 g of potassium metabisulfite in all.",
        );
        check(
            &[&told[..], &[("scale-step", "5"), ("syringe-step", "0.5")]].concat(),
            "Give 4 mL of 10 % stock solution now, stir, test in two or three days, then the rest: 8 mL of 10 % stock solution in all. The stock is 10 g of powder in cool water, made up to 100 mL.",
        );
        // 0.41 and 0.82 g by a scale of 0.1 g, which is too coarse to come first.
        check(
            &[&told[..], &[("scale-step", "0.1"), ("syringe-step", "0.1")]].concat(),
            "Give 4.1 mL of 10 % stock solution now, stir, test in two or three days, then the rest: 8.2 mL of 10 % stock solution in all. The stock is 10 g of powder in cool water, made up to 100 mL; by weight it is 0.4 g of powder now, 0.8 g in all.",
        );
        check(
            &[
                ("volume", "22.7"),
                ("free-so2", "30"),
                ("target-free-so2", "26"),
            ],
            "Add nothing: the aim is met. Test again within a month.",
        );
    }
}
