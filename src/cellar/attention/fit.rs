//! The whole cellar as the rules look at it, and which of its empty vessels would fit.

use std::collections::BTreeMap;

use super::holding::Holding;
use super::policy::Policy;
use crate::cellar::amount::Volume;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Key, Sort, Thing, VesselKind, field};

/// The cellar, with what rules would otherwise look up once for every vessel.
pub struct Look<'a> {
    /// The cellar.
    pub cellar: &'a Snapshot,
    /// The thresholds it is judged by.
    pub policy: &'a Policy,
    /// The vessel that is being bottled.
    pub(super) emptying: Option<Key>,
    /// Empty vessels of known size, smallest first.
    empties: Vec<(Volume, &'a Thing)>,
    /// Those of them that keep wine.
    keepers: Vec<(Volume, &'a Thing)>,
    /// Vessels by the batch that makes up most of them, with what they hold, least first.
    of_batch: BTreeMap<Key, Vec<(Volume, &'a Thing)>>,
}

/// An empty vessel for a wine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Fit<'a> {
    pub(super) vessel: &'a Thing,
    /// What does not go in.
    pub(super) over: Volume,
}

impl<'a> Look<'a> {
    /// At a cellar, by a policy.
    pub fn at(cellar: &'a Snapshot, policy: &'a Policy) -> Look<'a> {
        let mut empties = Vec::new();
        let mut of_batch: BTreeMap<Key, Vec<(Volume, &Thing)>> = BTreeMap::new();
        for vessel in cellar.open(Sort::Vessel) {
            if let Some(wine) = cellar.wine(vessel.key) {
                if let Some(batch) = wine.main_batch() {
                    let vessels = of_batch.entry(batch).or_default();
                    vessels.push((wine.volume, vessel));
                }
            } else {
                let capacity = vessel.capacity().filter(|it| *it > Volume::ZERO);
                empties.extend(capacity.map(|it| (it, vessel)));
            }
        }
        empties.sort_by_key(|(capacity, vessel)| (*capacity, vessel.key));
        let keepers = empties
            .iter()
            .filter(|it| it.1.vessel_kind() != VesselKind::Bucket)
            .copied()
            .collect();
        for vessels in of_batch.values_mut() {
            vessels.sort_by_key(|(volume, vessel)| (*volume, vessel.key));
        }
        let emptying = cellar
            .filling
            .and_then(|it| cellar.thing(it)?.int(field::VESSEL))
            .map(Key);
        Look {
            cellar,
            policy,
            emptying,
            empties,
            keepers,
            of_batch,
        }
    }

    /// The empty vessel that so much wine would keep best in: the smallest that takes it all and
    /// stays all but full, else the largest that it fills. Buckets do not keep wine.
    pub(super) fn to_keep(&self, volume: Volume) -> Option<Fit<'a>> {
        let smaller = self.keepers.partition_point(|it| it.0 < volume);
        let whole = self.keepers.get(smaller).filter(|(capacity, _)| {
            let empty = (*capacity - volume).in_litres();
            empty <= capacity.in_litres() * self.policy.fit_share
        });
        let filled = || {
            let largest = self.keepers[..smaller].last();
            // With half the wine left over it is no racking but a split, which a person should plan.
            largest.filter(|it| it.0.0 > volume.0 / 2)
        };
        whole.or_else(filled).map(|&(capacity, vessel)| Fit {
            vessel,
            over: (volume - capacity).max(Volume::ZERO),
        })
    }

    /// The smallest empty vessel with room for foam above so much must.
    pub(super) fn to_ferment(&self, volume: Volume) -> Option<&'a Thing> {
        let room = |capacity: Volume| capacity.in_litres() * self.policy.foam_share;
        let first = self
            .empties
            .partition_point(|it| (it.0 - volume).in_litres() < room(it.0));
        self.empties.get(first).map(|it| it.1)
    }

    /// A vessel of the same batch that holds less than this one, and enough to fill so much headspace:
    /// the one with least in it, which is to be used up.
    pub(super) fn to_top_up(&self, holding: &Holding, room: Volume) -> Option<&'a Thing> {
        let here = self.of_batch.get(&holding.wine.main_batch()?)?;
        let first = here.partition_point(|it| it.0 < room);
        let other = here[first..]
            .iter()
            .find(|it| it.1.key != holding.place.key)?;
        (other.0 < holding.wine.volume).then_some(other.1)
    }
}

#[cfg(test)]
mod tests {
    use super::super::trial::{Cellar, policy};
    use super::*;

    fn check_keep(litres: f64, expected: Option<(&str, f64)>) {
        let mut cellar = Cellar::empty();
        cellar.spare(1, "jug", "jug", 3.8);
        cellar.spare(2, "demijohn", "demijohn", 5.0);
        cellar.spare(3, "bucket", "bucket", 20.0);
        cellar.spare(4, "carboy", "carboy", 23.0);
        let policy = policy();
        let look = Look::at(&cellar.0, &policy);
        let found = look.to_keep(Volume::litres(litres));
        let found = found.map(|it| (it.vessel.name(), it.over.in_litres()));
        assert_eq!(found.map(|it| it.0), expected.map(|it| it.0), "{litres} L");
        let over = |it: Option<(&str, f64)>| it.map_or(0, |it| (it.1 * 1e3).round() as i64);
        assert_eq!(over(found), over(expected), "{litres} L");
    }

    #[test]
    fn a_vessel_that_takes_it_all_and_stays_full_comes_first() {
        check_keep(4.9, Some(("demijohn", 0.0)));
        check_keep(4.76, Some(("demijohn", 0.0)));
        check_keep(4.74, Some(("jug", 0.94)));
        check_keep(4.2, Some(("jug", 0.4)));
        check_keep(22.5, Some(("carboy", 0.0)));
    }

    #[test]
    fn a_bucket_or_a_vessel_much_too_small_is_not_named() {
        check_keep(19.5, None);
        check_keep(2.0, None);
        check_keep(-1.0, None);
    }

    #[test]
    fn topping_up_takes_the_smaller_vessel_of_the_same_batch() {
        let mut cellar = Cellar::with_vessel(23.0, 22.0);
        cellar.spare(1, "jug", "jug", 3.8).fill(Key(1), 2.0);
        let policy = policy();
        let look = Look::at(&cellar.0, &policy);
        let holding = cellar.holding(&policy);
        let name = |room| {
            look.to_top_up(&holding, Volume::litres(room))
                .map(Thing::name)
        };
        assert_eq!(name(1.0), Some("jug"));
        assert_eq!(name(3.0), None);
    }

    #[test]
    fn a_ferment_wants_room_for_foam() {
        let mut cellar = Cellar::empty();
        cellar
            .spare(1, "carboy", "carboy", 23.0)
            .spare(2, "bucket", "bucket", 30.0);
        let policy = policy();
        let look = Look::at(&cellar.0, &policy);
        let name = |litres| look.to_ferment(Volume::litres(litres)).map(Thing::name);
        assert_eq!(name(19.0), Some("carboy"));
        assert_eq!(name(22.0), Some("bucket"));
        assert_eq!(name(29.0), None);
    }
}
