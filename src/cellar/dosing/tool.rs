//! A dose as the owned tool gives it: in steps of the scale, marks of the syringe, whole tablets.

use leesline_calc::Answer;
use leesline_calc::quantity::{Quantity, Units, parse, show, stepped};

use crate::cellar::snapshot::Settings;

/// Where nobody said what the scale and the syringe tell, as the calculators take it.
const KITCHEN_SCALE_G: f64 = 1.0;
const SYRINGE_ML: f64 = 0.5;

/// A result of a dose as its tool gives it; `None` of what a scale too coarse to be offered first does not tell to within a
/// quarter. Tablets that are not offered first round nothing.
pub fn given(answer: &Answer, key: &str) -> Option<f64> {
    let amount = answer.number(key)?;
    let step = |key: &str| answer.inputs.number(key);
    Some(match (key, answer.results.text("first_form")) {
        ("metabisulfite_g" | "half_now_g", Some(form)) => {
            let weighed = stepped(amount, step("scale_step_g")?);
            let is_near = (weighed - amount).abs() <= amount / 4.0;
            (is_near || form == "weigh").then_some(weighed)?
        }
        ("solution_ml" | "half_now_ml", _) => stepped(amount, step("syringe_step_ml")?),
        ("tablets", Some("tablets")) => stepped(amount, 1.0),
        ("teaspoons" | "half_now_tsp", _) => level(amount),
        _ => amount,
    })
}

/// Half of a dose, in the form that stands first, as its tool gives it; `None` where nothing is to be
/// given, and where the tool cannot tell half from all.
pub fn half(answer: &Answer) -> Option<f64> {
    let (all, half) = match answer.results.text("first_form")? {
        "none" | "wait" => return None,
        "solution" => (
            "solution_ml",
            about_half(answer, "half_now_ml", "syringe_step_ml")?,
        ),
        "teaspoon" => ("teaspoons", given(answer, "half_now_tsp")?),
        // Tablets are not broken; the odd one goes in first.
        "tablets" => ("tablets", (given(answer, "tablets")? / 2.0).ceil()),
        _ => (
            "metabisulfite_g",
            about_half(answer, "half_now_g", "scale_step_g")?,
        ),
    };
    (half < given(answer, all)?).then_some(half)
}

/// Half as the tool gives it; a mark less where that would be more than half by over a tenth, since what is in cannot be taken
/// out again.
fn about_half(answer: &Answer, half: &str, step: &str) -> Option<f64> {
    let (exact, nearest) = (answer.number(half)?, given(answer, half)?);
    let step = answer.inputs.number(step)?;
    let is_more = nearest > exact * 1.1 && nearest > step * 1.5;
    Some(if is_more { nearest - step } else { nearest })
}

/// What a level spoon or a syringe gives of what the rule of thumb says, 1 where it is weighed.
pub fn spoon_share(answer: &Answer) -> f64 {
    let of = |key: &str| Some(given(answer, key)? / answer.number(key)?);
    of("teaspoons").or_else(|| of("solution_ml")).unwrap_or(1.0)
}

/// Teaspoons as spoons come, so that what is read from a level spoon is also what is reckoned with.
fn level(teaspoons: f64) -> f64 {
    let units = Units::default();
    let said = show(Quantity::Teaspoons, teaspoons, &units);
    parse(Quantity::Teaspoons, &said, &units).unwrap_or(teaspoons)
}

/// A powder of metabisulfite that need not be given to the last tenth, as the owned scale tells it to within an eighth, else as a
/// stock solution of 10 g in 100 mL, with the grams for who has only powder.
pub fn powder_words(grams: f64, settings: &Settings) -> Powder {
    let step = settings.scale_step_g.unwrap_or(KITCHEN_SCALE_G);
    if step <= grams / 4.0 {
        let weighed = stepped(grams, step.max(0.1));
        let weighed = bare(Quantity::Mass, weighed, settings.units);
        return Powder {
            words: format!("{weighed} of potassium metabisulfite"),
            is_stock: false,
        };
    }
    let mark = settings.syringe_step_ml.unwrap_or(SYRINGE_ML);
    let millilitres = stepped(grams * 10.0, mark);
    let millilitres = bare(Quantity::SmallVolume, millilitres, settings.units);
    Powder {
        words: format!(
            "{millilitres} of 10 % stock solution of metabisulfite ({grams:.2} g of powder)"
        ),
        is_stock: true,
    }
}

