//! The page that every step stands on: what is bottled and which step this is at the top, one line
//! in plain words at the foot that says the next key.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use super::Step;
use crate::tui::message::Facts;
use crate::tui::theme::Theme;
use crate::tui::view::notice_room;
use crate::tui::widgets::text;

pub(super) struct Page<'a> {
    pub(super) step: Step,
    /// Why the last thing asked for was not done.
    pub(super) refused: Option<&'a str>,
    pub(super) facts: &'a Facts,
    pub(super) theme: Theme,
}

impl Page<'_> {
    /// Draws the frame and gives the area between title and hint.
    pub(super) fn frame(&self, of: &str, hint: &str, area: Rect, buf: &mut Buffer) -> Rect {
        let theme = self.theme;
        let cells = usize::from(area.width);
        let step = format!("step {} of 6 ", number(self.step));
        let title = if of.is_empty() {
            " Bottling".to_owned()
        } else {
            format!(" Bottling {of}")
        };
        let title = text::fit(&title, cells.saturating_sub(text::width(&step)));
        let title = vec![
            Span::styled(title, theme.strong()),
            Span::styled(step, theme.dim()),
        ];
        text::put(buf, area, 0, Line::from(title));
        let hint = text::wrap(hint, cells.saturating_sub(2));
        // What the line for notices has no room for is said here in full.
        let room = notice_room(cells);
        let long = self.refused.filter(|it| text::width(it) > room);
        let refused = long.map(|it| text::wrap(it, room));
        let refused = refused.unwrap_or_default();
        let mut at = usize::from(area.height).saturating_sub(hint.len() + refused.len());
        let foot = hint.len() + refused.len();
        for (row, line) in refused.into_iter().enumerate() {
            let sign = if row == 0 { "!" } else { " " };
            let line = Span::styled(format!(" {sign} {line}"), theme.warn());
            text::put(buf, area, at, Line::from(line));
            at += 1;
        }
        for line in hint {
            let line = Span::styled(format!(" {line}"), theme.strong());
            text::put(buf, area, at, Line::from(line));
            at += 1;
        }
        let taken = u16::try_from(foot + 1).unwrap_or(u16::MAX);
        Rect {
            y: area.y + area.height.min(1),
            height: area.height.saturating_sub(taken),
            ..area
        }
    }

    /// Draws lines from a row on, as far as there is room, and gives the row after them.
    pub(super) fn lines<'a>(
        lines: impl IntoIterator<Item = Line<'a>>,
        mut row: usize,
        area: Rect,
        buf: &mut Buffer,
    ) -> usize {
        for line in lines {
            text::put(buf, area, row, line);
            row += 1;
        }
        row
    }

    /// Why it cannot be written as it stands; once it was tried that is said below, and not twice.
    pub(super) fn still_refused(&self, why: &str, area: Rect) -> Vec<Line<'static>> {
        if self.refused == Some(why) {
            return Vec::new();
        }
        Page::wrapped(why, 3, self.theme.warn(), area)
    }

    /// A sentence in lines, indented.
    pub(super) fn wrapped(
        sentence: &str,
        indent: usize,
        style: ratatui::style::Style,
        area: Rect,
    ) -> Vec<Line<'static>> {
        let cells = usize::from(area.width).saturating_sub(indent + 1);
        let lines = text::wrap(sentence, cells).into_iter();
        lines
            .map(|it| Line::from(vec![Span::raw(" ".repeat(indent)), Span::styled(it, style)]))
            .collect()
    }
}

/// Which of the steps a person sees it is.
const fn number(step: Step) -> usize {
    match step {
        Step::Choose => 1,
        Step::Gate | Step::Reason => 2,
        Step::Details => 3,
        Step::Ready => 4,
        Step::Count => 5,
        Step::Finish | Step::Done => 6,
    }
}
