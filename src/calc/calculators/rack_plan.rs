//! Which vessels to rack into.

use super::list_input::items;
use super::vessel_inputs::VESSELS;
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::{Quantity, show};
use crate::rack::{Plan, plans};
use crate::registry::{Calculator, ResultSpec};

/// More than anyone has empty at once, and few enough to answer at once.
const MOST_VESSELS: usize = 40;
/// The largest volume, of wine or vessel, in litres.
const MOST_L: f64 = 2000.0;
/// What a vessel can hold, in litres.
const LITRES: (f64, f64) = (0.05, MOST_L);

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "rack-plan",
    sentence: "Which of the empty vessels a wine fills with the least air left above it.",
    group: VESSELS,
    inputs: &[
        Input::new("volume_l", Quantity::Volume, "how much wine there is")
            .required()
            .allowed(
                0.05,
                MOST_L,
                "this is for wine between a glass and a few barrels",
            ),
        Input::new(
            "vessels",
            Quantity::Text,
            "empty vessels as name:litres, with commas between",
        )
        .required(),
    ],
    results: &[
        ResultSpec::new(
            "vessels",
            Quantity::Text,
            "vessels to fill, the fullest plan",
        ),
        ResultSpec::new("vessel_count", Quantity::Count, "how many they are"),
        ResultSpec::new(
            "headspace_ml",
            Quantity::SmallVolume,
            "air above the wine in all of them together",
        ),
        ResultSpec::new(
            "alternatives",
            Quantity::Text,
            "plans with fewer vessels and more air",
        ),
    ],
    example: &[
        ("volume", "21.6 L"),
        (
            "vessels",
            "large:23, middle:19, small:11.4, jug:5, jar:4.5, flask:0.75",
        ),
    ],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let volume = inputs.require("volume_l")?;
    let units = inputs.units();
    let typed = inputs.text("vessels").unwrap_or_default();
    let vessels = items("vessels", typed, "name:litres, such as jug:5", MOST_VESSELS)?;
    let litres = vessels
        .iter()
        .map(|vessel| vessel.figure(Quantity::Volume, &vessel.fields.join(":"), LITRES, *units))
        .collect::<Result<Vec<f64>, _>>()?;
    let capacities: Vec<f64> = litres.iter().map(|litres| litres * 1e3).collect();
    let found = plans(volume * 1e3, &capacities);
    let Some((best, others)) = found.split_first() else {
        let room = capacities.iter().sum::<f64>() / 1e3;
        return Err(CalcError::Refused {
            key: "vessels",
            sentence: format!(
                "together they hold {room:.2} L, {:.2} L too little for {volume:.2} L: name another vessel",
                volume - room
            ),
        });
    };
    let names = |plan: &Plan| {
        let each: Vec<&str> = plan.vessels.iter().map(|&at| vessels[at].name).collect();
        each.join(" + ")
    };
    let air = |plan: &Plan| show(Quantity::SmallVolume, plan.headspace_ml, units);

    let mut answer = Answer::new(CALCULATOR.name, inputs);
    answer.result("vessels", names(best));
    answer.result("vessel_count", best.vessels.len() as i64);
    answer.result("headspace_ml", best.headspace_ml);
    let alternatives: Vec<String> = others
        .iter()
        .map(|plan| format!("{} ({} of air)", names(plan), air(plan)))
        .collect();
    answer.result("alternatives", alternatives.join("; "));
    let sum: Vec<String> = best
        .vessels
        .iter()
        .map(|&at| format!("{}", litres[at]))
        .collect();
    answer.work(
        "room",
        format!(
            "{} − {volume:.3} L = {:.0} mL of air, the least that any of them leave",
            sum.join(" + "),
            best.headspace_ml
        ),
    );
    answer.source(Source {
        sentence: "Search of all sums of the vessels in steps of 10 mL: least air, then fewest vessels, then as named",
        standing: Standing::Derived,
    });
    answer.caution(
        CautionKind::Practice,
        "common practice",
        "The least air is not always the best: each vessel more is a neck, a bung and an airlock more. Leave 2 or 3 cm below \
         the bung, and count the lees you leave behind.",
    );
    Ok(answer)
}
