//! What comes in, what is asked for, and what comes back.

use crate::cellar::attention::Reason;
use crate::cellar::entry::{Draft, Entry};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::Key;

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
    /// Text pasted.
    Paste(String),
    /// The file changed under us, or the day did.
    Stale,
    /// What an effect brought back.
    Reply(Reply),
}

/// What the world is asked to do. Only [`super::effect::perform`] does it.
#[derive(Debug)]
pub enum Effect {
    /// Read the cellar and what needs someone.
    Load,
    /// Write an entry. `said` is what it says it does.
    Write {
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
    /// See what voiding an entry would change; the newest living one if none is named.
    PreviewVoid(Option<Key>),
    /// Void an entry.
    Void(Key),
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
    /// An entry is on disk.
    Written {
        /// Its key.
        entry: Key,
        /// What it said it does.
        said: String,
    },
    /// Entries of the book, newest first.
    Book {
        /// As asked.
        about: Option<Key>,
        /// As asked.
        limit: usize,
        /// The entries.
        entries: Vec<Entry>,
    },
    /// What voiding an entry would change, in sentences.
    Preview(Box<Preview>),
    /// An entry no longer counts.
    Voided(Key),
    /// It was not done; the sentence says what, why, and what to do.
    Refused(String),
}

/// What voiding an entry would change.
#[derive(Clone, Debug)]
pub struct Preview {
    /// The entry.
    pub entry: Entry,
    /// What changes, line by line.
    pub changes: Vec<String>,
    /// Why it cannot be voided, if it cannot.
    pub refused: Option<String>,
}

/// What every pane reads: the cellar, and what needs someone, most pressing first.
#[derive(Clone, Debug)]
pub struct Facts {
    /// The cellar as it is.
    pub cellar: Snapshot,
    /// What needs someone, in the order of [`in_order`].
    pub reasons: Vec<Reason>,
}

impl Facts {
    /// Reasons about a thing, most pressing first.
    pub fn reasons_for(&self, key: Key) -> impl Iterator<Item = &Reason> {
        self.reasons.iter().filter(move |it| it.subject == key)
    }
}

/// Sorts reasons: by rank, then by what is lost by waiting, then by when they fell due.
pub fn in_order(reasons: &mut [Reason]) {
    reasons.sort_by(|one, other| {
        (one.rank.cmp(&other.rank))
            .then(other.weight.total_cmp(&one.weight))
            .then(one.due.cmp(&other.due))
            .then(one.subject.cmp(&other.subject))
    });
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