/// A powder of metabisulfite as the owned tools measure it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Powder {
    /// In words.
    pub words: String,
    /// Whether that is as stock solution, which has to be made.
    pub is_stock: bool,
}

/// How the stock solution of such words is made, after a sentence.
pub const STOCK_MADE: &str = " The stock is 10 g of powder in cool water, made up to 100 mL.";

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
    use crate::cellar::attention::trial::NOW;
    use crate::cellar::snapshot::Snapshot;

    // 1.5 mL in all by a syringe of 0.5 mL: of 0.75 mL, 1 mL would be two thirds. By one of 0.1 mL it is 0.8 mL.
    #[test]
    fn half_is_not_two_thirds() {
        let check = |step: &str, expected: f64| {
            let told = [
                ("volume", "5"),
                ("free-so2", "10"),
                ("target-free-so2", "27.3"),
                ("bound-fraction", "0"),
                ("syringe-step", step),
                ("scale-step", "5"),
            ];
            let dose = leesline_calc::registry::find("sulfite-dose").unwrap();
            let answer = dose.ask(&told, &Units::default()).unwrap();
            let all = answer.number("solution_ml").unwrap();
            assert!((all - 1.5).abs() < 0.01, "{all}");
            assert!((half(&answer).unwrap() - expected).abs() < 1e-9);
        };
        check("0.5", 0.5);
        check("0.1", 0.8);
    }

    // 0.74 g by a scale of 0.1 g is 0.7 g, and half of it 0.4 g; one of 0.5 g tells neither to within a quarter.
    #[test]
    fn powder_beside_a_stock_solution_is_what_the_scale_shows() {
        let check = |step: &str, all: Option<f64>, half: Option<f64>| {
            let told = [
                ("volume", "20"),
                ("free-so2", "10"),
                ("target-free-so2", "31.33"),
                ("bound-fraction", "0"),
                ("scale-step", step),
                ("syringe-step", "0.1"),
            ];
            let dose = leesline_calc::registry::find("sulfite-dose").unwrap();
            let answer = dose.ask(&told, &Units::default()).unwrap();
            assert_eq!(answer.results.text("first_form"), Some("solution"));
            let exact = answer.number("metabisulfite_g").unwrap();
            assert!((exact - 0.74).abs() < 0.002, "{exact}");
            let weighed = ["metabisulfite_g", "half_now_g"].map(|it| given(&answer, it));
            assert_eq!(weighed, [all, half]);
        };
        check("0.1", Some(0.7), Some(0.4));
        check("0.5", None, None);
        check("0.15", Some(0.75), Some(0.3));
    }

    #[test]
    fn powder_is_said_as_the_tools_tell_it() {
        let check = |grams: f64, scale_step_g: Option<f64>, expected: &str| {
            let cellar = Snapshot::empty(NOW);
            let settings = Settings {
                scale_step_g,
                syringe_step_ml: Some(0.1),
                ..cellar.settings()
            };
            assert_eq!(powder_words(grams, &settings).words, expected);
        };
        let stock = "3.5 mL of 10 % stock solution of metabisulfite (0.35 g of powder)";
        check(0.347, None, stock);
        check(0.347, Some(1.0), stock);
        check(0.347, Some(0.1), stock);
        check(0.347, Some(0.01), "0.3 g of potassium metabisulfite");
        check(4.3, Some(1.0), "4 g of potassium metabisulfite");
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
