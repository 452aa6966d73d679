//! An entry of the book as a sentence, the same on every screen and in every list.

use super::amount::Volume;
use super::entry::{
    Addition, Amount, BottleMove, Dose, Draft, Found, Kind, Property, Spot, SupplyChange,
};
use super::fold::Flow;
use super::snapshot::Snapshot;
use super::state::{State, Stock, Wine};
use super::thing::{Account, Key, Sort, field};

/// What an entry says, without its date: `Racked 22.4 L from Bucket to Carboy A; 0.6 L to lees.`
/// Names are those that things have now.
/// `flows` are what its movements came to; without them it says what was asked for.
pub fn sentence(draft: &Draft, flows: &[Flow], cellar: &Snapshot) -> String {
    let mut clauses = Vec::new();
    if flows.is_empty() {
        clauses.extend(draft.movements.iter().map(|it| {
            let about = if it.about { "about " } else { "" };
            let way = way(it.from, it.to, cellar);
            format!("{about}{} {way}", amount(it.amount))
        }));
    } else {
        let about = if draft.movements.iter().any(|it| it.about) {
            "about "
        } else {
            ""
        };
        let flows = flows.iter();
        clauses.extend(
            flows.map(|it| format!("{about}{} {}", it.volume, way(it.from, it.to, cellar))),
        );
    }
    clauses.extend(draft.bottles.iter().map(|it| bottles(it, cellar)));
    clauses.extend(draft.additions.iter().map(|it| addition(it, cellar)));
    clauses.extend(readings(draft, cellar));
    clauses.extend(draft.tastings.iter().map(|it| {
        let score = it
            .score
            .map_or(String::new(), |score| format!(", score {score}"));
        format!("{}: {}{score}", name(it.place, cellar), it.words)
    }));
    clauses.extend(draft.supplies.iter().map(|it| {
        let lot = name(it.lot, cellar);
        match it.change {
            SupplyChange::By(amount) => format!("{} of {lot}", dose(amount)),
            SupplyChange::Found(amount) => format!("{lot}, found {}", dose(amount)),
            SupplyChange::Unknown => lot,
        }
    }));
    clauses.extend(draft.jobs.iter().map(|it| it.title.clone()));
    clauses.extend(draft.voids.map(|it| format!("entry {}", it.0)));
    if clauses.is_empty() {
        clauses.extend(changes(draft, cellar));
    }
    if clauses.is_empty() {
        clauses.extend(draft.subject.map(|it| name(it, cellar)));
    }
    if clauses.is_empty() && !draft.note.is_empty() {
        clauses.push(draft.note.clone());
    }
    let label = capital(draft.kind.label());
    if clauses.is_empty() {
        return format!("{label}.");
    }
    let said = clauses.join("; ");
    let glue = if reads_on(draft) { " " } else { ": " };
    let stop = if said.ends_with('.') { "" } else { "." };
    format!("{label}{glue}{said}{stop}")
}

/// What an entry says, with its note set off behind: `Pitched: 5.00 g yeast to Bucket (a dry strain).`
pub fn with_note(draft: &Draft, flows: &[Flow], cellar: &Snapshot) -> String {
    let said = sentence(draft, flows, cellar);
    match draft.note.as_str() {
        "" => said,
        note if said.contains(note) => said,
        note => {
            let said = said.strip_suffix('.').unwrap_or(&said);
            format!("{said} ({}).", note.trim_end_matches('.'))
        }
    }
}

/// Whether what follows the verb is its object, so that no colon stands between.
fn reads_on(draft: &Draft) -> bool {
    let moved = !(draft.movements.is_empty() && draft.bottles.is_empty());
    moved
        && matches!(
            draft.kind,
            Kind::Receive
                | Kind::Rack
                | Kind::TopUp
                | Kind::Press
                | Kind::Bottle
                | Kind::LayDown
                | Kind::Open
                | Kind::Give
                | Kind::Break
                | Kind::Discard
                | Kind::Lose
        )
        || draft.kind == Kind::Add
        || draft.kind == Kind::Measure
        || draft.kind == Kind::Taste
        || draft.kind == Kind::Buy
        || draft.kind == Kind::Void
}

fn readings(draft: &Draft, cellar: &Snapshot) -> Option<String> {
    let place = draft.readings.first()?.place;
    let found: Vec<String> = draft
        .readings
        .iter()
        .map(|it| format!("{} {}", it.property.label(), found(it.property, &it.found)))
        .collect();
    Some(format!("{}: {}", name(place, cellar), found.join(", ")))
}

fn addition(addition: &Addition, cellar: &Snapshot) -> String {
    let what = substance(&addition.substance);
    let place = name(addition.place, cellar);
    match addition.dose {
        Some(Dose::Count(count)) => format!("{count} of {what} to {place}"),
        Some(amount) => format!("{} {what} to {place}", dose(amount)),
        None => format!("{what} to {place}, amount unknown"),
    }
}

