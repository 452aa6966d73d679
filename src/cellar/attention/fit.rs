//! The whole cellar as the rules look at it, and which of its empty vessels would fit.

use std::collections::BTreeMap;

use leesline_calc::rack;

use super::holding::Holding;
use super::policy::Policy;
use crate::cellar::amount::Volume;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::telling;
use crate::cellar::thing::{Key, Sort, Thing, VesselKind, field};
use crate::cellar::trouble;

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

/// Empty vessels that hold the whole of a wine.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Home<'a> {
    /// In the order in which they are filled.
    pub(super) vessels: Vec<&'a Thing>,
    /// What stays empty in them.
    pub(super) air: Volume,
    /// The same as a share of them, 0–1.
    pub(super) air_share: f64,
}

impl<'a> Home<'a> {
    fn of(vessels: Vec<(Volume, &'a Thing)>, volume: Volume) -> Home<'a> {
        let holds: Volume = vessels.iter().map(|it| it.0).sum();
        let air = holds - volume;
        Home {
            vessels: vessels.into_iter().map(|it| it.1).collect(),
            air,
            air_share: air.in_litres() / holds.in_litres(),
        }
    }

    /// `Carboy A`, `Demijohn 2 and Jug`.
    pub(super) fn words(&self) -> String {
        let names: Vec<&str> = self.vessels.iter().map(|it| it.name()).collect();
        telling::and(&names)
    }

    /// As the field of a verb takes several vessels.
    pub(super) fn typed(&self) -> String {
        let names: Vec<&str> = self.vessels.iter().map(|it| it.name()).collect();
        names.join("; ")
    }
}

/// Of so many of the largest vessels that it would fill, a set is looked for.
const LOOKED_AT: usize = 8;
/// A wine is not spread over more vessels than this unasked.
const MOST_VESSELS: usize = 3;

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

    /// The empty vessels of known size, smallest first.
    pub(super) fn empties(&self) -> Vec<(Volume, Key)> {
        let empties = self.empties.iter();
        empties
            .map(|(holds, vessel)| (*holds, vessel.key))
            .collect()
    }

    /// Empty vessels for so much wine, all of it: the smallest that takes it and stays all but full,
    /// else the fewest that together do, else the smallest that takes it. Buckets do not keep wine.
    pub(super) fn to_keep(&self, volume: Volume) -> Option<Home<'a>> {
        if volume <= Volume::ZERO {
            return None;
        }
        let at = self.keepers.partition_point(|it| it.0 < volume);
        let one = self.keepers.get(at).map(|it| Home::of(vec![*it], volume));
        if one.as_ref().is_some_and(|it| self.is_full(it)) {
            return one;
        }
        self.set(volume, &self.keepers[..at]).or(one)
    }

