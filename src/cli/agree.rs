//! Asking before something is thrown away, overwritten or changed: at a terminal with a question,
//! elsewhere only with `--yes`.

use std::io::{self, BufRead, IsTerminal, Write};

use clap::{Arg, ArgAction, ArgMatches};

use crate::exchange::page::plain;

use super::failure::Failure;

/// `--yes`, which answers whatever would be asked.
pub(super) fn yes() -> Arg {
    Arg::new("yes")
        .long("yes")
        .short('y')
        .action(ArgAction::SetTrue)
        .help("Do not ask.")
}

/// Whether `--yes` was given, where the verb knows it.
pub(super) fn is_given(matches: &ArgMatches) -> bool {
    matches!(matches.try_get_one::<bool>("yes"), Ok(Some(true)))
}

/// Shows what would be done and waits for a yes; without someone to ask it is refused.
pub(super) fn ask(what: &str) -> Result<(), Failure> {
    if !io::stdin().is_terminal() {
        return Err(Failure::book(format!("{what} To do so add --yes.")));
    }
    let mut screen = io::stderr();
    let asked =
        write!(screen, "{}\nGo on? [y/N] ", plain(what.trim_end())).and_then(|()| screen.flush());
    let mut answer = String::new();
    let read = asked.and_then(|()| io::stdin().lock().read_line(&mut answer));
    let yes = matches!(answer.trim(), "y" | "Y" | "yes" | "Yes");
    if read.is_ok() && yes {
        Ok(())
    } else {
        Err(Failure::book("Nothing was changed."))
    }
}
