//! `demo`: a cellar of our own invention, played from its script through the ordinary code.

use std::path::PathBuf;

use chrono::Datelike;
use clap::{Arg, ArgMatches, value_parser};
use serde_json::json;

use crate::store::Store;

use super::failure::Failure;
use super::session::{Opened, Session};
use super::{LISTS, Own, Said, screen, script};

/// The Quarry Row cellar, with dates relative to today.
const SCRIPT: &str = include_str!("../../assets/demo.txt");

pub(super) static DEMO: Own = Own {
    name: "demo",
    sentence: "Look around a cellar that is not yours; nothing is kept.",
    heading: LISTS,
    arguments: |it| {
        it.arg(
            Arg::new("file")
                .long("file")
                .value_name("FILE")
                .value_parser(value_parser!(PathBuf))
                .help("Write that cellar to a new file instead of opening it."),
        )
    },
    run,
};

fn run(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let Some(file) = matches.get_one::<PathBuf>("file") else {
        screen::needs_terminal("`demo`")?;
        return screen::show(session, played(session)?.store);
    };
    if file.exists() {
        return Err(Failure::book(format!(
            "{} is already there and is left as it is; give another name.",
            file.display()
        )));
    }
    played(session)?.store.backup(file)?;
    let sentence = format!(
        "Wrote the demo cellar to {path}; look at it with `leesline --cellar {path}`.",
        path = file.display()
    );
    Ok(if session.json {
        Said::json(&json!({ "made": file.display().to_string(), "sentence": sentence }))
    } else {
        Said::line(sentence)
    })
}

/// The demo cellar in memory: gone when the program ends.
fn played(session: &Session) -> Result<Opened, Failure> {
    let mut opened = session.over(Store::in_memory()?)?;
    let script = dated(&opened);
    script::play(&script, &mut opened)?;
    Ok(opened)
}

/// The script with the years of the last three harvests in its names. The latest is that of the
/// damsons, which came in 62 days ago.
fn dated(opened: &Opened) -> String {
    let latest = opened.cellar.now.plus_days(-62).date().year();
    let year = |ago: i32| format!("{:02}", (latest - ago).rem_euclid(100));
    SCRIPT
        .replace("{this}", &year(0))
        .replace("{last}", &year(1))
        .replace("{before}", &year(2))
}
