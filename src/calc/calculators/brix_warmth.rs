//! A °Brix read warmer or colder than 20 °C.

use super::sugar_inputs::GROUP;
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::refraction::warmth_correction;
use crate::registry::{Calculator, ResultSpec};

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "brix-warmth",
    sentence: "The true °Brix behind a refractometer read warmer or colder than 20 °C.",
    group: GROUP,
    inputs: &[
        Input::new(
            "reading_brix",
            Quantity::Brix,
            "what the refractometer shows",
        )
        .required()
        .allowed(
            0.0,
            40.0,
            "the correction is known to 40, and water shows none",
        )
        .sourced(
            10.0,
            30.0,
            "the table ends there, and its slope is carried on",
        ),
        Input::new(
            "sample_c",
            Quantity::Temperature,
            "temperature of prism and drop",
        )
        .required()
        .allowed(
            10.0,
            30.0,
            "the table ends there: let drop and prism come nearer to 20 °C",
        ),
    ],
    results: &[
        ResultSpec::new("brix", Quantity::Brix, "°Brix at 20 °C"),
        ResultSpec::new("correction", Quantity::Number, "to add to the reading"),
    ],
    example: &[("reading", "22"), ("sample", "15 °C")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let (reading, sample) = (inputs.require("reading_brix")?, inputs.require("sample_c")?);
    let correction = warmth_correction(reading, sample).ok_or(CalcError::Missing {
        key: "sample_c",
        help: "a temperature of 10 to 30 °C",
    })?;
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    answer.result("brix", reading + correction);
    answer.result("correction", correction);
    answer.work(
        "correction",
        format!(
            "{reading:.2} °Bx at {sample:.1} °C {correction:+.2} = {:.2} °Bx at 20 °C",
            reading + correction
        ),
    );
    answer.source(Source {
        sentence: "OIV-MA-AS2-02, Table I, rows 10 to 17 °C",
        standing: Standing::Opened,
    });
    answer.source(Source {
        sentence: "OIV-MA-AS2-02, Table I, rows 18 to 30 °C",
        standing: Standing::FromMemory,
    });
    answer.source(Source {
        sentence: "Below 10 °Bx: IAPWS 1997, refractive index of water, on the ICUMSA scale",
        standing: Standing::Derived,
    });
    answer.source(Source {
        sentence: "GOST on refractometry of juice products, Annex A, Table A.1: within 0.02 of it from 10 to 22 °C",
        standing: Standing::Opened,
    });
    answer.caution(
        CautionKind::Practice,
        "common practice",
        "Not for an instrument that corrects for warmth itself, where this would count twice. Set the zero with water at the \
         same temperature only if the instrument says so; then correct nothing.",
    );
    Ok(answer)
}
