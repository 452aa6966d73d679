//! `bottles`: what is on hand, run by run.

use clap::{Arg, ArgAction, ArgMatches, value_parser};
use serde_json::Value;

use crate::cellar::attention::{Holding, Policy};
use crate::cellar::bottling::Package;
use crate::cellar::entry::Posture;
use crate::cellar::on_hand::{OnHand, Sought, on_hand};
use crate::cellar::racks::Racks;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::telling;
use crate::cellar::thing::{Sort, field};
use crate::cellar::trouble;
use crate::cellar::window::window;
use crate::exchange::json;
use crate::exchange::page::Page;

use super::failure::Failure;
use super::session::Session;
use super::{LISTS, Own, Said};

pub(super) static BOTTLES: Own = Own {
    name: "bottles",
    sentence: "List the bottles by run: how many of which size, how many may be drunk, where they are.",
    heading: LISTS,
    arguments: |it| {
        it.args([
            text(
                "run",
                "NAME",
                "Only runs whose name begins so, or with that mark.",
            ),
            number("year", "YEAR", "Only of that harvest."),
            text(
                "place",
                "PLACE",
                "Only in that slot, rack or shelf: `Rack A/B3`.",
            )
            .alias("slot"),
            number("size", "ML", "Only of that size."),
            Arg::new("reserved")
                .long("reserved")
                .action(ArgAction::SetTrue)
                .help("Only those kept for someone or something."),
        ])
    },
    run: bottles,
};

pub(super) fn text(name: &'static str, value: &'static str, help: &'static str) -> Arg {
    Arg::new(name).long(name).value_name(value).help(help)
}

pub(super) fn number(name: &'static str, value: &'static str, help: &'static str) -> Arg {
    text(name, value, help).value_parser(value_parser!(i64).range(1..=100_000))
}

pub(super) fn given(matches: &ArgMatches, name: &str) -> Option<String> {
    matches.get_one::<String>(name).cloned()
}

fn bottles(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let opened = session.open()?;
    let cellar = &opened.cellar;
    let sought = Sought {
        run: given(matches, "run"),
        year: matches.get_one("year").copied(),
        place: given(matches, "place"),
        size_ml: matches.get_one("size").copied(),
        reserved: matches.get_flag("reserved"),
    };
    let found = on_hand(&sought, cellar);
    let racks = Racks::of(&cellar.things);
    // Without a question the list has the runs that are drunk up as well.
    let gone = cellar
        .open(Sort::Run)
        .filter(|run| sought == Sought::default() && !found.iter().any(|it| it.run.key == run.key));
    let policy = Policy::of(cellar);
    if session.json {
        let mut document = json::heading(cellar);
        let left = found.iter().map(|it| {
            let mut object = json::run(it.run, &racks, cellar, &policy);
            json::lots(
                &mut object,
                it.lots.iter().copied(),
                it.uncounted,
                it.withheld,
                &racks,
            );
            object.value()
        });
        let gone = gone.map(|it| json::run(it, &racks, cellar, &policy).value());
        document.put("bottles", left.chain(gone).collect::<Vec<Value>>());
        return Ok(Said::json(&document.value()));
    }
    let mut rows: Vec<Vec<String>> = found
        .iter()
        .map(|it| row(it, &racks, cellar, &policy))
        .collect();
    rows.extend(gone.map(|it| {
        let is_filled = cellar.filling == Some(it.key);
        let said = if is_filled {
            "being bottled, none filled yet"
        } else {
            "none left"
        };
        vec![it.name().to_owned(), said.to_owned()]
    }));
    let mut page = Page::default();
    match (rows.is_empty(), sought == Sought::default()) {
        (true, true) => page.line("There are no bottles yet."),
        (true, false) => page.line("There are no such bottles."),
        _ => page.rows(&rows),
    }
    Ok(page.into())
}

fn row(bottles: &OnHand, racks: &Racks, cellar: &Snapshot, policy: &Policy) -> Vec<String> {
    let sizes: Vec<String> = bottles
        .sizes()
        .iter()
        .map(|(size_ml, count)| Package::of(bottles.run).times(*count, *size_ml))
        .collect();
    // One is one, however little is known of how much wine is in it.
    let is_about = bottles.about && bottles.count() > 1;
    let about = if is_about { "about " } else { "" };
    let mut drink = format!("{about}{} to drink", bottles.drinkable());
    if bottles.uncounted {
        "not counted".clone_into(&mut drink);
    }
    if let Some(withheld) = bottles.withheld {
        drink = format!("{about}{} {withheld}", bottles.count());
    } else {
        drink.push_str(&when(bottles, cellar, policy));
    }
    if let Some(begun) = bottles.begun(cellar) {
        drink = format!("{drink}, {begun}");
    }
    if let Some(marked) = cellar.wine(bottles.run.key).and_then(trouble::marked) {
        drink = format!("{drink}, marked: {marked}");
    }
    for (whom, count) in bottles.kept_for() {
        drink = format!("{drink}, {count} kept for {whom}");
    }
    for (found, count) in bottles.amiss() {
        drink = format!("{drink}, {count} with {found}");
    }
    let closure = bottles.run.text(field::CLOSURE);
    let standing = bottles
        .lots
        .iter()
        .filter(|it| telling::posture_words(closure, it.posture) == Posture::Standing.label());
    let standing: i64 = standing.map(|it| it.count).sum();
    let mut place = bottles.where_exactly(racks);
    if bottles.uncounted && place.is_empty() {
        bottles.run.text(field::ROOM).clone_into(&mut place);
    }
    if standing > 0 {
        let sign = if place.is_empty() { "" } else { ", " };
        place = format!("{place}{sign}{standing} standing");
    }
    vec![
        bottles.run.name().to_owned(),
        bottles.year.map_or_else(String::new, |it| it.to_string()),
        sizes.join(", "),
        drink,
        place,
    ]
}

/// When its bottles are to be drunk: ` from 3 May 2027 by about Jan 2029`, nothing of either where it is
/// not known.
fn when(bottles: &OnHand, cellar: &Snapshot, policy: &Policy) -> String {
    let holding = Holding::of(cellar, bottles.run.key, policy);
    let window = holding.and_then(|it| window(&it));
    // Rested and not yet in their window, they wait for that.
    let opens = window.as_ref().map(|it| it.opens.utc_ms);
    let from = bottles.waits(cellar).map(|it| it.1).max(opens);
    let from = from.filter(|it| *it > cellar.now.utc_ms);
    let from = from.map_or_else(String::new, |it| {
        format!(" from {}", cellar.now.at(it).day_words())
    });
    let Some(window) = window else {
        return from;
    };
    let day = if window.closes_low == window.closes_high {
        window.closes.day_words()
    } else {
        format!("about {}", window.closes.date().format("%b %Y"))
    };
    if window.closes < cellar.now {
        format!("{from}, window closed {day}")
    } else {
        format!("{from} by {day}")
    }
}
