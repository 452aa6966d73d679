//! Oxygen in the wine itself, and what it does to its sulfite.

use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::oxygen::{
    SO2_PER_OXYGEN, SO2_PER_OXYGEN_HIGH, SO2_PER_OXYGEN_LOW, WINE_HOLDS, air_oxygen_mg,
    water_holds_mg_l,
};
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};
use crate::spread::Spread;

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "dissolved-oxygen",
    sentence: "How much oxygen wine takes up when it splashes, what is in a closed bottle, and the sulfite that uses up.",
    group: "Air",
    inputs: &[
        Input::new(
            "temperature_c",
            Quantity::Temperature,
            "temperature of the wine",
        )
        .default("20")
        .allowed(0.0, 40.0, "the solubility is known between"),
        Input::new(
            "dissolved_oxygen_mg_l",
            Quantity::MassPerVolume,
            "oxygen by a meter; as much as the wine can hold if left out",
        )
        .allowed(0.0, 20.0, "air dissolves no more, nor less than none"),
        Input::new(
            "headspace_ml",
            Quantity::SmallVolume,
            "air closed in above it",
        )
        .default("0")
        .allowed(
            0.0,
            1e6,
            "air is none or more and this is for less than a cubic metre",
        ),
        Input::new(
            "volume_l",
            Quantity::Volume,
            "how much wine is under that air",
        )
        .default("750 mL")
        .allowed(
            0.01,
            1e6,
            "this is for wine between a glass and a winery's tank",
        ),
    ],
    results: &[
        ResultSpec::new(
            "saturation_mg_l",
            Quantity::MassPerVolume,
            "most oxygen the wine holds from air",
        ),
        ResultSpec::new(
            "water_saturation_mg_l",
            Quantity::MassPerVolume,
            "most that water holds",
        ),
        ResultSpec::new(
            "oxygen_mg_l",
            Quantity::MassPerVolume,
            "oxygen in the wine and above it, to each litre",
        ),
        ResultSpec::new(
            "so2_consumed_mg_l",
            Quantity::MassPerVolume,
            "free SO2 it uses up in time",
        ),
    ],
    example: &[("temperature", "15 °C"), ("headspace", "10 mL")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let (temperature, air) = (
        inputs.require("temperature_c")?,
        inputs.require("headspace_ml")?,
    );
    let volume = inputs.require("volume_l")?;
    let water = water_holds_mg_l(temperature).ok_or(CalcError::Missing {
        key: "temperature_c",
        help: "a temperature of 0 to 40 °C",
    })?;
    let (low, middle, high) = WINE_HOLDS;
    let saturation = Spread::new(low, middle, high).scaled(water);
    let measured = inputs.number("dissolved_oxygen_mg_l");
    let dissolved = measured.map_or(saturation, Spread::known);
    let above = air_oxygen_mg(air, temperature) / volume;
    let all = Spread::new(
        dissolved.low + above,
        dissolved.value + above,
        dissolved.high + above,
    );

    let mut answer = Answer::new(CALCULATOR.name, inputs);
    answer.spread("saturation_mg_l", saturation);
    answer.result("water_saturation_mg_l", water);
    answer.spread("oxygen_mg_l", all);
    let used = if all.value > 0.0 {
        all.times(Spread::new(
            SO2_PER_OXYGEN_LOW,
            SO2_PER_OXYGEN,
            SO2_PER_OXYGEN_HIGH,
        ))
    } else {
        Spread::known(0.0)
    };
    answer.spread("so2_consumed_mg_l", used);
    answer.work(
        "water",
        format!(
            "e^(−139.34 + 157 570/T − …), T = {:.2} K: {water:.2} mg/L",
            temperature + 273.15
        ),
    );
    answer.work(
        "wine",
        format!("{water:.2} × {middle:.3} = {:.2} mg/L", saturation.value),
    );
    if measured.is_none() {
        answer.assume(
            "dissolved_oxygen_mg_l",
            saturation.value,
            (saturation.low, saturation.high),
            "The wine is taken to hold as much as it can, as after a splashing racking; under the surface it takes up 1 to 3 \
             mg/L.",
        );
    }
    answer.work(
        "in all",
        format!(
            "{:.2} + {air:.0} mL × {:.4} mg/mL / {volume:.3} L = {:.2} mg/L",
            dissolved.value,
            air_oxygen_mg(1.0, temperature),
            all.value
        ),
    );
    answer.work(
        "sulfite used",
        format!(
            "{:.2} × {SO2_PER_OXYGEN} = {:.1} mg/L",
            all.value, used.value
        ),
    );
    answer.source(Source {
        sentence: "Benson and Krause, oxygen in water, as APHA Standard Methods 4500-O and the US Geological Survey print it",
        standing: Standing::FromMemory,
    });
    answer.source(Source {
        sentence: "Singleton; du Toit et al. 2006: 6 to 8.6 mg/L in wine at 20 °C, by no source opened as a function of strength",
        standing: Standing::FromMemory,
    });
    answer.source(Source {
        sentence: "Pascal, Diéval and Vidal, infowine, abstract: 2.5 mg of free SO2 to 1 mg of oxygen, mean of 100 bottled wines",
        standing: Standing::Opened,
    });
    answer.caution(
        CautionKind::Practice,
        "common practice; vinlab.com and WineLand, February 2019",
        "Cold wine takes up more air and shows it later: siphon from bottom to bottom, fill the receiving vessel with gas or \
         to the neck, and test the free sulfite a few days after. A bottle filled with care has 0.5 to 1.25 mg/L in all.",
    );
    Ok(answer)
}
