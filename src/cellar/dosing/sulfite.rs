//! What the book knows of the sulfite in a wine: how much went in, how much is free, the aim.

use super::known::{Known, Sign};
use crate::cellar::attention::words::{due, span};
use crate::cellar::attention::{Band, Given, Holding};
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
/// and nobody tested since, it is what can be counted of that.
pub(super) fn free(holding: &Holding) -> Option<Known> {
    let expected_now = holding.expected_free_so2();
    let given = Given::of(holding);
    let is_counted = |it: &Given| expected_now.is_none() || it.unweighed_ms.is_some();
    match (given.filter(is_counted), expected_now) {
        (Some(given), _) => Some(by_count(&given, holding)),
        (None, Some(band)) => expected(holding, band),
        (None, None) if holding.wine.when(Deed::BeforeBook).is_some() => Some(Known::nothing(
            Sign::Unknown,
            "never tested; not known before the book",
        )),
        (None, None) => None,
    }
}

/// Free SO2 as it stands beside the dose. Where nobody knows what went in, no figure is put in its place.
fn by_count(given: &Given, holding: &Holding) -> Known {
    let unweighed = given.unweighed_ms.map(|it| holding.now.at(it).day_words());
    let unweighed = unweighed.map(|it| format!("unknown weight given on {it}"));
    let Some([low, mid, high]) = given.taken(holding) else {
        let so_far = || {
            let last = holding.now.at(given.last_ms).day_words();
            format!("{}, last on {last}", holding.wine.sulfite_so_far())
        };
        let words = unweighed.unwrap_or_else(so_far);
        return Known::nothing(Sign::Unknown, &words);
    };
    let words = match unweighed {
        Some(unweighed) => format!("{unweighed}; {low:.0}–{high:.0} mg/L free without it"),
        None => format!(
            "{}, {low:.0}–{high:.0} taken as free",
            given.briefly(holding)
        ),
    };
    Known {
        sign: Sign::Unknown,
        band: Some((low, high)),
        why: "Of what went in a third is taken to be bound; a quarter to a half is usual (common practice); the rest goes as the wine is kept.",
        ..Known::from_book(format!("{mid:.0}"), words)
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
                why: "A test errs by a few mg/L (`leesline policy` says by how much), and the tests and doses before it count too; one in ten is outside on either side. Test again if that is too wide.",
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
