//! `show NAME`: one vessel, batch, run or supply with its history.

use clap::{Arg, ArgMatches, Command};
use serde_json::{Value, json as value};

use crate::cellar::attention::{Holding, Look, Policy, about};
use crate::cellar::racks::Racks;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::{Deed, Share};
use crate::cellar::tasting::blind;
use crate::cellar::telling;
use crate::cellar::thing::{Key, Sort, Thing, field};
use crate::cellar::trouble;
use crate::cellar::{lineage, run as bottled};
use crate::exchange::json;
use crate::exchange::page::Page;
use crate::store::{Filter, Listed};

use super::failure::Failure;
use super::session::{Opened, Session};
use super::{LISTS, Own, Said, board, book, due, record};

pub(super) static SHOW: Own = Own {
    name: "show",
    sentence: "Show one vessel, batch, bottling run or supply with its history.",
    heading: LISTS,
    arguments,
    run,
};

fn arguments(command: Command) -> Command {
    command
        .arg(
            Arg::new("name")
                .required(true)
                .num_args(1..)
                .value_name("NAME")
                .help("What it is called."),
        )
        .arg(
            Arg::new("sort")
                .long("sort")
                .value_name("SORT")
                .value_parser(SORTS.map(Sort::word).to_vec())
                .help(
                    "Which, where a vessel, batch or bottling run share the name; all if left out.",
                ),
        )
}

/// Sorts of things that can be asked for by name, in the order in which they are looked for.
const SORTS: [Sort; 5] = [
    Sort::Vessel,
    Sort::Run,
    Sort::Batch,
    Sort::Supply,
    Sort::Plan,
];

/// The things of that name, whatever their sort: what is in use comes first. A bottling run and the
/// batch it was filled from may well share a name. The first of them, and the others.
pub(super) fn find<'a>(
    cellar: &'a Snapshot,
    name: &str,
    sort: Option<Sort>,
) -> Result<(&'a Thing, Vec<&'a Thing>), Failure> {
    let wanted = name.trim().to_lowercase();
    let asked = |it: Sort| sort.is_none_or(|sort| sort == it) && SORTS.contains(&it);
    let mut found: Vec<&Thing> = cellar
        .all()
        .filter(|it| asked(it.sort) && it.name().to_lowercase() == wanted)
        .collect();
    found.sort_by_key(|it| {
        let at = SORTS.iter().position(|sort| *sort == it.sort);
        (!it.is_open(), at, std::cmp::Reverse(it.key))
    });
    // Of one sort the newest in use is meant.
    let mut seen = Vec::new();
    found.retain(|it| {
        let is_first = !seen.contains(&it.sort);
        seen.push(it.sort);
        is_first
    });
    if let Some((first, others)) = found.split_first() {
        return Ok((first, others.to_vec()));
    }
    let mut nearest: Vec<String> = Vec::new();
    for sort in SORTS.into_iter().filter(|it| asked(*it)) {
        match cellar.find(sort, name) {
            Ok(found) => return Ok((found, Vec::new())),
            Err(unknown) => nearest.extend(unknown.nearest.into_iter().take(1)),
        }
    }
    let near = match nearest.as_slice() {
        [] => "there is nothing yet".to_owned(),
        [one] => format!("the nearest is {one}"),
        many => format!("the nearest are {}", many.join(", ")),
    };
    Err(Failure::input(format!(
        "Nothing is called `{}`; {near}.",
        name.trim()
    )))
}

fn run(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let name = &*super::one_name(matches, "name");
    let sort = matches.get_one::<String>("sort");
    let sort = sort.and_then(|it| Sort::from_word(it));
    let opened = session.open()?;
    let (thing, others) = find(&opened.cellar, name, sort)?;
    if session.json {
        let listed = entries(thing, &opened)?;
        let uids = record::uids(&opened, &listed)?;
        let entries: Vec<Value> = listed
            .iter()
            .map(|it| json::entry(&it.entry, &it.flows, &opened.cellar, &uids))
            .collect();
        let document = document(thing, &others, &opened, entries, &parents(thing, &listed));
        return Ok(Said::json(&document));
    }
    let mut page = told(thing, &opened)?;
    for other in others {
        page.line("");
        page.add(&told(other, &opened)?);
    }
    Ok(page.into())
}

