//! `trouble [PLACE] [WORDS…]`: something looks, smells or tastes wrong.

use clap::{Arg, ArgMatches, Command};
use serde_json::{Value, json as value};

use crate::cellar::attention::{Holding, Policy};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Wine;
use crate::cellar::thing::{Key, Sort, Thing};
use crate::cellar::trouble::{
    self, FOLLOWED, Fault, Fit, Follows, Section, Whereabouts, fits, follow,
};
use crate::cellar::verbs;
use crate::exchange::json;
use crate::exchange::page::{Page, shell_word};

use super::failure::Failure;
use super::gifts::living;
use super::session::{Opened, Session};
use super::{LISTS, Own, Said};

/// Columns that the text is broken at: a phone held upright over a remote shell has hardly more.
const WIDTH: usize = 76;
/// Others that may be it, named below the best.
const OTHERS: usize = 4;

pub(super) static TROUBLE: Own = Own {
    name: "trouble",
    sentence: "Say what may be wrong with a wine, how to know it from its double, what to do and what never to do.",
    heading: LISTS,
    arguments,
    run,
};

fn arguments(command: Command) -> Command {
    command.arg(
        Arg::new("words")
            .value_name("PLACE OR WORDS")
            .num_args(0..)
            .help("The vessel or bottles, if the book is to be asked; then what is noticed: egg, vinegar, film, haze."),
    )
}

/// What was asked: of which vessel or bottles, if any, and what was noticed.
struct Asked<'a> {
    place: Option<&'a Thing>,
    said: String,
}

fn run(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    // Someone frightened may have no cellar file at hand.
    let opened = session.open_if_any()?;
    let cellar = &opened.cellar;
    let typed: Vec<&str> = matches
        .get_many::<String>("words")
        .into_iter()
        .flatten()
        .map(String::as_str)
        .collect();
    let asked = asked(&typed, cellar)?;
    let policy = Policy::of(cellar);
    let holding = asked
        .place
        .and_then(|it| Holding::of(cellar, it.key, &policy));
    let found = fits(&asked.said, holding.as_ref());
    let is_said = found.first().is_some_and(Fit::is_said);
    if !is_said && !asked.said.is_empty() && asked.place.is_none() && !session.json {
        return Err(Failure::input(format!(
            "Nothing here is known by `{}`; say what you see, smell or taste in other words, or list all with `leesline trouble`.",
            asked.said
        )));
    }
    let follows = match asked.place {
        Some(place) => Some(followed(place.key, &opened)?),
        None => None,
    };
    if session.json {
        return Ok(Said::json(&document(
            &asked,
            &found,
            follows.as_ref(),
            cellar,
        )));
    }
    let mut page = Page::default();
    if let Some(place) = asked.place {
        of_place(place, cellar, &mut page);
    }
    if is_said {
        of_what_was_said(&found, asked.place, cellar, &mut page);
    } else {
        of_what_the_book_has(&found, asked.place.is_some(), &mut page);
    }
    if let (Some(follows), Some(place)) = (follows, asked.place) {
        let is_marked = cellar
            .wine(place.key)
            .is_some_and(|it| !it.troubles.is_empty());
        // Nobody is to be alarmed by a smell that has no name yet.
        if is_marked {
            add_follows(&follows, place.key, cellar, &mut page);
        }
    }
    Ok(page.into())
}

/// The fault that is meant in full, and which others may be it.
fn of_what_was_said(found: &[Fit], place: Option<&Thing>, cellar: &Snapshot, page: &mut Page) {
    let Some((best, others)) = found.split_first() else {
        return;
    };
    told(best, page);
    if !others.is_empty() {
        page.line("\nOthers that may be it");
        listed(&others[..others.len().min(OTHERS)], page);
    }
    to_do(best.fault, place, cellar, page);
}

/// What the book makes likely of a place; without one, all there is.
fn of_what_the_book_has(found: &[Fit], is_of_place: bool, page: &mut Page) {
    if !is_of_place {
        page.line("What is it? Say a word of it: `leesline trouble PLACE egg`.");
        return listed(found, page);
    }
    let likely = found.iter().filter(|it| it.is_likely()).count();
    page.line(if likely > 0 {
        "\nWhat the book makes more likely. Say what you see, smell or taste to narrow it."
    } else {
        "\nThe book has no sign of a fault. Say what you see, smell or taste."
    });
    listed(&found[..likely], page);
}

