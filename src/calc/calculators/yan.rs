//! Nitrogen that yeast can use, from what a laboratory or a burette says.

use super::acid_inputs::refused;
use super::nutrient::GROUP;
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::nitrogen::{AMMONIA_NITROGEN, AMMONIUM_NITROGEN, formol_mg_l};
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "yan",
    sentence: "Yeast assimilable nitrogen, from a formol titration or from ammonia and amino nitrogen.",
    group: GROUP,
    inputs: &[
        Input::new(
            "amino_mg_l",
            Quantity::MassPerVolume,
            "primary amino nitrogen, as nitrogen",
        )
        .one_of("way")
        .allowed(0.0, 1000.0, "no juice has more, nor less than none"),
        Input::new(
            "titrant_ml",
            Quantity::SmallVolume,
            "lye used after the formaldehyde",
        )
        .one_of("way")
        .allowed(0.0, 100.0, "a burette is read from 0 up"),
        Input::new(
            "ammonium_mg_l",
            Quantity::MassPerVolume,
            "ammonium, NH4, beside amino nitrogen",
        )
        .allowed(0.0, 1000.0, "no juice has more, nor less than none"),
        Input::new(
            "ammonia_mg_l",
            Quantity::MassPerVolume,
            "or ammonia, NH3, as some reports give it",
        )
        .allowed(0.0, 1000.0, "no juice has more, nor less than none"),
        Input::new("normality", Quantity::Number, "strength of the lye, mol/L")
            .default("0.1")
            .allowed(0.01, 1.0, "weaker or stronger lye gives no figure"),
        Input::new("sample_ml", Quantity::SmallVolume, "liquid titrated")
            .default("10")
            .allowed(1.0, 200.0, "less cannot be measured and more is wasted"),
        Input::new(
            "made_up",
            Quantity::Number,
            "times the juice was made up before: 2.5 for 10 mL to 25 mL",
        )
        .default("1")
        .allowed(
            1.0,
            20.0,
            "juice is not made stronger, and weaker gives no figure",
        ),
    ],
    results: &[ResultSpec::new(
        "yan_mg_l",
        Quantity::MassPerVolume,
        "nitrogen the yeast can use",
    )],
    example: &[("amino", "110"), ("ammonium", "90")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    let (ammonium, ammonia) = (
        inputs.number("ammonium_mg_l"),
        inputs.number("ammonia_mg_l"),
    );
    if ammonium.is_some() && ammonia.is_some() {
        return Err(refused(
            "ammonia_mg_l",
            "ammonium and ammonia are the same nitrogen twice: give only the one the report names",
        ));
    }
    let yan = match inputs.number("titrant_ml") {
        Some(titrant) => {
            if ammonium.or(ammonia).is_some() {
                return Err(refused(
                    "titrant_ml",
                    "a formol titration has the ammonia in it already: leave ammonium_mg_l and ammonia_mg_l out",
                ));
            }
            by_formol(inputs, &mut answer, titrant)?
        }
        None => by_sum(inputs, &mut answer, ammonium, ammonia)?,
    };
    if yan > 1000.0 {
        return Err(refused(
            if inputs.is_given("titrant_ml") {
                "titrant_ml"
            } else {
                "amino_mg_l"
            },
            format!(
                "it comes to {yan:.0} mg/L of nitrogen, and no juice has more than 1000: check the figures"
            ),
        ));
    }
    answer.result("yan_mg_l", yan);
    Ok(answer)
}

fn by_formol(inputs: &Inputs, answer: &mut Answer, titrant: f64) -> Result<f64, CalcError> {
    let (normality, sample) = (inputs.require("normality")?, inputs.require("sample_ml")?);
    let made_up = inputs.require("made_up")?;
    let yan = formol_mg_l(titrant, normality, sample, made_up);
    answer.work(
        "nitrogen",
        format!("{titrant:.2} mL × {normality:.4} × {made_up} × 1000 / {sample:.1} mL × 14.007 = {yan:.0} mg/L"),
    );
    answer.source(Source {
        sentence: "Virginia Tech, reduced-volume formol titration: 175 mg/L to the mL",
        standing: Standing::Opened,
    });
    answer.caution(
        CautionKind::Hazard,
        "common practice",
        "Formaldehyde is poisonous and can cause cancer, and lye burns: work under a hood or outdoors, in gloves and \
         goggles, and pour nothing of it back.",
    );
    answer.caution(
        CautionKind::Practice,
        "common practice",
        "Formaldehyde is acid itself and sulfite disturbs: bring both juice and formaldehyde to the same pH first, and \
         count only the lye after.",
    );
    Ok(yan)
}

fn by_sum(
    inputs: &Inputs,
    answer: &mut Answer,
    ammonium: Option<f64>,
    ammonia: Option<f64>,
) -> Result<f64, CalcError> {
    let amino = inputs.require("amino_mg_l")?;
    let (given, factor, name) = match (ammonium, ammonia) {
        (Some(ammonium), _) => (ammonium, AMMONIUM_NITROGEN, "ammonium"),
        (None, Some(ammonia)) => (ammonia, AMMONIA_NITROGEN, "ammonia"),
        (None, None) => {
            return Err(refused(
                "ammonium_mg_l",
                "amino nitrogen is only a part of it: give ammonium_mg_l or ammonia_mg_l too, 0 if there is none",
            ));
        }
    };
    let yan = amino + given * factor;
    answer.work(
        "nitrogen",
        format!("{amino:.1} + {given:.1} mg/L of {name} × {factor:.4} = {yan:.1} mg/L"),
    );
    answer.source(Source {
        sentence: "Nitrogen in ammonia 0.8225, in ammonium 0.7765, from IUPAC atomic masses",
        standing: Standing::Derived,
    });
    Ok(yan)
}