/// Entries that name it, newest first; of a batch also what was done to its wine wherever it was.
pub(super) fn entries(thing: &Thing, opened: &Opened) -> Result<Vec<Listed>, Failure> {
    let filter = Filter {
        thing: Some(thing.key),
        ..Filter::default()
    };
    let mut entries = match thing.sort {
        Sort::Batch => opened.store.entries_of_batch(thing.key)?,
        _ => opened.store.entries(&filter)?,
    };
    entries.retain(|it| !blind::is_secret(&it.entry.draft, &opened.cellar));
    Ok(entries)
}

fn told(thing: &Thing, opened: &Opened) -> Result<Page, Failure> {
    let listed = entries(thing, opened)?;
    let mut page = facts(thing, &opened.cellar, &listed);
    let made_of: Vec<String> = parents(thing, &listed)
        .iter()
        .map(|it| format!("{} of {}", it.volume, batch_name(it, &opened.cellar)))
        .collect();
    if !made_of.is_empty() {
        page.line(format!("  made of  {}", made_of.join(", ")));
    }
    if let Some(giver) = yeast_from(thing, &opened.cellar) {
        page.line(format!("  yeast of {}", giver.name()));
    }
    let reasons = opened.reasons();
    let reasons: Vec<_> = about(thing.key, &reasons, &opened.cellar)
        .cloned()
        .collect();
    if !reasons.is_empty() {
        page.line("\nNeeds you");
        page.rows(&due::rows(&opened.cellar, &reasons));
    }
    let because = bottled::window_because(thing, &opened.cellar);
    if !because.is_empty() {
        page.line("\nWhen to drink it");
    }
    for line in because {
        page.line(format!("  {line}"));
    }
    page.line("\nBook");
    let rows: Vec<Vec<String>> = listed.iter().map(|it| book::row(it, opened)).collect();
    page.rows(&rows);
    Ok(page)
}

/// The batch whose yeast was used again for this one.
fn yeast_from<'a>(thing: &Thing, cellar: &'a Snapshot) -> Option<&'a Thing> {
    cellar.thing(Key(thing.int(field::YEAST_FROM)?))
}

/// What a batch was made of, where it is a blend or a part.
fn parents(thing: &Thing, listed: &[Listed]) -> Vec<Share> {
    let living = listed.iter().filter(|it| it.entry.is_living());
    lineage::parents(thing.key, living.map(|it| (&it.entry.draft, &it.flows[..])))
}

fn batch_name<'a>(share: &Share, cellar: &'a Snapshot) -> &'a str {
    share.batch.map_or("unnamed wine", |it| cellar.name(it))
}

fn document(
    thing: &Thing,
    others: &[&Thing],
    opened: &Opened,
    entries: Vec<Value>,
    parents: &[Share],
) -> Value {
    let (cellar, policy) = (&opened.cellar, Policy::of(&opened.cellar));
    let look = Look::at(cellar, &policy);
    let reasons = opened.reasons();
    let its = about(thing.key, &reasons, cellar);
    let mut object = json::heading(cellar);
    object.put("sort", thing.sort.word());
    match thing.sort {
        Sort::Vessel => object.put("vessel", json::vessel(thing, cellar, &policy).value()),
        Sort::Run => object.put(
            "run",
            json::run(thing, &Racks::of(&cellar.things), cellar, &policy).value(),
        ),
        Sort::Supply => object.put("supply", json::supply(thing, cellar).value()),
        _ => object.put(
            "thing",
            value!({
                "uid": thing.uid.to_string(), "name": thing.name(), "attributes": thing.attributes,
            }),
        ),
    };
    let made_of = parents.iter().map(|it| {
        let mut share = json::Object::default();
        share
            .put(
                "batch",
                value!(it.batch.map(|it| json::reference(it, cellar))),
            )
            .volume("volume", Some(it.volume));
        share.value()
    });
    let same_name = others
        .iter()
        .map(|it| value!({ "uid": it.uid.to_string(), "sort": it.sort.word(), "name": it.name() }));
    object
        .put("same_name", same_name.collect::<Vec<_>>())
        .put("made_of", made_of.collect::<Vec<_>>())
        .put(
            "yeast_from",
            value!(yeast_from(thing, cellar).map(|it| json::reference(it.key, cellar))),
        )
        .put(
            "reasons",
            its.map(|it| json::reason(it, &look)).collect::<Vec<_>>(),
        )
        .put("entries", entries);
    object.value()
}

