//! What is too much of something at once: over what a code allows, or over what any recipe gives, where a slip of
//! the pen is likelier than a dose. The figures are the calculators' own.

use crate::acid::{Acid, Deacidifier};
use crate::calculators::acid_add::EU_RISE_G_L;
use crate::calculators::deacidify::AT_ONCE_G_L;
use crate::calculators::fining::most_g_hl;
use crate::calculators::nutrient::US_CEILING_G_L;
use crate::decline::STAYS_FREE;
use crate::sorbate::{OIV_CEILING_MG_L, sorbate_g};
use crate::sulfite::{MOST_AT_ONCE_MG_L, ceiling_mg_l, much_at_once};

/// More sugar than wine holds, g/L; the calculators allow no more for residual sugar (common practice).
const SUGAR_G_L: f64 = 500.0;
/// Far more than any recipe gives of yeast, tannin, enzyme or oak, g/L: a slip of the pen (house estimate).
const SLIP_G_L: f64 = 10.0;
/// More fruit than gives up its juice to a litre of must, g/L (house estimate).
const FRUIT_G_L: f64 = 3_000.0;

/// The most of a substance that goes in without a question, g/L, and whose figure that is.
fn most(substance: &str) -> Option<(f64, &'static str)> {
    let acid = |acid: Acid| EU_RISE_G_L * acid.equivalent_g() / Acid::Tartaric.equivalent_g();
    let rise = "that the EU lets acid be raised by";
    let lowered = "that take out 2 g/L of acid, and more at once flattens a wine";
    let found = match substance {
        "potassium-sorbate" => (
            sorbate_g(OIV_CEILING_MG_L, 1.0),
            "that the OIV and the EU allow",
        ),
        "diammonium-phosphate" | "yeast-nutrient" => {
            (US_CEILING_G_L, "that the US allows of diammonium phosphate")
        }
        "tartaric-acid" => (acid(Acid::Tartaric), rise),
        "malic-acid" => (acid(Acid::Malic), rise),
        "citric-acid" => (acid(Acid::Citric), rise),
        "potassium-bicarbonate" => (
            AT_ONCE_G_L * Deacidifier::PotassiumBicarbonate.need().practice,
            lowered,
        ),
        "calcium-carbonate" => (
            AT_ONCE_G_L * Deacidifier::CalciumCarbonate.need().practice,
            lowered,
        ),
        "sugar" => (SUGAR_G_L, "that any wine holds"),
        "yeast" | "tannin" | "pectic-enzyme" | "oak" => (SLIP_G_L, "that any recipe gives"),
        "fruit" => (FRUIT_G_L, "that any recipe gives"),
        agent => {
            let (rate, is_law) = most_g_hl(agent)?;
            let whose = if is_law {
                "that the EU allows"
            } else {
                "that is usual; go by a bench trial, since too much strips the wine"
            };
            (rate / 100.0, whose)
        }
    };
    Some(found)
}

/// Whether so many grams of a substance in so many litres want a question, and what is wrong with them.
pub fn too_much(substance: &str, grams: f64, volume_l: f64) -> Option<String> {
    let (most, whose) = most(substance)?;
    let given = grams / volume_l;
    // A packet weighed to its printed figure is no slip.
    (volume_l > 0.0 && given > most * (1.0 + 1e-6)).then(|| {
        format!(
            "{} of {} in {volume_l:.1} L is {} g/L, over the {} {whose}: check the amount and its unit.",
            weight(grams),
            substance.replace('-', " "),
            figure(given),
            figure(most)
        )
    })
}

/// What speaks against so much SO2 (mg/L) at once, on top of so much added before, in a wine of that kind, or its must.
pub fn too_much_sulfite(
    wine: &str,
    is_must: bool,
    before_mg_l: f64,
    added_mg_l: f64,
) -> Option<String> {
    let total = before_mg_l + added_mg_l;
    let at_once = much_at_once(added_mg_l, added_mg_l * STAYS_FREE.0).map(|brings| {
        // Nobody tastes it in a must, whose yeast binds it.
        if is_must {
            format!(
                "This brings {added_mg_l:.0} mg/L of SO2 at once, and a must is given {MOST_AT_ONCE_MG_L:.0} at most, twice \
                 that where its fruit is rotten (common practice): check the amount and its unit."
            )
        } else {
            format!("This brings {brings}: check the amount and its unit.")
        }
    });
    let in_all = over_ceiling(wine, total).map(|over| {
        format!(
            "With it the wine has had {total:.0} mg/L of SO2, {over}: give less. Your local code holds, not this figure."
        )
    });
    let all: Vec<String> = at_once.into_iter().chain(in_all).collect();
    (!all.is_empty()).then(|| all.join(" "))
}

