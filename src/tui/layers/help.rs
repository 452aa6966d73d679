//! Every key that works in a place, from the command table.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use crate::tui::commands::{self, Command, Group, Id, Place};
use crate::tui::message::{Ask, Facts, Input};
use crate::tui::screens::Pane;
use crate::tui::theme::Theme;
use crate::tui::widgets::scroll::{self, Scroll, rows_beside_sign};
use crate::tui::widgets::{frame, text};

/// Help for a place.
pub struct Help {
    place: Place,
    top: usize,
    scroll: Scroll,
}

impl Help {
    /// For the keys of that place.
    pub fn of(place: Place) -> Help {
        Help {
            place,
            top: 0,
            scroll: Scroll::default(),
        }
    }

    fn lines(&self, theme: Theme, cells: usize) -> Vec<Line<'static>> {
        let mut rows: Vec<&Command> = commands::at(self.place).collect();
        rows.sort_by_key(|it| it.group);
        let keys = rows.iter().map(|it| text::width(&it.keys_words())).max();
        let keys = keys.unwrap_or(0).min(cells / 3);
        let mut lines = Vec::new();
        let mut group: Option<Group> = None;
        for row in rows {
            if group != Some(row.group) {
                if group.is_some() {
                    lines.push(Line::default());
                }
                lines.push(Line::from(Span::styled(row.group.title(), theme.strong())));
                group = Some(row.group);
            }
            let sentences = text::wrap(row.sentence, cells.saturating_sub(keys + 3));
            for (at, sentence) in sentences.into_iter().enumerate() {
                let shown = if at == 0 {
                    row.keys_words()
                } else {
                    String::new()
                };
                lines.push(Line::from(vec![
                    Span::styled(format!(" {}  ", text::fit(&shown, keys)), theme.key()),
                    Span::raw(sentence),
                ]));
            }
        }
        lines
    }
}

impl Pane for Help {
    fn place(&self) -> Place {
        Place::Help
    }

    fn update(&mut self, input: &Input<'_>, _facts: &Facts) -> Vec<Ask> {
        let Input::Command(id) = input else {
            return Vec::new();
        };
        match id {
            Id::Back => return vec![Ask::Close],
            Id::Up => self.top = self.scroll.top().saturating_sub(1),
            Id::Down => self.top = self.scroll.top() + 1,
            Id::PageUp => self.top = self.scroll.top().saturating_sub(10),
            Id::PageDown => self.top = self.scroll.top() + 10,
            Id::First => self.top = 0,
            Id::Last => self.top = usize::MAX,
            _ => {}
        }
        Vec::new()
    }

    fn view(&self, _facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        let title = format!("Keys: {}", self.place.title());
        let inner = frame::boxed(&title, (84, area.height), theme, area, buf);
        let lines = self.lines(theme, usize::from(inner.width));
        let height = rows_beside_sign(usize::from(inner.height), lines.len());
        let top = self.top.min(lines.len().saturating_sub(height));
        let top = self.scroll.follow(top, top + height, height, lines.len());
        scroll::draw(lines, top, theme, inner, buf);
        None
    }
}
