//! What was typed about a blend, read: the wines, the bounds, the aim.

use super::super::acid_inputs::refused;
use super::super::list_input::{Item, items};
use super::properties::{PROPERTIES, find, words};
use crate::blend::{Aim, Bound, Side, Subject};
use crate::error::CalcError;
use crate::inputs::Inputs;
use crate::quantity::{Quantity, Units, parse, quoted};

/// More than anyone blends at once.
const MOST_WINES: usize = 40;
/// The largest volume, in litres.
const MOST_L: f64 = 1e6;
const FORM: &str = "name:litres:alcohol=13";

/// A wine there is.
pub(super) struct Wine<'a> {
    pub name: &'a str,
    pub litres: f64,
    /// What is known of it, in the order of the properties.
    pub figures: [Option<f64>; PROPERTIES.len()],
}

/// All that was asked.
pub(super) struct Question<'a> {
    pub wines: Vec<Wine<'a>>,
    pub make_l: Option<f64>,
    pub bounds: Vec<Bound>,
    /// The bounds as they were typed.
    pub bounds_typed: Vec<String>,
    /// `None` where all there is goes together.
    pub aim: Option<Aim>,
}

impl<'a> Question<'a> {
    pub(super) fn read(inputs: &'a Inputs) -> Result<Self, CalcError> {
        let units = *inputs.units();
        let wines = items(
            "wines",
            inputs.text("wines").unwrap_or_default(),
            FORM,
            MOST_WINES,
        )?
        .iter()
        .map(|item| wine(item, units))
        .collect::<Result<Vec<_>, _>>()?;
        let make_l = inputs.number("make_l");
        let total: f64 = wines.iter().map(|wine| wine.litres).sum();
        if let Some(make) = make_l
            && make > total + 1e-9
        {
            return Err(refused(
                "make_l",
                format!(
                    "together they are {total:.2} L, {:.2} L too little for {make:.2} L: make less or name another wine",
                    make - total
                ),
            ));
        }
        let (mut bounds, mut bounds_typed) = (Vec::new(), Vec::new());
        for text in inputs.text("bounds").unwrap_or_default().split(',') {
            let text = text.trim();
            if text.is_empty() {
                continue;
            }
            for bound in bound(text, &wines, units)? {
                bounds.push(bound);
                bounds_typed.push(text.to_owned());
            }
        }
        let aim = match inputs.text("aim") {
            Some(text) => Some(aim(text, &wines, units)?),
            None if make_l.is_some() => Some(Aim::Even),
            None if !bounds.is_empty() => Some(Aim::Most(Subject::Volume)),
            None => None,
        };
        let of_a_property = matches!(
            aim,
            Some(
                Aim::Least(Subject::Figure(_))
                    | Aim::Most(Subject::Figure(_))
                    | Aim::Near(Subject::Figure(_), _)
            )
        );
        if of_a_property && make_l.is_none() {
            return Err(refused(
                "make_l",
                "the best blend by a property depends on how much of it there is to be: say how much to make",
            ));
        }
        if matches!(aim, Some(Aim::Least(Subject::Volume))) {
            return Err(refused(
                "aim",
                "the least of it is none at all: aim at most volume, or at a property",
            ));
        }
        Ok(Self {
            wines,
            make_l,
            bounds,
            bounds_typed,
            aim,
        })
    }
}

fn wine<'a>(item: &Item<'a>, units: Units) -> Result<Wine<'a>, CalcError> {
    let litres = item.figure(Quantity::Volume, item.fields[0], (0.001, MOST_L), units)?;
    let mut figures = [None; PROPERTIES.len()];
    for field in &item.fields[1..] {
        let Some((word, value)) = field.split_once('=') else {
            return Err(item.refused(&format!(
                "{} is no property: write alcohol=13",
                quoted(field)
            )));
        };
        let Some((at, property)) = find(word) else {
            return Err(item.refused(&format!(
                "{} is no property: they are {}",
                quoted(word),
                words()
            )));
        };
        if figures[at].is_some() {
            return Err(item.refused(&format!("{} is given twice: give it once", property.word)));
        }
        figures[at] = Some(item.figure(property.quantity, value.trim(), property.range, units)?);
    }
    Ok(Wine {
        name: item.name,
        litres,
        figures,
    })
}

