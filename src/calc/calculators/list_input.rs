//! Lists that a person types on one line: `name:litres, name:litres`.

use super::acid_inputs::refused;
use crate::error::CalcError;
use crate::quantity::{Quantity, Units, parse, quoted};

/// One item of a list: its name, and what stands behind it between colons.
pub(super) struct Item<'a> {
    pub name: &'a str,
    pub fields: Vec<&'a str>,
    text: &'a str,
    key: &'static str,
}

/// The items of a list, each with a name of its own. Refuses what [`named`] does, and a name given twice.
pub(super) fn items<'a>(
    key: &'static str,
    text: &'a str,
    form: &str,
    most: usize,
) -> Result<Vec<Item<'a>>, CalcError> {
    let items = named(key, text, form, most)?;
    for (at, item) in items.iter().enumerate() {
        let is_it = |known: &Item| known.name.eq_ignore_ascii_case(item.name);
        if items[..at].iter().any(is_it) {
            return Err(refused(
                key,
                format!(
                    "{} is named twice: give each a name of its own",
                    quoted(item.name)
                ),
            ));
        }
    }
    Ok(items)
}

/// The items of a list, with commas between. Refuses an item without a name or without anything behind it, none at all, and
/// more than `most`.
pub(super) fn named<'a>(
    key: &'static str,
    text: &'a str,
    form: &str,
    most: usize,
) -> Result<Vec<Item<'a>>, CalcError> {
    let mut items = Vec::<Item>::new();
    for text in text
        .split(',')
        .map(str::trim)
        .filter(|part| !part.is_empty())
    {
        let mut fields = text.split(':').map(str::trim);
        let name = fields.next().unwrap_or_default();
        let fields: Vec<&str> = fields.collect();
        let lacks = match (name.is_empty(), fields.iter().all(|field| field.is_empty())) {
            (true, _) => Some("name"),
            (false, true) => Some("figure"),
            (false, false) => None,
        };
        if let Some(lacks) = lacks {
            return Err(refused(
                key,
                format!(
                    "{} has no {lacks}: write {form}, with commas between",
                    quoted(text)
                ),
            ));
        }
        items.push(Item {
            name,
            fields,
            text,
            key,
        });
    }
    if items.is_empty() {
        return Err(refused(
            key,
            format!("nothing is named: write {form}, with commas between"),
        ));
    }
    if items.len() > most {
        return Err(refused(
            key,
            format!(
                "{} are more than the {most} that can be weighed up: name those that come into question",
                items.len()
            ),
        ));
    }
    Ok(items)
}

impl Item<'_> {
    /// A figure of the item between two ends.
    pub(super) fn figure(
        &self,
        quantity: Quantity,
        text: &str,
        (low, high): (f64, f64),
        units: Units,
    ) -> Result<f64, CalcError> {
        let figure =
            parse(quantity, text, &units).map_err(|problem| self.refused(&problem.to_string()))?;
        if (low..=high).contains(&figure) {
            return Ok(figure);
        }
        Err(self.refused(&format!(
            "{} is outside {}: check it and give it again",
            quoted(text),
            format!("{low} to {high} {}", quantity.unit()).trim_end()
        )))
    }

    /// A refusal that names the item.
    pub(super) fn refused(&self, sentence: &str) -> CalcError {
        refused(self.key, format!("in {}: {sentence}", quoted(self.text)))
    }
}
