//! What the book knows of a wine, by the key of a calculator's input.

use super::known::{Known, Sign};
use super::sulfite;
use crate::cellar::attention::words::span;
use crate::cellar::attention::{Holding, Stage};
use crate::cellar::entry::{Found as Span, Property};
use crate::cellar::state::Known as Found;
use crate::cellar::telling;
use crate::cellar::thing::{Malo, Wine};

/// The inputs that are about the wine itself: what the book may say of each stands in `known`, and the
/// volume with the vessel.
pub(super) const KEYS: [&str; 14] = [
    "volume_l",
    "state",
    "wine",
    "ph",
    "free_so2_mg_l",
    "target_molecular_mg_l",
    "added_so_far_mg_l",
    "more_before",
    "headspace_ml",
    "alcohol_pct_vol",
    "sugar_g_l",
    "now_sg",
    "sg",
    "start_sg",
];

/// What is known of the input of that key; `None` where the book says nothing of it.
pub(super) fn known(holding: &Holding, key: &str) -> Option<Known> {
    match key {
        "state" => Some(state(holding)),
        "wine" => kind(holding),
        "ph" => Some(
            reading(holding, Property::Ph, 2)
                .unwrap_or_else(|| Known::nothing(Sign::Unknown, &holding.unread())),
        ),
        "free_so2_mg_l" => sulfite::free(holding),
        "target_molecular_mg_l" => Some(sulfite::aim(holding)),
        "added_so_far_mg_l" => Some(sulfite::added(holding)),
        "more_before" => sulfite::more_before(holding),
        "headspace_ml" => {
            let room = holding.headspace()?;
            let words = "by the book and the vessel's size";
            Some(Known::from_book(
                format!("{:.0}", room.in_litres() * 1e3),
                words,
            ))
        }
        "alcohol_pct_vol" => reading(holding, Property::Alcohol, 1),
        "sugar_g_l" => reading(holding, Property::Sugar, 1),
        "now_sg" | "sg" => {
            let last = holding.wine.gravities.last()?;
            Some(measured(
                holding,
                format!("{:.3}", last.gravity),
                last.at_ms,
            ))
        }
        "start_sg" => {
            let first = holding.wine.gravities.first()?;
            Some(measured(
                holding,
                format!("{:.3}", first.gravity),
                first.at_ms,
            ))
        }
        _ => None,
    }
}

/// Where the wine stands, in the words of the dose of sulfite.
pub fn state(holding: &Holding) -> Known {
    let stage = holding.stage();
    let by_gravity = holding
        .wine
        .gravities
        .last()
        .is_some_and(|it| it.gravity <= holding.policy.over_gravity);
    let word = match stage {
        Stage::Must => "yeast-to-follow",
        Stage::Fermenting | Stage::Stuck => "fermenting",
        Stage::Malo => "malo-running",
        _ if holding.malo_is_open() => "malo-wanted",
        Stage::Doubtful => {
            return Known::assumed("fermenting", "its last gravity was above its end");
        }
        Stage::Unsaid => return Known::assumed("finished", "nothing written says so"),
        Stage::OnLees | Stage::Ageing | Stage::Ready | Stage::Bottled => "finished",
    };
    let malo = match (word, holding.malo()) {
        ("finished", Malo::Unwanted) => ", malo not wanted",
        ("finished", _) if holding.malo_is_finished() => ", malo finished",
        _ => "",
    };
    let known = Known::from_book(word, format!("{}{malo}", stage.label()));
    if word == "finished" && !by_gravity {
        return Known {
            words: format!("{}{malo}; not measured", stage.label()),
            ..known.rough()
        };
    }
    known
}

/// What in the state of a wine speaks against sulfite, and what to do.
pub fn against_sulfite(holding: &Holding) -> Option<&'static str> {
    match state(holding).text.as_str() {
        "fermenting" if holding.stage() == Stage::Doubtful => Some(
            "It may still ferment by its last gravity: measure it again, and give none until it is finished.",
        ),
        "fermenting" if holding.stage() == Stage::Stuck => Some(
            "It stands above its end by the book, where yeast may begin again: give none until it is finished.",
        ),
        "fermenting" => Some("It is still fermenting by the book: give none until it is finished."),
        "malo-running" | "malo-wanted" => Some(
            "Malolactic fermentation runs or is wanted: sulfite stops it, so give none before it is done.",
        ),
        _ => None,
    }
}

fn kind(holding: &Holding) -> Option<Known> {
    let batch = holding.batch?;
    match batch.wine() {
        Wine::Unknown => None,
        wine => Some(Known::from_book(wine.word(), batch.name())),
    }
}

/// A reading as a number with its age.
fn reading(holding: &Holding, property: Property, decimals: usize) -> Option<Known> {
    let found: &Found = holding.wine.known.get(&property)?;
    let number = found.found.number()?;
    let known = measured(holding, format!("{number:.decimals$}"), found.at_ms);
    if found.estimated {
        return Some(Known {
            words: "from the parts of the blend".to_owned(),
            ..known.rough()
        });
    }
    // The middle of a span is no exact figure, and neither is a bound.
    let read = match found.found {
        Span::Between(low, high) => format!("{low:.decimals$} to {high:.decimals$}"),
        Span::Below(_) | Span::Above(_) => {
            format!("read {}", telling::figure(property, &found.found))
        }
        Span::Number(_) | Span::Word(_) => return Some(known),
    };
    Some(Known {
        words: format!("{read}, {}", known.words),
        ..known.rough()
    })
}

fn measured(holding: &Holding, text: String, at_ms: i64) -> Known {
    let days = holding.days(at_ms);
    let words = match days {
        0 => "measured today".to_owned(),
        days => format!("measured {} ago", span(days)),
    };
    let known = Known::from_book(text, words);
    if days as f64 > holding.policy.reading_days {
        return Known {
            sign: Sign::Old,
            ..known
        };
    }
    known
}
