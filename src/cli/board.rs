//! `board`: what needs someone, and what every vessel holds. Words and columns only, so that a
//! prompt, a mail and a screen reader can take it.

use clap::{ArgMatches, Command};
use serde_json::Value;

use crate::cellar::attention::{Holding, Look, Policy, Reason, about, glance, words};
use crate::cellar::bottling::Package;
use crate::cellar::entry::Property;
use crate::cellar::racks::Racks;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Key, Sort, Thing};
use crate::exchange::json;
use crate::exchange::page::Page;

use super::failure::Failure;
use super::session::Session;
use super::{LISTS, Own, Said, due};

pub(super) static BOARD: Own = Own {
    name: "board",
    sentence: "Show what needs you, and what every vessel holds.",
    heading: LISTS,
    arguments: |it: Command| it,
    run,
};

fn run(session: &Session, _: &ArgMatches) -> Result<Said, Failure> {
    let opened = session.open()?;
    let reasons = opened.reasons();
    if session.json {
        return Ok(Said::json(&document(&opened.cellar, &reasons)));
    }
    Ok(words_of(&opened.cellar, &reasons).into())
}

fn document(cellar: &Snapshot, reasons: &[Reason]) -> Value {
    let policy = Policy::of(cellar);
    let look = Look::at(cellar, &policy);
    let of = |key: Key| -> Vec<Value> {
        about(key, reasons, cellar)
            .map(|it| json::reason(it, &look))
            .collect()
    };
    let vessels = cellar.open(Sort::Vessel).map(|it| {
        let mut object = json::vessel(it, cellar, &policy);
        object.put("reasons", of(it.key));
        object.value()
    });
    let racks = Racks::of(&cellar.things);
    let runs = cellar
        .open(Sort::Run)
        .filter(|it| cellar.wine(it.key).is_some())
        .map(|it| {
            let mut object = json::run(it, &racks, cellar, &policy);
            object.put("reasons", of(it.key));
            object.value()
        });
    let mut object = json::heading(cellar);
    object
        .put("vessels", vessels.collect::<Vec<_>>())
        .put("bottles", runs.collect::<Vec<_>>())
        .put(
            "reasons",
            reasons
                .iter()
                .map(|it| json::reason(it, &look))
                .collect::<Vec<_>>(),
        );
    object.value()
}

fn words_of(cellar: &Snapshot, reasons: &[Reason]) -> Page {
    let mut page = Page::default();
    page.line(format!(
        "{}, {}",
        cellar.settings().name,
        cellar.now.day_words()
    ));
    page.line("");
    let shown = glance(reasons);
    match (shown.len(), reasons.len()) {
        (_, 0) => page.line("Nothing needs you."),
        (shown, all) if shown < all => page.line(format!(
            "Needs you ({shown} of {all}; `leesline due` lists them all)"
        )),
        _ => page.line("Needs you"),
    }
    let mut rows = due::rows(cellar, shown.iter().map(|it| &reasons[it.at]));
    for (row, glimpse) in rows.iter_mut().zip(&shown) {
        if let Some(sentence) = row.last_mut() {
            *sentence += &glimpse.behind();
        }
    }
    page.rows(&rows);
    let vessels: Vec<&Thing> = cellar.open(Sort::Vessel).collect();
    if !vessels.is_empty() {
        page.line("\nVessels");
        let rows: Vec<Vec<String>> = vessels.into_iter().map(|it| row(it, cellar)).collect();
        page.rows(&rows);
    }
    let runs: Vec<Vec<String>> = cellar
        .open(Sort::Run)
        .filter_map(|it| {
            let count = cellar.wine(it.key)?.count_words(Package::of(it).label());
            Some(vec![format!("  {}", it.name()), count])
        })
        .collect();
    if !runs.is_empty() {
        page.line("\nBottles");
        page.rows(&runs);
    }
    page
}

/// Name, wine, how full, how old, free SO2 or gravity.
fn row(vessel: &Thing, cellar: &Snapshot) -> Vec<String> {
    let policy = Policy::of(cellar);
    let name = format!("  {}", vessel.name());
    let Some(holding) = Holding::of(cellar, vessel.key, &policy) else {
        return vec![name, "empty".to_owned()];
    };
    let batch = holding.batch.map_or("wine", Thing::name).to_owned();
    let amount = holding.wine.amount_words();
    let volume = match vessel.capacity() {
        Some(full) if holding.wine.unmeasured.is_none() => format!("{amount} of {full}"),
        _ => amount,
    };
    let stage = holding.stage();
    let words = match (stage, holding.wine.number(Property::Gravity)) {
        _ if cellar.is_being_bottled(vessel.key) => "being bottled".to_owned(),
        (crate::cellar::attention::Stage::Fermenting, Some(gravity)) => {
            format!("{}, {}", stage.label(), words::gravity(gravity))
        }
        _ => stage.words(),
    };
    let ferment = holding.fermentation().map(|it| it.words());
    if let Some(ferment) = ferment.filter(|it| !it.is_empty()) {
        return vec![name, batch, volume, format!("{words}, {ferment}")];
    }
    vec![name, batch, volume, words, free_so2(&holding)]
}

/// `free SO2 about 15 mg/L (12 to 19), aim 26`; `free SO2 presumed about 15 mg/L` where no test has seen it.
pub(super) fn free_so2(holding: &Holding) -> String {
    let presumed = holding.presumed_free_so2_at(holding.now);
    let is = presumed.map_or("", |_| "presumed ");
    let by = presumed.map_or("", |_| ", by what went in");
    let Some(band) = holding.expected_free_so2().or(presumed) else {
        return String::new();
    };
    let aim = band
        .aim
        .map_or_else(String::new, |it| format!(", aim {it:.0}"));
    if let Some(below) = band.below {
        return format!("free SO2 below {below:.0} mg/L{aim}");
    }
    format!(
        "free SO2 {is}about {:.0} mg/L ({:.0} to {:.0}){by}{aim}",
        band.mid, band.low, band.high
    )
}
