//! The forms a dose can be given in, and which of them the tools at hand give within a tenth.

use super::super::sulfite_inputs::{SPOON as SPOON_SOURCE, TEASPOON_SPREAD_G};
use crate::answer::{Answer, CautionKind};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::{Quantity, show};

/// What `first_form` can say, in the order they are preferred.
pub(super) const FORMS: &[&str] = &["weigh", "solution", "tablets", "teaspoon", "none", "wait"];

/// A form is good enough when half the dose comes out within this part of it.
const GOOD: f64 = 0.10;
/// No spoon is offered below this.
const SMALLEST_SPOON: f64 = 0.125;

pub(super) const SOLUTION: Input = Input::new(
    "solution_pct",
    Quantity::Percent,
    "grams of metabisulfite in 100 mL of your stock solution",
)
.default("10")
.allowed(
    0.5,
    40.0,
    "a weaker one is water and more does not dissolve",
)
.sourced(
    1.0,
    20.0,
    "weak stock fades in weeks and strong stock throws crystals when cold",
);
pub(super) const TABLET: Input = Input::new(
    "tablet_so2_mg",
    Quantity::SmallMass,
    "SO2 that one tablet gives, as its label says",
)
.allowed(
    1.0,
    20_000.0,
    "tablets are sold from some milligrams to some grams of SO2",
);
pub(super) const SCALE_STEP: Input = Input::new(
    "scale_step_g",
    Quantity::Mass,
    "the smallest step your scale shows",
)
.default("1")
.allowed(
    0.0001,
    100.0,
    "no scale for a kitchen or a bench is finer or coarser",
);
pub(super) const SYRINGE_STEP: Input = Input::new(
    "syringe_step_ml",
    Quantity::SmallVolume,
    "the smallest mark of your syringe or pipette",
)
.default("0.5")
.allowed(0.001, 100.0, "no syringe is finer or coarser");
pub(super) const SPOON: Input = Input::new(
    "spoon_tsp",
    Quantity::Teaspoons,
    "the smallest measuring spoon you own",
)
.default("1/4")
.allowed(
    SMALLEST_SPOON,
    3.0,
    "a spoon under 1/8 teaspoon measures nothing and over a tablespoon is a ladle",
);

/// Half a dose in one form, and how far off the tool gives it.
struct Offer {
    form: &'static str,
    half: String,
    error: f64,
}

/// Adds every form of the dose, half of it to give now, and the form to give it in first.
pub(super) fn offer(inputs: &Inputs, answer: &mut Answer, dose_g: f64) -> Result<(), CalcError> {
    let stock_pct = inputs.require("solution_pct")?;
    let teaspoon_g = inputs.require("teaspoon_g")?;
    let solution_ml = dose_g / stock_pct * 100.0;
    let spoons = dose_g / teaspoon_g;
    // A spoon under 1/8 teaspoon is never offered, not even as a figure to be rounded by eye.
    let measurable = |spoons: f64| (spoons >= SMALLEST_SPOON).then_some(spoons);
    let tablets = inputs
        .number("tablet_so2_mg")
        .map(|each| answer.number("so2_mg").unwrap_or(0.0) / each);

    answer.result("solution_ml", solution_ml);
    answer.result("teaspoons", measurable(spoons));
    answer.result("tablets", tablets);
    answer.work("or as stock", format!("{dose_g:.2} g / {stock_pct} g × 100 mL = {solution_ml:.1} mL of a {stock_pct} % solution (so many grams of the powder in 100 mL)"));
    if measurable(spoons).is_some() {
        spoon_line(inputs, answer, dose_g, teaspoon_g);
    }
    if dose_g == 0.0 {
        answer.result("first_form", "none");
        answer.work(
            "first",
            "The aim is already met: add nothing, and test again in a month.",
        );
        return Ok(());
    }
    answer.result("half_now_g", dose_g / 2.0);
    answer.result("half_now_ml", solution_ml / 2.0);
    answer.result("half_now_tsp", measurable(spoons / 2.0));

    let offers = offers(
        inputs,
        dose_g,
        solution_ml,
        tablets,
        measurable(spoons / 2.0),
    )?;
    let first = offers
        .iter()
        .find(|offer| offer.error <= GOOD)
        .or_else(|| offers.iter().min_by(|a, b| a.error.total_cmp(&b.error)));
    if let Some(Offer { form, half, error }) = first {
        answer.result("first_form", *form);
        answer.work("first", format!("{half} now; test in two or three days; then the other half, or what is still missing."));
        if *error > GOOD {
            answer.caution(
                CautionKind::Practice,
                "common practice",
                format!(
                    "None of your tools gives half of this within a tenth; the nearest is off by up to {:.0} %: \
                     use a finer scale, or a weaker stock solution, which takes more marks of the syringe.",
                    error * 100.0
                ),
            );
        }
    }
    Ok(())
}

