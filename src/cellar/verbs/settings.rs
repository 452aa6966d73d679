//! The cellar's own settings.

use leesline_calc::quantity::{Gallon, Quantity};

use super::read::{number, word};
use super::{Field, Group, Need, Prepared, Refusal, Takes, Verb, flag};
use crate::cellar::amount::Volume;
use crate::cellar::attention::{Policy, Threshold};
use crate::cellar::entry::{Change, Draft, Kind};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{CELLAR, Sort, Thing, Value, field};

use super::things::changed;

const GALLONS: &[&str] = &["us", "imperial"];
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
            Takes::Choice(GALLONS),
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
            "currency",
            "Currency",
            "What costs are in: three letters such as EUR; nothing is converted.",
            Takes::Text,
        ),
        flag(
            "corker",
            "Corker",
            "How the one corker is set; `corker` has a setting for each cork and bottle.",
            Takes::Text,
        ),
        Field {
            key: "threshold",
            label: "Threshold",
            help: "When a reason is raised, by name: `round days=10`, or `round days=usual`; `leesline policy` lists them.",
            takes: Takes::Text,
            need: Need::Many,
        },
    ],
    draft: |form, cellar| {
        let mut draft = Draft::new(Kind::Settings, cellar.now);
        draft.subject = Some(CELLAR);
        for text in form.all("threshold") {
            draft.changes.push(threshold(text)?);
        }
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
        if let Some(typed) = form.get("currency") {
            let code = typed.to_uppercase();
            if code.len() != 3 || !code.bytes().all(|it| it.is_ascii_uppercase()) {
                return Err(Refusal::input(
                    "currency",
                    format!(
                        "`{typed}` is no code of a currency; write three letters (ISO 4217), such as EUR."
                    ),
                ));
            }
            draft.set(CELLAR, field::CURRENCY, code.as_str());
        }
        if let Some(corker) = form.get("corker") {
            if let Some(named) = cellar.open(Sort::Corker).next() {
                return Err(Refusal::input(
                    "corker",
                    format!(
                        "your corkers have names of their own; set one with `corker \"{}\" --setting`.",
                        named.name()
                    ),
                ));
            }
            draft.set(CELLAR, field::CORKER, corker);
        }
        for (key, name, words) in [
            ("gallon", field::GALLON, GALLONS),
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
        let gallon = match word(form, "gallon", GALLONS)? {
            Some("imperial") => Gallon::Imperial,
            Some(_) => Gallon::Us,
            None => cellar.settings().units.gallon,
        };
        let asks = marked_in_other_gallons(gallon, cellar)
            .into_iter()
            .collect();
        let prepared = changed(draft, "the settings")?;
        Ok(Prepared { asks, ..prepared })
    },
};

/// Where another gallon is taken from now on: the vessels whose size is a round number of the one
/// before, to the microlitre, so that it was surely typed in it. What was written stays as it was.
fn marked_in_other_gallons(gallon: Gallon, cellar: &Snapshot) -> Option<String> {
    let before = cellar.settings().units.gallon;
    if before == gallon {
        return None;
    }
    let in_gallons = |it: &Thing| {
        let size = it.capacity()?;
        let halves = (size.in_litres() / before.litres() * 2.0).round();
        let round = Volume::litres(halves / 2.0 * before.litres());
        let is_round = halves >= 1.0 && (size - round).0.abs() <= 1;
        is_round.then(|| format!("{} ({} gal, {size})", it.name(), halves / 2.0))
    };
    let vessels: Vec<String> = cellar.open(Sort::Vessel).filter_map(in_gallons).collect();
    (!vessels.is_empty()).then(|| {
        format!(
            "Entered in {} gallons before, and still so: {}. Where {} gallons were meant, `vessel change` sets the mark \
             anew.",
            before.name(),
            vessels.join(", "),
            gallon.name()
        )
    })
}
/// `round days=10`, or `round days=usual`, which forgets what was set.
fn threshold(text: &str) -> Result<Change, Refusal> {
    let refused = |why: String| Refusal::input("threshold", why);
    let (name, value) = text
        .split_once('=')
        .ok_or_else(|| refused(format!("`{text}` sets nothing; write `round days=10`.")))?;
    let name = name.trim().to_lowercase().replace(['_', '-'], " ");
    let all = Policy::default().thresholds();
    let is_it = |it: &&Threshold| it.label() == name || it.name.replace('_', " ") == name;
    let found = all.iter().find(is_it);
    let Some((it, (low, high))) = found.and_then(|it| Some((it, it.range?))) else {
        let why = match found {
            Some(it) => format!(
                "{} guards the wine or its maker, and stays as it is.",
                it.label()
            ),
            None => format!("no threshold is called `{name}`; `leesline policy` lists them."),
        };
        return Err(refused(why));
    };
    let typed = value.trim().trim_end_matches(it.unit).trim();
    let number: Option<f64> = typed.parse().ok();
    let value = match number.filter(|it| (low..=high).contains(it)) {
        Some(number) => Some(Value::Real(number)),
        None if typed == "usual" => None,
        None => {
            let (label, unit) = (it.label(), it.unit);
            return Err(refused(format!(
                "{label} may be {low} to {high} {unit}; `{typed}` is not."
            )));
        }
    };
    Ok(Change {
        thing: CELLAR,
        field: format!("{}{}", field::THRESHOLD, it.name),
        value,
    })
}
