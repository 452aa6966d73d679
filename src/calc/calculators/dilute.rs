//! Water to thin a must or a wine.

use super::acid_inputs::refused;
use super::strengthen_inputs::{MIXTURE, VOLUME};
use super::sugar_inputs::{GROUP, ICUMSA, R22};
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::density::wine_of;
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};
use crate::strengthen::{Added, thin_must, thin_wine};

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "dilute",
    sentence: "Water that brings a must to a lower Brix or a wine to a lower strength, and what it thins besides.",
    group: GROUP,
    inputs: &[
        VOLUME,
        Input::new(
            "from_brix",
            Quantity::Brix,
            "°Brix or gravity of the must now",
        )
        .one_of("now")
        .allowed(
            0.5,
            45.0,
            "there is no sugar to thin below, and no juice reads higher",
        ),
        Input::new(
            "from_pct_vol",
            Quantity::AlcoholByVolume,
            "or strength of the wine now",
        )
        .one_of("now")
        .allowed(
            0.5,
            60.0,
            "there is no alcohol to thin below, and above it is spirit",
        ),
        Input::new("to_brix", Quantity::Brix, "°Brix or gravity wanted")
            .one_of("aim")
            .allowed(0.5, 45.0, "less is water, and no juice reads higher"),
        Input::new(
            "to_pct_vol",
            Quantity::AlcoholByVolume,
            "or strength wanted",
        )
        .one_of("aim")
        .allowed(0.5, 60.0, "less is water, and above it is spirit"),
        Input::new(
            "sugar_g_l",
            Quantity::GramsPerLitre,
            "sugar in the wine, where it is wine",
        )
        .default("0")
        .allowed(0.0, 300.0, "no wine holds more, nor less than none"),
        Input::new("ta_g_l", Quantity::GramsPerLitre, "titratable acidity now").allowed(
            0.5,
            30.0,
            "no must or wine has less or more",
        ),
    ],
    results: &[
        ResultSpec::new("water_l", Quantity::Volume, "water to add"),
        ResultSpec::new("final_volume_l", Quantity::Volume, "volume then"),
        ResultSpec::new(
            "water_pct",
            Quantity::Percent,
            "water in what there is then",
        ),
        ResultSpec::new(
            "ta_after_g_l",
            Quantity::GramsPerLitre,
            "titratable acidity then",
        ),
        ResultSpec::new(
            "acid_g",
            Quantity::Mass,
            "tartaric acid that keeps the acidity as it was",
        ),
    ],
    example: &[("volume", "20 L"), ("from-brix", "26"), ("to-brix", "22")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let volume = inputs.require("volume_l")?;
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    let pair = |what: &str| {
        (
            inputs.number(&format!("from_{what}")),
            inputs.number(&format!("to_{what}")),
        )
    };
    let Added {
        amount: water,
        final_volume_l: end,
    } = match (pair("brix"), pair("pct_vol")) {
        ((Some(from), Some(to)), _) => {
            below(from, to, "to_brix", "°Bx")?;
            answer.work(
                "water",
                format!(
                    "the sugar stays and its part falls from {from:.2} to {to:.2} °Bx: by mass"
                ),
            );
            answer.source(ICUMSA);
            thin_must(volume, from, to)
        }
        (_, (Some(from), Some(to))) => {
            below(from, to, "to_pct_vol", "% vol")?;
            answer.work(
                "volume",
                format!(
                    "the alcohol stays: {volume:.3} L × {from:.2} / {to:.2} = {:.3} L",
                    volume * from / to
                ),
            );
            answer.source(R22);
            answer.source(MIXTURE);
            thin_wine(volume, wine_of(from, inputs.require("sugar_g_l")?), to)
        }
        ((Some(_), None), _) => {
            return Err(refused(
                "to_brix",
                "a must is thinned to a °Brix, and a wine to a strength: give to_brix",
            ));
        }
        _ => {
            return Err(refused(
                "to_pct_vol",
                "a wine is thinned to a strength, and a must to a °Brix: give to_pct_vol",
            ));
        }
    };
    answer.work(
        "shrinking",
        format!(
            "{volume:.3} L + {water:.3} L − {:.0} mL = {end:.3} L",
            (volume + water - end) * 1e3
        ),
    );
    let part = 100.0 * water / end;
    answer.result("water_l", water);
    answer.result("final_volume_l", end);
    answer.result("water_pct", part);
    let acidity = inputs.number("ta_g_l");
    answer.result("ta_after_g_l", acidity.map(|it| it * volume / end));
    let acid = acidity.map(|it| it * (end - volume));
    answer.result("acid_g", acid);
    if let (Some(acidity), Some(acid)) = (acidity, acid) {
        answer.work(
            "acid",
            format!("{acidity:.2} g/L × ({end:.3} − {volume:.3}) L = {acid:.1} g of tartaric acid"),
        );
    }
    answer.source(Source {
        sentence: "Balance of masses: sugar, alcohol and acid stay, water comes",
        standing: Standing::Derived,
    });
    answer.caution(
        CautionKind::Limit,
        "27 CFR 24.178 and Regulation (EU) 1308/2013, Annex VIII, from memory",
        "In the EU water may not be added to wine or must that is sold, and the US limits it by the acid there is. Your \
         local code holds.",
    );
    answer.caution(
        CautionKind::Practice,
        "common practice",
        "Water thins acid, colour and taste as well: put the acid back, and try it on a measured litre first. Use drinking \
         water without chlorine, boiled and cooled, since chlorine can end as a smell of mouldy cork.",
    );
    if part > 15.0 {
        answer.caution(
            CautionKind::State,
            "common practice",
            format!("{part:.0} % of it would be water, which is tasted: take part of it, or blend with a lighter wine."),
        );
    }
    Ok(answer)
}

fn below(from: f64, to: f64, key: &'static str, unit: &str) -> Result<(), CalcError> {
    if to < from {
        return Ok(());
    }
    Err(refused(
        key,
        format!(
            "{to:.1} {unit} is not below the {from:.1} {unit} there are, and water only thins: give a lower aim"
        ),
    ))
}
