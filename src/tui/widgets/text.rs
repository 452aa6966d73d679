//! Words in cells: measured, cut, padded and wrapped by what a terminal shows, so that no name
//! breaks a row.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};
use ratatui::widgets::Widget;
use unicode_width::UnicodeWidthStr;

/// Whether every byte is a cell: most texts are, and need no closer look.
fn is_plain(text: &str) -> bool {
    text.bytes().all(|it| (b' '..=b'~').contains(&it))
}

/// Cells that a text takes.
pub fn width(text: &str) -> usize {
    if is_plain(text) {
        return text.len();
    }
    let text = text.replace(['\n', '\t'], " ");
    let span = Span::raw(text.as_str());
    let pieces = span.styled_graphemes(Style::new());
    pieces.map(|it| it.symbol.width()).sum()
}

/// What a terminal draws as one: a letter with its accents. Control characters are left out.
fn pieces(text: &str) -> Vec<String> {
    let text = text.replace(['\n', '\t'], " ");
    let span = Span::raw(text.as_str());
    span.styled_graphemes(Style::new())
        .map(|it| it.symbol.to_owned())
        .collect()
}

/// Cut to at most `cells`, with `…` where something is missing.
pub fn cut(text: &str, cells: usize) -> String {
    if is_plain(text) {
        return match text.get(..cells.saturating_sub(1)) {
            Some(begin) if text.len() > cells && cells > 0 => format!("{begin}…"),
            _ if cells == 0 => String::new(),
            _ => text.to_owned(),
        };
    }
    let pieces = pieces(text);
    if pieces.iter().map(|it| it.width()).sum::<usize>() <= cells {
        return pieces.concat();
    }
    let mut taken = String::new();
    let mut used = 0;
    for piece in pieces {
        if used + piece.width() + 1 > cells {
            break;
        }
        used += piece.width();
        taken.push_str(&piece);
    }
    if cells > 0 {
        taken.push('…');
    }
    taken
}

/// Cut and padded to exactly `cells`.
pub fn fit(text: &str, cells: usize) -> String {
    let mut text = cut(text, cells);
    let missing = cells.saturating_sub(width(&text));
    text.extend(std::iter::repeat_n(' ', missing));
    text
}

/// Cut and padded on the left to exactly `cells`.
pub fn fit_right(text: &str, cells: usize) -> String {
    let text = cut(text, cells);
    let missing = cells.saturating_sub(width(&text));
    " ".repeat(missing) + &text
}

/// Wrapped at blanks into lines of at most `cells`; a longer word is cut into pieces.
pub fn wrap(text: &str, cells: usize) -> Vec<String> {
    if cells == 0 {
        return Vec::new();
    }
    let mut lines = Vec::new();
    let mut line = String::new();
    let mut used = 0;
    for word in text.split_whitespace() {
        let long = width(word);
        if used > 0 && used + 1 + long > cells {
            lines.push(std::mem::take(&mut line));
            used = 0;
        }
        if used > 0 {
            line.push(' ');
            used += 1;
        }
        // Most words are plain and fit: they need not be taken to pieces.
        if used + long <= cells && is_plain(word) {
            line.push_str(word);
            used += long;
            continue;
        }
        for piece in pieces(word) {
            if used + piece.width() > cells && used > 0 {
                lines.push(std::mem::take(&mut line));
                used = 0;
            }
            used += piece.width();
            line.push_str(&piece);
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// Draws a line in a row of an area; nothing where the area has no such row.
pub fn put<'a>(buf: &mut Buffer, area: Rect, row: usize, line: impl Into<Line<'a>>) {
    let Ok(row) = u16::try_from(row) else {
        return;
    };
    if row < area.height {
        let place = Rect {
            y: area.y + row,
            height: 1,
            ..area
        };
        line.into().render(place.intersection(buf.area), buf);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(text: &str, cells: usize, expected: &str) {
        assert_eq!(fit(text, cells), expected);
        assert_eq!(width(&fit(text, cells)), cells, "{text:?} in {cells}");
        assert_eq!(width(&fit_right(text, cells)), cells, "{text:?} in {cells}");
    }

    #[test]
    fn a_name_takes_exactly_its_cells() {
        check("Carboy A", 10, "Carboy A  ");
        check("Carboy A", 8, "Carboy A");
        check("Carboy A", 5, "Carb…");
        check("Carboy A", 1, "…");
        check("Carboy A", 0, "");
        check("日本", 5, "日本 ");
        check("日本", 4, "日本");
        check("日本", 3, "日…");
        check("日本", 2, "… ");
        check("e\u{301}te\u{301}", 3, "e\u{301}te\u{301}");
        check("e\u{301}te\u{301}", 2, "e\u{301}…");
        check("a\u{200b}b", 3, "a\u{200b}b ");
        check("two\nlines\u{7}", 10, "two lines ");
    }

    fn check_wrap(text: &str, cells: usize, expected: &[&str]) {
        assert_eq!(wrap(text, cells), expected, "{text:?} in {cells}");
    }

    #[test]
    fn wraps_at_blanks_and_cuts_what_is_longer_than_a_line() {
        check_wrap("rack it off the lees", 9, &["rack it", "off the", "lees"]);
        check_wrap("a verylongword", 5, &["a", "veryl", "ongwo", "rd"]);
        check_wrap("日本 日本", 4, &["日本", "日本"]);
        check_wrap("  ", 4, &[]);
        check_wrap("word", 0, &[]);
    }
}
