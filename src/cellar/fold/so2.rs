//! What bears on a wine's free SO2, kept in order so that a forecast can learn from all of it.

use std::collections::BTreeSet;

use crate::cellar::amount::{Mass, Volume};
use crate::cellar::entry::{Entry, Found, Kind, Property, Spot};
use crate::cellar::state::{Air, Deed, KeptUntil, So2Change, So2Event, State, Wine};
use crate::cellar::thing::{Key, Sort, Thing, VesselKind, field};

use super::{Ledger, Step};

/// Events kept with a wine: a year or two of tests every two or three months, with the doses between.
const KEPT: usize = 12;

/// A carboy with more headspace than this share is kept in another way than a full one. House estimate.
pub(in crate::cellar) const ULLAGE_SHARE: f64 = 0.05;
/// With no less of a vessel empty than this its wine stands under air, and is kept in another way again. House estimate.
pub(in crate::cellar) const UNDER_AIR_SHARE: f64 = 0.25;

/// How full a place is.
#[derive(Clone, Copy, Debug)]
pub(super) struct Level {
    volume: Volume,
    /// How much of it is empty, as [`Ledger::empty`] has it.
    empty: i64,
}

impl Ledger {
    pub(super) fn level(&self, place: Key) -> Level {
        let volume = match self.states.get(&place) {
            Some(State::Wine(wine)) => wine.volume,
            _ => Volume::ZERO,
        };
        Level {
            volume,
            empty: self.empty(place),
        }
    }

    /// How much of the place is empty, thousandths; none where that is not known, in bottles, and under a floating lid.
    fn empty(&self, place: Key) -> i64 {
        let (Some(thing), Some(State::Wine(wine))) =
            (self.things.get(&place), self.states.get(&place))
        else {
            return 0;
        };
        let floats = thing.text(field::CLOSURE).contains("float");
        let is_known = !floats && wine.unmeasured.is_none() && wine.volume > Volume::ZERO;
        let capacity = thing.capacity().filter(|it| is_known && it.0 > 0);
        capacity.map_or(0, |it| ((it - wine.volume).0.max(0) * 1_000) / it.0)
    }
}

impl Step<'_> {
    /// Wine that came to where it is kept in another way by this entry, or under more or less air, has been kept otherwise until
    /// now.
    pub(super) fn note_levels(&mut self) {
        let now = self.now();
        for place in poured(self.entry) {
            if !self.ledger.holds_wine(place) {
                continue;
            }
            // What is topped up in the moment that it was filled in was there before.
            let was_there = self.held_before.contains(&place);
            let filled_now = !was_there && self.wine(place).when(Deed::Filled) == Some(now);
            let flows = self.outcome.flows.iter();
            let from = flows.rev().find(|it| it.to == place && filled_now);
            let before = from.map_or(place, |it| it.from);
            let empty = self.before.get(&before).map_or(0, |it| it.empty);
            let things = &self.ledger.things;
            let (Some(one), Some(other)) = (things.get(&before), things.get(&place)) else {
                continue;
            };
            if kept(one, empty) == kept(other, self.ledger.empty(place)) {
                continue;
            }
            let by_itself = if from.is_some() {
                Air::Racked
            } else {
                Air::Opened
            };
            let kept_until = Some(KeptUntil {
                place: before,
                empty,
            });
            let wine = self.wine(place);
            let last = wine.so2.last_mut().filter(|it| it.at_ms == now);
            match last.map(|it| &mut it.what) {
                Some(So2Change::MetAir(_, kept)) => *kept = kept_until,
                _ => wine.met_air(now, by_itself, kept_until),
            }
        }
    }

    /// From which level the wine of a vessel has fallen, or that it has risen again. A vessel that was filled begins anew; what is
    /// taken from bottles leaves no air over the others.
    pub(super) fn note_falls(&mut self) {
        let now = self.now();
        for (place, before) in self.before.clone() {
            let thing = self.ledger.things.get(&place);
            let is_vessel = thing.is_some_and(|it| it.sort == Sort::Vessel);
            if !is_vessel || !self.ledger.holds_wine(place) {
                continue;
            }
            let wine = self.wine(place);
            if wine.when(Deed::Filled) == Some(now) {
                wine.falls.clear();
            } else if wine.unmeasured.is_none() {
                wine.level_changed(before.volume, now);
            }
        }
    }

    /// Wine that arrived by these has met air.
    pub(super) fn note_air(&mut self, to: Key) {
        let place = self.ledger.things.get(&to);
        let is_run = place.is_some_and(|it| it.sort == Sort::Run);
        let air = match self.entry.draft.kind {
            _ if is_run => Air::Bottled,
            Kind::Rack | Kind::Split | Kind::Blend | Kind::Unbottle => Air::Racked,
            Kind::TopUp => Air::Opened,
            _ => return,
        };
        let now = self.now();
        let wine = self.wine(to);
        let last = wine.so2.last_mut().filter(|it| it.at_ms == now);
        match last.map(|it| &mut it.what) {
            // One racking may be many pours, and what is topped up in the same moment was open already.
            Some(So2Change::MetAir(before, None)) => *before = air.max(*before),
            _ => wine.met_air(now, air, None),
        }
    }
}

