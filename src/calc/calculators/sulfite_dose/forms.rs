//! The forms a dose can be given in, and which of them the tools at hand give within a tenth.

use super::super::sulfite_inputs::{SMALLEST_SPOON, TEASPOON_SPREAD_G, TOOL_GOOD, assume_teaspoon};
use super::state;
use crate::answer::{Answer, CautionKind};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::{Quantity, show, stepped};
use crate::spread::Spread;

/// What `first_form` can say, in the order they are preferred.
pub(super) const FORMS: &[&str] = &["weigh", "solution", "tablets", "teaspoon", "none", "wait"];

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

/// A mark this many times half the dose is more than twice all of it.
const NOTHING: f64 = 4.0;

const TOO_LITTLE: &str = "Give none now: it is less than half a mark of any of your tools. Let it wait until a test finds more missing, \
                          or use a weaker stock solution.";

/// Half a dose in one form, and how far off the tool gives it.
struct Offer {
    form: &'static str,
    half: String,
    error: f64,
}

/// Adds every form of the dose (g of powder, bringing `so2_mg`), half of it to give now, and the form to give first.
pub(super) fn offer(
    inputs: &Inputs,
    answer: &mut Answer,
    dose: Spread,
    so2_mg: f64,
) -> Result<(), CalcError> {
    let dose_g = dose.value;
    let stock_pct = inputs.require("solution_pct")?;
    let solution = dose.scaled(100.0 / stock_pct);
    let spoons = spoons(inputs, dose)?;
    let tablets = inputs.number("tablet_so2_mg").map(|each| so2_mg / each);

    answer.spread("metabisulfite_g", dose);
    answer.spread("solution_ml", solution);
    answer.work(
        "or as stock",
        format!(
            "{dose_g:.2} g / {stock_pct} g × 100 mL = {:.1} mL of a stock of {stock_pct} g in 100 mL",
            solution.value
        ),
    );
    match spoons {
        Some(spoons) => by_spoon(inputs, answer, dose_g, spoons)?,
        None => answer.result("teaspoons", None),
    }
    answer.result("tablets", tablets);
    let half_spoons = spoons
        .map(|s| s.value / 2.0)
        .filter(|half| *half >= SMALLEST_SPOON);
    let offers = offers(inputs, dose_g, solution.value, tablets, half_spoons)?;
    // Nothing is to be given now where nothing is missing, where yeast or bacteria are at work, or where all of it is less
    // than any tool can give.
    let not_now = if dose_g == 0.0 {
        Some((
            "none",
            "The aim is already met: add nothing, and test again within a month.",
        ))
    } else if state::waits(inputs) {
        Some((
            "wait",
            "Give none now: wait until the wine is finished, then test and reckon again.",
        ))
    } else if offers.iter().all(|it| it.error > NOTHING) {
        answer.caution(CautionKind::Practice, "common practice", TOO_LITTLE);
        Some(("wait", TOO_LITTLE))
    } else {
        None
    };
    if let Some((form, sentence)) = not_now {
        answer.result("first_form", form);
        answer.work("first", sentence);
        for key in ["half_now_g", "half_now_ml", "half_now_tsp"] {
            answer.result(key, None);
        }
        return Ok(());
    }
    answer.result("half_now_g", dose_g / 2.0);
    answer.result("half_now_ml", solution.value / 2.0);
    answer.result("half_now_tsp", half_spoons);
    first(answer, &offers);
    Ok(())
}

/// The dose in level teaspoons; `None` under 1/8, since such a spoon is never offered, not even as a figure.
fn spoons(inputs: &Inputs, dose: Spread) -> Result<Option<Spread>, CalcError> {
    let teaspoon_g = inputs.require("teaspoon_g")?;
    let value = dose.value / teaspoon_g;
    if value < SMALLEST_SPOON {
        return Ok(None);
    }
    let per_gram = if inputs.is_given("teaspoon_g") {
        Spread::known(1.0 / teaspoon_g)
    } else {
        let (light, heavy) = TEASPOON_SPREAD_G;
        Spread::new(1.0 / heavy, 1.0 / teaspoon_g, 1.0 / light)
    };
    Ok(Some(dose.times(per_gram)))
}

fn by_spoon(
    inputs: &Inputs,
    answer: &mut Answer,
    dose_g: f64,
    spoons: Spread,
) -> Result<(), CalcError> {
    let teaspoon_g = inputs.require("teaspoon_g")?;
    let about = show(Quantity::Teaspoons, spoons.value, inputs.units());
    let sum = format!(
        "{dose_g:.2} g / {teaspoon_g} g = {:.2}, about {about}",
        spoons.value
    );
    answer.spread("teaspoons", spoons);
    if inputs.is_given("teaspoon_g") {
        answer.work("or by spoon", sum);
        return Ok(());
    }
    answer.work(
        "or by spoon",
        format!("{sum}, and that may hold a sixth less or a third more: weigh it"),
    );
    assume_teaspoon(inputs, answer, teaspoon_g);
    Ok(())
}

/// The first form that is good enough, else the nearest, saying so.
fn first(answer: &mut Answer, offers: &[Offer]) {
    let nearest = || offers.iter().min_by(|a, b| a.error.total_cmp(&b.error));
    let Some(offer) = offers
        .iter()
        .find(|offer| offer.error <= TOOL_GOOD)
        .or_else(nearest)
    else {
        return;
    };
    answer.result("first_form", offer.form);
    answer.work(
        "first",
        format!(
            "{} now; test in two or three days; then the other half, or what is still missing.",
            offer.half
        ),
    );
    if offer.error > TOOL_GOOD {
        answer.caution(
            CautionKind::Practice,
            "common practice",
            format!(
                "None of your tools gives half of this within a tenth; the nearest may give {:.0} % too much or too little: \
                 use a finer scale, or a weaker stock solution, which takes more marks of the syringe.",
                offer.error * 100.0
            ),
        );
    }
}

/// The forms at hand in order of preference, each with half a dose and its error.
fn offers(
    inputs: &Inputs,
    dose_g: f64,
    solution_ml: f64,
    tablets: Option<f64>,
    half_spoons: Option<f64>,
) -> Result<Vec<Offer>, CalcError> {
    let scale_g = inputs.require("scale_step_g")?;
    let syringe_ml = inputs.require("syringe_step_ml")?;
    let (half_g, half_ml) = (dose_g / 2.0, solution_ml / 2.0);
    let mut offers = vec![
        Offer {
            form: "weigh",
            half: format!("{} g of powder", stepped(half_g, scale_g)),
            error: scale_g / half_g,
        },
        Offer {
            form: "solution",
            half: format!("{} mL of the stock solution", stepped(half_ml, syringe_ml)),
            error: syringe_ml / half_ml,
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
