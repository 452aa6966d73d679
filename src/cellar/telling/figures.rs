//! Figures and names as people say them.

use super::super::amount::Volume;
use super::super::entry::{Dose, Found, Property};
use super::super::snapshot::Snapshot;
use super::super::thing::{Account, Key, Sort};

/// The name that a thing or account has now; of a thing that no longer lives the one that it had last.
pub fn name(key: Key, cellar: &Snapshot) -> String {
    match cellar.thing(key).map(|it| it.sort) {
        Some(Sort::Cellar) => "the cellar".to_owned(),
        Some(_) => cellar.name(key).to_owned(),
        None => match (Account::from_key(key), cellar.gone.get(&key)) {
            (Some(account), _) => account.word().replace('-', " "),
            (None, Some(was)) => was.clone(),
            (None, None) => "something voided".to_owned(),
        },
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
        Dose::Packets(1) => "1 packet".to_owned(),
        Dose::Packets(count) => format!("{count} packets"),
        Dose::Tablets(500) => "half a tablet".to_owned(),
        Dose::Tablets(1000) => "1 tablet".to_owned(),
        Dose::Tablets(thousandths) => format!("{} tablets", thousandths as f64 / 1e3),
    }
}

/// A found value with the unit of its property: `3.31`, `15 mg/L`, `12–15 mg/L`, `<10 mg/L`, `gone`.
pub fn found(property: Property, found: &Found) -> String {
    let value = figure(property, found);
    match (unit(property), found) {
        ("", _) | (_, Found::Word(_)) => value,
        (unit, _) => format!("{value} {unit}"),
    }
}

/// The same without its unit.
pub fn figure(property: Property, found: &Found) -> String {
    let number = |value: f64| match property {
        Property::Gravity => format!("{value:.3}"),
        Property::Ph | Property::Volatile => format!("{value:.2}"),
        Property::FreeSo2 | Property::TotalSo2 => format!("{value:.0}"),
        // What rounds to nought below nought is nought.
        _ => format!("{}", (value * 10.0).round() / 10.0 + 0.0),
    };
    match found {
        Found::Number(value) => number(*value),
        Found::Between(low, high) => format!("{}–{}", number(*low), number(*high)),
        Found::Below(bound) => format!("<{}", number(*bound)),
        Found::Above(bound) => format!(">{}", number(*bound)),
        Found::Word(word) if property == Property::Trouble => {
            crate::cellar::trouble::name(word).to_owned()
        }
        Found::Word(word) => word.clone(),
    }
}

/// The unit that a property is read in; empty for gravity, pH and words.
pub const fn unit(property: Property) -> &'static str {
    match property {
        Property::Temperature => "°C",
        Property::FreeSo2 | Property::TotalSo2 => "mg/L",
        Property::Ta | Property::Sugar | Property::Malic | Property::Volatile => "g/L",
        Property::Alcohol => "% vol",
        Property::Gravity
        | Property::Ph
        | Property::Clarity
        | Property::Gas
        | Property::Corks
        | Property::Seepage
        | Property::Trouble => "",
    }
}

/// A volume as one says it: `22 L`, `22.4 L`, `600 mL`.
pub fn litres(volume: Volume) -> String {
    volume.to_string().replace(".0 L", " L")
}

/// What was found of a property: `pH 3.31`, `gravity 1.012`, `hazy`, `no gas`.
pub(super) fn reading(property: Property, value: &Found) -> String {
    match (property, value) {
        (Property::Clarity, Found::Word(word)) => word.clone(),
        (Property::Gas, Found::Word(word)) if word == "none" => "no gas".to_owned(),
        (Property::Gas, Found::Word(word)) => format!("{word} gas"),
        (Property::Seepage, Found::Word(word)) if word == "none" => "no seepage".to_owned(),
        (Property::Seepage, Found::Word(word)) => format!("{word} seepage"),
        _ => format!("{} {}", property.label(), found(property, value)),
    }
}
