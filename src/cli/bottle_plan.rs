//! `bottle plan VESSEL`: what a wine must answer before it is closed in glass, all of it, and how
//! many bottles it fills. Nothing is written.

use clap::{Arg, ArgMatches, Command};
use leesline_calc::registry;
use serde_json::json as value;

use crate::cellar::attention::{Answer, GateItem, Holding, Policy, words};
use crate::cellar::thing::Sort;
use crate::exchange::json;
use crate::exchange::page::Page;

use super::failure::Failure;
use super::session::Session;
use super::{Own, Said};

pub(super) static PLAN: Own = Own {
    name: "bottle plan",
    sentence: "List what speaks for and against bottling a wine, and the bottles it fills.",
    heading: "Bottling and after",
    arguments,
    run,
};

const WIDTH: usize = 80;

fn arguments(command: Command) -> Command {
    command.arg(
        Arg::new("place")
            .value_name("VESSEL")
            .required(true)
            .help("Which vessel."),
    )
}

fn run(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let name = matches
        .get_one::<String>("place")
        .map_or("", String::as_str);
    let opened = session.open()?;
    let cellar = &opened.cellar;
    let vessel = cellar.find(Sort::Vessel, name)?;
    let policy = Policy::default();
    let Some(holding) = Holding::of(cellar, vessel.key, &policy) else {
        return Err(Failure::book(format!(
            "{} is empty by the book; name a vessel with wine in it.",
            vessel.name()
        )));
    };
    let gate = holding.gate();
    let bottles = bottles(&holding);
    if session.json {
        let items = gate.iter().map(|it| {
            value!({
                "question": it.question,
                "answer": word(it),
                "evidence": it.evidence,
                "what_to_do": it.what_to_do,
                "risks_bursting": it.risks_bursting(),
            })
        });
        let mut object = json::heading(cellar);
        object
            .put("questions", items.collect::<Vec<_>>())
            .put("bottles", bottles);
        return Ok(Said::json(&object.value()));
    }
    let mut page = Page::default();
    page.line(format!("{}, {}", vessel.name(), holding.wine.volume));
    for item in &gate {
        page.line(format!("{} {}", item.question, word(item)));
        for line in item.evidence.iter().chain([&item.what_to_do]) {
            if !line.is_empty() {
                page.wrapped("  ", line, WIDTH);
            }
        }
    }
    if let Some(item) = gate.iter().find(|it| it.risks_bursting()) {
        page.wrapped("", item.hazard, WIDTH);
    }
    if let Some(bottles) = bottles {
        let said = words::count(bottles, "bottle");
        page.line(format!(
            "Of 750 mL it fills {said}, lees left behind not counted."
        ));
    }
    Ok(page.into())
}

/// Bottles of 750 mL that it fills, by the `bottling-plan` calculator.
fn bottles(holding: &Holding) -> Option<i64> {
    let plan = registry::find("bottling-plan")?;
    let volume = holding.litres().to_string();
    let told = [("volume_l", volume.as_str()), ("bottle_ml", "750")];
    let answer = plan
        .ask(&told, &leesline_calc::quantity::Units::default())
        .ok()?;
    Some(answer.number("bottles")? as i64)
}

fn word(item: &GateItem) -> &'static str {
    match item.answer {
        Answer::Yes => "yes",
        Answer::No => "no",
        Answer::NotKnown => "not known",
    }
}
