//! How much acid to add to a must or wine.

use super::acid_inputs::{EQUIVALENTS, GROUP, NOW, TARGET, acid, refused};
use super::sulfite_inputs::{PH, VOLUME};
use crate::acid::{Acid, addition_g};
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

/// What a gram per litre of tartaric acid takes off the pH: low, middle, high (from memory).
const PH_FALL: (f64, f64, f64) = (0.05, 0.1, 0.2);
/// Grams in a millilitre of the trade's lactic acid: 88 % of it by mass, 1.21 g/mL (from memory).
const LACTIC_88_G_ML: f64 = 0.88 * 1.21;
/// Fixed acid after an addition in the US, g/L as tartaric: 27 CFR 24.182, by a supplier's citation.
const US_CEILING_G_L: f64 = 9.0;
/// Acid that may be added in the EU, g/L as tartaric: Regulation (EU) 2019/934, from memory.
pub(crate) const EU_RISE_G_L: f64 = 4.0;
/// Citric acid in the US (5.8 lb to 1000 gal), g/L: 27 CFR 24.246, from memory; the EU has 1 g/L in the wine.
const US_CITRIC_G_L: f64 = 0.7;

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "acid-add",
    sentence: "How much acid brings a must or wine to the acidity aimed at.",
    group: GROUP,
    inputs: &[
        VOLUME.required(),
        NOW.required(),
        TARGET.required(),
        Input::new(
            "acid",
            Quantity::Choice(&["tartaric", "malic", "citric", "lactic"]),
            "acid to add",
        )
        .default("tartaric"),
        PH,
    ],
    results: &[
        ResultSpec::new("acid_g", Quantity::Mass, "pure acid by weight"),
        ResultSpec::new(
            "acid_g_l",
            Quantity::GramsPerLitre,
            "the same to each litre",
        ),
        ResultSpec::new(
            "lactic_88_ml",
            Quantity::SmallVolume,
            "lactic acid as sold, 88 %, where it is lactic",
        ),
        ResultSpec::new(
            "ph_fall",
            Quantity::Number,
            "what it takes off the pH, roughly",
        ),
        ResultSpec::new("ph_after", Quantity::Ph, "pH after it, roughly"),
    ],
    example: &[("volume", "23 L"), ("now", "5.5"), ("target", "6.5")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let volume = inputs.require("volume_l")?;
    let (now, target) = (inputs.require("now_g_l")?, inputs.require("target_g_l")?);
    let word = inputs.word("acid");
    if target <= now {
        return Err(refused(
            "target_g_l",
            format!(
                "there is already enough acid, {now:.1} g/L against {target:.1}: add none, or take some out with \
                 deacidify"
            ),
        ));
    }
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    let acid = acid(word).unwrap_or(Acid::Tartaric);
    let rise = target - now;
    let grams = addition_g(acid, rise, volume);
    answer.result("acid_g", grams);
    answer.result("acid_g_l", grams / volume);
    answer.work(
        "missing",
        format!("{target:.2} − {now:.2} = {rise:.2} g/L as tartaric acid"),
    );
    answer.work(
        "acid",
        format!(
            "{rise:.2} × {volume:.2} L × {:.2} / {:.2} = {grams:.2} g of {word} acid",
            acid.equivalent_g(),
            Acid::Tartaric.equivalent_g()
        ),
    );
    let sold = (acid == Acid::Lactic).then_some(grams / LACTIC_88_G_ML);
    answer.result("lactic_88_ml", sold);
    if let Some(sold) = sold {
        answer.work(
            "as sold",
            format!("{grams:.2} g / (0.88 × 1.21 g/mL) = {sold:.1} mL of 88 % lactic acid"),
        );
    }
    let ph = estimate(inputs, &mut answer, rise);
    answer.source(EQUIVALENTS);
    warn(&mut answer, word, rise, target, grams / volume);
    warn_by_ph(&mut answer, inputs.number("ph"), ph);
    Ok(answer)
}

