//! Gas that drives the air out of a vessel.

use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::gas::{AIR_OXYGEN_PCT, purges};
use crate::hazards::{GAS_IN_A_ROOM, Hazard};
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

const NO_PRESSURE: Hazard = Hazard {
    sentence: "Glass bursts under gas pressure: let the gas in by a loose hose with the bung out, through a regulator turned \
               low, and never seal a glass vessel while gas flows.",
    short: "Never gas under pressure into glass: bung out, regulator low.",
    source: "common practice",
};

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "purge",
    sentence: "How much gas drives the oxygen out of an empty vessel or the air above a wine.",
    group: "Air",
    inputs: &[
        Input::new(
            "headspace_ml",
            Quantity::SmallVolume,
            "space to be filled with gas",
        )
        .required()
        .allowed(
            1.0,
            1e6,
            "spaces are some and this is for less than a cubic metre",
        ),
        Input::new(
            "oxygen_pct",
            Quantity::Percent,
            "oxygen that may stay in it",
        )
        .default("1")
        .allowed(0.01, 20.0, "air has 20.9, and no purging leaves none"),
    ],
    results: &[
        ResultSpec::new("gas_l", Quantity::Volume, "gas to let in, as gas"),
        ResultSpec::new(
            "fillings",
            Quantity::Number,
            "how many times the space that is",
        ),
    ],
    example: &[("headspace", "2 L")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let (space, oxygen) = (
        inputs.require("headspace_ml")?,
        inputs.require("oxygen_pct")?,
    );
    let fillings = purges(oxygen);
    let litres = fillings * space / 1e3;
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    answer.result("gas_l", litres);
    answer.result("fillings", fillings);
    answer.work(
        "fillings",
        format!("ln({AIR_OXYGEN_PCT} % / {oxygen} %) = {fillings:.2}, if the gas mixes with the air at once"),
    );
    answer.work(
        "gas",
        format!("{fillings:.2} × {space:.0} mL = {litres:.2} L"),
    );
    answer.source(Source {
        sentence: "Law of dilution with perfect mixing, x = 20.9·e⁻ⁿ",
        standing: Standing::Derived,
    });
    answer.hazard(GAS_IN_A_ROOM);
    answer.hazard(NO_PRESSURE);
    answer.caution(
        CautionKind::Practice,
        "common practice",
        "Heavy gas lies as a lid only if it comes in slowly, and for hours, not weeks: gases mix, so a full vessel keeps wine \
         better than gas does.",
    );
    Ok(answer)
}
