//! How much free SO2 a wine needs for its pH.

use super::sulfite_inputs::{
    ALCOHOL, CONSTANT, Constants, GROUP, PH, TARGET_MOLECULAR, TEMPERATURE,
};
use crate::answer::{Answer, CautionKind};
use crate::error::CalcError;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};
use crate::sulfite::{HIGH_PH, free_needed_mg_l};

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "so2-need",
    sentence: "How much free SO2 the wine needs for its pH.",
    group: GROUP,
    inputs: &[
        PH.required(),
        TARGET_MOLECULAR.default("0.8"),
        CONSTANT,
        TEMPERATURE,
        ALCOHOL,
    ],
    results: &[
        ResultSpec::new(
            "free_so2_mg_l",
            Quantity::MassPerVolume,
            "free SO2 to aim at",
        ),
        ResultSpec::new("pk1", Quantity::Number, "dissociation constant used"),
    ],
    example: &[("ph", "3.4")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let (ph, target) = (
        inputs.require("ph")?,
        inputs.require("target_molecular_mg_l")?,
    );
    let constants = Constants::read(inputs)?;
    let pk1 = constants.pk1();
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    constants.explain(&mut answer);

    let free = free_needed_mg_l(target, ph, pk1);
    answer.result("free_so2_mg_l", free);
    answer.result("pk1", pk1);
    answer.work(
        "needed",
        format!("{target} × (1 + 10^({ph:.2} − {pk1:.3})) = {free:.1} mg/L"),
    );
    answer.other_constant = Some(constants.other_fields(|pk1, fields| {
        fields.put("free_so2_mg_l", free_needed_mg_l(target, ph, pk1));
    }));
    if ph > HIGH_PH {
        answer.caution(
            CautionKind::Limit,
            "common practice",
            high_ph_sentence(ph, target, free, pk1),
        );
    }
    Ok(answer)
}

/// What an honest aim costs above pH 3.7.
pub(super) fn high_ph_sentence(ph: f64, target: f64, free: f64, pk1: f64) -> String {
    let at_half = free_needed_mg_l(0.5, ph, pk1);
    let lower = if target > 0.5 {
        format!("aim at 0.5 ({at_half:.0} mg/L free) and drink it young, ")
    } else {
        "drink it young, ".to_owned()
    };
    format!(
        "At pH {ph:.2} an honest {target} mg/L molecular costs {free:.0} mg/L free SO2, and above about 50 it is \
         tasted: lower the pH with acid after a bench trial, or {lower}and keep it cool and full to the bung."
    )
}
