//! What the book knows of the sulfite in a wine: how much went in, how much is free, the aim.

use super::known::{Known, Sign};
use crate::cellar::attention::words::span;
use crate::cellar::attention::{Holding, Stage};
use crate::cellar::entry::Property;
use crate::cellar::state::Deed;
use crate::cellar::thing::{Thing, Wine, field};

/// Sulfite since the must. A wine whose ferment the book did not see came to it later: what it had
/// before is not written down.
pub(super) fn added(holding: &Holding) -> Known {
    let added = holding.wine.so2_added_mg_l();
    let text = format!("{added:.0}");
    let was_must = holding.wine.when(Deed::Pitched).is_some()
        || matches!(holding.stage(), Stage::Must | Stage::Fermenting);
    if was_must {
        Known::from_book(text, "by the book, since the must")
    } else if added > 0.0 {
        Known::from_book(text, "at least; what it had before is unknown").rough()
    } else {
        Known::nothing(Sign::Unknown, "what it had before is unknown")
    }
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

/// Free SO2 as expected now: a reading of today stands, an older one runs down.
pub(super) fn free(holding: &Holding) -> Option<Known> {
    let band = holding.expected_free_so2()?;
    let read = holding.wine.known.get(&Property::FreeSo2)?;
    let days = holding.days(read.at_ms);
    let text = format!("{:.0}", band.mid);
    if days == 0 && holding.wine.so2_since_reading.0 == 0 && !read.estimated {
        return Some(Known::from_book(text, "measured today"));
    }
    let sign = if days as f64 > holding.policy.reading_days {
        Sign::Old
    } else {
        Sign::Rough
    };
    let was = read.found.number().unwrap_or(band.mid);
    Some(Known {
        sign,
        band: Some((band.low, band.high)),
        why: "The last reading, run down by how the wine is kept (house estimate); one in ten is outside on either side.",
        ..Known::from_book(
            text,
            format!(
                "{:.0}–{:.0} expected; was {was:.0}, {} ago",
                band.low,
                band.high,
                span(days)
            ),
        )
    })
}
