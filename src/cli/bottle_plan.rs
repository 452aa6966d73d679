//! `bottle plan VESSEL`: what a bottling will take, before anything is washed.

use clap::{Arg, ArgAction, ArgMatches, Command};
use leesline_calc::quantity::{Quantity, Units, parse};

use crate::cellar::amount::Volume;
use crate::cellar::attention::{Holding, Policy};
use crate::cellar::bottling::{Closure, Package, Plan, Wish, more_lees, package_of};
use crate::cellar::moment::{self, Moment};
use crate::cellar::plan;
use crate::cellar::thing::Sort;
use crate::exchange::{bottling, json};

use super::failure::Failure;
use super::session::{Opened, Session};
use super::{Own, Said};

pub(super) static PLAN: Own = Own {
    name: "bottle plan",
    sentence: "Work out what a bottling takes: bottles, closures, sanitizer, sulfite, and what is short.",
    heading: "Bottling and after",
    arguments,
    run,
};

fn arguments(command: Command) -> Command {
    let value = |name: &'static str, what: &'static str, help: &'static str| {
        Arg::new(name).long(name).value_name(what).help(help)
    };
    command
        .arg(Arg::new("vessel").value_name("VESSEL").required(true).help("Which vessel."))
        .arg(value("lees", "VOLUME", "What stays behind; none if left out."))
        .arg(
            value("sizes", "SIZES", "Bottles, such as `750,375`, or `20x750,10x375` where there are so many; those on hand if left out.")
        )
        .arg(
            value("package", "PACKAGE", "What it is filled into; bottles if left out.").value_parser(Package::WORDS.to_vec()),
        )
        .arg(
            value("closure", "CLOSURE", "What closes them; cork for bottles if left out.").value_parser(Closure::WORDS.to_vec()),
        )
        .arg(value("on", "DATE", "The day it will be bottled; whether it is rested and protected is asked of that day. The day planned if left out, today where none is."))
        .arg(
            Arg::new("sheet")
                .long("sheet")
                .action(ArgAction::SetTrue)
                .help("As a page with boxes to tick."),
        )
}

fn run(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let text = |id: &str| matches.get_one::<String>(id).map(String::as_str);
    let opened = session.open()?;
    let cellar = &opened.cellar;
    let vessel = cellar.find(Sort::Vessel, text("vessel").unwrap_or_default())?;
    let units = cellar.settings().units;
    let (package, closure) = package_of(text("package"), text("closure")).map_err(Failure::book)?;
    let lees = text("lees").map(|it| lees(it, units)).transpose()?;
    let wine = cellar.wine(vessel.key);
    if let Some(why) = lees.zip(wine).and_then(|it| more_lees(it.0, vessel, it.1)) {
        return Err(Failure::book(why));
    }
    let wish = Wish {
        lees,
        sizes: text("sizes").map_or(Ok(Vec::new()), |it| sizes(it, units))?,
        package,
        closure,
        pace_ms: opened.store.bottling_pace()?,
        ..Wish::default()
    };
    let Some(plan) = Plan::of(vessel, &wish, cellar) else {
        return Err(Failure::book(format!(
            "{} is empty by the book; there is nothing to bottle.",
            vessel.name()
        )));
    };
    let policy = Policy::of(cellar);
    let planned = || plan::bottling_day(vessel.key, cellar).unwrap_or(cellar.now);
    let day = text("on").map_or_else(|| Ok(planned()), |it| day(it, &opened))?;
    let holding = Holding::of(cellar, vessel.key, &policy);
    let gate = holding.map_or_else(Vec::new, |it| it.gate_on(day));
    Ok(if session.json {
        Said::json(&json::bottling_plan(&plan, (day, &gate), cellar))
    } else {
        bottling::page(&plan, (day, &gate), cellar, matches.get_flag("sheet")).into()
    })
}

/// The day meant, today or later.
fn day(text: &str, opened: &Opened) -> Result<Moment, Failure> {
    let now = opened.cellar.now;
    let day = moment::read(text, now, opened.zone)?.moment;
    if day.days_since(now) < 0 {
        return Err(Failure::input(format!(
            "{} is past, and nothing can be planned for it; give a day to come.",
            day.day_words()
        )));
    }
    Ok(day)
}

fn lees(text: &str, units: Units) -> Result<Volume, Failure> {
    let litres =
        parse(Quantity::Volume, text, &units).map_err(|it| Failure::input(it.to_string()))?;
    if !(0.0..=10_000.0).contains(&litres) {
        return Err(Failure::input(format!(
            "`{text}` of lees is outside 0 to 10,000 L; check the unit."
        )));
    }
    Ok(Volume::millilitres((litres * 1_000.0).round() as i64))
}

/// `750,375`, `20x750, 10x375`, `5 L`.
fn sizes(text: &str, units: Units) -> Result<Vec<(i64, Option<i64>)>, Failure> {
    let wrong = || {
        Failure::input(format!(
            "`{text}` names no sizes; write 750,375, 20x750,10x375 or `5 L`."
        ))
    };
    let (low, high) = Package::Bottle.sizes_ml();
    let size = |said: &str| {
        let size = parse(Quantity::SmallVolume, said.trim(), &units).map_err(|_| wrong())?;
        if size < low as f64 || size > high as f64 {
            return Err(Failure::input(format!(
                "`{}` is a bottle of {size} mL, outside {low} mL to {} L; check the unit.",
                said.trim(),
                high / 1_000
            )));
        }
        Ok(size.round() as i64)
    };
    let count = |said: &str| {
        let many = said.trim().parse().ok();
        many.filter(|it| (1..=100_000).contains(it))
            .ok_or_else(wrong)
    };
    text.split(',')
        .map(|part| match part.split_once(['x', '×']) {
            Some((many, each)) => Ok((size(each)?, Some(count(many)?))),
            None => Ok((size(part)?, None)),
        })
        .collect()
}
