//! `policy`: every threshold of the rules, with its why, its source and whose it is.

use clap::{Arg, ArgMatches, Command};
use serde_json::{Value, json};

use crate::cellar::attention::{Policy, ReasonKind, Threshold};
use crate::exchange::json;
use crate::exchange::page::Page;

use super::failure::Failure;
use super::session::Session;
use super::{LISTS, Own, Said};

pub(super) static POLICY: Own = Own {
    name: "policy",
    sentence: "List the thresholds of what needs you, each with its why and source.",
    heading: LISTS,
    arguments,
    run,
};

fn arguments(command: Command) -> Command {
    command.arg(
        Arg::new("kind").value_name("REASON").help(
            "Only those that decide about one kind of reason, such as `lees`, as `due --json` names it.",
        ),
    )
}

fn run(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let kind = matches.get_one::<String>("kind");
    let kind = kind.map(|it| of_word(it)).transpose()?;
    // Without a cellar the usual ones stand.
    let policy = if session.file()?.is_file() {
        Policy::of(&session.open()?.cellar)
    } else {
        Policy::default()
    };
    let thresholds = match kind {
        Some(kind) => kind.thresholds(&policy),
        None => policy.thresholds(),
    };
    if session.json {
        let all: Vec<Value> = thresholds.iter().map(document).collect();
        return Ok(Said::json(&json!({ "thresholds": all })));
    }
    let mut page = Page::default();
    for it in &thresholds {
        page.line(format!("{}: {}", it.label(), it.value_words()));
        page.wrapped("    ", &format!("{} ({})", it.why, it.source), 78);
        if let Some((low, high)) = it.range {
            let set = format!(
                "Yours to set, {low} to {high}: `leesline settings --threshold \"{}=…\"`.",
                it.label()
            );
            page.wrapped("    ", &set, 78);
        }
    }
    Ok(page.into())
}

fn of_word(word: &str) -> Result<ReasonKind, Failure> {
    ReasonKind::from_word(word).ok_or_else(|| {
        Failure::input(format!(
            "`{word}` is no kind of reason; it is one of {}.",
            ReasonKind::WORDS.join(", ")
        ))
    })
}

fn document(it: &Threshold) -> Value {
    let kinds: Vec<&str> = it.kinds.iter().map(|it| it.word()).collect();
    let mut object = json::threshold(it);
    object
        .put("usual", it.usual)
        .put("low", json!(it.range.map(|it| it.0)))
        .put("high", json!(it.range.map(|it| it.1)))
        .put("why", it.why)
        .put("source", it.source.to_string())
        .put("reasons", json!(kinds));
    object.value()
}
