//! What the wine is brought to: free SO2, as given or as its pH needs for a molecular aim.

use super::super::sulfite_inputs::Constants;
use crate::answer::Answer;
use crate::error::CalcError;
use crate::inputs::Inputs;
use crate::quantity::Value;
use crate::sulfite::{free_needed_mg_l, molecular_mg_l};

/// What is aimed at: free SO2 always, and its molecular part where the pH is known.
pub(super) struct Aim {
    pub(super) free_mg_l: f64,
    pub(super) molecular: Option<Molecular>,
}

/// A molecular figure at a pH, under the constant chosen.
pub(super) struct Molecular {
    pub(super) ph: f64,
    pub(super) mg_l: f64,
    /// Whether it is the aim, rather than what a free aim comes to.
    pub(super) aimed_at: bool,
    pub(super) constants: Constants,
}

impl Aim {
    /// The free SO2 to aim at: as given, or what the molecular aim needs at this pH.
    pub(super) fn read(inputs: &Inputs, answer: &mut Answer) -> Result<Self, CalcError> {
        let Some(ph) = inputs.number("ph") else {
            let free_mg_l = inputs.number("target_free_so2_mg_l").ok_or_else(no_aim)?;
            answer.work("aim", format!("{free_mg_l:.1} mg/L free, as given"));
            return Ok(Self {
                free_mg_l,
                molecular: None,
            });
        };
        let constants = Constants::read(inputs)?;
        let pk1 = constants.pk1();
        constants.explain(answer);
        let given = inputs.number("target_free_so2_mg_l");
        let (free_mg_l, mg_l) = if let Some(free_mg_l) = given {
            let mg_l = molecular_mg_l(free_mg_l, ph, pk1);
            answer.work(
                "aim",
                format!(
                    "{free_mg_l:.1} mg/L free, as given, which is {mg_l:.2} molecular at pH {ph:.2}"
                ),
            );
            if let (Some(aside), true) = (
                inputs.number("target_molecular_mg_l"),
                inputs.is_given("target_molecular_mg_l"),
            ) {
                answer.work(
                    "aside",
                    format!("the molecular aim of {aside} mg/L is left aside for it"),
                );
            }
            (free_mg_l, mg_l)
        } else {
            let mg_l = molecular_aim(inputs, answer)?;
            let free_mg_l = free_needed_mg_l(mg_l, ph, pk1);
            answer.work(
                "aim",
                format!("{mg_l} × (1 + 10^({ph:.2} − {pk1:.3})) = {free_mg_l:.1} mg/L free"),
            );
            (free_mg_l, mg_l)
        };
        let molecular = Molecular {
            ph,
            mg_l,
            aimed_at: given.is_none(),
            constants,
        };
        Ok(Self {
            free_mg_l,
            molecular: Some(molecular),
        })
    }

    /// Puts the molecular aim, and what the other constant makes of the question: the free SO2 and the powder
    /// of a molecular aim, the molecular part of a free one.
    pub(super) fn put(
        &self,
        answer: &mut Answer,
        grams_of_mg: f64,
        so2_mg: impl FnOnce(f64) -> f64,
    ) {
        let Some(Molecular {
            ph,
            mg_l,
            aimed_at,
            constants,
        }) = &self.molecular
        else {
            return;
        };
        answer.result("aim_molecular_mg_l", *mg_l);
        answer.result("pk1", constants.pk1());
        answer.other_constant = Some(constants.other_fields(|pk1, fields| {
            if *aimed_at {
                let free = free_needed_mg_l(*mg_l, *ph, pk1);
                fields.put("target_free_so2_mg_l", free);
                let so2 = so2_mg(free);
                fields.put("so2_mg", so2);
                fields.put("metabisulfite_g", so2 * grams_of_mg);
            } else {
                fields.put(
                    "aim_molecular_mg_l",
                    molecular_mg_l(self.free_mg_l, *ph, pk1),
                );
            }
        }));
    }
}

fn no_aim() -> CalcError {
    CalcError::Refused {
        key: "ph",
        sentence:
            "it is missing, and so is target_free_so2_mg_l, and the need hangs on one of them: \
                   give either, or take the rule of thumb with sulfite-by-spoon"
                .to_owned(),
    }
}

/// Molecular SO2 to aim at: as given, else 0.5 for dry red and 0.8 for all other wine (common practice).
fn molecular_aim(inputs: &Inputs, answer: &mut Answer) -> Result<f64, CalcError> {
    let red = inputs.word("wine") == "red";
    if red && !inputs.is_given("target_molecular_mg_l") {
        answer.inputs.put("target_molecular_mg_l", 0.5);
        answer.assume_plainly("target_molecular_mg_l", &Value::Number(0.5),
            "A red wine is held at 0.5 mg/L molecular, since its tannin protects too; 0.8 is the aim \
             for other wine.",
        );
        return Ok(0.5);
    }
    inputs.require("target_molecular_mg_l")
}
