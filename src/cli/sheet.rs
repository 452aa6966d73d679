//! `sheet NAME`: a page to hang on a vessel, or by the bottles of a run.

use clap::{Arg, ArgMatches};

use crate::cellar::entry::Draft;
use crate::cellar::thing::Sort;
use crate::exchange::sheet;

use super::failure::Failure;
use super::session::Session;
use super::{Own, Said, show};

pub(super) static SHEET: Own = Own {
    name: "sheet",
    sentence: "Print a page to hang on a vessel, or by the bottles of a run.",
    heading: super::files::OUT,
    arguments: |it| {
        it.arg(
            Arg::new("name")
                .value_name("NAME")
                .required(true)
                .help("Which vessel or bottles."),
        )
    },
    run,
};

fn run(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let name = matches.get_one::<String>("name").map_or("", String::as_str);
    let opened = session.open()?;
    let (thing, _) = show::find(&opened.cellar, name, None)?;
    let page = if thing.sort == Sort::Run {
        let listed = show::entries(thing, &opened)?;
        let living = listed.iter().filter(|it| it.entry.is_living());
        let drafts: Vec<&Draft> = living.map(|it| &it.entry.draft).collect();
        sheet::of_run(thing, &opened.cellar, &drafts, &opened.reasons())
    } else {
        let vessel = opened.cellar.find(Sort::Vessel, name)?;
        sheet::sheet(vessel, &opened.cellar, &opened.reasons())
    };
    if session.json {
        return Ok(Said::json(&serde_json::json!({ "sentence": page.text() })));
    }
    Ok(page.into())
}
