//! The keys that matter here, from the command table.

use ratatui::text::{Line, Span};

use super::text::width;
use crate::tui::commands::{self, Command, Id, Place};
use crate::tui::theme::Theme;

/// As many of the place's keys as fit, in the table's order; help and the palette always. `enters`
/// names what Enter does to what is marked.
pub fn footer(place: Place, enters: Option<&str>, theme: Theme, cells: usize) -> Line<'static> {
    let shown: Vec<&Command> = commands::at(place).filter(|it| it.foot).collect();
    let name = |it: &Command| match enters {
        Some(does) if it.id == Id::Open => does.to_owned(),
        _ => it.name.to_owned(),
    };
    let cells_of = |it: &Command| width(&it.keys[0].to_string()) + width(&name(it)) + 4;
    let always = |it: &Command| matches!(it.id, Id::Help | Id::Palette);
    let mut room = cells.saturating_sub(1);
    for command in shown.iter().filter(|it| always(it)) {
        room = room.saturating_sub(cells_of(command));
    }
    let mut spans = vec![Span::raw(" ")];
    for command in shown {
        let taken = cells_of(command);
        if !always(command) {
            if taken > room {
                continue;
            }
            room -= taken;
        }
        spans.push(Span::styled(command.keys[0].to_string(), theme.key()));
        spans.push(Span::raw(format!(" {}   ", name(command))));
    }
    Line::from(spans)
}
