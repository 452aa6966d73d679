//! What warmth and cold do to a wine in a carboy.

use super::vessel_inputs::{
    ALCOHOL, EXPANSION, EXTRACT, FROM_C, GLASS_GROWS, GROWTH_OFF, MIXTURE, TO_C, VESSELS,
};
use crate::answer::{Answer, CautionKind};
use crate::density::wine_of;
use crate::error::CalcError;
use crate::expansion::{Moved, closed_kpa, growth, under_airlock};
use crate::hazards::Hazard;
use crate::hydrometer::GLASS;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::oxygen::air_oxygen_mg;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

/// The pressure a stopper is taken to hold; beyond, it moves or the glass breaks.
const HOLDS_KPA: f64 = 200.0;

const GLASS_UNDER_PRESSURE: Hazard = Hazard {
    sentence: "A closed vessel without room presses out its stopper or bursts as it warms. Leave air above the wine, never \
               force a stopper in, move it to the cool, and wear goggles near one under pressure.",
    short: "A full closed vessel bursts or lifts its stopper as it warms: leave room.",
    source: "common practice",
};

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "expansion",
    sentence: "How much a wine grows or shrinks as it warms or cools, and what that does to air and bung.",
    group: VESSELS,
    inputs: &[
        Input::new("volume_l", Quantity::Volume, "how much wine there is")
            .required()
            .allowed(
                0.01,
                1e5,
                "this is for wine between a glass and a winery's tank",
            ),
        FROM_C,
        TO_C,
        ALCOHOL,
        EXTRACT,
        Input::new("headspace_ml", Quantity::SmallVolume, "air above the wine").allowed(
            0.0,
            1e6,
            "air is none or more and this is for less than a cubic metre",
        ),
    ],
    results: &[
        ResultSpec::new(
            "volume_change_ml",
            Quantity::SmallVolume,
            "how much the wine grows; below zero it shrinks",
        ),
        ResultSpec::new(
            "through_airlock_ml",
            Quantity::SmallVolume,
            "what leaves by an airlock; below zero it is drawn in",
        ),
        ResultSpec::new(
            "oxygen_mg",
            Quantity::SmallMass,
            "oxygen drawn in with that air",
        ),
        ResultSpec::new(
            "pressure_kpa",
            Quantity::Pressure,
            "pressure over the air's, were it closed tight",
        ),
    ],
    example: &[
        ("volume", "23 L"),
        ("from", "20 °C"),
        ("to", "12 °C"),
        ("headspace", "100 mL"),
    ],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let wine_ml = inputs.require("volume_l")? * 1e3;
    let (from, to) = (inputs.require("from_c")?, inputs.require("to_c")?);
    let grows = grown(inputs)?;
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    let change = wine_ml * grows;
    say_growth(&mut answer, wine_ml, grows, from, to);

    let Some(headspace) = inputs.number("headspace_ml") else {
        answer.result("through_airlock_ml", None);
        answer.result("oxygen_mg", None);
        answer.result("pressure_kpa", None);
        answer.work(
            "air",
            "with headspace_ml it also says what moves through an airlock and what a tight stopper would hold",
        );
        if change > 0.0 {
            answer.hazard(GLASS_UNDER_PRESSURE);
        }
        return Ok(answer);
    };
    let moved = under_airlock(wine_ml, headspace, grows, from, to);
    let out = moved.out_ml();
    answer.result("through_airlock_ml", out);
    // Air comes in at the temperature the vessel has come to.
    let oxygen = air_oxygen_mg((-out).max(0.0), to);
    answer.result("oxygen_mg", oxygen);
    let Moved {
        wine_ml: wine,
        glass_ml: glass,
        air_ml: air,
    } = moved;
    answer.work(
        "airlock",
        format!(
            "{wine:+.1} mL of wine {air:+.1} mL of air {:+.1} mL of glass = {out:+.1} mL",
            -glass
        ),
    );
    if out < 0.0 {
        answer.work(
            "drawn in",
            format!("{:.1} mL of air hold {oxygen:.1} mg of oxygen", -out),
        );
        answer.caution(
            CautionKind::Practice,
            "common practice",
            "A cooling vessel draws its airlock's liquid in, and air after it; a tight stopper instead makes a vacuum that \
             can break glass. Keep the airlock on: put a little spirit or sulfite solution in \
             the airlock, not water that has stood, and top up once it is cold.",
        );
    }
    if out > headspace {
        answer.caution(
            CautionKind::State,
            "arithmetic",
            format!(
                "It grows by more than the {headspace:.0} mL of air: wine comes out at the airlock, so draw some off first."
            ),
        );
    }
    let air = (headspace, headspace, headspace);
    say_pressure(&mut answer, wine_ml, air, grows, (from, to));
    Ok(answer)
}

