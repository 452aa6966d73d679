//! The cellar at a moment: the one value that verbs, attention and screens read.

use std::collections::BTreeMap;
use std::sync::Arc;

use leesline_calc::quantity::Units;

use super::entry::{Job, Silence};
use super::moment::{Moment, Zone};
use super::run::marked;
use super::shared::Shared;
use super::state::{BottleLot, State, Stock, Wine};
use super::thing::{CELLAR, Key, Sort, Thing, Things, field};
use super::timer::Timer;

/// Everything known of the cellar at a moment, derived from the book.
#[derive(Clone, Debug)]
pub struct Snapshot {
    /// The moment it shows, which is also "now".
    pub now: Moment,
    /// Living things by key; accounts are not among them.
    pub things: Things,
    /// What each place holds. A vessel that never held anything is absent.
    pub states: Shared<State>,
    /// Jobs not yet closed, by an entry or by what was done to the wine since.
    pub jobs: Vec<OpenJob>,
    /// Reasons put off or dismissed that still hold.
    pub silences: Vec<PutOff>,
    /// Jots that nothing has been made of, oldest first: entry, when, words.
    pub jots: Vec<(Key, Moment, String)>,
    /// The last cellar round, UTC ms.
    pub last_round_ms: Option<i64>,
    /// The run whose filling is open, if a bottling is under way.
    pub filling: Option<Key>,
    /// How little is left of a lot at some later moment of the book, until it is counted, in its unit; only of lots that
    /// something happened to after the moment shown. What is taken out of them now is lacking then.
    pub stays: BTreeMap<Key, i64>,
    /// Another warmth that is supposed; none in the book's own cellar.
    pub kept: Option<Kept>,
    /// What things were called that no living entry begins any more: voided entries are told with it.
    pub gone: Arc<BTreeMap<Key, String>>,
}

/// A warmth that the cellar is supposed to be kept at from a moment on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kept {
    /// How warm, °C.
    pub celsius: f64,
    /// From when on.
    pub since: Moment,
    /// How warm the cellar usually was before, °C.
    pub usual_c: Option<f64>,
}

/// A job in the book with when it was written.
#[derive(Clone, Debug, PartialEq)]
pub struct OpenJob {
    /// The job.
    pub job: Job,
    /// When the entry that asked for it happened, UTC ms.
    pub since_ms: i64,
}

/// A reason put off or dismissed, with the entry that says so: voiding it takes it back.
#[derive(Clone, Debug, PartialEq)]
pub struct PutOff {
    /// Which, and until when.
    pub silence: Silence,
    /// The entry.
    pub entry: Key,
    /// When it was said.
    pub said: Moment,
    /// Why, in the person's own words; may be empty.
    pub why: String,
}

/// A name that nothing answers to, with the nearest that do.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}", self.sentence())]
pub struct UnknownName {
    /// What sort of thing was asked for.
    pub sort: Sort,
    /// What was typed.
    pub typed: String,
    /// The nearest names, best first.
    pub nearest: Vec<String>,
}

impl UnknownName {
    fn sentence(&self) -> String {
        let asked = format!("no {} is called `{}`", self.sort.label(), self.typed);
        match self.nearest.as_slice() {
            [] => format!("{asked}; there is none yet."),
            [one] => format!("{asked}; the nearest is {one}."),
            many => format!("{asked}; the nearest are {}.", many.join(", ")),
        }
    }
}

impl Snapshot {
    /// The cellar as if nothing were put off.
    pub(super) fn without_silences(&self) -> Snapshot {
        Snapshot {
            silences: Vec::new(),
            ..self.clone()
        }
    }

    /// An empty cellar at that moment.
    pub fn empty(now: Moment) -> Snapshot {
        Snapshot {
            now,
            things: Things::default(),
            states: Shared::default(),
            jobs: Vec::new(),
            silences: Vec::new(),
            jots: Vec::new(),
            last_round_ms: None,
            filling: None,
            stays: BTreeMap::new(),
            kept: None,
            gone: Arc::default(),
        }
    }

    /// Shows vessels that were taken over full as holding their wine from its own date on.
    pub(crate) fn with_taken_over(mut self) -> Snapshot {
        for vessel in self.things.values() {
            if vessel.sort != Sort::Vessel || self.states.contains_key(&vessel.key) {
                continue;
            }
            if let Some(wine) = Wine::taken_over(vessel, self.now.utc_ms) {
                let state = Arc::new(State::from(wine));
                self.states.insert(vessel.key, state);
            }
        }
        self
    }

    /// The thing of that key.
    pub fn thing(&self, key: Key) -> Option<&Thing> {
        self.things.get(&key).map(Arc::as_ref)
    }

    /// The name of a thing or account; empty if there is none. A cellar that nobody named is called
    /// what it is headed with.
    pub fn name(&self, key: Key) -> &str {
        if let Some(account) = super::thing::Account::from_key(key) {
            return account.word();
        }
        match self.thing(key).map_or("", Thing::name) {
            "" if key == CELLAR => UNNAMED,
            name => name,
        }
    }

    /// Every living thing, in order of key.
    pub fn all(&self) -> impl Iterator<Item = &Thing> {
        self.things.values().map(Arc::as_ref)
    }

    /// Things of a sort that are in use, in order of key.
    pub fn open(&self, sort: Sort) -> impl Iterator<Item = &Thing> {
        self.all().filter(move |it| it.sort == sort && it.is_open())
    }