fn bottles(moved: &BottleMove, cellar: &Snapshot) -> String {
    let about = if moved.about { "about " } else { "" };
    let plural = if moved.count == 1 { "" } else { "s" };
    let to = match &moved.to {
        Spot::Kept { posture, at, .. } if at.is_empty() => posture.label().to_owned(),
        Spot::Kept { posture, at, .. } => format!("{} in {at}", posture.label()),
        Spot::Outside(account) => name(*account, cellar),
    };
    format!(
        "{about}{} bottle{plural} of {}, {} mL, {to}",
        moved.count,
        name(moved.run, cellar),
        moved.size_ml
    )
}

/// Names of new things, and values of settings.
fn changes(draft: &Draft, cellar: &Snapshot) -> Vec<String> {
    let mut clauses: Vec<String> = Vec::new();
    for change in &draft.changes {
        let what = match &change.value {
            Some(super::thing::Value::Text(text)) if change.field == field::NAME => {
                clauses.insert(0, text.clone());
                continue;
            }
            Some(super::thing::Value::Text(text)) => {
                format!("{} {text}", field_words(&change.field))
            }
            Some(super::thing::Value::Int(value)) if change.field.ends_with("_ul") => {
                format!("{} {}", field_words(&change.field), Volume(*value))
            }
            Some(super::thing::Value::Int(_)) if change.field.ends_with("_ms") => {
                field_words(&change.field)
            }
            Some(super::thing::Value::Int(value)) => {
                format!("{} {value}", field_words(&change.field))
            }
            Some(super::thing::Value::Real(value)) => {
                format!("{} {value}", field_words(&change.field))
            }
            None => format!("{} cleared", field_words(&change.field)),
        };
        clauses.push(what);
    }
    let renames = draft.changes.iter().any(|it| it.field == field::NAME);
    if let Some(first) = draft
        .changes
        .first()
        .filter(|it| !renames && it.thing.0 > 0)
    {
        clauses.insert(0, name(first.thing, cellar));
    }
    clauses
}

fn field_words(field: &str) -> String {
    let bare = ["_ul", "_ms", "_mm", "_ml", "_g", "_c", "_pct"]
        .iter()
        .find_map(|it| field.strip_suffix(it));
    bare.unwrap_or(field).replace('_', " ")
}

fn way(from: Key, to: Key, cellar: &Snapshot) -> String {
    if from == to {
        return format!("in {}, named anew", name(to, cellar));
    }
    if Account::from_key(from).is_some() {
        format!("of {} into {}", name(from, cellar), name(to, cellar))
    } else {
        format!("from {} to {}", name(from, cellar), name(to, cellar))
    }
}

fn amount(amount: Amount) -> String {
    match amount {
        Amount::Exactly(volume) => volume.to_string(),
        Amount::RestLeaving(volume) if volume == Volume::ZERO => "all".to_owned(),
        Amount::RestLeaving(volume) => format!("all but {volume}"),
        Amount::LevelFound(volume) => format!("level found {volume}:"),
    }
}

/// The name that a thing or account has now; a thing that no longer lives is said to be so.
pub fn name(key: Key, cellar: &Snapshot) -> String {
    match cellar.thing(key).map(|it| it.sort) {
        Some(Sort::Cellar) => "the cellar".to_owned(),
        Some(_) => cellar.name(key).to_owned(),
        None => Account::from_key(key).map_or_else(
            || "something voided".to_owned(),
            |it| it.word().replace('-', " "),
        ),
    }
}

/// A supply's word as people read it: `potassium metabisulfite`.
pub fn substance(word: &str) -> String {
    word.replace('-', " ")
}

/// An amount of a supply.
pub fn dose(amount: Dose) -> String {
    match amount {
        Dose::Mass(mass) => mass.to_string(),
        Dose::Volume(volume) => volume.to_string(),
        Dose::Count(count) => count.to_string(),
    }
}

/// A found value with the unit of its property: `3.31`, `15 mg/L`, `12–15 mg/L`, `<10 mg/L`, `gone`.
pub fn found(property: Property, found: &Found) -> String {
    let number = |value: f64| match property {
        Property::Gravity => format!("{value:.3}"),
        Property::Ph | Property::Volatile => format!("{value:.2}"),
        Property::FreeSo2 | Property::TotalSo2 => format!("{value:.0}"),
        _ => format!("{}", (value * 10.0).round() / 10.0),
    };
    let value = match found {
        Found::Number(value) => number(*value),
        Found::Between(low, high) => format!("{}–{}", number(*low), number(*high)),
        Found::Below(bound) => format!("<{}", number(*bound)),
        Found::Above(bound) => format!(">{}", number(*bound)),
        Found::Word(word) => return word.clone(),
    };
    match unit(property) {
        "" => value,
        unit => format!("{value} {unit}"),
    }
}

