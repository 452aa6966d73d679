//! The verbs: one registry that owns the command line's sub-commands, the terminal's forms and the
//! ready-made commands of every reason. To add a verb is one file and one line in [`VERBS`].
//!
//! A verb declares its fields and turns what was typed into a [`Draft`] in the light of a
//! [`Snapshot`]. It writes nothing: the store appends the draft, and refuses what the fold refuses.

mod additions;
mod again;
mod ahead;
mod apart;
mod blend;
mod blind;
mod bottles;
mod bottling;
mod brought;
mod corker;
mod deeds;
mod doses;
mod empties;
mod empties_out;
mod fits;
mod here;
mod keeping;
mod lasting;
mod look;
mod looking;
mod loose;
mod losses;
mod lots;
mod named;
mod notes;
mod packages;
mod pull;
mod put_off;
mod rack;
mod read;
mod receive;
mod sanitise;
mod settings;
mod shelves;
mod slips;
mod stock_take;
mod supplies;
mod sweeten;
mod things;
mod timer;
mod top_up;
mod trouble;
mod window;
mod yeast;

pub use additions::UNKNOWN_TABLET;
pub use again::{Typed, again, unlike};
pub use apart::is_unit;
pub use bottling::{free_mark, mark_of};
pub use named::{Named, named};
pub use trouble::bottle;

use std::collections::BTreeMap;

use super::entry::{Draft, Property};
use super::moment::{self, Moment, Said, Zone};
use super::snapshot::Snapshot;
use super::thing::{Key, Sort, Value, field};

/// Every verb, in the order in which help lists them.
pub static VERBS: &[&Verb] = &[
    &here::HERE,
    &things::VESSEL_ADD,
    &things::VESSEL_CHANGE,
    &things::VESSEL_RETIRE,
    &things::BATCH_ADD,
    &things::BATCH_CHANGE,
    &things::BATCH_CLOSE,
    &settings::SETTINGS,
    &receive::RECEIVE,
    &rack::PRESS,
    &rack::RACK,
    &top_up::TOP_UP,
    &rack::SPLIT,
    &blend::BLEND,
    &lasting::PUNCH_DOWN,
    &deeds::DEGAS,
    &deeds::FILTER,
    &lasting::CHILL,
    &lasting::WARM,
    &deeds::COVER,
    &deeds::START_MALO,
    &deeds::MOVE,
    &losses::LOSE,
    &losses::DISCARD,
    &losses::ADJUST,
    &yeast::PITCH,
    &additions::FEED,
    &additions::ADD,
    &additions::FINE,
    &sweeten::SWEETEN,
    &additions::STABILISE,
    &additions::OAK_IN,
    &additions::OAK_OUT,
    &losses::DRAW,
    &looking::MEASURE,
    &looking::TASTE,
    &blind::START,
    &blind::TASTE,
    &blind::REVEAL,
    &bottling::START,
    &bottling::NEXT,
    &bottling::SIZE,
    &bottling::CORKS,
    &bottling::FINISH,
    &look::LOOK,
    &bottles::LAY_DOWN,
    &bottles::OPEN,
    &bottles::GIVE,
    &bottles::RESERVE,
    &bottles::BREAK,
    &bottles::UNBOTTLE,
    &keeping::SHIFT,
    &keeping::RELEASE,
    &keeping::BACK,
    &keeping::DESCRIBE,
    &shelves::ADD,
    &shelves::CHANGE,
    &shelves::RETIRE,
    &corker::CORKER,
    &window::WINDOW,
    &supplies::BUY,
    &stock_take::STOCK_TAKE,
    &sanitise::SANITISE,
    &empties::EMPTIES_ADD,
    &empties::EMPTIES_WASH,
    &empties_out::EMPTIES_OUT,
    &notes::JOT,
    &notes::NOTE,
    &notes::PLAN_ADD,
    &notes::PLAN_START,
    &notes::PLAN_COPY,
    &notes::DONE,
    &notes::ROUND,
    &timer::TIMER,
    &trouble::MARK,
    &trouble::OVER,
    &put_off::SNOOZE,
    &put_off::DISMISS,
];

/// The verb of that name, such as `rack` or `vessel add`.
pub fn find(name: &str) -> Option<&'static Verb> {
    VERBS.iter().copied().find(|it| it.name == name)
}

