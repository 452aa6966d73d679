//! No verb: the terminal program.

use std::io::{self, IsTerminal};

use crate::store::Store;
use crate::tui;

use super::Said;
use super::failure::Failure;
use super::session::Session;

/// Opens the terminal program on the cellar, and keeps the copy of the day on leaving.
pub(super) fn open(session: &Session) -> Result<Said, Failure> {
    needs_terminal("Without a verb leesline")?;
    let file = session.file()?;
    let shown = show(session, session.open()?.store);
    let opened = session.over(Store::open(&file)?)?;
    let copied = opened.store.daily_backup(opened.cellar.now.date());
    // A window that is closed while it is drawn ends in an error, and what was written is copied all the same.
    let mut said = shown?;
    if let Err(why) = copied {
        said.notes.push(format!(
            "All is in the cellar, but its copy of the day could not be made: {why}"
        ));
    }
    Ok(said)
}

/// Refuses where nothing could be drawn.
pub(super) fn needs_terminal(what: &str) -> Result<(), Failure> {
    if io::stdout().is_terminal() && io::stdin().is_terminal() {
        return Ok(());
    }
    Err(Failure::input(format!(
        "{what} opens the terminal program, and this is no terminal: give a verb, such as `leesline board`."
    )))
}

/// Runs the terminal program on an open file until the person leaves it.
pub(super) fn show(session: &Session, store: Store) -> Result<Said, Failure> {
    let opened = session.over(store)?;
    let options = tui::Options {
        ascii: session.ascii,
        color: std::env::var_os("NO_COLOR").is_none_or(|it| it.is_empty()),
        today: session.today.as_ref().map(|_| opened.cellar.now),
    };
    tui::run(opened.store, options)
        .map_err(|it| Failure::book(format!("The terminal program stopped: {it:#}.")))?;
    Ok(Said::default())
}
