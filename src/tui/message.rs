//! What comes in, what is asked for, and what comes back.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::cellar::attention::{self, Glimpse, Policy, Reason, Suggestion, Watch};
use crate::cellar::bottling::PutOut;
use crate::cellar::entry::{Draft, Entry, FillEvent};
use crate::cellar::fold::Flow;
use crate::cellar::moment::Moment;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::State;
use crate::cellar::supplies::{self, SulfiteGlance};
use crate::cellar::tasting::Tasted;
use crate::cellar::thing::{Key, Sort};

use super::commands::{Id, Place};
use super::press::Press;
use super::screens::Pane;

/// Something that happened to the program.
#[derive(Debug)]
pub enum Message {
    /// The first frame is on the screen.
    Started,
    /// A key.
    Press(Press),
    /// When the key that follows was pressed, UTC ms, by a clock that runs on even where the day was
    /// given and stands still.
    Clock(i64),
    /// Text pasted.
    Paste(String),
    /// The file changed under us, or the day did.
    Stale,
    /// What was up while the program was shut, in words.
    WasUp(String),
    /// What an effect brought back.
    Reply(Reply),
}

/// What the world is asked to do. Only [`super::effect::perform`] does it.
#[derive(Debug)]
pub enum Effect {
    /// Read the cellar and what needs someone, given what was found there before.
    Load(Option<Arc<Watch>>),
    /// Read the cellar as it was at a moment, for an entry dated then; as if the entry that is to
    /// be amended had never been.
    LookBack {
        /// The moment.
        then: Moment,
        /// The entry to be amended.
        without: Option<Box<Entry>>,
    },
    /// Write an entry. `said` is what it says it does.
    Write {
        /// The entry that it amends.
        amends: Option<Key>,
        /// The entry.
        draft: Box<Draft>,
        /// Its sentence, told again once it is on disk.
        said: String,
    },
    /// Read the book, newest first: of one place, or all of it.
    ReadBook {
        /// Of one vessel, run or lot.
        about: Option<Key>,
        /// At most so many entries.
        limit: usize,
    },
    /// Read who was given bottles, what came back, and how wines took their names.
    ReadFollowed,
    /// Read which empty bottles were put out of use.
    ReadPutOut,
    /// Read how quickly was bottled in the last sessions.
    ReadPace,
    /// Read what happened between two instants (UTC ms, both counted), newest first.
    ReadDays {
        /// From here on.
        from_ms: i64,
        /// Up to here.
        until_ms: i64,
    },
    /// Read what was tasted, newest first.
    ReadTastings,
    /// Read the words that tastings were told in, newest first.
    ReadTastingWords,
    /// Write down a press at the spout.
    Fill {
        /// The run being filled.
        run: Key,
        /// What happened.
        event: FillEvent,
        /// Size of the bottle, or what was spilled, mL.
        size_ml: i64,
        /// How many at once.
        count: i64,
        /// When, by the clock that runs on, UTC ms.
        at_ms: i64,
    },
    /// See what voiding an entry would change; the newest living one if none is named.
    PreviewVoid(Option<Key>),
    /// See what writing an entry anew would change.
    PreviewAmend {
        /// The entry.
        entry: Key,
        /// As it would be.
        draft: Box<Draft>,
    },
    /// Void an entry.
    Void(Key),
    /// Void the entry written last, and bring back what it amended.
    Undo(Key),
    /// Stop for a moment.
    Suspend,
    /// Draw every cell anew.
    Redraw,
}

