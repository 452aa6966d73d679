//! What strength the sugar of a must can give.

use super::sugar_inputs::{BRIX, GROUP, ICUMSA, MUST_TABLE, SG, SUGAR};
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::density;
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::must;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

/// Grams of sugar a litre to 1 % vol: the spread from a thrifty yeast to the older French rule.
const SPREAD: (f64, f64) = (16.3, 17.5);
/// Grams of invert sugar from a gram of sucrose: 2·180.156/342.297.
const INVERT: f64 = 1.0526;

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "potential-alcohol",
    sentence: "What strength the sugar can give when all of it ferments.",
    group: GROUP,
    inputs: &[
        SUGAR.one_of("sugar"),
        BRIX.one_of("sugar"),
        SG.one_of("sugar"),
        Input::new(
            "liquid",
            Quantity::Choice(&["must", "sugar-water"]),
            "grape must, or mostly sugar and water",
        )
        .default("must"),
        Input::new(
            "sugar_per_alcohol_g_l",
            Quantity::GramsPerLitre,
            "sugar in a litre that gives 1 % vol",
        )
        .default("16.83")
        .allowed(
            15.5,
            19.0,
            "less is against chemistry and more was never reported",
        ),
    ],
    results: &[
        ResultSpec::new(
            "alcohol_pct_vol",
            Quantity::AlcoholByVolume,
            "strength to be had",
        ),
        ResultSpec::new(
            "sugar_g_l",
            Quantity::GramsPerLitre,
            "fermentable sugar, as invert sugar",
        ),
    ],
    example: &[("brix", "22")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    let sugar = fermentable(inputs, &mut answer)?;
    let per_alcohol = inputs.require("sugar_per_alcohol_g_l")?;
    let alcohol = sugar / per_alcohol;
    answer.work(
        "strength",
        format!("{sugar:.1} / {per_alcohol} = {alcohol:.2} % vol"),
    );
    answer.source(MUST_TABLE);
    if inputs.is_given("sugar_per_alcohol_g_l") {
        answer.result("alcohol_pct_vol", alcohol);
    } else {
        answer.band(
            "alcohol_pct_vol",
            sugar / SPREAD.1,
            alcohol,
            sugar / SPREAD.0,
        );
        answer.source(Source {
            sentence: "16.3 to 17.5 g/L to 1 % vol by yeast and must: a house estimate around the convention",
            standing: Standing::CommonPractice,
        });
        answer.assume(
            "sugar_per_alcohol_g_l",
            per_alcohol,
            SPREAD,
            "16.83 g/L of sugar is taken to give 1 % vol, the convention of the EU and the OIV; yeasts differ.",
        );
    }
    answer.result("sugar_g_l", sugar);
    if alcohol > 16.0 {
        answer.caution(
            CautionKind::Practice,
            "common practice",
            "Few yeasts go beyond 16 % vol: what they leave stays as sugar, and the wine must be \
             stabilised as a sweet one.",
        );
    }
    Ok(answer)
}

/// Fermentable sugar as invert sugar, g/L.
fn fermentable(inputs: &Inputs, answer: &mut Answer) -> Result<f64, CalcError> {
    if let Some(sugar) = inputs.number("sugar_g_l") {
        return Ok(sugar);
    }
    let (key, brix) = match (inputs.number("brix"), inputs.number("sg")) {
        (Some(brix), _) => ("brix", Some(brix)),
        (None, sg) => (
            "sg",
            sg.and_then(|sg| by_gravity(inputs.word("liquid"), sg)),
        ),
    };
    if inputs.word("liquid") == "sugar-water" {
        let brix = brix
            .filter(|brix| *brix >= 0.0)
            .ok_or_else(|| too_light(key))?;
        let sucrose = density::sucrose_g_l(brix);
        let sugar = sucrose * INVERT;
        answer.source(ICUMSA);
        answer.work(
            "sugar",
            format!(
                "{brix:.1} °Bx of sucrose is {sucrose:.1} g/L, × {INVERT} as invert sugar = \
             {sugar:.1} g/L"
            ),
        );
        return Ok(sugar);
    }
    let of_must = brix.and_then(|brix| Some((brix, must::sugar_g_l(brix)?)));
    let (brix, sugar) = of_must.ok_or_else(|| CalcError::Refused {
        key,
        sentence: "it is outside the must table, which holds from 10 to 30 °Bx (SG 1.041 to 1.131), and a must's acids and \
                   salts weigh too much below: give sugar_g_l, or liquid sugar-water if it is mostly that"
            .to_owned(),
    })?;
    answer.work(
        "sugar",
        format!("{brix:.1} °Bx of must holds {sugar:.1} g/L of sugar, by the must table"),
    );
    Ok(sugar)
}

fn by_gravity(liquid: &str, sg: f64) -> Option<f64> {
    if liquid == "sugar-water" {
        density::brix_from_sg(sg)
    } else {
        must::brix_from_sg(sg)
    }
}

fn too_light(key: &'static str) -> CalcError {
    CalcError::Refused {
        key,
        sentence:
            "it is lighter than water, so it holds alcohol and its sugar cannot be read from it: \
                   give the reading before the ferment, or sugar_g_l by a test"
                .to_owned(),
    }
}
