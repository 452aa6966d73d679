//! `bottle count`: bottles filled since the last count, each on disk before it is said.

use clap::{Arg, ArgMatches, Command};
use leesline_calc::quantity::Units;
use serde_json::json as value;

use crate::cellar::amount::Volume;
use crate::cellar::bottling::{self, Package, Tally, beyond, found_by};
use crate::cellar::entry::{Draft, FillEvent, Kind};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Wine;
use crate::cellar::thing::{Key, Sort, Thing, field};
use crate::exchange::json;
use crate::store::{Filter, Listed};

use super::failure::Failure;
use super::session::{Opened, Session};
use super::{Own, Said, agree};

pub(super) static COUNT: Own = Own {
    name: "bottle count",
    sentence: "Count bottles of the bottling under way, or correct the count of a finished one, which asks first.",
    heading: "Bottling and after",
    arguments,
    run,
};

fn arguments(command: Command) -> Command {
    command
        .arg(
            Arg::new("run")
                .value_name("RUN")
                .required(true)
                .help("Which bottles, by name or mark."),
        )
        .arg(
            Arg::new("filled")
                .value_name("NUMBER")
                .required(true)
                .allow_negative_numbers(true)
                .help("How many more, -1 takes one back; for spilled or drawn how much, such as \"100 mL\", and -- \"-100 mL\" takes it back."),
        )
        .arg(
            Arg::new("size")
                .long("size")
                .value_name("ML")
                .help("Bottle size in mL; that last chosen for the bottling if left out."),
        )
        .arg(
            Arg::new("event")
                .long("event")
                .value_name("EVENT")
                .value_parser(["filled", "spilled", "drawn", "broken", "refused"])
                .default_value("filled")
                .help("What became of them."),
        )
        .arg(agree::yes())
}

fn run(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let text = |id: &str| matches.get_one::<String>(id).map(String::as_str);
    let event = text("event").and_then(FillEvent::from_word);
    let event = event.unwrap_or(FillEvent::Filled);
    let typed = text("filled").unwrap_or_default();
    let size = text("size").map(|it| whole("size in mL", it)).transpose()?;
    let mut opened = session.open()?;
    let run = opened
        .cellar
        .find(Sort::Run, text("run").unwrap_or_default())?;
    let key = run.key;
    let (number, size_ml) = match event {
        FillEvent::Spilled | FillEvent::Drawn => {
            let ml = millilitres(typed, event, opened.cellar.settings().units)?;
            (ml.signum(), ml.abs())
        }
        _ => {
            let number = whole("number of bottles", typed)?;
            let own = [field::FILL_SIZE, field::SIZE];
            let size_ml = size.or_else(|| own.into_iter().find_map(|it| run.int(it)));
            let size_ml = size_ml.unwrap_or(750);
            let is_full = run.int(field::SIZE).is_none_or(|it| it == size_ml);
            if event == FillEvent::Filled && number > 0 && is_full {
                not_more_than_is_left(run, number * size_ml, &opened.cellar)?;
            }
            (number, size_ml)
        }
    };
    if event == FillEvent::Filled && run.int(field::FINISHED).is_some() {
        return recount(session, opened, (key, size_ml, number), matches);
    }
    let event = if number < 0 { event.opposite() } else { event };
    let now_ms = opened.cellar.now.utc_ms;
    opened
        .store
        .fill(key, event, size_ml, number.abs(), now_ms)?;
    opened.refresh()?;
    let mut said = counted(session, &opened, key);
    if number > 0 {
        said.notes.extend(more_than_there(key, &opened)?);
    }
    Ok(said)
}

