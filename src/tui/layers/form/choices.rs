//! What a field may be completed to.

use crate::cellar::amount::Volume;
use std::collections::BTreeSet;

use crate::cellar::entry::Property;
use crate::cellar::racks::{Place, Racks};
use crate::cellar::state::Wine;
use crate::cellar::thing::{Sort, Thing};
use crate::cellar::verbs::Takes;
use crate::tui::message::Facts;

/// Every choice of a field, in the order in which they are offered.
pub(super) fn all(takes: Takes, facts: &Facts) -> Vec<String> {
    let cellar = &facts.cellar;
    let names = |sort: Sort| cellar.open(sort).map(|it| it.name().to_owned());
    let holds = |it: &&Thing| cellar.wine(it.key).is_some();
    match takes {
        Takes::Thing(sort) => names(sort).collect(),
        Takes::FullVessel => {
            let full = cellar.open(Sort::Vessel).filter(holds);
            full.map(|it| it.name().to_owned()).collect()
        }
        Takes::Place => names(Sort::Vessel).chain(names(Sort::Run)).collect(),
        Takes::Spot => spots(facts),
        Takes::Pours => names(Sort::Vessel).collect(),
        Takes::Choice(words) | Takes::Suggest(words) => {
            words.iter().map(|it| (*it).to_owned()).collect()
        }
        Takes::Date => ["now", "yesterday", "2 days ago", "3 days ago"]
            .map(str::to_owned)
            .into(),
        Takes::Flag => vec!["yes".to_owned(), "no".to_owned()],
        Takes::Volume => vec!["all".to_owned()],
        Takes::NewName(_)
        | Takes::Dose
        | Takes::Count
        | Takes::Reading(_)
        | Takes::Number(_)
        | Takes::Text
        | Takes::Words
        | Takes::Wines
        | Takes::Points
        | Takes::Hidden => Vec::new(),
    }
}

/// What goes on from a list of wines with semicolons between: it with each wine that is not in it.
pub(super) fn wines(typed: &str, facts: &Facts) -> Vec<String> {
    let begun = typed.rsplit(';').next().unwrap_or_default().trim_start();
    let kept = &typed[..typed.len() - begun.len()];
    let named: Vec<String> = kept.split(';').map(|it| it.trim().to_lowercase()).collect();
    let cellar = &facts.cellar;
    let places = cellar.open(Sort::Vessel).chain(cellar.open(Sort::Run));
    places
        .filter(|it| cellar.wine(it.key).is_some())
        .filter(|it| !named.contains(&it.name().to_lowercase()))
        .map(|it| format!("{kept}{}", it.name()))
        .collect()
}

/// The part of a choice that is not in the field already.
pub(super) fn offered(takes: Takes, choice: &str) -> &str {
    match takes {
        Takes::Wines => choice.rsplit(';').next().unwrap_or_default().trim(),
        _ => choice,
    }
}

/// What a vessel may be topped up with, what makes most sense first: the same batch, then the same
/// kind of wine, each from the smallest vessel that has enough; then what is bought, and water.
pub(in crate::tui) fn to_top_up(into: &str, facts: &Facts) -> Vec<String> {
    let cellar = &facts.cellar;
    let place = cellar.find(Sort::Vessel, into).ok();
    let wine = place.and_then(|it| cellar.wine(it.key));
    let room = place
        .and_then(Thing::capacity)
        .zip(wine)
        .map_or(Volume::ZERO, |(all, wine)| all - wine.volume);
    let batch_of = |wine: &Wine| wine.main_batch().and_then(|it| cellar.thing(it));
    let batch = wine.and_then(batch_of);
    let mut sources: Vec<(&Thing, &Wine)> = cellar
        .open(Sort::Vessel)
        .filter(|it| Some(it.key) != place.map(|it| it.key))
        .filter_map(|it| Some((it, cellar.wine(it.key)?)))
        .collect();
    sources.sort_by_key(|(vessel, wine)| {
        let other = batch_of(wine);
        let same_batch = other.is_some() && other.map(|it| it.key) == batch.map(|it| it.key);
        let same_kind = other.map(Thing::wine) == batch.map(Thing::wine);
        let too_little = wine.volume < room;
        (!same_batch, !same_kind, too_little, wine.volume, vessel.key)
    });
    let names = sources.iter().map(|it| it.0.name().to_owned());
    names
        .chain(["bought-wine", "water"].map(str::to_owned))
        .collect()
}

/// Racks, then the loose places that bottles are at.
fn spots(facts: &Facts) -> Vec<String> {
    let racks = Racks::of(&facts.cellar.things);
    // So many, that a key in a large cellar is no slower.
    let lots = facts.cellar.lots().flat_map(|(_, lots)| lots).take(1_000);
    let loose = lots.filter(|it| racks.read(&it.at) == Place::Loose && !it.at.is_empty());
    let loose: BTreeSet<&str> = loose.map(|it| it.at.as_str()).collect();
    let racks = racks.iter().map(|it| it.name.as_str());
    racks.chain(loose).map(str::to_owned).collect()
}

/// Choices that go on from what is typed.
pub(super) fn fitting(mut choices: Vec<String>, typed: &str) -> Vec<String> {
    let begun = typed.trim_start().to_lowercase();
    choices.retain(|it| it.to_lowercase().starts_with(&begun));
    choices
}

/// What the completion shown adds to what is typed; empty when nothing fits.
pub(super) fn ghost(choices: Vec<String>, typed: &str) -> String {
    let begun = typed.trim_start();
    if begun.is_empty() {
        return String::new();
    }
    let first = fitting(choices, typed).into_iter().next();
    first.map_or_else(String::new, |it| {
        it.chars().skip(begun.chars().count()).collect()
    })
}

/// The text that the key for completing makes of what is typed: the first that fits, or the one
/// after it where the text is a choice already.
pub(super) fn next(choices: Vec<String>, typed: &str) -> Option<String> {
    let typed = typed.trim().to_lowercase();
    let chosen = choices.iter().position(|it| it.to_lowercase() == typed);
    match chosen {
        Some(at) => choices.get((at + 1) % choices.len()).cloned(),
        None => fitting(choices, &typed).into_iter().next(),
    }
}

/// What may be typed, as an example to be seen while the field is empty.
pub(super) const fn example(takes: Takes) -> &'static str {
    match takes {
        Takes::Volume => "22 L, about 22 L, all",
        Takes::Pours => "Carboy A=22 L",
        Takes::Dose => "5 g, 10 mL, a packet",
        Takes::Count => "29",
        Takes::Reading(Property::Gravity) => "1.012",
        Takes::Reading(Property::Temperature) => "18 C, 64 F",
        Takes::Reading(Property::Ph) => "3.31",
        Takes::Reading(Property::FreeSo2 | Property::TotalSo2) => "24, 24-26, <10",
        Takes::Reading(Property::Malic) => "strong, faint, gone, 0.2",
        Takes::Reading(Property::Clarity) => "clear, hazy",
        Takes::Reading(Property::Gas) => "much, some, none",
        Takes::Reading(_) => "a number, a range, <2",
        Takes::Number(unit) => unit,
        Takes::Date => "now, yesterday, 3 days ago, 24 Nov",
        Takes::Thing(_)
        | Takes::FullVessel
        | Takes::Place
        | Takes::Spot
        | Takes::NewName(_)
        | Takes::Choice(_)
        | Takes::Suggest(_)
        | Takes::Flag
        | Takes::Text
        | Takes::Words
        | Takes::Wines
        | Takes::Points
        | Takes::Hidden => "",
    }
}
