//! Corks and other closures on hand: which packet is used first, and of what size its corks are.

use super::{Closure, left_count, lots};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::supplies::opened;
use crate::cellar::thing::{Thing, field};

/// Corks of one packet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Corks {
    /// Length, mm.
    pub length_mm: i64,
    /// Diameter, mm, where it was said.
    pub diameter_mm: Option<i64>,
    /// When the packet was opened, UTC ms; none while it is closed.
    pub opened_ms: Option<i64>,
}

impl Corks {
    fn of(lot: &Thing, cellar: &Snapshot) -> Option<Corks> {
        Some(Corks {
            length_mm: lot.int(field::CORK_LENGTH)?,
            diameter_mm: lot.int(field::CORK_DIAMETER),
            opened_ms: opened(lot, cellar),
        })
    }

    /// `38 × 24 mm, packet opened 3 Jun 2026`.
    pub fn words(&self, cellar: &Snapshot) -> String {
        let diameter = self.diameter_mm.map(|it| format!(" × {it}"));
        let opened = self
            .opened_ms
            .map(|it| format!(", packet opened {}", cellar.now.at(it).day_words()));
        format!(
            "{}{} mm{}",
            self.length_mm,
            diameter.unwrap_or_default(),
            opened.unwrap_or_default()
        )
    }
}

/// Lots that a bottling takes its closures from: an opened packet first, then the first bought. Crowns whose
/// size nobody wrote down go after those of the right one.
pub fn closure_lots(closure: Closure, cellar: &Snapshot) -> Vec<&Thing> {
    let mut own: Vec<&Thing> = lots(closure.word(), cellar).collect();
    own.sort_by_key(|it| opened(it, cellar).is_none());
    let either =
        matches!(closure, Closure::Crown26 | Closure::Crown29).then_some(Closure::CrownCap);
    own.extend(either.into_iter().flat_map(|it| lots(it.word(), cellar)));
    own
}

/// The corks that are used first, where there are some and their size is known.
pub(super) fn first(closure: Closure, cellar: &Snapshot) -> Option<Corks> {
    let lots = closure_lots(closure, cellar).into_iter();
    let mut there = lots.filter(|it| left_count(it.key, cellar).is_some_and(|it| it > 0));
    there.next().and_then(|it| Corks::of(it, cellar))
}
