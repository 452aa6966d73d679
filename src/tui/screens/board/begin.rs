//! The board of a cellar that nothing was written of yet.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use crate::tui::commands::{self, Id};
use crate::tui::theme::Theme;
use crate::tui::widgets::text;

/// Ways to begin, the easiest first.
const WAYS: [(&str, &str); 4] = [
    (
        "here",
        "what is in the cellar already: a vessel, or bottles. A name is enough",
    ),
    ("vessel add", "an empty vessel"),
    ("receive", "must, juice or fruit coming in"),
    ("jot", "any line at all; entries can be made of it later"),
];

/// Draws how to begin.
pub(super) fn draw(theme: Theme, area: Rect, buf: &mut Buffer) {
    let cells = usize::from(area.width);
    let heading = " Nothing is written down yet. Begin with what you know; the rest can wait.";
    let heading = text::cut(heading, cells);
    text::put(
        buf,
        area,
        1,
        Line::from(Span::styled(heading, theme.strong())),
    );
    let mut at = 3;
    for (verb, sentence) in WAYS {
        let key = commands::of(Id::Verb(verb)).map_or(String::new(), |it| it.keys[0].to_string());
        for (part_at, part) in text::wrap(sentence, cells.saturating_sub(9))
            .into_iter()
            .enumerate()
        {
            let key = if part_at == 0 { key.as_str() } else { "" };
            text::put(
                buf,
                area,
                at,
                Line::from(vec![
                    Span::styled(format!("    {}  ", text::fit(key, 1)), theme.key()),
                    Span::raw(part),
                ]),
            );
            at += 1;
        }
    }
}