/// Something a person does that the book writes down.
#[derive(Debug)]
pub struct Verb {
    /// As typed: one word, or two for a sub-command of a sub-command.
    pub name: &'static str,
    /// What it does, one sentence.
    pub sentence: &'static str,
    /// Where help lists it.
    pub group: Group,
    /// What it asks, the vessel first. [`COMMON`] fields follow in every verb.
    pub fields: &'static [Field],
    /// Turns what was typed into an entry, without the common fields.
    pub draft: fn(&Form, &Snapshot) -> Result<Prepared, Refusal>,
}

/// Groups of verbs, as help shows them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// What there is: vessels, batches, what was here already.
    Cellar,
    /// Wine on the move: receive, rack, top up.
    Wine,
    /// What is put in.
    Additions,
    /// Measuring and tasting.
    Looking,
    /// Bottling and after.
    Bottles,
    /// Supplies.
    Supplies,
    /// Jots, plans, reasons put off.
    Notes,
}

/// One thing a verb asks.
#[derive(Debug)]
pub struct Field {
    /// Flag without its dashes, and key in a [`Form`].
    pub key: &'static str,
    /// As a form shows it.
    pub label: &'static str,
    /// One sentence of help.
    pub help: &'static str,
    /// What may be typed.
    pub takes: Takes,
    /// Whether it must be.
    pub need: Need,
}

/// What a field takes. Forms offer completion by it; `draft` does the reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Takes {
    /// The name of a thing in use.
    Thing(Sort),
    /// The name of a vessel that holds wine.
    FullVessel,
    /// The name of a vessel or of a run.
    Place,
    /// Vessels and runs, with semicolons between.
    Wines,
    /// The points of a sheet, in its order.
    Points,
    /// Where bottles are: a rack, a slot, any words.
    Spot,
    /// Vessels with an amount each: `Carboy A=22 L`; the amount may be left out.
    Pours,
    /// A name not yet taken.
    NewName(Sort),
    /// A volume: `22 L`, `5 gal`, `all`, `about 22 L`.
    Volume,
    /// An amount of a supply: `5 g`, `10 mL`, `2`, `1/4 tsp`, `a packet`.
    Dose,
    /// A whole number.
    Count,
    /// A number in the unit of a property; also `<10`, `24-26`, `about 1.010`, a word.
    Reading(Property),
    /// A plain number with its unit, such as a strength or a width.
    Number(&'static str),
    /// One of these words.
    Choice(&'static [&'static str]),
    /// One of these words, or any other.
    Suggest(&'static [&'static str]),
    /// A date: `2026-11-25`, `yesterday`, `autumn 2023`.
    Date,
    /// Free words.
    Text,
    /// Words for how a wine tastes.
    Words,
    /// Yes when given.
    Flag,
    /// Set by a screen, never asked: the calculation behind an addition, the jot behind an entry.
    Hidden,
}

/// Whether a field must be filled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// Given first, without a flag; must be there.
    Required,
    /// Given by flag, may be left out.
    Optional,
    /// Given by flag, any number of times.
    Many,
}

/// A field that must be given, and comes first.
const fn ask(key: &'static str, label: &'static str, help: &'static str, takes: Takes) -> Field {
    Field {
        key,
        label,
        help,
        takes,
        need: Need::Required,
    }
}

/// A field that may be left out.
const fn flag(key: &'static str, label: &'static str, help: &'static str, takes: Takes) -> Field {
    Field {
        key,
        label,
        help,
        takes,
        need: Need::Optional,
    }
}

/// Fields that every verb has.
pub static COMMON: &[Field] = &[
    Field {
        key: "at",
        label: "When",
        help: "When it happened; now if left out.",
        takes: Takes::Date,
        need: Need::Optional,
    },
    Field {
        key: "by",
        label: "By",
        help: "Initials of who did it.",
        takes: Takes::Text,
        need: Need::Optional,
    },
    Field {
        key: "jot",
        label: "From jot",
        help: "The jot this is made from.",
        takes: Takes::Hidden,
        need: Need::Optional,
    },
    Field {
        key: "note",
        label: "Note",
        help: "Anything worth keeping.",
        takes: Takes::Text,
        need: Need::Optional,
    },
];

/// What was typed, by field.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Form {
    values: BTreeMap<String, Vec<String>>,
}

