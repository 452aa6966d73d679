//! Measuring and tasting.

use super::losses::sample_too;
use super::read::{full_vessel, number, place, reading, warmth};
use super::things::done;
use super::{Field, Group, Refusal, Takes, Verb, ask, flag};
use crate::cellar::entry::{Draft, Kind, Property, Tasting};

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
        let (vessel, _) = full_vessel(form, "place", cellar)?;
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
            .map(|it| format!("{} {}", it.property.label(), it.typed))
            .collect();
        done(draft, format!("{}: {}.", vessel.name(), found.join(", ")))
    },
};

pub(super) static TASTE: Verb = Verb {
    name: "taste",
    sentence: "Write down how a wine tastes.",
    group: Group::Looking,
    fields: &[
        ask("place", "Wine", "Which vessel or bottles.", Takes::Place),
        flag("words", "Words", "In your own words.", Takes::Text),
        flag(
            "score",
            "Score",
            "A number on your own scale.",
            Takes::Number(""),
        ),
        SAMPLE,
    ],
    draft: |form, cellar| {
        let place = place(form, "place", cellar)?;
        let score = number(
            form,
            "score",
            leesline_calc::quantity::Quantity::Number,
            (0.0, 1000.0),
            cellar,
        )?;
        let words = form.get("words").or(form.get("note"));
        let words = words.unwrap_or_default().to_owned();
        if words.is_empty() && score.is_none() {
            return Err(Refusal::input(
                "words",
                "How does it taste? A few words will do.",
            ));
        }
        let mut draft = Draft::new(Kind::Taste, cellar.now);
        sample_too(&mut draft, place.key, form, cellar)?;
        draft.tastings.push(Tasting {
            place: place.key,
            words,
            score,
            sheet: String::new(),
        });
        done(draft, format!("Taste {}.", place.name()))
    },
};
