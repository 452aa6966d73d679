//! Density of water.

use super::sugar_inputs::DENSITIES;
use crate::answer::{Answer, Source, Standing};
use crate::density::water_density;
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "density-water",
    sentence: "Density of water by temperature.",
    group: DENSITIES,
    inputs: &[Input::new(
        "temperature_c",
        Quantity::Temperature,
        "temperature of the water",
    )
    .default("20")
    .allowed(0.0, 40.0, "the formula is for water from freezing to 40 °C")],
    results: &[ResultSpec::new(
        "density_kg_m3",
        Quantity::Density,
        "density at 1 atm, free of air",
    )],
    example: &[("temperature", "20 °C")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let temperature = inputs.require("temperature_c")?;
    let density = water_density(temperature).ok_or_else(|| CalcError::Refused {
        key: "temperature_c",
        sentence: "the formula is for 0 to 40 °C: give a temperature between".to_owned(),
    })?;
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    answer.result("density_kg_m3", density);
    answer.work(
        "density",
        format!("ρ({temperature:.2} °C) = {density:.4} kg/m³"),
    );
    answer.source(Source {
        sentence: "M. Tanaka et al., Metrologia 38 (2001) 301: the CIPM's table, within 0.001 kg/m³",
        standing: Standing::Opened,
    });
    Ok(answer)
}