/// `alcohol>=12.5`; `alcohol=12.5` is both sides at once.
fn bound(text: &str, wines: &[Wine], units: Units) -> Result<Vec<Bound>, CalcError> {
    let form = || {
        refused(
            "bounds",
            format!(
                "{} is no bound: write alcohol>=12.5 or ta<=6.5, with commas between",
                quoted(text)
            ),
        )
    };
    let at = text.find(['<', '>', '=', '≤', '≥']).ok_or_else(form)?;
    let (word, rest) = text.split_at(at);
    let sign = rest.chars().next().ok_or_else(form)?;
    let sides: &[Side] = match sign {
        '>' | '≥' => &[Side::AtLeast],
        '<' | '≤' => &[Side::AtMost],
        _ => &[Side::AtLeast, Side::AtMost],
    };
    let value = rest[sign.len_utf8()..].trim_start_matches('=').trim();
    let (subject, quantity) = subject("bounds", word, wines)?;
    let figure = number("bounds", quantity, value, units)?;
    Ok(sides
        .iter()
        .map(|side| Bound {
            subject: subject.clone(),
            side: *side,
            figure,
        })
        .collect())
}

/// `least cost`, `most volume`, `alcohol=12.5`, `even`.
fn aim(text: &str, wines: &[Wine], units: Units) -> Result<Aim, CalcError> {
    let text = text.trim();
    if text.eq_ignore_ascii_case("even") {
        return Ok(Aim::Even);
    }
    if let Some((word, value)) = text.split_once('=') {
        let (subject, quantity) = subject("aim", word, wines)?;
        return Ok(Aim::Near(
            subject,
            number("aim", quantity, value.trim(), units)?,
        ));
    }
    match text.split_once(' ') {
        Some((way, word)) if way.eq_ignore_ascii_case("least") => {
            Ok(Aim::Least(subject("aim", word, wines)?.0))
        }
        Some((way, word)) if way.eq_ignore_ascii_case("most") => {
            Ok(Aim::Most(subject("aim", word, wines)?.0))
        }
        _ => Err(refused(
            "aim",
            format!(
                "{} is no aim: write least cost, most volume, alcohol=12.5 or even",
                quoted(text)
            ),
        )),
    }
}

/// What a word is about: the volume, a wine or a property, which each wine must then have.
fn subject(
    key: &'static str,
    word: &str,
    wines: &[Wine],
) -> Result<(Subject, Quantity), CalcError> {
    let word = word.trim();
    if word.eq_ignore_ascii_case("volume") {
        return Ok((Subject::Volume, Quantity::Volume));
    }
    if let Some(at) = wines
        .iter()
        .position(|wine| wine.name.eq_ignore_ascii_case(word))
    {
        return Ok((Subject::Wine(at), Quantity::Volume));
    }
    let Some((at, property)) = find(word) else {
        return Err(refused(
            key,
            format!(
                "{} is neither a wine named here nor a property: they are volume, {}",
                quoted(word),
                words()
            ),
        ));
    };
    let figures = wines
        .iter()
        .map(|wine| {
            wine.figures[at].ok_or_else(|| {
                refused(
                    "wines",
                    format!(
                        "{} of {} is not known: add :{}=… to it",
                        property.word,
                        quoted(wine.name),
                        property.word
                    ),
                )
            })
        })
        .collect::<Result<_, _>>()?;
    Ok((Subject::Figure(figures), property.quantity))
}

fn number(
    key: &'static str,
    quantity: Quantity,
    text: &str,
    units: Units,
) -> Result<f64, CalcError> {
    parse(quantity, text, &units).map_err(|problem| refused(key, problem.to_string()))
}

/// A figure for a message: as many places as say something.
pub(super) fn figure(value: f64) -> String {
    let places = if value.abs() < 10.0 { 2 } else { 1 };
    format!("{value:.places$}")
}
