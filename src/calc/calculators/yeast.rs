//! How much dry yeast to wake, and in how much water.

use super::nutrient::GROUP;
use super::sulfite_inputs::VOLUME;
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::fining::agent_g;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::nitrogen::CELLS_PER_G;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "yeast",
    sentence: "How much active dry yeast a must wants, and the water to wake it in.",
    group: GROUP,
    inputs: &[
        VOLUME.required(),
        Input::new(
            "rate_g_hl",
            Quantity::GramsPerHectolitre,
            "yeast to a hectolitre: twice as much in a hard must",
        )
        .default("25")
        .allowed(1.0, 200.0, "less does not start and more is wasted")
        .sourced(20.0, 50.0, "sound and hard musts get so much"),
    ],
    results: &[
        ResultSpec::new("yeast_g", Quantity::Mass, "active dry yeast"),
        ResultSpec::new("water_ml", Quantity::SmallVolume, "water at 35 to 40 °C"),
        ResultSpec::new(
            "cells_per_ml",
            Quantity::Number,
            "cells in a millilitre of must",
        ),
    ],
    example: &[("volume", "23 L")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let (volume, rate) = (inputs.require("volume_l")?, inputs.require("rate_g_hl")?);
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    let grams = agent_g(rate, volume);
    answer.result("yeast_g", grams);
    answer.result("water_ml", grams * 10.0);
    answer.result("cells_per_ml", rate * CELLS_PER_G / 1e5);
    answer.work(
        "yeast",
        format!("{rate:.1} g/hL × {volume:.2} L / 100 = {grams:.2} g"),
    );
    answer.work("water", format!("10 × {grams:.2} = {:.0} mL", grams * 10.0));
    answer.source(Source {
        sentence: "Australian Wine Research Institute, Yeast rehydration: 25 g/hL, 5 million cells in a mL",
        standing: Standing::Opened,
    });
    answer.source(Source {
        sentence: "A yeast producer's sheet: ten times its weight of water, 35 to 40 °C, 20 minutes",
        standing: Standing::Opened,
    });
    answer.caution(
        CautionKind::Practice,
        "a yeast producer's sheet",
        "Cold shocks yeast: mix must into it in steps until both are within 10 °C, then pitch. No nutrient salts in the \
         water.",
    );
    Ok(answer)
}
