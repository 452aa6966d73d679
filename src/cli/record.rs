//! What writes to the book: any verb of the registry, from what was typed to one sentence of what
//! was written.

use clap::ArgMatches;

use crate::cellar::amount::Volume;
use crate::cellar::bottling::{Sum, is_filled_from};
use crate::cellar::entry::Kind;
use crate::cellar::moment::Said as When;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::telling;
use crate::cellar::thing::{Key, Sort, Thing, field};
use crate::cellar::verbs::{self, COMMON, Field, Form, Need, Prepared, Takes, Verb};
use crate::exchange::json;
use crate::exchange::page::Page;
use crate::store::{Direction, Filter, Listed};

use super::failure::Failure;
use super::session::{Opened, Session};
use super::{Said, agree, book, command, trouble};

/// Writes what a verb prepared.
pub(super) fn run(session: &Session, verb: &Verb, matches: &ArgMatches) -> Result<Said, Failure> {
    let mut opened = session.open()?;
    let form = form(verb, matches, &opened.cellar)?;
    let when = verbs::when(&form, opened.cellar.now, opened.zone)?;
    let mut prepared = prepare(&opened, verb, &form, &when)?;
    if let Some(loses) = prepared
        .loses
        .as_ref()
        .filter(|_| !agree::is_given(matches))
    {
        // What the book refuses is not asked about.
        let drafts = std::slice::from_ref(&prepared.draft);
        opened.store.preview(drafts, opened.clock())?;
        agree::ask(loses)?;
    }
    // Who said yes beforehand has not read what it was to.
    prepared.asks.extend(prepared.loses.clone());
    let key = opened.store.append(&prepared.draft, opened.clock())?.key();
    let day = understood(&form, &when);
    written(session, &mut opened, prepared, key, &day).map_err(|it| it.though_written(key))
}

/// What stands in the book from now on, and what follows from it.
fn written(
    session: &Session,
    opened: &mut Opened,
    prepared: Prepared,
    key: Key,
    day: &str,
) -> Result<Said, Failure> {
    opened.refresh()?;
    let subject = prepared.draft.subject;
    let is_finish = prepared.draft.sets(field::FINISHED).is_some();
    let finished = subject.filter(|_| is_finish && prepared.draft.kind == Kind::Bottle);
    let finished = finished.filter(|_| !session.json);
    let marked = prepared.draft.subject;
    let marked = marked.filter(|_| prepared.draft.kind == Kind::Trouble && !session.json);
    let mut said = told(session, opened, prepared, key, day)?;
    if let Some(place) = marked {
        said.out
            .push_str(&trouble::follows_page(place, opened)?.text());
    }
    if let Some(run) = finished {
        said.out.push_str(&reconciled(run, opened)?.text());
    }
    Ok(said)
}

/// Where the wine went that a bottling was finished with.
fn reconciled(run: Key, opened: &Opened) -> Result<Page, Failure> {
    let mut page = Page::default();
    let filter = Filter {
        thing: Some(run),
        kind: Some(Kind::Bottle),
        living: true,
        direction: Direction::OldestFirst,
        ..Filter::default()
    };
    let listed = opened.store.entries(&filter)?;
    let start = listed.iter().rfind(|it| is_filled_from(&it.entry, run));
    let Some((start, run)) = start.zip(opened.cellar.thing(run)) else {
        return Ok(page);
    };
    let then = opened.store.before(&start.entry)?;
    let vessel = run.int(field::VESSEL).map(Key);
    let before = vessel.and_then(|it| then.wine(it));
    let before = before.map_or(Volume::ZERO, |it| it.volume);
    let told = listed.iter().map(|it| (&it.entry, &it.flows[..]));
    let Some(sum) = Sum::of(run, before, told, &opened.cellar) else {
        return Ok(page);
    };
    let vessel = vessel.map_or("", |it| opened.cellar.name(it));
    let rows = sum.rows(vessel).into_iter();
    let rows = rows.map(|(name, volume)| vec![name, format!("{:.3} L", volume.in_litres())]);
    page.rows(&rows.collect::<Vec<_>>());
    if sum.adds_up() {
        page.line("It adds up.");
    }
    Ok(page)
}

/// The day that was taken where it was given in words: ` of Thursday 19 Nov 2026`.
pub(super) fn understood(form: &Form, when: &When) -> String {
    let is_words =
        |it: &&str| it.chars().any(char::is_alphabetic) && !matches!(*it, "now" | "today");
    let day = form.get("at").filter(is_words).map(|_| {
        let about = if when.loosely.is_some() { "about " } else { "" };
        let weekday = if about.is_empty() {
            when.moment.local().format("%A ").to_string()
        } else {
            String::new()
        };
        format!(" of {about}{weekday}{}", when.moment.day_words())
    });
    day.unwrap_or_default()
}

/// An entry in the light of the cellar as it was when it happened.
pub(super) fn prepare(
    opened: &Opened,
    verb: &Verb,
    form: &Form,
    when: &When,
) -> Result<Prepared, Failure> {
    let then = opened.at(when.moment)?;
    Ok(verbs::prepare(verb, form, &then, when)?)
}

