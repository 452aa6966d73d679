//! The void that takes an entry back, and what has to stay true without it.

use crate::cellar::attention::words::count;
use crate::cellar::bottling::Tally;
use crate::cellar::entry::{Draft, Entry, Kind};
use crate::cellar::racks::{Rack, Racks};
use crate::cellar::thing::{Key, Value, field};

use super::memory::Memory;
use super::slots::lots;
use super::{Clock, Filter, Store, StoreError, project, read, refusal, write};

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
                self.is_reckoned_with_no_more(&voided)?;
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

    /// Refused where a finish or a later count took only what this count of supplies had left of what was filled: without it
    /// nobody would take that.
    fn is_reckoned_with_no_more(&self, voided: &Entry) -> Result<(), StoreError> {
        let mut changes = voided.draft.changes.iter();
        let off = changes.find(|it| it.field == field::DRAWN_COUNTED);
        let Some(off) = off.filter(|_| voided.is_living()) else {
            return Ok(());
        };
        let filter = Filter {
            thing: Some(off.thing),
            from_ms: Some(voided.draft.when.utc_ms),
            living: true,
            ..Filter::default()
        };
        let reckons = |it: &Entry| {
            let is_after = project::order(it) > project::order(voided);
            let fields = [field::FINISHED, field::DRAWN_COUNTED];
            is_after && fields.iter().any(|field| it.draft.sets(field).is_some())
        };
        let entries = self.entries(&filter)?.into_iter().map(|it| it.entry);
        let Some(by) = entries.into_iter().find(reckons) else {
            return Ok(());
        };
        Err(StoreError::Refused(format!(
            "{} cannot be voided while {} reckons with what was filled by then; void that one first.",
            refusal::the_entry(voided),
            refusal::the_entry(&by)
        )))
    }
}

/// Refused where supplies counted while bottles were filled would have been counted at another moment, or not at all: what
/// was filled by then would go off twice, or never.
pub(super) fn is_counted_as_then(was: &Entry, again: &Draft) -> Result<(), StoreError> {
    let is_off = |it: &Draft| it.sets(field::DRAWN_COUNTED).is_some();
    let as_then = (again.kind, again.when.utc_ms) == (was.draft.kind, was.draft.when.utc_ms);
    if as_then || !(is_off(&was.draft) || is_off(again)) {
        return Ok(());
    }
    Err(StoreError::Refused(format!(
        "{} keeps its moment, since what a bottling had filled by then goes off with a count; void it and take stock anew.",
        refusal::the_entry(was)
    )))
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
