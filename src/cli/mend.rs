//! Mending the book: `void`, `amend` and `undo`. Nothing is deleted; a further entry cancels the
//! one that was wrong, and all that follows is folded anew.

use std::ffi::OsString;

use clap::{Arg, ArgMatches};

use crate::cellar::entry::{Draft, Entry};
use crate::cellar::telling;
use crate::cellar::thing::Key;
use crate::cellar::verbs;
use crate::store::Effects;

use super::failure::Failure;
use super::session::{Opened, Session};
use super::{Own, Said, agree, chosen, command, glue_negatives, record, unquoted};

const MENDING: &str = "Mending the book";

pub(super) static UNDO: Own = Own {
    name: "undo",
    sentence: "Undo the entry written last; asks first.",
    heading: MENDING,
    arguments: |it| it.arg(agree::yes()),
    run: undo,
};

pub(super) static VOID: Own = Own {
    name: "void",
    sentence: "Cancel an entry of the book; asks first.",
    heading: MENDING,
    arguments: |it| it.arg(entry_argument()).arg(agree::yes()),
    run: void,
};

pub(super) static AMEND: Own = Own {
    name: "amend",
    sentence: "Write an entry anew, after asking: `leesline amend 12 rack Bucket --to 'Carboy A=22 L'`.",
    heading: MENDING,
    arguments: |it| {
        it.arg(entry_argument()).arg(agree::yes()).arg(
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
    let opened = session.open()?;
    let Some(entry) = opened.store.newest_living()? else {
        return Err(Failure::book(
            "The book is empty: there is nothing to undo.",
        ));
    };
    cancel(session, opened, &entry, matches, true)
}

fn void(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let opened = session.open()?;
    let entry = named(&opened, matches)?;
    cancel(session, opened, &entry, matches, false)
}

/// Voids an entry, after showing what changes. To undo it also brings back what it amended.
fn cancel(
    session: &Session,
    mut opened: Opened,
    entry: &Entry,
    matches: &ArgMatches,
    is_undo: bool,
) -> Result<Said, Failure> {
    let what = sentence(&opened, entry)?;
    let back = opened.store.brought_back(entry)?;
    let drafts = std::iter::once(entry).chain(&back).map(|it| &it.draft);
    let drafts: Vec<&Draft> = drafts.collect();
    let back = back.as_ref().filter(|_| is_undo);
    let back = back.map(|it| sentence(&opened, it));
    let back = back.transpose()?;
    let clock = opened.clock();
    if !agree::is_given(matches) {
        let (verb, effects) = if is_undo {
            ("undo", opened.store.preview_undo(entry.key, clock)?)
        } else {
            ("void", opened.store.preview_void(entry.key, clock)?)
        };
        let changes = effects.lines(&drafts, &opened.cellar).join("\n");
        let back = back.as_ref().map(|it| format!("\nThis holds again: {it}"));
        let back = back.unwrap_or_default();
        agree::ask(&format!("This would {verb} entry {what}{back}\n{changes}"))?;
    }
    let written = if is_undo {
        opened.store.undo(entry.key, clock)?
    } else {
        opened.store.void(entry.key, clock)?
    };
    opened.refresh()?;
    if session.json {
        return Ok(Said::json(&record::entry_json(&opened, written.key())?));
    }
    let changes = changed(&written.effects, &drafts, &opened);
    // It is written again, under a number of its own.
    let as_entry = written.entries.last().map_or(0, |it| it.key.0);
    let back = back.map(|it| format!("\nEntry {as_entry} is now what was {it}"));
    let back = back.unwrap_or_default();
    let did = if entry.draft.voids.is_some() {
        "Took back"
    } else {
        "Voided"
    };
    Ok(Said::line(format!("{did} entry {what}{back}{changes}")))
}

fn amend(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let typed = matches
        .get_many::<OsString>("command")
        .into_iter()
        .flatten()
        .cloned();
    let line = std::iter::once(OsString::from("leesline")).chain(typed);
    let line = glue_negatives(line.collect());
    let again = unquoted::parse(&command::command(), &line, Some(session))
        .map_err(|it| Failure::from(&it))?;
    // A global option may stand before or after the verb.
    let session = session.or(Session::of(&again));
    let (name, again) = chosen(&again);
    let Some(verb) = verbs::find(&name) else {
        return Err(Failure::input(format!(
            "`{name}` writes no entry; name the verb that the entry should have been."
        )));
    };
    let mut opened = session.open()?;
    let mut form = record::form(verb, again, &opened.cellar)?;
    let entry = named(&opened, matches)?;
    // The bottles have their mark on them already, or none.
    if verb.name == "bottle start" && form.get("mark").is_none() {
        form.put("mark", &verbs::mark_of(&entry.draft));
    }
    let mut when = verbs::when(&form, opened.cellar.now, opened.zone)?;
    if form.get("at").is_none() {
        when.moment = entry.draft.when;
    }
    let clock = opened.clock();
    let then = opened.store.without(&entry, when.moment, clock)?;
    let prepared = verbs::prepare(verb, &form, &then, &when)?;
    if !agree::is_given(matches) && !agree::is_given(again) {
        let effects = opened
            .store
            .preview_amend(entry.key, &prepared.draft, clock)?;
        let drafts = [&entry.draft, &prepared.draft];
        let changes = effects.lines(&drafts, &opened.cellar).join("\n");
        let loses = prepared.loses.as_deref().unwrap_or_default();
        agree::ask(&format!(
            "This would amend entry {}\nIt would say instead: {} {loses}\n{changes}",
            sentence(&opened, &entry)?,
            prepared.sentence
        ))?;
    }
    let written = opened.store.amend(entry.key, &prepared.draft, clock)?;
    opened.refresh()?;
    let day = record::understood(&form, &when);
    let mut said = record::told(&session, &opened, prepared, written.key(), &day)?;
    if !session.json {
        let changes = changed(&written.effects, &[&entry.draft], &opened);
        let voided = Said::line(format!("Entry {} is voided.{changes}", entry.key.0));
        said.out.push_str(&voided.out);
    }
    Ok(said)
}

/// `12 of 3 Nov 2026: Racked 22.4 L from Bucket to Carboy A.`
fn sentence(opened: &Opened, entry: &Entry) -> Result<String, Failure> {
    let listed = opened.store.listed(entry.key)?;
    let words = telling::sentence(&entry.draft, &listed.flows, &opened.cellar);
    Ok(format!(
        "{} of {}: {words}",
        entry.key.0,
        entry.draft.when.day_words()
    ))
}

/// What the book now says differently, in one line.
fn changed(effects: &Effects, drafts: &[&Draft], opened: &Opened) -> String {
    format!(" {}", effects.lines(drafts, &opened.cellar).join(" "))
}
