//! What the air above a wine does to its sulfite.

use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::hazards::GAS_IN_A_ROOM;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::oxygen::{SO2_PER_OXYGEN, SO2_PER_OXYGEN_HIGH, SO2_PER_OXYGEN_LOW, air_oxygen_mg};
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "headspace",
    sentence: "How much oxygen the air above the wine holds, and the sulfite it can use up.",
    group: "Air",
    inputs: &[
        Input::new("headspace_ml", Quantity::SmallVolume, "air above the wine")
            .required()
            .allowed(
                0.0,
                1e6,
                "air is none or more and this is for less than a cubic metre",
            ),
        Input::new("volume_l", Quantity::Volume, "how much wine there is")
            .required()
            .allowed(
                0.01,
                1e6,
                "this is for wine between a glass and a winery's tank",
            ),
        Input::new(
            "temperature_c",
            Quantity::Temperature,
            "temperature of the air and the wine",
        )
        .default("20")
        .allowed(-5.0, 45.0, "wine freezes below and cooks above"),
    ],
    results: &[
        ResultSpec::new("oxygen_mg", Quantity::SmallMass, "oxygen in that air"),
        ResultSpec::new(
            "oxygen_mg_l",
            Quantity::MassPerVolume,
            "oxygen to each litre of wine",
        ),
        ResultSpec::new(
            "so2_consumed_mg_l",
            Quantity::MassPerVolume,
            "free SO2 it uses up once it is all taken in",
        ),
    ],
    example: &[("headspace", "1 L"), ("volume", "23 L")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let (air, volume) = (inputs.require("headspace_ml")?, inputs.require("volume_l")?);
    let temperature = inputs.require("temperature_c")?;
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    let oxygen = air_oxygen_mg(air, temperature);
    let per_litre = oxygen / volume;
    answer.result("oxygen_mg", oxygen);
    answer.result("oxygen_mg_l", per_litre);
    answer.band(
        "so2_consumed_mg_l",
        per_litre * SO2_PER_OXYGEN_LOW,
        per_litre * SO2_PER_OXYGEN,
        per_litre * SO2_PER_OXYGEN_HIGH,
    );
    answer.work(
        "oxygen",
        format!(
            "{air:.0} mL × {:.4} mg/mL (air, 1 atm, {temperature:.1} °C) = {oxygen:.1} mg",
            air_oxygen_mg(1.0, temperature)
        ),
    );
    answer.work(
        "per litre",
        format!("{oxygen:.1} mg / {volume:.2} L = {per_litre:.2} mg/L"),
    );
    answer.work(
        "sulfite used",
        format!(
            "{per_litre:.2} × {SO2_PER_OXYGEN} = {:.1} mg/L, at most {per_litre:.2} × 4.004 = {:.1} mg/L",
            per_litre * SO2_PER_OXYGEN,
            per_litre * SO2_PER_OXYGEN_HIGH
        ),
    );
    answer.source(Source {
        sentence: "Gas law with CODATA R and IUPAC atomic masses; dry air 20.946 % oxygen",
        standing: Standing::Derived,
    });
    answer.source(Source {
        sentence: "Pascal, Diéval and Vidal, infowine, abstract: 2.5 mg of free SO2 to 1 mg of oxygen, \
         mean of 100 bottled wines",
        standing: Standing::Opened,
    });
    answer.source(Source {
        sentence: "Waterhouse et al., AJEV 2016: ratios from 1.0",
        standing: Standing::FromMemory,
    });
    if per_litre > 8.0 {
        answer.caution(
            CautionKind::Practice,
            "common practice",
            "That is more oxygen than the wine can hold at once, and it goes on taking it in: top up, \
             or move the wine to a vessel it fills.",
        );
    }
    answer.hazard(GAS_IN_A_ROOM);
    Ok(answer)
}
