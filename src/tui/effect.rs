//! The only place where the program touches the store.

use super::message::{Effect, Facts, Preview, Reply, Told};
use super::words;
use crate::cellar::attention::{Policy, Watch};
use crate::cellar::bottling::put_out;
use crate::cellar::entry::{Draft, Kind};
use crate::cellar::moment::Moment;
use crate::cellar::tasting::blind;
use crate::cellar::telling;
use crate::cellar::thing::Key;
use crate::cellar::trouble::FOLLOWED;
use crate::store::{Clock, Filter, Listed, Store, StoreError};

/// Tastings read at once: more than a household has in many years.
const TASTINGS_LIMIT: usize = 2_000;
/// Entries read for some weeks of the calendar, at most.
const DAYS_LIMIT: usize = 1_000;

/// Does what was asked and says how it went; nothing for what is the terminal's to do.
pub fn perform(effect: Effect, store: &mut Store, now: Moment) -> Option<Reply> {
    let done = match effect {
        Effect::Load(before) => load(store, before.as_deref(), now),
        Effect::LookBack { then, without } => {
            let past = match without {
                Some(entry) => store.without(&entry, then, clock(now)),
                None => store.snapshot(then),
            };
            past.map(|it| Reply::Past(Box::new(it)))
        }
        Effect::Write {
            amends,
            draft,
            said,
        } => {
            let written = match amends {
                Some(entry) => store.amend(entry, &draft, clock(now)),
                None => store.append(&draft, clock(now)),
            };
            written.map(|written| {
                let entry = written.key();
                // Who reads only that it failed would write it twice.
                let told = read_back(store, entry, now)
                    .unwrap_or_else(|error| format!("It is written, but not read back: {error}"));
                Reply::Written { entry, said, told }
            })
        }
        Effect::ReadBook { about, limit } => book(store, about, limit, now),
        Effect::ReadFollowed => followed(store),
        Effect::ReadPutOut => stock_takes(store),
        Effect::ReadPace => store.bottling_pace().map(Reply::Pace),
        Effect::ReadDays { from_ms, until_ms } => {
            let filter = Filter {
                from_ms: Some(from_ms),
                until_ms: Some(until_ms),
                limit: Some(DAYS_LIMIT),
                ..Filter::default()
            };
            store.entries(&filter).map(|listed| Reply::Days {
                from_ms,
                entries: listed.into_iter().map(told).collect(),
            })
        }
        Effect::ReadTastings => store.tastings(TASTINGS_LIMIT).map(Reply::Tastings),
        Effect::ReadTastingWords => store.tasting_words(TASTINGS_LIMIT).map(Reply::TastingWords),
        Effect::Fill {
            run,
            event,
            size_ml,
            count,
            at_ms,
        } => store
            .fill(run, event, size_ml, count, at_ms)
            .map(|effects| Reply::Filled {
                run,
                states: effects
                    .shifts
                    .into_iter()
                    .map(|it| (it.place, it.after))
                    .collect(),
            }),
        Effect::PreviewVoid(entry) => preview(store, entry, now),
        Effect::PreviewAmend { entry, draft } => amended(store, entry, &draft, now),
        Effect::Void(entry) => store
            .void(entry, clock(now))
            .map(|_| Reply::Voided { entry, again: None }),
        Effect::Undo(entry) => store.undo(entry, clock(now)).map(|written| {
            let last = written.entries.last().map(|it| it.key);
            let again = last.filter(|it| {
                let written = store.entry(*it);
                written.is_ok_and(|it| it.draft.amends.is_some())
            });
            Reply::Voided { entry, again }
        }),
        Effect::Suspend | Effect::Redraw => return None,
    };
    Some(done.unwrap_or_else(|error| Reply::Refused(words::capital(&error.to_string()))))
}

fn read_back(store: &Store, entry: Key, now: Moment) -> Result<String, StoreError> {
    let it = store.listed(entry)?;
    let cellar = store.snapshot(now)?;
    Ok(telling::with_note(&it.entry.draft, &it.flows, &cellar))
}

