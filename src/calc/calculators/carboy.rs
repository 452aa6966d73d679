//! How high a wine stands in a carboy, and how much of it meets the air.

use super::vessel_inputs::VESSELS;
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::carboy::{Carboy, Shoulder};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "carboy",
    sentence: "How far below the brim a wine stands in a carboy, and how much of it meets the air.",
    group: VESSELS,
    inputs: &[
        Input::new(
            "body_l",
            Quantity::Volume,
            "what it holds to the foot of the neck",
        )
        .required()
        .allowed(0.5, 100.0, "carboys and demijohns hold between"),
        Input::new(
            "diameter_mm",
            Quantity::Length,
            "inner width of the body: the outer less 10 mm of glass",
        )
        .required()
        .allowed(50.0, 800.0, "carboys and demijohns are between"),
        Input::new(
            "headspace_ml",
            Quantity::SmallVolume,
            "air above the wine, counted from the brim",
        )
        .required()
        .allowed(0.0, 1e5, "air is none or more"),
        Input::new("shoulder_mm", Quantity::Length, "height of the shoulder")
            .default("90")
            .allowed(1.0, 600.0, "there is some, or it is no carboy"),
        Input::new("neck_mm", Quantity::Length, "inner width of the neck")
            .default("35")
            .allowed(10.0, 300.0, "a hand's width and more is no neck"),
        Input::new(
            "neck_length_mm",
            Quantity::Length,
            "length of the neck up to the brim",
        )
        .default("60")
        .allowed(0.0, 300.0, "necks are none or so long"),
    ],
    results: &[
        ResultSpec::new(
            "level_mm",
            Quantity::Length,
            "how far below the brim the wine stands",
        ),
        ResultSpec::new("surface_cm2", Quantity::Area, "wine that meets the air"),
        ResultSpec::new("brimful_l", Quantity::Volume, "what it holds to the brim"),
    ],
    example: &[("body", "23 L"), ("diameter", "290"), ("headspace", "1 L")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let (dome, cone) = shapes(inputs)?;
    let (body_ml, width) = (
        inputs.require("body_l")? * 1e3,
        inputs.require("diameter_mm")?,
    );
    let headspace = inputs.require("headspace_ml")?;
    let brimful = dome.brimful_ml();
    if headspace > brimful {
        return Err(CalcError::Refused {
            key: "headspace_ml",
            sentence: format!(
                "{headspace:.0} mL of air is more than the {brimful:.0} mL it holds: check both"
            ),
        });
    }
    let level = dome.below_brim(headspace);
    let by_cone = cone.below_brim(headspace);
    let surface = dome.surface_cm2(dome.brim() - level);
    let cone_surface = cone.surface_cm2(cone.brim() - by_cone);

    let mut answer = Answer::new(CALCULATOR.name, inputs);
    answer.band("level_mm", level.min(by_cone), level, level.max(by_cone));
    answer.band(
        "surface_cm2",
        surface.min(cone_surface),
        surface,
        surface.max(cone_surface),
    );
    answer.result("brimful_l", brimful / 1e3);
    answer.work(
        "body",
        format!(
            "{body_ml:.0} mL less the shoulder is {:.1} mm of upright wall at {width:.0} mm across",
            dome.upright
        ),
    );
    answer.work(
        "level",
        format!(
            "{brimful:.0} mL to the brim less {headspace:.0} mL of air stand {level:.1} mm below the brim"
        ),
    );
    answer.work(
        "surface",
        format!(
            "π × ({:.1} mm)² = {surface:.1} cm²; full to the neck it is {:.1} cm²",
            (surface * 100.0 / std::f64::consts::PI).sqrt(),
            dome.surface_cm2(dome.brim())
        ),
    );
    answer.source(Source {
        sentence: "Geometry: upright body, shoulder as a dome (the figure) or a cone (the other end), upright neck",
        standing: Standing::Derived,
    });
    answer.source(Source {
        sentence: "A shoulder of 90 mm and a neck of 35 by 60 mm where not given: carboys vary, measure one",
        standing: Standing::CommonPractice,
    });
    let in_neck = dome.surface_cm2(dome.brim());
    if surface > 3.0 * in_neck {
        answer.caution(
            CautionKind::Practice,
            "common practice",
            format!(
                "{:.0} times as much wine meets the air as in the neck: top it up to 2 or 3 cm below the bung, or rack \
                 it to a vessel it fills.",
                surface / in_neck
            ),
        );
    } else if level < 20.0 {
        answer.caution(
            CautionKind::Practice,
            "common practice",
            "So full it lifts its bung as it warms: leave 2 or 3 cm below the bung.",
        );
    }
    Ok(answer)
}

/// The vessel with a dome and with a cone for its shoulder.
fn shapes(inputs: &Inputs) -> Result<(Carboy, Carboy), CalcError> {
    let (body_ml, width) = (
        inputs.require("body_l")? * 1e3,
        inputs.require("diameter_mm")?,
    );
    let (neck, shoulder) = (inputs.require("neck_mm")?, inputs.require("shoulder_mm")?);
    let neck_length = inputs.require("neck_length_mm")?;
    if neck >= width {
        return Err(CalcError::Refused {
            key: "neck_mm",
            sentence: format!(
                "a neck of {neck:.0} mm is not narrower than the body of {width:.0} mm: measure both inside"
            ),
        });
    }
    let shaped = |shape| {
        Carboy::holding(
            body_ml,
            Carboy {
                radius: width / 2.0,
                upright: 0.0,
                shoulder,
                neck_radius: neck / 2.0,
                neck_length,
                shape,
            },
        )
    };
    let (Some(dome), Some(cone)) = (shaped(Shoulder::Dome), shaped(Shoulder::Cone)) else {
        return Err(CalcError::Refused {
            key: "shoulder_mm",
            sentence: format!(
                "a shoulder of {shoulder:.0} mm alone holds more than {:.1} L at {width:.0} mm: measure the shoulder \
                 and the body again",
                body_ml / 1e3
            ),
        });
    };
    Ok((dome, cone))
}
