//! What is true of the store, on cellars in memory.

mod append;
mod faults;
mod filling;
mod kept;
mod lists;
mod mending;
mod order;
mod random;
mod slots;
mod tastings;

use crate::cellar::amount::Volume;
use crate::cellar::entry::{Amount, Draft, Due, Found, Job, Kind, Property, Reading};
use crate::cellar::moment::Moment;
use crate::cellar::state::State;
use crate::cellar::thing::{Account, Key, Sort, Value, field};

use super::{Clock, Store, StoreError};

/// Noon of a day; days count from an arbitrary first.
fn day(number: i64) -> Moment {
    Moment {
        utc_ms: 1_700_000_000_000 + number * 86_400_000,
        offset_min: 60,
    }
}

const CLOCK: Clock = Clock {
    now_ms: 1_700_000_000_000 + 1_000 * 86_400_000,
};

/// A cellar in memory with a few verbs of its own.
struct Cellar {
    store: Store,
}

impl Cellar {
    fn new() -> Cellar {
        Cellar {
            store: Store::in_memory().unwrap(),
        }
    }

    fn vessel(&mut self, name: &str) -> Key {
        self.begin(Sort::Vessel, name)
    }

    fn begin(&mut self, sort: Sort, name: &str) -> Key {
        let mut draft = Draft::new(Kind::Vessel, day(0));
        draft.begin(sort, name);
        let written = self.store.append(&draft, CLOCK).unwrap();
        written.entries[0].things[0]
    }

    fn append(&mut self, draft: &Draft) -> Key {
        self.store.append(draft, CLOCK).unwrap().key()
    }

    fn receive(&mut self, at: i64, vessel: Key, litres: f64) -> Key {
        self.append(&receive(at, vessel, litres))
    }

    fn rack(&mut self, at: i64, from: Key, to: Key, leaving: f64) -> Key {
        self.append(&rack(at, from, to, leaving))
    }

    /// Microlitres in a place on a day.
    fn holds(&self, at: i64, place: Key) -> Volume {
        let then = self.store.snapshot(day(at)).unwrap();
        volume(then.states.get(&place).map(AsRef::as_ref))
    }

    /// The projection is what the full fold gives, and the file is sound.
    fn sound(&self) {
        assert_eq!(self.store.check().unwrap(), Vec::<String>::new());
    }
}

fn receive(at: i64, vessel: Key, litres: f64) -> Draft {
    let mut draft = Draft::new(Kind::Receive, day(at));
    let amount = Amount::Exactly(Volume::litres(litres));
    draft.pour(Account::Must.key(), vessel, amount);
    draft
}

/// All but `leaving` goes over; the rest to lees.
fn rack(at: i64, from: Key, to: Key, leaving: f64) -> Draft {
    let mut draft = Draft::new(Kind::Rack, day(at));
    draft.pour(from, to, Amount::RestLeaving(Volume::litres(leaving)));
    draft.pour(from, Account::Lees.key(), Amount::RestLeaving(Volume::ZERO));
    draft
}

fn sample(at: i64, from: Key, litres: f64) -> Draft {
    let mut draft = Draft::new(Kind::Draw, day(at));
    let amount = Amount::Exactly(Volume::litres(litres));
    draft.pour(from, Account::Samples.key(), amount);
    draft
}

fn level(at: i64, vessel: Key, litres: f64) -> Draft {
    let mut draft = Draft::new(Kind::Adjust, day(at));
    let found = Amount::LevelFound(Volume::litres(litres));
    draft.pour(vessel, Account::Difference.key(), found);
    draft
}

/// A plan for the second part of a fining, made on one day and due on another.
fn part_b(subject: Key, at: i64, due: i64) -> Draft {
    let mut plan = Draft::new(Kind::Plan, day(at));
    plan.jobs.push(Job {
        key: Key(0),
        subject,
        title: "part B".to_owned(),
        due: Due::On(day(due).utc_ms),
        verb: String::new(),
    });
    plan
}

fn measure(at: i64, place: Key, property: Property, found: Found) -> Draft {
    let mut draft = Draft::new(Kind::Measure, day(at));
    draft.readings.push(Reading {
        place,
        property,
        found,
        typed: "as typed".to_owned(),
        instrument: String::new(),
        rule: String::new(),
    });
    draft
}

fn set(at: i64, thing: Key, name: &'static str, value: impl Into<Value>) -> Draft {
    let mut draft = Draft::new(Kind::Vessel, day(at));
    draft.set(thing, name, value);
    draft
}

fn brim(at: i64, vessel: Key, litres: f64) -> Draft {
    set(at, vessel, field::BRIM, Volume::litres(litres))
}

/// The wine in a state; none in no state.
fn volume(state: Option<&State>) -> Volume {
    match state {
        Some(State::Wine(wine)) => wine.volume,
        _ => Volume::ZERO,
    }
}

/// The sentence of a refusal, and that it is one of the book and not of what was typed.
fn refusal<T: std::fmt::Debug>(result: Result<T, StoreError>) -> String {
    let error = result.unwrap_err();
    assert!(!error.is_input(), "{error}");
    error.to_string()
}
