//! The command line: parse, run, print. What may be typed comes from the registries of verbs and
//! calculators and from the table of lists below; each list is a file of its own.
//!
//! Nothing is printed before a verb has succeeded: a failure is one line on stderr and no more.

mod agree;
mod failure;
mod session;

mod command;
mod examples;
mod record;
mod unquoted;

mod board;
mod book;
mod bottles;
mod due;
mod gifts;
mod lists;
mod policy;
mod shelves;
mod show;
mod trouble;
mod which;

mod bottle_plan;
mod calc;
mod count;
mod dose;
mod mend;
mod tastings;
mod what_if;

mod about;
mod export;
mod files;
mod ics;
mod screen;
mod sheet;

mod demo;
mod script;

use std::ffi::OsString;
use std::io::{self, Write};
use std::process::ExitCode;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use clap::{ArgMatches, Command};

use crate::cellar::verbs;
use crate::exchange::page::{Page, plain};

pub use examples::EXAMPLES;

use failure::Failure;
use session::Session;

/// Where help puts what shows the cellar.
const LISTS: &str = "Looking around";

/// A verb that is not in the registry, because it shows, mends or copies instead of writing an entry.
struct Own {
    /// As typed: one word, or two for a sub-command of a sub-command.
    name: &'static str,
    /// What it does, one sentence.
    sentence: &'static str,
    /// Where help lists it.
    heading: &'static str,
    /// Adds its arguments.
    arguments: fn(Command) -> Command,
    /// Does it.
    run: fn(&Session, &ArgMatches) -> Result<Said, Failure>,
}

/// Every verb of the command line's own, in the order of help.
static OWN: &[&Own] = &[
    &board::BOARD,
    &due::DUE,
    &policy::POLICY,
    &show::SHOW,
    &book::BOOK,
    &tastings::TASTINGS,
    &tastings::WHO,
    &lists::STOCK,
    &bottles::BOTTLES,
    &which::WHICH,
    &gifts::GIFTS,
    &trouble::TROUBLE,
    &shelves::SHELVES,
    &lists::VESSELS,
    &lists::BATCHES,
    &lists::PLANS,
    &mend::UNDO,
    &mend::VOID,
    &mend::AMEND,
    &dose::COMMAND,
    &what_if::WHAT_IF,
    &bottle_plan::PLAN,
    &count::COUNT,
    &sheet::SHEET,
    &export::EXPORT,
    &ics::ICS,
    &demo::DEMO,
    &files::INIT,
    &files::BACKUP,
    &files::RESTORE,
    &files::CHECK,
    &about::KEYS,
    &about::COMPLETIONS,
    &about::MAN,
];

/// What a verb has to say once it is done.
#[derive(Debug, Default)]
struct Said {
    /// For stdout.
    out: String,
    /// For stderr, one line each.
    notes: Vec<String>,
}

impl From<String> for Said {
    fn from(out: String) -> Said {
        Said {
            out,
            notes: Vec::new(),
        }
    }
}

impl From<Page> for Said {
    fn from(page: Page) -> Said {
        Said::from(page.text())
    }
}

impl Said {
    /// One sentence.
    fn line(sentence: impl AsRef<str>) -> Said {
        Said::from(format!("{}\n", plain(sentence.as_ref())))
    }

    /// A document for another program.
    fn json(document: &serde_json::Value) -> Said {
        Said::from(format!("{document:#}\n"))
    }
}

/// Parses, runs and prints: 0 done, 1 refused, 2 not understood, 3 a fault found.
pub fn main(typed: impl IntoIterator<Item = OsString>) -> ExitCode {
    let watched = hear_of_too_large_a_file();
    debug_assert!(watched.is_ok(), "{watched:?}");
    match run(typed) {
        Ok(said) => {
            for note in &said.notes {
                tell(&format!("{}\n", plain(note)));
            }
            match print(&mut io::stdout(), &said.out) {
                // A reader that has seen enough closes the pipe; that is no error.
                Err(why) if why.kind() != io::ErrorKind::BrokenPipe => {
                    let done = "What was asked was done, but could not be printed";
                    tell(&format!(
                        "{done}: {why}; free some room or print elsewhere.\n"
                    ));
                    ExitCode::from(1)
                }
                _ => ExitCode::SUCCESS,
            }
        }
        Err(failure) => {
            tell(&format!("{}\n", failure.sentence));
            ExitCode::from(failure.code)
        }
    }
}