fn spoon_line(inputs: &Inputs, answer: &mut Answer, dose_g: f64, teaspoon_g: f64) {
    let spoons = dose_g / teaspoon_g;
    let about = show(Quantity::Teaspoons, spoons, inputs.units());
    if inputs.is_given("teaspoon_g") {
        answer.work(
            "or by spoon",
            format!("{dose_g:.2} g / {teaspoon_g} g = about {about}"),
        );
        return;
    }
    let (light, heavy) = TEASPOON_SPREAD_G;
    answer.band("teaspoons", dose_g / heavy, spoons, dose_g / light);
    answer.work("or by spoon", format!("{dose_g:.2} g / {teaspoon_g} g = about {about}, and that spoon may hold a quarter less or a third more: weigh it"));
    answer.source(SPOON_SOURCE);
    answer.assume(
        "teaspoon_g",
        teaspoon_g,
        TEASPOON_SPREAD_G,
        format!(
            "A level teaspoon of {:.2} mL is taken as {teaspoon_g} g of powder; by grind and packing it is 5 to 8. Weigh one of yours, once.",
            inputs.units().gallon.teaspoon_l() * 1e3
        ),
    );
}

/// The forms at hand in order of preference, each with half a dose and its error.
fn offers(
    inputs: &Inputs,
    dose_g: f64,
    solution_ml: f64,
    tablets: Option<f64>,
    half_spoons: Option<f64>,
) -> Result<Vec<Offer>, CalcError> {
    let mut offers = vec![
        Offer {
            form: "weigh",
            half: format!("{:.2} g of powder", dose_g / 2.0),
            error: inputs.require("scale_step_g")? / (dose_g / 2.0),
        },
        Offer {
            form: "solution",
            half: format!("{:.1} mL of the stock solution", solution_ml / 2.0),
            error: inputs.require("syringe_step_ml")? / (solution_ml / 2.0),
        },
    ];
    if let Some(tablets) = tablets.filter(|tablets| *tablets >= 0.5) {
        // Tablets are not broken: half the dose is half the number, the odd one first.
        let whole = tablets.round();
        offers.push(Offer {
            form: "tablets",
            half: format!("{:.0} of {whole:.0} tablets", (whole / 2.0).ceil()),
            error: (whole - tablets).abs() / tablets,
        });
    }
    if let Some(half) = half_spoons {
        let step = inputs.require("spoon_tsp")?;
        let whole = (half / step).round();
        let rounding = (whole * step - half).abs() / half;
        // An unweighed spoon is itself off by a quarter, whatever the rounding.
        let packing = if inputs.is_given("teaspoon_g") {
            0.0
        } else {
            0.25
        };
        if whole >= 1.0 {
            offers.push(Offer {
                form: "teaspoon",
                half: format!(
                    "{} of powder, levelled",
                    show(Quantity::Teaspoons, whole * step, inputs.units())
                ),
                error: rounding.max(packing),
            });
        }
    }
    Ok(offers)
}
