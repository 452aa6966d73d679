//! Spirit to strengthen a wine.

use super::strengthen_inputs::{MIXTURE, VOLUME, not_above};
use super::sugar_inputs::{GROUP, R22};
use crate::answer::{Answer, CautionKind};
use crate::density::{alcohol_by_mass, wine_of};
use crate::error::CalcError;
use crate::hazards::Hazard;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};
use crate::strengthen::fortify;

const STRONG_SPIRIT: Hazard = Hazard {
    sentence: "Strong spirit and its vapour catch fire, and denatured or rubbing alcohol poisons. Use bought spirit for drinking, \
               no flame or spark near, window open; distilling at home is dangerous and in most places against the law.",
    short: "Spirit burns: no flame near; only bought spirit for drinking.",
    source: "common practice",
};

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "fortify",
    sentence: "Spirit that brings a wine to a strength, with what the mixture shrinks.",
    group: GROUP,
    inputs: &[
        VOLUME,
        Input::new(
            "from",
            Quantity::AlcoholByVolume,
            "strength of the wine now",
        )
        .required()
        .allowed(0.0, 25.0, "no wine is stronger, nor weaker than none"),
        Input::new("to", Quantity::AlcoholByVolume, "strength wanted")
            .required()
            .allowed(0.0, 30.0, "above it is no wine any more")
            .sourced(
                0.0,
                25.0,
                "the mixture of sugar and alcohol was checked between",
            ),
        Input::new(
            "spirit_pct_vol",
            Quantity::AlcoholByVolume,
            "strength of the spirit, as its label says",
        )
        .required()
        .allowed(
            15.0,
            100.0,
            "weaker is wine, and stronger than pure there is none",
        ),
        Input::new(
            "sugar_g_l",
            Quantity::GramsPerLitre,
            "sugar in a litre of the wine",
        )
        .default("0")
        .allowed(0.0, 300.0, "no wine holds more, nor less than none"),
    ],
    results: &[
        ResultSpec::new("spirit_l", Quantity::Volume, "spirit to add"),
        ResultSpec::new("final_volume_l", Quantity::Volume, "volume then"),
        ResultSpec::new(
            "contraction_ml",
            Quantity::SmallVolume,
            "how much less that is than both together",
        ),
        ResultSpec::new(
            "sugar_g_l",
            Quantity::GramsPerLitre,
            "sugar in a litre then",
        ),
    ],
    example: &[
        ("volume", "10 L"),
        ("from", "12"),
        ("to", "18"),
        ("spirit", "40"),
    ],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let (volume, spirit) = (
        inputs.require("volume_l")?,
        inputs.require("spirit_pct_vol")?,
    );
    let (from, to) = (inputs.require("from")?, inputs.require("to")?);
    let sugar = inputs.require("sugar_g_l")?;
    if to <= from {
        return Err(not_above(
            from,
            to,
            "% vol",
            "spirit only strengthens: give a higher aim",
        ));
    }
    if spirit <= to {
        return Err(CalcError::Refused {
            key: "spirit_pct_vol",
            sentence: format!(
                "a spirit of {spirit} % vol is not stronger than the {to} % vol wanted, so no amount of it gets \
                 there: use a stronger one or aim lower"
            ),
        });
    }
    let added = fortify(volume, wine_of(from, sugar), alcohol_by_mass(spirit), to);
    let (amount, end) = (added.amount, added.final_volume_l);
    let contraction = (volume + amount - end) * 1e3;

    let mut answer = Answer::new(CALCULATOR.name, inputs);
    answer.result("spirit_l", amount);
    answer.result("final_volume_l", end);
    answer.result("contraction_ml", contraction);
    answer.result("sugar_g_l", sugar * volume / end);
    answer.work(
        "square",
        format!(
            "without shrinking {volume:.3} L × ({to} − {from}) / ({spirit} − {to}) = {:.3} L",
            volume * (to - from) / (spirit - to)
        ),
    );
    answer.work(
        "by mass",
        format!(
            "{amount:.3} L of spirit brings it to {to} % vol exactly: volumes do not add up, masses do"
        ),
    );
    answer.work(
        "volume",
        format!("{volume:.3} L + {amount:.3} L − {contraction:.0} mL of shrinking = {end:.3} L"),
    );
    answer.source(R22);
    answer.source(MIXTURE);
    answer.hazard(STRONG_SPIRIT);
    answer.caution(
        CautionKind::Limit,
        "common practice",
        "What a household may fortify, and what it owes for it, is the law's: look it up first. Below 18 % vol yeast may \
         go on with sugar that is left.",
    );
    Ok(answer)
}
