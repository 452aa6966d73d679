//! When a bottled wine is to be drunk.

use crate::ageing::{
    CLOSURE_WORDS, ENERGY, HOTTEST_C, STYLE_WORDS, STYLES, Style, Window, find, window,
};
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::day::Day;
use crate::error::CalcError;
use crate::hazards::BAG;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

/// Days of a Julian year.
const YEAR: f64 = 365.25;

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "ageing-window",
    sentence: "When a bottled wine is to be drunk, by style, acidity, sugar, closure and storage: an estimate of ours.",
    group: "Bottling",
    inputs: &[
        Input::new("style", Quantity::Choice(STYLE_WORDS), "style of wine").required(),
        Input::new("from", Quantity::Date, "day it was bottled")
            .required()
            .allowed(-36_525.0, 73_049.0, "bottles are of 1870 to 2169"),
        Input::new(
            "ph",
            Quantity::Ph,
            "acidity; nothing is made of it if left out",
        )
        .allowed(2.0, 5.0, "no wine is outside"),
        Input::new(
            "sugar_g_l",
            Quantity::GramsPerLitre,
            "sugar left in it; nothing is made of it if left out",
        )
        .allowed(0.0, 500.0, "sugar is none or more, and 500 is syrup"),
        Input::new(
            "closure",
            Quantity::Choice(CLOSURE_WORDS),
            "what closes the bottles",
        )
        .default("cork"),
        Input::new("storage_c", Quantity::Temperature, "where they are kept")
            .default("13")
            .allowed(
                0.0,
                HOTTEST_C,
                "warmer wine is cooked rather than aged: no window holds, taste it",
            ),
    ],
    results: &[
        ResultSpec::new("opens", Quantity::Date, "may be drunk from"),
        ResultSpec::new("closes", Quantity::Date, "should be drunk by"),
        ResultSpec::new("opens_years", Quantity::Number, "years until it opens"),
        ResultSpec::new("closes_years", Quantity::Number, "years until it closes"),
    ],
    example: &[
        ("style", "red"),
        ("from", "2026-11-22"),
        ("ph", "3.58"),
        ("storage", "12"),
    ],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let from = inputs.require("from")?;
    let style: Style = find(inputs.word("style")).unwrap_or(STYLES[0]);
    let (ph, sugar) = (inputs.number("ph"), inputs.number("sugar_g_l"));
    let storage = inputs.require("storage_c")?;
    let found = window(style, ph, sugar, inputs.word("closure"), storage);
    let day = |years: f64| Day(from + years * YEAR).to_string();
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    answer.result("opens", day(found.opens));
    answer.result("closes", day(found.closes.value));
    answer.result("closes_low", day(found.closes.low));
    answer.result("closes_high", day(found.closes.high));
    answer.result("opens_years", found.opens);
    answer.spread("closes_years", found.closes);
    work(&mut answer, &found, storage);
    answer.source(Source {
        sentence: "Years by style and the factors for sugar, acidity and closure: house estimates; no standard and no \
                   data set says when a wine is to be drunk",
        standing: Standing::CommonPractice,
    });
    answer.source(Source {
        sentence: "Arrhenius's law of the rate by temperature; that shelf life follows it: Mercer et al., The shelf life \
                   of wine, 2009, abstract",
        standing: Standing::Opened,
    });
    if inputs.word("closure") == "bag-in-box" {
        answer.hazard(BAG);
    }
    if found.style.word != style.word {
        answer.caution(
            CautionKind::Range,
            "house estimate",
            format!(
                "With more than 45 g/L of sugar it keeps as a sweet wine, not as a {}.",
                style.label
            ),
        );
    }
    answer.caution(
        CautionKind::Practice,
        "common practice",
        "An estimate, not a promise: open one as the window opens and one a year, and go by that.",
    );
    Ok(answer)
}

fn work(answer: &mut Answer, found: &Window, storage: f64) {
    let Window { style, pace, .. } = found;
    answer.work(
        "style",
        format!(
            "a {} opens {} and closes {} years after bottling at 13 °C",
            style.label, style.opens, style.closes
        ),
    );
    answer.work(
        "pace",
        format!(
            "exp[{:.0} / 8.314 × (1/286.15 − 1/{:.2})] = {:.3}",
            ENERGY.1,
            storage + 273.15,
            pace.value
        ),
    );
    answer.work(
        "opens",
        format!(
            "{} / {:.3} = {:.2} years",
            style.opens, pace.value, found.opens
        ),
    );
    answer.work(
        "closes",
        format!(
            "{} × {} for sugar × {} for acidity × {} for the closure / {:.3} = {:.2} years, kept to 0.3 to 15; one in \
             ten closes before {:.1}, one in ten after {:.1}",
            style.closes,
            found.sugar,
            found.acid,
            found.closure,
            pace.value,
            found.closes.value,
            found.closes.low,
            found.closes.high
        ),
    );
}
