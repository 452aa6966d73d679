//! Density of ethanol and water.

use super::sugar_inputs::{DENSITIES, R22};
use crate::answer::Answer;
use crate::density::{alcohol_by_mass, alcohol_by_volume, ethanol_density};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

const STRENGTH: &str = "a strength is from none to pure ethanol";

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "density-ethanol",
    sentence: "Density of ethanol and water by strength and temperature.",
    group: DENSITIES,
    inputs: &[
        Input::new(
            "alcohol_pct_vol",
            Quantity::AlcoholByVolume,
            "strength by volume at 20 °C",
        )
        .one_of("strength")
        .allowed(0.0, 100.0, STRENGTH),
        Input::new(
            "alcohol_pct_mass",
            Quantity::AlcoholByMass,
            "strength by mass",
        )
        .one_of("strength")
        .allowed(0.0, 100.0, STRENGTH),
        Input::new(
            "temperature_c",
            Quantity::Temperature,
            "temperature of the liquid",
        )
        .default("20")
        .allowed(
            -20.0,
            40.0,
            "the tables are for -20 to 40 °C, where the mixture is liquid",
        ),
    ],
    results: &[
        ResultSpec::new("density_kg_m3", Quantity::Density, "density"),
        ResultSpec::new(
            "alcohol_pct_vol",
            Quantity::AlcoholByVolume,
            "strength by volume at 20 °C",
        ),
        ResultSpec::new(
            "alcohol_pct_mass",
            Quantity::AlcoholByMass,
            "strength by mass",
        ),
    ],
    example: &[("alcohol-pct-mass", "10"), ("temperature", "20 °C")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let temperature = inputs.require("temperature_c")?;
    let (by_volume, by_mass) = if let Some(by_volume) = inputs.number("alcohol_pct_vol") {
        (by_volume, alcohol_by_mass(by_volume))
    } else {
        let by_mass = inputs.require("alcohol_pct_mass")?;
        (alcohol_by_volume(by_mass), by_mass)
    };
    let density = ethanol_density(by_mass / 100.0, temperature);
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    answer.result("density_kg_m3", density);
    answer.result("alcohol_pct_vol", by_volume);
    answer.result("alcohol_pct_mass", by_mass);
    answer.work(
        "strength",
        format!("{by_volume:.2} % vol at 20 °C is {by_mass:.3} % mass"),
    );
    answer.work(
        "density",
        format!("ρ({by_mass:.3} % mass, {temperature:.2} °C) = {density:.3} kg/m³"),
    );
    answer.source(R22);
    Ok(answer)
}
