//! How much strength an opened powder has left.

use super::sulfite_inputs::GROUP;
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};
use crate::sulfite::{Metabisulfite, POWDER_LOSS_PER_YEAR, powder_left};

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "powder-age",
    sentence: "How much strength metabisulfite has left, by the months since it was opened.",
    group: GROUP,
    inputs: &[Input::new(
        "months_opened",
        Quantity::Number,
        "months since the packet was opened",
    )
    .required()
    .allowed(
        0.0,
        24.0,
        "past two years nothing is known of its strength, so take fresh powder",
    )],
    results: &[
        ResultSpec::new(
            "potency_pct",
            Quantity::Percent,
            "strength left, of a fresh lot's",
        ),
        ResultSpec::new(
            "so2_yield",
            Quantity::Fraction,
            "SO2 from a gram of potassium metabisulfite",
        ),
    ],
    example: &[("months-opened", "12")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let months = inputs.require("months_opened")?;
    let (slow, middle, fast) = POWDER_LOSS_PER_YEAR;
    let left = |loss: f64| powder_left(loss, months);
    let fresh = Metabisulfite::Potassium.so2_yield();
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    answer.band(
        "potency_pct",
        left(fast) * 100.0,
        left(middle) * 100.0,
        left(slow) * 100.0,
    );
    answer.band(
        "so2_yield",
        left(fast) * fresh,
        left(middle) * fresh,
        left(slow) * fresh,
    );
    answer.work(
        "left",
        format!(
            "(1 − {middle:.2})^({months:.0} / 12) = {:.0} %",
            left(middle) * 100.0
        ),
    );
    answer.work(
        "yield",
        format!(
            "{fresh:.4} × {:.2} = {:.3} g/g",
            left(middle),
            left(middle) * fresh
        ),
    );
    answer.source(Source {
        sentence: "Zoecklein et al., Wine Analysis and Production: 10 to 20 % a year once opened",
        standing: Standing::FromMemory,
    });
    if months > 12.0 {
        answer.caution(
            CautionKind::State,
            "Zoecklein et al.; Ribéreau-Gayon et al., from memory",
            "After a year buy fresh powder; until then reckon with 0.50 g of SO2 to a gram, potency_pct 87 or less, and test \
             the wine after dosing.",
        );
    }
    answer.caution(
        CautionKind::Practice,
        "common practice",
        "Damp air ruins it: keep it dry, tightly closed and away from children, and throw it away once it has caked or \
         hardly smells.",
    );
    Ok(answer)
}
