//! How many bottles and corks a bottling needs.

use super::vessel_inputs::BOTTLING;
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::bottling::bottles;
use crate::error::CalcError;
use crate::hazards::{REFERMENTING, WET_GLASS};
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

/// Part of a small batch that stays behind in lees, hose and samples.
const LOSS: (f64, f64, f64) = (0.02, 0.03, 0.05);
/// Corks beyond the bottles, for those that break or jam.
const SPARE: f64 = 0.05;
/// Solution for the rinser, the hose and the corks, and what each bottle carries off, in millilitres.
const SOLUTION: (f64, f64) = (1500.0, 20.0);

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "bottling-plan",
    sentence: "How many bottles and corks a wine fills, and how much sanitizer to make.",
    group: BOTTLING,
    inputs: &[
        Input::new("volume_l", Quantity::Volume, "how much wine there is")
            .required()
            .allowed(
                0.05,
                1e5,
                "this is for wine between a glass and a winery's tank",
            ),
        Input::new("bottle_ml", Quantity::SmallVolume, "what a bottle holds")
            .default("750")
            .allowed(
                20.0,
                60_000.0,
                "packages are between a sample and a demijohn",
            ),
        Input::new(
            "loss_l",
            Quantity::Volume,
            "what stays behind in lees, hose and samples",
        )
        .allowed(0.0, 1e5, "a loss is none or more"),
    ],
    results: &[
        ResultSpec::new("bottles", Quantity::Count, "full bottles"),
        ResultSpec::new(
            "corks",
            Quantity::Count,
            "corks to have at hand, with spare ones",
        ),
        ResultSpec::new(
            "capsules",
            Quantity::Count,
            "capsules or seals, with spare ones; as many labels",
        ),
        ResultSpec::new(
            "left_over_ml",
            Quantity::SmallVolume,
            "wine that fills no bottle: drink it or use it to top up",
        ),
        ResultSpec::new(
            "sanitizer_ml",
            Quantity::SmallVolume,
            "sanitizer to make for bottles, hose and corks",
        ),
    ],
    example: &[("volume", "23 L")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let (volume, bottle) = (inputs.require("volume_l")?, inputs.require("bottle_ml")?);
    let loss = inputs.number("loss_l").unwrap_or(volume * LOSS.1);
    if loss >= volume {
        return Err(CalcError::Refused {
            key: "loss_l",
            sentence: format!(
                "{loss:.1} L is all of the {volume:.1} L, so there is nothing to bottle: check both"
            ),
        });
    }
    let filled = |loss: f64| bottles((volume - loss) * 1e3, bottle);
    let (count, rest) = filled(loss);
    let corks = (f64::from(count) * (1.0 + SPARE))
        .ceil()
        .max(f64::from(count) + 2.0);
    let sanitizer = SOLUTION.0 + SOLUTION.1 * f64::from(count);

    let mut answer = Answer::new(CALCULATOR.name, inputs);
    answer.result("bottles", i64::from(count));
    if inputs.number("loss_l").is_none() {
        answer.result("bottles_low", i64::from(filled(volume * LOSS.2).0));
        answer.result("bottles_high", i64::from(filled(volume * LOSS.0).0));
        answer.assume(
            "loss_l",
            loss,
            (volume * LOSS.0, volume * LOSS.2),
            format!(
                "loss_l was not given: 3 % or {loss:.2} L is taken to stay behind in lees and hose; in small \
                 batches it is 2 to 5 %."
            ),
        );
    }
    answer.result("corks", corks as i64);
    answer.result("capsules", corks as i64);
    answer.result("left_over_ml", rest);
    answer.result("sanitizer_ml", sanitizer);
    answer.work(
        "bottles",
        format!(
            "({volume:.2} L − {loss:.2} L) / {bottle:.0} mL = {count} full bottles, and {rest:.0} mL over"
        ),
    );
    answer.work(
        "corks",
        format!("{count} and a twentieth more, at least two = {corks:.0}"),
    );
    answer.work(
        "sanitizer",
        format!(
            "{:.0} mL for rinser, hose and corks + {count} × {:.0} mL that each bottle carries off = \
             {sanitizer:.0} mL",
            SOLUTION.0, SOLUTION.1
        ),
    );
    answer.source(Source {
        sentence: "Division; 27 CFR 24.300(a)(2) counts 12 bottles of 750 mL as 2.37753 US gallons",
        standing: Standing::Opened,
    });
    answer.source(Source {
        sentence: "Losses of 2 to 5 % in small batches, a twentieth more corks, 20 mL of sanitizer a bottle",
        standing: Standing::CommonPractice,
    });
    if count == 0 {
        answer.caution(
            CautionKind::State,
            "arithmetic",
            "There is not enough wine for one bottle: choose a smaller one.",
        );
    }
    answer.hazard(REFERMENTING);
    answer.hazard(WET_GLASS);
    Ok(answer)
}
