//! Short lists of what there is: vessels, batches, plans, supplies.

use clap::{Arg, ArgAction, Command};
use serde_json::{Value, json as value};

use crate::cellar::attention::Policy;
use crate::cellar::attention::words;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::supplies::to_buy::{ToBuy, far_words, soon_words, to_buy};
use crate::cellar::supplies::{self, Lot, Supply};
use crate::cellar::telling;
use crate::cellar::thing::{Sort, Thing, field};
use crate::exchange::json;
use crate::exchange::page::Page;

use super::failure::Failure;
use super::session::Session;
use super::{LISTS, Own, Said};

pub(super) static VESSELS: Own = Own {
    name: "vessel list",
    sentence: "List the vessels.",
    heading: LISTS,
    arguments: nothing,
    run: |session, _| {
        list(session, "vessels", Sort::Vessel, vessel, |it, cellar| {
            json::vessel(it, cellar, &Policy::of(cellar)).value()
        })
    },
};

pub(super) static BATCHES: Own = Own {
    name: "batch list",
    sentence: "List the batches.",
    heading: LISTS,
    arguments: nothing,
    run: |session, _| list(session, "batches", Sort::Batch, batch, batch_json),
};

pub(super) static PLANS: Own = Own {
    name: "plan list",
    sentence: "List the plans that can be started.",
    heading: LISTS,
    arguments: nothing,
    run: |session, _| list(session, "plans", Sort::Plan, plan, plan_json),
};

pub(super) static STOCK: Own = Own {
    name: "stock",
    sentence: "List the supplies and what is left of them, or what is to be bought.",
    heading: LISTS,
    arguments: |command| {
        let help = "What the bottlings and steps ahead take and the book lacks: what to buy soon, then what later.";
        command.arg(
            Arg::new("to-buy")
                .long("to-buy")
                .action(ArgAction::SetTrue)
                .help(help),
        )
    },
    run: |session, matches| {
        if matches.get_flag("to-buy") {
            return shopping(session);
        }
        stock(session)
    },
};

fn stock(session: &Session) -> Result<Said, Failure> {
    let opened = session.open()?;
    let cellar = &opened.cellar;
    let policy = Policy::of(cellar);
    let all = supplies::supplies(cellar, &policy, &opened.reasons());
    let glance = supplies::sulfite(cellar, &policy);
    if session.json {
        let mut document = json::heading(cellar);
        let glance = glance.map(|it| json::sulfite_glance(&it));
        let lots = all.iter().flat_map(|it| &it.lots);
        let lots: Vec<Value> = lots.map(|it| json::lot_of(it, cellar)).collect();
        let together = all.iter().map(|it| json::supply_of(it, cellar));
        document
            .put("sulfite", value!(glance))
            .put("supplies", lots)
            .put("substances", together.collect::<Vec<Value>>());
        return Ok(Said::json(&document.value()));
    }
    let mut page = Page::default();
    if all.is_empty() {
        page.line("There are no supplies yet; `leesline buy` writes one down.");
    }
    if let Some(glance) = glance {
        page.line(format!("{}.", telling::capital(&glance.words())));
    }
    page.rows(
        &all.iter()
            .flat_map(|it| supply(it, cellar))
            .collect::<Vec<_>>(),
    );
    Ok(page.into())
}

fn shopping(session: &Session) -> Result<Said, Failure> {
    let opened = session.open()?;
    let cellar = &opened.cellar;
    let policy = Policy::of(cellar);
    let wanted = to_buy(cellar, &policy, &opened.reasons());
    if session.json {
        let mut document = json::heading(cellar);
        let all = wanted.iter().map(|it| json::to_buy(it, cellar));
        document.put("to_buy", all.collect::<Vec<Value>>());
        return Ok(Said::json(&document.value()));
    }
    let mut page = Page::default();
    if wanted.is_empty() {
        let far = far_words();
        page.line(format!(
            "Nothing is short for what is planned in the next {far}."
        ));
    }
    let row = |it: &ToBuy| {
        vec![
            it.what(),
            it.how_much(),
            it.there_words(),
            it.by_words(cellar),
            format!("for {}", it.need.for_what(cellar)),
        ]
    };
    let (soon, later): (Vec<&ToBuy>, Vec<&ToBuy>) =
        wanted.iter().partition(|it| it.is_soon(cellar, &policy));
    let within = soon_words(&policy);
    for (heading, part) in [
        (format!("To buy within {within}:"), soon),
        ("To buy later:".to_owned(), later),
    ] {
        if !part.is_empty() {
            page.line(heading);
            page.rows(&part.into_iter().map(row).collect::<Vec<_>>());
        }
    }
    Ok(page.into())
}

pub(super) fn nothing(command: Command) -> Command {
    command
}

