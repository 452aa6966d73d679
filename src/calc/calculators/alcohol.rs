//! The strength of a wine from its gravity before and now.

use super::sugar_inputs::{GROUP, ICUMSA, R22};
use crate::answer::{Answer, Source, Standing};
use crate::error::CalcError;
use crate::ferment::{NoFerment, fermented};
use crate::hazards::REFERMENTING;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

/// From Balling's figure to a wasteful yeast's.
const SPREAD: (f64, f64) = (2.0665, 2.18);

const BALANCE: Source = Source {
    sentence: "Nielsen et al., Balling's formula: scrutiny of a dogma: mass balance of a ferment",
    standing: Standing::Opened,
};
const YIELD: Source = Source {
    sentence: "2.1324 g of sugar to 1 g of ethanol goes with the convention of 16.83 g/L to 1 % vol; \
     2.0665 is Balling's",
    standing: Standing::Derived,
};

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "alcohol",
    sentence: "The strength of a wine from its gravity before the ferment and now.",
    group: GROUP,
    inputs: &[
        Input::new(
            "start_sg",
            Quantity::Gravity,
            "gravity 20/20 before the ferment, sugar added",
        )
        .required()
        .allowed(
            1.001,
            1.2,
            "a must is heavier than water and no yeast starts in more",
        )
        .sourced(1.03, 1.14, "musts lie between"),
        Input::new("now_sg", Quantity::Gravity, "gravity 20/20 now")
            .required()
            .allowed(0.96, 1.2, "no wine is lighter and no must heavier"),
        Input::new(
            "extract_per_ethanol",
            Quantity::Number,
            "grams of extract used up for a gram of ethanol",
        )
        .default("2.1324")
        .allowed(
            1.956,
            2.3,
            "less is against chemistry and more was never reported",
        ),
    ],
    results: &[
        ResultSpec::new(
            "alcohol_pct_vol",
            Quantity::AlcoholByVolume,
            "strength at 20 °C",
        ),
        ResultSpec::new(
            "real_extract_g_l",
            Quantity::GramsPerLitre,
            "extract left, sugar and the rest",
        ),
        ResultSpec::new(
            "attenuation_pct",
            Quantity::Percent,
            "part of the extract that has fermented",
        ),
    ],
    example: &[("start-sg", "1.090"), ("now-sg", "0.994")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let (start, now) = (inputs.require("start_sg")?, inputs.require("now_sg")?);
    let per_ethanol = inputs.require("extract_per_ethanol")?;
    let at = |per_ethanol: f64| {
        fermented(start, now, per_ethanol).map_err(|why| refuse(&why, start, now))
    };
    let result = at(per_ethanol)?;
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    answer.result("alcohol_pct_vol", result.alcohol_pct_vol);
    if !inputs.is_given("extract_per_ethanol") {
        // At the ends of the spread a very dry wine may fall below its floor; then the figure itself is the end.
        let end =
            |per_ethanol| at(per_ethanol).map_or(result.alcohol_pct_vol, |r| r.alcohol_pct_vol);
        answer.band(
            "alcohol_pct_vol",
            end(SPREAD.1),
            result.alcohol_pct_vol,
            end(SPREAD.0),
        );
        answer.assume(
            "extract_per_ethanol",
            per_ethanol,
            SPREAD,
            "2.1324 g of extract is taken to go into a gram of ethanol, as the convention for wine has \
             it; by yeast it is 2.07 to 2.18.",
        );
    }
    answer.result("real_extract_g_l", result.real_extract_g_l);
    answer.result("attenuation_pct", result.attenuation_pct);
    answer.work(
        "balance",
        format!(
            "of the extract behind SG {start:.4}, {:.1} % fermented at {per_ethanol} g to 1 g of \
             ethanol brings it to SG {now:.4}",
            result.attenuation_pct
        ),
    );
    answer.work(
        "strength",
        format!(
            "{:.2} % vol, with {:.1} g/L of extract left",
            result.alcohol_pct_vol, result.real_extract_g_l
        ),
    );
    for source in [BALANCE, YIELD, ICUMSA, R22] {
        answer.source(source);
    }
    if now > 0.996 && result.attenuation_pct > 0.0 {
        answer.hazard(REFERMENTING);
    }
    Ok(answer)
}

fn refuse(why: &NoFerment, start: f64, now: f64) -> CalcError {
    let (key, sentence) = match why {
        NoFerment::Rising => (
            "now_sg",
            format!(
                "{now:.4} is above {start:.4}, and a ferment only falls: check both readings, or count \
                 sugar added since in start_sg"
            ),
        ),
        NoFerment::BelowAllFermented(floor) => (
            "now_sg",
            format!(
                "{now:.4} is below {floor:.4}, where all extract would have fermented: check the \
                 temperature of the readings and the hydrometer in water"
            ),
        ),
        NoFerment::NoMust => (
            "start_sg",
            format!("{start:.4} is no must's gravity: give the reading before the ferment"),
        ),
    };
    CalcError::Refused { key, sentence }
}
