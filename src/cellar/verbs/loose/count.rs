//! Bottles as people count them: `two dozen`, `30?`, `2 cases and 3`, `12 x 750`.

use super::hedge::{around, hedged};
use super::number::counted;
use super::{Loose, is_not_known, plain, range};
use crate::cellar::bottling::Package;

/// Reads a number of bottles.
pub(in crate::cellar::verbs) fn bottles(text: &str) -> Option<Loose> {
    let text = plain(text);
    if is_not_known(&text) {
        return Some(Loose::NotKnown);
    }
    let text = text
        .trim_end_matches(" bottles")
        .trim_end_matches(" bottle");
    let number = |it: &str| whole(it);
    // `2 cases and 3`.
    if let Some((lot, more)) = text
        .split_once(" and ")
        .or_else(|| text.split_once(" plus "))
        && names_a_lot(lot)
        && let (Some(Loose::Exactly(lot)), Some(Loose::Exactly(more))) =
            (bottles(lot), bottles(more))
    {
        return Some(Loose::Exactly(lot + more));
    }
    if let Some(span) = range(text, &number) {
        return Some(whole_span(span));
    }
    let (hedge, rest) = hedged(text);
    let rest = rest.trim_end_matches(" left").trim_end_matches(" bottles");
    if let Some(span) = range(rest, &number) {
        return Some(whole_span(span));
    }
    let (counted, width) = counted(rest);
    number(&counted).map(|it| whole_span(around(hedge, it, width.map(|w| w * it))))
}

/// Bottles are whole; a middle between two is rounded up.
fn whole_span(loose: Loose) -> Loose {
    match loose {
        Loose::About(middle, span) => Loose::About(
            (middle + 0.5).floor(),
            span.map(|(low, high)| (low.floor(), high.ceil())),
        ),
        other => other,
    }
}

fn whole(text: &str) -> Option<f64> {
    let number: f64 = text.parse().ok()?;
    ((1.0..=1e6).contains(&number) && number.fract() == 0.0).then_some(number)
}

/// `12 x 750`, `6 × 37.5 cl`, `9 halves`: how many, and the size of each in mL.
pub(in crate::cellar::verbs) fn bottles_of_size(text: &str) -> Option<(i64, i64)> {
    let text = plain(text).replace('×', "x");
    for (word, size_ml) in NAMED_SIZES {
        if let Some(many) = text.strip_suffix(word) {
            return Some((whole(&counted(many).0)? as i64, *size_ml));
        }
    }
    let (many, size) = text.split_once('x')?;
    let many = whole(many.trim())?;
    let size = size.trim().trim_end_matches(" bottles");
    let (figure, per) = if let Some(figure) = size.strip_suffix("cl") {
        (figure, 10.0)
    } else if let Some(figure) = size.strip_suffix("ml") {
        (figure, 1.0)
    } else if let Some(figure) = size.strip_suffix('l') {
        (figure, 1000.0)
    } else {
        // Without a unit 75 is centilitres, 750 millilitres, 1.5 litres.
        let number: f64 = size.parse().ok()?;
        let per = match number {
            it if it < 20.0 => 1000.0,
            it if it < 100.0 => 10.0,
            _ => 1.0,
        };
        (size, per)
    };
    let size_ml = figure.trim().parse::<f64>().ok()? * per;
    let (least, most) = Package::Bottle.sizes_ml();
    (least as f64..=most as f64)
        .contains(&size_ml)
        .then_some((many as i64, size_ml.round() as i64))
}

/// Sizes that have a name, mL (common practice).
const NAMED_SIZES: &[(&str, i64)] = &[
    (" half bottles", 375),
    (" half-bottles", 375),
    (" half bottle", 375),
    (" halves", 375),
    (" magnums", 1500),
    (" magnum", 1500),
];

/// Whether the words name a case, whose size is then to be said.
pub(in crate::cellar::verbs) fn names_a_case(text: &str) -> bool {
    plain(text)
        .split(' ')
        .any(|it| matches!(it, "case" | "cases"))
}

/// Whether the words count by the case or dozen.
fn names_a_lot(text: &str) -> bool {
    text.split(' ')
        .any(|it| matches!(it, "case" | "cases" | "dozen" | "doz"))
}
