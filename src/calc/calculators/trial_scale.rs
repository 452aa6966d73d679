//! From a bench trial to the vessel.

use super::acid_inputs::refused;
use super::fining::GROUP;
use super::sulfite_inputs::VOLUME;
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::fining::{agent_g, dose_g_hl};
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

/// From this part on the stock waters the wine so far that it should be said.
const DILUTES: f64 = 0.01;

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "trial-scale",
    sentence: "What a dose that worked in a glass is for the whole vessel.",
    group: GROUP,
    inputs: &[
        Input::new(
            "trial_ml",
            Quantity::SmallVolume,
            "wine in the glass, before the stock",
        )
        .required()
        .allowed(
            10.0,
            10_000.0,
            "less cannot be measured and more is no trial",
        ),
        Input::new("added_ml", Quantity::SmallVolume, "stock added to it")
            .required()
            .allowed(0.001, 1000.0, "less cannot be measured and more is a blend"),
        Input::new(
            "stock_g_l",
            Quantity::GramsPerLitre,
            "strength of the stock: 50 for 5 %",
        )
        .required()
        .allowed(
            0.01,
            1000.0,
            "a stock has something in it, and less than a solid",
        ),
        VOLUME.required(),
    ],
    results: &[
        ResultSpec::new(
            "dose_g_hl",
            Quantity::GramsPerHectolitre,
            "dose to a hectolitre of wine",
        ),
        ResultSpec::new("agent_g", Quantity::Mass, "agent for the vessel"),
        ResultSpec::new("stock_ml", Quantity::SmallVolume, "the same as stock"),
        ResultSpec::new(
            "mixed_g_hl",
            Quantity::GramsPerHectolitre,
            "what is in a hectolitre of the mixture, thinned by the stock's water",
        ),
        ResultSpec::new(
            "final_volume_l",
            Quantity::Volume,
            "wine and stock together",
        ),
    ],
    example: &[
        ("trial", "100 mL"),
        ("added", "1.0 mL"),
        ("stock", "50"),
        ("volume", "23 L"),
    ],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let (trial, added) = (inputs.require("trial_ml")?, inputs.require("added_ml")?);
    let (stock, volume) = (inputs.require("stock_g_l")?, inputs.require("volume_l")?);
    let part = added / trial;
    if part > 0.2 {
        return Err(refused(
            "added_ml",
            format!(
                "{added:.1} mL of stock in {trial:.0} mL of wine waters it by more than a fifth: make the stock stronger, \
                 and try again"
            ),
        ));
    }
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    let dose = dose_g_hl(stock, added, trial);
    let grams = agent_g(dose, volume);
    let mixed = dose_g_hl(stock, added, trial + added);
    let stock_ml = part * volume * 1e3;
    answer.result("dose_g_hl", dose);
    answer.result("agent_g", grams);
    answer.result("stock_ml", stock_ml);
    answer.result("mixed_g_hl", mixed);
    answer.result("final_volume_l", volume + stock_ml / 1e3);
    answer.work(
        "dose",
        format!("{stock:.2} g/L × {added:.3} / {trial:.1} mL × 100 = {dose:.2} g/hL of wine"),
    );
    answer.work(
        "agent",
        format!("{dose:.2} g/hL × {volume:.2} L / 100 = {grams:.2} g"),
    );
    answer.work(
        "stock",
        format!("{added:.3} / {trial:.1} × {volume:.2} L = {stock_ml:.1} mL"),
    );
    answer.work(
        "thinned",
        format!("{stock:.2} × {added:.3} / ({trial:.1} + {added:.3}) × 100 = {mixed:.2} g/hL of the mixture"),
    );
    answer.source(Source {
        sentence: "Proportion: the vessel gets stock in the ratio the glass got it",
        standing: Standing::Derived,
    });
    if part > DILUTES {
        answer.caution(
            CautionKind::Practice,
            "common practice",
            format!(
                "The stock waters the wine by {:.1} %: make it stronger for the vessel, or taste the trial against wine \
                 with as much water.",
                part * 100.0
            ),
        );
    }
    answer.caution(
        CautionKind::Practice,
        "Weiss, Lange and Bisson, AJEV 52:275 (2001)",
        "A glass is stirred harder than a vessel, which changes the effect by up to a third: repeat the trial, and give the \
         lowest dose that works.",
    );
    Ok(answer)
}
