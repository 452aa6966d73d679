//! Titratable acidity by a burette.

use super::acid_inputs::{EQUIVALENTS, GROUP, refused};
use super::titration_inputs::{LYE, SAMPLE, TITRANT};
use crate::acid::{Acid, titratable_g_l};
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

/// No must has a higher acidity, g/L as tartaric (common practice).
const HIGHEST_G_L: f64 = 40.0;
/// What an end point of 8.2 reads more than one of 7.0, g/L: low, middle, high (from memory).
const END_POINTS_APART: (f64, f64, f64) = (0.2, 0.35, 0.5);

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "acid-titrate",
    sentence: "Titratable acidity from the lye a sample takes up.",
    group: GROUP,
    inputs: &[
        Input {
            help: "must or wine titrated",
            ..SAMPLE
        },
        Input {
            help: "lye used up to the end point",
            ..TITRANT
        }
        .allowed(0.0, 500.0, "a burette is read from 0 up"),
        LYE,
        Input::new(
            "end_point",
            Quantity::Ph,
            "pH at which it ends: 8.2, or 7.0 as the OIV has it",
        )
        .default("8.2")
        .allowed(7.0, 8.5, "no method ends below 7.0 or above 8.5"),
    ],
    results: &[
        ResultSpec::new(
            "ta_g_l_tartaric",
            Quantity::GramsPerLitre,
            "titratable acidity as tartaric acid",
        ),
        ResultSpec::new(
            "ta_g_l_sulfuric",
            Quantity::GramsPerLitre,
            "the same as sulfuric acid",
        ),
        ResultSpec::new("ta_meq_l", Quantity::Number, "the same in meq/L"),
        ResultSpec::new(
            "ta_other_end_g_l",
            Quantity::GramsPerLitre,
            "about what the other end point, 7.0 or 8.2, would read, as tartaric acid",
        ),
    ],
    example: &[
        ("sample", "10 mL"),
        ("titrant", "8.0 mL"),
        ("normality", "0.1"),
    ],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let (sample, titrant) = (inputs.require("sample_ml")?, inputs.require("titrant_ml")?);
    let normality = inputs.require("normality")?;
    let end = inputs.require("end_point")?;
    let acidity = titratable_g_l(titrant, normality, sample);
    if acidity > HIGHEST_G_L {
        return Err(refused(
            "titrant_ml",
            format!(
                "it comes to {acidity:.1} g/L, and no must has more than {HIGHEST_G_L:.0}: check the lye's strength \
                 and the volumes"
            ),
        ));
    }
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    let meq = Acid::Tartaric.meq_l(acidity);
    answer.result("ta_g_l_tartaric", acidity);
    answer.result("ta_g_l_sulfuric", Acid::Sulfuric.g_l(meq));
    answer.result("ta_meq_l", meq);
    answer.work(
        "acidity",
        format!(
            "{titrant:.2} mL × {normality:.4} mol/L × {:.2} / {sample:.2} mL = {acidity:.2} g/L as tartaric acid, to \
             pH {end:.1}",
            Acid::Tartaric.equivalent_g()
        ),
    );
    other_end(&mut answer, acidity, end);
    answer.source(EQUIVALENTS);
    answer.source(Source {
        sentence: "OIV-MA-AS313-01 (end point pH 7.0); AOAC 962.12 (end point pH 8.2)",
        standing: Standing::FromMemory,
    });
    answer.caution(
        CautionKind::Hazard,
        "common practice",
        "Lye burns eyes and skin: wear goggles, and rinse splashes off with plenty of water at once.",
    );
    answer.caution(
        CautionKind::Practice,
        "OIV-MA-AS313-01, from memory",
        "Carbon dioxide in the sample counts as acid: shake or warm it out first, and note the end point with the \
         figure.",
    );
    if titrant < 3.0 {
        answer.caution(
            CautionKind::Practice,
            "common practice",
            "So little lye cannot be read closely: take a larger sample or weaker lye.",
        );
    }
    Ok(answer)
}

fn other_end(answer: &mut Answer, acidity: f64, end: f64) {
    let (low, middle, high) = END_POINTS_APART;
    let is = |figure: f64| (end - figure).abs() < 0.01;
    if is(8.2) && acidity > 1.0 {
        answer.band(
            "ta_other_end_g_l",
            acidity - high,
            acidity - middle,
            acidity - low,
        );
    } else if is(7.0) {
        answer.band(
            "ta_other_end_g_l",
            acidity + low,
            acidity + middle,
            acidity + high,
        );
    } else {
        answer.result("ta_other_end_g_l", None);
        if !is(8.2) {
            answer.caution(
                CautionKind::Range,
                "OIV-MA-AS313-01 and AOAC 962.12, from memory",
                format!(
                    "Published methods end at pH 7.0 or 8.2, not at {end:.1}: compare the figure only with others \
                     of this end point."
                ),
            );
        }
    }
}
