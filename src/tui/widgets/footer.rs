//! The keys that matter here, from the command table.

use ratatui::text::{Line, Span};

use super::text::width;
use crate::tui::commands::{self, Command, Id, Place};
use crate::tui::theme::Theme;

/// As many of the place's keys as fit, in the table's order; help and the palette always. `called` says
/// what a key does there now, where that is not what the table says; an empty name leaves it out.
pub fn shown(
    place: Place,
    called: impl Fn(Id) -> Option<String>,
    cells: usize,
) -> Vec<(&'static Command, String)> {
    let named = |it: &'static Command| {
        let name = called(it.id).unwrap_or_else(|| it.name.to_owned());
        (it, name)
    };
    let mut all: Vec<(&Command, String)> = commands::at(place)
        .filter(|it| it.foot)
        .map(named)
        .filter(|it| !it.1.is_empty())
        .collect();
    let cells_of =
        |(it, name): &(&Command, String)| width(&it.keys[0].to_string()) + width(name) + 4;
    let always = |it: &Command| matches!(it.id, Id::Help | Id::Palette);
    // Behind the last one nothing is parted.
    let mut room = cells + 2;
    for command in all.iter().filter(|it| always(it.0)) {
        room = room.saturating_sub(cells_of(command));
    }
    all.retain(|it| {
        let taken = cells_of(it);
        let fits = always(it.0) || taken <= room;
        if fits && !always(it.0) {
            room -= taken;
        }
        fits
    });
    all
}

/// Those keys as a line.
pub fn footer(
    place: Place,
    called: impl Fn(Id) -> Option<String>,
    theme: Theme,
    cells: usize,
) -> Line<'static> {
    let mut spans = vec![Span::raw(" ")];
    for (command, name) in shown(place, called, cells) {
        spans.push(Span::styled(command.keys[0].to_string(), theme.key()));
        spans.push(Span::raw(format!(" {name}   ")));
    }
    Line::from(spans)
}
