//! Gravity, Brix and grams of sugar, each from the others.

use super::sugar_inputs::{BRIX, GROUP, ICUMSA, MUST_TABLE, SG, SUGAR};
use crate::answer::Answer;
use crate::density::{bisect, brix_from_sg, sg_from_brix, sucrose_g_l};
use crate::error::CalcError;
use crate::inputs::Inputs;
use crate::must;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "sugar",
    sentence: "Gravity, Brix and grams of sugar in a litre, each from the others.",
    group: GROUP,
    inputs: &[
        SG.one_of("sugar"),
        BRIX.one_of("sugar"),
        SUGAR.one_of("sugar"),
    ],
    results: &[
        ResultSpec::new(
            "sg",
            Quantity::Gravity,
            "specific gravity 20/20, as sucrose and water",
        ),
        ResultSpec::new("brix", Quantity::Brix, "°Brix"),
        ResultSpec::new(
            "sugar_g_l",
            Quantity::GramsPerLitre,
            "sugar, as sucrose and water",
        ),
        ResultSpec::new(
            "must_sugar_g_l",
            Quantity::GramsPerLitre,
            "fermentable sugar if it is grape must",
        ),
    ],
    example: &[("sg", "1.090")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let brix = match (inputs.number("brix"), inputs.number("sg")) {
        (Some(brix), _) => brix,
        (None, Some(sg)) => brix_from_sg(sg).ok_or_else(|| CalcError::Refused {
            key: "sg",
            sentence: "it is no gravity of sugar and water: check the reading and give it again"
                .to_owned(),
        })?,
        (None, None) => {
            let sugar = inputs.require("sugar_g_l")?;
            bisect(0.0, 85.0, |brix| sucrose_g_l(brix) - sugar)
        }
    };
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    // What was given stands as given, and is not sent round through the others.
    let sg = inputs.number("sg").unwrap_or_else(|| sg_from_brix(brix));
    let sugar = inputs
        .number("sugar_g_l")
        .unwrap_or_else(|| sucrose_g_l(brix));
    let of_must = must::sugar_g_l(brix);
    answer.result("sg", sg);
    answer.result("brix", brix);
    answer.result("sugar_g_l", sugar);
    answer.result("must_sugar_g_l", of_must);
    answer.work(
        "gravity",
        format!("{brix:.2} °Bx = {brix:.2} g of sucrose in 100 g = SG {sg:.4} at 20/20"),
    );
    answer.work(
        "sugar",
        format!("{brix:.2} / 100 × {sg:.4} × 998.2 g/L = {sugar:.1} g/L as sucrose"),
    );
    answer.source(ICUMSA);
    match of_must {
        Some(of_must) => {
            answer.source(MUST_TABLE);
            answer.work(
                "must",
                format!(
                    "as grape must {of_must:.1} g/L of sugar, since its acids and salts count in the \
                     reading too; never mix the two"
                ),
            );
        }
        None => answer.work(
            "must",
            "the table for grape must reaches from 10 to 30 °Bx, so it has no figure here",
        ),
    }
    Ok(answer)
}
