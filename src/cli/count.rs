//! `bottle count`: bottles filled since the last count, each on disk before it is said.

use clap::{Arg, ArgMatches, Command};
use serde_json::json as value;

use crate::cellar::bottling::Package;
use crate::cellar::entry::FillEvent;
use crate::cellar::run::marked;
use crate::cellar::thing::{Sort, field};
use crate::exchange::json;

use super::failure::Failure;
use super::session::Session;
use super::{Own, Said};

pub(super) static COUNT: Own = Own {
    name: "bottle count",
    sentence: "Count bottles of the bottling under way.",
    heading: "Bottling and after",
    arguments,
    run,
};

fn arguments(command: Command) -> Command {
    command
        .arg(
            Arg::new("run")
                .value_name("RUN")
                .required(true)
                .help("Which bottles, by name or mark."),
        )
        .arg(
            Arg::new("filled")
                .value_name("NUMBER")
                .required(true)
                .allow_negative_numbers(true)
                .help("How many more; -1 takes one back, of what broke or was spilled too."),
        )
        .arg(
            Arg::new("size")
                .long("size")
                .value_name("ML")
                .help("Bottle size in mL; that of the bottling if left out."),
        )
        .arg(
            Arg::new("event")
                .long("event")
                .value_name("EVENT")
                .value_parser(["filled", "spilled", "drawn", "broken", "refused"])
                .default_value("filled")
                .help("What became of them."),
        )
}

fn run(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let text = |id: &str| matches.get_one::<String>(id).map(String::as_str);
    let whole = |id: &str, text: &str| {
        text.parse::<i64>()
            .ok()
            .filter(|it| (-100_000..=100_000).contains(it) && *it != 0)
            .ok_or_else(|| Failure::input(format!("`{text}` is no {id}; write a whole number.")))
    };
    let number = whole("number of bottles", text("filled").unwrap_or_default())?;
    let size = text("size").map(|it| whole("size in mL", it)).transpose()?;
    let mut opened = session.open()?;
    let meant = text("run").unwrap_or_default();
    let run = match opened.cellar.find(Sort::Run, meant) {
        Ok(run) => run,
        Err(unknown) => marked(meant, &opened.cellar).ok_or(unknown)?,
    };
    let (key, name) = (run.key, run.name().to_owned());
    let size_ml = size.or_else(|| run.int(field::SIZE)).unwrap_or(750);
    let event = text("event").and_then(FillEvent::from_word);
    let event = event.unwrap_or(FillEvent::Filled);
    let event = if number < 0 { event.opposite() } else { event };
    let now_ms = opened.cellar.now.utc_ms;
    opened
        .store
        .fill(key, event, size_ml, number.abs(), now_ms)?;
    opened.refresh()?;
    let count = opened
        .cellar
        .wine(key)
        .map_or(0, crate::cellar::state::Wine::bottle_count);
    Ok(if session.json {
        let mut object = json::heading(&opened.cellar);
        object
            .put("run", json::reference(key, &opened.cellar))
            .put("count", value!(count));
        Said::json(&object.value())
    } else {
        let package = opened
            .cellar
            .thing(key)
            .map(Package::of)
            .unwrap_or_default();
        Said::line(format!("{name}: {}.", package.count(count)))
    })
}
