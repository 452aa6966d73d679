//! A script of ordinary command lines, each with the moment it happened: `-62d 10:00 | rack …`.
//! They are parsed and written by the code that parses and writes what people type.

use std::ffi::OsString;

use crate::cellar::moment;
use crate::cellar::verbs;

use super::failure::Failure;
use super::session::Opened;
use super::{chosen, command, glue_negatives, record};

/// Plays a script into a cellar. Refused with the line that is wrong.
pub(super) fn play(script: &str, opened: &mut Opened) -> Result<(), Failure> {
    let mut command = command::command();
    for (at, line) in script.lines().enumerate() {
        let line = line.trim();
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        write(line, opened, &mut command).map_err(|it| Failure {
            sentence: format!("Line {} of the script: {}", at + 1, it.sentence),
            ..it
        })?;
    }
    opened.refresh()
}

fn write(line: &str, opened: &mut Opened, command: &mut clap::Command) -> Result<(), Failure> {
    let Some((stamp, typed)) = line.split_once(" | ") else {
        return Err(Failure::input(
            "it has no ` | ` between the time and the command.",
        ));
    };
    let when = moment::read(stamp, opened.cellar.now, opened.zone)?;
    let words = std::iter::once("leesline".to_owned()).chain(words(typed));
    let words: Vec<OsString> = words.map(OsString::from).collect();
    let matches = command
        .try_get_matches_from_mut(glue_negatives(words))
        .map_err(|it| Failure::from(&it))?;
    let (name, matches) = chosen(&matches);
    let verb =
        verbs::find(&name).ok_or_else(|| Failure::input(format!("`{name}` writes no entry.")))?;
    let form = record::form(verb, matches)?;
    let prepared = record::prepare(opened, verb, &form, &when)?;
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