/// Things of a sort that are in use, a row or an object each.
fn list(
    session: &Session,
    key: &str,
    sort: Sort,
    row: impl Fn(&Thing, &Snapshot) -> Vec<String>,
    object: impl Fn(&Thing, &Snapshot) -> Value,
) -> Result<Said, Failure> {
    let opened = session.open()?;
    let cellar = &opened.cellar;
    let things: Vec<&Thing> = cellar.open(sort).collect();
    if session.json {
        let mut document = json::heading(cellar);
        document.put(
            key,
            things
                .iter()
                .map(|it| object(it, cellar))
                .collect::<Vec<_>>(),
        );
        return Ok(Said::json(&document.value()));
    }
    let mut page = Page::default();
    if things.is_empty() {
        page.line(format!("There are no {key} yet."));
    }
    let rows: Vec<Vec<String>> = things.iter().map(|it| row(it, cellar)).collect();
    page.rows(&rows);
    Ok(page.into())
}

fn vessel(vessel: &Thing, cellar: &Snapshot) -> Vec<String> {
    let holds = cellar.wine(vessel.key).map_or("empty".to_owned(), |wine| {
        let batch = wine.main_batch().map_or("wine", |it| cellar.name(it));
        format!("{} of {batch}", wine.amount_words())
    });
    let size = vessel
        .capacity()
        .map_or_else(String::new, |it| it.to_string());
    let kind = vessel.vessel_kind().label().to_owned();
    vec![
        vessel.name().to_owned(),
        kind,
        size,
        vessel.text(field::ROOM).to_owned(),
        holds,
    ]
}

/// Where wine of a batch is now: vessels and runs by name.
fn places<'a>(batch: &Thing, cellar: &'a Snapshot) -> Vec<&'a Thing> {
    let holds = |place: &&Thing| {
        cellar
            .wine(place.key)
            .is_some_and(|it| it.makeup.iter().any(|it| it.batch == Some(batch.key)))
    };
    cellar.all().filter(holds).collect()
}

fn batch(batch: &Thing, cellar: &Snapshot) -> Vec<String> {
    let places: Vec<&str> = places(batch, cellar).into_iter().map(Thing::name).collect();
    vec![
        batch.name().to_owned(),
        batch.wine_words().to_owned(),
        batch.text(field::KIND).to_owned(),
        places.join(", "),
    ]
}

fn batch_json(batch: &Thing, cellar: &Snapshot) -> Value {
    let places: Vec<Value> = places(batch, cellar)
        .into_iter()
        .map(|it| json::reference(it.key, cellar))
        .collect();
    value!({
        "uid": batch.uid.to_string(),
        "name": batch.name(),
        "wine": batch.wine().word(),
        "wine_words": batch.wine_words(),
        "source": batch.text(field::KIND),
        "malo": batch.malo().word(),
        "vintage": batch.int(field::VINTAGE),
        "aim_molecular_mg_l": batch.real(field::AIM),
        "places": places,
    })
}

fn plan(plan: &Thing, _: &Snapshot) -> Vec<String> {
    let steps = plan.text(field::STEPS).lines().count() as i64;
    vec![plan.name().to_owned(), words::count(steps, "step")]
}

fn plan_json(plan: &Thing, _: &Snapshot) -> Value {
    let steps: Vec<Value> = plan
        .text(field::STEPS)
        .lines()
        .map(|it| value!({ "sentence": it }))
        .collect();
    value!({ "uid": plan.uid.to_string(), "name": plan.name(), "steps": steps })
}

/// A row a lot, the one to take from first; how long they last stands by that.
fn supply(supply: &Supply, cellar: &Snapshot) -> Vec<Vec<String>> {
    let lots = supply.lots.iter().enumerate();
    let row = |(at, lot): (usize, &Lot)| {
        let left = lot
            .left
            .map_or("amount not known".to_owned(), telling::dose);
        let bought = lot.thing.int(field::BOUGHT);
        let bought = bought.map(|it| format!("bought {}", cellar.now.at(it).day_words()));
        let cost = lot.cost(cellar).map(|it| format!("cost {it}"));
        let kept = bought
            .into_iter()
            .chain(lot.best_before(cellar))
            .chain(cost);
        let kept: Vec<String> = kept.collect();
        let strength = lot.strength.filter(|it| it[1] < 100.0);
        let strength = strength.map_or_else(String::new, |[low, usual, high]| {
            format!("~{usual:.0} % strong ({low:.0}–{high:.0})")
        });
        let (planned, lasting) = if at == 0 {
            (planned(supply), supply.lasting())
        } else {
            (String::new(), String::new())
        };
        vec![
            lot.name(cellar),
            left,
            planned,
            lasting,
            strength,
            kept.join(", "),
        ]
    };
    lots.map(row).collect()
}

/// `39 planned`, `short of 5`.
fn planned(supply: &Supply) -> String {
    match (supply.planned(), supply.remains()) {
        (_, Some(rest)) if rest.amount() < 0 => {
            format!("short of {}", telling::dose(rest.times(-1)))
        }
        (Some(planned), _) => format!("{} planned", telling::dose(planned)),
        (None, _) => String::new(),
    }
}
