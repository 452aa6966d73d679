//! Vessels, batches, settings, plans and reasons, as a notebook has it.

use super::{Telling, litres};
use crate::cellar::amount::Volume;
use crate::cellar::attention::ReasonKind;
use crate::cellar::corkers;
use crate::cellar::moment::Moment;
use crate::cellar::thing::{Sort, Value, field};

impl Telling<'_> {
    /// Whether it began a thing of that sort, and all it says of it, in words.
    fn particulars(&self, sort: Sort) -> (bool, String) {
        let is_new = self.draft.new_things.contains(&sort);
        let name = self.subject().to_lowercase();
        let parts: Vec<String> = self
            .changes()
            .filter(|(field, _)| !(is_new && *field == field::NAME))
            // A vessel called `Carboy A` needs no word that it is a carboy.
            .filter(|(field, value)| match value {
                Some(Value::Text(word)) if sort == Sort::Vessel && *field == field::KIND => {
                    !name.contains(word.as_str())
                }
                _ => true,
            })
            .map(|(field, value)| particular(sort, field, value))
            .filter(|it| !it.is_empty())
            .collect();
        (is_new, parts.join(", "))
    }

    pub(super) fn moved(&self) -> String {
        let room = self.changes().find(|it| it.0 == field::ROOM);
        let to = match room {
            Some((_, Some(Value::Text(room)))) => format!(" to {room}"),
            _ => String::new(),
        };
        format!("Moved {}{to}", self.subject())
    }

    pub(super) fn vessel(&self) -> String {
        let vessel = self.subject();
        if self.changes().any(|it| it.0 == field::CLOSED) {
            return format!("Retired {vessel}");
        }
        match self.particulars(Sort::Vessel) {
            (true, more) if more.is_empty() => format!("Added vessel {vessel}"),
            (true, more) => format!("Added vessel {vessel}, {more}"),
            (false, more) => format!("Changed {vessel}: {more}"),
        }
    }

    pub(super) fn batch(&self) -> String {
        let batch = self.subject();
        if self.changes().any(|it| it.0 == field::CLOSED) {
            return format!("Closed the batch {batch}");
        }
        match self.particulars(Sort::Batch) {
            (true, more) if more.is_empty() => format!("Began {batch}"),
            (true, more) => format!("Began {batch}, {more}"),
            (false, more) => format!("Changed {batch}: {more}"),
        }
    }

    pub(super) fn corker(&self) -> String {
        let corker = self.subject();
        let last = self.changes().find_map(|(field, value)| match value {
            Some(Value::Text(lines)) if field == field::CORKER_SETTINGS => {
                corkers::settings(lines).pop()
            }
            _ => None,
        });
        match last {
            Some(last) => format!("Set {corker} to {}", last.words()),
            None => format!("Retired {corker}"),
        }
    }

    pub(super) fn settings(&self) -> String {
        let (_, all) = self.particulars(Sort::Cellar);
        format!("Set up the cellar: {all}")
    }

    pub(super) fn planned(&self) -> String {
        let jobs: Vec<&str> = self.draft.jobs.iter().map(|it| it.title.as_str()).collect();
        if !jobs.is_empty() {
            return format!("Planned for {}: {}", self.subject(), jobs.join(", "));
        }
        let steps = self.changes().find(|it| it.0 == field::STEPS);
        let steps = match steps {
            Some((_, Some(Value::Text(steps)))) => steps.lines().collect::<Vec<&str>>().join(", "),
            _ => String::new(),
        };
        format!("Wrote the plan {}: {steps}", self.subject())
    }

    pub(super) fn silenced(&self) -> String {
        let Some(silence) = self.draft.silences.first() else {
            return format!("Put off what {} asks for", self.subject());
        };
        let label = || {
            let kind = ReasonKind::from_word(&silence.reason);
            kind.map_or_else(
                || silence.reason.replace('-', " "),
                |it| it.label().to_owned(),
            )
        };
        let what = silence
            .job()
            .map_or_else(label, |it| format!("the job {it}"));
        let of = self.name(silence.subject);
        match silence.until_ms {
            Some(until) => {
                let day = self.draft.when.at(until).day_words();
                format!("Put off {what} for {of} until {day}")
            }
            None => format!("Dismissed {what} for {of}"),
        }
    }
}

