//! What a wine holds besides water and alcohol.

use super::sugar_inputs::{GROUP, ICUMSA, R22};
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::density::WATER_20;
use crate::error::CalcError;
use crate::extract::{extract_g_l, residue_sg};
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

const OIV: Source = Source {
    sentence: "OIV-MA-AS2-03B, total dry matter, sections 2 and 3.1: d_r = d_v − d_a + 1.000 (Tabarié)",
    standing: Standing::Opened,
};
/// A residue this little below water is rounding of the readings; further below they disagree.
const ROUNDING: f64 = 0.0005;

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "dry-extract",
    sentence: "Sugar, acid and all else a wine holds beside water and alcohol.",
    group: GROUP,
    inputs: &[
        Input::new("sg", Quantity::Gravity, "specific gravity 20/20")
            .one_of("density")
            .allowed(0.96, 1.12, "no wine is lighter and none heavier"),
        Input::new("density_kg_m3", Quantity::Density, "density at 20 °C")
            .one_of("density")
            .allowed(958.0, 1118.0, "no wine is lighter and none heavier"),
        Input::new(
            "alcohol_pct_vol",
            Quantity::AlcoholByVolume,
            "strength at 20 °C",
        )
        .required()
        .allowed(0.0, 25.0, "no wine is stronger, nor weaker than none"),
    ],
    results: &[
        ResultSpec::new(
            "dry_extract_g_l",
            Quantity::GramsPerLitre,
            "total dry extract",
        ),
        ResultSpec::new(
            "residue_sg",
            Quantity::Gravity,
            "gravity 20/20 with water in the alcohol's place",
        ),
    ],
    example: &[("sg", "0.993"), ("alcohol", "12")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let alcohol = inputs.require("alcohol_pct_vol")?;
    let (key, sg) = match inputs.number("sg") {
        Some(sg) => ("sg", sg),
        None => ("density_kg_m3", inputs.require("density_kg_m3")? / WATER_20),
    };
    let residue = residue_sg(sg, alcohol);
    if residue < 1.0 - ROUNDING {
        return Err(CalcError::Refused {
            key,
            sentence: format!(
                "SG {sg:.4} is lighter than plain alcohol and water of {alcohol:.1} % vol, which is {:.4}: check the \
                 strength, and the temperature of the reading",
                sg - residue + 1.0
            ),
        });
    }
    let plain = sg - residue + 1.0;
    // Within the rounding of the readings nothing is left, not less than nothing.
    let residue = residue.max(1.0);
    let Some(extract) = extract_g_l(residue) else {
        return Err(CalcError::Refused {
            key,
            sentence: format!(
                "its residue of SG {residue:.4} is beyond 1.200, where no wine is: check the reading and the strength"
            ),
        });
    };
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    answer.result("dry_extract_g_l", extract);
    answer.result("residue_sg", residue);
    answer.work(
        "alcohol away",
        format!(
            "{sg:.5} − {plain:.5} ({alcohol:.2} % vol of ethanol in water) + 1 = {residue:.5}, to the rounding of the \
             readings"
        ),
    );
    answer.work(
        "extract",
        format!("sugar water of SG {residue:.5} holds {extract:.1} g/L"),
    );
    for source in [OIV, R22, ICUMSA] {
        answer.source(source);
    }
    answer.caution(
        CautionKind::Practice,
        "common practice",
        "0.001 in gravity or 0.9 % vol are 2.6 g/L, so a kitchen hydrometer gives it to 3 g/L or so. Dry white wines \
         hold 18 to 28 g/L; what is much above is sugar.",
    );
    Ok(answer)
}
