//! The entry that a dose becomes: what goes in, from which lot, and the calculation behind it.

use leesline_calc::Answer;
use leesline_calc::quantity::{Quantity, Units, show};

use super::sheet::{LOT, Sheet};
use crate::cellar::amount::Mass;
use crate::cellar::dosing::{bare, given as by_tool, half};
use crate::cellar::entry::{Dose, Due, Job};
use crate::cellar::moment::Said;
use crate::cellar::plan::{self, SECOND_HALF, SECOND_HALF_VERB};
use crate::cellar::telling;
use crate::cellar::thing::Key;
use crate::cellar::verbs::{self, Form, Prepared, Refusal, UNKNOWN_TABLET};
use crate::tui::message::Facts;

/// Days after half a dose until free SO2 says how much of it was bound.
const TEST_AFTER_DAYS: i64 = 3;

/// How much of the dose is given.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Part {
    #[default]
    All,
    Half,
}

impl Part {
    const fn word(self) -> &'static str {
        match self {
            Part::All => "all",
            Part::Half => "half",
        }
    }
}

/// Whether what a calculator gives is put into the wine, so that it can be written to the book.
pub(super) fn is_addition(sheet: &Sheet) -> bool {
    matches!(sheet.calculator.name, "sulfite-dose" | "sulfite-by-spoon")
}

/// What would be written. Refused, with the sentence why, where there is nothing to write.
pub(super) fn prepare(sheet: &Sheet, part: Part, facts: &Facts) -> Result<Prepared, Refusal> {
    let refused = |sentence: &str| Err(Refusal::book(None, sentence));
    if !is_addition(sheet) {
        return refused("This is reckoned and put into no wine, so there is nothing to write.");
    }
    let Some(vessel) = sheet.vessel.and_then(|it| facts.cellar.thing(it)) else {
        return refused("Which vessel is it for? Choose one with the left and right arrows.");
    };
    let Some((calculator, answer)) = sheet.answer() else {
        return refused(&sheet.fault_said());
    };
    let units = facts.cellar.settings().units;
    let Some(given) = given(answer, part, units) else {
        return refused(match part {
            Part::Half => "Half of it cannot be measured with what you have.",
            Part::All => "The aim is already met, so there is nothing to add.",
        });
    };
    let salt = answer.inputs.text("salt").unwrap_or("potassium");
    let strength = answer.inputs.number("potency_pct").unwrap_or(100.0);
    let mut form = Form::default();
    form.put("place", vessel.name());
    let what = match given.tablets {
        Some(_) => "sulfite-tablet".to_owned(),
        None => format!("{salt}-metabisulfite"),
    };
    form.put("substance", &what);
    form.put("amount", &given.amount);
    form.put(
        "solution",
        &answer
            .inputs
            .number("solution_pct")
            .unwrap_or(10.0)
            .to_string(),
    );
    form.put("strength", &strength.to_string());
    form.put("calculation", &calculation(calculator.name, answer, part));
    form.put("note", given.note.unwrap_or_default());
    match (given.tablets, sheet.row(LOT)) {
        (Some(_), _) => form.put("lot", sheet.tablets.as_deref().unwrap_or_default()),
        (None, Some(row)) => form.put("lot", row.text.text()),
        (None, None) => {}
    }
    let add = verbs::find("add").ok_or_else(|| Refusal::book(None, "There is no way to add."))?;
    let now = Said {
        moment: facts.cellar.now,
        loosely: None,
        remark: None,
    };
    let mut prepared = verbs::prepare(add, &form, &facts.cellar, &now)?;
    let lot = prepared.draft.additions.first().and_then(|it| it.lot);
    let lot = lot.map_or(String::new(), |it| {
        format!(" from {}", facts.cellar.name(it))
    });
    prepared.sentence = match given.tablets {
        Some(_) => format!("Add {} of sulfite to {}{lot}.", given.said, vessel.name()),
        None => format!(
            "Add {} of {salt} metabisulfite to {}{lot}, {strength:.0} % strength.",
            given.said,
            vessel.name()
        ),
    };
    if let (Some(so2), Some(addition)) = (given.tablets, prepared.draft.additions.first_mut()) {
        // What a tablet was reckoned to give holds, whether its lot says so or a person typed it.
        let lacked = addition.so2 == Mass::ZERO;
        addition.so2 = so2;
        prepared
            .asks
            .retain(|it| !(lacked && it.starts_with(UNKNOWN_TABLET)));
    }
    if part == Part::Half {
        prepared.draft.jobs.push(Job {
            key: Key(0),
            subject: plan::of_the_wine_in(vessel.key, &facts.cellar),
            title: SECOND_HALF.to_owned(),
            due: Due::On(facts.cellar.now.plus_days(TEST_AFTER_DAYS).utc_ms),
            verb: SECOND_HALF_VERB.to_owned(),
        });
    }
    let stop = sheet.stop.as_ref().and_then(|it| it.asks.clone());
    let asked = sheet.cautions().into_iter().filter_map(|it| it.asks);
    let left = || {
        let words = sheet.left_unknown()?;
        Some(format!(
            "What is left free is not known ({words}). Give it without a test?"
        ))
    };
    let too_soon = sheet.too_soon.as_ref();
    let first = too_soon.map(|it| format!("{it} Give it all the same?"));
    let asked = stop.into_iter().chain(first.or_else(left)).chain(asked);
    prepared.asks = asked.chain(prepared.asks).collect();
    // The dose says the stop of its state by itself; the rule of thumb does not.
    prepared.asks.dedup();
    Ok(prepared)
}

