//! `which`: the runs that a bottle without a label may be of.

use clap::ArgMatches;
use serde_json::{Value, json as value};

use crate::cellar::attention::words;
use crate::cellar::bottling::Closure;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Key, field};
use crate::cellar::which::{
    COLOURS, Clues, Fit, SHAPES, allergens, allergens_of_all, apart, differences, fits,
};
use crate::exchange::json;
use crate::exchange::page::Page;

use super::bottles::{given, number, text};
use super::failure::Failure;
use super::session::Session;
use super::{LISTS, Own, Said};

pub(super) static WHICH: Own = Own {
    name: "which",
    sentence: "Say which bottles one without a label may be of, by what can be seen.",
    heading: LISTS,
    arguments: |it| {
        it.args([
            text(
                "closure",
                "CLOSURE",
                "cork, screw-cap, crown-26, stopper, swing-top, …",
            ),
            text(
                "colour",
                "COLOUR",
                "Of the glass: clear, green, olive, brown, blue, black.",
            )
            .alias("color"),
            text("shape", "SHAPE", "square, sloping, slim, short, jug."),
            text("mark", "MARK", "On cork, cap or tape."),
            text(
                "place",
                "PLACE",
                "Where it was found: `shelf 2`, `Rack A/B3`.",
            ),
            number("size", "ML", "Its size."),
        ])
    },
    run: which,
};

fn which(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let opened = session.open()?;
    let cellar = &opened.cellar;
    let seen = |name| given(matches, name).unwrap_or_default();
    let clues = Clues {
        closure: one_of("closure", &seen("closure"), Closure::WORDS)?,
        colour: one_of("colour", &seen("colour"), COLOURS)?,
        shape: one_of("shape", &seen("shape"), SHAPES)?,
        mark: seen("mark"),
        place: seen("place"),
        size_ml: matches.get_one("size").copied(),
    };
    let found = fits(&clues, cellar);
    if session.json {
        return Ok(Said::json(&which_json(&found, clues.size_ml, cellar)));
    }
    let mut page = Page::default();
    if found.is_empty() {
        page.line("No bottles by the book look like that; one clue fewer may find some.");
        return Ok(page.into());
    }
    let rows: Vec<Vec<String>> = found
        .iter()
        .map(|it| fit_row(it, clues.size_ml, cellar))
        .collect();
    page.rows(&rows);
    for line in apart(&found, cellar) {
        page.line(line);
    }
    page.line(allergens(&found, cellar));
    Ok(page.into())
}

/// A word of the list, or none: a slip of the pen must not rule bottles out.
fn one_of(name: &str, seen: &str, words: &[&str]) -> Result<String, Failure> {
    let seen = seen.trim().to_lowercase();
    if seen.is_empty() || words.contains(&seen.as_str()) {
        return Ok(seen);
    }
    Err(Failure::input(format!(
        "`{seen}` is no {name} that is written down of bottles; give {}, or leave --{name} out.",
        words.join(", ")
    )))
}

/// Bottles of a run that are left, of the size seen where one was; `None` where nobody counted them.
fn left_of(run: Key, size_ml: Option<i64>, cellar: &Snapshot) -> Option<i64> {
    let wine = cellar.wine(run);
    let lots = wine.map_or(&[][..], |it| &it.bottles);
    if lots.is_empty() && wine.is_some_and(|it| it.unmeasured.is_some()) {
        return None;
    }
    let of_size = lots
        .iter()
        .filter(|it| size_ml.is_none_or(|seen| it.size_ml == seen));
    Some(of_size.map(|it| it.count).sum())
}

fn fit_row(fit: &Fit, size_ml: Option<i64>, cellar: &Snapshot) -> Vec<String> {
    let thing = cellar.thing(fit.run);
    let known = |field| thing.map_or("", |it| it.text(field));
    let count = left_of(fit.run, size_ml, cellar);
    let count = count.map_or_else(|| "not counted".to_owned(), |it| words::count(it, "bottle"));
    let unknown = match fit.unknown.as_slice() {
        [] => String::new(),
        several => format!("not known: {}", several.join(", ")),
    };
    let looks = [
        known(field::CLOSURE),
        known(field::COLOUR),
        known(field::SHAPE),
        known(field::RUN_MARK),
    ];
    let looks: Vec<&str> = looks.into_iter().filter(|it| !it.is_empty()).collect();
    vec![
        cellar.name(fit.run).to_owned(),
        count,
        looks.join(", "),
        unknown,
    ]
}

fn which_json(found: &[Fit], size_ml: Option<i64>, cellar: &Snapshot) -> Value {
    let runs: Vec<Value> = found
        .iter()
        .map(|it| {
            value!({
                "run": json::reference(it.run, cellar),
                "count": left_of(it.run, size_ml, cellar),
                "agrees": it.agrees,
                "unknown": it.unknown,
            })
        })
        .collect();
    let differ: Vec<Value> = differences(found, cellar)
        .iter()
        .map(|it| {
            let ways = it.runs.iter().map(|(known, runs)| {
                let known = (!known.is_empty()).then_some(known);
                let runs: Vec<Value> = runs.iter().map(|it| json::reference(*it, cellar)).collect();
                value!({ "value": known, "runs": runs })
            });
            value!({ "clue": it.clue, "values": ways.collect::<Vec<Value>>() })
        })
        .collect();
    let mut document = json::heading(cellar);
    document
        .put("fits", runs)
        .put("differences", differ)
        .put("allergens_in_all", value!(allergens_of_all(found, cellar)))
        .put("other_allergens", "unknown");
    document.value()
}
