//! No two bottles in one slot, no rack fuller than it can be.
//!
//! Which slot a place means follows from the racks that there are, and what lies in it from many
//! runs, so this is no rule of the fold, which looks at one place at a time. It is held of the cellar
//! as it stands after each change: a late entry is judged by what lies there now.

use std::collections::{BTreeMap, BTreeSet};

use crate::cellar::racks::{Crowd, Racks, crowds};
use crate::cellar::state::{BottleLot, State};
use crate::cellar::thing::Key;

use super::StoreError;
use super::memory::{Latest, Memory};

/// Refuses a change that puts bottles where there is no room. `was` are the racks before it and
/// `before` the places it rewrote as they were; `memory` is the cellar after it. What was crowded
/// before, as after two copies met, does not keep anyone from mending it.
pub(super) fn hold(
    was: &Racks,
    before: &BTreeMap<Key, Latest>,
    memory: &Memory,
    touched: &BTreeSet<Key>,
    rewritten: &BTreeSet<Key>,
) -> Result<(), StoreError> {
    let racks = Racks::of(&memory.things);
    let mut asked = touched.clone();
    for lot in rewritten.iter().flat_map(|it| lots(memory.latest.get(it))) {
        asked.extend(racks.read(&lot.at).rack().map(|it| it.key));
    }
    let only = |racks: &Racks| -> Racks {
        let asked = racks.iter().filter(|it| asked.contains(&it.key));
        asked.cloned().collect()
    };
    let (was, racks) = (only(was), only(&racks));
    if racks.is_empty() {
        return Ok(());
    }
    let now = memory.latest.iter();
    let after = crowds(&racks, now.clone().map(|(key, it)| (*key, lots(Some(it)))));
    if after.is_empty() {
        return Ok(());
    }
    let unchanged = now.filter(|(key, _)| !rewritten.contains(key));
    let before = before.iter().chain(unchanged);
    let before = crowds(&was, before.map(|(key, it)| (*key, lots(Some(it)))));
    let count_before = |it: &Crowd| {
        let same = |old: &&Crowd| old.rack == it.rack && old.fault == it.fault;
        before.iter().find(same).map_or(0, |it| it.count)
    };
    match after.iter().find(|it| it.count > count_before(it)) {
        Some(crowd) => Err(StoreError::Refused(crowd.sentence(&racks))),
        None => Ok(()),
    }
}

fn lots(latest: Option<&Latest>) -> &[BottleLot] {
    match latest.and_then(|it| it.state.as_deref()) {
        Some(State::Wine(wine)) => &wine.bottles,
        _ => &[],
    }
}
