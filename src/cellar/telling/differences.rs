//! What a change of the book makes of a place.

use super::super::amount::Volume;
use super::super::entry::Property;
use super::super::state::{State, Stock, Wine};
use super::figures::{dose, found};

/// What a place holds differently, line by line: `volume 4.6 L becomes 5.0 L`.
pub fn differences(before: Option<&State>, after: Option<&State>) -> Vec<String> {
    let wine = |state: Option<&State>| match state {
        Some(State::Wine(wine)) => Some(wine.clone()),
        None => Some(Box::default()),
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
        let (words, words_then) = (one.amount_words(), other.amount_words());
        if words == words_then {
            lines.extend(by_a_little(&one, &other));
        } else {
            lines.push(format!("{words} becomes {words_then}"));
        }
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
        let added = format!("{:.0}", one.so2_added_mg_l());
        let added_then = format!("{:.0}", other.so2_added_mg_l());
        if added != added_then {
            lines.push(format!("SO2 added {added} mg/L becomes {added_then}"));
        }
    }
    if lines.is_empty() {
        lines.push("its history alone".to_owned());
    }
    lines
}

/// Of two amounts that read alike by how much they differ, if anybody could measure that: `22.9 L and 10 mL
/// more`.
fn by_a_little(one: &Wine, other: &Wine) -> Option<String> {
    let words = one.amount_words();
    let more = other.volume - one.volume;
    let less = Volume::ZERO - more;
    let measurable = Volume::millilitres(1);
    if more >= measurable {
        return Some(format!("{words} and {more} more"));
    }
    (less >= measurable).then(|| format!("{words} and {less} less"))
}