/// Where the system limits how large a file may be, a write beyond that is to fail with a sentence.
/// Unheard, the signal for it would end the program without one.
#[cfg(unix)]
fn hear_of_too_large_a_file() -> io::Result<()> {
    let heard = Arc::new(AtomicBool::new(false));
    signal_hook::flag::register(signal_hook::consts::SIGXFSZ, heard).map(|_| ())
}

/// There is no such signal here.
#[cfg(not(unix))]
fn hear_of_too_large_a_file() -> io::Result<()> {
    Ok(())
}

/// On stderr; where that is closed there is nobody left to tell.
fn tell(text: &str) {
    let _ = print(&mut io::stderr(), text);
}

fn print(to: &mut dyn Write, text: &str) -> io::Result<()> {
    to.write_all(text.as_bytes())?;
    to.flush()
}

fn run(typed: impl IntoIterator<Item = OsString>) -> Result<Said, Failure> {
    let typed = glue_negatives(typed.into_iter().collect());
    let matches = match unquoted::parse(&command::command(), &typed, None) {
        Ok(matches) => matches,
        Err(told) if told.use_stderr() => return Err(Failure::of(&told, &typed)),
        // Help and version are what was asked for.
        Err(told) => return Ok(Said::from(told.to_string())),
    };
    let session = Session::of(&matches);
    let (name, matches) = chosen(&matches);
    dispatch(&session, &name, matches)
}

/// A name that may have been typed without quotes.
fn one_name(matches: &ArgMatches, id: &str) -> String {
    let words = matches.get_many::<String>(id).into_iter().flatten();
    words.map(String::as_str).collect::<Vec<_>>().join(" ")
}

/// The words of the verb chosen, and what was typed after them.
fn chosen(matches: &ArgMatches) -> (String, &ArgMatches) {
    let mut words: Vec<&str> = Vec::new();
    let mut at = matches;
    while let Some((word, below)) = at.subcommand() {
        words.push(word);
        at = below;
    }
    (words.join(" "), at)
}

fn dispatch(session: &Session, name: &str, matches: &ArgMatches) -> Result<Said, Failure> {
    if let Some(own) = OWN.iter().find(|it| it.name == name) {
        let mut said = (own.run)(session, matches)?;
        let note =
            "The cellar file is read-only: it is shown as it is, and nothing can be written to it.";
        said.notes
            .extend(session.read_only.get().then(|| note.to_owned()));
        return Ok(said);
    }
    if let Some(verb) = verbs::find(name) {
        return record::run(session, verb, matches);
    }
    if let Some(calculator) = name.strip_prefix("calc") {
        return calc::run(session, calculator.trim(), matches);
    }
    screen::open(session)
}

/// `--temperature -2C` means what it says: a minus before a digit belongs to the flag before it.
fn glue_negatives(typed: Vec<OsString>) -> Vec<OsString> {
    let is_negative = |it: &OsString| {
        let bytes = it.as_encoded_bytes();
        matches!(bytes, [b'-', b'0'..=b'9' | b'.', ..])
    };
    let is_flag = |it: &OsString| {
        let bytes = it.as_encoded_bytes();
        bytes.starts_with(b"--") && bytes.len() > 2 && !bytes.contains(&b'=')
    };
    let mut glued: Vec<OsString> = Vec::new();
    for word in typed {
        match glued.last_mut() {
            Some(flag) if is_negative(&word) && is_flag(flag) => {
                flag.push("=");
                flag.push(word);
            }
            _ => glued.push(word),
        }
    }
    glued
}