fn clock(now: Moment) -> Clock {
    Clock { now_ms: now.utc_ms }
}

fn load(store: &Store, before: Option<&Watch>, now: Moment) -> Result<Reply, StoreError> {
    let mut cellar = store.snapshot(now)?;
    cellar.now = cellar.settings().zone.moment(now.utc_ms);
    let policy = Policy::of(&cellar);
    let facts = Facts::of(cellar, policy, before);
    Ok(Reply::Loaded(Box::new(facts)))
}

fn book(store: &Store, about: Option<Key>, limit: usize, now: Moment) -> Result<Reply, StoreError> {
    let filter = Filter {
        thing: about,
        limit: Some(limit),
        ..Filter::default()
    };
    let mut listed = store.entries(&filter)?;
    // Only a blind tasting asks for the cellar, to see whether it is revealed.
    if about.is_some() && listed.iter().any(|it| blind::is_blind(&it.entry.draft)) {
        let cellar = store.snapshot(now)?;
        listed.retain(|it| !blind::is_secret(&it.entry.draft, &cellar));
    }
    Ok(Reply::Book {
        about,
        limit,
        entries: listed.into_iter().map(told).collect(),
    })
}

fn followed(store: &Store) -> Result<Reply, StoreError> {
    let mut entries = Vec::new();
    for kind in FOLLOWED {
        let filter = Filter {
            kind: Some(kind),
            living: true,
            ..Filter::default()
        };
        entries.extend(store.entries(&filter)?.into_iter().map(told));
    }
    Ok(Reply::Followed(entries))
}

fn stock_takes(store: &Store) -> Result<Reply, StoreError> {
    let filter = Filter {
        kind: Some(Kind::StockTake),
        living: true,
        ..Filter::default()
    };
    let entries = store.entries(&filter)?;
    let drafts = entries.iter().map(|it| &it.entry.draft);
    Ok(Reply::PutOut(put_out(drafts)))
}

fn told(listed: Listed) -> Told {
    Told {
        entry: listed.entry,
        flows: listed.flows,
    }
}

fn amended(store: &mut Store, entry: Key, draft: &Draft, now: Moment) -> Result<Reply, StoreError> {
    let cellar = store.snapshot(now)?;
    let effects = store.preview_amend(entry, draft, clock(now))?;
    let was = store.entry(entry)?.draft;
    Ok(Reply::Changes(effects.lines(&[&was, draft], &cellar)))
}

/// What voiding would change. That it may not be voided is an answer too, with the entry shown.
fn preview(store: &mut Store, entry: Option<Key>, now: Moment) -> Result<Reply, StoreError> {
    let is_undo = entry.is_none();
    let entry = match entry {
        Some(key) => Some(store.entry(key)?),
        None => store.newest_living()?,
    };
    let entry = entry
        .ok_or_else(|| StoreError::Refused("there is nothing in the book to undo.".to_owned()))?;
    let cellar = store.snapshot(now)?;
    let back = store.brought_back(&entry)?;
    let changes = if is_undo {
        store.preview_undo(entry.key, clock(now))
    } else {
        store.preview_void(entry.key, clock(now))
    };
    let (changes, refused) = match changes {
        Ok(effects) => {
            let drafts = std::iter::once(&entry).chain(&back).map(|it| &it.draft);
            let lines = effects.lines(&drafts.collect::<Vec<_>>(), &cellar);
            let back = back.as_ref().filter(|_| is_undo).map(|it| {
                let told = telling::with_note(&it.draft, &[], &cellar);
                format!("What was entry {} holds again: {told}", it.key.0)
            });
            (back.into_iter().chain(lines).collect(), None)
        }
        Err(StoreError::Refused(sentence)) => (Vec::new(), Some(words::capital(&sentence))),
        Err(other) => return Err(other),
    };
    let told = told(store.listed(entry.key)?);
    Ok(Reply::Preview(Box::new(Preview {
        told,
        is_undo,
        changes,
        refused,
    })))
}
