//! What bears on a wine's free SO2, kept in order so that a forecast can learn from all of it.

use std::collections::BTreeSet;

use crate::cellar::amount::{Mass, Volume};
use crate::cellar::entry::{Entry, Found, Kind, Property};
use crate::cellar::state::{Deed, So2Change, So2Event, State, Wine};
use crate::cellar::thing::{Key, Sort, Thing, VesselKind, field};

use super::{Ledger, Step};

/// Events kept with a wine: a year or two of tests every two or three months, with the doses between.
const KEPT: usize = 12;

/// With no less of a vessel empty than this its wine stands under air, and is kept in another way. House estimate.
pub(in crate::cellar) const UNDER_AIR_SHARE: f64 = 0.25;

impl Ledger {
    /// Whether the wine there stands under so much air that this is how it is kept. A floating lid leaves none.
    pub(super) fn is_under_air(&self, place: Key) -> bool {
        let (Some(thing), Some(State::Wine(wine))) =
            (self.things.get(&place), self.states.get(&place))
        else {
            return false;
        };
        let floats = thing.text(field::CLOSURE).contains("float");
        let room = thing
            .capacity()
            .filter(|_| !floats && wine.unmeasured.is_none());
        room.is_some_and(|it| {
            wine.volume > Volume::ZERO
                && (it - wine.volume).in_litres() >= UNDER_AIR_SHARE * it.in_litres()
        })
    }
}

impl Step<'_> {
    /// Wine that came under air by this entry, or out from under it, is kept in another way from now on.
    pub(super) fn note_levels(&mut self) {
        let now = self.now();
        for place in poured(self.entry) {
            if !self.ledger.holds_wine(place) {
                continue;
            }
            let is = self.ledger.is_under_air(place);
            let filled_now = self.wine(place).when(Deed::Filled) == Some(now);
            let from = self.outcome.flows.iter().rfind(|it| it.to == place);
            let before = from.filter(|_| filled_now).map_or(place, |it| it.from);
            if is == self.under_air_before.contains(&before) {
                continue;
            }
            let wine = self.wine(place);
            let tested = wine.so2.iter().any(|it| it.what.found().is_some());
            match wine.so2.last_mut() {
                Some(last) if last.at_ms == now && last.what.meets_air() => {
                    last.what = So2Change::Moved;
                }
                _ if tested => wine.met(now, So2Change::Moved),
                _ => {}
            }
        }
    }

    /// Wine that arrived by these has met air, and may be kept in another way from now on. Before its first test nothing is
    /// known that this could change.
    pub(super) fn note_air(&mut self, from: Key, to: Key) {
        let bottled = self
            .ledger
            .things
            .get(&to)
            .is_some_and(|it| it.sort == Sort::Run);
        if !bottled
            && !matches!(
                self.entry.draft.kind,
                Kind::Rack | Kind::TopUp | Kind::Split | Kind::Blend | Kind::Unbottle
            )
        {
            return;
        }
        let place = |key: Key| self.ledger.things.get(&key).map(AsRef::as_ref);
        let other = match (place(from), place(to)) {
            (Some(one), Some(other)) => one.key != other.key && kept(one) != kept(other),
            _ => false,
        };
        let filled_now = self.wine(to).when(Deed::Filled) == Some(self.now());
        let changed = if filled_now && other {
            So2Change::Moved
        } else {
            So2Change::Aired
        };
        let now = self.now();
        let wine = self.wine(to);
        let last = wine.so2.last();
        let tested = wine.so2.iter().any(|it| it.what.found().is_some());
        // One racking may be many pours.
        if tested && last.is_none_or(|it| it.at_ms != now || it.what != changed) {
            wine.met(now, changed);
        }
    }
}

/// The places whose level an entry changes.
pub(super) fn poured(entry: &Entry) -> BTreeSet<Key> {
    let draft = &entry.draft;
    let moved = draft.movements.iter().flat_map(|it| [it.from, it.to]);
    let bottled = draft.run_begun().map(|(_, vessel)| vessel);
    moved.chain(bottled).collect()
}

/// How a place keeps wine, as far as free SO2 goes; headspace apart.
fn kept(place: &Thing) -> (Sort, Option<VesselKind>, bool) {
    let closure = place.text(field::CLOSURE).to_lowercase();
    let tight = closure.contains("bung") || closure.contains("stopper");
    let kind = place.vessel_kind();
    match (place.sort, kind) {
        (Sort::Run, _) => (Sort::Run, None, true),
        (sort, VesselKind::Barrel) => (sort, Some(VesselKind::Barrel), true),
        (sort, VesselKind::Tank | VesselKind::Bucket) => (sort, Some(VesselKind::Tank), false),
        (sort, _) => (sort, None, tight),
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
            So2Change::Added(_) | So2Change::AddedToUnmeasured(_) | So2Change::AddedUnknown
        )
    }

    /// Whether the wine met air by it.
    pub fn meets_air(&self) -> bool {
        matches!(self, So2Change::Aired | So2Change::Moved)
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

    /// So much SO2 goes into all of it.
    pub(super) fn sulfited(&mut self, at_ms: i64, so2: Mass) {
        let change = match (so2.0, self.volume) {
            (0, _) => return,
            (_, volume) if volume > Volume::ZERO && self.unmeasured.is_none() => {
                So2Change::Added(per_litre(so2, volume))
            }
            _ => So2Change::AddedToUnmeasured(so2),
        };
        self.met(at_ms, change);
    }

    /// What went in before anybody knew how much wine there is, now that it is known.
    pub(super) fn so2_is_measured(&mut self) {
        let volume = self.volume;
        for event in self.so2.iter_mut().filter(|_| volume > Volume::ZERO) {
            if let So2Change::AddedToUnmeasured(so2) = event.what {
                event.what = So2Change::Added(per_litre(so2, volume));
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
        self.sulfited(dosed.max(known.at_ms), self.so2_since_reading);
    }
}
