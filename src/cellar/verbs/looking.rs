//! Measuring and tasting.

use super::losses::sample_too;
use super::read::{full_vessel, number, place, reading, warmth, word};
use super::slips::odd_readings;
use super::things::done;
use super::{Field, Form, Group, Refusal, Takes, Verb, ask, find, flag};
use crate::cellar::amount::Volume;
use crate::cellar::entry::{Amount, Draft, Due, Job, Kind, Property, Tasting};
use crate::cellar::moment;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Wine;
use crate::cellar::tasting::{self, Marks, sheets};
use crate::cellar::telling;
use crate::cellar::thing::{Account, Key, Sort};

const SAMPLE: Field = flag(
    "sample",
    "Sample",
    "How much was drawn for it, if it did not go back.",
    Takes::Volume,
);

macro_rules! properties {
    ($($key:literal $property:ident $label:literal $help:literal;)*) => {
        /// Fields of a measurement with the property of each.
        const PROPERTIES: &[(&str, Property)] = &[$(($key, Property::$property)),*];
        const FIELDS: &[Field] = &[
            ask("place", "Vessel", "Which vessel.", Takes::FullVessel),
            $(flag($key, $label, $help, Takes::Reading(Property::$property)),)*
            flag("instrument", "Instrument", "With what, and how it was calibrated.", Takes::Text),
            SAMPLE,
        ];
    };
}
properties! {
    "gravity" Gravity "Gravity" "Specific gravity: `1.012`, or `1.012 at 68 F`.";
    "temperature" Temperature "Temperature" "Of the wine.";
    "ph" Ph "pH" "By meter, or from a strip: `3.2-3.6`, `3.5 by strip`, `about 3.5`.";
    "free-so2" FreeSo2 "Free SO2" "In mg/L; `<10`, `less than 10` and `20-30` will do.";
    "total-so2" TotalSo2 "Total SO2" "In mg/L.";
    "ta" Ta "TA" "Titratable acidity in g/L as tartaric acid.";
    "alcohol" Alcohol "Alcohol" "In % vol.";
    "sugar" Sugar "Residual sugar" "In g/L.";
    "malic" Malic "Malic acid" "In g/L, or by paper: strong, faint, gone.";
    "va" Volatile "Volatile acidity" "In g/L as acetic acid.";
    "clarity" Clarity "Clarity" "Cloudy, hazy, clear or bright.";
    "gas" Gas "Gas" "Much, some or none when shaken.";
}

pub(super) static MEASURE: Verb = Verb {
    name: "measure",
    sentence: "Write down what was measured, as read.",
    group: Group::Looking,
    fields: FIELDS,
    draft: |form, cellar| {
        let (vessel, wine) = full_vessel(form, "place", cellar)?;
        let mut draft = Draft::new(Kind::Measure, cellar.now);
        for (key, property) in PROPERTIES {
            draft
                .readings
                .extend(reading(form, key, vessel.key, *property, cellar)?);
        }
        if form.get("temperature").is_none() {
            let warmth = draft.readings.first().and_then(|it| warmth(it, cellar));
            draft.readings.extend(warmth);
        }
        sample_too(&mut draft, vessel.key, form, cellar)?;
        if draft.readings.is_empty() {
            return Err(Refusal::input(
                "gravity",
                "What was measured? Give at least one: gravity, pH, free SO2, a word for clarity.",
            ));
        }
        let found: Vec<String> = draft
            .readings
            .iter()
            .map(|it| {
                // A bare number is said with its unit.
                let is_bare = it.typed.trim().parse::<f64>().is_ok();
                let words = telling::found(it.property, &it.found);
                let words = if is_bare { &words } else { &it.typed };
                format!("{} {words}", it.property.label())
            })
            .collect();
        let asks = odd_readings(vessel, wine, &draft.readings, cellar);
        let sentence = format!("Measure {}: {}.", vessel.name(), found.join(", "));
        Ok(done(draft, sentence)?.only_if(asks))
    },
};

/// No scale in use for wine goes higher: cards have 20 points, the largest sheets 100 (common practice).
pub(super) const MOST_SCORE: f64 = 100.0;

pub(super) const SHEET: Field = flag(
    "sheet",
    "Sheet",
    "A score sheet; its points are summed to the score.",
    Takes::Choice(sheets::NAMES),
);
pub(super) const POINTS: Field = flag(
    "points",
    "Points",
    "For all items of the sheet, in its order, with blanks between; left out, the sheet's items are listed.",
    Takes::Points,
);
/// Drawn to be tasted.
pub(super) const TASTED: Field = flag(
    "sample",
    "Sample",
    "How much was drawn: 30 mL from a vessel if left out, or `none`.",
    Takes::Volume,
);

