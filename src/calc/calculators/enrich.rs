//! Sugar to raise a must before it ferments.

use super::strengthen_inputs::{FROM_BRIX, SUGAR_ROOM, TO_BRIX, VOLUME, not_above};
use super::sugar_inputs::{GROUP, ICUMSA, MUST_TABLE};
use crate::answer::{Answer, CautionKind};
use crate::density::{sg_from_brix, sucrose_g_l};
use crate::error::CalcError;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};
use crate::strengthen::enrich;

/// Sucrose that goes with 1 % vol by the convention of 16.83 g/L of grape sugar: 16.83·342.297/360.312.
const SUCROSE_PER_ALCOHOL_G_L: f64 = 15.99;

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "enrich",
    sentence: "Table sugar that lifts a must to a Brix or gravity before it ferments.",
    group: GROUP,
    inputs: &[VOLUME, FROM_BRIX, TO_BRIX],
    results: &[
        ResultSpec::new("sugar_g", Quantity::Mass, "table sugar to dissolve"),
        ResultSpec::new("final_volume_l", Quantity::Volume, "volume then"),
        ResultSpec::new("sg", Quantity::Gravity, "specific gravity 20/20 then"),
        ResultSpec::new(
            "more_alcohol_pct_vol",
            Quantity::AlcoholByVolume,
            "how much more strength to expect, by the convention",
        ),
    ],
    example: &[("volume", "23 L"), ("from", "16 Bx"), ("to", "21 Bx")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let volume = inputs.require("volume_l")?;
    let (from, to) = (inputs.require("from")?, inputs.require("to")?);
    if to <= from {
        return Err(not_above(
            from,
            to,
            "°Bx",
            "sugar only raises a must: to lower it, add water or a lighter must",
        ));
    }
    let added = enrich(volume, from, to);
    let (sugar, end) = (added.amount, added.final_volume_l);
    // What the must itself held is thinned by the room the sugar takes, so the rise is less than the sugar alone.
    let (before, then) = (sucrose_g_l(from), sucrose_g_l(to));
    let more = (then - before) / SUCROSE_PER_ALCOHOL_G_L;

    let mut answer = Answer::new(CALCULATOR.name, inputs);
    answer.result("sugar_g", sugar);
    answer.result("final_volume_l", end);
    answer.result("sg", sg_from_brix(to));
    answer.result("more_alcohol_pct_vol", more);
    let must_g = volume * 998.203_1 * sg_from_brix(from);
    answer.work(
        "sugar",
        format!("{must_g:.0} g of must × ({to:.2} − {from:.2}) / (100 − {to:.2}) = {sugar:.0} g"),
    );
    answer.work(
        "volume",
        format!(
            "{:.0} g / (998.2 g/L × {:.4}) = {end:.3} L",
            must_g + sugar,
            sg_from_brix(to)
        ),
    );
    answer.work(
        "strength",
        format!(
            "({then:.1} − {before:.1}) g/L / {SUCROSE_PER_ALCOHOL_G_L} g/L to 1 % vol = {more:.2} % vol more"
        ),
    );
    answer.source(ICUMSA);
    answer.source(SUGAR_ROOM);
    answer.source(MUST_TABLE);
    answer.caution(
        CautionKind::Practice,
        "common practice",
        "Sugar on the bottom ferments late and fools the hydrometer: dissolve it in some of the must, stir all of it \
         through, read the gravity again, and give it before the ferment slows.",
    );
    if to > 26.0 {
        answer.caution(
            CautionKind::State,
            "common practice",
            "A must this sweet can stop its yeast half way: choose a yeast that bears the strength, and give part of \
             the sugar once the ferment runs.",
        );
    }
    Ok(answer)
}
