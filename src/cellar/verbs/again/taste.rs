//! A tasting, told back: by its sheet where one was filled in, by its letter where it was blind. Written anew
//! as a plain one it would lose the points, and say which wine the letter is.

use crate::cellar::entry::{Draft, Kind};
use crate::cellar::snapshot::Snapshot;
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
pub(super) fn told(draft: &Draft, key: &str, cellar: &Snapshot) -> Option<Vec<String>> {
    if key == "wines" {
        let names: Vec<&str> = flight(draft)?
            .split_whitespace()
            .filter_map(|it| it.parse().ok())
            .map(|it| cellar.name(Key(it)))
            .collect();
        return Some(vec![names.join("; ")]);
    }
    if draft.kind != Kind::Taste {
        return None;
    }
    let sheet = draft.tastings.first().map_or("", |it| it.sheet.as_str());
    let marks = Marks::stored(sheet);
    let text = match key {
        "letter" => blind::letter(sheet).map(str::to_owned),
        "sheet" => marks.map(|it| it.sheet.name.to_owned()),
        "points" => marks.map(|it| {
            let points: Vec<String> = it.points.iter().map(f64::to_string).collect();
            points.join(" ")
        }),
        // The sheet sums it.
        "score" if marks.is_some() => None,
        "act" => draft.jobs.first().map(|it| it.title.clone()),
        _ => return None,
    };
    Some(text.into_iter().collect())
}

/// The wines of a blind tasting, where the entry begins or ends one.
fn flight(draft: &Draft) -> Option<&str> {
    let change = draft.changes.iter().find(|it| it.field == field::FLIGHT)?;
    Some(match &change.value {
        Some(Value::Text(wines)) => wines,
        _ => "",
    })
}
