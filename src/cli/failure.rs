//! How the command line fails: an exit code and one line that says what, why, and what to do.

use std::ffi::OsString;

use clap::error::{ContextKind, ContextValue, ErrorKind};
use leesline_calc::CalcError;

use crate::cellar::moment::DateError;
use crate::cellar::snapshot::UnknownName;
use crate::cellar::thing::Key;
use crate::cellar::verbs::{self, Blame, Need, Refusal, Takes, Verb};
use crate::exchange::page::plain;
use crate::store::StoreError;

/// Why nothing was done. Nothing else is printed with it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Failure {
    /// 1 refused by the book or the file, 2 not understood or out of range, 3 a fault found by `check`.
    pub(super) code: u8,
    /// One line.
    pub(super) sentence: String,
}

impl Failure {
    /// Well-formed, and refused by the book or the file.
    pub(super) fn book(sentence: impl AsRef<str>) -> Failure {
        Failure::new(1, sentence.as_ref())
    }

    /// Unknown, unparsable or out of the allowed range.
    pub(super) fn input(sentence: impl AsRef<str>) -> Failure {
        Failure::new(2, sentence.as_ref())
    }

    /// `check` found a fault.
    pub(super) fn fault(sentence: impl AsRef<str>) -> Failure {
        Failure::new(3, sentence.as_ref())
    }

    /// The same, of what failed once the entry was in the book: who reads only that it failed would write it twice.
    pub(super) fn though_written(self, entry: Key) -> Failure {
        let Failure { code, sentence } = self;
        let sentence = format!(
            "entry {} is written, but not read back: {sentence}",
            entry.0
        );
        Failure { code, sentence }
    }

    fn new(code: u8, sentence: &str) -> Failure {
        let words: Vec<&str> = sentence.split_whitespace().collect();
        Failure {
            code,
            sentence: plain(&words.join(" ")),
        }
    }
}

impl Failure {
    /// What clap could not take; a word that stands without a flag is told the flags it may want.
    pub(super) fn of(error: &clap::Error, typed: &[OsString]) -> Failure {
        let asked = match error.get(ContextKind::InvalidArg) {
            Some(ContextValue::String(asked)) if error.kind() == ErrorKind::UnknownArgument => {
                asked
            }
            _ => return Failure::from(error),
        };
        match verb_typed(typed).filter(|_| !asked.starts_with('-')) {
            Some(verb) => {
                let flags = verb.fields.iter().filter(|it| it.need != Need::Required);
                let flags: Vec<String> = flags
                    .filter(|it| it.takes != Takes::Hidden)
                    .map(|it| format!("--{}", it.key))
                    .collect();
                Failure::input(format!(
                    "`{asked}` is not asked here without its flag; `{}` takes {}.",
                    verb.name,
                    flags.join(", ")
                ))
            }
            None => Failure::from(error),
        }
    }
}

/// The verb that was typed, of one word or two.
fn verb_typed(typed: &[OsString]) -> Option<&'static Verb> {
    let words: Vec<&str> = typed.iter().filter_map(|it| it.to_str()).collect();
    let two = words.windows(2).find_map(|it| verbs::find(&it.join(" ")));
    two.or_else(|| words.iter().find_map(|it| verbs::find(it)))
}

impl From<Refusal> for Failure {
    fn from(refusal: Refusal) -> Failure {
        match refusal.blame {
            Blame::Input => Failure::input(refusal.sentence),
            Blame::Book => Failure::book(refusal.sentence),
        }
    }
}

impl From<CalcError> for Failure {
    fn from(error: CalcError) -> Failure {
        Failure::input(error.to_string())
    }
}

impl From<DateError> for Failure {
    fn from(error: DateError) -> Failure {
        Failure::input(error.to_string())
    }
}

impl From<StoreError> for Failure {
    fn from(error: StoreError) -> Failure {
        if error.is_input() {
            Failure::input(error.to_string())
        } else {
            Failure::book(error.to_string())
        }
    }
}

impl From<UnknownName> for Failure {
    fn from(error: UnknownName) -> Failure {
        Failure::input(error.to_string())
    }
}

