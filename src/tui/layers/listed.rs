//! A list in a box: what, and below it why, each in as many lines as it takes.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use crate::tui::theme::{MARK, Theme};
use crate::tui::widgets::scroll::{self as scrolling, Scroll, rows_beside_sign};
use crate::tui::widgets::{frame, text};

/// Something in a list.
pub(super) struct Item {
    pub(super) what: String,
    pub(super) why: String,
}

/// Draws the list so that the marked item is in sight; `none` is said where it is empty.
pub(super) fn draw(
    title: &str,
    items: impl Iterator<Item = Item>,
    none: &str,
    (marked, scroll): (usize, &Scroll),
    theme: Theme,
    area: Rect,
    buf: &mut Buffer,
) {
    let inner = frame::boxed(title, (92, area.height.min(24)), theme, area, buf);
    let cells = usize::from(inner.width);
    let mut lines: Vec<Line<'_>> = Vec::new();
    let mut shown = (0, 1);
    for (at, item) in items.enumerate() {
        let from = lines.len();
        let what = text::wrap(&item.what, cells.saturating_sub(2));
        for (row, part) in what.into_iter().enumerate() {
            let mark = if at == marked && row == 0 { MARK } else { " " };
            lines.push(Line::from(vec![
                Span::raw(format!("{mark} ")),
                Span::styled(part, theme.strong()),
            ]));
        }
        let parts = text::wrap(&item.why, cells.saturating_sub(6)).into_iter();
        lines.extend(parts.map(|it| Line::from(format!("     {it}"))));
        if at == marked {
            shown = (from, lines.len());
        }
    }
    if lines.is_empty() {
        lines.push(Line::from(Span::styled(none, theme.dim())));
    }
    let height = rows_beside_sign(usize::from(inner.height), lines.len());
    let top = scroll.follow(shown.0, shown.1, height, lines.len());
    scrolling::draw(lines, top, theme, inner, buf);
}