    /// The smallest empty vessel that holds so much, be it a bucket: for the while that its own is cleaned.
    pub(super) fn to_hold_meanwhile(&self, volume: Volume) -> Option<&'a Thing> {
        let first = self.empties.partition_point(|it| it.0 < volume);
        self.empties.get(first).map(|it| it.1)
    }

    /// The fewest of smaller vessels that hold it and stay all but full.
    fn set(&self, volume: Volume, smaller: &[(Volume, &'a Thing)]) -> Option<Home<'a>> {
        let largest: Vec<(Volume, &Thing)> =
            smaller.iter().rev().take(LOOKED_AT).copied().collect();
        let holds: Volume = largest.iter().map(|it| it.0).sum();
        if holds < volume {
            return None;
        }
        let millilitres = |it: Volume| it.in_litres() * 1e3;
        let sizes: Vec<f64> = largest.iter().map(|it| millilitres(it.0)).collect();
        let plans = rack::plans(millilitres(volume), &sizes);
        let sets = plans.into_iter().rev().map(|plan| {
            let vessels = plan.vessels.into_iter().map(|it| largest[it]).collect();
            Home::of(vessels, volume)
        });
        sets.take_while(|it| it.vessels.len() <= MOST_VESSELS)
            .find(|it| self.is_full(it))
    }

    fn is_full(&self, home: &Home) -> bool {
        home.air_share <= self.policy.fit_share
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
    /// the one with least in it, which is to be used up. What is marked with something that this is not, or may ferment
    /// still, is none to top up with.
    pub(super) fn to_top_up(&self, holding: &Holding, room: Volume) -> Option<&'a Thing> {
        let here = self.of_batch.get(&holding.wine.main_batch()?)?;
        let first = here.partition_point(|it| it.0 < room);
        let other = here[first..]
            .iter()
            .filter(|it| it.1.key != holding.place.key)
            .find(|it| self.is_fit_to_pour(it.1.key, holding))?;
        (other.0 < holding.wine.volume).then_some(other.1)
    }

    fn is_fit_to_pour(&self, from: Key, into: &Holding) -> bool {
        let Some(from) = Holding::of(self.cellar, from, self.policy) else {
            return false;
        };
        !from.may_ferment() && trouble::brought(from.wine, into.wine).is_none()
    }
}

#[cfg(test)]
mod tests {
    use super::super::trial::{Cellar, NOW, days_ago, policy};
    use super::*;
    use crate::cellar::state::{Deed, GravityReading, Wine};

    /// Vessels named for so much wine, and the air in them, mL.
    fn check_keep(litres: f64, expected: Option<(&str, i64)>) {
        let mut cellar = Cellar::empty();
        cellar.spare(1, "jug", "jug", 3.8);
        cellar.spare(2, "demijohn", "demijohn", 5.0);
        cellar.spare(3, "bucket", "bucket", 20.0);
        cellar.spare(4, "carboy", "carboy", 23.0);
        let policy = policy();
        let look = Look::at(&cellar.0, &policy);
        let found = look.to_keep(Volume::litres(litres));
        let found = found.map(|it| (it.words(), (it.air.in_litres() * 1e3).round() as i64));
        let expected = expected.map(|it| (it.0.to_owned(), it.1));
        assert_eq!(found, expected, "{litres} L");
    }

    #[test]
    fn a_vessel_that_takes_it_all_and_stays_full_comes_first() {
        check_keep(4.9, Some(("demijohn", 100)));
        check_keep(4.76, Some(("demijohn", 240)));
        check_keep(22.5, Some(("carboy", 500)));
    }

    #[test]
    fn else_the_fewest_that_do_together() {
        check_keep(8.7, Some(("demijohn and jug", 100)));
        check_keep(8.3, Some(("carboy", 14_700)));
    }

    #[test]
    fn no_vessel_is_named_that_holds_less_than_the_wine() {
        check_keep(4.0, Some(("demijohn", 1_000)));
        check_keep(19.5, Some(("carboy", 3_500)));
        check_keep(23.1, None);
        check_keep(0.0, None);
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

    /// Never top up a sound wine with vinegar (common practice), nor a finished one with what may ferment still.
    #[test]
    fn a_wine_is_not_topped_up_with_what_would_spoil_it() {
        let check = |build: &dyn Fn(&mut Cellar), expected: Option<&str>| {
            let mut cellar = Cellar::with_vessel(23.0, 22.0);
            cellar.finished();
            cellar.spare(1, "jug", "jug", 3.8).fill(Key(1), 2.0);
            build(&mut cellar);
            let policy = policy();
            let look = Look::at(&cellar.0, &policy);
            let holding = cellar.holding(&policy);
            let found = look.to_top_up(&holding, Volume::litres(1.0));
            assert_eq!(found.map(Thing::name), expected);
        };
        let marked = |wine: &mut Wine| _ = wine.troubles.insert("vinegar".to_owned(), NOW.utc_ms);
        check(&|_| (), Some("jug"));
        check(&|it| marked(it.wine_in(Key(1))), None);
        // Both are marked with it.
        let both = |it: &mut Cellar| {
            marked(it.wine_in(Key(1)));
            marked(it.wine());
        };
        check(&both, Some("jug"));
        let sweet = |it: &mut Cellar| {
            let wine = it.wine_in(Key(1));
            wine.deeds.insert(Deed::Pitched, days_ago(40));
            wine.gravities = vec![GravityReading {
                at_ms: days_ago(1),
                gravity: 1.010,
                celsius: None,
                fed: None,
            }];
        };
        check(&sweet, None);
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
