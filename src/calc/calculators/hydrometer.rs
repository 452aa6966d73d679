//! A gravity read warmer or colder than the hydrometer was made for.

use super::sugar_inputs::{GROUP, ICUMSA, R22};
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::density::water_density_sucrose;
use crate::error::CalcError;
use crate::hydrometer::{Corrected, floats_in, must, wine};
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

const ISO_1768: Source = Source {
    sentence: "ISO 1768:1975, clause 3: glass of hydrometers expands by 25·10⁻⁶ per °C",
    standing: Standing::Opened,
};

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "hydrometer",
    sentence: "The true gravity behind a hydrometer read warmer or colder than it was made for.",
    group: GROUP,
    inputs: &[
        Input::new("reading_sg", Quantity::Gravity, "what the hydrometer shows")
            .required()
            .allowed(0.970, 1.180, "hydrometers for wine and must end there")
            .sourced(0.985, 1.130, "wine and must lie between"),
        Input::new(
            "sample_c",
            Quantity::Temperature,
            "temperature of the sample",
        )
        .required()
        .allowed(
            0.0,
            45.0,
            "the densities of must are known from 0 °C, and hotter the reading means little",
        )
        .sourced(5.0, 35.0, "the correction is checked between"),
        Input::new(
            "calibration_c",
            Quantity::Temperature,
            "temperature the hydrometer was made for",
        )
        .default("20")
        .allowed(10.0, 30.0, "hydrometers are made for 15 °C, 60 °F or 20 °C"),
        Input::new(
            "alcohol_pct_vol",
            Quantity::AlcoholByVolume,
            "strength by now, if it is wine",
        )
        .allowed(0.0, 25.0, "no wine is stronger, nor weaker than none"),
    ],
    results: &[
        ResultSpec::new(
            "sg",
            Quantity::Gravity,
            "specific gravity 20/20, for all else",
        ),
        ResultSpec::new(
            "sg_at_calibration",
            Quantity::Gravity,
            "what it would show at its own temperature",
        ),
        ResultSpec::new("correction", Quantity::Number, "to add to the reading"),
    ],
    example: &[("reading", "1.060"), ("sample", "28 °C")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let (reading, sample) = (inputs.require("reading_sg")?, inputs.require("sample_c")?);
    let calibration = inputs.require("calibration_c")?;
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    let Corrected { sg, at_calibration } = match inputs.number("alcohol_pct_vol") {
        None => must(reading, sample, calibration),
        Some(alcohol) => {
            wine(reading, sample, calibration, alcohol).ok_or_else(|| too_light(alcohol))?
        }
    };
    let correction = at_calibration - reading;

    answer.result("sg", sg);
    answer.result("sg_at_calibration", at_calibration);
    answer.result("correction", correction);
    answer.work(
        "density",
        format!(
            "{reading:.4} × {:.2} / (1 + 25·10⁻⁶ × ({sample:.1} − {calibration:.1})) = {:.2} kg/m³ at \
             {sample:.1} °C",
            water_density_sucrose(calibration),
            floats_in(reading, sample, calibration)
        ),
    );
    answer.work(
        "at its own",
        format!(
            "the same liquid shows {at_calibration:.4} at {calibration:.1} °C: {correction:+.4}"
        ),
    );
    answer.work(
        "20/20",
        format!("and {sg:.4} at 20 °C against water at 20 °C"),
    );
    for source in [ISO_1768, ICUMSA] {
        answer.source(source);
    }
    match inputs.number("alcohol_pct_vol") {
        Some(_) => answer.source(R22),
        None if reading < 1.02 => answer.caution(
            CautionKind::Range,
            "the densities of ethanol and of sugar in water",
            "Without alcohol_pct_vol it is taken as must; wine expands more, so its correction is half as large again \
             or nearly twice: give the strength, or let the sample come to the hydrometer's temperature.",
        ),
        None => {}
    }
    answer.caution(
        CautionKind::Practice,
        "common practice",
        "Gas bubbles lift a hydrometer: shake the gas out of a sample that ferments, and spin the hydrometer.",
    );
    Ok(answer)
}

fn too_light(alcohol: f64) -> CalcError {
    CalcError::Refused {
        key: "alcohol_pct_vol",
        sentence: format!(
            "a wine of {alcohol:.1} % vol does not show this gravity, since even without sugar it is heavier: \
             check the strength and the reading"
        ),
    }
}
