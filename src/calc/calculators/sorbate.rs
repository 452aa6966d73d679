//! How much sorbate keeps a sweet wine from fermenting again.

use super::acid_inputs::refused;
use super::sulfite_inputs::VOLUME;
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::hazards::{GERANIUM, REFERMENTING};
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};
use crate::sorbate::{OIV_CEILING_MG_L, SORBIC_ACID, sorbate_g, sorbate_mg_l};

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "sorbate",
    sentence: "How much potassium sorbate keeps the yeast of a finished sweet wine from beginning again.",
    group: "Stability",
    inputs: &[
        VOLUME.required(),
        Input::new("ph", Quantity::Ph, "how acid the wine is, by meter")
            .allowed(
                3.1,
                3.7,
                "the table begins at 3.1 (take that for a more acid wine, which needs no more), and above 3.7 sorbate is \
                 not to be relied on",
            )
            .sourced(3.1, 3.5, "the table ends there and its slope is carried on"),
        Input::new(
            "alcohol_pct_vol",
            Quantity::AlcoholByVolume,
            "strength of the wine",
        )
        .allowed(
            9.0,
            14.0,
            "below 9 sorbate is not to be relied on, and the table ends at 14 (take that for a stronger wine, which \
             needs no more, and none from 18)",
        )
        .sourced(10.0, 14.0, "the table begins there and its slope is carried on"),
        Input::new(
            "sorbic_acid_mg_l",
            Quantity::MassPerVolume,
            "sorbic acid to give, instead of the table's",
        )
        .allowed(10.0, 300.0, "less does nothing and no code allows more"),
        Input::new(
            "state",
            Quantity::Choice(&["clear", "cloudy", "fermenting", "malo-wanted", "malo-done"]),
            "where the wine stands",
        )
        .default("clear"),
    ],
    results: &[
        ResultSpec::new("sorbate_g", Quantity::Mass, "potassium sorbate by weight"),
        ResultSpec::new("sorbic_acid_mg_l", Quantity::MassPerVolume, "sorbic acid it brings"),
        ResultSpec::new("sorbate_mg_l", Quantity::MassPerVolume, "potassium sorbate to a litre"),
        ResultSpec::new(
            "ceiling_g",
            Quantity::Mass,
            "most potassium sorbate the OIV and the EU allow in this volume",
        ),
    ],
    example: &[("volume", "23 L"), ("ph", "3.3"), ("alcohol", "12 %")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    check_state(inputs.word("state"))?;
    let volume = inputs.require("volume_l")?;
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    let acid = match inputs.number("sorbic_acid_mg_l") {
        Some(acid) => acid,
        None => by_table(inputs, &mut answer)?,
    };
    let grams = sorbate_g(acid, volume);
    answer.result("sorbate_g", grams);
    answer.result("sorbic_acid_mg_l", acid);
    answer.result("sorbate_mg_l", acid / SORBIC_ACID);
    answer.result("ceiling_g", sorbate_g(OIV_CEILING_MG_L, volume));
    answer.work(
        "powder",
        format!("{acid:.0} mg/L × {volume:.2} L / (1000 × {SORBIC_ACID:.4}) = {grams:.2} g"),
    );
    answer.source(Source {
        sentence: "Sorbic acid in potassium sorbate 74.64 %, from IUPAC atomic masses",
        standing: Standing::Derived,
    });
    answer.source(Source {
        sentence: "OIV, International Code of Oenological Practices, II.3.4.5: 200 mg/L sorbic acid, shortly before bottling",
        standing: Standing::Opened,
    });
    answer.source(Source {
        sentence: "27 CFR 24.246: 300 mg/L sorbic acid; Regulation (EU) 2019/934: 200",
        standing: Standing::FromMemory,
    });
    answer.hazard(GERANIUM);
    answer.hazard(REFERMENTING);
    if acid > OIV_CEILING_MG_L {
        answer.stop(
            CautionKind::Limit,
            "OIV, International Code of Oenological Practices, II.3.4.5",
            format!(
                "This is {acid:.0} mg/L sorbic acid, over the 200 of the OIV and the EU: filter sterile instead, or \
                 strengthen the wine. Your local code holds."
            ),
            "Go over 200 mg/L sorbic acid?",
        );
    } else if acid > 135.0 {
        answer.caution(
            CautionKind::Limit,
            "University of Minnesota Enology, sorbate",
            "From about 135 mg/L some people taste it, more so after a year: aim lower where strength and pH allow, and \
             drink it young.",
        );
    }
    if inputs.word("state") == "cloudy" {
        answer.caution(
            CautionKind::State,
            "common practice",
            "Sorbate holds few yeast cells, not many: rack and clear the wine first, and dose then.",
        );
    }
    answer.caution(
        CautionKind::Practice,
        "common practice",
        "It kills no yeast and does nothing against bacteria: give it with sulfite to racked, clear wine, dissolved in \
         water, and wait two weeks before bottling. A dry wine needs none.",
    );
    Ok(answer)
}

fn by_table(inputs: &Inputs, answer: &mut Answer) -> Result<f64, CalcError> {
    let (ph, alcohol) = (inputs.require("ph")?, inputs.require("alcohol_pct_vol")?);
    let salt = sorbate_mg_l(ph, alcohol).ok_or_else(|| {
        refused(
            "ph",
            "it is outside the table: give sorbic_acid_mg_l instead",
        )
    })?;
    answer.work(
        "table",
        format!(
            "{salt:.0} mg/L of potassium sorbate at pH {ph:.2} and {alcohol:.1} % vol, × {SORBIC_ACID:.4} = {:.1} mg/L \
             sorbic acid",
            salt * SORBIC_ACID
        ),
    );
    answer.source(Source {
        sentence: "T. Underhill, Sorbate table (vawa.net): mL of a 30 g/L solution by pH 3.1 to 3.5 and 10 to 14 % vol",
        standing: Standing::Opened,
    });
    Ok(salt * SORBIC_ACID)
}

fn check_state(state: &str) -> Result<(), CalcError> {
    let sentence = match state {
        "fermenting" => {
            "sorbate does not stop a running ferment, only one from beginning: let it finish, or chill, rack and clear it \
             first"
        }
        "malo-wanted" => {
            "malolactic bacteria turn sorbate into a smell of geraniums for which there is no cure: give up the malolactic \
             fermentation first, or give no sorbate"
        }
        "malo-done" => {
            "malolactic bacteria still live in this wine and turn sorbate into a smell of geraniums for which there is no \
             cure: filter it sterile instead, or leave it dry"
        }
        _ => return Ok(()),
    };
    Err(refused("state", sentence))
}
