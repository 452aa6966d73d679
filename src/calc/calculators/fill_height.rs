//! The air under a cork, and what it must hold when the bottle warms.

use super::expansion::{grown, say_growth, say_pressure};
use super::vessel_inputs::{ALCOHOL, BOTTLING, EXTRACT, FROM_C, TO_C};
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

/// Millilitres to a millimetre of neck below the cork: straight at 18.5 mm, as printed, and where it widens most.
const PER_MM: (f64, f64, f64) = (0.268_80, 0.33, 0.43);

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "fill-height",
    sentence: "The air under the cork of a bottle filled so high, and its pressure once it warms.",
    group: BOTTLING,
    inputs: &[
        Input::new("volume_l", Quantity::Volume, "wine in the bottle")
            .default("750 mL")
            .allowed(0.05, 20.0, "bottles hold between a sample and a demijohn"),
        Input::new("fill_mm", Quantity::Length, "from the lip down to the wine")
            .default("63")
            .allowed(
                10.0,
                150.0,
                "above it no cork fits, and below the bottle is not full",
            ),
        Input::new(
            "cork_mm",
            Quantity::Length,
            "length of the cork, its top at the lip",
        )
        .default("45")
        .allowed(5.0, 60.0, "corks are made between"),
        Input::new(
            "neck_bore_mm",
            Quantity::Length,
            "inner width of the neck below the cork, if measured",
        )
        .allowed(12.0, 40.0, "necks of bottles lie between"),
        FROM_C,
        TO_C,
        ALCOHOL,
        EXTRACT,
    ],
    results: &[
        ResultSpec::new("headspace_ml", Quantity::SmallVolume, "air under the cork"),
        ResultSpec::new(
            "volume_change_ml",
            Quantity::SmallVolume,
            "how much the wine grows; below zero it shrinks",
        ),
        ResultSpec::new(
            "pressure_kpa",
            Quantity::Pressure,
            "pressure on the cork over the air's",
        ),
    ],
    example: &[("from", "20 °C"), ("to", "30 °C")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let wine_ml = inputs.require("volume_l")? * 1e3;
    let (fill, cork) = (inputs.require("fill_mm")?, inputs.require("cork_mm")?);
    let (from, to) = (inputs.require("from_c")?, inputs.require("to_c")?);
    let gap = fill - cork;
    if gap <= 0.0 {
        return Err(CalcError::Refused {
            key: "fill_mm",
            sentence: format!(
                "a cork of {cork:.0} mm reaches into wine that stands {fill:.0} mm below the lip, and would burst the \
                 bottle: fill lower or take a shorter cork"
            ),
        });
    }
    let bore = inputs.number("neck_bore_mm");
    let per_mm = bore.map_or(PER_MM.1, |bore| std::f64::consts::PI * bore * bore / 4e3);
    let headspace = gap * per_mm;

    let mut answer = Answer::new(CALCULATOR.name, inputs);
    if bore.is_some() {
        answer.result("headspace_ml", headspace);
    } else {
        answer.band("headspace_ml", gap * PER_MM.0, headspace, gap * PER_MM.2);
        answer.assume(
            "neck_bore_mm",
            20.5,
            (18.5, 23.4),
            "neck_bore_mm was not given: 0.33 mL to a millimetre is taken, since necks widen below the cork; from 0.27 \
             where it is straight to 0.43.",
        );
    }
    answer.work(
        "air",
        format!("({fill:.0} − {cork:.0}) mm × {per_mm:.3} mL/mm = {headspace:.2} mL"),
    );
    let grows = grown(inputs)?;
    say_growth(&mut answer, wine_ml, grows, from, to);
    let air = match bore {
        Some(_) => (headspace, headspace, headspace),
        None => (gap * PER_MM.0, headspace, gap * PER_MM.2),
    };
    say_pressure(&mut answer, wine_ml, air, grows, (from, to));
    answer.source(Source {
        sentence: "Cork Quality Council, bulletin: 64 mm leave 6.5 mL under a cork of 45 mm and 4.8 mL under one of 49 mm",
        standing: Standing::Opened,
    });
    if gap < 15.0 {
        answer.caution(
            CautionKind::Limit,
            "two cork makers: 15 mm below the cork at least",
            format!(
                "{gap:.0} mm of air is little: warmth drives the cork or breaks the bottle, so leave 15 mm or more below \
                 the cork at 20 °C."
            ),
        );
    }
    answer.caution(
        CautionKind::Practice,
        "common practice",
        "It is reckoned from air at its usual pressure under the cork; a corker without vacuum leaves more, which creeps \
         out while bottles stand: stand them up a day before laying them down.",
    );
    Ok(answer)
}
