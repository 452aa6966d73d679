//! Density of sugar and water.

use super::sugar_inputs::{DENSITIES, ICUMSA};
use crate::answer::Answer;
use crate::density::sucrose_density;
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "density-sucrose",
    sentence: "Density of sugar and water by °Brix and temperature.",
    group: DENSITIES,
    inputs: &[
        Input::new("brix", Quantity::Brix, "grams of sucrose in 100 g")
            .required()
            .allowed(0.0, 85.0, "the formula is for 0 to 85 °Bx"),
        Input::new(
            "temperature_c",
            Quantity::Temperature,
            "temperature of the liquid",
        )
        .default("20")
        .allowed(0.0, 80.0, "the formula is for 0 to 80 °C"),
    ],
    results: &[ResultSpec::new(
        "density_kg_m3",
        Quantity::Density,
        "density",
    )],
    example: &[("brix", "24 Bx")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let (brix, temperature) = (inputs.require("brix")?, inputs.require("temperature_c")?);
    let density = sucrose_density(brix / 100.0, temperature);
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    answer.result("density_kg_m3", density);
    answer.work(
        "density",
        format!("ρ({brix:.2} °Bx, {temperature:.2} °C) = {density:.3} kg/m³"),
    );
    answer.source(ICUMSA);
    Ok(answer)
}
