//! About the program itself: `keys`, `completions` and `man`.

use clap::{Arg, ArgMatches, value_parser};
use clap_complete::Shell;
use serde_json::json;

use crate::tui::commands;

use super::failure::Failure;
use super::session::Session;
use super::{Own, Said, command};

const ABOUT: &str = "About itself";

pub(super) static KEYS: Own = Own {
    name: "keys",
    sentence: "List the keys of the terminal program.",
    heading: ABOUT,
    arguments: |it| it,
    run: |session, _| Ok(keys(session)),
};

pub(super) static COMPLETIONS: Own = Own {
    name: "completions",
    sentence: "Print what lets your shell complete commands.",
    heading: ABOUT,
    arguments: |it| {
        it.arg(
            Arg::new("shell")
                .value_name("SHELL")
                .required(true)
                .value_parser(value_parser!(Shell))
                .help("Your shell."),
        )
    },
    run: |_, matches| Ok(completions(matches)),
};

pub(super) static MAN: Own = Own {
    name: "man",
    sentence: "Print the manual page, of one verb or of the whole.",
    heading: ABOUT,
    arguments: |it| {
        it.arg(
            Arg::new("verb")
                .value_name("VERB")
                .num_args(0..)
                .help("Whose page; the whole program's if left out."),
        )
    },
    run: man,
};

fn keys(session: &Session) -> Said {
    if !session.json {
        return commands::keys_table().into();
    }
    let keys: Vec<_> = commands::COMMANDS
        .iter()
        .map(|it| {
            json!({
                "keys": it.keys.iter().map(ToString::to_string).collect::<Vec<_>>(),
                "places": it.places.iter().map(|it| it.title()).collect::<Vec<_>>(),
                "name": it.name,
                "sentence": it.sentence,
            })
        })
        .collect();
    Said::json(&json!({ "keys": keys }))
}

fn completions(matches: &ArgMatches) -> Said {
    let shell = matches
        .get_one::<Shell>("shell")
        .copied()
        .unwrap_or(Shell::Bash);
    let mut bytes = Vec::new();
    clap_complete::generate(shell, &mut command::command(), "leesline", &mut bytes);
    String::from_utf8_lossy(&bytes).into_owned().into()
}

fn man(_: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let words: Vec<&String> = matches
        .get_many::<String>("verb")
        .into_iter()
        .flatten()
        .collect();
    let mut page = command::command();
    let mut name = "leesline".to_owned();
    for word in words {
        let Some(below) = page.find_subcommand(word) else {
            return Err(Failure::input(format!(
                "There is no verb `{word}` to print a page of; `leesline --help` lists them."
            )));
        };
        name = format!("{name}-{word}");
        page = below.clone();
    }
    let mut bytes = Vec::new();
    clap_mangen::Man::new(page.name(name))
        .render(&mut bytes)
        .map_err(|it| Failure::book(format!("The page could not be written ({it}); try again.")))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned().into())
}
