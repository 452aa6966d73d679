//! `dose VESSEL`: the sulfite that a wine wants, worked out from what the book knows of it. Nothing
//! is written; `add` does that once it is in.

use clap::{Arg, ArgAction, ArgMatches, Command};
use leesline_calc::registry;

use crate::cellar::dosing::told;
use crate::cellar::thing::Sort;

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
    if cellar.wine(vessel.key).is_none() {
        return Err(Failure::book(format!(
            "{} is empty by the book; if there is wine in it, write it down with `here` or `receive`.",
            vessel.name()
        )));
    }
    let wanted = if cellar.settings().tests_so2 {
        "sulfite-dose"
    } else {
        "sulfite-by-spoon"
    };
    let calculator = registry::find(wanted)
        .ok_or_else(|| Failure::book("This program has no sulfite-dose; update it."))?;
    // The same as the dosing screen: two faces of one program must not differ by a gram.
    let mut inputs = told(calculator, vessel.key, cellar);
    let mut overruled: Vec<(String, String)> = Vec::new();
    for text in matches.get_many::<String>("with").into_iter().flatten() {
        let Some((name, value)) = text.split_once('=') else {
            return Err(Failure::input(format!(
                "`{text}` sets nothing; write ph=3.4."
            )));
        };
        let flag = name.trim().replace('_', "-");
        let keys = calculator.flags().remove(&flag).unwrap_or_default();
        inputs.retain(|(key, _)| !keys.contains(key));
        // One aim stands for the other.
        if keys.contains(&"target_free_so2_mg_l") {
            inputs.retain(|(key, _)| *key != "target_molecular_mg_l");
        }
        overruled.push((flag, value.trim().to_owned()));
    }
    let known = inputs.into_iter().map(|(key, text)| (key.to_owned(), text));
    let inputs: Vec<(String, String)> = known.chain(overruled).collect();
    calc::answer(session, calculator, &inputs, cellar.settings().units)
}
