//! What was typed without quotes: `rack Carboy A --to Carboy D --leaving 2 L`. The shell parts such
//! names and amounts; the names that the cellar has put them together again.
//!
//! Tried only where the words as they stand were not taken, so that nothing that is understood is
//! read in another way.

use std::ffi::OsString;

use clap::error::ErrorKind;
use clap::{ArgMatches, Command, Error};

use super::session::Session;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::verbs::is_unit;

/// The command line as clap takes it; `session` says which cellar has the names, where that is known
/// already.
pub(super) fn parse(
    command: &Command,
    typed: &[OsString],
    session: Option<&Session>,
) -> Result<ArgMatches, Error> {
    let refused = match command.clone().try_get_matches_from(typed) {
        Err(it) if it.kind() == ErrorKind::UnknownArgument => it,
        taken => return taken,
    };
    let Some(joined) = joined(command, typed, session) else {
        return Err(refused);
    };
    // Why the words as they were typed are not taken is what helps.
    command
        .clone()
        .try_get_matches_from(joined)
        .map_err(|_| refused)
}

fn joined(
    command: &Command,
    typed: &[OsString],
    session: Option<&Session>,
) -> Option<Vec<OsString>> {
    let words: Option<Vec<&str>> = typed.iter().map(|it| it.to_str()).collect();
    let words = words?;
    let asked = command.clone().ignore_errors(true);
    let own = || {
        asked
            .try_get_matches_from(typed)
            .ok()
            .map(|it| Session::of(&it))
    };
    let session = match session {
        Some(it) => it.clone(),
        None => own()?,
    };
    let cellar = session.open().ok()?.cellar;
    let together = together(&words, &names(&cellar));
    (together.len() < words.len()).then(|| together.into_iter().map(OsString::from).collect())
}

/// Every name of more than one word, in small letters.
fn names(cellar: &Snapshot) -> Vec<String> {
    let all = cellar.all().map(|it| it.name().to_lowercase());
    all.filter(|it| it.contains(' ')).collect()
}

/// Words that make a name are one, and so are a number and its unit. `Carboy A=22 L` is both.
fn together(words: &[&str], names: &[String]) -> Vec<String> {
    let mut all = Vec::new();
    let mut at = 0;
    while at < words.len() {
        let name = (at + 2..=words.len()).rev().find(|end| {
            let said = words[at..*end].join(" ").to_lowercase();
            let name = match said.split_once('=') {
                Some((name, _)) if !words[..*end - 1][at..].concat().contains('=') => name,
                _ => &said,
            };
            names.iter().any(|it| it == name)
        });
        let mut end = name.unwrap_or(at + 1);
        let last = words[end - 1];
        let figure = last.rsplit('=').next().unwrap_or(last);
        let is_amount = name.is_none() || last.contains('=');
        if is_amount
            && figure.parse::<f64>().is_ok()
            && words.get(end).is_some_and(|it| is_unit(it))
        {
            end += 1;
        }
        all.push(words[at..end].join(" "));
        at = end;
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_amounts_are_put_together_and_nothing_else() {
        let names = ["carboy a", "carboy d", "solaris 25", "solaris 25 late"];
        let names = names.map(str::to_owned);
        let check = |typed: &str, expected: &[&str]| {
            let words: Vec<&str> = typed.split(' ').collect();
            assert_eq!(together(&words, &names), expected, "{typed}");
        };
        check(
            "rack Carboy A --to carboy d --leaving 2 L",
            &["rack", "Carboy A", "--to", "carboy d", "--leaving", "2 L"],
        );
        check(
            "rack Bucket --to Carboy A=12.5 L Jug",
            &["rack", "Bucket", "--to", "Carboy A=12.5 L", "Jug"],
        );
        check(
            "rack Bucket --to Carboy A=12 -y",
            &["rack", "Bucket", "--to", "Carboy A=12", "-y"],
        );
        check("open Solaris 25 Late 2", &["open", "Solaris 25 Late", "2"]);
        check("open Solaris 25 2", &["open", "Solaris 25", "2"]);
        check("taste Carboy X fine", &["taste", "Carboy", "X", "fine"]);
        check("measure Bucket 2 days", &["measure", "Bucket", "2", "days"]);
    }
}