pub(super) static TASTE: Verb = Verb {
    name: "taste",
    sentence: "Write down how a wine tastes.",
    group: Group::Looking,
    fields: &[
        ask("place", "Wine", "Which vessel or bottles.", Takes::Place),
        flag("words", "Words", "In your own words.", Takes::Words),
        flag(
            "score",
            "Score",
            "A number on your own scale, from 0 to 100.",
            Takes::Number(""),
        ),
        SHEET,
        POINTS,
        flag(
            "act",
            "Keep or act",
            "What it asks for, as a job for the day or month named in it, else for today; empty keeps it as it is.",
            Takes::Text,
        ),
        TASTED,
    ],
    draft: |form, cellar| {
        let place = place(form, "place", cellar)?;
        let score = number(
            form,
            "score",
            leesline_calc::quantity::Quantity::Number,
            (0.0, MOST_SCORE),
            cellar,
        )?;
        let marks = marks(form)?;
        let score = marks.as_ref().map(Marks::sum).or(score);
        let words = form.get("words").or(form.get("note"));
        let words = words.unwrap_or_default().to_owned();
        if words.is_empty() && score.is_none() {
            return Err(Refusal::input(
                "words",
                "How does it taste? A few words will do.",
            ));
        }
        let mut draft = Draft::new(Kind::Taste, cellar.now);
        let drawn = drawn(&mut draft, place.key, form, cellar)?;
        draft.tastings.push(Tasting {
            place: place.key,
            words,
            score,
            sheet: marks.map_or_else(String::new, |it| it.to_string()),
        });
        let act = form.get("act").filter(|it| !keeps(it));
        let named = act.map(|it| (it, moment::named_in(it, cellar.now)));
        draft.jobs.extend(named.map(|(title, day)| {
            let days = day.map_or(0, |it| (it - cellar.now.date()).num_days());
            Job {
                key: Key(0),
                subject: place.key,
                title: title.to_owned(),
                due: Due::On(cellar.now.plus_days(days).utc_ms),
                verb: title
                    .split_whitespace()
                    .next()
                    .and_then(find)
                    .map_or("", |it| it.name)
                    .to_owned(),
            }
        }));
        let mut prepared = done(draft, format!("Taste {}{drawn}.", place.name()))?;
        prepared.asks.extend(fault(&prepared.draft, place.name()));
        let is_undated = named.is_some_and(|it| it.1.is_none());
        prepared.asks.extend(is_undated.then(|| {
            let title = act.unwrap_or_default();
            format!("When? `{title}` names no day, so it is due today; `{title} in October` or a date among the words says when.")
        }));
        Ok(prepared)
    },
};

/// Whether what it asks for is to be left as it is, in words.
fn keeps(act: &str) -> bool {
    let act = act.trim().to_lowercase();
    let act = act.trim_end_matches('.');
    matches!(
        act,
        "keep"
            | "keep it"
            | "keep it as it is"
            | "leave"
            | "leave it"
            | "leave it as it is"
            | "none"
            | "nothing"
            | "no"
    )
}

/// Drawn to taste a wine where nobody says how much, mL: a mouthful for each of two (common practice).
const SAMPLE_ML: i64 = 30;

/// Draws what was tasted, and says so where nobody said how much. What is tasted of a run comes from a
/// bottle that was opened, and nothing is drawn for it.
pub(super) fn drawn(
    draft: &mut Draft,
    place: Key,
    form: &Form,
    cellar: &Snapshot,
) -> Result<String, Refusal> {
    match form.get("sample") {
        Some("none" | "no" | "0") => return Ok(String::new()),
        Some(_) => {
            sample_too(draft, place, form, cellar)?;
            return Ok(String::new());
        }
        None => {}
    }
    let sample = Volume::millilitres(SAMPLE_ML);
    let thing = cellar.thing(place);
    let is_vessel = thing.is_some_and(|it| it.sort == Sort::Vessel);
    let has_so_much = |it: &Wine| it.unmeasured.is_some() || it.volume >= sample;
    if !is_vessel || !cellar.wine(place).is_some_and(has_so_much) {
        return Ok(String::new());
    }
    draft.pour(place, Account::Samples.key(), Amount::Exactly(sample));
    Ok(format!(", drawing {SAMPLE_ML} mL"))
}

/// The sheet that was filled in, if one was named.
pub(super) fn marks(form: &Form) -> Result<Option<Marks>, Refusal> {
    let Some(sheet) = word(form, "sheet", sheets::NAMES)?.and_then(sheets::find) else {
        return match form.get("points") {
            Some(_) => Err(Refusal::input(
                "sheet",
                format!(
                    "Of which sheet are the points? There are {}.",
                    sheets::NAMES.join(", ")
                ),
            )),
            None => Ok(None),
        };
    };
    let typed = form.get("points").unwrap_or_default();
    let marks = sheet
        .read(typed)
        .map_err(|it| Refusal::input("points", it))?;
    Ok(Some(marks))
}

/// Where a word names a fault, what helps to tell it from its double.
fn fault(draft: &Draft, place: &str) -> Option<String> {
    let said = &draft.tastings.first()?.words;
    let fault = tasting::words::faults(said).next()?;
    Some(format!(
        "{} `leesline trouble '{place}' {}` says how to be sure and what to do.",
        fault.sentence, fault.word
    ))
}
