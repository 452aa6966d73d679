//! Free SO2 by a burette.

use super::acid_inputs::refused;
use super::sulfite_inputs::{GROUP, red_colour};
use super::titration_inputs::{IODINE, SAMPLE, TITRANT};
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};
use crate::sulfite::{ascorbic_as_so2_mg_l, titrated_mg_l};

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "so2-titrate",
    sentence: "Free SO2 from the iodine a sample takes up, or from the lye after aeration.",
    group: GROUP,
    inputs: &[
        SAMPLE,
        TITRANT,
        IODINE,
        Input::new(
            "method",
            Quantity::Choice(&["iodine", "aeration"]),
            "iodine and starch, or aeration into peroxide and lye",
        )
        .default("iodine"),
        Input::new(
            "wine",
            Quantity::Choice(&["white", "red"]),
            "colour of the wine",
        )
        .default("white"),
        Input::new(
            "ascorbic_acid_mg_l",
            Quantity::MassPerVolume,
            "ascorbic acid in it, which iodine counts too",
        )
        .allowed(0.0, 500.0, "no wine has more, nor less than none"),
    ],
    results: &[ResultSpec::new(
        "free_so2_mg_l",
        Quantity::MassPerVolume,
        "free SO2",
    )],
    example: &[
        ("sample", "50 mL"),
        ("titrant", "2.5 mL"),
        ("normality", "0.02"),
    ],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let (sample, titrant) = (inputs.require("sample_ml")?, inputs.require("titrant_ml")?);
    let normality = inputs.require("normality")?;
    let iodine = inputs.word("method") == "iodine";
    let read = titrated_mg_l(titrant, normality, sample);
    let ascorbic = match inputs.number("ascorbic_acid_mg_l") {
        Some(ascorbic) if iodine => ascorbic_as_so2_mg_l(ascorbic),
        _ => 0.0,
    };
    if read > 500.0 {
        return Err(refused(
            "titrant_ml",
            format!(
                "it comes to {read:.0} mg/L, and no drinkable wine has more than 500: check volumes and normality"
            ),
        ));
    }
    if ascorbic > read {
        return Err(refused(
            "ascorbic_acid_mg_l",
            format!(
                "so much ascorbic acid alone would read {ascorbic:.0} mg/L, more than the {read:.0} found: it has been used \
                 up in part, so test by aeration"
            ),
        ));
    }
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    let free = read - ascorbic;
    answer.result("free_so2_mg_l", free);
    answer.work(
        "titrated",
        format!(
            "{titrant:.2} mL × {normality:.4} × 32.029 × 1000 / {sample:.1} mL = {read:.1} mg/L"
        ),
    );
    if ascorbic > 0.0 {
        answer.work(
            "ascorbic acid",
            format!("{read:.1} − {ascorbic:.1} = {free:.1} mg/L"),
        );
    }
    answer.source(Source {
        sentence: "SO2 + I2 + 2 H2O → H2SO4 + 2 HI: 64.058 / 2 g to the equivalent, from IUPAC atomic masses",
        standing: Standing::Derived,
    });
    if iodine {
        answer.caution(
            CautionKind::Range,
            "common practice",
            "Iodine also takes up ascorbic acid, tannin and colour, so it reads too high, most of all in a red wine: \
             take its figure for the most there is, and titrate fast and cold.",
        );
        answer.caution(
            CautionKind::Hazard,
            "common practice",
            "The acid of this test burns eyes and skin, and sets SO2 free: goggles, gloves, window open, and pour nothing \
             of it back.",
        );
    }
    if inputs.word("wine") == "red" {
        red_colour(&mut answer);
    }
    if titrant < 1.0 {
        answer.caution(
            CautionKind::Practice,
            "common practice",
            "So little titrant cannot be read closely: take a larger sample or weaker titrant.",
        );
    }
    Ok(answer)
}
