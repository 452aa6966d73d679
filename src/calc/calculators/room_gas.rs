//! Carbon dioxide of a ferment in the room it stands in.

use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::gas::{CO2_G_L, CO2_PER_SUGAR, co2_l};
use crate::hazards::GAS_IN_A_ROOM;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

/// Limits for people at work: eight hours, and a quarter of one.
const DAY_PPM: f64 = 5_000.0;
const QUARTER_HOUR_PPM: f64 = 30_000.0;

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "room-gas",
    sentence: "How much carbon dioxide a ferment gives off, and what that makes of the air in a closed room.",
    group: "Air",
    inputs: &[
        Input::new("volume_l", Quantity::Volume, "how much must ferments")
            .required()
            .allowed(
                0.1,
                1e5,
                "this is for must between a jug and a winery's tank",
            ),
        Input::new("sugar_g_l", Quantity::GramsPerLitre, "sugar that ferments")
            .default("220")
            .allowed(0.0, 500.0, "no must is sweeter, nor has less than none"),
        Input::new(
            "room_m3",
            Quantity::Number,
            "room in cubic metres, its windows shut",
        )
        .default("30")
        .allowed(1.0, 1e5, "rooms are between a closet and a hall"),
    ],
    results: &[
        ResultSpec::new("co2_l", Quantity::Volume, "carbon dioxide, as gas at 20 °C"),
        ResultSpec::new("co2_g", Quantity::Mass, "carbon dioxide by weight"),
        ResultSpec::new(
            "room_ppm",
            Quantity::Number,
            "parts in a million of the room's air, were all of it to stay",
        ),
    ],
    example: &[("volume", "23 L")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let (volume, sugar) = (inputs.require("volume_l")?, inputs.require("sugar_g_l")?);
    let room = inputs.require("room_m3")?;
    let litres = co2_l(volume * sugar);
    let grams = litres * CO2_G_L;
    let ppm = litres / (room * 1e3) * 1e6;
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    answer.result("co2_l", litres);
    answer.result("co2_g", grams);
    answer.result("room_ppm", ppm);
    answer.work(
        "gas",
        format!("{volume:.1} L × {sugar:.0} g/L × {CO2_PER_SUGAR} = {grams:.0} g, or {litres:.0} L at 20 °C"),
    );
    answer.work(
        "room",
        format!(
            "{litres:.0} L / {:.0} L of room = {ppm:.0} ppm if none of it leaves",
            room * 1e3
        ),
    );
    answer.source(Source {
        sentence: "C6H12O6 → 2 C2H6O + 2 CO2 with IUPAC atomic masses; 24.055 L to a mole at 20 °C",
        standing: Standing::Derived,
    });
    answer.source(Source {
        sentence: "Limits at work in two guides to winery safety: 5000 ppm for eight hours, 30 000 ppm for a quarter hour",
        standing: Standing::Opened,
    });
    answer.hazard(GAS_IN_A_ROOM);
    if ppm > DAY_PPM {
        let over = if ppm > QUARTER_HOUR_PPM {
            "even a quarter of an hour"
        } else {
            "a working day"
        };
        answer.caution(
            CautionKind::Limit,
            "limits at work for carbon dioxide",
            format!(
                "Shut in, it is more than {over} in the room allows. The gas lies low and nobody smells it: air the room \
                 from the floor, sleep elsewhere, keep children and animals out, and follow local codes."
            ),
        );
    }
    Ok(answer)
}