/// The unit that a property is read in; empty for gravity, pH and words.
pub const fn unit(property: Property) -> &'static str {
    match property {
        Property::Temperature => "°C",
        Property::FreeSo2 | Property::TotalSo2 => "mg/L",
        Property::Ta | Property::Sugar | Property::Malic | Property::Volatile => "g/L",
        Property::Alcohol => "% vol",
        Property::Gravity | Property::Ph | Property::Clarity | Property::Gas => "",
    }
}

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
    if one.volume != other.volume {
        lines.push(format!("{} becomes {}", one.volume, other.volume));
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

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cellar::amount::Mass;
    use crate::cellar::entry::{Movement, Reading};
    use crate::cellar::moment::Moment;
    use crate::cellar::state::Known;
    use crate::cellar::thing::{Thing, Value};
    use uuid::Uuid;

    const NOW: Moment = Moment {
        utc_ms: 1_795_600_000_000,
        offset_min: 60,
    };

    fn cellar() -> Snapshot {
        let mut cellar = Snapshot::empty(NOW);
        for (key, name) in [(200, "Bucket"), (201, "Carboy A")] {
            let attributes = [(field::NAME.to_owned(), Value::from(name))].into();
            let key = Key(key);
            cellar.things.insert(
                key,
                Thing {
                    key,
                    uid: Uuid::nil(),
                    sort: Sort::Vessel,
                    attributes,
                }
                .into(),
            );
        }
        cellar
    }

    fn check(kind: Kind, fill: impl FnOnce(&mut Draft), expected: &str) {
        let mut draft = Draft::new(kind, NOW);
        fill(&mut draft);
        assert_eq!(sentence(&draft, &[], &cellar()), expected);
    }

    #[test]
    fn an_entry_reads_as_a_sentence() {
        let (bucket, carboy) = (Key(200), Key(201));
        check(
            Kind::Rack,
            |it| {
                it.pour(
                    bucket,
                    carboy,
                    Amount::RestLeaving(Volume::millilitres(600)),
                );
                it.pour(
                    bucket,
                    Account::Lees.key(),
                    Amount::RestLeaving(Volume::ZERO),
                );
            },
            "Racked all but 600 mL from Bucket to Carboy A; all from Bucket to lees.",
        );
        check(
            Kind::TopUp,
            |it| {
                let amount = Amount::Exactly(Volume::millilitres(400));
                let from = Account::Bought.key();
                it.movements.push(Movement {
                    from,
                    to: carboy,
                    amount,
                    about: true,
                    batch: None,
                });
            },
            "Topped up about 400 mL of bought wine into Carboy A.",
        );
        check(
            Kind::Measure,
            |it| {
                for (property, value) in [(Property::Ph, 3.3), (Property::FreeSo2, 15.0)] {
                    it.readings.push(Reading {
                        place: carboy,
                        property,
                        found: Found::Number(value),
                        typed: String::new(),
                        instrument: String::new(),
                        rule: String::new(),
                    });
                }
            },
            "Measured Carboy A: pH 3.30, free SO2 15 mg/L.",
        );
        check(Kind::Round, |_| {}, "Cellar round.");
        check(
            Kind::Jot,
            |it| "blue lid smells of eggs".clone_into(&mut it.note),
            "Jotted: blue lid smells of eggs.",
        );
        check(
            Kind::Vessel,
            |it| {
                let new = it.begin(Sort::Vessel, "Demijohn 3");
                it.set(new, field::BRIM, Volume::millilitres(5_100));
            },
            "Vessel change: Demijohn 3; brim 5.1 L.",
        );
    }

    fn wine_of(litres: f64, free: Option<f64>) -> State {
        let volume = Volume::litres(litres);
        let mut wine = Wine {
            volume,
            ..Wine::default()
        };
        if let Some(free) = free {
            let known = Known {
                at_ms: 0,
                found: Found::Number(free),
                estimated: false,
            };
            wine.known.insert(Property::FreeSo2, known);
        }
        State::Wine(wine)
    }

    fn stock_of(grams: f64) -> State {
        State::Supply(Stock {
            left: Some(Dose::Mass(Mass::grams(grams))),
            counted_ms: None,
            used: 0,
        })
    }

    fn check_difference(before: Option<&State>, after: &State, expected: &str) {
        assert_eq!(differences(before, Some(after)), [expected]);
    }

    #[test]
    fn a_change_says_what_becomes_of_what() {
        let five = wine_of(5.0, None);
        let measured = wine_of(5.0, Some(22.0));
        check_difference(Some(&wine_of(4.6, None)), &five, "4.6 L becomes 5.0 L");
        check_difference(None, &five, "0.0 L becomes 5.0 L");
        check_difference(Some(&measured), &five, "free SO2 22 mg/L becomes not known");
        check_difference(
            Some(&stock_of(5.0)),
            &stock_of(7.0),
            "5.00 g becomes 7.00 g",
        );
        check_difference(Some(&five), &five, "what was done to it");
    }
}
