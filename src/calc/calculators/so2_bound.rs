//! How much of the sulfite is bound, and by what.

use super::acid_inputs::refused;
use super::sulfite_inputs::{FREE, GROUP, PH};
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};
use crate::sulfite::{
    ACETALDEHYDE, Binder, GLUCOSE, KETOGLUTARIC_ACID, PK1_EXTENSION, PYRUVIC_ACID, held_mg_l,
    molecular_fraction,
};

/// The free part of the total that is met in print: cloudy or sweet wine, and clean dry wine.
const FREE_PART: (f64, f64) = (0.35, 0.75);

const ACETALDEHYDE_MG_L: Input = Input::new(
    "acetaldehyde_mg_l",
    Quantity::MassPerVolume,
    "acetaldehyde by a test, free and bound",
)
.allowed(0.0, 500.0, "no drinkable wine has more, nor less than none");

/// What binds, by its input, and how many grams its unit is.
static BINDERS: [(&str, &str, Binder, f64); 4] = [
    ("acetaldehyde_mg_l", "acetaldehyde", ACETALDEHYDE, 1e-3),
    ("pyruvic_acid_mg_l", "pyruvic acid", PYRUVIC_ACID, 1e-3),
    (
        "ketoglutaric_acid_mg_l",
        "2-oxoglutaric acid",
        KETOGLUTARIC_ACID,
        1e-3,
    ),
    ("glucose_g_l", "glucose", GLUCOSE, 1.0),
];

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "so2-bound",
    sentence: "How much of the sulfite is bound, what binds it, and what total that makes.",
    group: GROUP,
    inputs: &[
        FREE.required(),
        Input::new(
            "total_so2_mg_l",
            Quantity::MassPerVolume,
            "total SO2 by a test",
        )
        .allowed(0.0, 1000.0, "no wine has more, nor less than none"),
        ACETALDEHYDE_MG_L,
        Input {
            key: "pyruvic_acid_mg_l",
            help: "pyruvic acid by a test",
            ..ACETALDEHYDE_MG_L
        },
        Input {
            key: "ketoglutaric_acid_mg_l",
            help: "2-oxoglutaric acid by a test",
            ..ACETALDEHYDE_MG_L
        },
        Input::new(
            "glucose_g_l",
            Quantity::GramsPerLitre,
            "glucose: about half the sugar of a must, less in wine",
        )
        .allowed(0.0, 300.0, "no wine holds more, nor less than none"),
        Input {
            default: Some("3.5"),
            ..PH
        },
    ],
    results: &[
        ResultSpec::new("bound_so2_mg_l", Quantity::MassPerVolume, "bound SO2"),
        ResultSpec::new(
            "total_so2_mg_l",
            Quantity::MassPerVolume,
            "free and bound together",
        ),
        ResultSpec::new(
            "free_pct",
            Quantity::Percent,
            "part of the total that is free",
        ),
        ResultSpec::new(
            "by_acetaldehyde_mg_l",
            Quantity::MassPerVolume,
            "held by acetaldehyde",
        ),
        ResultSpec::new(
            "by_pyruvic_acid_mg_l",
            Quantity::MassPerVolume,
            "held by pyruvic acid",
        ),
        ResultSpec::new(
            "by_ketoglutaric_acid_mg_l",
            Quantity::MassPerVolume,
            "held by 2-oxoglutaric acid",
        ),
        ResultSpec::new(
            "by_glucose_mg_l",
            Quantity::MassPerVolume,
            "held by glucose",
        ),
        ResultSpec::new(
            "unexplained_mg_l",
            Quantity::MassPerVolume,
            "bound by what was not given",
        ),
    ],
    example: &[
        ("free-so2", "25"),
        ("total-so2", "90"),
        ("acetaldehyde", "30"),
    ],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let free = inputs.require("free_so2_mg_l")?;
    let tested = inputs.number("total_so2_mg_l");
    if let Some(total) = tested
        && total < free
    {
        return Err(refused(
            "total_so2_mg_l",
            format!(
                "the total of {total:.0} mg/L is less than the {free:.0} free, which is a part of it: test both again"
            ),
        ));
    }
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    let bisulfite = free * (1.0 - molecular_fraction(inputs.require("ph")?, PK1_EXTENSION));
    let mut held = None;
    for (key, name, binder, grams) in &BINDERS {
        let by = inputs
            .number(key)
            .map(|amount| held_mg_l(*binder, amount * grams, bisulfite));
        let result = key.trim_end_matches("_mg_l").trim_end_matches("_g_l");
        answer.result(&format!("by_{result}_mg_l"), by);
        if let Some(by) = by {
            held = Some(held.unwrap_or(0.0) + by);
            answer.work(
                name,
                format!(
                    "C·A/(K + A) with K = {:e} mol/L and {bisulfite:.1} mg/L of bisulfite = {by:.1} mg/L",
                    binder.dissociation
                ),
            );
        }
    }
    let bound = match (tested, held) {
        (Some(total), _) => total - free,
        (None, Some(held)) => held,
        (None, None) => {
            return Err(refused(
                "total_so2_mg_l",
                "nothing says what is bound: give the total, or acetaldehyde or glucose",
            ));
        }
    };
    let total = free + bound;
    answer.result("bound_so2_mg_l", bound);
    answer.result("total_so2_mg_l", total);
    answer.result("free_pct", (total > 0.0).then(|| 100.0 * free / total));
    answer.result(
        "unexplained_mg_l",
        tested.zip(held).map(|(_, held)| bound - held),
    );
    answer.work("bound", format!("{total:.1} − {free:.1} = {bound:.1} mg/L"));
    answer.source(Source {
        sentence: "Ribéreau-Gayon et al., Handbook of Enology 1, chapter 8: dissociation constants of bound sulfite",
        standing: Standing::FromMemory,
    });
    answer.source(Source {
        sentence: "Practical Winery and Vineyard, January 2014: free is 35 to 75 % of total, from cloudy or sweet to clean dry \
                   wine",
        standing: Standing::Opened,
    });
    if total > 0.0 && !(FREE_PART.0..=FREE_PART.1).contains(&(free / total)) {
        answer.caution(
            CautionKind::Range,
            "Practical Winery and Vineyard, January 2014",
            format!(
                "{:.0} % free is outside the 35 to 75 that are usual: test both again before dosing by it.",
                100.0 * free / total
            ),
        );
    }
    answer.caution(
        CautionKind::Practice,
        "common practice",
        "What is bound protects little and counts toward every limit. A dose can only be foreseen roughly: give half, test in \
         two or three days, give the rest.",
    );
    Ok(answer)
}
