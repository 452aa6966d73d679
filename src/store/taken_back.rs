//! The void that takes an entry back, and what has to stay true without it.

use crate::cellar::attention::words::count;
use crate::cellar::bottling::Tally;
use crate::cellar::entry::{Draft, Entry, Kind};
use crate::cellar::racks::{Rack, Racks};
use crate::cellar::thing::{Key, Value, field};

use super::memory::Memory;
use super::slots::lots;
use super::{Clock, Store, StoreError, read, refusal, write};

/// What becomes of the things that an entry began once it is voided.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Begun {
    /// They are no more.
    Gone,
    /// The entry that amends it takes them over.
    TakenOver,
}

impl Store {
    /// The void of an entry. A name that it gave to a rack stays one that the rack had: what was put
    /// there by that name still lies there.
    pub(super) fn void_of(&self, at: Key, begun: Begun, clock: Clock) -> Result<Draft, StoreError> {
        let now = self.settings()?.zone.moment(clock.now_ms);
        let mut void = Draft::new(Kind::Void, now);
        void.voids = Some(at);
        let Some(voided) = read::entry(&self.conn, at)? else {
            return Ok(void);
        };
        let gone = match begun {
            Begun::Gone => {
                holds_no_count(&voided)?;
                write::begun_by(&self.conn, at)?
            }
            Begun::TakenOver => Vec::new(),
        };
        let names = voided
            .draft
            .changes
            .iter()
            .filter_map(|it| match &it.value {
                Some(Value::Text(name)) if it.field == field::NAME => Some((it.thing, name)),
                _ => None,
            });
        for (thing, name) in names.filter(|it| gone.iter().all(|gone| gone.0 != it.0)) {
            let memory = self.recall()?;
            if let Some(names) = names_with(&memory, &voided, thing, name)? {
                void.set(thing, field::FORMER_NAMES, names.as_str());
            }
        }
        Ok(void)
    }
}

/// Refused where bottles were counted since an entry that made ready for them: without it they would have been filled
/// before what their wine was given until then, and where it is made ready anew, after what it is given next.
fn holds_no_count(voided: &Entry) -> Result<(), StoreError> {
    let tally = Tally::of(&voided.draft.fillings);
    if voided.draft.run_begun().is_some() || tally.is_nothing() {
        return Ok(());
    }
    let counted = match tally.bottles() {
        0 => "what went amiss and was".to_owned(),
        bottles => count(bottles, "bottle"),
    };
    Err(StoreError::Refused(format!(
        "{counted} counted since {} would have been filled before it; take those back first (`leesline bottle count`), or let it stand.",
        refusal::the_entry(voided)
    )))
}

/// Every name that a rack has or had, if `name` means that rack. Refused if the name goes back to the
/// rack that it was taken from, and would take along what was put into this one since.
fn names_with(
    memory: &Memory,
    voided: &Entry,
    thing: Key,
    name: &str,
) -> Result<Option<String>, StoreError> {
    let racks = Racks::of(&memory.things);
    let Some(rack) = racks.named(name).filter(|it| it.key == thing) else {
        return Ok(None);
    };
    let taken_from = voided.draft.changes.iter().find_map(|it| {
        let other = racks.get(it.thing).filter(|other| other.key != thing);
        other.filter(|_| it.field == field::FORMER_NAMES)
    });
    let Some(other) = taken_from else {
        let names = rack.former.iter().map(String::as_str);
        let names: Vec<&str> = names.chain([name, &rack.name]).collect();
        return Ok(Some(names.join("\n")));
    };
    let by_that_name = Racks::from_iter([Rack {
        name: name.to_owned(),
        former: Vec::new(),
        ..rack.clone()
    }]);
    let all = memory.states.values().flat_map(|it| lots(Some(it)));
    let there = all.filter(|it| by_that_name.read(&it.at).rack().is_some());
    match there.map(|it| it.count).sum() {
        0 => Ok(None),
        since => Err(StoreError::Refused(format!(
            "{} was put into {name} since it got that name from {}, and would lie there; rename {} instead.",
            count(since, "bottle"),
            other.name,
            rack.name,
        ))),
    }
}
