//! `ics`: what falls due, as a file for any calendar.

use std::fs;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};

use clap::{Arg, ArgMatches, value_parser};
use serde_json::{Value, json};

use crate::cellar::ahead;
use crate::cellar::attention::{Look, Policy};
use crate::exchange::calendar::{self, Event};

use super::failure::Failure;
use super::session::Session;
use super::{Own, Said, agree};

pub(super) static ICS: Own = Own {
    name: "ics",
    sentence: "Print what falls due in the next half year as a calendar file (RFC 5545); taken in again it changes its events and doubles none. What was done since stays in your calendar: take the file into a calendar of its own, and clear that one first.",
    heading: super::files::OUT,
    arguments: |it| {
        it.arg(
            Arg::new("file")
                .long("file")
                .value_name("FILE")
                .value_parser(value_parser!(PathBuf))
                .help("Write it to this file; asks first where one is there."),
        )
        .arg(agree::yes())
    },
    run,
};

fn run(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let opened = session.open()?;
    let policy = Policy::of(&opened.cellar);
    let items = ahead::ahead(&opened.cellar, &policy, &opened.reasons());
    let far = ahead::far_sighted(&policy);
    let events = calendar::events(&items, &Look::at(&opened.cellar, &far));
    if events.is_empty() {
        return Err(Failure::book(
            "Nothing falls due in the next half year, and a calendar file needs an event; write it once there is wine in the cellar.",
        ));
    }
    let stamped = opened.store.last_recorded_ms()?.unwrap_or_default();
    let file = calendar::file(
        &opened.cellar.settings().name,
        &events,
        stamped,
        opened.cellar.now.date(),
    );
    let Some(to) = matches.get_one::<PathBuf>("file") else {
        return Ok(if session.json {
            let events: Vec<Value> = events.iter().map(event).collect();
            Said::json(&json!({ "events": events }))
        } else {
            file.into()
        });
    };
    if !is_calendar(to) {
        let why = format!(
            "{} is no calendar file, and stays; give another place.",
            to.display()
        );
        return Err(Failure::input(why));
    }
    if to.exists() && !agree::is_given(matches) {
        agree::ask(&format!(
            "{} is already there and would be written anew.",
            to.display()
        ))?;
    }
    write(to, &file).map_err(|why| {
        Failure::book(format!(
            "{} could not be written ({why}); give another place.",
            to.display()
        ))
    })?;
    let sentence = format!("Wrote {} events to {}.", events.len(), to.display());
    Ok(if session.json {
        Said::json(&json!({ "made": to.display().to_string(), "sentence": sentence }))
    } else {
        Said::line(sentence)
    })
}

fn event(event: &Event) -> Value {
    json!({
        "uid": event.uid,
        "day": event.day.to_string(),
        "sentence": event.summary,
        "why": [{ "sentence": event.description }],
    })
}

/// Whether a file may be written anew: it is a calendar, or not there, or empty. The cellar itself is none of these.
fn is_calendar(file: &Path) -> bool {
    let mut begins = Vec::new();
    let head =
        fs::File::open(file).and_then(|it| it.take(BEGINS.len() as u64).read_to_end(&mut begins));
    head.is_err() || begins.is_empty() || begins == BEGINS
}

/// What every calendar file begins with (RFC 5545, section 3.4).
const BEGINS: &[u8] = b"BEGIN:VCALENDAR";

/// Whole or not at all: beside its place first, then moved there.
fn write(to: &Path, text: &str) -> std::io::Result<()> {
    let mut name = to.file_name().unwrap_or_default().to_owned();
    name.push(format!(".{}.part", std::process::id()));
    let part = to.with_file_name(name);
    let written = fs::File::create_new(&part)
        .and_then(|mut file| {
            file.write_all(text.as_bytes())?;
            file.sync_all()
        })
        .and_then(|()| fs::rename(&part, to));
    if written.is_err() {
        // What is there of it is of no use; that it cannot be removed is no news beside that.
        let _ = fs::remove_file(&part);
    }
    written
}
