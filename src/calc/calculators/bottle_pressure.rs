//! The pressure sugar makes in a closed bottle.

use super::vessel_inputs::BOTTLING;
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::gas::{CO2_DISSOLVES_G_L, CO2_PER_SUGAR, bottle_kpa};
use crate::hazards::{OVERRULED, REFERMENTING};
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

/// The sugar below which a bottle is safe without more ado.
const SAFE_G_L: f64 = 2.0;

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "bottle-pressure",
    sentence: "The pressure in a closed bottle if the sugar left in it ferments.",
    group: BOTTLING,
    inputs: &[Input::new(
        "sugar_g_l",
        Quantity::GramsPerLitre,
        "sugar a yeast could still use",
    )
    .required()
    .allowed(0.0, 400.0, "no wine is sweeter, nor has less than none")
    .sourced(
        0.0,
        50.0,
        "the law of dissolving gas holds to a few atmospheres",
    )],
    results: &[
        ResultSpec::new(
            "pressure_kpa",
            Quantity::Pressure,
            "pressure it adds over the air's at 20 °C, all of it fermented",
        ),
        ResultSpec::new(
            "co2_g_l",
            Quantity::GramsPerLitre,
            "carbon dioxide it makes",
        ),
    ],
    example: &[("sugar", "4 g/L")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let sugar = inputs.require("sugar_g_l")?;
    let kpa = bottle_kpa(sugar);
    let gas = sugar * CO2_PER_SUGAR;
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    answer.result("pressure_kpa", kpa);
    answer.result("co2_g_l", gas);
    answer.work(
        "gas",
        format!("{sugar:.1} g/L × {CO2_PER_SUGAR} = {gas:.2} g/L of carbon dioxide"),
    );
    answer.work(
        "pressure",
        format!(
            "{gas:.2} / {CO2_DISSOLVES_G_L} g/L to an atmosphere × 101.3 kPa = {kpa:.0} kPa, and more when warmer"
        ),
    );
    answer.source(Source {
        sentence: "C6H12O6 → 2 C2H6O + 2 CO2 with IUPAC atomic masses; Henry's law",
        standing: Standing::Derived,
    });
    answer.source(Source {
        sentence: "M. Dharmadhikari, Use of inert gases, Iowa State University: 1.69 g/L of carbon dioxide at 20 °C",
        standing: Standing::Opened,
    });
    if sugar > SAFE_G_L {
        answer.hazard(REFERMENTING);
        answer.hazard(OVERRULED);
        answer.caution(
            CautionKind::State,
            "common practice",
            "This is no recipe for a sparkling wine: that is made only in bottles built for it. Keep a wine with more than \
             2 g/L under an airlock, or stabilise it before bottling.",
        );
    }
    Ok(answer)
}