    /// The wine in a vessel or run, if it holds any.
    pub fn wine(&self, key: Key) -> Option<&Wine> {
        match self.states.get(&key)?.as_ref() {
            State::Wine(wine) if wine.is_there() => Some(wine),
            _ => None,
        }
    }

    /// Bottles on hand: the lots of each run that has any.
    pub fn lots(&self) -> impl Iterator<Item = (Key, &[BottleLot])> {
        let states = self.states.iter();
        states.filter_map(|(key, state)| match state.as_ref() {
            State::Wine(wine) if !wine.bottles.is_empty() => Some((*key, &wine.bottles[..])),
            _ => None,
        })
    }

    /// Whether a bottling from that vessel is under way.
    pub fn is_being_bottled(&self, vessel: Key) -> bool {
        let run = self.filling.and_then(|it| self.thing(it));
        run.and_then(|it| it.int(field::VESSEL)) == Some(vessel.0)
    }

    /// What is left of a lot of supply.
    pub fn stock(&self, key: Key) -> Option<&Stock> {
        match self.states.get(&key)?.as_ref() {
            State::Supply(stock) => Some(stock),
            State::Wine(_) => None,
        }
    }

    /// The thing of that sort and name, in use first. Case and surrounding blanks do not matter; a
    /// beginning that fits only one name is enough, and bottles are told by their mark too.
    pub fn find(&self, sort: Sort, name: &str) -> Result<&Thing, UnknownName> {
        let wanted = name.trim().to_lowercase();
        let of_sort = || {
            self.all()
                .filter(|it| it.sort == sort && !it.name().is_empty())
        };
        let mut exact: Vec<&Thing> = of_sort()
            .filter(|it| it.name().to_lowercase() == wanted)
            .collect();
        exact.sort_by_key(|it| (!it.is_open(), std::cmp::Reverse(it.key)));
        if let Some(found) = exact.first() {
            return Ok(found);
        }
        let begins: Vec<&Thing> = of_sort()
            .filter(|it| {
                it.is_open() && !wanted.is_empty() && it.name().to_lowercase().starts_with(&wanted)
            })
            .collect();
        if let [only] = begins.as_slice() {
            return Ok(only);
        }
        if let Some(run) = marked(name, self).filter(|_| sort == Sort::Run) {
            return Ok(run);
        }
        let mut near: Vec<(usize, &str)> = of_sort()
            .filter(|it| it.is_open())
            .map(|it| (distance(&wanted, &it.name().to_lowercase()), it.name()))
            .collect();
        near.sort_unstable();
        let nearest = near
            .into_iter()
            .take(3)
            .map(|(_, name)| name.to_owned())
            .collect();
        Err(UnknownName {
            sort,
            typed: name.trim().to_owned(),
            nearest,
        })
    }

    /// The settings, with their defaults.
    pub fn settings(&self) -> Settings {
        Settings::of(self.thing(CELLAR))
    }
}

/// The cellar's settings, read from the cellar's own attributes.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// Name of the cellar, shown at the top.
    pub name: String,
    /// Its zone.
    pub zone: Zone,
    /// Which gallon and which measures are shown.
    pub units: Units,
    /// The smallest step the owned scale shows, g; `None` without a scale.
    pub scale_step_g: Option<f64>,
    /// The smallest step of the owned syringe, mL; `None` without one.
    pub syringe_step_ml: Option<f64>,
    /// Temperature the owned hydrometer was made for, °C; 20 unless set.
    pub hydrometer_c: f64,
    /// Whether free SO2 is tested here; taken so unless said otherwise.
    pub tests_so2: bool,
    /// Usual temperature of the cellar, °C.
    pub temperature_c: Option<f64>,
    /// The timers that were set, the first to be over first.
    pub timers: Vec<Timer>,
}

impl Settings {
    /// From the cellar itself, the thing whose attributes they are.
    pub(crate) fn of(cellar: Option<&Thing>) -> Settings {
        let text = |name: &str| cellar.map_or("", |it| it.text(name));
        let real = |name: &str| cellar.and_then(|it| it.real(name));
        Settings {
            name: if text(field::NAME).is_empty() {
                UNNAMED.to_owned()
            } else {
                text(field::NAME).to_owned()
            },
            zone: Zone::from_setting(text(field::ZONE)).unwrap_or(Zone::System),
            units: Units::from_words(text(field::GALLON), text(field::MEASURES))
                .unwrap_or_default(),
            scale_step_g: real(field::SCALE),
            syringe_step_ml: real(field::SYRINGE),
            hydrometer_c: real(field::HYDROMETER).unwrap_or(20.0),
            tests_so2: text(field::SO2_TEST) != "no",
            temperature_c: real(field::TEMPERATURE),
            timers: cellar.map_or_else(Vec::new, Timer::all),
        }
    }
}

/// What a cellar is called that nobody named.
const UNNAMED: &str = "My cellar";

/// Edits between two words: insertions, removals, exchanges.
pub(super) fn distance(one: &str, other: &str) -> usize {
    let other: Vec<char> = other.chars().collect();
    let mut row: Vec<usize> = (0..=other.len()).collect();
    for (i, a) in one.chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, b) in other.iter().enumerate() {
            let replaced = diagonal + usize::from(a != *b);
            diagonal = row[j + 1];
            row[j + 1] = replaced.min(row[j] + 1).min(row[j + 1] + 1);
        }
    }
    row[other.len()]
}
