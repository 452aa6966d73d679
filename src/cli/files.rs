//! The file itself: `init`, `backup`, `restore`, `check`.

use std::path::PathBuf;

use clap::{Arg, ArgAction, ArgMatches, value_parser};
use serde_json::json;

use leesline_calc::quantity::Gallon;

use crate::cellar::verbs::{self, Form};
use crate::store::{Store, StoreError};

use super::failure::Failure;
use super::session::Session;
use super::{Own, Said, agree, record};

const SAFETY: &str = "The file";
/// Where help puts what leaves the program as a file or a page.
pub(super) const OUT: &str = "Pages and exports";

pub(super) static INIT: Own = Own {
    name: "init",
    sentence: "Make a new cellar.",
    heading: SAFETY,
    arguments: |it| {
        it.arg(
            Arg::new("name")
                .long("name")
                .value_name("NAME")
                .help("What the cellar is called."),
        )
    },
    run: init,
};

pub(super) static BACKUP: Own = Own {
    name: "backup",
    sentence: "Copy the cellar to a new file.",
    heading: SAFETY,
    arguments: |it| it.arg(file("The copy; nothing may be there yet.")),
    run: backup,
};

pub(super) static RESTORE: Own = Own {
    name: "restore",
    sentence: "Put a copy in the cellar's place; asks first, and keeps what was there beside it.",
    heading: SAFETY,
    arguments: |it| it.arg(file("The copy to bring back.")).arg(agree::yes()),
    run: restore,
};

pub(super) static CHECK: Own = Own {
    name: "check",
    sentence: "Fold the whole book anew and compare it with what is kept.",
    heading: SAFETY,
    arguments: |it| {
        it.arg(
            Arg::new("mend")
                .long("mend")
                .action(ArgAction::SetTrue)
                .help(
                    "First derive again all that is kept beside the book; the book stays as it is.",
                ),
        )
    },
    run: check,
};

fn file(help: &'static str) -> Arg {
    Arg::new("file")
        .value_name("FILE")
        .required(true)
        .value_parser(value_parser!(PathBuf))
        .help(help)
}

fn given(matches: &ArgMatches) -> PathBuf {
    matches
        .get_one::<PathBuf>("file")
        .cloned()
        .unwrap_or_default()
}

fn done(session: &Session, key: &str, path: &std::path::Path, sentence: &str) -> Said {
    if session.json {
        Said::json(&json!({ key: path.display().to_string(), "sentence": sentence }))
    } else {
        Said::line(sentence)
    }
}

fn init(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let path = session.file()?;
    let mut opened = session.over(Store::create(&path)?)?;
    if let (Some(name), Some(verb)) = (matches.get_one::<String>("name"), verbs::find("settings")) {
        let form = Form::of([("name", name.as_str())]);
        let when = verbs::when(&form, opened.cellar.now, opened.zone)?;
        let prepared = record::prepare(&opened, verb, &form, &when)?;
        let clock = opened.clock();
        opened.store.append(&prepared.draft, clock)?;
    }
    let gallon = opened.cellar.settings().units.gallon;
    let (other, flag) = match gallon {
        Gallon::Us => (Gallon::Imperial, "imperial"),
        Gallon::Imperial => (Gallon::Us, "us"),
    };
    let sentence = format!(
        "Made a cellar at {}. A gallon is taken as the {} one, {:.3} L; for the {} one, {:.3} L, say `leesline settings \
         --gallon {flag}` before anything is entered in gallons.",
        path.display(),
        gallon.name(),
        gallon.litres(),
        other.name(),
        other.litres()
    );
    Ok(done(session, "made", &path, &sentence))
}

fn backup(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let to = given(matches);
    session.open()?.store.backup(&to)?;
    let sentence = format!("Copied the cellar to {}.", to.display());
    Ok(done(session, "copy", &to, &sentence))
}

fn restore(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let (copy, cellar) = (given(matches), session.file()?);
    if cellar.exists() && !agree::is_given(matches) {
        agree::ask(&format!(
            "{} would take the place of {}; what is there now is kept in {}.",
            copy.display(),
            cellar.display(),
            Store::folder_of_copies(&cellar).display()
        ))?;
    }
    let aside = Store::restore(&copy, &cellar)?;
    let kept = aside.map_or_else(String::new, |it| {
        format!(" What was there is kept as {}.", it.display())
    });
    let sentence = format!(
        "Brought {} back as {}.{kept}",
        copy.display(),
        cellar.display()
    );
    Ok(done(session, "restored", &cellar, &sentence))
}

fn check(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let mut store = Store::open(&session.file()?).map_err(unreadable)?;
    if matches.get_flag("mend") {
        store.rebuild().map_err(unreadable)?;
    }
    session
        .read_only
        .set(store.is_read_only().map_err(unreadable)?);
    let wrong = store.check().map_err(unreadable)?;
    match wrong.as_slice() {
        [] if session.json => Ok(Said::json(&json!({ "faults": [] }))),
        [] => Ok(
            "The book and what is kept of it agree; the file is whole.\n"
                .to_owned()
                .into(),
        ),
        [first, rest @ ..] => {
            let more = match rest.len() {
                0 => String::new(),
                more => format!(" ({more} more like it)"),
            };
            Err(Failure::fault(format!("{first}{more}")))
        }
    }
}

/// A file that cannot be read through is a fault found, not a check that could not be made.
fn unreadable(error: StoreError) -> Failure {
    match error {
        StoreError::Damaged(why) => Failure::fault(format!(
            "The cellar file is damaged and cannot be read through ({why}); bring back a copy with `leesline restore`."
        )),
        other => other.into(),
    }
}