/// What an effect brought back.
#[derive(Debug)]
pub enum Reply {
    /// The cellar as it is. Panes are told [`Reply::Stale`] instead.
    Loaded(Box<Facts>),
    /// What was read before may have changed; the facts are new.
    Stale,
    /// The cellar as it was; its `now` is the moment asked for.
    Past(Box<Snapshot>),
    /// What an amendment would change, in words.
    Changes(Vec<String>),
    /// An entry is on disk.
    Written {
        /// Its key.
        entry: Key,
        /// What it said it does.
        said: String,
        /// What it says, as the book tells it.
        told: String,
    },
    /// Entries of the book, newest first.
    Book {
        /// As asked.
        about: Option<Key>,
        /// As asked.
        limit: usize,
        /// The entries.
        entries: Vec<Told>,
    },
    /// Bottles given and come back, and how wines took their names.
    Followed(Vec<Told>),
    /// Empty bottles put out of use.
    PutOut(PutOut),
    /// From one bottle to the next in the last sessions, ms.
    Pace(Option<i64>),
    /// What happened between two instants, newest first.
    Days {
        /// As asked.
        from_ms: i64,
        /// The entries.
        entries: Vec<Told>,
    },
    /// What was tasted, newest first.
    Tastings(Vec<Tasted>),
    /// The words that tastings were told in, newest first.
    TastingWords(Vec<String>),
    /// A press at the spout is on disk. `states` is what the places it reached now hold.
    Filled {
        /// The run.
        run: Key,
        /// Vessel and run as they now are; `None` where nothing is left.
        states: Vec<(Key, Option<State>)>,
    },
    /// What voiding an entry would change, in sentences.
    Preview(Box<Preview>),
    /// An entry no longer counts.
    Voided {
        /// Which.
        entry: Key,
        /// The entry that holds in its stead: what it amended, written again.
        again: Option<Key>,
    },
    /// It was not done; the sentence says what, why, and what to do.
    Refused(String),
}

/// An entry with what it moved, resolved; nothing moved if it is voided.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// The entry.
    pub entry: Entry,
    /// What it moved.
    pub flows: Vec<Flow>,
}

/// What voiding an entry would change.
#[derive(Clone, Debug)]
pub struct Preview {
    /// The entry.
    pub told: Told,
    /// Whether it was asked for as the last that was written, not by name.
    pub is_undo: bool,
    /// What changes, line by line.
    pub changes: Vec<String>,
    /// Why it cannot be voided, if it cannot.
    pub refused: Option<String>,
}

/// What every pane reads: the cellar, and what needs someone. Derived once from a snapshot.
#[derive(Clone, Debug)]
pub struct Facts {
    /// The cellar as it is.
    pub cellar: Snapshot,
    /// The thresholds it is judged by.
    pub policy: Policy,
    /// What the rules found, to go on from when the cellar changes; `None` where reasons were found elsewhere.
    pub watch: Option<Arc<Watch>>,
    /// What needs someone, most pressing first.
    pub reasons: Vec<Reason>,
    /// Those of them that show at a glance.
    pub shown: Vec<Glimpse>,
    /// Vessels in use: first those that need someone, most pressing first; then those that hold
    /// wine; then the empty ones; by name within each.
    pub vessels: Vec<Key>,
    /// Runs with bottles on hand.
    pub runs: Vec<Key>,
    /// Lots of supply in use.
    pub supplies: Vec<Key>,
    /// What there is of sulfite powder, if any is weighed.
    pub sulfite: Option<SulfiteGlance>,
    /// When the last key was pressed, UTC ms, by the clock that runs on.
    pub clock_ms: i64,
}

impl Facts {
    /// What follows from a snapshot, after what was found in the cellar before.
    pub fn of(cellar: Snapshot, policy: Policy, before: Option<&Watch>) -> Facts {
        let watch = Watch::after(before, &cellar, &policy);
        let reasons = watch.reasons();
        Facts {
            watch: Some(Arc::new(watch)),
            ..Facts::with_reasons(cellar, policy, reasons)
        }
    }

    /// A snapshot with reasons found elsewhere.
    pub fn with_reasons(cellar: Snapshot, policy: Policy, reasons: Vec<Reason>) -> Facts {
        let mut vessels: Vec<Key> = cellar.open(Sort::Vessel).map(|it| it.key).collect();
        let mut pressing: BTreeMap<Key, usize> = BTreeMap::new();
        for (at, reason) in reasons.iter().enumerate() {
            pressing.entry(reason.subject).or_insert(at);
        }
        vessels.sort_by_cached_key(|key| {
            let place = pressing.get(key).copied().unwrap_or(usize::MAX);
            (
                place,
                cellar.wine(*key).is_none(),
                cellar.name(*key).to_lowercase(),
            )
        });
        let wine = |it: &Key| cellar.wine(*it);
        let keys = |sort| cellar.open(sort).map(|it| it.key);
        let has_bottles = |it: &Key| wine(it).is_some_and(|it| it.bottle_count() > 0);
        Facts {
            runs: keys(Sort::Run).filter(has_bottles).collect(),
            supplies: keys(Sort::Supply).collect(),
            sulfite: supplies::sulfite(&cellar, &policy),
            clock_ms: cellar.now.utc_ms,
            watch: None,
            shown: attention::glance(&reasons),
            vessels,
            cellar,
            policy,
            reasons,
        }
    }