/// A first word that names a place exactly is that; words that say a fault are words; else the first
/// may be the beginning of a name.
fn asked<'a>(typed: &[&str], cellar: &'a Snapshot) -> Result<Asked<'a>, Failure> {
    let words = |place, said: &[&str]| Asked {
        place,
        said: said.join(" "),
    };
    let Some((first, rest)) = typed.split_first() else {
        return Ok(words(None, typed));
    };
    if let Some(place) = named(first, cellar) {
        return Ok(words(Some(place), rest));
    }
    if trouble::meant(first).is_some() {
        return Ok(words(None, typed));
    }
    let vessel = cellar.find(Sort::Vessel, first);
    match vessel
        .as_ref()
        .ok()
        .copied()
        .or_else(|| cellar.find(Sort::Run, first).ok())
    {
        Some(place) => Ok(words(Some(place), rest)),
        // A name has a capital, a number or a blank in it; what is noticed seldom.
        None if first.contains(|it: char| it.is_uppercase() || it.is_numeric() || it == ' ')
            && trouble::meant(&typed.join(" ")).is_some() =>
        {
            let unknown = vessel.err().map_or(String::new(), |it| it.to_string());
            Err(Failure::input(unknown))
        }
        None => Ok(words(None, typed)),
    }
}

/// The vessel or run of that name, the run in that slot, or what holds the batch of that name.
fn named<'a>(name: &str, cellar: &'a Snapshot) -> Option<&'a Thing> {
    let wanted = name.trim().to_lowercase();
    let is_called = |it: &&Thing| it.name().to_lowercase() == wanted;
    let of_sort = |sort| cellar.open(sort).find(is_called);
    let place = of_sort(Sort::Vessel).or_else(|| of_sort(Sort::Run));
    let place = place.or_else(|| verbs::bottle(name, cellar).map(|it| it.0));
    place.or_else(|| {
        let batch = of_sort(Sort::Batch)?.key;
        let places = cellar.open(Sort::Vessel).chain(cellar.open(Sort::Run));
        let mut places = places.filter(|it| {
            let wine = cellar.wine(it.key);
            wine.is_some_and(|it| it.main_batch() == Some(batch))
        });
        places.next()
    })
}

/// What follows for a place, with what the book has of gifts and of how wines took their names.
pub(super) fn followed(place: Key, opened: &Opened) -> Result<Follows, Failure> {
    let entries = living(opened, &FOLLOWED)?;
    let entries = entries.iter().map(|it| (&it.entry.draft, &it.flows[..]));
    Ok(follow(place, &opened.cellar, entries))
}

/// What follows once it is marked, for the line that says so.
pub(super) fn follows_page(place: Key, opened: &Opened) -> Result<Page, Failure> {
    let mut page = Page::default();
    add_follows(&followed(place, opened)?, place, &opened.cellar, &mut page);
    Ok(page)
}

fn add_follows(follows: &Follows, place: Key, cellar: &Snapshot, page: &mut Page) {
    let lines = follows.lines(place, cellar);
    if !lines.is_empty() {
        page.line("\nWhere else, and whom to tell");
    }
    for line in lines {
        page.wrapped("  ", &line, WIDTH);
    }
}

fn of_place(place: &Thing, cellar: &Snapshot, page: &mut Page) {
    let wine = cellar.wine(place.key);
    let batch = wine.and_then(Wine::main_batch);
    let holds = match (wine, batch) {
        (None, _) => Some("empty by the book"),
        // Bottles are mostly called as their batch is.
        (Some(_), Some(batch)) => Some(cellar.name(batch)).filter(|it| *it != place.name()),
        (Some(_), None) => Some("wine"),
    };
    let name = place.name();
    page.line(holds.map_or_else(|| name.to_owned(), |it| format!("{name}: {it}")));
    for (word, at_ms) in wine.into_iter().flat_map(|it| &it.troubles) {
        page.line(format!(
            "  marked with {} on {}; `leesline trouble over {} --fault {word}` lifts it",
            trouble::name(word),
            cellar.now.at(*at_ms).day_words(),
            shell_word(place.name()),
        ));
    }
}

/// All of a fault, and what the book says of it here.
fn told(fit: &Fit, page: &mut Page) {
    let name = fit.fault.name;
    page.line(format!("\n{}{}", name[..1].to_uppercase(), &name[1..]));
    if let Some(warning) = fit.fault.warning() {
        page.wrapped("  ! ", &warning, WIDTH);
    }
    if let Some(sentence) = fit.sentence() {
        page.wrapped("  ", &sentence, WIDTH);
    }
    for (heading, sentences) in fit.fault.sections() {
        page.line(format!("\n  {heading}"));
        for sentence in sentences {
            page.wrapped("  - ", sentence, WIDTH);
        }
    }
}

