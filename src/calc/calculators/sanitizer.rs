//! Sour sulfite water for hoses and gear.

use super::sulfite_inputs::{POTENCY, SALT, YIELD, product};
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::hazards::SOUR_SULFITE;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};
use crate::sulfite::{air_ppm, metabisulfite_g};

/// Minutes wet: the least, what is taken, and the longest asked for (from memory).
const CONTACT_MIN: (f64, f64, f64) = (5.0, 10.0, 10.0);
/// A small kitchen, m³, and what its air may hold for a quarter of an hour, ppm (NIOSH, opened).
const KITCHEN_M3: f64 = 30.0;
const SHORT_LIMIT_PPM: f64 = 5.0;

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "sanitizer",
    sentence: "Metabisulfite and citric acid for sanitizing water, and how long gear stays wet with it.",
    group: "Cleaning",
    inputs: &[
        Input::new("make_l", Quantity::Volume, "how much to make")
            .required()
            .allowed(0.1, 1000.0, "less wets nothing and more is not for a home"),
        Input::new("strength_so2_mg_l", Quantity::MassPerVolume, "SO2 in it")
            .default("100")
            .allowed(20.0, 10_000.0, "less does nothing and more is not breathed")
            .sourced(50.0, 2000.0, "books and habit lie between"),
        Input::new("citric_g_l", Quantity::GramsPerLitre, "citric acid in it")
            .default("3")
            .allowed(0.0, 50.0, "more does nothing more, nor less than none"),
        SALT,
        POTENCY,
    ],
    results: &[
        ResultSpec::new("metabisulfite_g", Quantity::Mass, "powder by weight"),
        ResultSpec::new("citric_g", Quantity::Mass, "citric acid by weight"),
        ResultSpec::new(
            "contact_min",
            Quantity::Minutes,
            "how long to keep gear wet",
        ),
        ResultSpec::new(
            "air_so2_ppm",
            Quantity::Number,
            "SO2 in the air of a closed kitchen of 30 m³ if all of it were set free, ppm",
        ),
    ],
    example: &[("make", "4 L")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let (make, strength) = (
        inputs.require("make_l")?,
        inputs.require("strength_so2_mg_l")?,
    );
    let citric = inputs.require("citric_g_l")?;
    let (salt, potency) = product(inputs)?;
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    let so2 = strength * make;
    let powder = metabisulfite_g(so2, salt, potency);
    let ppm = air_ppm(so2, KITCHEN_M3);
    answer.result("metabisulfite_g", powder);
    answer.result("citric_g", citric * make);
    let (low, middle, high) = CONTACT_MIN;
    answer.band("contact_min", low, middle, high);
    answer.result("air_so2_ppm", ppm);
    answer.work(
        "powder",
        format!(
            "{strength:.0} mg/L × {make:.2} L / (1000 × {:.4} × {potency:.2}) = {powder:.2} g",
            salt.so2_yield()
        ),
    );
    answer.work(
        "citric acid",
        format!("{citric:.1} g/L × {make:.2} L = {:.1} g", citric * make),
    );
    answer.work(
        "air",
        format!("{so2:.0} mg / {KITCHEN_M3:.0} m³ / 2.66 = {ppm:.1} ppm; {SHORT_LIMIT_PPM:.0} at most for 15 minutes"),
    );
    answer.source(YIELD);
    answer.source(Source {
        sentence: "Fugelsang and Edwards, Wine Microbiology: 100 mg/L SO2 and 3 g/L citric acid for hoses and gear",
        standing: Standing::Opened,
    });
    answer.source(Source {
        sentence: "NIOSH, sulfur dioxide: 5 ppm at most for 15 minutes",
        standing: Standing::Opened,
    });
    answer.source(Source {
        sentence: "Gear stays wet for 5 to 10 minutes at least",
        standing: Standing::FromMemory,
    });
    answer.hazard(SOUR_SULFITE);
    if ppm > SHORT_LIMIT_PPM {
        answer.caution(
            CautionKind::Hazard,
            "NIOSH, sulfur dioxide",
            format!(
                "There is enough in it for {ppm:.0} ppm in the air of a closed kitchen, over the 5 that may be breathed \
                 for 15 minutes: make it outdoors or with a draught, and keep it covered."
            ),
        );
    }
    if citric < 1.0 {
        answer.caution(
            CautionKind::Practice,
            "common practice",
            "Without acid little of the SO2 is molecular and little is killed: add 3 g/L of citric acid.",
        );
    }
    answer.caution(
        CautionKind::Practice,
        "Fugelsang and Edwards, Wine Microbiology; common practice",
        "It cleans nothing and does not kill spores: wash first. Keep it off metal, drain well, and rinse above 100 mg/L.",
    );
    Ok(answer)
}