impl From<&clap::Error> for Failure {
    fn from(error: &clap::Error) -> Failure {
        Failure::input(clap_sentence(error))
    }
}

/// Clap's own message spreads over several lines; a script reads one.
fn clap_sentence(error: &clap::Error) -> String {
    let said = |kind| match error.get(kind) {
        Some(ContextValue::String(text)) => Some(text.clone()),
        Some(ContextValue::Strings(texts)) => Some(texts.join(", ")),
        _ => None,
    };
    let or_nothing = |kind| said(kind).unwrap_or_default();
    let asked = or_nothing(ContextKind::InvalidArg);
    let asked = bare(&asked);
    match error.kind() {
        ErrorKind::InvalidSubcommand => {
            let typed = or_nothing(ContextKind::InvalidSubcommand);
            // Clap names the likeliest last.
            let near = match error.get(ContextKind::SuggestedSubcommand) {
                Some(ContextValue::Strings(names)) => names.iter().rev().cloned().collect(),
                Some(ContextValue::String(name)) => vec![name.clone()],
                _ => Vec::new(),
            };
            match near.as_slice() {
                [one] => format!("Nothing here is called `{typed}`; the nearest is {one}."),
                [_, _, ..] => {
                    format!(
                        "Nothing here is called `{typed}`; the nearest are {}.",
                        near.join(", ")
                    )
                }
                [] => format!("Nothing here is called `{typed}`; add --help to see what is."),
            }
        }
        ErrorKind::MissingSubcommand => {
            let parent = or_nothing(ContextKind::InvalidSubcommand);
            let choices = or_nothing(ContextKind::ValidSubcommand);
            format!("`{parent}` says too little: choose one of {choices}.")
        }
        ErrorKind::UnknownArgument => match said(ContextKind::SuggestedArg) {
            Some(near) => format!("`{asked}` is not asked here; the nearest is {near}."),
            None => format!("`{asked}` is not asked here; add --help to see what is."),
        },
        ErrorKind::MissingRequiredArgument => {
            let missing = match error.get(ContextKind::InvalidArg) {
                Some(ContextValue::Strings(all)) => all.iter().map(|it| bare(it)).collect(),
                _ => vec![asked],
            };
            match missing.as_slice() {
                [one] => format!("{one} is missing: give it, or add --help to see what is asked."),
                all => format!(
                    "{} are missing: give them, or add --help to see what is asked.",
                    all.join(" and ")
                ),
            }
        }
        ErrorKind::InvalidValue => {
            let value = or_nothing(ContextKind::InvalidValue);
            let choices = or_nothing(ContextKind::ValidValue);
            match (value.as_str(), choices.as_str()) {
                ("", "") => format!("{asked} has no value: give one after it."),
                ("", choices) => format!("{asked} has no value: choose one of {choices}."),
                (value, "") => format!("`{value}` cannot be taken as {asked}: give another."),
                (value, choices) => {
                    format!("`{value}` cannot be taken as {asked}: choose one of {choices}.")
                }
            }
        }
        ErrorKind::ArgumentConflict if asked == bare(&or_nothing(ContextKind::PriorArg)) => {
            format!("{asked} was given twice: give it once.")
        }
        ErrorKind::ArgumentConflict => format!(
            "{asked} and {} exclude each other: give only one of them.",
            bare(&or_nothing(ContextKind::PriorArg))
        ),
        ErrorKind::InvalidUtf8 => {
            "Something typed is not valid text: write it in UTF-8.".to_owned()
        }
        _ => {
            let rendered = error.to_string();
            let line = rendered.lines().next().unwrap_or_default();
            format!(
                "{}: add --help to see what is asked.",
                line.trim_start_matches("error: ")
            )
        }
    }
}

/// `--ph <VALUE>` as `--ph`, `<VESSEL>` as `VESSEL`.
fn bare(argument: &str) -> &str {
    let name = argument.split(" <").next().unwrap_or(argument);
    name.trim_start_matches('<').trim_end_matches(['>', '.'])
}
