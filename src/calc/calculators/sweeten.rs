//! Sugar to sweeten a finished wine.

use super::strengthen_inputs::{MIXTURE, SUGAR_ROOM, VOLUME, not_above};
use super::sugar_inputs::GROUP;
use crate::answer::{Answer, CautionKind};
use crate::error::CalcError;
use crate::hazards::REFERMENTING;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};
use crate::strengthen::sweeten;

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "sweeten",
    sentence: "Sugar that makes a finished wine so sweet, and the volume it makes.",
    group: GROUP,
    inputs: &[
        VOLUME,
        Input::new("from", Quantity::GramsPerLitre, "sugar in a litre now")
            .default("0")
            .allowed(0.0, 400.0, "no wine is sweeter, nor has less than none"),
        Input::new("to", Quantity::GramsPerLitre, "sugar in a litre wanted")
            .required()
            .allowed(0.0, 400.0, "no wine is sweeter, nor has less than none")
            .sourced(
                0.0,
                200.0,
                "the mixture of sugar and alcohol was checked between",
            ),
        Input::new(
            "alcohol_pct_vol",
            Quantity::AlcoholByVolume,
            "strength of the wine now",
        )
        .default("12")
        .allowed(0.0, 25.0, "no wine is stronger, nor weaker than none"),
    ],
    results: &[
        ResultSpec::new("sugar_g", Quantity::Mass, "table sugar to dissolve"),
        ResultSpec::new("final_volume_l", Quantity::Volume, "volume then"),
        ResultSpec::new(
            "alcohol_pct_vol",
            Quantity::AlcoholByVolume,
            "strength then, since the same alcohol fills more",
        ),
    ],
    example: &[("volume", "23 L"), ("from", "2"), ("to", "20")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let (volume, alcohol) = (
        inputs.require("volume_l")?,
        inputs.require("alcohol_pct_vol")?,
    );
    let (from, to) = (inputs.require("from")?, inputs.require("to")?);
    if to <= from {
        return Err(not_above(
            from,
            to,
            "g/L",
            "sweetening only adds sugar: blend with a drier wine",
        ));
    }
    let added = sweeten(volume, alcohol, from, to);
    let (sugar, end) = (added.amount, added.final_volume_l);
    let weaker = alcohol * volume / end;

    let mut answer = Answer::new(CALCULATOR.name, inputs);
    answer.result("sugar_g", sugar);
    answer.result("final_volume_l", end);
    answer.result("alcohol_pct_vol", weaker);
    answer.work(
        "sugar",
        format!(
            "{to:.1} g/L × {end:.3} L − {from:.1} g/L × {volume:.3} L = {sugar:.0} g; to the old volume it \
             would be {:.0} g",
            (to - from) * volume
        ),
    );
    answer.work(
        "volume",
        format!(
            "{volume:.3} L + {:.3} L, which is {:.3} mL to a gram of sugar = {end:.3} L",
            end - volume,
            (end - volume) * 1e3 / sugar
        ),
    );
    answer.work(
        "strength",
        format!("{alcohol:.1} % vol × {volume:.3} / {end:.3} = {weaker:.2} % vol"),
    );
    answer.source(MIXTURE);
    answer.source(SUGAR_ROOM);
    answer.hazard(REFERMENTING);
    answer.caution(
        CautionKind::Practice,
        "common practice",
        "Taste settles it: sweeten a measured glass first, then the whole. Table sugar slowly turns into grape \
         sugar in wine, and a test then shows a twentieth more.",
    );
    Ok(answer)
}
