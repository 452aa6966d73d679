//! `book`: the entries of the cellar book, newest first, with the numbers by which others name them.

use clap::{Arg, ArgAction, ArgMatches, Command};

use crate::cellar::entry::Kind;
use crate::cellar::moment;
use crate::cellar::tasting::blind;
use crate::cellar::telling;
use crate::exchange::json;
use crate::exchange::page::Page;
use crate::store::{Filter, Listed};

use super::failure::Failure;
use super::session::{Opened, Session};
use super::{LISTS, Own, Said, record, show};

/// Entries shown unless more are asked for: a screenful or two.
const SHOWN: usize = 40;

pub(super) static BOOK: Own = Own {
    name: "book",
    sentence: "List the entries of the cellar book, newest first.",
    heading: LISTS,
    arguments,
    run,
};

fn arguments(command: Command) -> Command {
    let text = |id: &'static str, value: &'static str, help: &'static str| {
        Arg::new(id).long(id).value_name(value).help(help)
    };
    command
        .arg(text(
            "of",
            "NAME",
            "Only what names this vessel, batch, bottling run or supply.",
        ))
        .arg(text("kind", "KIND", "Only this kind, such as rack."))
        .arg(text("since", "DATE", "Only from this date on."))
        .arg(text(
            "limit",
            "NUMBER",
            "At most so many; 40 in words, all in JSON, if left out.",
        ))
        .arg(
            Arg::new("living")
                .long("living")
                .action(ArgAction::SetTrue)
                .help("Leave out voided entries and the voids."),
        )
}

fn run(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let opened = session.open()?;
    let (filter, asked) = filter(session, &opened, matches)?;
    let mut listed = opened.store.entries(&filter)?;
    let of_one = filter.thing.is_some();
    listed.retain(|it| !(of_one && blind::is_secret(&it.entry.draft, &opened.cellar)));
    hide(&mut listed, &opened);
    if session.json {
        let uids = record::uids(&opened, &listed)?;
        let entries: Vec<_> = listed
            .iter()
            .map(|it| json::entry(&it.entry, &it.flows, &opened.cellar, &uids))
            .collect();
        let mut object = json::heading(&opened.cellar);
        object.put("entries", entries);
        return Ok(Said::json(&object.value()));
    }
    let more = !asked && listed.len() > SHOWN;
    if more {
        listed.truncate(SHOWN);
    }
    let mut page = Page::default();
    if listed.is_empty() {
        page.line("The book has no such entry.");
    }
    let rows: Vec<Vec<String>> = listed.iter().map(|it| row(it, &opened)).collect();
    page.rows(&rows);
    if more {
        page.line("Older ones follow; ask for more with --limit.");
    }
    Ok(page.into())
}

/// Takes out of blind tastings under way which wine was tasted.
pub(super) fn hide(listed: &mut [Listed], opened: &Opened) {
    for it in listed {
        blind::hide(&mut it.entry.draft, &mut it.flows, &opened.cellar);
    }
}

/// The filter, and whether a number of entries was asked for.
fn filter(
    session: &Session,
    opened: &Opened,
    matches: &ArgMatches,
) -> Result<(Filter, bool), Failure> {
    let text = |id: &str| matches.get_one::<String>(id).map(String::as_str);
    let thing = text("of")
        .map(|it| show::find(&opened.cellar, it, None))
        .transpose()?;
    let kind = text("kind")
        .map(|it| {
            Kind::from_word(&it.to_lowercase()).ok_or_else(|| {
                Failure::input(format!(
                    "`{it}` is no kind of entry; it is one of {}.",
                    Kind::WORDS.join(", ")
                ))
            })
        })
        .transpose()?;
    let from = text("since")
        .map(|it| moment::read(it, opened.cellar.now, opened.zone))
        .transpose()?;
    let limit = text("limit")
        .map(|it| {
            it.parse::<usize>().map_err(|_| {
                Failure::input(format!(
                    "`{it}` is no number of entries; write a whole number."
                ))
            })
        })
        .transpose()?;
    // One more than is shown tells whether there are older ones.
    let default = if session.json { None } else { Some(SHOWN + 1) };
    let filter = Filter {
        thing: thing.map(|it| it.0.key),
        kind,
        from_ms: from.map(|it| it.moment.utc_ms),
        living: matches.get_flag("living"),
        limit: limit.or(default),
        ..Filter::default()
    };
    Ok((filter, limit.is_some()))
}

/// Number, date, what was done, and the note.
pub(super) fn row(listed: &Listed, opened: &Opened) -> Vec<String> {
    let entry = &listed.entry;
    let mut words = telling::with_note(&entry.draft, &listed.flows, &opened.cellar);
    if let Some(by) = entry.voided_by {
        words = format!("(voided by {}) {words}", by.0);
    }
    vec![
        format!("{:>5}", entry.key.0),
        entry
            .draft
            .when
            .local()
            .format("%e %b %Y %H:%M")
            .to_string(),
        entry.draft.by.clone(),
        words,
    ]
}