impl Form {
    /// From pairs of field and text; a field given several times keeps every text. Blank texts count
    /// as not given.
    pub fn of<'a>(pairs: impl IntoIterator<Item = (&'a str, &'a str)>) -> Form {
        let mut form = Form::default();
        for (key, text) in pairs {
            form.put(key, text);
        }
        form
    }

    /// Adds what was typed in a field, if anything was.
    pub fn put(&mut self, key: &str, text: &str) {
        if !text.trim().is_empty() {
            self.values
                .entry(key.to_owned())
                .or_default()
                .push(text.trim().to_owned());
        }
    }

    /// What was typed in a field, the first if several.
    pub fn get(&self, key: &str) -> Option<&str> {
        self.all(key).first().map(String::as_str)
    }

    /// All that was typed in a field.
    pub fn all(&self, key: &str) -> &[String] {
        self.values.get(key).map_or(&[], Vec::as_slice)
    }

    /// Every field given, with its texts.
    pub fn pairs(&self) -> impl Iterator<Item = (&str, &str)> {
        self.values
            .iter()
            .flat_map(|(key, texts)| texts.iter().map(move |text| (key.as_str(), text.as_str())))
    }
}

/// An entry ready to be written.
#[derive(Clone, Debug, PartialEq)]
pub struct Prepared {
    /// The entry.
    pub draft: Draft,
    /// What it says it will do, as one sentence: `Rack 22.4 L from the bucket to Carboy A, leaving 0.6 L.`
    pub sentence: String,
    /// What a person should confirm once; then it goes on.
    pub asks: Vec<String>,
    /// What must be answered with yes before anything is written, on the command line too: wine that
    /// would be thrown away though nobody said so, a dose that is plainly a slip, wines that meet.
    pub loses: Option<String>,
}

impl Prepared {
    /// With further questions that must be answered with yes.
    fn only_if(mut self, questions: impl IntoIterator<Item = String>) -> Prepared {
        let all: Vec<String> = self.loses.into_iter().chain(questions).collect();
        self.loses = (!all.is_empty()).then(|| all.join(" "));
        self
    }

    /// All that a person should confirm, what is lost first.
    pub fn questions(&self) -> impl Iterator<Item = &String> {
        self.loses.iter().chain(&self.asks)
    }
}

/// Why something typed was not taken: one sentence, at the field where it belongs.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{sentence}")]
pub struct Refusal {
    /// The field, when one is to blame.
    pub field: Option<&'static str>,
    /// What, why, and what to do.
    pub sentence: String,
    /// Whether it could not be understood, or was understood and refused.
    pub blame: Blame,
}

/// Kinds of refusal; the command line's exit code follows them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Blame {
    /// Unknown, unparsable or out of the allowed range: exit 2.
    Input,
    /// Well-formed, and refused by the book: exit 1.
    Book,
}

impl Refusal {
    /// What was typed in `field` could not be taken.
    pub fn input(field: &'static str, sentence: impl Into<String>) -> Refusal {
        Refusal {
            field: Some(field),
            sentence: sentence.into(),
            blame: Blame::Input,
        }
    }

    /// The book as it stands does not allow it.
    pub fn book(field: Option<&'static str>, sentence: impl Into<String>) -> Refusal {
        Refusal {
            field,
            sentence: sentence.into(),
            blame: Blame::Book,
        }
    }
}

/// When it happened, by the common field `at`: now if left out. A date after now is refused.
pub fn when(form: &Form, now: Moment, zone: Zone) -> Result<Said, Refusal> {
    let mut said = moment::read(form.get("at").unwrap_or("now"), now, zone)
        .map_err(|it| Refusal::input("at", it.to_string()))?;
    if said.moment > now {
        return Err(Refusal::book(
            Some("at"),
            format!(
                "{} is after now, and the book takes what has happened: for what is to come, enter a plan (`leesline plan add`).",
                said.moment.day_words()
            ),
        ));
    }
    if said.moment.days_since(now) < -LONG_AGO_DAYS {
        let years = -said.moment.days_since(now) / 365;
        let day = said.moment.day_words();
        said.remark = Some(format!("{day} is {years} years ago; is the year right?"));
    }
    Ok(said)
}

/// Longer ago than most that a home cellar remembers; a slip in the year, more often than not.
const LONG_AGO_DAYS: i64 = 30 * 365;

