//! The lines of the sheet: label, value, sign, where it comes from.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use super::sheet::Row;
use super::view::Page;
use super::{Dosing, Typing};
use crate::cellar::dosing::Sign;
use crate::tui::theme::MARK;
use crate::tui::widgets::text;

/// Columns of a label, and of a value.
const LABEL: usize = 17;
const VALUE: usize = 17;

impl Page<'_> {
    /// The lines, and how many are out of sight below. Says where the cursor stands.
    pub(super) fn rows(
        &self,
        pane: &Dosing,
        area: Rect,
        buf: &mut Buffer,
    ) -> (Option<Position>, usize) {
        let cells = usize::from(area.width);
        let height = usize::from(area.height);
        let fault = self.sheet.outcome.as_ref().err();
        let shown = pane.shown_lines();
        let marked = shown.iter().position(|it| *it == pane.at).unwrap_or(0);
        let rows = || {
            shown
                .iter()
                .filter_map(|at| Some((*at, self.sheet.rows.get(*at)?)))
        };
        let notes: Vec<Vec<String>> = rows()
            .map(|(at, row)| {
                let room = cells.saturating_sub(LABEL + 4);
                let blamed = fault.filter(|it| it.key.as_deref() == Some(row.key) && row.is_typed);
                match (blamed, row.input) {
                    (Some(fault), _) => text::wrap(&fault.sentence, room),
                    (None, Some(input)) if pane.typing.is_some() && at == pane.at => {
                        let words = row.choices().join(", ");
                        let help = if words.is_empty() {
                            format!("{}.", input.help)
                        } else {
                            format!("{}: {words}; → takes the next.", input.help)
                        };
                        text::wrap(&help, room)
                    }
                    _ => Vec::new(),
                }
            })
            .collect();
        let starts: Vec<usize> = notes
            .iter()
            .scan(0, |next, note| {
                let start = *next;
                *next += 1 + note.len();
                Some(start)
            })
            .collect();
        let total: usize = notes.iter().map(|it| it.len() + 1).sum();
        let from = starts.get(marked).copied().unwrap_or(0);
        let to = from + 1 + notes.get(marked).map_or(0, Vec::len);
        let top = pane.scroll.follow(from, to, height, total);
        pane.shown.set(height);
        let mut cursor = None;
        for (n_shown, (at, row)) in rows().enumerate() {
            let Some(y) = starts[n_shown].checked_sub(top) else {
                continue;
            };
            if y >= height {
                break;
            }
            let blamed = fault.is_some_and(|it| it.key.as_deref() == Some(row.key));
            let faulty = blamed && row.is_typed;
            let found = self.row(pane, row, at == pane.at, faulty, (area, y), buf);
            cursor = cursor.or(found);
            for (n, note) in notes[n_shown].iter().enumerate() {
                let style = if faulty {
                    self.theme.warn()
                } else {
                    self.theme.dim()
                };
                let line = Line::from(Span::styled(
                    format!("  {}{note}", " ".repeat(LABEL)),
                    style,
                ));
                if y + 1 + n < height {
                    text::put(buf, area, y + 1 + n, line);
                }
            }
        }
        let below = starts.iter().filter(|it| **it >= top + height).count();
        (cursor, below)
    }

    /// One line: label, value, sign, where it comes from.
    fn row(
        &self,
        pane: &Dosing,
        row: &Row,
        marked: bool,
        faulty: bool,
        (area, y): (Rect, usize),
        buf: &mut Buffer,
    ) -> Option<Position> {
        let (sign, words) = if faulty {
            ("!", row.known.words.as_str())
        } else if self.sheet.is_typed_otherwise(row) {
            ("", "gives way to what you typed")
        } else if row.is_typed {
            ("", "typed; b takes what the book says")
        } else {
            (row.known.sign.mark(), row.known.words.as_str())
        };
        let style = match row.known.sign {
            _ if faulty => self.theme.warn(),
            Sign::Rough if !row.is_typed => self.theme.forecast(),
            _ => self.theme.text(),
        };
        let typing = pane.typing.filter(|_| marked);
        let chosen = marked && typing != Some(Typing::Within);
        let value_style = if chosen { self.theme.selected() } else { style };
        let value = match row.unit() {
            "" => row.text.text().to_owned(),
            unit => format!("{} {unit}", row.text.text()),
        };
        let value = if value.is_empty() && chosen {
            " ".to_owned()
        } else {
            value
        };
        let value = text::cut(&value, VALUE - 1);
        let pad = " ".repeat(VALUE.saturating_sub(text::width(&value)));
        let cells = usize::from(area.width);
        let room = cells.saturating_sub(3 + LABEL + VALUE + 4);
        text::put(
            buf,
            area,
            y,
            Line::from(vec![
                Span::styled(if marked { MARK } else { " " }, self.theme.text()),
                Span::raw(" "),
                Span::styled(text::fit(&row.label, LABEL), self.theme.text()),
                Span::styled(value, value_style),
                Span::raw(pad),
                Span::styled(text::fit(sign, 4), style),
                Span::styled(text::cut(words, room), self.theme.dim()),
            ]),
        );
        typing?;
        let field = Rect {
            x: area.x + (2 + LABEL) as u16,
            y: area.y + y as u16,
            width: area
                .width
                .saturating_sub((2 + LABEL) as u16)
                .min(VALUE as u16),
            height: 1,
        };
        let field = field.intersection(area);
        if typing == Some(Typing::Within) {
            text::put(buf, field, 0, Line::from(" ".repeat(VALUE)));
            return row.text.view("", true, self.theme, field, buf);
        }
        let end = text::width(row.text.text()).min(VALUE - 1);
        Some(Position {
            x: field.x + end as u16,
            y: field.y,
        })
    }
}
