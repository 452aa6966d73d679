//! An acidity given as one acid, as another.

use super::acid_inputs::{EQUIVALENTS, GROUP, acid};
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

const ACIDS: Quantity = Quantity::Choice(&[
    "tartaric", "sulfuric", "malic", "lactic", "citric", "acetic", "meq",
]);

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "acid-convert",
    sentence: "An acidity in g/L as one acid, as another acid or in meq/L.",
    group: GROUP,
    inputs: &[
        Input::new(
            "value",
            Quantity::Number,
            "the figure, in g/L as that acid, or in meq/L",
        )
        .required()
        .allowed(0.0, 1000.0, "an acidity is none or more and none is higher"),
        Input::new("from", ACIDS, "acid the figure is given as, or meq").required(),
        Input::new("to", ACIDS, "acid to give it as, or meq").default("tartaric"),
    ],
    results: &[
        ResultSpec::new(
            "value",
            Quantity::Number,
            "the same acidity, in g/L as the other acid, or in meq/L",
        ),
        ResultSpec::new("meq_l", Quantity::Number, "the same in meq/L"),
    ],
    example: &[("value", "4.0"), ("from", "sulfuric")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let value = inputs.require("value")?;
    let (from, to) = (inputs.word("from"), inputs.word("to"));
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    let meq = acid(from).map_or(value, |acid| acid.meq_l(value));
    let converted = acid(to).map_or(meq, |acid| acid.g_l(meq));
    answer.result("value", converted);
    answer.result("meq_l", meq);
    if let Some(acid) = acid(from) {
        answer.work(
            "equivalents",
            format!(
                "{value:.2} g/L × 1000 / {:.2} = {meq:.2} meq/L",
                acid.equivalent_g()
            ),
        );
    }
    answer.work(
        "as the other",
        match acid(to) {
            Some(acid) => format!(
                "{meq:.2} meq/L × {:.2} / 1000 = {converted:.2} g/L as {to} acid",
                acid.equivalent_g()
            ),
            None => format!("{converted:.2} meq/L"),
        },
    );
    answer.source(EQUIVALENTS);
    answer.source(Source {
        sentence: "Australian Wine Research Institute, TN14, Interconversion of acidity units",
        standing: Standing::Opened,
    });
    answer.caution(
        CautionKind::Practice,
        "common practice",
        "French and some other sheets give acidity as sulfuric acid, half as much again as tartaric: read which acid \
         a figure is given as before using it.",
    );
    Ok(answer)
}
