//! Empty bottles and closures on hand, and which fits which.

use crate::cellar::entry::Dose;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Key, Sort, Thing, field, words};

/// The substance of a lot of empty bottles.
pub const BOTTLE: &str = "bottle";

words! {
    /// The mouth of a bottle, which decides what closes it.
    Finish {
        Cork "cork" "for corks",
        Crown26 "crown-26" "for 26 mm crowns",
        Crown29 "crown-29" "for 29 mm crowns",
        Screw "screw" "for screw caps",
        Swing "swing" "for a swing top with its gasket",
        Tap "tap" "for a tap",
    }
}

words! {
    /// How far empty bottles are on their way to the filler.
    Cleanness {
        Dirty "dirty" "dirty",
        Soaking "soaking" "soaking",
        Clean "clean" "clean",
        Sanitised "sanitised" "sanitised",
    }
}

impl Finish {
    /// Whether that closure holds on it. A stopper of cork or plastic sits where a cork does.
    pub fn takes(self, closure: &str) -> bool {
        match self {
            Finish::Cork => matches!(closure, "cork" | "stopper"),
            Finish::Crown26 | Finish::Crown29 => closure == "crown-cap",
            Finish::Screw => closure == "screw-cap",
            Finish::Swing => closure == "swing-top",
            Finish::Tap => closure == "tap",
        }
    }

    /// That of a lot of bottles, where it was said.
    pub fn of(lot: &Thing) -> Option<Finish> {
        Finish::from_word(lot.text(field::FINISH))
    }
}

/// Lots of a supply that are in use, the first bought first.
pub fn lots<'a>(substance: &str, cellar: &'a Snapshot) -> impl Iterator<Item = &'a Thing> {
    let mut lots: Vec<&Thing> = cellar
        .open(Sort::Supply)
        .filter(|it| it.text(field::SUBSTANCE) == substance)
        .collect();
    lots.sort_by_key(|it| (it.int(field::BOUGHT), it.key));
    lots.into_iter()
}

/// What is left of a lot, where it is known.
pub fn left(lot: Key, cellar: &Snapshot) -> Option<Dose> {
    cellar.stock(lot)?.left
}

/// Empty bottles by size in mL, of those whose finish takes that closure or was never said.
pub(super) fn empties(cellar: &Snapshot, closure: &str) -> Vec<(i64, i64)> {
    let mut sizes: Vec<(i64, i64)> = Vec::new();
    for lot in lots(BOTTLE, cellar) {
        let takes = Finish::of(lot).is_none_or(|it| it.takes(closure));
        let (Some(size), Some(Dose::Count(count))) = (lot.int(field::SIZE), left(lot.key, cellar))
        else {
            continue;
        };
        if !takes {
            continue;
        }
        match sizes.iter_mut().find(|(known, _)| *known == size) {
            Some((_, sum)) => *sum += count,
            None => sizes.push((size, count)),
        }
    }
    sizes
}