/// What was written as the book tells it, or the entry; what a person should know goes to stderr.
pub(super) fn told(
    session: &Session,
    opened: &Opened,
    prepared: Prepared,
    key: Key,
    day: &str,
) -> Result<Said, Failure> {
    let mut said = if session.json {
        Said::json(&entry_json(opened, key)?)
    } else {
        let it = opened.store.listed(key)?;
        let words = telling::with_note(&it.entry.draft, &it.flows, &opened.cellar);
        Said::line(format!("Entry {}{day}: {words}", key.0))
    };
    said.notes = prepared.asks;
    Ok(said)
}

/// What was typed, by field.
pub(super) fn form(verb: &Verb, matches: &ArgMatches, cellar: &Snapshot) -> Result<Form, Failure> {
    Ok(named_in_full(verb, typed(verb, matches)?, cellar))
}

/// `taste Carboy B fruity` without quotes: words that make a name of the first one belong to it.
fn named_in_full(verb: &Verb, form: Form, cellar: &Snapshot) -> Form {
    let mut asked = verb.fields.iter().filter(|it| it.need == Need::Required);
    let Some(first) = asked.next() else {
        return form;
    };
    let sorts: &[Sort] = match first.takes {
        Takes::FullVessel | Takes::Thing(Sort::Vessel) => &[Sort::Vessel],
        Takes::Place => &[Sort::Vessel, Sort::Run],
        _ => return form,
    };
    let behind = asked.next().or_else(|| command::second(verb));
    let is_words = |it: &&Field| matches!(it.takes, Takes::Text | Takes::Words);
    let name = form.get(first.key).unwrap_or_default();
    let is_name = |name: &str| {
        let is_it = |it: &Thing| {
            sorts.contains(&it.sort) && it.name().to_lowercase() == name.to_lowercase()
        };
        cellar.all().any(is_it)
    };
    let (Some(behind), false) = (behind.filter(is_words), is_name(name)) else {
        return form;
    };
    let words: Vec<&str> = form
        .get(behind.key)
        .unwrap_or_default()
        .split(' ')
        .collect();
    let whole = (1..=words.len()).find_map(|many| {
        let whole = format!("{name} {}", words[..many].join(" "));
        is_name(&whole).then_some((whole, many))
    });
    let Some((whole, many)) = whole else {
        return form;
    };
    let others = form.pairs();
    let mut named = Form::of(others.filter(|it| it.0 != first.key && it.0 != behind.key));
    named.put(first.key, &whole);
    named.put(behind.key, &words[many..].join(" "));
    named
}

fn typed(verb: &Verb, matches: &ArgMatches) -> Result<Form, Failure> {
    let mut form = Form::default();
    for field in verb.fields.iter().chain(COMMON) {
        fill(&mut form, field, matches)?;
    }
    if let Some(field) = command::second(verb) {
        let words = matches.try_get_many::<String>(command::SECOND);
        let words: Vec<&str> = words
            .ok()
            .flatten()
            .into_iter()
            .flatten()
            .map(String::as_str)
            .collect();
        if !words.is_empty() && form.get(field.key).is_some() {
            return Err(Failure::input(format!(
                "`{}` and --{} say the same: give one of them.",
                words.join(" "),
                field.key
            )));
        }
        put(&mut form, field, &words)?;
    }
    Ok(form)
}

fn fill(form: &mut Form, field: &Field, matches: &ArgMatches) -> Result<(), Failure> {
    if field.takes == Takes::Flag {
        if matches.get_flag(field.key) {
            form.put(field.key, "yes");
        }
        return Ok(());
    }
    let texts = matches.get_many::<String>(field.key);
    let texts: Vec<&str> = texts.into_iter().flatten().map(String::as_str).collect();
    put(form, field, &texts)
}

fn put(form: &mut Form, field: &Field, texts: &[&str]) -> Result<(), Failure> {
    if texts.iter().any(|it| it.chars().any(char::is_control)) {
        return Err(Failure::input(format!(
            "{} holds a line break or another control character; write it in one line.",
            field.label
        )));
    }
    // A script whose variable is not set would write down something else.
    if texts.iter().any(|it| it.trim().is_empty()) {
        return Err(Failure::input(format!(
            "{} is empty; say what it is, or leave it out.",
            field.label
        )));
    }
    if field.need == Need::Many {
        for text in texts {
            form.put(field.key, text);
        }
    } else {
        // Words of a sentence typed without quotes.
        form.put(field.key, &texts.join(" "));
    }
    Ok(())
}

/// An entry as JSON.
pub(super) fn entry_json(opened: &Opened, key: Key) -> Result<serde_json::Value, Failure> {
    let mut listed = opened.store.listed(key)?;
    book::hide(std::slice::from_mut(&mut listed), opened);
    let uids = uids(opened, std::slice::from_ref(&listed))?;
    Ok(json::entry(
        &listed.entry,
        &listed.flows,
        &opened.cellar,
        &uids,
    ))
}

/// Uids of the entries that those name.
pub(super) fn uids(opened: &Opened, listed: &[Listed]) -> Result<json::Uids, Failure> {
    let mut uids: json::Uids = listed
        .iter()
        .map(|it| (it.entry.key, it.entry.uid))
        .collect();
    for it in listed {
        let draft = &it.entry.draft;
        for key in [
            it.entry.voided_by,
            draft.voids,
            draft.amends,
            draft.from_jot,
        ]
        .into_iter()
        .flatten()
        {
            if let std::collections::btree_map::Entry::Vacant(vacant) = uids.entry(key) {
                vacant.insert(opened.store.entry(key)?.uid);
            }
        }
    }
    Ok(uids)
}
