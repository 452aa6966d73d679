//! The keys that matter here, from the command table.

use ratatui::text::{Line, Span};

use super::text::width;
use crate::tui::commands::{self, Command, Id, Place};
use crate::tui::theme::Theme;

/// As many of the place's keys as fit, in the table's order; help and the palette always. `called` says
/// what a key does there now, where that is not what the table says; an empty name leaves it out.
pub fn footer(
    place: Place,
    called: impl Fn(Id) -> Option<String>,
    theme: Theme,
    cells: usize,
) -> Line<'static> {
    let name = |it: &Command| called(it.id).unwrap_or_else(|| it.name.to_owned());
    let shown: Vec<&Command> = commands::at(place)
        .filter(|it| it.foot && !name(it).is_empty())
        .collect();
    let cells_of = |it: &Command| width(&it.keys[0].to_string()) + width(&name(it)) + 4;
    let always = |it: &Command| matches!(it.id, Id::Help | Id::Palette);
    // Behind the last one nothing is parted.
    let mut room = cells + 2;
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
