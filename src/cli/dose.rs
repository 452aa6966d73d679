//! `dose VESSEL`: the sulfite that a wine wants, worked out from what the book knows of it. Nothing
//! is written; `add` does that once it is in.

use clap::{Arg, ArgAction, ArgMatches, Command};
use leesline_calc::registry;

use crate::cellar::attention::{Holding, Policy, Stage};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Malo, Sort, Wine, field};

use super::failure::Failure;
use super::session::Session;
use super::{Own, Said, calc};

pub(super) static DOSE: Own = Own {
    name: "dose",
    sentence: "Work out the sulfite that a wine wants, from what the book knows of it.",
    heading: "Putting in and treating",
    arguments,
    run,
};

fn arguments(command: Command) -> Command {
    command
        .arg(
            Arg::new("place")
                .value_name("VESSEL")
                .required(true)
                .help("Which vessel."),
        )
        .arg(
            Arg::new("with")
                .long("with")
                .value_name("KEY=VALUE")
                .action(ArgAction::Append)
                .help("Overrule one input of `calc sulfite-dose`, such as `ph=3.4`."),
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
            "{} is empty by the book; if there is wine in it, write it down with `here` or `receive`.",
            vessel.name()
        )));
    };
    let mut inputs = known(&holding, cellar);
    for text in matches.get_many::<String>("with").into_iter().flatten() {
        let Some((key, value)) = text.split_once('=') else {
            return Err(Failure::input(format!(
                "`{text}` sets nothing; write ph=3.4."
            )));
        };
        let key = key.trim().replace('_', "-");
        inputs.retain(|(known, _)| *known != key && !known.starts_with(&format!("{key}-")));
        if key.starts_with("target-free-so2") {
            inputs.retain(|(known, _)| known != "target-molecular-mg-l");
        }
        inputs.push((key, value.trim().to_owned()));
    }
    let calculator = registry::find("sulfite-dose")
        .ok_or_else(|| Failure::book("This program has no sulfite-dose; update it."))?;
    calc::answer(session, calculator, &inputs, cellar.settings().units)
}

/// What the book knows of the inputs of `sulfite-dose`, by flag.
fn known(holding: &Holding, cellar: &Snapshot) -> Vec<(String, String)> {
    let mut inputs: Vec<(&str, String)> = vec![
        ("volume-l", holding.litres().to_string()),
        ("state", state(holding).to_owned()),
        ("wine", wine(holding).to_owned()),
        ("target-molecular-mg-l", holding.molecular_aim().to_string()),
        (
            "added-so-far-mg-l",
            format!("{:.1}", holding.wine.so2_added_mg_l()),
        ),
    ];
    let ph = holding.wine.number(crate::cellar::entry::Property::Ph);
    let free = holding
        .expected_free_so2()
        .map(|it| format!("{:.1}", it.mid));
    let settings = cellar.settings();
    // The lot that `add` draws from: the oldest in use.
    let potency = cellar
        .open(Sort::Supply)
        .filter(|it| it.text(field::SUBSTANCE) == "potassium-metabisulfite")
        .min_by_key(|it| (it.int(field::BOUGHT), it.key))
        .and_then(|it| it.real(field::STRENGTH));
    inputs.extend(ph.map(|it| ("ph", it.to_string())));
    inputs.extend(free.map(|it| ("free-so2-mg-l", it)));
    inputs.extend(
        settings
            .scale_step_g
            .map(|it| ("scale-step-g", it.to_string())),
    );
    inputs.extend(
        settings
            .syringe_step_ml
            .map(|it| ("syringe-step-ml", it.to_string())),
    );
    inputs.extend(potency.map(|it| ("potency-pct", it.to_string())));
    inputs
        .into_iter()
        .map(|(key, value)| (key.to_owned(), value))
        .collect()
}

fn state(holding: &Holding) -> &'static str {
    match holding.stage() {
        Stage::Must | Stage::Fermenting | Stage::Stuck => "fermenting",
        Stage::Malo => "malo-running",
        _ if holding.malo() == Malo::Wanted && !holding.malo_is_finished() => "malo-wanted",
        _ => "finished",
    }
}

fn wine(holding: &Holding) -> &'static str {
    match holding.batch.map(crate::cellar::thing::Thing::wine) {
        Some(Wine::Red) => "red",
        Some(Wine::Rose) => "rose",
        Some(Wine::Fruit) => "fruit",
        Some(Wine::Sweet) => "sweet",
        Some(Wine::White | Wine::Unknown) | None => "white",
    }
}
