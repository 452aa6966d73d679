//! The screens, and what a screen is.
//!
//! To add a screen:
//!
//! 1. Give it a name in `commands/mod.rs`: a variant of [`Place`] with its title. In
//!    `commands/table.rs` give it a line `screen(Place::…, &[Char('2')], "…")`, so that a digit shows
//!    it, and a row for each key of its own. Put it into the sets of places (`CALM`, `QUICK`, …)
//!    whose keys should work there too; a place that takes typed text (`takes_text`) must be in
//!    `ALL` only. The tests of the table say what is missing.
//! 2. Write one file here: a struct with what the screen remembers (where the mark is, what is
//!    typed), and [`Pane`] for it. `update` is told what happened and answers with what it asks:
//!    it reads [`Facts`], and touches no store, clock or terminal. `view` draws into its area and
//!    changes nothing but where it has scrolled to ([`super::widgets::scroll::Scroll`]).
//! 3. Add its line to [`all`].
//!
//! What a screen needs from the store is an [`super::message::Effect`], done in `effect.rs`, and
//! what comes back a [`super::message::Reply`], which every pane hears.
//! `tests/mod.rs` draws every screen at every size, and holds whole screens as pictures.

mod board;
mod book;
mod bottles;
mod bottling;
mod calendar;
mod dosing;
mod stock;
mod tasting;

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};

use crate::cellar::attention::Reason;
use crate::cellar::thing::Key;

use super::commands::{Id, Place};
use super::message::{Ask, Facts, Input};
use super::theme::Theme;

/// Every screen, in the order of their digits. The first is where the program opens.
pub fn all() -> Vec<Box<dyn Pane>> {
    vec![
        Box::new(board::Board::default()),
        Box::new(dosing::Dosing::default()),
        Box::new(book::Book::default()),
        Box::new(calendar::Calendar::default()),
        Box::new(bottling::Bottling::default()),
        Box::new(bottles::Bottles::default()),
        Box::new(tasting::Tasting::default()),
        Box::new(stock::Stock::default()),
    ]
}

/// A screen, or something laid over one.
pub trait Pane {
    /// Where its keys are read from in the command table.
    fn place(&self) -> Place;

    /// The screen it is, for one whose keys differ with what is done there.
    fn screen(&self) -> Place {
        self.place()
    }

    /// Takes in what happened and answers with what it asks.
    fn update(&mut self, input: &Input<'_>, facts: &Facts) -> Vec<Ask>;

    /// Draws it, and says where the cursor stands if text is typed there.
    fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position>;

    /// The vessel, run or batch that is marked: what a quick form will be about.
    fn about(&self, _facts: &Facts) -> Option<Key> {
        None
    }

    /// The reason that is marked, to be put off, dismissed or explained.
    fn reason(&self, _facts: &Facts) -> Option<Reason> {
        None
    }

    /// What is known for a verb's form besides what it is about: the slot that is marked.
    fn fills(&self, _verb: &str, _facts: &Facts) -> Vec<(String, String)> {
        Vec::new()
    }

    /// A sentence about what is marked, where the screen has no room for all of it in so many cells.
    fn hint(&self, _facts: &Facts, _cells: usize) -> Option<String> {
        None
    }

    /// What it says in full itself, where the line for notices has no room for it.
    fn in_full(&self) -> Option<&str> {
        None
    }

    /// What a key does here now, where that is not what the command table says. An empty name leaves
    /// the key out of the footer, because it does nothing here now or another that is shown does the same.
    fn called(&self, _id: Id, _facts: &Facts) -> Option<String> {
        None
    }

    /// Whether something typed here would be lost if it went away.
    fn holds_work(&self) -> bool {
        false
    }
}
