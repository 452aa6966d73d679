//! What needs someone, found anew only where something changed since it was found last: a key that
//! writes in a large cellar reaches a few places, and the others are as they were.
//!
//! What the rules say of a place follows from the place, what it holds, the day, the policy and the
//! things there are; where their remedy is another vessel, from the empty ones and from those with
//! the same wine. Whatever of these changes has the place looked at again, and [`Watch::after`] is
//! never anything but [`attention`](super::attention) on the same cellar; random histories hold that.
//! What was kept is as old as the look that found it, and of the same day.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::fit::Look;
use super::policy::Policy;
use super::{Reason, in_order};
use crate::cellar::amount::Volume;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::{State, Wine};
use crate::cellar::thing::Key;

/// What the rules found in a cellar, place by place.
#[derive(Clone, Debug)]
pub struct Watch {
    cellar: Snapshot,
    policy: Policy,
    empties: Vec<(Volume, Key)>,
    of_the_cellar: Vec<Reason>,
    of_places: BTreeMap<Key, Arc<[Reason]>>,
}

impl Watch {
    /// What needs someone in a cellar by a policy, after what was found there before.
    pub fn after(before: Option<&Watch>, cellar: &Snapshot, policy: &Policy) -> Watch {
        let look = Look::at(cellar, policy);
        let empties = look.empties();
        let before = before.filter(|it| it.still_holds(cellar, policy, &empties));
        let changed = before.map(|it| changed(&it.cellar, cellar));
        let mut of_places = before.map_or_else(BTreeMap::new, |it| it.of_places.clone());
        let mut asked = look.places();
        asked.retain(|it| {
            let changed = changed.as_ref();
            changed.is_none_or(|changed| changed.reaches(*it, cellar.wine(*it)))
        });
        for (place, here) in asked.iter().zip(look.of_each(&asked)) {
            if here.is_empty() {
                of_places.remove(place);
            } else {
                of_places.insert(*place, here.into());
            }
        }
        Watch {
            cellar: cellar.clone(),
            policy: policy.clone(),
            empties,
            of_the_cellar: look.of_the_cellar(),
            of_places,
        }
    }

    /// All of it, the most pressing first, as [`attention`](super::attention) has it.
    pub fn reasons(&self) -> Vec<Reason> {
        let of_places = self.of_places.values().flat_map(|it| it.iter());
        let reasons = self.of_the_cellar.iter().chain(of_places);
        in_order(reasons.cloned().collect(), &self.cellar)
    }

    /// Whether what was found of a place that did not change still holds.
    fn still_holds(&self, cellar: &Snapshot, policy: &Policy, empties: &[(Volume, Key)]) -> bool {
        let was = &self.cellar;
        let is_same_day =
            was.now.date() == cellar.now.date() && was.now.offset_min == cellar.now.offset_min;
        is_same_day
            && was.things.is_same_as(&cellar.things)
            && (was.filling, was.kept) == (cellar.filling, cellar.kept)
            && self.policy == *policy
            && self.empties == empties
    }
}

/// What changed from one cellar to the next.
struct Changed {
    places: BTreeSet<Key>,
    /// Wines that are or were in those places.
    batches: BTreeSet<Key>,
}

impl Changed {
    /// Whether the rules may say something else of a place now. A trouble is followed to every place
    /// that the wine went to.
    fn reaches(&self, place: Key, wine: Option<&Wine>) -> bool {
        let is_same_wine = |it: &Wine| it.main_batch().is_some_and(|it| self.batches.contains(&it));
        self.places.contains(&place)
            || wine.is_some_and(|it| is_same_wine(it) || !it.troubles.is_empty())
    }
}

/// Places that hold another state than before; the same one is shared by both.
fn changed(before: &Snapshot, after: &Snapshot) -> Changed {
    let mut places = BTreeSet::new();
    if !before.states.is_same_as(&after.states) {
        let differs = |key: &Key, it: &Arc<State>, other: &Snapshot| {
            other
                .states
                .get(key)
                .is_none_or(|other| !Arc::ptr_eq(it, other))
        };
        let gone = before.states.iter().filter(|it| differs(it.0, it.1, after));
        let come = after.states.iter().filter(|it| differs(it.0, it.1, before));
        places.extend(gone.chain(come).map(|it| *it.0));
    }
    let wines = [before, after];
    let wines = wines
        .iter()
        .flat_map(|it| places.iter().filter_map(|key| it.wine(*key)));
    let batches = wines.filter_map(Wine::main_batch).collect();
    Changed { places, batches }
}
