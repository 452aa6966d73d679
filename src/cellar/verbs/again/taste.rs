//! A tasting, told back: by its sheet where one was filled in, by its letter where it was blind. Written anew
//! as a plain one it would lose the points, and say which wine the letter is.

use super::{Says, Told, one, said};
use crate::cellar::entry::{Draft, Kind};
use crate::cellar::tasting::{Marks, blind};
use crate::cellar::thing::{Key, Value, field};

/// The verb of a blind tasting that writes such an entry, if one does.
pub(super) fn verb(draft: &Draft) -> Option<&'static str> {
    if draft.kind == Kind::Taste {
        return blind::is_blind(draft).then_some("blind taste");
    }
    let wines = flight(draft)?;
    Some(if wines.is_empty() {
        "blind reveal"
    } else {
        "blind start"
    })
}

/// What the entry says of a field that is told here; `None` for any other field.
pub(super) fn says(told: &Told, key: &str) -> Says {
    let draft = told.draft;
    if key == "wines" {
        let names: Vec<String> = flight(draft)?
            .split_whitespace()
            .filter_map(|it| it.parse().ok())
            .map(|it| told.name(Key(it)))
            .collect();
        return Some(vec![names.join("; ")]);
    }
    let tasting = draft.tastings.first();
    if (draft.kind, key) == (Kind::Open, "words") {
        return Some(one(tasting.map(|it| it.words.clone())));
    }
    if draft.kind != Kind::Taste {
        return None;
    }
    let sheet = tasting.map_or("", |it| it.sheet.as_str());
    let marks = Marks::stored(sheet);
    Some(one(match key {
        "letter" => blind::letter(sheet).map(str::to_owned),
        "sheet" => marks.map(|it| it.sheet.name.to_owned()),
        "points" => marks.map(|it| {
            let points: Vec<String> = it.points.iter().map(f64::to_string).collect();
            points.join(" ")
        }),
        // The sheet sums it.
        "score" if marks.is_some() => None,
        "score" => tasting.and_then(|it| it.score).map(|it| it.to_string()),
        "act" => draft.jobs.first().map(|it| it.title.clone()),
        // A mouthful would be drawn if nothing were said.
        "sample" => {
            let moved = draft.movements.first();
            Some(moved.map_or("none".to_owned(), |it| said(it.amount)))
        }
        "words" => tasting.map(|it| it.words.clone()),
        "place" => tasting.map(|it| told.name(it.place)),
        _ => return None,
    }))
}

/// The wines of a blind tasting, where the entry begins or ends one.
fn flight(draft: &Draft) -> Option<&str> {
    let change = draft.changes.iter().find(|it| it.field == field::FLIGHT)?;
    Some(match &change.value {
        Some(Value::Text(wines)) => wines,
        _ => "",
    })
}
