//! What bears on a wine's free SO2, kept in order so that a forecast can learn from all of it.

use crate::cellar::amount::{Mass, Volume};
use crate::cellar::entry::{Found, Kind, Property};
use crate::cellar::state::{Deed, So2Change, So2Event, Wine};
use crate::cellar::thing::{Key, Sort, Thing, VesselKind, field};

use super::Step;

/// Events kept with a wine: a year or two of tests every two or three months, with the doses between.
const KEPT: usize = 12;

impl Step<'_> {
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
