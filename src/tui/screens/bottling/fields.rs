//! A few fields made for wet hands: all are filled in already, arrows take another choice, and
//! Space goes on wherever no blank could be meant.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use crate::tui::commands::Id;
use crate::tui::press::Press;
use crate::tui::theme::{MARK, Theme};
use crate::tui::widgets::field::Field;
use crate::tui::widgets::text;

/// Columns of a label with its mark.
const LABEL: u16 = 18;

/// Fields, one of them focused.
#[derive(Default)]
pub(super) struct Fields {
    rows: Vec<Row>,
    focus: usize,
}

/// One field.
pub(super) struct Row {
    key: &'static str,
    label: &'static str,
    help: String,
    /// What may be typed there.
    takes: Takes,
    /// Choices that arrows go through.
    choices: Vec<String>,
    field: Field,
    /// What stands there was put there, not typed: the first character replaces it.
    fresh: bool,
}

/// What a field takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Takes {
    /// Any words.
    Words,
    /// A whole number: nothing but digits is taken.
    Number,
    /// One of its choices.
    Choice,
}

/// What came of a key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Did {
    Stay,
    GoOn,
}

impl Row {
    pub(super) fn new(
        key: &'static str,
        label: &'static str,
        help: impl Into<String>,
        takes: Takes,
    ) -> Row {
        Row {
            key,
            label,
            help: help.into(),
            takes,
            choices: Vec::new(),
            field: Field::default(),
            fresh: true,
        }
    }

    pub(super) fn filled(mut self, text: &str) -> Row {
        self.field = Field::of(text);
        self
    }

    pub(super) fn choosing(mut self, choices: impl IntoIterator<Item = String>) -> Row {
        self.choices = choices.into_iter().collect();
        self
    }

    fn turn(&mut self, by: usize) {
        let total = self.choices.len();
        if total == 0 {
            return;
        }
        let at = self.choices.iter().position(|it| it == self.field.text());
        let next = at.map_or(0, |it| (it + by) % total);
        self.field = Field::of(&self.choices[next]);
        self.fresh = true;
    }

    fn typed(&mut self, press: Press) {
        match (self.takes, press) {
            (Takes::Choice, Press::Char(letter)) => {
                let begins = |it: &&String| it.starts_with(letter.to_ascii_lowercase());
                if let Some(choice) = self.choices.iter().find(begins) {
                    self.field = Field::of(choice);
                }
                return;
            }
            (Takes::Choice, _) => return,
            (Takes::Number, Press::Char(c)) if !c.is_ascii_digit() => return,
            (Takes::Number, Press::Char(_)) if self.fresh => self.field = Field::default(),
            _ => {}
        }
        self.fresh = false;
        self.field.typed(press);
    }
}

impl Fields {
    pub(super) fn of(rows: impl IntoIterator<Item = Row>) -> Fields {
        Fields {
            rows: rows.into_iter().collect(),
            focus: 0,
        }
    }

    /// Every field with its text.
    pub(super) fn pairs(&self) -> impl Iterator<Item = (&str, &str)> {
        self.rows.iter().map(|it| (it.key, it.field.text()))
    }

    /// What stands in a field; empty if there is no such field.
    pub(super) fn get(&self, key: &str) -> &str {
        let row = self.rows.iter().find(|it| it.key == key);
        row.map_or("", |it| it.field.text().trim())
    }

    /// Other choices for a field, the first of them filled in.
    pub(super) fn offer(&mut self, key: &str, choices: Vec<String>) {
        if let Some(row) = self.rows.iter_mut().find(|it| it.key == key) {
            row.field = Field::of(choices.first().map_or("", String::as_str));
            row.choices = choices;
            row.fresh = true;
        }
    }

    /// Whether anything was typed.
    pub(super) fn touched(&self) -> bool {
        self.rows.iter().any(|it| !it.fresh)
    }

    pub(super) fn command(&mut self, id: Id) -> Did {
        let total = self.rows.len().max(1);
        let row = self.rows.get_mut(self.focus);
        match (id, row) {
            (Id::Write, _) => return Did::GoOn,
            (Id::Next, _) => self.focus = (self.focus + 1) % total,
            (Id::Previous, _) => self.focus = (self.focus + total - 1) % total,
            (Id::Right, Some(row)) if row.choices.is_empty() => row.typed(Press::Right),
            (Id::Left, Some(row)) if row.choices.is_empty() => row.typed(Press::Left),
            (Id::Right, Some(row)) => row.turn(1),
            (Id::Left, Some(row)) => row.turn(row.choices.len() - 1),
            (Id::Empty, Some(row)) if row.takes != Takes::Choice => row.field = Field::default(),
            _ => {}
        }
        Did::Stay
    }

    pub(super) fn typed(&mut self, press: Press) -> Did {
        match self.rows.get_mut(self.focus) {
            Some(row) if press == Press::Char(' ') && row.takes != Takes::Words => Did::GoOn,
            Some(row) => {
                row.typed(press);
                Did::Stay
            }
            None => Did::Stay,
        }
    }

    pub(super) fn paste(&mut self, text: &str) -> Did {
        if let Some(row) = self.rows.get_mut(self.focus)
            && row.takes != Takes::Choice
        {
            row.fresh = false;
            row.field.paste(text);
        }
        Did::Stay
    }

    /// Draws the fields from a row of the area on, the focused one's help below it; gives the row
    /// after them and where the cursor stands.
    pub(super) fn view(
        &self,
        mut row: usize,
        theme: Theme,
        area: Rect,
        buf: &mut Buffer,
    ) -> (usize, Option<Position>) {
        let mut cursor = None;
        for (at, field) in self.rows.iter().enumerate() {
            let focused = at == self.focus;
            let style = if focused { theme.strong() } else { theme.dim() };
            let label = Line::from(vec![
                Span::raw(format!(" {} ", if focused { MARK } else { " " })),
                Span::styled(text::fit(field.label, usize::from(LABEL) - 3), style),
            ]);
            text::put(buf, area, row, label);
            let place = Rect {
                x: area.x + LABEL.min(area.width),
                width: area.width.saturating_sub(LABEL + 1),
                y: area.y.saturating_add(row as u16).min(area.bottom()),
                height: u16::from(row < usize::from(area.height)),
            };
            if field.takes == Takes::Choice {
                let style = if focused {
                    theme.selected()
                } else {
                    theme.text()
                };
                let shown = text::cut(field.field.text(), usize::from(place.width));
                text::put(buf, place, 0, Line::from(Span::styled(shown, style)));
            } else {
                let at = field.field.view("", focused, theme, place, buf);
                cursor = cursor.or(at);
            }
            row += 1;
            if focused && !field.help.is_empty() {
                let cells = usize::from(place.width);
                for line in text::wrap(&field.help, cells) {
                    let line = format!("{:indent$}{line}", "", indent = usize::from(LABEL));
                    text::put(buf, area, row, Line::from(Span::styled(line, theme.dim())));
                    row += 1;
                }
            }
        }
        (row, cursor)
    }
}
