//! A list that narrows as one types, with a mark that moves in it.

use crate::tui::commands::Id;
use crate::tui::message::Input;
use crate::tui::widgets::field::Field;
use crate::tui::widgets::scroll::moved;

/// Takes in a key or a paste. `total` is how many fit what is typed; whatever is typed goes back to the
/// first of them.
pub(super) fn seek(input: &Input<'_>, typed: &mut Field, marked: &mut usize, total: usize) {
    match input {
        Input::Command(Id::Up) => *marked = moved(*marked, -1, total),
        Input::Command(Id::Down) => *marked = moved(*marked, 1, total),
        Input::Command(Id::Empty) => {
            *typed = Field::default();
            *marked = 0;
        }
        Input::Type(press) if typed.typed(*press) => *marked = 0,
        Input::Paste(text) => {
            typed.paste(text);
            *marked = 0;
        }
        _ => {}
    }
}