/// Puts what the pH may do, and gives the lowest it may come to.
fn estimate(inputs: &Inputs, answer: &mut Answer, rise: f64) -> Option<f64> {
    let (low, middle, high) = PH_FALL;
    answer.band("ph_fall", low * rise, middle * rise, high * rise);
    answer.source(Source {
        sentence: "A gram per litre of tartaric acid takes 0.05 to 0.2 off the pH, 0.1 as a rule",
        standing: Standing::FromMemory,
    });
    let Some(ph) = inputs.number("ph") else {
        answer.result("ph_after", None);
        return None;
    };
    answer.band(
        "ph_after",
        ph - high * rise,
        ph - middle * rise,
        ph - low * rise,
    );
    answer.work(
        "pH",
        format!(
            "{ph:.2} − 0.1 × {rise:.2} = {:.2}, and by the buffer {:.2} to {:.2}",
            ph - middle * rise,
            ph - high * rise,
            ph - low * rise
        ),
    );
    Some(ph - high * rise)
}

fn warn(answer: &mut Answer, word: &str, rise: f64, target: f64, acid_g_l: f64) {
    answer.caution(
        CautionKind::Practice,
        "common practice",
        "No formula knows this wine's buffer: try it on a measured litre first, taste and measure the pH, then give \
         half, wait a day, and give the rest.",
    );
    if target > US_CEILING_G_L {
        answer.caution(
            CautionKind::Limit,
            "27 CFR 24.182 and 24.246, by a supplier's citation",
            format!(
                "In the US acid may not be added beyond 9.0 g/L as tartaric, and this aims at {target:.1}: aim lower. \
                 Your local code holds."
            ),
        );
    }
    if rise > EU_RISE_G_L {
        answer.caution(
            CautionKind::Limit,
            "Regulation (EU) 2019/934, from memory",
            format!(
                "The EU allows 4 g/L as tartaric to be added in all, and this is {rise:.1}: aim lower. Your local \
                 code holds."
            ),
        );
    }
    match word {
        "tartaric" => answer.caution(
            CautionKind::Practice,
            "common practice",
            "Some of it drops again as cream of tartar, in the cold above all: measure again after a week.",
        ),
        "citric" => {
            answer.caution(
                CautionKind::State,
                "common practice",
                "Malolactic bacteria and yeast turn citric acid into vinegar and butter notes: add it only to a \
                 finished, sulfited wine.",
            );
            if acid_g_l > US_CITRIC_G_L {
                answer.caution(
                    CautionKind::Limit,
                    "27 CFR 24.246 and Regulation (EU) 2019/934, from memory",
                    format!(
                        "Citric acid is held to 0.7 g/L added in the US and 1 g/L in the wine in the EU, and this is \
                         {acid_g_l:.2}: take tartaric for the rest."
                    ),
                );
            }
        }
        "malic" => answer.caution(
            CautionKind::State,
            "common practice",
            "Malolactic bacteria take the L half of malic acid away again: add it after they are done, or take \
             tartaric.",
        ),
        _ => {}
    }
}

fn warn_by_ph(answer: &mut Answer, now: Option<f64>, lowest: Option<f64>) {
    if lowest.is_some_and(|ph| ph < 3.0) {
        answer.caution(
            CautionKind::Limit,
            "27 CFR 24.182, by a supplier's citation",
            "This may push the pH below 3.0, where the US allows no acid and yeast and bacteria struggle: add less and \
             measure.",
        );
    }
    match now {
        Some(ph) if ph > 4.6 => answer.caution(
            CautionKind::Hazard,
            "common practice",
            "Above pH 4.6 dangerous bacteria can grow in a must: do not ferment it as it is; bring it well below with \
             acid at once, or throw it away.",
        ),
        Some(ph) if ph > 4.0 => answer.caution(
            CautionKind::State,
            "common practice",
            "A must above pH 4.0 spoils easily: add the acid before the yeast.",
        ),
        _ => {}
    }
}
