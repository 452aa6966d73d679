//! How much nutrient a must wants.

use super::acid_inputs::refused;
use super::sulfite_inputs::VOLUME;
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::nitrogen::{DAP_NITROGEN, Demand, dap_g, dap_nitrogen_mg_l, target_mg_l};
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

pub(super) const GROUP: &str = "Ferment";

/// Diammonium phosphate allowed in the US, g/L (8 lb to 1000 gal): 27 CFR 24.246, from memory.
pub(crate) const US_CEILING_G_L: f64 = 0.96;
/// From this much nitrogen on it harms, mg/L (common practice).
const TOO_MUCH_MG_L: f64 = 450.0;

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "nutrient",
    sentence: "How much diammonium phosphate brings a must to the nitrogen its yeast wants, and when to give it.",
    group: GROUP,
    inputs: &[
        VOLUME.required(),
        Input::new("brix", Quantity::Brix, "sugar of the must")
            .required()
            .allowed(5.0, 40.0, "no must that ferments lies outside"),
        Input::new(
            "yan_mg_l",
            Quantity::MassPerVolume,
            "nitrogen the yeast can use, by a test",
        )
        .required()
        .allowed(0.0, 1000.0, "no must has more, nor less than none"),
        Input::new(
            "need",
            Quantity::Choice(&["low", "medium", "high"]),
            "what the yeast asks for, by its packet",
        )
        .default("medium"),
        Input::new(
            "target_yan_mg_l",
            Quantity::MassPerVolume,
            "nitrogen to aim at, instead of the table's",
        )
        .allowed(50.0, 500.0, "less feeds no yeast and more harms the wine"),
    ],
    results: &[
        ResultSpec::new(
            "target_yan_mg_l",
            Quantity::MassPerVolume,
            "nitrogen aimed at",
        ),
        ResultSpec::new("dap_g", Quantity::Mass, "diammonium phosphate in all"),
        ResultSpec::new("dap_first_g", Quantity::Mass, "the half to give first"),
        ResultSpec::new(
            "dap_g_l",
            Quantity::GramsPerLitre,
            "the whole to each litre",
        ),
        ResultSpec::new(
            "dap_ceiling_g",
            Quantity::Mass,
            "most of it the US allows in this volume",
        ),
    ],
    example: &[("volume", "23 L"), ("brix", "23"), ("yan", "150")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let volume = inputs.require("volume_l")?;
    let (brix, now) = (inputs.require("brix")?, inputs.require("yan_mg_l")?);
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    let target = target(inputs, &mut answer, brix)?;
    let missing = target - now;
    if missing <= 0.0 {
        return Err(refused(
            "yan_mg_l",
            format!(
                "there is already enough nitrogen, {now:.0} mg/L against {target:.0}: give none, since what yeast leaves \
                 feeds spoilers"
            ),
        ));
    }
    let grams = dap_g(missing, volume);
    let per_litre = grams / volume;
    if per_litre > US_CEILING_G_L {
        return Err(refused(
            "yan_mg_l",
            format!(
                "it would take {per_litre:.2} g/L of diammonium phosphate, and no more than {US_CEILING_G_L} is allowed \
                 (27 CFR 24.246, from memory): set target_yan_mg_l to {:.0}, and give a yeast-based nutrient for the rest",
                (now + dap_nitrogen_mg_l(US_CEILING_G_L)).floor()
            ),
        ));
    }
    answer.result("target_yan_mg_l", target);
    answer.result("dap_g", grams);
    answer.result("dap_first_g", grams / 2.0);
    answer.result("dap_g_l", per_litre);
    answer.result("dap_ceiling_g", US_CEILING_G_L * volume);
    answer.work(
        "missing",
        format!("{target:.0} − {now:.0} = {missing:.0} mg/L"),
    );
    answer.work(
        "powder",
        format!("{missing:.0} × {volume:.2} L / (1000 × {DAP_NITROGEN:.4}) = {grams:.2} g, {per_litre:.2} g/L"),
    );
    answer.source(Source {
        sentence: "Nitrogen in diammonium phosphate 21.21 %, from IUPAC atomic masses",
        standing: Standing::Derived,
    });
    answer.source(Source {
        sentence: "27 CFR 24.246: 8 lb of diammonium phosphate to 1000 US gal, 0.96 g/L; Regulation (EU) 2019/934: 1 g/L",
        standing: Standing::FromMemory,
    });
    warn(&mut answer, target);
    Ok(answer)
}

fn target(inputs: &Inputs, answer: &mut Answer, brix: f64) -> Result<f64, CalcError> {
    if let Some(target) = inputs.number("target_yan_mg_l") {
        return Ok(target);
    }
    let demand = match inputs.word("need") {
        "low" => Demand::Low,
        "high" => Demand::High,
        _ => Demand::Medium,
    };
    let target = target_mg_l(brix, demand).ok_or_else(|| {
        refused(
            "brix",
            format!(
                "{brix:.1} °Bx is outside the planning table, which holds for 19 to 27: take the figure of the yeast's \
                 packet as target_yan_mg_l, 150 mg/L at least"
            ),
        )
    })?;
    answer.work(
        "target",
        format!(
            "{} demand at {brix:.1} °Bx: {target:.0} mg/L",
            inputs.word("need")
        ),
    );
    answer.source(Source {
        sentence: "Bisson and Butzke, AJEV 51:168 (2000): 200, 250, 300, 350 mg/L at 21, 23, 25, 27 °Brix; low and high \
                   demand are a planning band of our own around it",
        standing: Standing::FromMemory,
    });
    Ok(target)
}

fn warn(answer: &mut Answer, target: f64) {
    answer.caution(
        CautionKind::Practice,
        "makers' sheets for yeast, from memory",
        "Give half 12 to 24 hours after the yeast or once 2 to 3 °Bx are gone, the other half when a third of the sugar \
         is, and nothing after half: yeast no longer takes it up, and spoilers do. None in the water yeast wakes in.",
    );
    answer.caution(
        CautionKind::Hazard,
        "common practice",
        "Powder wakes the gas in a fermenting must, and it foams over: dissolve it in a little must first and stir in \
         slowly. Never use urea or garden fertiliser: urea makes ethyl carbamate, which can cause cancer.",
    );
    if target > TOO_MUCH_MG_L {
        answer.caution(
            CautionKind::Limit,
            "common practice",
            format!(
                "{target:.0} mg/L is more than a wine needs, and much nitrogen brings haze and ethyl carbamate: aim at \
                 450 or less."
            ),
        );
    }
}