/// Which ceiling so much total SO2 (mg/L) is over in a wine of that kind: `over the 150 that bottled red wine may hold in
/// the EU`.
pub fn over_ceiling(wine: &str, total_mg_l: f64) -> Option<String> {
    let ceiling = ceiling_mg_l(wine);
    let kind = match wine {
        "unknown" => String::new(),
        kind => format!("{kind} "),
    };
    (total_mg_l > ceiling * (1.0 + 1e-6))
        .then(|| format!("over the {ceiling:.0} that bottled {kind}wine may hold in the EU"))
}

fn weight(grams: f64) -> String {
    if grams >= 1e3 {
        format!("{} kg", figure(grams / 1e3))
    } else {
        format!("{} g", figure(grams))
    }
}

/// Three figures, as far as they matter.
fn figure(value: f64) -> String {
    let decimals = match value {
        it if it >= 100.0 => 0,
        it if it >= 10.0 => 1,
        _ => 2,
    };
    let text = format!("{value:.decimals$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    text.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Asked about just above the figure, and not just below it.
    fn check(substance: &str, most_g_l: f64) {
        let asked = |part: f64| too_much(substance, most_g_l * part * 23.0, 23.0).is_some();
        assert!(!asked(0.99), "{substance} below {most_g_l} g/L");
        assert!(asked(1.01), "{substance} above {most_g_l} g/L");
    }

    #[test]
    fn a_dose_is_asked_about_where_its_source_ends() {
        // 200 mg/L sorbic acid (OIV II.3.4.5), of which the salt is 74.64 % by IUPAC atomic masses.
        check("potassium-sorbate", 0.2680);
        // 8 lb to 1000 US gal (27 CFR 24.246, from memory): 3628.7 g to 3785.4 L.
        check("diammonium-phosphate", 0.96);
        check("yeast-nutrient", 0.96);
        // 4 g/L as tartaric (EU 2019/934, from memory); malic weighs 134.09/150.09 of it.
        check("tartaric-acid", 4.0);
        check("malic-acid", 3.574);
        // 2 g/L of acid at once (common practice): CaCO3 by 100.09/150.09.
        check("calcium-carbonate", 1.334);
        // Usual rates by table 16.18 of the fining table, and the law's 80 and 100 g/hL (from memory).
        check("isinglass", 0.025);
        check("gelatin", 0.15);
        check("pvpp", 0.8);
        check("chitosan", 1.0);
        check("sugar", 500.0);
        check("yeast", 10.0);
        check("oak", 10.0);
        check("fruit", 3_000.0);
    }

    #[test]
    fn what_no_figure_is_known_of_or_no_volume_asks_nothing() {
        assert_eq!(too_much("elderflower", 500.0, 23.0), None);
        assert_eq!(too_much("sugar", 500.0, 0.0), None);
    }

    #[test]
    fn the_question_says_the_figure_and_the_limit() {
        assert_eq!(
            too_much("sugar", 50_000.0, 23.0).unwrap(),
            "50 kg of sugar in 23.0 L is 2174 g/L, over the 500 that any wine holds: check the amount and its unit."
        );
        assert_eq!(
            too_much("potassium-sorbate", 500.0, 23.0).unwrap(),
            "500 g of potassium sorbate in 23.0 L is 21.7 g/L, over the 0.27 that the OIV and the EU allow: check the \
             amount and its unit."
        );
    }

    #[test]
    fn sulfite_is_asked_about_over_fifty_at_once_and_over_the_ceiling_of_its_kind() {
        let asked = |wine: &str, before: f64, added: f64| {
            let words = too_much_sulfite(wine, false, before, added).unwrap_or_default();
            (words.contains("at once"), words.contains("over the"))
        };
        assert_eq!(asked("red", 0.0, 50.0), (false, false));
        assert_eq!(asked("red", 0.0, 51.0), (true, false));
        assert_eq!(asked("red", 120.0, 31.0), (false, true));
        assert_eq!(asked("red", 120.0, 29.0), (false, false));
        assert_eq!(asked("white", 120.0, 31.0), (false, false));
        assert_eq!(asked("sweet", 220.0, 29.0), (false, false));
        assert_eq!(asked("unknown", 180.0, 30.0), (false, true));
        // 30 g in 23 L at 57.63 % are 752 mg/L.
        assert_eq!(asked("red", 0.0, 752.0), (true, true));
    }

    /// A third is bound, so that 50 are free of 75; nobody tastes it in a must.
    #[test]
    fn what_is_tasted_is_said_of_a_wine_and_not_of_a_must() {
        let says = |is_must: bool, added: f64, words: &str| {
            let asked = too_much_sulfite("white", is_must, 0.0, added).unwrap_or_default();
            asked.contains(words)
        };
        assert!(says(false, 74.0, "cannot be taken out again"));
        assert!(!says(false, 74.0, "is tasted") && says(false, 76.0, "is tasted"));
        assert!(!says(true, 50.0, "at once") && says(true, 76.0, "where its fruit is rotten"));
        assert!(!says(true, 76.0, "is tasted"));
    }
}
