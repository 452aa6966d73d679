//! Mending the book: `void`, `amend` and `undo`. Nothing is deleted; a further entry cancels the
//! one that was wrong, and all that follows is folded anew.

use std::ffi::OsString;
use std::io::{self, BufRead, IsTerminal, Write};

use clap::{Arg, ArgAction, ArgMatches};

use crate::cellar::entry::Entry;
use crate::cellar::telling;
use crate::cellar::thing::Key;
use crate::cellar::verbs;
use crate::store::Effects;

use super::failure::Failure;
use super::session::{Opened, Session};
use super::{Own, Said, chosen, command, glue_negatives, record};

const MENDING: &str = "Mending the book";

pub(super) static UNDO: Own = Own {
    name: "undo",
    sentence: "Undo the entry written last; asks first.",
    heading: MENDING,
    arguments: |it| {
        it.arg(
            Arg::new("yes")
                .long("yes")
                .short('y')
                .action(ArgAction::SetTrue)
                .help("Do not ask."),
        )
    },
    run: undo,
};

pub(super) static VOID: Own = Own {
    name: "void",
    sentence: "Cancel an entry of the book.",
    heading: MENDING,
    arguments: |it| it.arg(entry_argument()),
    run: void,
};

pub(super) static AMEND: Own = Own {
    name: "amend",
    sentence: "Write an entry anew: `leesline amend 12 rack Bucket --to 'Carboy A=22 L'`.",
    heading: MENDING,
    arguments: |it| {
        it.arg(entry_argument()).arg(
            Arg::new("command")
                .value_name("VERB")
                .required(true)
                .num_args(1..)
                .trailing_var_arg(true)
                .allow_hyphen_values(true)
                .value_parser(clap::value_parser!(OsString))
                .help("The whole command as it should have been; its date stays unless --at is given."),
        )
    },
    run: amend,
};

fn entry_argument() -> Arg {
    Arg::new("entry")
        .value_name("ENTRY")
        .required(true)
        .help("Its number as `leesline book` lists it, or its uid.")
}

/// The entry that was named by its number, or by its uid or the end of it.
fn named(opened: &Opened, matches: &ArgMatches) -> Result<Entry, Failure> {
    let text = matches
        .get_one::<String>("entry")
        .map_or("", String::as_str);
    let number = text.trim_start_matches('#').parse::<i64>();
    match number.map(|it| opened.store.entry(Key(it))) {
        Ok(Ok(entry)) => Ok(entry),
        // A uid may end in nothing but digits.
        Ok(Err(none)) if text.len() < 4 => Err(none.into()),
        _ => Ok(opened.store.entry_by_uid(text)?),
    }
}

fn undo(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let mut opened = session.open()?;
    let Some(entry) = opened.store.newest_living()? else {
        return Err(Failure::book(
            "The book is empty: there is nothing to undo.",
        ));
    };
    let what = sentence(&opened, &entry)?;
    if !matches.get_flag("yes") {
        let clock = opened.clock();
        let effects = opened.store.preview_void(entry.key, clock)?;
        if !agreed(&format!("{what}{}", follows(&effects)))? {
            return Err(Failure::book("Nothing was undone."));
        }
    }
    cancel(session, opened, &entry, &what)
}

/// Shows what would be undone and waits for a yes; without someone to ask it is refused.
fn agreed(what: &str) -> Result<bool, Failure> {
    if !io::stdin().is_terminal() {
        return Err(Failure::book(format!(
            "This would undo entry {what} To do so add --yes."
        )));
    }
    let asked =
        write!(io::stderr(), "Undo entry {what} Yes? [y/N] ").and_then(|()| io::stderr().flush());
    let mut answer = String::new();
    let read = asked.and_then(|()| io::stdin().lock().read_line(&mut answer));
    Ok(read.is_ok() && matches!(answer.trim(), "y" | "Y" | "yes" | "Yes"))
}

fn void(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let opened = session.open()?;
    let entry = named(&opened, matches)?;
    let what = sentence(&opened, &entry)?;
    cancel(session, opened, &entry, &what)
}

fn cancel(
    session: &Session,
    mut opened: Opened,
    entry: &Entry,
    what: &str,
) -> Result<Said, Failure> {
    let clock = opened.clock();
    let written = opened.store.void(entry.key, clock)?;
    opened.refresh()?;
    if session.json {
        return Ok(Said::json(&record::entry_json(&opened, written.key())?));
    }
    let follows = follows(&written.effects);
    Ok(Said::line(format!("Voided entry {what}{follows}")))
}

fn amend(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let typed = matches
        .get_many::<OsString>("command")
        .into_iter()
        .flatten()
        .cloned();
    let line = std::iter::once(OsString::from("leesline")).chain(typed);
    let again = command::command()
        .try_get_matches_from(glue_negatives(line.collect()))
        .map_err(|it| Failure::from(&it))?;
    // A global option may stand before or after the verb.
    let session = session.or(Session::of(&again));
    let (name, again) = chosen(&again);
    let Some(verb) = verbs::find(&name) else {
        return Err(Failure::input(format!(
            "`{name}` writes no entry; name the verb that the entry should have been."
        )));
    };
    let form = record::form(verb, again)?;
    let mut opened = session.open()?;
    let entry = named(&opened, matches)?;
    let mut when = verbs::when(&form, opened.cellar.now, opened.zone)?;
    if form.get("at").is_none() {
        when.moment = entry.draft.when;
    }
    let clock = opened.clock();
    let then = opened.store.without(&entry, when.moment, clock)?;
    let prepared = verbs::prepare(verb, &form, &then, &when)?;
    let written = opened.store.amend(entry.key, &prepared.draft, clock)?;
    opened.refresh()?;
    let mut said = record::told(&session, &opened, prepared, written.key())?;
    if !session.json {
        let follows = follows(&written.effects);
        let voided = Said::line(format!("Entry {} is voided.{follows}", entry.key.0));
        said.out.push_str(&voided.out);
    }
    Ok(said)
}

/// `12 of 3 Nov 2026: Racked 22.4 L from Bucket to Carboy A.`
fn sentence(opened: &Opened, entry: &Entry) -> Result<String, Failure> {
    let listed = record::listed(opened, entry)?;
    let words = telling::sentence(&entry.draft, &listed.flows, &opened.cellar);
    Ok(format!(
        "{} of {}: {words}",
        entry.key.0,
        entry.draft.when.day_words()
    ))
}

/// What else the book now says differently.
fn follows(effects: &Effects) -> String {
    let later: Vec<String> = effects
        .recomputed
        .iter()
        .map(|it| it.0.to_string())
        .collect();
    match later.as_slice() {
        [] => String::new(),
        [one] => format!(" Entry {one} is recomputed."),
        many => format!(" Entries {} are recomputed.", many.join(", ")),
    }
}