/// The wine's growth, from the shared inputs.
pub(super) fn grown(inputs: &Inputs) -> Result<f64, CalcError> {
    let wine = wine_of(
        inputs.require("alcohol_pct_vol")?,
        inputs.require("extract_g_l")?,
    );
    Ok(growth(
        wine,
        inputs.require("from_c")?,
        inputs.require("to_c")?,
    ))
}

/// Puts the growth into the answer.
pub(super) fn say_growth(answer: &mut Answer, wine_ml: f64, grows: f64, from: f64, to: f64) {
    let change = wine_ml * grows;
    let off = (change * GROWTH_OFF).abs();
    answer.band("volume_change_ml", change - off, change, change + off);
    answer.work(
        "wine",
        format!(
            "{wine_ml:.0} mL × (ρ({from:.1} °C) / ρ({to:.1} °C) − 1) = {wine_ml:.0} × {:.4} % = {change:+.1} mL",
            grows * 100.0
        ),
    );
    for source in [MIXTURE, EXPANSION, GLASS_GROWS] {
        answer.source(source);
    }
}

/// Puts the pressure under a tight stopper into the answer; none where no room is left. The air is its least, the
/// figure and its most.
pub(super) fn say_pressure(
    answer: &mut Answer,
    wine_ml: f64,
    air_ml: (f64, f64, f64),
    grows: f64,
    (from, to): (f64, f64),
) {
    let at = |air_ml, grows| closed_kpa(wine_ml, air_ml, grows, from, to);
    let Some(kpa) = at(air_ml.1, grows) else {
        answer.result("pressure_kpa", None);
        answer.work(
            "closed",
            "the wine grows into all the room there is: a stopper moves or the glass breaks",
        );
        answer.hazard(GLASS_UNDER_PRESSURE);
        return;
    };
    let off = (grows * GROWTH_OFF).abs();
    let corners = [
        at(air_ml.0, grows - off),
        at(air_ml.0, grows + off),
        at(air_ml.2, grows - off),
        at(air_ml.2, grows + off),
    ];
    let ends = corners.iter().try_fold((kpa, kpa), |(low, high), corner| {
        corner.map(|kpa| (kpa.min(low), kpa.max(high)))
    });
    if let Some((low, high)) = ends {
        answer.band("pressure_kpa", low, kpa, high);
    } else {
        answer.result("pressure_kpa", kpa);
        answer.caution(
            CautionKind::State,
            "arithmetic",
            "If the wine grows a tenth more, or there is less air than reckoned, it has no room at all: leave more.",
        );
    }
    answer.work(
        "closed",
        format!(
            "{:.2} mL of air in {:.2} mL at {to:.1} °C = {kpa:+.1} kPa",
            air_ml.1,
            (wine_ml + air_ml.1) * (1.0 + GLASS * (to - from)) - wine_ml * (1.0 + grows)
        ),
    );
    if kpa > HOLDS_KPA || ends.is_none() {
        answer.hazard(GLASS_UNDER_PRESSURE);
        answer.caution(
            CautionKind::State,
            "house estimate",
            "Near 200 kPa a stopper moves: keep it cooler or leave more room.",
        );
    } else if kpa > 14.0 {
        answer.caution(
            CautionKind::Limit,
            "Cork Quality Council, bulletin: 2 psi or 14 kPa at most after corking",
            "Above 14 kPa wine may creep past a cork: leave more room, or keep it cooler.",
        );
    }
}
