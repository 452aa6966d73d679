//! An entry of the book as what would have to be typed for it: the verb that writes such entries,
//! and what the entry says of each of its fields. What cannot be told back is left out; who shows it
//! compares what it would say with what the entry says.

mod additions;
mod attribute;
mod bottles;
mod bottling;
mod look;
mod supplies;
mod taste;
mod verb;
mod wine;
mod words;

use super::{Field, Need, Takes, Verb};
use crate::cellar::entry::{Amount, Change, Draft, Entry, Kind, Spot, SupplyChange};
use crate::cellar::gifts;
use crate::cellar::moment::DAY_MS;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::telling;
use crate::cellar::thing::{Key, Sort, Value, field};
use attribute::attribute;
use verb::verb_of;

/// Fields with their texts.
pub type Typed = Vec<(String, String)>;

/// The verb that writes such an entry, with what the entry says filled in as far as it can be told
/// back. Nothing for a void alone: no verb writes that.
pub fn again(entry: &Entry, cellar: &Snapshot) -> Option<(&'static Verb, Typed)> {
    let draft = &entry.draft;
    let verb = verb_of(draft)?;
    let mut typed = Typed::new();
    let told = Told { draft, cellar };
    for asked in verb.fields.iter().chain(super::COMMON) {
        let texts = told.field(verb, asked).into_iter();
        typed.extend(
            texts
                .filter(|it| !it.is_empty())
                .map(|text| (asked.key.to_owned(), text)),
        );
    }
    Some((verb, typed))
}

/// What the entry said, where `again`, an entry written in its stead, says something else. A bottling
/// written anew without a count keeps its own.
pub fn unlike(entry: &Entry, again: Option<&Draft>, cellar: &Snapshot) -> Option<String> {
    let told = |draft: &Draft| telling::with_note(draft, &[], cellar);
    let was = told(&entry.draft);
    let is = again.map(|it| {
        let mut again = it.clone();
        if again.fillings.is_empty() {
            again.fillings.clone_from(&entry.draft.fillings);
        }
        told(&again)
    });
    (is.as_deref() != Some(was.as_str())).then_some(was)
}

/// What an entry says of a field: no texts where it says nothing of it, more than one where the field was
/// given more than once. `None` where the field is not one that the subject tells.
type Says = Option<Vec<String>>;

/// The subjects, each with the fields that its kinds of entry tell in a way of their own.
const SUBJECTS: [fn(&Told, &str) -> Says; 7] = [
    taste::says,
    wine::says,
    additions::says,
    supplies::says,
    bottles::says,
    bottling::says,
    words::says,
];

struct Told<'a> {
    draft: &'a Draft,
    cellar: &'a Snapshot,
}