    /// Reasons about a thing, most pressing first; of a vessel those of its batch too.
    pub fn reasons_for(&self, key: Key) -> impl Iterator<Item = &Reason> {
        attention::about(key, &self.reasons, &self.cellar)
    }

    /// The one of them to show where there is room for one.
    pub fn reason_for(&self, key: Key) -> Option<&Reason> {
        attention::foremost(self.reasons_for(key))
    }
}

/// What a pane is told.
#[derive(Debug)]
pub enum Input<'a> {
    /// A row of the command table that holds in its place.
    Command(Id),
    /// A press that no row took: text, where the place takes text.
    Type(Press),
    /// Text pasted. Line breaks are still in it.
    Paste(&'a str),
    /// It was called up, about something.
    Called(&'a Call),
    /// What an effect brought back. Every pane hears every reply.
    Reply(&'a Reply),
}

/// What a pane is called up for.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Call {
    /// A vessel, run or batch.
    pub about: Option<Key>,
    /// A calculator or verb by name.
    pub name: String,
    /// Fields filled in.
    pub values: Vec<(String, String)>,
    /// Fields that only the person knows: typing begins at the first of them.
    pub needs: Vec<String>,
}

impl Call {
    /// What deals with a reason, with what it knows filled in.
    pub fn of(reason: &Reason) -> Call {
        Call::suggested(Some(reason.subject), &reason.suggestion)
    }

    /// The page of a fault, about a vessel or bottles.
    pub fn to_fault(about: Key, fault: &str) -> Call {
        Call {
            about: Some(about),
            name: "trouble mark".to_owned(),
            values: vec![("fault".to_owned(), fault.to_owned())],
            needs: Vec::new(),
        }
    }

    /// A suggestion about something.
    pub fn suggested(about: Option<Key>, suggestion: &Suggestion) -> Call {
        let value = |(key, text): &(&str, String)| ((*key).to_owned(), text.clone());
        Call {
            about,
            name: suggestion.verb.to_owned(),
            values: suggestion.values.iter().map(value).collect(),
            needs: suggestion.needs.iter().map(|it| (*it).to_owned()).collect(),
        }
    }
}

/// What a pane asks of the program.
pub enum Ask {
    /// Have something done.
    Do(Effect),
    /// Go to a screen, and tell it what for.
    Go(Place, Call),
    /// Lay a pane on top.
    Lay(Box<dyn Pane>),
    /// Open a verb's form, or the pane that does it better.
    Verb(Call),
    /// Take this pane away.
    Close,
    /// Take this pane away and act as if this command had been pressed beneath.
    CloseAnd(Id),
    /// Say a line.
    Say(Notice),
}

/// A line said at the foot of the screen until the next key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice {
    /// How it went.
    pub tone: Tone,
    /// The sentence.
    pub sentence: String,
}

/// How something went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tone {
    /// Done.
    Done,
    /// Worth knowing.
    Note,
    /// Not done.
    Refused,
}

impl Notice {
    /// It is done.
    pub fn done(sentence: impl Into<String>) -> Notice {
        Notice {
            tone: Tone::Done,
            sentence: sentence.into(),
        }
    }

    /// Worth knowing.
    pub fn note(sentence: impl Into<String>) -> Notice {
        Notice {
            tone: Tone::Note,
            sentence: sentence.into(),
        }
    }

    /// It was not done.
    pub fn refused(sentence: impl Into<String>) -> Notice {
        Notice {
            tone: Tone::Refused,
            sentence: sentence.into(),
        }
    }
}
