//! `tastings`: what was tasted, wine by wine, beside what was measured then; and who is who of a blind
//! tasting.

use std::collections::BTreeMap;

use clap::{Arg, ArgMatches};
use serde_json::{Value, json as value};

use crate::cellar::attention::words::span;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::tasting::{Flight, Marks, Tasted, blind};
use crate::cellar::thing::Key;
use crate::exchange::json;
use crate::exchange::page::Page;

use super::failure::Failure;
use super::session::Session;
use super::{LISTS, Own, Said};

pub(super) static TASTINGS: Own = Own {
    name: "tastings",
    sentence: "List what was tasted of each wine, in order, beside what was measured by then.",
    heading: LISTS,
    arguments: |it| {
        it.arg(
            Arg::new("name")
                .value_name("NAME")
                .num_args(0..=2)
                .help("Only of this batch, vessel or run; of two, to compare them."),
        )
    },
    run: tastings,
};

pub(super) static WHO: Own = Own {
    name: "blind who",
    sentence: "Say which wine is which in the blind tasting under way, for whoever pours.",
    heading: LISTS,
    arguments: |it| it,
    run: |session, _| {
        let opened = session.open()?;
        let flight = Flight::of(&opened.cellar).ok_or_else(|| {
            Failure::book("No blind tasting is under way; `leesline blind start` begins one.")
        })?;
        let mut page = Page::default();
        page.line(format!("{}.", flight.revealed(&opened.cellar)));
        Ok(page.into())
    },
};

fn tastings(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let opened = session.open()?;
    let cellar = &opened.cellar;
    let mut all = opened.store.tastings(usize::MAX)?;
    blind::keep_secret(&mut all, cellar);
    let names: Vec<&String> = matches.get_many("name").into_iter().flatten().collect();
    let asked = |it: &Tasted, name: &str| {
        let is = |key: Key| cellar.name(key).eq_ignore_ascii_case(name.trim());
        it.batch.is_some_and(is) || is(it.tasting.place)
    };
    if let Some(unknown) = names
        .iter()
        .find(|name| !all.iter().any(|it| asked(it, name)))
    {
        return Err(Failure::book(format!(
            "Nothing called `{unknown}` was tasted; `leesline tastings` lists what was."
        )));
    }
    if !names.is_empty() {
        all.retain(|it| names.iter().any(|name| asked(it, name)));
    }
    let mut wines: BTreeMap<Key, Vec<&Tasted>> = BTreeMap::new();
    for tasted in all.iter().rev() {
        wines.entry(tasted.subject()).or_default().push(tasted);
    }
    if session.json {
        let mut document = json::heading(cellar);
        let wines = wines.iter().map(|(wine, tasted)| {
            value!({
                "wine": json::reference(*wine, cellar),
                "tastings": tasted.iter().map(|it| tasting(it, cellar)).collect::<Vec<_>>(),
            })
        });
        document.put("wines", wines.collect::<Vec<Value>>());
        return Ok(Said::json(&document.value()));
    }
    let mut page = Page::default();
    if wines.is_empty() {
        page.line("Nothing was tasted yet; `leesline taste` writes it down.");
    }
    for (at, (wine, tasted)) in wines.iter().enumerate() {
        if at > 0 {
            page.line("");
        }
        page.line(cellar.name(*wine));
        page.rows(&tasted.iter().map(|it| row(it, cellar)).collect::<Vec<_>>());
    }
    Ok(page.into())
}

fn row(it: &Tasted, cellar: &Snapshot) -> Vec<String> {
    let place = it.tasting.place;
    let place = if place == it.subject() {
        ""
    } else {
        cellar.name(place)
    };
    vec![
        it.when.day_words(),
        it.age_days.map_or_else(String::new, span),
        it.score_words().unwrap_or_default(),
        it.tasting.words.clone(),
        it.act_words().unwrap_or_default(),
        place.to_owned(),
        it.read_by_then().join(", "),
    ]
}

fn tasting(it: &Tasted, cellar: &Snapshot) -> Value {
    let marks = Marks::stored(&it.tasting.sheet).map(|marks| {
        let items = marks.sheet.items.iter().zip(&marks.points);
        let items = items.map(|(item, points)| {
            value!({ "part": item.part, "item": item.name, "points": points, "most": item.points[0] })
        });
        value!({
            "sheet": marks.sheet.name,
            "most": marks.sheet.most(),
            "source": marks.sheet.source,
            "items": items.collect::<Vec<_>>(),
        })
    });
    let mut object = json::Object::default();
    object
        .put("at", json::time(it.when.utc_ms, cellar))
        .put("place", json::reference(it.tasting.place, cellar))
        .put("words", it.tasting.words.as_str())
        .put("act", value!(it.act))
        .put("score", value!(it.tasting.score))
        .put("blind", value!(blind::letter(&it.tasting.sheet)))
        .put("marks", value!(marks))
        .read("free_so2_mg_l", it.free_so2.as_ref())
        .read("gravity", it.gravity.as_ref())
        .read("ph", it.ph.as_ref())
        .put("age_days", value!(it.age_days));
    object.value()
}
