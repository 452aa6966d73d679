//! The whole command line as clap knows it, built from the registries of verbs and calculators and
//! from the lists below, so that nothing can be in one and not in the other.

use clap::builder::{PossibleValue, StringValueParser, TypedValueParser};
use clap::{Arg, ArgAction, Command};

use crate::cellar::thing::Sort;
use crate::cellar::verbs::{COMMON, Field, Group, Need, Takes, VERBS, Verb};

use crate::exchange::page::Page;
use crate::tui;

use super::{OWN, Own, agree, calc, examples};

/// One leaf: the words that name it, where help lists it, and its command.
struct Leaf {
    name: &'static str,
    sentence: &'static str,
    heading: &'static str,
    command: Command,
}

/// The whole command.
pub(super) fn command() -> Command {
    let leaves = leaves();
    let help = grouped(&leaves);
    let mut command = Command::new("leesline")
        .about("A cellar dashboard for the terminal. Without a verb it opens on the board.")
        .version(env!("CARGO_PKG_VERSION"))
        .help_template("{about}\n\n{usage-heading} {usage}{after-help}\n\nOptions:\n{options}")
        .after_help(help)
        .args(globals());
    for branch in branches(leaves) {
        command = command.subcommand(branch);
    }
    command
}

pub(super) fn globals() -> [Arg; 4] {
    [
        Arg::new("cellar")
            .long("cellar")
            .value_name("FILE")
            .help("The cellar file; else LEESLINE_CELLAR, else the one in your data folder."),
        Arg::new("json")
            .long("json")
            .action(ArgAction::SetTrue)
            .help("Print one JSON document instead of words."),
        Arg::new("today")
            .long("today")
            .value_name("DATE")
            .help("Take this as now: 2026-11-25, or 2026-11-25 14:30."),
        Arg::new("ascii")
            .long("ascii")
            .action(ArgAction::SetTrue)
            .help("Draw the terminal program without box and block characters."),
    ]
    .map(|it| it.global(true).help_heading("Everywhere"))
}

fn leaves() -> Vec<Leaf> {
    let own = OWN.iter().map(|it| Leaf {
        name: it.name,
        sentence: it.sentence,
        heading: it.heading,
        command: of_own(it),
    });
    let verbs = VERBS.iter().map(|it| Leaf {
        name: it.name,
        sentence: it.sentence,
        heading: heading(it.group),
        command: of_verb(it),
    });
    own.chain(verbs).collect()
}

fn of_own(own: &Own) -> Command {
    let command = Command::new(last_word(own.name)).about(own.sentence);
    examples::with(own.name, (own.arguments)(command))
}

pub(super) fn of_verb(verb: &Verb) -> Command {
    let last_positional = verb.fields.iter().rfind(|it| is_positional(it));
    let command = Command::new(last_word(verb.name)).about(verb.sentence);
    let command = examples::with(verb.name, command);
    verb.fields
        .iter()
        .chain(COMMON)
        .fold(command, |command, field| {
            let is_last = last_positional.is_some_and(|it| it.key == field.key);
            command.arg(of_field(field, is_last))
        })
        .args(second(verb).map(of_second))
        .arg(agree::yes())
}

/// Where the one field stands that may follow the vessel or bottles without its flag.
pub(super) const SECOND: &str = "second";

/// The field that a second word without a flag is obviously meant for: how many, the words of a
/// tasting, what goes in.
pub(super) fn second(verb: &Verb) -> Option<&'static Field> {
    let [_] = verb
        .fields
        .iter()
        .filter(|it| is_positional(it))
        .collect::<Vec<_>>()[..]
    else {
        return None;
    };
    ["count", "words", "yeast", "with", "also", "until", "reason"]
        .iter()
        .find_map(|key| {
            verb.fields
                .iter()
                .find(|it| it.key == *key && !is_positional(it))
        })
}

fn of_second(field: &'static Field) -> Arg {
    let arg = Arg::new(SECOND)
        .value_name(placeholder(field))
        .help(format!("The same as --{}.", field.key));
    match field.takes {
        Takes::Text | Takes::Words => arg.num_args(1..),
        _ if field.need == Need::Many => arg.num_args(1..),
        _ => arg.num_args(1),
    }
}

fn is_positional(field: &Field) -> bool {
    field.need == Need::Required && !matches!(field.takes, Takes::Flag | Takes::Hidden)
}

fn of_field(field: &Field, is_last_positional: bool) -> Arg {
    let arg = Arg::new(field.key).help(field.help);
    let arg = if is_positional(field) {
        arg.required(true).value_name(placeholder(field))
    } else {
        arg.long(field.key)
    };
    let arg = match field.takes {
        Takes::Flag => return arg.action(ArgAction::SetTrue),
        Takes::Hidden => arg.hide(true),
        Takes::Choice(words) => arg.value_parser(OneOf(words)),
        // A jot is typed in a hurry, without quotes.
        Takes::Text | Takes::Words | Takes::Wines if is_last_positional => arg.num_args(1..),
        _ => arg,
    };
    let arg = if field.need == Need::Many {
        arg.action(ArgAction::Append)
    } else {
        arg
    };
    if is_positional(field) {
        arg.allow_negative_numbers(true)
    } else {
        arg.value_name(placeholder(field))
    }
}