/// The places whose level an entry changes.
pub(super) fn poured(entry: &Entry) -> BTreeSet<Key> {
    let draft = &entry.draft;
    let moved = draft.movements.iter().flat_map(|it| [it.from, it.to]);
    let bottled = draft.filled_from().into_iter();
    let bottled = bottled.flat_map(|(run, vessel)| [run, vessel]);
    // Poured back out of bottles.
    let opened = draft.bottles.iter().filter_map(|it| match it.to {
        Spot::Outside(vessel) => Some(vessel),
        Spot::Kept(_) => None,
    });
    moved.chain(bottled).chain(opened).collect()
}

/// How a place keeps wine, as far as free SO2 goes, with so many thousandths of it empty.
fn kept(place: &Thing, empty: i64) -> (Sort, Option<VesselKind>, bool, i64) {
    let closure = place.text(field::CLOSURE).to_lowercase();
    let tight = closure.contains("bung") || closure.contains("stopper");
    let share = empty as f64 / 1_000.0;
    let under_air = i64::from(share >= UNDER_AIR_SHARE) * 2;
    let ullage = under_air.max(i64::from(share > ULLAGE_SHARE));
    match (place.sort, place.vessel_kind()) {
        (Sort::Run, _) => (Sort::Run, None, true, 0),
        (sort, VesselKind::Barrel) => (sort, Some(VesselKind::Barrel), true, under_air),
        (sort, VesselKind::Tank | VesselKind::Bucket) => {
            (sort, Some(VesselKind::Tank), false, under_air)
        }
        (sort, _) => (sort, None, tight, ullage),
    }
}

impl So2Change {
    /// What a test found, or is estimated to have.
    pub fn found(&self) -> Option<&Found> {
        match self {
            So2Change::Tested(found) | So2Change::Estimated(found) => Some(found),
            _ => None,
        }
    }

    /// Whether sulfite went in.
    pub fn adds(&self) -> bool {
        matches!(
            self,
            So2Change::Added(..) | So2Change::AddedToUnmeasured(..) | So2Change::AddedUnknown
        )
    }

    /// How the wine met air by it.
    pub fn air(&self) -> Option<Air> {
        match self {
            So2Change::MetAir(air, _) => Some(*air),
            _ => None,
        }
    }
}

/// Micrograms per litre.
fn per_litre(so2: Mass, volume: Volume) -> i64 {
    (i128::from(so2.0) * 1_000_000 / i128::from(volume.0)) as i64
}

impl Wine {
    /// Keeps one more event, and drops the oldest beyond what is kept.
    pub(super) fn met(&mut self, at_ms: i64, what: So2Change) {
        self.so2.push(So2Event { at_ms, what });
        let surplus = self.so2.len().saturating_sub(KEPT);
        self.so2.drain(..surplus);
    }

    /// Before its first test nothing is known that air could change.
    fn met_air(&mut self, at_ms: i64, air: Air, kept_until: Option<KeptUntil>) {
        if self.so2.iter().any(|it| it.what.found().is_some()) {
            self.met(at_ms, So2Change::MetAir(air, kept_until));
        }
    }

    /// So much SO2 goes into all of it, off by so much.
    pub(super) fn sulfited(&mut self, at_ms: i64, so2: Mass, sd: Mass) {
        let change = match (so2.0, self.volume) {
            (0, _) => return,
            (_, volume) if volume > Volume::ZERO && self.unmeasured.is_none() => {
                So2Change::Added(per_litre(so2, volume), per_litre(sd, volume))
            }
            _ => So2Change::AddedToUnmeasured(so2, sd),
        };
        self.met(at_ms, change);
    }

    /// What went in before anybody knew how much wine there is, now that it is known.
    pub(super) fn so2_is_measured(&mut self) {
        let volume = self.volume;
        for event in self.so2.iter_mut().filter(|_| volume > Volume::ZERO) {
            if let So2Change::AddedToUnmeasured(so2, sd) = event.what {
                event.what = So2Change::Added(per_litre(so2, volume), per_litre(sd, volume));
            }
        }
    }

    /// What was tested before it met another wine, or water, is of another wine: it begins anew with the estimate made of the
    /// parts, which is the last thing known of it, and what went in since.
    pub(super) fn so2_begins_anew(&mut self) {
        self.so2.clear();
        let Some(known) = self.known.get(&Property::FreeSo2).cloned() else {
            return;
        };
        if known.found.number().is_none() {
            return;
        }
        self.met(known.at_ms, So2Change::Estimated(known.found));
        let dosed = self.when(Deed::Sulfited).unwrap_or(known.at_ms);
        self.sulfited(dosed.max(known.at_ms), self.so2_since_reading, Mass::ZERO);
    }
}