/// One thing said of a thing.
fn particular(sort: Sort, field: &str, value: Option<&Value>) -> String {
    if let Some(name) = field.strip_prefix(field::THRESHOLD) {
        let value = value.map_or("as usual".to_owned(), bare);
        return format!("{}: {value}", name.replace('_', " "));
    }
    let Some(value) = value else {
        return format!("{} not known", label(field));
    };
    match (sort, field, value) {
        (_, field::CLOSED, _) => String::new(),
        (Sort::Cellar, field::NAME, Value::Text(name)) => format!("called {name}"),
        (_, field::NAME, Value::Text(name)) => format!("now called {name}"),
        (Sort::Vessel, field::MARK, Value::Int(mark)) => litres(Volume(*mark)),
        (_, field::BRIM, Value::Int(brim)) => format!("{} to the brim", litres(Volume(*brim))),
        (Sort::Vessel, field::NECK, _) => format!("neck {} mm", bare(value)),
        (Sort::Batch, field::WINE, Value::Text(wine)) if wine == "unknown" => String::new(),
        (Sort::Batch, field::WINE, Value::Text(wine)) => format!("a {wine} wine"),
        (Sort::Batch, field::KIND, Value::Text(source)) => match source.as_str() {
            // Nobody needs to be told that a fruit wine is made from fruit.
            "fruit" => String::new(),
            "kit" => "from a kit".to_owned(),
            "bought" => "bought".to_owned(),
            source => format!("from {source}"),
        },
        (_, field::MALO, Value::Text(malo)) if malo == "unwanted" => {
            "no malolactic wanted".to_owned()
        }
        (_, field::MALO, Value::Text(malo)) => format!("malolactic {malo}"),
        (_, field::AIM, _) => format!("aim {} mg/L molecular", bare(value)),
        (_, field::SCALE, _) => format!("scale to {} g", bare(value)),
        (_, field::SYRINGE, _) => format!("syringe to {} mL", bare(value)),
        (_, field::HYDROMETER, _) => format!("hydrometer made for {} °C", bare(value)),
        (_, field::TEMPERATURE, _) => format!("usually {} °C", bare(value)),
        (_, field::GALLON, Value::Text(gallon)) if gallon == "us" => "US gallons".to_owned(),
        (_, field::GALLON, Value::Text(gallon)) => format!("{gallon} gallons"),
        (_, field::MEASURES, Value::Text(measures)) => format!("figures in {measures} measures"),
        (_, field::WINDOW_OPENS, Value::Int(at)) => format!("to drink from {}", day(*at)),
        (_, field::WINDOW_CLOSES, Value::Int(at)) => format!("to drink by {}", day(*at)),
        (_, field::STYLE, Value::Text(style)) => {
            format!("to reckon as {}", style.replace('-', " "))
        }
        (Sort::Vessel, _, Value::Text(word)) => word.clone(),
        _ => format!("{} {}", label(field), bare(value)),
    }
}

/// The day of an instant that was written down as noon there.
fn day(utc_ms: i64) -> String {
    let noon = Moment {
        utc_ms,
        offset_min: 0,
    };
    noon.day_words()
}

fn bare(value: &Value) -> String {
    match value {
        Value::Int(value) => value.to_string(),
        Value::Real(value) => value.to_string(),
        Value::Text(text) => text.clone(),
    }
}

fn label(field: &str) -> String {
    let ends = ["_ul", "_ms", "_mm", "_ml", "_g", "_c", "_pct"];
    let bare = ends.iter().find_map(|it| field.strip_suffix(it));
    bare.unwrap_or(field).replace('_', " ")
}