/// A run that is finished has more bottles than were counted, or fewer: the entry that begins it is written anew.
fn recount(
    session: &Session,
    mut opened: Opened,
    (run, size_ml, more): (Key, i64, i64),
    matches: &ArgMatches,
) -> Result<Said, Failure> {
    let (start, draft) = opened.store.recounted(run, size_ml, more)?;
    let clock = opened.clock();
    let counts = |draft: &Draft| Tally::of(&draft.fillings).bottles();
    let package = opened
        .cellar
        .thing(run)
        .map(Package::of)
        .unwrap_or_default();
    let what = format!(
        "{} is finished with {}; this writes entry {} anew with {}.",
        opened.cellar.name(run),
        package.count(counts(&start.draft)),
        start.key.0,
        package.count(counts(&draft)),
    );
    if !agree::is_given(matches) {
        let effects = opened.store.preview_amend(start.key, &draft, clock)?;
        agree::ask(&format!(
            "{what}\n{}",
            effects.lines(&[&draft], &opened.cellar).join("\n")
        ))?;
    }
    let written = opened.store.amend(start.key, &draft, clock)?;
    opened.refresh()?;
    let mut said = counted(session, &opened, run);
    if !session.json {
        let changes = written.effects.lines(&[&draft], &opened.cellar).join(" ");
        said.notes
            .push(format!("Entry {} is voided. {changes}", start.key.0));
    }
    said.notes.extend(more_than_there(run, &opened)?);
    Ok(said)
}

/// How many there are now.
fn counted(session: &Session, opened: &Opened, run: Key) -> Said {
    let count = opened.cellar.wine(run).map_or(0, Wine::bottle_count);
    if session.json {
        let mut object = json::heading(&opened.cellar);
        object
            .put("run", json::reference(run, &opened.cellar))
            .put("count", value!(count));
        return Said::json(&object.value());
    }
    let package = opened
        .cellar
        .thing(run)
        .map(Package::of)
        .unwrap_or_default();
    Said::line(format!(
        "{}: {}.",
        opened.cellar.name(run),
        package.count(count)
    ))
}

/// That more came out of the vessel than the book had in it, and how to put it right.
fn more_than_there(run: Key, opened: &Opened) -> Result<Option<String>, Failure> {
    let filter = Filter {
        thing: Some(run),
        kind: Some(Kind::Bottle),
        living: true,
        ..Filter::default()
    };
    let entries = opened.store.entries(&filter)?;
    let begins = |it: &&Listed| it.entry.draft.filled_from().is_some_and(|it| it.0 == run);
    let Some(start) = entries.iter().find(begins) else {
        return Ok(None);
    };
    let draft = &start.entry.draft;
    let found = found_by(draft, &start.flows);
    let vessel = draft
        .filled_from()
        .map_or("", |it| opened.cellar.name(it.1));
    let back = format!(
        "`bottle count \"{}\" -1` takes it back",
        opened.cellar.name(run)
    );
    Ok((found > Volume::ZERO).then(|| beyond(found, vessel, &back)))
}

fn whole(what: &str, text: &str) -> Result<i64, Failure> {
    text.parse::<i64>()
        .ok()
        .filter(|it| (-100_000..=100_000).contains(it) && *it != 0)
        .ok_or_else(|| Failure::input(format!("`{text}` is no {what}; write a whole number.")))
}

/// What was spilled or drawn, mL; below nought it is taken back. A bare number could be bottles.
fn millilitres(text: &str, event: FillEvent, units: Units) -> Result<i64, Failure> {
    let text = text.trim();
    if !text.ends_with(char::is_alphabetic) {
        return Err(Failure::input(format!(
            "`{text}` does not say of what; write a volume, such as \"{text} mL\", for what was {}.",
            event.word()
        )));
    }
    bottling::millilitres(text, &units).map_err(Failure::input)
}

/// Refuses a keg or bag counted as full for which too little is left: it may well be filled in part.
fn not_more_than_is_left(run: &Thing, wanted_ml: i64, cellar: &Snapshot) -> Result<(), Failure> {
    let left = run.int(field::VESSEL).and_then(|it| cellar.wine(Key(it)));
    let package = Package::of(run);
    match left.and_then(|it| package.more_than_left(wanted_ml, it)) {
        Some(sentence) => Err(Failure::book(sentence)),
        None => Ok(()),
    }
}
