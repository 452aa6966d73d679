//! What a change of the book makes of a place.

use super::super::entry::Property;
use super::super::state::{State, Stock, Wine};
use super::figures::{dose, found};

/// What a place holds differently, line by line: `volume 4.6 L becomes 5.0 L`.
pub fn differences(before: Option<&State>, after: Option<&State>) -> Vec<String> {
    let wine = |state: Option<&State>| match state {
        Some(State::Wine(wine)) => Some(wine.clone()),
        None => Some(Wine::default()),
        Some(State::Supply(_)) => None,
    };
    let stock = |state: Option<&State>| match state {
        Some(State::Supply(Stock { left, .. })) => {
            left.map_or("an amount unknown".to_owned(), dose)
        }
        _ => "nothing".to_owned(),
    };
    let (Some(one), Some(other)) = (wine(before), wine(after)) else {
        return vec![format!("{} becomes {}", stock(before), stock(after))];
    };
    let mut lines = Vec::new();
    if (one.volume, one.unmeasured) != (other.volume, other.unmeasured) {
        let (one, other) = (one.amount_words(), other.amount_words());
        lines.push(format!("{one} becomes {other}"));
    }
    let (bottles, bottles_then) = (one.bottle_count(), other.bottle_count());
    if bottles != bottles_then {
        lines.push(format!("{bottles} bottles become {bottles_then}"));
    }
    for property in Property::ALL {
        let known = |wine: &Wine| {
            let known = wine.known.get(property);
            known.map_or("not known".to_owned(), |it| found(*property, &it.found))
        };
        let (known, known_then) = (known(&one), known(&other));
        if known != known_then {
            lines.push(format!("{} {known} becomes {known_then}", property.label()));
        }
    }
    if one.so2_added != other.so2_added {
        let (added, added_then) = (one.so2_added_mg_l(), other.so2_added_mg_l());
        lines.push(format!("SO2 added {added:.0} mg/L becomes {added_then:.0}"));
    }
    if lines.is_empty() {
        lines.push("what was done to it".to_owned());
    }
    lines
}
