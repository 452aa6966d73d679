//! What if: the forecast beside the present one, before anything is written.
//!
//! A draft is applied to a copy of the cellar by the same fold as the book's. Waiting is the same cellar
//! seen later, another temperature the same cellar with its setting changed.

mod beside;

use std::sync::Arc;

use uuid::Uuid;

use super::attention::Policy;
use super::attributes::Attributes;
use super::entry::{Draft, Entry, Kind};
use super::fold::{Finding, Ledger};
use super::moment::Moment;
use super::plan::{self, Progress};
use super::settle::settle;
use super::snapshot::{Kept, OpenJob, PutOff, Snapshot};
use super::state::State;
use super::tasting::blind;
use super::thing::{CELLAR, Key, Sort, Thing, Value, field};

pub use beside::{Beside, Outlook};

/// The entry that is not in the book.
const SUPPOSED: Key = Key(i64::MAX);

/// A deed done in a copy of the cellar.
#[derive(Clone, Debug)]
pub struct Supposed {
    /// The cellar as it would be.
    pub cellar: Snapshot,
    /// Vessels and runs that it reaches and that hold wine before or after, in order of key.
    pub places: Vec<Key>,
}

/// The cellar once that was done. Refused with the first rule that the entry would break, and where it would say which wine is
/// tasted blind.
pub fn done(cellar: &Snapshot, draft: &Draft) -> Result<Supposed, String> {
    if blind::is_secret(draft, cellar) {
        return Err(
            "A wine that is tasted blind stays unnamed until `leesline blind reveal`.".to_owned(),
        );
    }
    let mut then = cellar.clone();
    let begun = begin(&mut then, &draft.new_things);
    let draft = settle(draft.clone(), &begun);
    change(&mut then, &draft);
    let entry = Entry {
        key: SUPPOSED,
        stands: SUPPOSED.0,
        uid: Uuid::nil(),
        recorded_ms: draft.when.utc_ms,
        draft,
        voided_by: None,
    };
    let reached: Vec<Key> = {
        let vessel = entry.draft.filled_from().map(|(_, vessel)| vessel);
        entry.draft.places().into_iter().chain(vessel).collect()
    };
    if let Some(broken) = apply(&mut then, &entry, &reached) {
        let day = format!("on {}", entry.draft.when.day_words());
        return Err(broken.sentence(&then.things, &day));
    }
    open_ends(&mut then, &entry.draft);
    let holds_wine = |it: &Key| cellar.wine(*it).is_some() || then.wine(*it).is_some();
    let mut places = reached;
    places.retain(holds_wine);
    places.sort_unstable();
    places.dedup();
    Ok(Supposed {
        cellar: then,
        places,
    })
}

/// What that would make of the forecast of each vessel that holds wine after it, in a line:
/// `Carboy A: free SO2 ~26 (22–29) mg/L instead of ~15 (10–18)`. Nothing where nothing changes, or where
/// the book would refuse it.
pub fn foreseen(draft: &Draft, cellar: &Snapshot, policy: &Policy) -> Vec<String> {
    let Ok(supposed) = done(cellar, draft) else {
        return Vec::new();
    };
    let said = supposed.places.iter().filter_map(|place| {
        let beside = Beside::of(*place, cellar, &supposed.cellar, policy);
        let words = beside.said().filter(|_| beside.then.is_full)?;
        Some(format!("{}: {words}.", supposed.cellar.name(*place)))
    });
    said.collect()
}

/// The same cellar so many days later, with nothing done meanwhile.
pub fn waited(cellar: &Snapshot, days: i64) -> Snapshot {
    let mut then = cellar.clone();
    then.now = then.now.plus_days(days);
    then
}

/// The same cellar kept at that temperature, °C, from a moment on.
pub fn kept_at(cellar: &Snapshot, celsius: f64, since: Moment) -> Snapshot {
    let mut then = cellar.clone();
    then.kept = Some(Kept {
        celsius,
        since,
        usual_c: cellar.settings().temperature_c,
    });
    let cellar = then.things.entry(CELLAR).or_insert_with(|| {
        Arc::new(Thing {
            key: CELLAR,
            uid: Uuid::nil(),
            sort: Sort::Cellar,
            attributes: Attributes::default(),
        })
    });
    let attributes = &mut Arc::make_mut(cellar).attributes;
    attributes.insert(field::TEMPERATURE.to_owned(), Value::Real(celsius));
    then
}

