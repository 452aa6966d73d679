//! Concentrate to raise a must before it ferments.

use super::strengthen_inputs::{FROM_BRIX, TO_BRIX, VOLUME, not_above};
use super::sugar_inputs::{GROUP, ICUMSA};
use crate::answer::{Answer, CautionKind};
use crate::density::{sg_from_brix, sucrose_density_20};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};
use crate::strengthen::concentrate;

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "concentrate",
    sentence: "Grape concentrate that lifts a must to a Brix or gravity before it ferments.",
    group: GROUP,
    inputs: &[
        VOLUME,
        FROM_BRIX,
        TO_BRIX,
        Input::new(
            "concentrate_brix",
            Quantity::Brix,
            "°Brix of the concentrate, by its label",
        )
        .default("68")
        .allowed(20.0, 80.0, "thinner is juice, and thicker does not pour"),
        Input::new(
            "concentrate_ta_g_l",
            Quantity::GramsPerLitre,
            "its titratable acidity, by its label",
        )
        .allowed(0.0, 100.0, "no concentrate has more, nor less than none"),
        Input::new(
            "now_g_l",
            Quantity::GramsPerLitre,
            "titratable acidity of the must now",
        )
        .allowed(0.5, 30.0, "no must has less or more"),
    ],
    results: &[
        ResultSpec::new("concentrate_l", Quantity::Volume, "concentrate to stir in"),
        ResultSpec::new("concentrate_g", Quantity::Mass, "the same by weight"),
        ResultSpec::new("final_volume_l", Quantity::Volume, "volume then"),
        ResultSpec::new("sg", Quantity::Gravity, "specific gravity 20/20 then"),
        ResultSpec::new(
            "ta_after_g_l",
            Quantity::GramsPerLitre,
            "titratable acidity then, where both are given",
        ),
    ],
    example: &[("volume", "20 L"), ("from", "18 Bx"), ("to", "22 Bx")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let volume = inputs.require("volume_l")?;
    let (from, to) = (inputs.require("from")?, inputs.require("to")?);
    let own = inputs.require("concentrate_brix")?;
    if to <= from {
        return Err(not_above(
            from,
            to,
            "°Bx",
            "concentrate only raises a must: to lower it, see dilute",
        ));
    }
    if own <= to {
        return Err(CalcError::Refused {
            key: "concentrate_brix",
            sentence: format!(
                "a concentrate of {own:.1} °Bx is not above the {to:.1} °Bx wanted, so no amount of it gets there: take \
                 a thicker one or aim lower"
            ),
        });
    }
    let added = concentrate(volume, from, to, own);
    let (amount, end) = (added.amount, added.final_volume_l);
    let density = sucrose_density_20(own / 100.0);

    let mut answer = Answer::new(CALCULATOR.name, inputs);
    answer.result("concentrate_l", amount);
    answer.result("concentrate_g", amount * density);
    answer.result("final_volume_l", end);
    answer.result("sg", sg_from_brix(to));
    let acid = inputs
        .number("now_g_l")
        .zip(inputs.number("concentrate_ta_g_l"));
    let acid = acid.map(|(must, its)| (must * volume + its * amount) / end);
    answer.result("ta_after_g_l", acid);
    let must_g = volume * sucrose_density_20(from / 100.0);
    answer.work(
        "concentrate",
        format!(
            "{must_g:.0} g of must × ({to:.2} − {from:.2}) / ({own:.2} − {to:.2}) = {:.0} g, / {density:.1} g/L = \
             {amount:.3} L",
            amount * density
        ),
    );
    answer.work(
        "volume",
        format!(
            "{:.0} g / {:.1} g/L = {end:.3} L",
            must_g + amount * density,
            sucrose_density_20(to / 100.0)
        ),
    );
    if let Some(acid) = acid {
        answer.work(
            "acidity",
            format!("what both bring, over {end:.3} L: {acid:.2} g/L"),
        );
    }
    answer.source(ICUMSA);
    answer.caution(
        CautionKind::Practice,
        "common practice",
        "Concentrate is thick and sinks: thin it with some of the must, stir all of it through, and read the gravity again \
         before the yeast. It brings acid too, and often sulfite: read its label.",
    );
    Ok(answer)
}
