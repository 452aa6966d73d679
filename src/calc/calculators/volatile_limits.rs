//! Volatile acidity against what is tasted and what the law allows.

use super::acid_inputs::{EQUIVALENTS, GROUP};
use crate::acid::Acid;
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

const US: &str = "27 CFR 4.21(a)(1)(iv)";
const EU: &str = "Delegated Regulation (EU) 2019/934, Annex I Part C, from memory";
/// From this much sugar in the juice the US allows more.
const LATE_HARVEST_BRIX: f64 = 28.0;
/// Where it begins to be tasted, and where it is plain, g/L as acetic (from memory).
const TASTED_G_L: f64 = 0.6;
const PLAIN_G_L: f64 = 0.9;

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "volatile-limits",
    sentence: "Volatile acidity against what is tasted and what the US and the EU allow.",
    group: GROUP,
    inputs: &[
        Input::new(
            "va_g_l",
            Quantity::GramsPerLitre,
            "volatile acidity as acetic acid, without sulfite",
        )
        .required()
        .allowed(
            0.0,
            10.0,
            "more is vinegar, and less than none there is not",
        ),
        Input::new(
            "wine",
            Quantity::Choice(&["red", "white", "rose"]),
            "kind of wine",
        )
        .default("red"),
        Input::new(
            "juice_brix",
            Quantity::Brix,
            "sugar of the juice, no water or sugar added",
        )
        .allowed(0.0, 60.0, "no juice has more, nor less than none"),
    ],
    results: &[
        ResultSpec::new("us_limit_g_l", Quantity::GramsPerLitre, "limit in the US"),
        ResultSpec::new("eu_limit_g_l", Quantity::GramsPerLitre, "limit in the EU"),
        ResultSpec::new(
            "us_room_g_l",
            Quantity::GramsPerLitre,
            "what is left up to the US limit; below nothing it is over",
        ),
        ResultSpec::new(
            "eu_room_g_l",
            Quantity::GramsPerLitre,
            "what is left up to the EU limit; below nothing it is over",
        ),
        ResultSpec::new("va_meq_l", Quantity::Number, "volatile acidity in meq/L"),
    ],
    example: &[("va", "0.7"), ("wine", "red")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let va = inputs.require("va_g_l")?;
    let red = inputs.word("wine") == "red";
    let late = inputs
        .number("juice_brix")
        .is_some_and(|brix| brix >= LATE_HARVEST_BRIX);
    let us = match (red, late) {
        (true, false) => 1.4,
        (false, false) => 1.2,
        (true, true) => 1.7,
        (false, true) => 1.5,
    };
    let eu_meq = if red { 20.0 } else { 18.0 };
    let eu = Acid::Acetic.g_l(eu_meq);
    let meq = Acid::Acetic.meq_l(va);
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    answer.result("us_limit_g_l", us);
    answer.result("eu_limit_g_l", eu);
    answer.result("us_room_g_l", us - va);
    answer.result("eu_room_g_l", eu - va);
    answer.result("va_meq_l", meq);
    answer.work("US", format!("{us:.1} − {va:.2} = {:.2} g/L", us - va));
    answer.work(
        "EU",
        format!(
            "{eu_meq:.0} meq/L × 60.05 / 1000 = {eu:.2} g/L; − {va:.2} = {:.2} g/L",
            eu - va
        ),
    );
    answer.source(Source {
        sentence: "27 CFR 4.21(a)(1)(iv), edition of 1 April 2019: 0.14 g in 100 mL red, 0.12 other; 0.17 and 0.15 from \
                   28 °Brix",
        standing: Standing::Opened,
    });
    answer.source(Source {
        sentence: "Delegated Regulation (EU) 2019/934, Annex I Part C: 20 meq/L red, 18 white and rosé",
        standing: Standing::FromMemory,
    });
    answer.source(EQUIVALENTS);
    for (limit, name, source) in [(us, "US", US), (eu, "EU", EU)] {
        if va > limit {
            answer.caution(
                CautionKind::Limit,
                source,
                format!(
                    "{va:.2} g/L is over the {limit:.2} that this wine may have in the {name}: it is not to be sold as \
                     wine there. Your local code holds."
                ),
            );
        }
    }
    if va >= PLAIN_G_L {
        answer.caution(
            CautionKind::State,
            "common practice",
            "So much is plainly tasted and cannot be taken out at home: keep this wine apart, blend it into nothing, and \
             clean what it touched.",
        );
    } else if va >= TASTED_G_L {
        answer.caution(
            CautionKind::State,
            "common practice",
            "It begins to be tasted, and it only rises: top up, test the free sulfite today, and test this again in a \
             month.",
        );
    }
    Ok(answer)
}
