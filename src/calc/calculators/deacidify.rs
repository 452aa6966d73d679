//! How much carbonate takes acid out of a wine.

use super::acid_inputs::{GROUP, NOW, TARGET, refused};
use super::sulfite_inputs::{PH, VOLUME};
use crate::acid::Deacidifier;
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

/// Most to take out at once, and at all, g/L as tartaric (common practice).
pub(crate) const AT_ONCE_G_L: f64 = 2.0;
const AT_ALL_G_L: f64 = 3.0;

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "deacidify",
    sentence: "How much carbonate brings a wine down to the acidity aimed at, and the gas it gives off.",
    group: GROUP,
    inputs: &[
        VOLUME.required(),
        NOW.required(),
        TARGET.required(),
        Input::new(
            "agent",
            Quantity::Choice(&["khco3", "caco3", "k2co3"]),
            "potassium bicarbonate, calcium carbonate or potassium carbonate",
        )
        .default("khco3"),
        PH,
    ],
    results: &[
        ResultSpec::new("agent_g", Quantity::Mass, "carbonate by weight"),
        ResultSpec::new(
            "co2_l",
            Quantity::Volume,
            "carbon dioxide it can give off, at 20 °C",
        ),
    ],
    example: &[("volume", "23 L"), ("now", "8.5"), ("target", "7.5")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let volume = inputs.require("volume_l")?;
    let (now, target) = (inputs.require("now_g_l")?, inputs.require("target_g_l")?);
    let word = inputs.word("agent");
    let agent = match word {
        "caco3" => Deacidifier::CalciumCarbonate,
        "k2co3" => Deacidifier::PotassiumCarbonate,
        _ => Deacidifier::PotassiumBicarbonate,
    };
    let fall = now - target;
    if fall <= 0.0 {
        return Err(refused(
            "target_g_l",
            format!(
                "the acidity is already low enough, {now:.1} g/L against {target:.1}: add nothing, or raise it with \
                 acid-add"
            ),
        ));
    }
    if fall > AT_ALL_G_L {
        return Err(refused(
            "target_g_l",
            format!(
                "this takes out {fall:.1} g/L, and carbonate spoils a wine beyond 3: aim no lower than {:.1}, and blend \
                 or let malolactic bacteria do the rest",
                now - AT_ALL_G_L
            ),
        ));
    }
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    let need = agent.need();
    let grams = |per_gram: f64| fall * volume * per_gram;
    let (low, value, high) = (
        grams(need.all_drops),
        grams(need.practice),
        grams(need.none_drops),
    );
    answer.band("agent_g", low, value, high);
    let gas = agent.carbon_dioxide_l();
    answer.band("co2_l", low * gas, value * gas, high * gas);
    answer.work(
        "too much",
        format!("{now:.2} − {target:.2} = {fall:.2} g/L as tartaric acid"),
    );
    answer.work(
        "agent",
        format!(
            "{fall:.2} × {volume:.2} L × {:.3} = {value:.2} g; × {:.3} = {low:.2} g if all its tartrate drops, × {:.3} = \
             {high:.2} g if none does",
            need.practice, need.all_drops, need.none_drops
        ),
    );
    answer.work(
        "gas",
        format!(
            "{value:.2} g × {gas:.4} L/g = {:.2} L of carbon dioxide",
            value * gas
        ),
    );
    answer.source(Source {
        sentence: "Australian Wine Research Institute, Deacidification: H2T + CaCO3 → CaT, H2T + KHCO3 → KHT, \
                   2 H2T + K2CO3 → 2 KHT",
        standing: Standing::Opened,
    });
    answer.source(Source {
        sentence: "Need per gram of acidity from IUPAC atomic masses, with and without the tartrate dropping",
        standing: Standing::Derived,
    });
    match agent {
        Deacidifier::PotassiumBicarbonate => answer.source(Source {
            sentence: "An oenological glossary on farum.it citing US material: 0.9 g/L of potassium bicarbonate to 1 g/L",
            standing: Standing::Opened,
        }),
        Deacidifier::PotassiumCarbonate => answer.source(Source {
            sentence: "Zoecklein et al.; Boulton et al.: 0.62 g/L of potassium carbonate to 1 g/L",
            standing: Standing::FromMemory,
        }),
        Deacidifier::CalciumCarbonate => {}
    }
    warn(inputs, &mut answer, agent, fall);
    Ok(answer)
}

fn warn(inputs: &Inputs, answer: &mut Answer, agent: Deacidifier, fall: f64) {
    let now = inputs.number("now_g_l").unwrap_or_default();
    let target = inputs.number("target_g_l").unwrap_or_default();
    let ph = inputs.number("ph");
    answer.caution(
        CautionKind::Hazard,
        "common practice",
        "Carbonate foams up hard and the gas fills a low room: leave a quarter of the vessel empty, stir it in a little \
         at a time, window open, and never close the vessel while it works.",
    );
    if fall > AT_ONCE_G_L {
        answer.stop(
            CautionKind::Limit,
            "common practice",
            format!(
                "This takes out {fall:.1} g/L at once, and more than 2 flattens a wine: take half, wait a week, \
                 measure, then the rest."
            ),
            format!("Take out {fall:.1} g/L at once?"),
        );
    }
    if target < 5.0 {
        answer.caution(
            CautionKind::Limit,
            "27 CFR 24.178 and 24.246, in part from memory",
            format!(
                "In the US fixed acid is not brought below 5.0 g/L, and this aims at {target:.1}: aim higher. Your local \
                 code holds."
            ),
        );
    }
    if now > 10.0 && agent != Deacidifier::CalciumCarbonate && ph.is_none_or(|ph| ph >= 3.0) {
        answer.caution(
            CautionKind::Range,
            "Mattick, Plane and Weirs, AJEV 31:350 (1980), abstract",
            "Above 10 g/L potassium bicarbonate works well only below pH 3.0: measure the pH, and expect to blend.",
        );
    }
    match ph {
        Some(ph) if ph > 3.5 => answer.caution(
            CautionKind::State,
            "common practice",
            format!(
                "At pH {ph:.2} the wine has little acid strength left, and each 0.3 more doubles the sulfite it needs: \
                 take less out, or none."
            ),
        ),
        _ => answer.caution(
            CautionKind::Practice,
            "common practice",
            "The pH rises and with it the sulfite the wine needs: try it on a measured litre first, and measure the pH \
             after.",
        ),
    }
    if agent == Deacidifier::CalciumCarbonate {
        answer.caution(
            CautionKind::State,
            "Mattick, Plane and Weirs, AJEV 31:350 (1980), abstract",
            "Calcium stays behind, can be tasted, and drops crystals weeks to months later: keep the wine back from \
             bottling for some months.",
        );
    }
}