/// As it is and as it would be: with a deed done now if there is one, so many days on, and kept at a
/// temperature if that is supposed too. Both are seen at the same moment, so that only what is supposed
/// tells them apart; where it is only waiting, that is what is supposed.
pub fn both_sides(
    cellar: &Snapshot,
    done: Option<&Snapshot>,
    days: i64,
    celsius: Option<f64>,
) -> (Snapshot, Snapshot) {
    let is_only_waiting = done.is_none() && celsius.is_none();
    let is = waited(cellar, if is_only_waiting { 0 } else { days });
    let then = waited(done.unwrap_or(cellar), days);
    match celsius {
        Some(celsius) => (is, kept_at(&then, celsius, cellar.now)),
        None => (is, then),
    }
}

/// What heads the two sides as [`both_sides`] has them, seen so many days on: `as it is, in 14 days` is not how it is now.
pub fn headings(is_only_waiting: bool, days: i64) -> [String; 2] {
    let later = match days {
        0 => return ["as it is".to_owned(), "then".to_owned()],
        1 => "in 1 day".to_owned(),
        days => format!("in {days} days"),
    };
    if is_only_waiting {
        ["now".to_owned(), later]
    } else {
        [format!("as it is, {later}"), format!("then, {later}")]
    }
}

/// Gives the draft's own things keys behind all that there are.
fn begin(then: &mut Snapshot, sorts: &[Sort]) -> Vec<Key> {
    let last = then.things.keys().next_back().map_or(0, |it| it.0.max(0));
    let mut begun = Vec::new();
    for (key, sort) in (last + 1..).map(Key).zip(sorts) {
        let thing = Thing {
            key,
            uid: Uuid::nil(),
            sort: *sort,
            attributes: Attributes::default(),
        };
        then.things.insert(key, Arc::new(thing));
        begun.push(key);
    }
    begun
}

fn change(then: &mut Snapshot, draft: &Draft) {
    for change in &draft.changes {
        let Some(thing) = then.things.get_mut(&change.thing) else {
            continue;
        };
        let attributes = &mut Arc::make_mut(thing).attributes;
        match &change.value {
            Some(value) => attributes.insert(change.field.clone(), value.clone()),
            None => attributes.remove(&change.field),
        }
    }
}

/// Folds the entry over what the places hold; the first rule that it breaks, if any.
fn apply(then: &mut Snapshot, entry: &Entry, reached: &[Key]) -> Option<Finding> {
    let held = reached
        .iter()
        .filter_map(|it| Some((*it, State::clone(then.states.get(it)?))));
    let mut ledger = Ledger {
        states: held.collect(),
        things: std::mem::take(&mut then.things),
    };
    let outcome = ledger.apply(entry);
    then.things = ledger.things;
    let states = ledger.states.into_iter();
    then.states
        .extend(states.map(|(place, state)| (place, Arc::new(state))));
    outcome.findings.into_iter().next()
}

/// Jobs, jots, reasons put off and the bottling under way, as the entry leaves them.
fn open_ends(then: &mut Snapshot, draft: &Draft) {
    then.jobs.retain(|it| !draft.closes.contains(&it.job.key));
    then.jobs.extend(draft.jobs.iter().map(|job| OpenJob {
        job: job.clone(),
        since_ms: draft.when.utc_ms,
    }));
    then.silences.extend(draft.silences.iter().map(|it| PutOff {
        silence: it.clone(),
        entry: Key(0),
        said: draft.when,
        why: draft.note.clone(),
    }));
    then.jots.retain(|it| Some(it.0) != draft.from_jot);
    if draft.kind == Kind::Round {
        then.last_round_ms = Some(draft.when.utc_ms);
    }
    // A bottling that is only supposed is looked at as done: what it leaves in the vessel has to be seen to, and is not
    // silenced as it is while bottles are being filled.
    let still = |it: &Key| then.thing(*it).is_some_and(Thing::is_filling);
    then.filling = then.filling.filter(still);
    let jobs = std::mem::take(&mut then.jobs).into_iter();
    then.jobs = jobs
        .filter(|it| plan::progress(it, then) != Progress::Done)
        .collect();
}

#[cfg(test)]
mod tests;
