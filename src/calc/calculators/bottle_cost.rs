//! What a bottle costs, from what went into it.

use super::acid_inputs::refused;
use super::list_input::{Item, items};
use super::vessel_inputs::BOTTLING;
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::{Quantity, Units};
use crate::registry::{Calculator, ResultSpec};

/// More than goes into any wine.
const MOST_LOTS: usize = 100;
const FORM: &str = "name:price or name:price:used/bought, such as corks:24:30/100";
/// What money is written in, of whatever currency.
const MONEY: (f64, f64) = (0.0, 1e9);
/// How much of a lot there can be, in whatever unit.
const AMOUNT: (f64, f64) = (1e-9, 1e9);

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "bottle-cost",
    sentence: "What a bottle costs, from the lots that went into it and how much of each was used.",
    group: BOTTLING,
    inputs: &[
        Input::new(
            "lots",
            Quantity::Text,
            "what went in: name:price, or name:price:used/bought where only a part of it did; ? for a price not known",
        )
        .required(),
        Input::new("bottles", Quantity::Count, "bottles it filled")
            .required()
            .allowed(1.0, 1e6, "there is at least one bottle to pay for"),
        Input::new("bottle_ml", Quantity::SmallVolume, "what a bottle holds")
            .default("750")
            .allowed(20.0, 60_000.0, "packages are between a sample and a demijohn"),
    ],
    results: &[
        ResultSpec::new("cost_per_bottle", Quantity::Number, "what a bottle costs"),
        ResultSpec::new("cost_per_l", Quantity::Number, "what a litre costs"),
        ResultSpec::new("cost", Quantity::Number, "what all of it costs"),
        ResultSpec::new("dearest", Quantity::Text, "what costs most of it"),
        ResultSpec::new("unpriced", Quantity::Text, "lots whose price is not known, not counted"),
    ],
    example: &[("lots", "juice:95, yeast:3.20, sulfite:8:14/250, corks:24:30/100"), ("bottles", "29")],
    solve,
};

/// The part of a lot's price that went in; `None` where the price is not known.
fn cost(item: &Item, units: Units) -> Result<Option<f64>, CalcError> {
    let (price, part) = match item.fields[..] {
        [price] => (price, 1.0),
        [price, part] => {
            let Some((used, bought)) = part.split_once('/') else {
                return Err(item.refused(&format!(
                    "how much was used is written used/bought: write {FORM}"
                )));
            };
            let amount = |text: &str| item.figure(Quantity::Number, text.trim(), AMOUNT, units);
            let (used, bought) = (amount(used)?, amount(bought)?);
            if used > bought {
                return Err(item.refused("more was used than bought: check both, in the same unit"));
            }
            (price, used / bought)
        }
        _ => {
            return Err(item.refused(&format!(
                "there is more than a price and a part: write {FORM}"
            )));
        }
    };
    if price == "?" {
        return Ok(None);
    }
    Ok(Some(
        item.figure(Quantity::Number, price, MONEY, units)? * part,
    ))
}

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let bottles = inputs.require("bottles")?;
    let litres = bottles * inputs.require("bottle_ml")? / 1e3;
    let lots = items(
        "lots",
        inputs.text("lots").unwrap_or_default(),
        FORM,
        MOST_LOTS,
    )?;
    let (mut total, mut known, mut unpriced) = (0.0, Vec::new(), Vec::new());
    for item in &lots {
        match cost(item, *inputs.units())? {
            Some(cost) => {
                total += cost;
                known.push((item.name, cost));
            }
            None => unpriced.push(item.name),
        }
    }
    let Some((dearest, most)) = known
        .iter()
        .copied()
        .max_by(|one, other| one.1.total_cmp(&other.1))
    else {
        return Err(refused("lots", "no price is known: give one at least"));
    };
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    answer.result("cost_per_bottle", total / bottles);
    answer.result("cost_per_l", total / litres);
    answer.result("cost", total);
    answer.result("dearest", format!("{dearest} ({most:.2})"));
    answer.result("unpriced", unpriced.join(", "));
    let sum: Vec<String> = known
        .iter()
        .map(|(name, cost)| format!("{name} {cost:.2}"))
        .collect();
    answer.work("all", format!("{} = {total:.2}", sum.join(" + ")));
    answer.work(
        "a bottle",
        format!("{total:.2} / {bottles:.0} = {:.2}", total / bottles),
    );
    answer.source(Source {
        sentence: "Each lot's price by the part of it that was used",
        standing: Standing::Derived,
    });
    if !unpriced.is_empty() {
        answer.caution(
            CautionKind::Range,
            "arithmetic",
            format!(
                "The price of {} is not known and not counted: a bottle costs at least this.",
                unpriced.join(", ")
            ),
        );
    }
    Ok(answer)
}
