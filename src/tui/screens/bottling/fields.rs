//! A few fields made for wet hands: all are filled in already, arrows take another choice, and
//! Space goes on wherever no blank could be meant: a figure that is being typed may have a unit
//! after it.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use crate::tui::commands::Id;
use crate::tui::press::Press;
use crate::tui::theme::{MARK, Theme};
use crate::tui::widgets::field::Field;
use crate::tui::widgets::text;
use crate::tui::words;

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
    /// Whether it is asked at all, as the other fields stand.
    asked: bool,
}

/// What a field takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Takes {
    /// Any words.
    Words,
    /// A figure, with its unit where it has one. Whatever is typed stands there to be read, since a
    /// point or a letter left out would make another figure of it.
    Figure,
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
            asked: true,
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

    /// Whether no blank could be meant there.
    fn blank_goes_on(&self) -> bool {
        match self.takes {
            Takes::Choice => true,
            Takes::Figure => self.fresh,
            Takes::Words => false,
        }
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
                let letter = letter.to_ascii_lowercase();
                let begins = |it: &&String| it.to_lowercase().starts_with(letter);
                // The same letter again takes the next that begins so.
                let total = self.choices.len();
                let at = self.choices.iter().position(|it| it == self.field.text());
                let after = self.choices.iter().cycle().skip(at.map_or(0, |it| it + 1));
                if let Some(choice) = after.take(total).find(begins) {
                    self.field = Field::of(choice);
                }
                return;
            }
            (Takes::Choice, _) => return,
            (Takes::Figure | Takes::Words, Press::Char(_)) if self.fresh => {
                self.field = Field::default();
            }
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

    fn asked(&self) -> impl Iterator<Item = &Row> {
        self.rows.iter().filter(|it| it.asked)
    }

    /// Every field that is asked, with its text.
    pub(super) fn pairs(&self) -> impl Iterator<Item = (&str, &str)> {
        self.asked().map(|it| (it.key, it.field.text()))
    }

    /// How many fields are asked, since not all may have room.
    pub(super) fn count(&self) -> usize {
        self.asked().count()
    }

    /// What stands in a field; empty if no such field is asked.
    pub(super) fn get(&self, key: &str) -> &str {
        let row = self.asked().find(|it| it.key == key);
        row.map_or("", |it| it.field.text().trim())
    }

    /// Asks a field or not; what was typed into it stays for when it is asked again.
    pub(super) fn ask(&mut self, key: &str, asked: bool) {
        if let Some(row) = self.rows.iter_mut().find(|it| it.key == key) {
            row.asked = asked;
        }
    }

    /// A verb's sentence with the fields called as they are here.
    pub(super) fn in_its_words(&self, sentence: &str) -> String {
        words::of_fields(sentence, self.asked().map(|it| (it.key, it.label)))
    }

    /// The next field that is asked, so many on.
    fn next(&self, by: usize) -> usize {
        let total = self.rows.len().max(1);
        let mut at = self.focus;
        for _ in 0..total {
            at = (at + by) % total;
            if self.rows.get(at).is_some_and(|it| it.asked) {
                break;
            }
        }
        at
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
            (Id::Next, _) => self.focus = self.next(1),
            (Id::Previous, _) => self.focus = self.next(total - 1),
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
            Some(row) if press == Press::Char(' ') && row.blank_goes_on() => Did::GoOn,
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
            if row.fresh {
                row.field = Field::default();
            }
            row.fresh = false;
            row.field.paste(text);
        }
        Did::Stay
    }

    /// Draws the fields from a row of the area on, the focused one's help below it; gives the row
    /// after them and where the cursor stands. Where there are fewer rows for them than they need,
    /// those that come last or first give way to the focused one.
    pub(super) fn view(
        &self,
        mut row: usize,
        room: usize,
        theme: Theme,
        area: Rect,
        buf: &mut Buffer,
    ) -> (usize, Option<Position>) {
        let mut cursor = None;
        let cells = usize::from(area.width.saturating_sub(LABEL + 1));
        let help = |field: &Row| match field.help.as_str() {
            "" => Vec::new(),
            help => text::wrap(help, cells),
        };
        let asked: Vec<(usize, &Row)> = self
            .rows
            .iter()
            .enumerate()
            .filter(|it| it.1.asked)
            .collect();
        let focused = asked.iter().position(|it| it.0 == self.focus);
        let end = row.saturating_add(room);
        let needs = focused.map_or(0, |at| at + 1 + help(asked[at].1).len());
        for (at, field) in asked.into_iter().skip(needs.saturating_sub(room)) {
            if row >= end {
                break;
            }
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
                let said = match field.field.text() {
                    "" => "not said",
                    said => said,
                };
                let shown = text::cut(said, usize::from(place.width));
                text::put(buf, place, 0, Line::from(Span::styled(shown, style)));
            } else {
                let at = field.field.view("", focused, theme, place, buf);
                cursor = cursor.or(at);
            }
            row += 1;
            if focused {
                for line in help(field) {
                    let line = format!("{:indent$}{line}", "", indent = usize::from(LABEL));
                    text::put(buf, area, row, Line::from(Span::styled(line, theme.dim())));
                    row += 1;
                }
            }
        }
        (row, cursor)
    }
}
