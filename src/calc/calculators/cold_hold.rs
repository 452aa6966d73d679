//! How cold and how long a wine is held for its tartrate to drop.

use super::acid_inputs::refused;
use super::sulfite_inputs::{ALCOHOL, PH, VOLUME};
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::fining::{cold_hold_c, freezing_c, tartrate_drop};
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

/// Seed crystals, g/L (from memory).
const SEED_G_L: f64 = 4.0;
/// Below this pH it falls as tartrate drops, above it rises.
const TURN_PH: f64 = 3.65;

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "cold-hold",
    sentence: "How cold and how long to hold a wine for its cream of tartar to drop, and what that takes along.",
    group: "Stability",
    inputs: &[
        Input {
            default: None,
            help: "strength of the wine",
            ..ALCOHOL
        }
        .required(),
        Input::new(
            "temperature_c",
            Quantity::Temperature,
            "how cold you can hold it",
        )
        .allowed(-15.0, 25.0, "wine is ice below, and nothing drops above"),
        VOLUME,
        Input::new(
            "seed",
            Quantity::Choice(&["none", "cream-of-tartar"]),
            "whether crystals are stirred in",
        )
        .default("none"),
        Input::new(
            "dropped_g_l",
            Quantity::GramsPerLitre,
            "cream of tartar that drops, for what it takes along",
        )
        .default("1")
        .allowed(0.0, 5.0, "no wine drops more, nor less than none"),
        PH,
    ],
    results: &[
        ResultSpec::new("target_c", Quantity::Temperature, "temperature to hold"),
        ResultSpec::new(
            "freezing_c",
            Quantity::Temperature,
            "temperature at which it freezes",
        ),
        ResultSpec::new("hold_days", Quantity::Days, "how long"),
        ResultSpec::new("seed_g", Quantity::Mass, "cream of tartar to stir in"),
        ResultSpec::new(
            "ta_fall_g_l",
            Quantity::GramsPerLitre,
            "acidity lost, as tartaric acid",
        ),
        ResultSpec::new(
            "tartaric_fall_g_l",
            Quantity::GramsPerLitre,
            "tartaric acid lost",
        ),
        ResultSpec::new(
            "potassium_fall_g_l",
            Quantity::GramsPerLitre,
            "potassium lost",
        ),
    ],
    example: &[("alcohol", "12 %"), ("temperature", "3 °C")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let alcohol = inputs.require("alcohol_pct_vol")?;
    let dropped = inputs.require("dropped_g_l")?;
    let seeded = inputs.word("seed") == "cream-of-tartar";
    let freezing = freezing_c(alcohol);
    let (low, high) = cold_hold_c(alcohol);
    if let Some(held) = inputs.number("temperature_c")
        && held <= freezing
    {
        return Err(refused(
            "temperature_c",
            format!(
                "wine of {alcohol:.1} % vol freezes at about {freezing:.1} °C and bursts its vessel: hold it at {high:.1} \
                 °C or warmer"
            ),
        ));
    }
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    answer.band("target_c", low, f64::midpoint(low, high), high);
    answer.band("freezing_c", freezing - 0.5, freezing, freezing + 0.5);
    let (from, days, to) = if seeded {
        (3.0, 5.0, 8.0)
    } else {
        (7.0, 14.0, 21.0)
    };
    answer.band("hold_days", from, days, to);
    let seed = inputs
        .number("volume_l")
        .filter(|_| seeded)
        .map(|volume| SEED_G_L * volume);
    answer.result("seed_g", seed);
    let drop = tartrate_drop(dropped);
    answer.result("ta_fall_g_l", drop.acidity_g);
    answer.result("tartaric_fall_g_l", drop.tartaric_g);
    answer.result("potassium_fall_g_l", drop.potassium_g);
    answer.work(
        "hold at",
        format!("−({alcohol:.1} − 1) / 2 = {low:.1} °C, and −{alcohol:.1} / 2 + 1 = {high:.1} °C"),
    );
    answer.work(
        "freezes",
        format!("−{alcohol:.1} / 2 = {freezing:.1} °C, within half a degree"),
    );
    answer.work(
        "takes along",
        format!(
            "{dropped:.2} g/L × 75.04 / 188.18 = {:.2} g/L of acidity",
            drop.acidity_g
        ),
    );
    answer.source(Source {
        sentence: "Temperature from strength, 4 g/L of seed, 3 to 8 days with it and 1 to 3 weeks without",
        standing: Standing::FromMemory,
    });
    answer.source(Source {
        sentence: "Australian Wine Research Institute, Cold stability: −4 °C for 3 days, no crystals left on warming",
        standing: Standing::Opened,
    });
    answer.source(Source {
        sentence: "Potassium hydrogen tartrate from IUPAC atomic masses",
        standing: Standing::Derived,
    });
    warn(inputs, &mut answer, high);
    Ok(answer)
}

fn warn(inputs: &Inputs, answer: &mut Answer, high: f64) {
    answer.caution(
        CautionKind::Hazard,
        "common practice",
        "A wine that freezes bursts glass, and one that cools draws the airlock's liquid in: leave room, use a solid bung \
         or a dry airlock, and look at it daily.",
    );
    if let Some(held) = inputs.number("temperature_c")
        && held > high + 1.0
    {
        answer.caution(
            CautionKind::State,
            "common practice",
            format!(
                "At {held:.1} °C only a part of it drops, and the rest may in a colder cellar: hold it longer, and test \
                 a bottle at −4 °C for three days."
            ),
        );
    }
    if let Some(ph) = inputs.number("ph") {
        let way = if ph < TURN_PH { "fall" } else { "rise" };
        answer.caution(
            CautionKind::State,
            "an oenological glossary on farum.it",
            format!("At pH {ph:.2} the pH will {way} as it drops: measure it again before dosing sulfite."),
        );
    }
    answer.caution(
        CautionKind::Practice,
        "common practice",
        "Cold wine takes up more air: keep it full, and rack it off the crystals while it is still cold.",
    );
}