/// Prepares an entry in the light of the cellar as it was `when`: `cellar.now` is that moment.
pub fn prepare(
    verb: &Verb,
    form: &Form,
    cellar: &Snapshot,
    when: &Said,
) -> Result<Prepared, Refusal> {
    blind::is_its_turn(verb, cellar)?;
    let missing = verb
        .fields
        .iter()
        .find(|it| it.need == Need::Required && form.get(it.key).is_none());
    if let Some(field) = missing {
        return Err(Refusal::input(
            field.key,
            format!("{} is missing. {}", field.label, field.help),
        ));
    }
    let mut prepared = (verb.draft)(form, cellar)?;
    names_can_be_said(&prepared.draft)?;
    bottling::mark_is_its_own(&prepared.draft, cellar)?;
    fits::impossible(&prepared.draft, cellar)?;
    let unlikely = fits::unlikely(&prepared.draft, cellar);
    let too_large = shelves::too_large(&prepared.draft, cellar);
    let at_risk = trouble::bottles_at_risk(&prepared.draft, cellar);
    let brought = brought::asks(&prepared.draft, cellar);
    prepared
        .asks
        .extend(bottling::followed(&mut prepared.draft, cellar));
    let meanwhile = bottling::taken_meanwhile(&prepared.draft, cellar);
    let no_rack = shelves::nearly_a_rack(&prepared.draft, cellar);
    let asked = unlikely.into_iter().chain(no_rack).chain(too_large);
    prepared = prepared.only_if(asked.chain(at_risk).chain(brought).chain(meanwhile));
    prepared.asks.extend(when.remark.clone());
    form.get("by")
        .unwrap_or_default()
        .clone_into(&mut prepared.draft.by);
    let tasting = prepared.draft.tastings.first();
    // A note that was taken as the words of a tasting is not said twice.
    let note = form
        .get("note")
        .filter(|note| tasting.is_none_or(|it| it.words != *note));
    let notes = [
        Some(prepared.draft.note.as_str()),
        note,
        when.loosely.as_deref(),
    ];
    let notes: Vec<&str> = notes
        .into_iter()
        .flatten()
        .filter(|it| !it.is_empty())
        .collect();
    prepared.draft.note = notes.join("; ");
    if let Some(jot) = form.get("jot") {
        let jot = jot
            .parse()
            .map_err(|_| Refusal::input("jot", format!("`{jot}` is not the number of a jot.")))?;
        prepared.draft.from_jot = Some(Key(jot));
    }
    Ok(prepared)
}

/// Longest name taken: it must fit a row and a tag.
const LONGEST_NAME: usize = 60;

/// Names are said again on screens, in lists and in commands: short, of plain characters, and
/// without the signs that part vessels from their amounts.
fn names_can_be_said(draft: &Draft) -> Result<(), Refusal> {
    for change in draft.changes.iter().filter(|it| it.field == field::NAME) {
        let Some(Value::Text(name)) = &change.value else {
            continue;
        };
        let length = name.chars().count();
        if length > LONGEST_NAME {
            let begin: String = name.chars().take(20).collect();
            return Err(Refusal::input(
                "name",
                format!(
                    "the name `{begin}…` has {length} characters; give one of {LONGEST_NAME} or fewer."
                ),
            ));
        }
        if let Some(sign) = name.chars().find(|it| matches!(it, '=' | ';')) {
            let why = "it parts a vessel from its amount";
            return Err(Refusal::input(
                "name",
                format!("`{name}` has a `{sign}` in it, and {why}; leave it out."),
            ));
        }
        if apart::is_amount(name) {
            return Err(Refusal::input(
                "name",
                format!(
                    "`{name}` is an amount and no name; put a word with it that says what or which."
                ),
            ));
        }
        if name.chars().any(is_invisible) {
            let why = "has a character in it that cannot be seen or turns the line around";
            return Err(Refusal::input(
                "name",
                format!("that name {why}; type it again."),
            ));
        }
    }
    Ok(())
}

/// Control characters, line and paragraph separators, and the marks that turn the direction of a
/// line (Unicode Standard Annex 9, explicit directional formatting).
fn is_invisible(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{2028}' | '\u{2029}' | '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}')
}

#[cfg(test)]
mod tests;
