//! A script of ordinary command lines, each with the moment it happened: `-62d 10:00 | rack …`.
//! They are parsed and written by the code that parses and writes what people type.

use std::ffi::OsString;

use clap::Command;

use crate::cellar::moment::{self, Said as When};
use crate::cellar::verbs;

use super::failure::Failure;
use super::session::Opened;
use super::{chosen, command, glue_negatives, record};

/// Plays a script into a cellar, in order of time. Refused with the line that is wrong.
pub(super) fn play(script: &str, opened: &mut Opened) -> Result<(), Failure> {
    let mut command = command::command();
    for line in read(script, opened)? {
        write(&line, opened, &mut command).map_err(|it| line.to_blame(&it))?;
    }
    opened.refresh()
}

/// A line of a script, its time understood.
struct Line<'a> {
    number: usize,
    when: When,
    typed: &'a str,
}

impl Line<'_> {
    fn to_blame(&self, failure: &Failure) -> Failure {
        Failure {
            code: failure.code,
            sentence: format!("Line {} of the script: {}", self.number, failure.sentence),
        }
    }
}

/// The lines in order of time, and as they stand where that is the same.
fn read<'a>(script: &'a str, opened: &Opened) -> Result<Vec<Line<'a>>, Failure> {
    let mut lines = Vec::new();
    for (at, line) in script.lines().enumerate() {
        let line = line.trim();
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        let number = at + 1;
        let Some((stamp, typed)) = line.split_once(" | ") else {
            return Err(Failure::input(format!(
                "Line {number} of the script has no ` | ` between its time and its command."
            )));
        };
        let when = moment::read(stamp, opened.cellar.now, opened.zone)?;
        lines.push(Line {
            number,
            when,
            typed,
        });
    }
    lines.sort_by_key(|it| it.when.moment.utc_ms);
    Ok(lines)
}

fn write(line: &Line, opened: &mut Opened, command: &mut Command) -> Result<(), Failure> {
    let typed = std::iter::once("leesline".to_owned()).chain(words(line.typed));
    let typed: Vec<OsString> = typed.map(OsString::from).collect();
    let matches = command
        .try_get_matches_from_mut(glue_negatives(typed))
        .map_err(|it| Failure::from(&it))?;
    let (name, matches) = chosen(&matches);
    let verb =
        verbs::find(&name).ok_or_else(|| Failure::input(format!("`{name}` writes no entry.")))?;
    let form = record::form(verb, matches, &opened.cellar)?;
    let prepared = record::prepare(opened, verb, &form, &line.when)?;
    let clock = opened.clock();
    opened.store.append(&prepared.draft, clock)?;
    Ok(())
}

/// Words as a shell parts them: by blanks, except between quotes.
fn words(line: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    let mut quote: Option<char> = None;
    let mut is_inside = false;
    for it in line.chars() {
        match quote {
            Some(mark) if it == mark => quote = None,
            None if it == '"' || it == '\'' => {
                quote = Some(it);
                if !is_inside {
                    words.push(String::new());
                    is_inside = true;
                }
            }
            None if it.is_whitespace() => is_inside = false,
            _ => {
                if !is_inside {
                    words.push(String::new());
                    is_inside = true;
                }
                if let Some(word) = words.last_mut() {
                    word.push(it);
                }
            }
        }
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quotes_keep_blanks_together() {
        assert_eq!(
            words(r#"rack "Carboy A" --to 'Jug=1 L'  --note=x"#),
            ["rack", "Carboy A", "--to", "Jug=1 L", "--note=x"]
        );
        assert_eq!(words(r#"note """#), ["note", ""]);
    }
}
