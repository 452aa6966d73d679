//! The box that something laid over a screen stands in.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};
use ratatui::widgets::{Block, BorderType, Clear, Widget};

use super::text;
use crate::tui::theme::Theme;

/// Clears a box of at most that size in the middle of an area, draws its edge and title, and gives
/// what is left inside. A small screen is taken whole, without an edge.
pub fn boxed(
    title: &str,
    (width, height): (u16, u16),
    theme: Theme,
    area: Rect,
    buf: &mut Buffer,
) -> Rect {
    let area = area.intersection(buf.area);
    if covers(area) {
        Clear.render(area, buf);
        let title = text::cut(title, usize::from(area.width).saturating_sub(1));
        text::put(
            buf,
            area,
            0,
            Line::from(Span::styled(format!(" {title}"), theme.strong())),
        );
        let below = Rect {
            y: area.y + area.height.min(1),
            height: area.height.saturating_sub(1),
            ..area
        };
        return inset(below, 1);
    }
    // What lies beneath steps back.
    buf.set_style(area, theme.dim());
    let width = width.min(area.width);
    let height = height.min(area.height);
    let place = Rect {
        x: area.x + (area.width - width) / 2,
        y: area.y + (area.height - height) / 2,
        width,
        height,
    };
    Clear.render(place, buf);
    let title = text::cut(title, usize::from(width).saturating_sub(4));
    let block = Block::bordered()
        .border_type(BorderType::Rounded)
        .border_style(theme.dim())
        .title(Span::styled(format!(" {title} "), theme.strong()));
    let inner = block.inner(place);
    block.render(place, buf);
    inset(inner, 1)
}

/// Draws a box just high enough for lines that a box of that width has room for; `lines` is told
/// how many cells there are. Lines that do not fit are left out at the end.
pub fn boxed_lines(
    title: &str,
    width: u16,
    theme: Theme,
    area: Rect,
    buf: &mut Buffer,
    lines: impl FnOnce(usize) -> Vec<Line<'static>>,
) {
    let edges = if covers(area) { 2 } else { 4 };
    let lines = lines(usize::from(width.min(area.width)).saturating_sub(edges));
    let height = u16::try_from(lines.len() + 2).unwrap_or(u16::MAX);
    let inner = boxed(title, (width, height), theme, area, buf);
    for (at, line) in lines.into_iter().enumerate() {
        text::put(buf, inner, at, line);
    }
}

/// Whether a box takes the whole of an area, so that nothing beneath it is seen.
pub fn covers(area: Rect) -> bool {
    area.width < 84 || area.height < 16
}

/// An area without so many columns at both sides.
pub fn inset(area: Rect, columns: u16) -> Rect {
    let columns = columns.min(area.width / 2);
    Rect {
        x: area.x + columns,
        width: area.width - 2 * columns,
        ..area
    }
}
