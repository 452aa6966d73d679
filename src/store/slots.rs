//! No two bottles in one slot, no rack fuller than it can be.
//!
//! Which slot a place means follows from the racks that there are, and what lies in it from many
//! runs, so this is no rule of the fold, which looks at one place at a time. It is held of the cellar
//! as it stands after each change: a late entry is judged by what lies there now.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::cellar::racks::{self, Crowd, Racks};
use crate::cellar::shared::Shared;
use crate::cellar::state::{BottleLot, State};
use crate::cellar::thing::Key;

use super::memory::Memory;
use super::{StoreError, Strayed};

/// Refuses a change that puts bottles where there is no room: the cellar before and after it, the
/// things it touched and the places it rewrote. What was crowded before, as after two copies met,
/// does not keep anyone from mending it.
pub(super) fn hold(
    before: &Memory,
    after: &Memory,
    touched: &BTreeSet<Key>,
    rewritten: &BTreeSet<Key>,
) -> Result<(), StoreError> {
    let racks = Racks::of(&after.things);
    let mut asked = touched.clone();
    for lot in rewritten.iter().flat_map(|it| lots(after.states.get(it))) {
        asked.extend(racks.read(&lot.at).rack().map(|it| it.key));
    }
    let only = |racks: &Racks| -> Racks {
        let asked = racks.iter().filter(|it| asked.contains(&it.key));
        asked.cloned().collect()
    };
    let racks = only(&racks);
    if racks.is_empty() {
        return Ok(());
    }
    let crowded = |racks: &Racks, states: &Shared<State>| {
        let all = states.iter();
        racks::crowds(racks, all.map(|(key, it)| (*key, lots(Some(it)))))
    };
    let crowds = crowded(&racks, &after.states);
    if crowds.is_empty() {
        return Ok(());
    }
    let before = crowded(&only(&Racks::of(&before.things)), &before.states);
    let count_before = |it: &Crowd| {
        let same = |old: &&Crowd| old.rack == it.rack && old.fault == it.fault;
        before.iter().find(same).map_or(0, |it| it.count)
    };
    match crowds.iter().find(|it| it.count > count_before(it)) {
        Some(crowd) => Err(StoreError::Refused(crowd.sentence(&racks, &after.things))),
        None => Ok(()),
    }
}

/// Bottles that lie where they lay, and yet in another rack or in none: a change took the rack, or the
/// name by which they were put there.
pub(super) fn strayed(before: &Memory, after: &Memory, touched: &BTreeSet<Key>) -> Vec<Strayed> {
    let was = Racks::of(&before.things);
    if !was.iter().any(|it| touched.contains(&it.key)) {
        return Vec::new();
    }
    let racks = Racks::of(&after.things);
    let mut strayed = Vec::new();
    for (run, state) in after.states.iter() {
        let mut by_rack: BTreeMap<Option<Key>, Vec<&BottleLot>> = BTreeMap::new();
        for lot in lots(Some(state)).iter().filter(|it| it.count > 0) {
            let rack = |racks: &Racks| racks.read(&lot.at).rack().map(|it| it.key);
            let now = rack(&racks);
            if rack(&was).is_some_and(|it| now != Some(it)) {
                by_rack.entry(now).or_default().push(lot);
            }
        }
        strayed.extend(by_rack.into_iter().map(|(now, lots)| Strayed {
            run: *run,
            count: lots.iter().map(|it| it.count).sum(),
            were_at: was.together(lots.iter().map(|it| it.at.as_str())),
            now_in: now.and_then(|it| Some(racks.get(it)?.name.clone())),
        }));
    }
    strayed
}

pub(super) fn lots(state: Option<&Arc<State>>) -> &[BottleLot] {
    match state.map(Arc::as_ref) {
        Some(State::Wine(wine)) => &wine.bottles,
        _ => &[],
    }
}
