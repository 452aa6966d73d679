//! How much of a fining agent a wine gets.

use super::acid_inputs::refused;
use super::sulfite_inputs::VOLUME;
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::fining::agent_g;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

pub(super) const GROUP: &str = "Fining";

/// A fining agent: its usual rates and stock, what the law allows, and who must be told.
struct Agent {
    name: &'static str,
    /// Lowest and highest usual rate, g/hL, where there is one.
    usual: Option<(f64, f64)>,
    usual_standing: Standing,
    /// The stock it is made up to, g/L.
    stock_g_l: f64,
    /// Most allowed, g/hL, and by whom.
    limit: Option<(f64, &'static str)>,
    allergen: Option<&'static str>,
    how: &'static str,
}

const EU_MEMORY: &str = "Regulation (EU) 2019/934, from memory";

static AGENTS: [Agent; 9] = [
    Agent {
        name: "bentonite",
        usual: Some((30.0, 100.0)),
        usual_standing: Standing::FromMemory,
        stock_g_l: 50.0,
        limit: None,
        allergen: None,
        how: "Stir it into hot water and let it swell for a day; its dust harms the lungs, so pour it gently.",
    },
    Agent {
        name: "gelatin",
        usual: Some((1.5, 15.0)),
        usual_standing: Standing::Opened,
        stock_g_l: 10.0,
        limit: None,
        allergen: None,
        how: "Too much leaves a haze of its own: give silica before it in a white wine.",
    },
    Agent {
        name: "isinglass",
        usual: Some((1.0, 2.5)),
        usual_standing: Standing::Opened,
        stock_g_l: 10.0,
        limit: None,
        allergen: Some("fish"),
        how: "It works below 15 °C, and warmth spoils it.",
    },
    Agent {
        name: "egg-white",
        usual: Some((5.0, 15.0)),
        usual_standing: Standing::Opened,
        stock_g_l: 10.0,
        limit: None,
        allergen: Some("egg"),
        how: "For red wine: do not whip it, and add a pinch of salt so that it dissolves.",
    },
    Agent {
        name: "casein",
        usual: Some((10.0, 25.0)),
        usual_standing: Standing::Opened,
        stock_g_l: 10.0,
        limit: None,
        allergen: Some("milk"),
        how: "It curdles at once: stir hard while adding.",
    },
    Agent {
        name: "pvpp",
        usual: Some((10.0, 80.0)),
        usual_standing: Standing::FromMemory,
        stock_g_l: 50.0,
        limit: Some((80.0, EU_MEMORY)),
        allergen: None,
        how: "It must be filtered or racked out again.",
    },
    Agent {
        name: "silica",
        usual: Some((6.0, 30.0)),
        usual_standing: Standing::FromMemory,
        stock_g_l: 300.0,
        limit: None,
        allergen: None,
        how: "The rate is of silica itself, and the volume of a 30 % sol; kits have weaker ones. Give it before gelatin.",
    },
    Agent {
        name: "carbon",
        usual: None,
        usual_standing: Standing::FromMemory,
        stock_g_l: 50.0,
        limit: Some((100.0, EU_MEMORY)),
        allergen: None,
        how: "It takes colour and aroma too: only by bench trial. The US allows 300 g/hL (27 CFR 24.241).",
    },
    Agent {
        name: "chitosan",
        usual: Some((5.0, 10.0)),
        usual_standing: Standing::FromMemory,
        stock_g_l: 10.0,
        limit: Some((100.0, EU_MEMORY)),
        allergen: Some("crustacean, unless the packet says it is from a fungus"),
        how: "Take the fungal kind.",
    },
];

/// The most of an agent that is allowed, or else that is usual, g/hL, and whether it is the law's figure.
pub(crate) fn most_g_hl(agent: &str) -> Option<(f64, bool)> {
    let agent = AGENTS.iter().find(|it| it.name == agent)?;
    let usual = agent.usual.map(|(_, high)| (high, false));
    agent.limit.map(|(limit, _)| (limit, true)).or(usual)
}

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "fining",
    sentence: "How much of a fining agent a wine gets, and how much slurry that is.",
    group: GROUP,
    inputs: &[
        VOLUME.required(),
        Input::new(
            "agent",
            Quantity::Choice(&[
                "bentonite",
                "gelatin",
                "isinglass",
                "egg-white",
                "casein",
                "pvpp",
                "silica",
                "carbon",
                "chitosan",
            ]),
            "fining agent",
        )
        .required(),
        Input::new(
            "rate_g_hl",
            Quantity::GramsPerHectolitre,
            "rate by bench trial; without it the usual span is given",
        )
        .allowed(0.1, 1000.0, "less does nothing and more strips the wine"),
        Input::new(
            "stock_g_l",
            Quantity::GramsPerLitre,
            "strength of your slurry",
        )
        .allowed(
            1.0,
            500.0,
            "weaker waters the wine and stronger does not flow",
        ),
    ],
    results: &[
        ResultSpec::new("agent_g", Quantity::Mass, "agent by weight"),
        ResultSpec::new(
            "slurry_ml",
            Quantity::SmallVolume,
            "slurry or solution it makes",
        ),
        ResultSpec::new(
            "rate_g_hl",
            Quantity::GramsPerHectolitre,
            "rate reckoned with",
        ),
    ],
    example: &[("volume", "23 L"), ("agent", "bentonite"), ("rate", "50")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let volume = inputs.require("volume_l")?;
    let word = inputs.word("agent");
    let agent = AGENTS
        .iter()
        .find(|agent| agent.name == word)
        .ok_or_else(|| refused("agent", "no rates are known of it: choose another"))?;
    let stock = inputs.number("stock_g_l").unwrap_or(agent.stock_g_l);
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    if !inputs.is_given("stock_g_l") {
        answer.work(
            "slurry",
            format!("made up to {stock:.0} g/L, as is common for {word}"),
        );
    }
    let rate = if let Some(rate) = inputs.number("rate_g_hl") {
        let grams = agent_g(rate, volume);
        answer.result("agent_g", grams);
        answer.result("slurry_ml", grams / stock * 1e3);
        answer.result("rate_g_hl", rate);
        rate
    } else if let Some((low, high)) = agent.usual {
        let middle = (low * high).sqrt();
        let grams = |rate: f64| agent_g(rate, volume);
        answer.band("agent_g", grams(low), grams(middle), grams(high));
        answer.band(
            "slurry_ml",
            grams(low) / stock * 1e3,
            grams(middle) / stock * 1e3,
            grams(high) / stock * 1e3,
        );
        answer.band("rate_g_hl", low, middle, high);
        answer.caution(
            CautionKind::Range,
            "common practice",
            format!("No rate was given, so this is the usual span of {low} to {high} g/hL: find yours by a bench trial."),
        );
        middle
    } else {
        return Err(refused(
            "rate_g_hl",
            format!("there is no usual rate of {word}: find yours by a bench trial and give it"),
        ));
    };
    let grams = agent_g(rate, volume);
    answer.work(
        "agent",
        format!("{rate:.1} g/hL × {volume:.2} L / 100 = {grams:.2} g"),
    );
    answer.work(
        "volume",
        format!(
            "{grams:.2} g / {stock:.0} g/L = {:.0} mL",
            grams / stock * 1e3
        ),
    );
    answer.source(match agent.usual_standing {
        Standing::Opened => Source {
            sentence: "Natural Food Additives, Ingredients and Flavourings, table 16.18: usual rates of fining agents",
            standing: Standing::Opened,
        },
        _ => Source {
            sentence: "Zoecklein et al.; Ribéreau-Gayon et al., Handbook of Enology 2, ch. 10: usual rates",
            standing: Standing::FromMemory,
        },
    });
    warn(&mut answer, agent, rate);
    Ok(answer)
}

fn warn(answer: &mut Answer, agent: &Agent, rate: f64) {
    if let Some(allergen) = agent.allergen {
        answer.caution(
            CautionKind::Hazard,
            "Regulation (EU) 1169/2011, Annex II, from memory; common practice",
            format!("{} is an allergen ({allergen}), and traces can stay: write it on the label, and say so when you give \
                     the wine away.", agent.name),
        );
    }
    if let Some((limit, source)) = agent.limit
        && rate > limit
    {
        answer.stop(
            CautionKind::Limit,
            source,
            format!("{rate:.0} g/hL is over the {limit:.0} the EU allows: take less. Your local code holds."),
            format!("Go over the limit for {}?", agent.name),
        );
    } else if let Some((_, high)) = agent.usual
        && rate > high
    {
        answer.caution(
            CautionKind::Range,
            "common practice",
            format!("{rate:.0} g/hL is more than the usual {high}: check it by a bench trial, since too much strips the wine."),
        );
    }
    answer.caution(CautionKind::Practice, "common practice", agent.how);
    answer.caution(
        CautionKind::Practice,
        "Weiss, Lange and Bisson, AJEV 52:275 (2001)",
        "How hard a trial is stirred changes bentonite's effect by up to a third: try it twice and stir as in the cellar. \
         Fine, let it settle, rack, test the sulfite, then bottle.",
    );
}