/// Words for help and completion. The verb does the reading, so that every face takes the same.
#[derive(Clone)]
struct OneOf(&'static [&'static str]);

impl TypedValueParser for OneOf {
    type Value = String;

    fn parse_ref(
        &self,
        command: &Command,
        arg: Option<&Arg>,
        value: &std::ffi::OsStr,
    ) -> Result<String, clap::Error> {
        StringValueParser::new().parse_ref(command, arg, value)
    }

    fn possible_values(&self) -> Option<Box<dyn Iterator<Item = PossibleValue> + '_>> {
        Some(Box::new(self.0.iter().map(PossibleValue::new)))
    }
}

fn placeholder(field: &Field) -> String {
    match field.takes {
        Takes::Thing(sort) | Takes::NewName(sort) => sort.word().to_uppercase(),
        Takes::FullVessel => Sort::Vessel.word().to_uppercase(),
        Takes::Place => "VESSEL OR RUN".to_owned(),
        Takes::Spot => "PLACE".to_owned(),
        Takes::Pours => "VESSEL=VOLUME".to_owned(),
        Takes::Volume => "VOLUME".to_owned(),
        Takes::Dose => "AMOUNT".to_owned(),
        Takes::Count => "NUMBER".to_owned(),
        Takes::Number("") | Takes::Reading(_) => "VALUE".to_owned(),
        Takes::Number(unit) => unit.to_uppercase(),
        Takes::Date => "DATE".to_owned(),
        Takes::Choice(_)
        | Takes::Suggest(_)
        | Takes::Text
        | Takes::Words
        | Takes::Wines
        | Takes::Points
        | Takes::Flag
        | Takes::Hidden => field.key.to_uppercase(),
    }
}

/// Puts leaves of two words under their first word.
fn branches(leaves: Vec<Leaf>) -> Vec<Command> {
    let mut branches: Vec<Command> = Vec::new();
    let (nested, plain): (Vec<Leaf>, Vec<Leaf>) =
        leaves.into_iter().partition(|it| it.name.contains(' '));
    branches.extend(plain.into_iter().map(|it| it.command));
    branches.push(calc::command());
    for leaf in nested {
        let parent = leaf.name.split(' ').next().unwrap_or_default();
        let at = branches.iter().position(|it| it.get_name() == parent);
        let branch = match at {
            Some(at) => branches.remove(at),
            None => Command::new(parent)
                .subcommand_required(true)
                .disable_help_subcommand(true),
        };
        let branch = branch
            .disable_help_subcommand(true)
            .subcommand(leaf.command);
        branches.insert(at.unwrap_or(branches.len()), branch);
    }
    branches
}

fn last_word(name: &'static str) -> &'static str {
    name.rsplit(' ').next().unwrap_or(name)
}

const fn heading(group: Group) -> &'static str {
    match group {
        Group::Cellar => "What there is",
        Group::Wine => "Wine on the move",
        Group::Additions => "Putting in and treating",
        Group::Looking => "Measuring and tasting",
        Group::Bottles => "Bottling and after",
        Group::Supplies => "Supplies",
        Group::Notes => "Notes, plans and reasons",
    }
}

/// How wide the list of verbs is: clap would break a longer line, and not under its description.
fn cells() -> usize {
    let wide = tui::terminal::columns().map(usize::from);
    let said = || std::env::var("COLUMNS").ok()?.parse().ok();
    wide.or_else(said)
        .map_or(79, |it: usize| it.clamp(40, 80) - 1)
}

/// The list of verbs under their headings, in the order of the registries.
fn grouped(leaves: &[Leaf]) -> String {
    let calc = Leaf {
        name: "calc",
        sentence: calc::SENTENCE,
        heading: super::LISTS,
        command: Command::new("calc"),
    };
    let mut headings: Vec<&str> = Vec::new();
    for leaf in leaves {
        if !headings.contains(&leaf.heading) {
            headings.push(leaf.heading);
        }
    }
    let all = || leaves.iter().chain([&calc]);
    let names = all().map(|it| it.name.len()).max().unwrap_or_default();
    let cells = cells();
    let mut page = Page::default();
    for heading in headings {
        page.line(format!("{heading}:"));
        for leaf in all().filter(|it| it.heading == heading) {
            page.wrapped(&format!("  {:names$}  ", leaf.name), leaf.sentence, cells);
        }
        page.line("");
    }
    page.text()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_second_word_stands_for_a_flag_that_there_is() {
        let (mut named, mut missing) = (0, Vec::new());
        for verb in VERBS {
            let command = of_verb(verb);
            let flags: Vec<&str> = command.get_arguments().filter_map(Arg::get_long).collect();
            for argument in command.get_arguments() {
                let help = argument.get_help().map(ToString::to_string);
                let help = help.unwrap_or_default();
                let Some(flag) = help.strip_prefix("The same as --") else {
                    continue;
                };
                named += 1;
                if !flags.contains(&flag.trim_end_matches('.')) {
                    missing.push(verb.name);
                }
            }
        }
        assert!(named > 5, "{named}");
        assert_eq!(missing, Vec::<&str>::new());
    }
}
