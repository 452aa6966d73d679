//! The verb that writes an entry of a kind.

use super::taste;
use crate::cellar::entry::{BottleMove, Draft, Kind, Spot};
use crate::cellar::thing::{Sort, field};
use crate::cellar::verbs::{Verb, find};

pub(super) fn verb_of(draft: &Draft) -> Option<&'static Verb> {
    let sets = |name: &str| draft.changes.iter().any(|it| it.field == name);
    let begins = |sort: Sort| draft.new_things.contains(&sort);
    let empties = || sets(field::FINISH) || sets(field::CLEANNESS) || sets(field::DELABELLED);
    let of_thing = |sort: Sort, word: &str, end: &str| {
        let what = if begins(sort) {
            "add"
        } else if sets(field::CLOSED) {
            end
        } else {
            "change"
        };
        find(&format!("{word} {what}"))
    };
    let keeps_for =
        |it: &BottleMove| matches!(&it.to, Spot::Kept(kept) if !kept.reserved.is_empty());
    if let Some(blind) = taste::verb(draft) {
        return find(blind);
    }
    match draft.kind {
        Kind::Void => None,
        Kind::Vessel => of_thing(Sort::Vessel, "vessel", "retire"),
        Kind::Batch => of_thing(Sort::Batch, "batch", "close"),
        Kind::Shelves => of_thing(Sort::Rack, "shelves", "retire"),
        Kind::Bottles => find("bottles describe"),
        Kind::Move if !draft.bottles.is_empty() => find("shift"),
        // A vessel is measured, and of a run it is said that it was looked at.
        Kind::Measure if draft.subject.is_some() => find("look"),
        Kind::Reserve if !draft.bottles.iter().any(keeps_for) => find("release"),
        Kind::SterileFilter => find("filter"),
        Kind::Trouble => find("trouble mark"),
        Kind::Bottle if draft.run_begun().is_some() => find("bottle start"),
        Kind::Bottle if sets(field::FINISHED) => find("bottle finish"),
        Kind::Bottle if sets(field::FILL_SIZE) => find("bottle size"),
        Kind::Bottle if sets(field::CORKS_SEEN) => find("bottle corks"),
        Kind::Bottle => find("bottle ready"),
        Kind::Buy if empties() => find("empties add"),
        Kind::StockTake if sets(field::OUT_LAST) => find("empties out"),
        Kind::StockTake if empties() => find("empties wash"),
        Kind::Plan if begins(Sort::Plan) => find("plan add"),
        Kind::Plan => find("plan start"),
        kind => find(kind.word()).or_else(|| find(&kind.word().replace('-', " "))),
    }
}
