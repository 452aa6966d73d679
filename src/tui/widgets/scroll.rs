//! Where a list has scrolled to: the only thing that drawing changes.

use std::cell::Cell;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use super::text;
use crate::tui::theme::Theme;

/// The first line shown of a list.
#[derive(Debug, Default)]
pub struct Scroll(Cell<usize>);

impl Scroll {
    /// The first line shown, as last drawn.
    pub fn top(&self) -> usize {
        self.0.get()
    }

    /// Moves just so far that the lines `from..to` are shown in a window of `height`, and gives the
    /// first line to draw.
    pub fn follow(&self, from: usize, to: usize, height: usize, total: usize) -> usize {
        let mut top = self.0.get();
        top = top.max(to.saturating_sub(height)).min(from);
        top = top.min(total.saturating_sub(height));
        self.0.set(top);
        top
    }
}

/// A page that may be longer than its window, moved by the line.
#[derive(Debug, Default)]
pub struct Paged {
    /// The first line asked for.
    at: usize,
    scroll: Scroll,
}

impl Paged {
    /// A line up or down, where there is no room for all of it.
    pub fn line(&mut self, down: bool) {
        self.at = if down {
            self.at + 1
        } else {
            self.at.min(self.scroll.top()).saturating_sub(1)
        };
    }

    /// Draws it from the line that was moved to, and says how much more there is.
    pub fn draw(&self, lines: Vec<Line<'_>>, theme: Theme, area: Rect, buf: &mut Buffer) {
        let rows = rows_beside_sign(usize::from(area.height), lines.len());
        let top = self
            .scroll
            .follow(self.at, self.at + rows, rows, lines.len());
        draw(lines, top, theme, area, buf);
    }
}

/// How many lines of a list are shown where one may be wanted to say that there are more.
pub fn rows_beside_sign(room: usize, total: usize) -> usize {
    if total > room {
        room.saturating_sub(1).max(1)
    } else {
        room
    }
}

/// Draws lines from the first one shown on, and says below them how many more there are.
pub fn draw(lines: Vec<Line<'_>>, top: usize, theme: Theme, area: Rect, buf: &mut Buffer) {
    let total = lines.len();
    let height = rows_beside_sign(usize::from(area.height), total);
    for (at, line) in lines.into_iter().skip(top).take(height).enumerate() {
        text::put(buf, area, at, line);
    }
    let below = total.saturating_sub(top + height);
    more(top.min(total), below, height, theme, area, buf);
}

/// Says at the end of that line that there are more above or below.
pub fn more(above: usize, below: usize, row: usize, theme: Theme, area: Rect, buf: &mut Buffer) {
    let said = match (above, below) {
        (0, 0) => return,
        (0, below) => format!("{below} more below "),
        (above, 0) => format!("{above} more above "),
        (above, below) => format!("{above} more above, {below} below "),
    };
    let wide = u16::try_from(text::width(&said)).unwrap_or(u16::MAX);
    let place = Rect {
        x: area.right().saturating_sub(wide).max(area.x),
        width: wide.min(area.width),
        ..area
    };
    text::put(buf, place, row, Line::from(Span::styled(said, theme.dim())));
}

/// Moves a mark by so many places within a list; an empty list keeps it at the start.
pub fn moved(at: usize, by: isize, total: usize) -> usize {
    at.saturating_add_signed(by).min(total.saturating_sub(1))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(scroll: &Scroll, marked: usize, expected: usize) {
        assert_eq!(
            scroll.follow(marked, marked + 1, 5, 12),
            expected,
            "{marked}"
        );
    }

    #[test]
    fn scrolls_no_further_than_the_mark_needs() {
        let scroll = Scroll::default();
        check(&scroll, 4, 0);
        check(&scroll, 5, 1);
        check(&scroll, 11, 7);
        check(&scroll, 8, 7);
        check(&scroll, 3, 3);
    }

    #[test]
    fn a_mark_stays_in_its_list() {
        assert_eq!([moved(0, -1, 3), moved(2, 1, 3), moved(0, 5, 0)], [0, 2, 0]);
    }
}
