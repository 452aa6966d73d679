//! How much of a wine's free SO2 is molecular, the part that protects.

use super::sulfite_inputs::{ALCOHOL, CONSTANT, Constants, FREE, GROUP, PH, TEMPERATURE};
use crate::answer::{Answer, CautionKind};
use crate::error::CalcError;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};
use crate::sulfite::{molecular_fraction, molecular_mg_l};

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "so2-molecular",
    sentence: "How much of the free SO2 is molecular, the part that protects.",
    group: GROUP,
    inputs: &[
        FREE.required(),
        PH.required(),
        CONSTANT,
        TEMPERATURE,
        ALCOHOL,
    ],
    results: &[
        ResultSpec::new(
            "molecular_so2_mg_l",
            Quantity::MassPerVolume,
            "molecular SO2",
        ),
        ResultSpec::new(
            "molecular_fraction",
            Quantity::Fraction,
            "part of the free SO2 that is molecular",
        ),
        ResultSpec::new("pk1", Quantity::Number, "dissociation constant used"),
    ],
    example: &[("free-so2", "32"), ("ph", "3.4")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let (free, ph) = (inputs.require("free_so2_mg_l")?, inputs.require("ph")?);
    let constants = Constants::read(inputs)?;
    let pk1 = constants.pk1();
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    constants.explain(&mut answer);

    let fraction = molecular_fraction(ph, pk1);
    let molecular = molecular_mg_l(free, ph, pk1);
    answer.result("molecular_so2_mg_l", molecular);
    answer.result("molecular_fraction", fraction);
    answer.result("pk1", pk1);
    answer.work(
        "part",
        format!(
            "1 / (1 + 10^({ph:.2} − {pk1:.3})) = {:.2} %",
            fraction * 100.0
        ),
    );
    answer.work(
        "molecular",
        format!("{free:.1} × {fraction:.4} = {molecular:.2} mg/L"),
    );
    answer.other_constant = Some(constants.other_fields(|pk1, fields| {
        fields.put("molecular_so2_mg_l", molecular_mg_l(free, ph, pk1));
        fields.put("molecular_fraction", molecular_fraction(ph, pk1));
    }));
    if molecular > 2.0 {
        answer.caution(
            CautionKind::Limit,
            "Waterhouse, Sacks and Jeffery, Understanding Wine Chemistry, Table 17.1",
            "Above about 2 mg/L molecular SO2 stings the nose: let it fall before the wine is served.",
        );
    }
    Ok(answer)
}
