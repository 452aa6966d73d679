//! What lies in which slot, and what cannot be: two bottles in one slot, more than a rack holds.

use std::collections::BTreeMap;

use super::{Place, Racks, Slot};
use crate::cellar::state::BottleLot;
use crate::cellar::thing::{Key, Things};

/// Bottles of a run that lie in a rack.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Held<'a> {
    /// The run.
    pub run: Key,
    /// Its bottles there.
    pub lot: &'a BottleLot,
}

/// What lies in a rack.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Stowed<'a> {
    /// By slot.
    pub slots: BTreeMap<Slot, Vec<Held<'a>>>,
    /// In it, nobody said where.
    pub anywhere: Vec<Held<'a>>,
    /// In slots that it does not have.
    pub nowhere: Vec<Held<'a>>,
}

impl<'a> Stowed<'a> {
    /// Bottles in a slot.
    pub fn in_slot(&self, slot: Slot) -> i64 {
        self.slots.get(&slot).map_or(0, |it| count(it))
    }

    /// Every lot in it: slot by slot, then what lies anywhere.
    pub fn all(&self) -> impl Iterator<Item = Held<'a>> + '_ {
        let rest = self.anywhere.iter().chain(&self.nowhere);
        self.slots.values().flatten().chain(rest).copied()
    }

    /// Bottles in it.
    pub fn count(&self) -> i64 {
        self.all().map(|it| it.lot.count).sum()
    }
}

fn count(held: &[Held]) -> i64 {
    held.iter().map(|it| it.lot.count).sum()
}

/// What lies in each rack that holds anything. A bottle in no rack costs one look at its place.
pub fn stowed<'a>(
    racks: &Racks,
    runs: impl IntoIterator<Item = (Key, &'a [BottleLot])>,
) -> BTreeMap<Key, Stowed<'a>> {
    let mut racked: BTreeMap<Key, Stowed<'a>> = BTreeMap::new();
    if racks.is_empty() {
        return racked;
    }
    for (run, lots) in runs {
        for lot in lots {
            let held = Held { run, lot };
            let place = racks.read(&lot.at);
            let Some(rack) = place.rack() else {
                continue;
            };
            let stowed = racked.entry(rack.key).or_default();
            match place {
                Place::Slot(_, slot) => stowed.slots.entry(slot).or_default().push(held),
                Place::NoSlot(_) => stowed.nowhere.push(held),
                Place::Rack(_) | Place::Loose => stowed.anywhere.push(held),
            }
        }
    }
    racked
}

/// Something that cannot be, and how many bottles it is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Crowd {
    /// In which rack.
    pub rack: Key,
    /// What.
    pub fault: Fault,
    /// Bottles there.
    pub count: i64,
    /// The runs that they are of, where it is about one slot.
    pub runs: Vec<Key>,
}

/// What cannot be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// More lie in a slot than it has room for.
    Taken(Slot),
    /// More lie in the rack than it has room for.
    Full,
    /// A place names a slot that the rack does not have.
    NoSlot(String),
}

impl Crowd {
    /// The number, whose they are, and the way out.
    pub fn sentence(&self, racks: &Racks, things: &Things) -> String {
        let Some(rack) = racks.get(self.rack) else {
            return "that rack is no longer there.".to_owned();
        };
        let (name, room) = (&rack.name, rack.room());
        match &self.fault {
            Fault::Taken(slot) if rack.holds == 1 => format!(
                "slot {slot} of {name} is taken{}; give another slot, or shift what lies there first.",
                self.whose(things)
            ),
            Fault::Taken(slot) => format!(
                "slot {slot} of {name} has room for {} and would hold {}; give another slot, or shift some first.",
                rack.holds, self.count
            ),
            Fault::Full => format!(
                "{name} has room for {room} and would hold {}; put fewer there, or shift some first.",
                self.count
            ),
            Fault::NoSlot(place) => format!(
                "{name} has no slot `{place}`; its slots are {}.",
                rack.span()
            ),
        }
    }

    /// `: Elder 24 and Plum 25 would lie in it`.
    fn whose(&self, things: &Things) -> String {
        let names: Vec<&str> = self
            .runs
            .iter()
            .filter_map(|it| Some(things.get(it)?.name()))
            .collect();
        match names.as_slice() {
            [] => String::new(),
            [one] => format!(": {} of {one} would lie in it", self.count),
            names => format!(": {} would lie in it", names.join(" and ")),
        }
    }
}

/// Everything that cannot be, by rack.
pub fn crowds<'a>(
    racks: &Racks,
    runs: impl IntoIterator<Item = (Key, &'a [BottleLot])>,
) -> Vec<Crowd> {
    let mut crowds = Vec::new();
    for (key, stowed) in stowed(racks, runs) {
        let Some(rack) = racks.get(key) else {
            continue;
        };
        let mut find = |fault, count, held: &[Held]| {
            let mut runs: Vec<Key> = held.iter().map(|it| it.run).collect();
            runs.dedup();
            crowds.push(Crowd {
                rack: key,
                fault,
                count,
                runs,
            });
        };
        for held in &stowed.nowhere {
            let place = held.lot.at.rsplit(['/', ' ']).next().unwrap_or_default();
            find(Fault::NoSlot(place.to_owned()), held.lot.count, &[]);
        }
        for (slot, held) in &stowed.slots {
            let count = count(held);
            if count > rack.holds && rack.only().is_none() {
                find(Fault::Taken(*slot), count, held);
            }
        }
        if stowed.count() > rack.room() {
            find(Fault::Full, stowed.count(), &[]);
        }
    }
    crowds
}