/// An amount as the verb reads it, and as it is said.
struct Given {
    amount: String,
    said: String,
    /// The SO2 they bring, where it is tablets that are counted.
    tablets: Option<Mass>,
    note: Option<&'static str>,
}

/// What is given of a dose, in the form that stands first; `None` for nothing.
fn given(answer: &Answer, part: Part, units: Units) -> Option<Given> {
    let of = |all: &str| match part {
        Part::All => by_tool(answer, all),
        Part::Half => half(answer),
    };
    // The rule of thumb knows no scale, and is not written down finer than it is said.
    let decimals = match answer.results.text("first_form") {
        Some("weigh") => 1e6,
        _ => 1e2,
    };
    let weighed = |grams: f64| {
        let grams = if grams < 0.1 {
            grams
        } else {
            (grams * decimals).round() / decimals
        };
        Given {
            said: bare(Quantity::Mass, grams, units),
            amount: format!("{grams:.6} g"),
            tablets: None,
            note: None,
        }
    };
    // A spoon is written down by what it is taken to weigh, and its note says that it was a spoon.
    let spooned = |teaspoons: f64| {
        let said = show(Quantity::Teaspoons, teaspoons, &units);
        let grams = teaspoons * answer.inputs.number("teaspoon_g")?;
        (grams > 0.0).then(|| Given {
            said: format!("{said} (about {grams:.1} g)"),
            amount: format!("{grams:.2} g"),
            tablets: None,
            note: Some("by the level spoon"),
        })
    };
    let as_stock = |millilitres: f64| {
        let said = bare(Quantity::SmallVolume, millilitres, units);
        let stock = answer.inputs.number("solution_pct")?;
        Some(Given {
            said: format!("{said} of a {stock} % stock solution"),
            amount: said,
            tablets: None,
            note: Some("as stock solution"),
        })
    };
    let grams = answer.number("metabisulfite_g").filter(|it| *it > 0.0)?;
    match answer.results.text("first_form") {
        Some("none") => None,
        // The rule of thumb is a spoon, and half of one is not offered; nor is half of what should wait.
        Some("wait") | None if part == Part::Half => None,
        Some("solution") => as_stock(of("solution_ml")?),
        Some("tablets") => {
            let count = of("tablets")?;
            let each_mg = answer.inputs.number("tablet_so2_mg")?;
            let said = telling::dose(Dose::Tablets((count * 1e3).round() as i64));
            Some(Given {
                amount: said.clone(),
                said,
                tablets: Some(Mass::grams(count * each_mg / 1e3)),
                note: None,
            })
        }
        Some("teaspoon") => spooned(of("teaspoons")?),
        Some(_) => of("metabisulfite_g").map(weighed),
        None => match (by_tool(answer, "teaspoons"), by_tool(answer, "solution_ml")) {
            (Some(teaspoons), _) => spooned(teaspoons),
            (None, Some(millilitres)) => as_stock(millilitres),
            (None, None) => Some(weighed(grams)),
        },
    }
}

/// The calculation as the book keeps it: which, by which version, from what, to what.
fn calculation(name: &str, answer: &Answer, part: Part) -> String {
    serde_json::json!({
        "calc": name,
        "version": env!("CARGO_PKG_VERSION"),
        "part": part.word(),
        "inputs": answer.inputs,
        "results": answer.results,
    })
    .to_string()
}
