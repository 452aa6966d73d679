//! What a bottling takes besides wine, and what of it is not there.

use leesline_calc::quantity::Units;
use leesline_calc::registry;

use super::on_hand::{left, left_count, lots};
use super::{Closure, Plan, Sanitizer};
use crate::cellar::entry::Dose;
use crate::cellar::snapshot::Snapshot;

/// Something there is too little of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Short {
    /// What.
    pub what: String,
    /// How much it takes, with its unit.
    pub wanted: String,
    /// How much there is, with its unit; `None` where the book never had any.
    pub there: Option<String>,
}

impl Short {
    /// `citric acid: 12.5 g wanted, 3.0 g there`.
    pub fn words(&self) -> String {
        let there = self.there.as_ref();
        let there = there.map_or("none in the book".to_owned(), |it| format!("{it} there"));
        format!("{}: {} wanted, {there}", self.what, self.wanted)
    }
}

/// So many and a twentieth more, at least two: corks jam and labels tear (common practice).
pub(super) fn with_spare(bottles: i64) -> i64 {
    match bottles {
        0 => 0,
        _ => bottles + ((bottles + 19) / 20).max(2),
    }
}

/// Rinser, hose and corks, and what each bottle carries off: 1.5 L and 20 mL a bottle (common practice).
pub(super) fn sanitizer(bottles: i64) -> Sanitizer {
    sanitizer_of(1.5 + 0.02 * bottles as f64)
}

/// So many litres, made up as the calculation of sanitizer has it.
pub fn sanitizer_of(litres: f64) -> Sanitizer {
    let make = format!("{litres} L");
    let answer = registry::find("sanitizer")
        .and_then(|it| it.ask(&[("make_l", &make)], &Units::default()).ok());
    let number = |key: &str| {
        answer
            .as_ref()
            .and_then(|it| it.number(key))
            .unwrap_or_default()
    };
    Sanitizer {
        litres,
        metabisulfite_g: number("metabisulfite_g"),
        citric_g: number("citric_g"),
        minutes: number("contact_min"),
    }
}

/// How long bottles and gear stay wet with it, ms.
pub fn contact_ms() -> i64 {
    (sanitizer(0).minutes * 60_000.0) as i64
}

/// What the book has too little of. Bottles, closures and powders that it never had are to be looked for;
/// capsules, labels and gaskets are missed only by who counts them.
pub(super) fn short(plan: &Plan<'_>, cellar: &Snapshot) -> Vec<Short> {
    let mut short = Vec::new();
    let mut count = |what: String, wanted: i64, there: Option<i64>| {
        if there.unwrap_or(0) < wanted {
            short.push(Short {
                what,
                wanted: wanted.to_string(),
                there: there.map(|it| it.to_string()),
            });
        }
    };
    // Of the sizes on hand no more are filled than there are, and the rest of the wine wants bottles too.
    let lacking = |size_ml: i64| {
        plan.lacking
            .filter(|it| it.1 == size_ml)
            .map_or(0, |it| it.0)
    };
    let in_part = |size_ml: i64| {
        let part = plan
            .fills
            .iter()
            .filter(|it| !it.is_full() && it.package_ml == size_ml);
        part.map(|it| it.bottles).sum::<i64>()
    };
    for fill in plan.fills.iter().filter(|it| it.is_full()) {
        count(
            format!(
                "{} {}s",
                plan.package.size_words(fill.size_ml),
                plan.package.label()
            ),
            fill.bottles + in_part(fill.size_ml) + lacking(fill.size_ml),
            fill.on_hand(),
        );
    }
    let is_missed = |what: &str| Closure::from_word(what).is_some();
    let takes = plan.closure.supply().map(|it| (it, plan.closures));
    let takes = takes.into_iter();
    for (what, wanted) in takes.chain([("capsule", plan.closures), ("label", plan.labels)]) {
        let there = counted(what, cellar);
        if there.is_some() || is_missed(what) {
            count(plural(what), wanted, there);
        }
    }
    let grams = [
        (
            "potassium-metabisulfite",
            plan.sanitizer.metabisulfite_g + plan.sulfite.grams(),
        ),
        ("citric-acid", plan.sanitizer.citric_g),
    ];
    for (what, wanted) in grams {
        let there = weighed(what, cellar);
        if there.is_none_or(|it| it < wanted) && wanted > 0.0 {
            short.push(Short {
                what: what.replace('-', " "),
                wanted: format!("{wanted:.1} g"),
                there: there.map(|it| format!("{it:.1} g")),
            });
        }
    }
    short
}

/// How many of it there are; `None` where the book counts none. Crowns whose size nobody wrote down may be
/// of either.
pub(super) fn counted(substance: &str, cellar: &Snapshot) -> Option<i64> {
    let either = match Closure::from_word(substance) {
        Some(Closure::Crown26 | Closure::Crown29) => Some(Closure::CrownCap.word()),
        _ => None,
    };
    let words = [substance].into_iter().chain(either);
    let lots = words.flat_map(|it| lots(it, cellar));
    lots.filter_map(|it| left_count(it.key, cellar))
        .reduce(|sum, count| sum + count)
}

/// How many grams of it there are; `None` where the book weighs none.
fn weighed(substance: &str, cellar: &Snapshot) -> Option<f64> {
    let grams = lots(substance, cellar).filter_map(|lot| match left(lot.key, cellar) {
        Some(Dose::Mass(mass)) => Some(mass.in_grams()),
        _ => None,
    });
    grams.reduce(|sum, grams| sum + grams)
}

/// Two of them.
fn plural(what: &str) -> String {
    format!("{}s", Closure::said(what))
}
