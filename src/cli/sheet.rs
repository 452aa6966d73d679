//! `sheet VESSEL`: a page to hang on it.

use clap::{Arg, ArgMatches};

use crate::cellar::thing::Sort;
use crate::exchange::sheet;

use super::failure::Failure;
use super::session::Session;
use super::{Own, Said};

pub(super) static SHEET: Own = Own {
    name: "sheet",
    sentence: "Print a page to hang on a vessel.",
    heading: super::files::OUT,
    arguments: |it| {
        it.arg(
            Arg::new("vessel")
                .value_name("VESSEL")
                .required(true)
                .help("Which vessel."),
        )
    },
    run,
};

fn run(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let name = matches
        .get_one::<String>("vessel")
        .map_or("", String::as_str);
    let opened = session.open()?;
    let vessel = opened.cellar.find(Sort::Vessel, name)?;
    let page = sheet::sheet(vessel, &opened.cellar, &opened.reasons());
    if session.json {
        return Ok(Said::json(&serde_json::json!({ "sentence": page.text() })));
    }
    Ok(page.into())
}