fn listed(fits: &[Fit], page: &mut Page) {
    for fit in fits {
        page.line(format!("  {:<14}{}", fit.fault.word, fit.fault.name));
        if let Some(sentence) = fit.sentence() {
            page.wrapped("                ", &sentence, WIDTH);
        }
    }
}

/// The entries that are an answer, as commands, and how it is marked.
fn to_do(fault: &Fault, place: Option<&Thing>, cellar: &Snapshot, page: &mut Page) {
    let Some(place) = place else {
        return;
    };
    page.line("\nTo write down");
    page.line(format!(
        "  leesline trouble mark {} {}",
        shell_word(place.name()),
        fault.word
    ));
    for (what, suggestion) in fault.answers(place, cellar) {
        let besides = json::besides(&suggestion).map_or(String::new(), |it| format!(", {it}"));
        page.line(format!("  {}", json::command_line(&suggestion)));
        page.line(format!("    {what}{besides}"));
    }
}

fn document(asked: &Asked, found: &[Fit], follows: Option<&Follows>, cellar: &Snapshot) -> Value {
    let fits: Vec<Value> = found
        .iter()
        .map(|it| fit(it, asked.place, cellar))
        .collect();
    let mut document = json::heading(cellar);
    document
        .put(
            "place",
            asked
                .place
                .map_or(Value::Null, |it| json::reference(it.key, cellar)),
        )
        .put("said", asked.said.clone())
        .put("fits", fits)
        .put(
            "follows",
            follows.map_or(Value::Null, |it| follows_json(it, cellar)),
        );
    document.value()
}

fn fit(fit: &Fit, place: Option<&Thing>, cellar: &Snapshot) -> Value {
    let fault = fit.fault;
    let sentences =
        |all: &[&str]| -> Vec<Value> { all.iter().map(|it| value!({ "sentence": it })).collect() };
    let said = |all: &[String]| -> Vec<Value> {
        all.iter().map(|it| value!({ "sentence": it })).collect()
    };
    let section = |wanted: &str| -> Vec<Value> {
        let all: Vec<Section> = fault.sections();
        let found = all.iter().find(|it| it.0 == wanted);
        found.map_or(Vec::new(), |it| sentences(&it.1))
    };
    let answers = place.map_or(Vec::new(), |it| fault.answers(it, cellar));
    let commands: Vec<Value> = answers
        .iter()
        .map(|(what, suggestion)| {
            value!({
                "sentence": what,
                "command": json::command(suggestion),
                "needs": suggestion.needs,
            })
        })
        .collect();
    value!({
        "fault": fault.word,
        "name": fault.name,
        "said": fit.is_said(),
        "speaks_for": said(&fit.speaks_for),
        "speaks_against": said(&fit.speaks_against),
        "notice": { "sentence": fault.notice },
        "tell": sentences(fault.tell),
        "today": sentences(fault.today),
        "never": sentences(fault.never),
        "saved": { "sentence": fault.saved },
        "safe": fault.safety.word(),
        "drink": { "sentence": fault.drink },
        "cautions": section("Caution"),
        "sources": sentences(&fault.sources()),
        "commands": commands,
    })
}

fn follows_json(follows: &Follows, cellar: &Snapshot) -> Value {
    let mut document = whereabouts_json(&follows.whereabouts, cellar);
    let kin = follows.kin.iter().map(|it| {
        let mut kin = whereabouts_json(&it.whereabouts, cellar);
        kin.put("batch", json::reference(it.batch, cellar))
            .put("tie", it.tie.word());
        kin.value()
    });
    document
        .put(
            "batch",
            value!(follows.batch.map(|it| json::reference(it, cellar))),
        )
        .put("kin", kin.collect::<Vec<Value>>());
    document.value()
}

fn whereabouts_json(at: &Whereabouts, cellar: &Snapshot) -> json::Object {
    let references = |keys: &[Key]| -> Vec<Value> {
        keys.iter().map(|it| json::reference(*it, cellar)).collect()
    };
    let runs: Vec<Value> = at
        .runs
        .iter()
        .map(|(run, count)| value!({ "run": json::reference(*run, cellar), "count": count }))
        .collect();
    let gifts: Vec<Value> = at
        .gifts
        .iter()
        .map(|it| {
            value!({
                "whom": (!it.whom.is_empty()).then_some(&it.whom),
                "run": json::reference(it.run, cellar),
                "count": it.given - it.back,
                "last": json::time(it.last_ms, cellar),
            })
        })
        .collect();
    let mut object = json::Object::default();
    object
        .put("vessels", references(&at.vessels))
        .put("runs", runs)
        .put("gifts", gifts);
    object
}
