//! Volatile acidity by distillation and a burette.

use super::acid_inputs::{EQUIVALENTS, GROUP, refused};
use super::titration_inputs::{LYE, SAMPLE, TITRANT};
use crate::acid::{Acid, DistilledSulfite, volatile_meq_l};
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

/// More than this is vinegar, g/L as acetic acid (common practice).
const HIGHEST_G_L: f64 = 10.0;

const IODINE: Input = Input::new(
    "free_iodine_ml",
    Quantity::SmallVolume,
    "iodine for the free SO2 in it",
)
.default("0")
.allowed(0.0, 100.0, "a burette is read from 0 up");

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "volatile-titrate",
    sentence: "Volatile acidity from the lye that the distillate of a sample takes up, less its sulfite.",
    group: GROUP,
    inputs: &[
        Input {
            help: "wine distilled, freed of carbon dioxide",
            ..SAMPLE
        },
        Input {
            help: "lye the distillate takes up",
            ..TITRANT
        },
        LYE,
        IODINE,
        Input {
            key: "bound_iodine_ml",
            help: "iodine for the bound SO2 in it, after borax",
            ..IODINE
        },
        Input::new(
            "iodine_normality",
            Quantity::Number,
            "equivalents per litre of the iodine: twice its mol/L of I2",
        )
        .default("0.01")
        .allowed(0.001, 0.2, "weaker or stronger gives no figure"),
    ],
    results: &[
        ResultSpec::new(
            "va_g_l",
            Quantity::GramsPerLitre,
            "volatile acidity as acetic acid",
        ),
        ResultSpec::new(
            "va_g_l_sulfuric",
            Quantity::GramsPerLitre,
            "the same as sulfuric acid",
        ),
        ResultSpec::new("va_meq_l", Quantity::Number, "the same in meq/L"),
    ],
    example: &[
        ("sample", "20 mL"),
        ("titrant", "2.0 mL"),
        ("normality", "0.1"),
        ("free-iodine", "1.0 mL"),
    ],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let (sample, titrant) = (inputs.require("sample_ml")?, inputs.require("titrant_ml")?);
    let normality = inputs.require("normality")?;
    let so2 = DistilledSulfite {
        free_ml: inputs.require("free_iodine_ml")?,
        bound_ml: inputs.require("bound_iodine_ml")?,
        normality: inputs.require("iodine_normality")?,
    };
    let meq = volatile_meq_l(titrant, normality, sample, so2);
    let acetic = Acid::Acetic.g_l(meq);
    if meq < 0.0 {
        return Err(refused(
            "free_iodine_ml",
            "so much SO2 alone takes up more lye than the distillate did: check the iodine's strength and the volumes",
        ));
    }
    if acetic > HIGHEST_G_L {
        return Err(refused(
            "titrant_ml",
            format!(
                "it comes to {acetic:.1} g/L, which is vinegar: check the lye's strength and the volumes"
            ),
        ));
    }
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    answer.result("va_g_l", acetic);
    answer.result("va_g_l_sulfuric", Acid::Sulfuric.g_l(meq));
    answer.result("va_meq_l", meq);
    answer.work(
        "acid",
        format!(
            "({titrant:.2} mL × {normality:.4} − {:.2} mL × {iodine:.4} − {:.2} mL × {iodine:.4} / 2) × 1000 / {sample:.1} \
             mL = {meq:.2} meq/L",
            so2.free_ml,
            so2.bound_ml,
            iodine = so2.normality
        ),
    );
    answer.work(
        "as acetic",
        format!("{meq:.2} meq/L × 60.05 / 1000 = {acetic:.3} g/L"),
    );
    answer.source(Source {
        sentence: "OIV-MA-AS313-02: 5 · (n − 0.1 n′ − 0.05 n″) meq/L for 20 mL of wine",
        standing: Standing::FromMemory,
    });
    answer.source(EQUIVALENTS);
    if !inputs.is_given("free_iodine_ml") {
        answer.caution(
            CautionKind::Range,
            "OIV-MA-AS313-02, from memory",
            "SO2 comes over too and counts as acid: 30 mg/L of it free looks like 0.06 g/L. Titrate the distillate with \
             iodine and give it, or read this as the most there is.",
        );
    }
    answer.caution(
        CautionKind::Hazard,
        "common practice",
        "Lye burns eyes and skin, and steam scalds: goggles, gloves, nothing closed over a flame. This is steam through a \
         sample for a test, not distilling to drink, which is against the law in most homes.",
    );
    Ok(answer)
}