fn facts(thing: &Thing, cellar: &Snapshot, listed: &[Listed]) -> Page {
    let policy = Policy::of(cellar);
    let mut page = Page::default();
    page.line(format!("{} ({})", thing.name(), thing.sort.label()));
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut fact = |name: &str, words: String| {
        if !words.is_empty() {
            rows.push(vec![format!("  {name}"), words]);
        }
    };
    match thing.sort {
        Sort::Supply => {
            let left = cellar.stock(thing.key).and_then(|it| it.left);
            fact("left", left.map_or("not known".to_owned(), telling::dose));
        }
        Sort::Run => {
            let living = listed.iter().filter(|it| it.entry.is_living());
            for (heading, words) in bottled::facts(thing, cellar, living.map(|it| &it.entry.draft))
            {
                fact(heading, words);
            }
            if let Some(holding) = Holding::of(cellar, thing.key, &policy) {
                wine(&holding, &mut fact, cellar);
            }
        }
        Sort::Vessel => match Holding::of(cellar, thing.key, &policy) {
            Some(holding) => holds(&holding, &mut fact, cellar),
            None => fact("holds", "nothing".to_owned()),
        },
        _ => {
            let places = cellar.all().filter(|it| {
                cellar.wine(it.key).is_some_and(|wine| {
                    wine.makeup
                        .iter()
                        .any(|share| share.batch == Some(thing.key))
                })
            });
            let names: Vec<&str> = places.map(Thing::name).collect();
            fact("is in", names.join(", "));
        }
    }
    page.rows(&rows);
    page
}

fn holds(holding: &Holding, fact: &mut impl FnMut(&str, String), cellar: &Snapshot) {
    let wine = holding.wine;
    fact(
        "holds",
        holding.batch.map_or("wine", Thing::name).to_owned(),
    );
    let full = holding
        .place
        .capacity()
        .map_or_else(String::new, |it| format!(" of {it}"));
    let full = if wine.unmeasured.is_some() {
        String::new()
    } else {
        full
    };
    fact("volume", format!("{}{full}", wine.amount_words()));
    self::wine(holding, fact, cellar);
}

/// What is known of the wine, in bulk or in bottles.
fn wine(holding: &Holding, fact: &mut impl FnMut(&str, String), cellar: &Snapshot) {
    let wine = holding.wine;
    if wine.makeup.len() > 1 {
        let shares = wine.makeup.iter().map(|it| {
            format!(
                "{} {}",
                it.volume,
                it.batch.map_or("unnamed", |it| cellar.name(it))
            )
        });
        fact("make-up", shares.collect::<Vec<_>>().join(", "));
    }
    fact("stage", holding.stage().words());
    let troubles = wine.troubles.keys().map(|it| trouble::name(it));
    fact("trouble", troubles.collect::<Vec<&str>>().join(", "));
    let racked = wine
        .when(Deed::Racked)
        .map(|it| cellar.now.at(it).day_words());
    fact("racked", racked.unwrap_or_default());
    if let Some(ferment) = holding.fermentation() {
        fact("ferment", ferment.sentence());
        for line in ferment.evidence(holding) {
            fact("", line);
        }
    }
    fact("forecast", board::free_so2(holding));
    fact("SO2 added", wine.sulfite_so_far().to_string());
    for (property, known) in &wine.known {
        let when = cellar.now.at(known.at_ms).day_words();
        let sugar = holding.after_reading(*property);
        fact(
            property.label(),
            format!(
                "{}, {}{when}{sugar}",
                telling::found(*property, &known.found),
                if known.estimated {
                    "estimated from its parts, "
                } else {
                    ""
                }
            ),
        );
    }
    fact(
        "allergens",
        wine.allergens
            .iter()
            .cloned()
            .collect::<Vec<_>>()
            .join(", "),
    );
}
