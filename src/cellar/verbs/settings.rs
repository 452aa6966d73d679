//! The cellar's own settings.

use leesline_calc::quantity::Quantity;

use super::read::{number, word};
use super::{Group, Refusal, Takes, Verb, flag};
use crate::cellar::entry::{Draft, Kind};
use crate::cellar::thing::{CELLAR, Value, field};

use super::things::changed;

const YES_NO: &[&str] = &["yes", "no"];

pub(super) static SETTINGS: Verb = Verb {
    name: "settings",
    sentence: "Set the cellar's name, measures, scale and zone.",
    group: Group::Cellar,
    fields: &[
        flag("name", "Cellar", "Its name, shown at the top.", Takes::Text),
        flag(
            "zone",
            "Zone",
            "`system`, or an offset such as +01:00.",
            Takes::Text,
        ),
        flag(
            "gallon",
            "Gallon",
            "Which gallon and spoon.",
            Takes::Choice(&["us", "imperial"]),
        ),
        flag(
            "measures",
            "Measures",
            "What figures are shown in.",
            Takes::Choice(&["metric", "us", "imperial"]),
        ),
        flag(
            "scale",
            "Scale",
            "Smallest step your scale shows, in g.",
            Takes::Number("g"),
        ),
        flag(
            "syringe",
            "Syringe",
            "Smallest step of your syringe, in mL.",
            Takes::Number("mL"),
        ),
        flag(
            "hydrometer",
            "Hydrometer",
            "Temperature your hydrometer was made for; 20 °C if left out.",
            Takes::Number("°C"),
        ),
        flag(
            "so2-test",
            "SO2 test",
            "Whether you test free SO2; with `no` it is not asked for, and a dose goes by the rule of thumb.",
            Takes::Choice(YES_NO),
        ),
        flag(
            "temperature",
            "Temperature",
            "Usual temperature of the cellar.",
            Takes::Number("°C"),
        ),
        flag(
            "corker",
            "Corker",
            "How it is set, each of them: `bench corker at 3, hand corker 2 mm`.",
            Takes::Text,
        ),
    ],
    draft: |form, cellar| {
        let mut draft = Draft::new(Kind::Settings, cellar.now);
        draft.subject = Some(CELLAR);
        if let Some(name) = form.get("name") {
            draft.set(CELLAR, field::NAME, name);
        }
        if let Some(zone) = form.get("zone") {
            if crate::cellar::moment::Zone::from_setting(zone).is_none() {
                return Err(Refusal::input(
                    "zone",
                    format!("`{zone}` is no zone; write system, or an offset such as +01:00."),
                ));
            }
            draft.set(CELLAR, field::ZONE, zone);
        }
        if let Some(corker) = form.get("corker") {
            draft.set(CELLAR, field::CORKER, corker);
        }
        for (key, name, words) in [
            (
                "gallon",
                field::GALLON,
                &["us", "imperial"] as &'static [&'static str],
            ),
            ("measures", field::MEASURES, &["metric", "us", "imperial"]),
            ("so2-test", field::SO2_TEST, YES_NO),
        ] {
            if let Some(chosen) = word(form, key, words)? {
                draft.set(CELLAR, name, chosen);
            }
        }
        for (key, name, quantity, range) in [
            ("scale", field::SCALE, Quantity::Mass, (0.001, 100.0)),
            (
                "syringe",
                field::SYRINGE,
                Quantity::SmallVolume,
                (0.01, 100.0),
            ),
            (
                "hydrometer",
                field::HYDROMETER,
                Quantity::Temperature,
                (10.0, 30.0),
            ),
            (
                "temperature",
                field::TEMPERATURE,
                Quantity::Temperature,
                (-5.0, 45.0),
            ),
        ] {
            if let Some(value) = number(form, key, quantity, range, cellar)? {
                draft.set(CELLAR, name, Value::Real(value));
            }
        }
        changed(draft, "the settings")
    },
};
