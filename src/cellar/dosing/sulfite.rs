//! What the book knows of the sulfite in a wine: how much went in, how much is free, the aim.

use super::known::{Known, Sign};
use crate::cellar::attention::words::{due, span};
use crate::cellar::attention::{Band, Holding};
use crate::cellar::entry::Property;
use crate::cellar::state::{Deed, SulfiteSoFar};
use crate::cellar::telling;
use crate::cellar::thing::{Thing, Wine, field};

/// Sulfite since the must. What went in before the book, or by an unknown weight, is not counted and
/// is not taken as nothing.
pub(super) fn added(holding: &Holding) -> Known {
    match holding.wine.sulfite_so_far() {
        SulfiteSoFar::Whole(mg_l) => {
            Known::from_book(format!("{mg_l:.0}"), "by the book, since the must")
        }
        so_far @ SulfiteSoFar::AtLeast(mg_l) => {
            Known::from_book(format!("{mg_l:.0}"), so_far.to_string()).rough()
        }
        so_far => Known::nothing(Sign::Unknown, &so_far.to_string()),
    }
}

/// Whether more went in than the book counts, which the line of the sum says too.
pub(super) fn more_before(holding: &Holding) -> Option<Known> {
    let is_least = matches!(holding.wine.sulfite_so_far(), SulfiteSoFar::AtLeast(_));
    is_least.then(|| Known {
        sign: Sign::Blank,
        ..Known::from_book("yes", "by the book")
    })
}

/// The batch's own aim, else the one of its kind.
pub(super) fn aim(holding: &Holding) -> Known {
    let own = holding.batch.and_then(|it| it.real(field::AIM));
    let text = holding.molecular_aim().to_string();
    match (own, holding.batch.map(Thing::wine)) {
        (Some(own), _) if own > 0.0 => Known::from_book(text, "this batch's own"),
        (_, Some(Wine::Red)) => Known::assumed(&text, "usual for red wine"),
        _ => Known::assumed(&text, "usual for all but red"),
    }
}

/// Free SO2 as expected now: a reading of today stands, an older one runs down. Where sulfite went in
/// and nobody tested since, what is left of it is not known, and no figure is put in its place.
pub(super) fn free(holding: &Holding) -> Option<Known> {
    let day = |at_ms: i64| holding.now.at(at_ms).day_words();
    if let Some(at_ms) = holding.dose_of_unknown_weight() {
        let words = format!("unknown weight given on {}", day(at_ms));
        return Some(Known::nothing(Sign::Unknown, &words));
    }
    match (
        holding.expected_free_so2(),
        holding.wine.when(Deed::Sulfited),
    ) {
        (Some(band), _) => expected(holding, band),
        (None, Some(at_ms)) => {
            let so_far = holding.wine.sulfite_so_far();
            let words = format!("{so_far}, last on {}", day(at_ms));
            Some(Known::nothing(Sign::Unknown, &words))
        }
        (None, None) if holding.wine.when(Deed::BeforeBook).is_some() => Some(Known::nothing(
            Sign::Unknown,
            "never tested; not known before the book",
        )),
        (None, None) => None,
    }
}

/// By the last reading.
fn expected(holding: &Holding, band: Band) -> Option<Known> {
    let read = holding.wine.known.get(&Property::FreeSo2)?;
    let days = holding.days(read.at_ms);
    let text = format!("{:.0}", band.mid);
    let is_old = days as f64 > holding.policy.reading_days;
    let sign = if is_old { Sign::Old } else { Sign::Rough };
    if let Some(below) = band.below {
        let age = due(holding.now.at(read.at_ms), holding.now);
        return Some(Known {
            sign,
            band: Some((band.low, band.high)),
            why: "A test that finds less than it can tell leaves anything below open; what was found before says how much is likely.",
            ..Known::from_book(
                text,
                format!(
                    "read <{below:.0}, {age}; taken as {:.0}–{:.0}",
                    band.low, band.high
                ),
            )
        });
    }
    match holding.free_so2_of_today() {
        Some(found) if band.agrees(found) => {
            return Some(Known::from_book(text, "measured today"));
        }
        Some(found) => {
            return Some(Known {
                sign: Sign::Rough,
                band: Some((band.low, band.high)),
                why: "A test errs by a few mg/L (the policy has by how much), and the tests and doses before it count too; one in ten is outside on either side. Test again if that is too wide.",
                ..Known::from_book(
                    text,
                    format!(
                        "{:.0}–{:.0} likely; {found:.0} measured today, weighed with the tests and doses before it",
                        band.low, band.high
                    ),
                )
            });
        }
        None => {}
    }
    let was = telling::found(Property::FreeSo2, &read.found);
    let was = was.trim_end_matches(" mg/L");
    Some(Known {
        sign,
        band: Some((band.low, band.high)),
        why: "The last reading, run down by how the wine is kept (house estimate); one in ten is outside on either side.",
        ..Known::from_book(
            text,
            format!(
                "{:.0}–{:.0} expected; was {was}, {} ago",
                band.low,
                band.high,
                span(days)
            ),
        )
    })
}