impl Told<'_> {
    fn field(&self, verb: &Verb, asked: &Field) -> Vec<String> {
        let common = one(match asked.key {
            "at" => {
                let local = self.draft.when.local();
                return vec![local.format("%Y-%m-%d %H:%M:%S").to_string()];
            }
            "by" => Some(self.draft.by.clone()),
            // Words that are the entry itself, and not beside it, have a field of their own.
            "note" => {
                let note = match bottling::overruled(self.draft) {
                    Some((_, beside)) => beside,
                    None => gifts::beside_whom(self.draft),
                };
                Some(note.to_owned()).filter(|_| !note_is_told(verb))
            }
            "jot" => self.draft.from_jot.map(|it| it.0.to_string()),
            _ => None,
        });
        if super::COMMON.iter().any(|it| it.key == asked.key) {
            return common;
        }
        if let Takes::Reading(property) = asked.takes {
            let reading = self
                .draft
                .readings
                .iter()
                .find(|it| it.property == property);
            return one(reading.map(|it| it.typed.clone()));
        }
        if let Some(attribute) = attribute(verb, asked.key)
            && let Some(change) = self.change(attribute)
        {
            return self.changed(change);
        }
        self.of_kind(asked)
    }

    fn change(&self, attribute: &str) -> Option<&Change> {
        self.draft.changes.iter().find(|it| it.field == attribute)
    }

    fn changed(&self, change: &Change) -> Vec<String> {
        let text = match &change.value {
            Some(Value::Int(ul)) if change.field.ends_with("_ul") => litres(*ul),
            Some(Value::Int(ms)) if change.field.ends_with("_ms") => self
                .cellar
                .now
                .at(*ms)
                .local()
                .format("%Y-%m-%d")
                .to_string(),
            Some(Value::Int(number)) => number.to_string(),
            Some(Value::Real(kpa)) if change.field.ends_with("_kpa") => format!("{kpa} kPa"),
            Some(Value::Real(number)) => number.to_string(),
            Some(Value::Text(words)) if change.field == field::STEPS => {
                return words.lines().map(str::to_owned).collect();
            }
            Some(Value::Text(words)) => words.clone(),
            None => String::new(),
        };
        vec![text]
    }

    fn name(&self, key: Key) -> String {
        self.cellar.name(key).to_owned()
    }

    /// What a kind tells in a way of its own comes before what is told alike of every kind.
    fn of_kind(&self, asked: &Field) -> Vec<String> {
        SUBJECTS
            .iter()
            .find_map(|says| says(self, asked.key))
            .or_else(|| self.of_any_kind(asked.key))
            .unwrap_or_else(|| one(self.subject(asked)))
    }

    fn of_any_kind(&self, key: &str) -> Says {
        let moved = self.draft.movements.first();
        let bottles = self.draft.bottles.first();
        Some(one(match key {
            "level" | "sample" => moved.map(|it| said(it.amount)),
            "calculation" => self
                .draft
                .additions
                .first()
                .map(|it| it.calculation.clone()),
            "lot" => self.lot().map(|it| self.name(it)),
            "amount" => self.amount(),
            "count" => bottles.map(|_| self.count().to_string()),
            // Several places are not one to take them from again: they are found as they were then.
            "from" => bottles.and_then(|it| match &it.from {
                Spot::Kept(kept)
                    if self.draft.bottles.iter().all(|other| other.from == it.from) =>
                {
                    Some(kept.at.clone())
                }
                _ => None,
            }),
            _ => return None,
        }))
    }

    /// The lot that was drawn down, by what was put into the wine first.
    fn lot(&self) -> Option<Key> {
        match self.draft.additions.first() {
            Some(addition) => addition.lot,
            None => self.draft.supplies.first().map(|it| it.lot),
        }
    }

    /// How much it was, in the field of that name: of a supply before the wine, and of what was put in
    /// before the wine that moved.
    fn amount(&self) -> Option<String> {
        let moved = self.draft.movements.first();
        if let Some(supply) = self.draft.supplies.first() {
            return match supply.change {
                SupplyChange::By(dose) | SupplyChange::Found(dose) => Some(telling::dose(dose)),
                SupplyChange::Unknown => None,
            };
        }
        match (self.draft.additions.first(), self.draft.kind) {
            (_, Kind::Receive) | (None, _) => moved.map(|it| said(it.amount)),
            (Some(addition), _) => addition.dose.map(telling::dose),
        }
    }

    /// What the entry is about, in the field that names it.
    fn subject(&self, asked: &Field) -> Option<String> {
        let silenced = self.draft.silences.first().map(|it| it.subject);
        let subject = self.draft.subject.or(silenced);
        let subject = subject.or(self.draft.places().first().copied())?;
        let thing = self.cellar.thing(subject)?;
        let fits = match asked.takes {
            Takes::Thing(sort) => thing.sort == sort,
            Takes::FullVessel => thing.sort == Sort::Vessel,
            Takes::Place => matches!(thing.sort, Sort::Vessel | Sort::Run),
            Takes::Text | Takes::NewName(_) => asked.need == Need::Required,
            _ => false,
        };
        (fits && asked.need == Need::Required).then(|| thing.name().to_owned())
    }

    /// The day of an instant, as a field takes it.
    fn date(&self, ms: i64) -> String {
        let day = self.cellar.now.at(ms);
        day.local().format("%Y-%m-%d").to_string()
    }

    fn count(&self) -> i64 {
        self.draft.bottles.iter().map(|it| it.count).sum()
    }
}

/// The texts of a field that is given once at most.
fn one(text: Option<String>) -> Vec<String> {
    text.into_iter().collect()
}

/// Whether the note is the entry itself, and has a field of its own.
fn note_is_told(verb: &Verb) -> bool {
    let mut fields = verb.fields.iter();
    matches!(verb.name, "blind start" | "blind reveal")
        || fields.any(|it| matches!(it.key, "text" | "yeast" | "gear"))
}

fn days(ms: i64) -> String {
    (ms as f64 / DAY_MS as f64).round().to_string()
}

fn pour(vessel: &str, amount: Amount) -> String {
    match amount {
        Amount::RestLeaving(_) | Amount::NotKnown => vessel.to_owned(),
        known => format!("{vessel}={}", said(known)),
    }
}

fn said(amount: Amount) -> String {
    match amount {
        Amount::Exactly(volume) | Amount::LevelFound(volume) => litres(volume.0),
        Amount::RestLeaving(_) => "all".to_owned(),
        Amount::NotKnown => "not known".to_owned(),
    }
}

/// To the microlitre, so that what is not touched stays what it was.
fn litres(microlitres: i64) -> String {
    format!("{} L", microlitres as f64 / 1e6)
}
