//! How much SO2 an amount of powder brings.

use super::sulfite_inputs::{
    GROUP, POTENCY, SALT, TEASPOON, TEASPOON_SPREAD_G, VOLUME, YIELD, assume_teaspoon, product,
};
use crate::answer::{Answer, CautionKind};
use crate::decline::STAYS_FREE;
use crate::error::CalcError;
use crate::hazards::SULFITE_FUMES;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};
use crate::sulfite::{much_at_once, so2_mg};

const GRAMS: Input = Input::new("metabisulfite_g", Quantity::Mass, "powder weighed")
    .one_of("powder")
    .allowed(
        0.0,
        1e6,
        "a weight is none or more and this is for less than a tonne",
    );
const SPOONS: Input = Input::new(
    "teaspoons",
    Quantity::Teaspoons,
    "powder in level teaspoons",
)
.one_of("powder")
.allowed(
    0.0,
    1e4,
    "a number of spoons is none or more and this is for less than ten thousand",
);

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "sulfite-check",
    sentence: "How much SO2 an amount of powder brings to the wine.",
    group: GROUP,
    inputs: &[VOLUME.required(), GRAMS, SPOONS, SALT, POTENCY, TEASPOON],
    results: &[
        ResultSpec::new(
            "added_so2_mg_l",
            Quantity::MassPerVolume,
            "SO2 added, free and bound together",
        ),
        ResultSpec::new("metabisulfite_g", Quantity::Mass, "powder by weight"),
    ],
    example: &[("volume", "23 L"), ("metabisulfite", "1.2 g")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let volume = inputs.require("volume_l")?;
    let (salt, potency) = product(inputs)?;
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    answer.source(YIELD);
    let added = |grams: f64| so2_mg(grams, salt, potency) / volume;
    let work = |grams: f64| {
        format!(
            "{grams:.2} g × 1000 × {:.4} × {potency:.2} / {volume:.2} L = {:.1} mg/L",
            salt.so2_yield(),
            added(grams)
        )
    };

    let (grams, most) = match inputs.number("teaspoons") {
        None => {
            let grams = inputs.require("metabisulfite_g")?;
            answer.result("added_so2_mg_l", added(grams));
            answer.result("metabisulfite_g", grams);
            (grams, grams)
        }
        Some(spoons) => {
            let teaspoon = inputs.require("teaspoon_g")?;
            let grams = spoons * teaspoon;
            answer.work(
                "weight",
                format!("{spoons} tsp × {teaspoon} g = {grams:.2} g"),
            );
            if inputs.is_given("teaspoon_g") {
                answer.result("added_so2_mg_l", added(grams));
                answer.result("metabisulfite_g", grams);
                (grams, grams)
            } else {
                let (low, high) = TEASPOON_SPREAD_G;
                assume_teaspoon(inputs, &mut answer, teaspoon);
                answer.band(
                    "added_so2_mg_l",
                    added(spoons * low),
                    added(grams),
                    added(spoons * high),
                );
                answer.band("metabisulfite_g", spoons * low, grams, spoons * high);
                (grams, spoons * high)
            }
        }
    };
    answer.work("added", work(grams));
    answer.hazard(SULFITE_FUMES);
    if let Some(brings) = much_at_once(added(most), added(most) * STAYS_FREE.0) {
        answer.caution(
            CautionKind::Limit,
            "common practice",
            format!("This can bring {brings}: give half, test, then give the rest."),
        );
    }
    Ok(answer)
}
