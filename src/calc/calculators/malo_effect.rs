//! What the malolactic bacteria will do to a wine.

use super::acid_inputs::{EQUIVALENTS, GROUP, NOW};
use super::sulfite_inputs::{ALCOHOL, PH, TEMPERATURE};
use crate::acid::{carbon_dioxide_l, malolactic};
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

/// L-malic acid at which they are done, g/L; laboratories use 0.03 to 0.3 (from memory).
const DONE_G_L: f64 = 0.1;
/// What a malolactic fermentation adds to the pH: low, middle, high (from memory).
const PH_RISE: (f64, f64, f64) = (0.1, 0.2, 0.3);
/// Below this much malic acid (g/L) that rise says nothing.
const PH_RISE_FROM_G_L: f64 = 1.0;

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "malo-effect",
    sentence: "What malolactic fermentation does to acidity and pH, and whether the bacteria can work.",
    group: GROUP,
    inputs: &[
        Input::new(
            "malic_g_l",
            Quantity::GramsPerLitre,
            "L-malic acid by a test",
        )
        .required()
        .allowed(0.0, 20.0, "no must or wine has more, nor less than none")
        .sourced(0.0, 8.0, "grapes seldom have more"),
        Input {
            default: None,
            ..NOW
        },
        PH,
        Input::new(
            "total_so2_mg_l",
            Quantity::MassPerVolume,
            "total SO2 by a test",
        )
        .allowed(0.0, 1000.0, "no wine has more, nor less than none"),
        Input {
            default: None,
            help: "temperature of the wine",
            ..TEMPERATURE
        },
        Input {
            default: None,
            help: "strength of the wine",
            ..ALCOHOL
        },
    ],
    results: &[
        ResultSpec::new(
            "ta_fall_g_l",
            Quantity::GramsPerLitre,
            "acidity lost, as tartaric acid",
        ),
        ResultSpec::new(
            "ta_after_g_l",
            Quantity::GramsPerLitre,
            "acidity after it, as tartaric acid",
        ),
        ResultSpec::new(
            "lactic_g_l",
            Quantity::GramsPerLitre,
            "lactic acid that comes of it",
        ),
        ResultSpec::new(
            "co2_g_l",
            Quantity::GramsPerLitre,
            "carbon dioxide it gives off",
        ),
        ResultSpec::new(
            "co2_ml",
            Quantity::SmallVolume,
            "that gas from each litre, at 20 °C",
        ),
        ResultSpec::new(
            "ph_rise",
            Quantity::Number,
            "what it adds to the pH, roughly",
        ),
        ResultSpec::new("ph_after", Quantity::Ph, "pH after it, roughly"),
    ],
    example: &[("malic", "3.0"), ("now", "7.0"), ("ph", "3.3")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let malic = inputs.require("malic_g_l")?;
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    let after = malolactic(malic);
    let gas_ml = carbon_dioxide_l(after.carbon_dioxide_g) * 1e3;
    let acidity = inputs.number("now_g_l");
    if let Some(now) = acidity
        && now < 2.0 * after.acidity_g
    {
        return Err(super::acid_inputs::refused(
            "malic_g_l",
            format!(
                "{malic:.1} g/L of malic acid alone is an acidity of {:.1} g/L as tartaric, more than the {now:.1} in all: \
                 check both figures, and which acid the acidity is given as",
                2.0 * after.acidity_g
            ),
        ));
    }
    answer.result("ta_fall_g_l", after.acidity_g);
    answer.result("ta_after_g_l", acidity.map(|now| now - after.acidity_g));
    answer.result("lactic_g_l", after.lactic_g);
    answer.result("co2_g_l", after.carbon_dioxide_g);
    answer.result("co2_ml", gas_ml);
    answer.work(
        "lactic acid",
        format!(
            "{malic:.2} g/L × 90.08 / 134.09 = {:.2} g/L",
            after.lactic_g
        ),
    );
    answer.work(
        "acidity",
        format!(
            "{malic:.2} g/L × 75.04 / 134.09 = {:.2} g/L less, as tartaric acid: one of two protons goes",
            after.acidity_g
        ),
    );
    answer.work(
        "gas",
        format!(
            "{malic:.2} g/L × 44.01 / 134.09 = {:.2} g/L of carbon dioxide, {gas_ml:.0} mL from each litre",
            after.carbon_dioxide_g
        ),
    );
    put_ph(inputs, &mut answer, malic);
    answer.source(EQUIVALENTS);
    warn(inputs, &mut answer, malic);
    Ok(answer)
}

fn put_ph(inputs: &Inputs, answer: &mut Answer, malic: f64) {
    let (low, middle, high) = PH_RISE;
    if malic < PH_RISE_FROM_G_L {
        answer.result("ph_rise", None);
        answer.result("ph_after", None);
        return;
    }
    answer.band("ph_rise", low, middle, high);
    answer.source(Source {
        sentence: "Malolactic fermentation adds 0.1 to 0.3 to the pH",
        standing: Standing::FromMemory,
    });
    match inputs.number("ph") {
        Some(ph) => answer.band("ph_after", ph + low, ph + middle, ph + high),
        None => answer.result("ph_after", None),
    }
}

fn warn(inputs: &Inputs, answer: &mut Answer, malic: f64) {
    const BACTERIA: &str = "makers' sheets for bacteria, from memory";
    if malic < DONE_G_L {
        answer.caution(
            CautionKind::State,
            "laboratory practice, from memory",
            "Below 0.1 g/L malolactic fermentation is done, and there is nothing left to wait for: sulfite the wine.",
        );
        return;
    }
    answer.caution(
        CautionKind::Hazard,
        "common practice",
        "The gas bursts a closed vessel or bottle: keep an airlock on until it is done, and never bottle before.",
    );
    let against = [
        (
            inputs.number("ph").is_some_and(|ph| ph < 3.2),
            "a pH below 3.2",
        ),
        (
            inputs
                .number("total_so2_mg_l")
                .is_some_and(|so2| so2 > 30.0),
            "more than 30 mg/L total SO2",
        ),
        (
            inputs
                .number("temperature_c")
                .is_some_and(|t| !(18.0..=24.0).contains(&t)),
            "a temperature outside 18 to 24 °C",
        ),
        (
            inputs.number("alcohol_pct_vol").is_some_and(|a| a > 14.0),
            "more than 14 % vol",
        ),
    ];
    for (holds, what) in against {
        if holds {
            answer.caution(
                CautionKind::State,
                BACTERIA,
                format!("Malolactic bacteria may not start at {what}: mend that first, or take a strain made for it."),
            );
        }
    }
    answer.caution(
        CautionKind::State,
        "common practice",
        "Sulfite stops the bacteria, and sorbate turns to geranium in their hands: give neither before it is done, and \
         sorbate never.",
    );
}
