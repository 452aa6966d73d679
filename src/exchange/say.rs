//! An entry of the book in words: `racked: Bucket, 22.4 L to Carboy A, 600 mL to lees`.

use leesline_calc::quantity::{Units, show};

use crate::cellar::entry::{
    BottleMove, Dose, Draft, Entry, Found, Kind, Property, Spot, SupplyChange,
};
use crate::cellar::fold::Flow;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Key, Sort, Value};

/// What an entry says, without its date and note.
pub fn entry(entry: &Entry, flows: &[Flow], cellar: &Snapshot) -> String {
    let draft = &entry.draft;
    let mut parts: Vec<String> = Vec::new();
    let about = about(draft);
    if let Some(name) = about.map(|it| cellar.name(it)).filter(|it| !it.is_empty()) {
        parts.push(name.to_owned());
    }
    parts.extend(flows.iter().map(|it| flow(it, about, cellar)));
    parts.extend(
        draft
            .readings
            .iter()
            .map(|it| format!("{} {}", it.property.label(), it.typed)),
    );
    for addition in &draft.additions {
        let dose = addition
            .dose
            .map_or_else(String::new, |it| format!("{} of ", dose(it)));
        parts.push(format!("{dose}{}", addition.substance.replace('-', " ")));
    }
    for tasting in &draft.tastings {
        let score = tasting
            .score
            .map_or_else(String::new, |it| format!(" ({it})"));
        parts.push(format!("{}{score}", tasting.words));
    }
    parts.extend(draft.bottles.iter().map(|it| bottles(it, cellar)));
    for supply in &draft.supplies {
        let name = cellar.name(supply.lot);
        parts.push(match supply.change {
            SupplyChange::By(amount) | SupplyChange::Found(amount) => {
                format!("{} of {name}", dose(amount))
            }
            SupplyChange::Unknown => name.to_owned(),
        });
    }
    parts.extend(draft.jobs.iter().map(|it| it.title.clone()));
    parts.extend(draft.silences.iter().map(|it| it.reason.replace('-', " ")));
    if is_change(draft.kind) {
        parts.extend(changes(draft));
    }
    if let Some(voided) = draft.voids {
        parts.push(format!("entry {}", voided.0));
    }
    parts.retain(|it| !it.trim().is_empty());
    parts.dedup();
    match parts.as_slice() {
        [] => draft.kind.label().to_owned(),
        parts => format!("{}: {}", draft.kind.label(), parts.join(", ")),
    }
}

/// What the entry is about: its subject, else where its wine came from.
fn about(draft: &Draft) -> Option<Key> {
    let read = draft.readings.iter().map(|it| it.place);
    let read = read.chain(draft.additions.iter().map(|it| it.place));
    let mut read = read.chain(draft.tastings.iter().map(|it| it.place));
    draft
        .subject
        .or_else(|| read.next())
        .or_else(|| draft.movements.first().map(|it| it.from))
}

fn flow(flow: &Flow, about: Option<Key>, cellar: &Snapshot) -> String {
    let (from, to) = (cellar.name(flow.from), cellar.name(flow.to));
    if about == Some(flow.from) {
        format!("{} to {to}", flow.volume)
    } else if about == Some(flow.to) {
        format!("{} from {from}", flow.volume)
    } else {
        format!("{} from {from} to {to}", flow.volume)
    }
}

fn bottles(it: &BottleMove, cellar: &Snapshot) -> String {
    let words = if it.count == 1 { "bottle" } else { "bottles" };
    let to = match &it.to {
        Spot::Outside(account) => cellar.name(*account).to_owned(),
        Spot::Kept {
            posture,
            at,
            reserved,
        } => {
            let mut words = vec![posture.word().to_owned()];
            words.extend((!at.is_empty()).then(|| at.clone()));
            words.extend((!reserved.is_empty()).then(|| format!("for {reserved}")));
            words.join(" ")
        }
    };
    format!("{} {words} of {} mL: {to}", it.count, it.size_ml)
}

/// An amount of a supply in words.
pub fn dose(dose: Dose) -> String {
    match dose {
        Dose::Mass(mass) => mass.to_string(),
        Dose::Volume(volume) => volume.to_string(),
        Dose::Count(count) => count.to_string(),
    }
}

/// A found value in the digits and the unit of its property: `0.994`, `22 mg/L`, `<10 mg/L`, `faint`.
pub fn found(property: Property, found: &Found) -> String {
    let (quantity, _) = property.scale();
    let shown = |value: f64| show(quantity, value, &Units::default());
    match found {
        Found::Number(value) => shown(*value),
        Found::Between(low, high) => format!("{} to {}", shown(*low), shown(*high)),
        Found::Below(bound) => format!("<{}", shown(*bound)),
        Found::Above(bound) => format!(">{}", shown(*bound)),
        Found::Word(word) => word.clone(),
    }
}

/// Kinds of entry that are nothing but what they set.
fn is_change(kind: Kind) -> bool {
    matches!(kind, Kind::Vessel | Kind::Batch | Kind::Settings)
}

fn changes(draft: &Draft) -> Vec<String> {
    let begun = draft.new_things.iter().map(|sort| match sort {
        Sort::Vessel | Sort::Batch => "added".to_owned(),
        other => format!("{} added", other.word()),
    });
    let set = draft.changes.iter().filter_map(|it| {
        let words = it
            .field
            .trim_end_matches("_ul")
            .trim_end_matches("_ms")
            .replace('_', " ");
        match (&it.value, it.field.as_str()) {
            (_, "name") => None,
            (None, _) => Some(format!("{words} cleared")),
            (Some(_), "closed_ms") => Some("out of use".to_owned()),
            (Some(Value::Int(volume)), field) if field.ends_with("_ul") => Some(format!(
                "{words} {}",
                crate::cellar::amount::Volume(*volume)
            )),
            (Some(Value::Int(value)), _) => Some(format!("{words} {value}")),
            (Some(Value::Real(value)), _) => Some(format!("{words} {value}")),
            (Some(Value::Text(value)), _) => Some(format!("{words} {value}")),
        }
    });
    begun.chain(set).collect()
}
