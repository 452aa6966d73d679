//! The cellar book, newest first.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use super::Pane;
use crate::cellar::thing::Key;
use crate::tui::commands::{Id, Place};
use crate::tui::layers::entry::{self, Entry};
use crate::tui::message::{Ask, Effect, Facts, Input, Reply, Told};
use crate::tui::theme::{MARK, Theme};
use crate::tui::widgets::scroll::{Scroll, moved};
use crate::tui::widgets::text;
use crate::tui::words;

/// Entries read at once; more are read when the mark comes near the end.
const PAGE: usize = 200;

/// The book.
#[derive(Default)]
pub(super) struct Book {
    entries: Vec<Told>,
    limit: usize,
    at: usize,
    scroll: Scroll,
}

impl Book {
    fn reads(&mut self) -> Vec<Ask> {
        self.limit = self.limit.max(PAGE);
        vec![Ask::Do(Effect::ReadBook {
            about: None,
            limit: self.limit,
        })]
    }

    fn go(&mut self, by: isize) -> Vec<Ask> {
        self.at = moved(self.at, by, self.entries.len());
        let near_end = self.at + 20 >= self.entries.len();
        if near_end && self.entries.len() >= self.limit {
            self.limit += PAGE;
            return self.reads();
        }
        Vec::new()
    }
}

impl Pane for Book {
    fn place(&self) -> Place {
        Place::Book
    }

    fn about(&self, _facts: &Facts) -> Option<Key> {
        self.entries
            .get(self.at)?
            .entry
            .draft
            .places()
            .first()
            .copied()
    }

    fn update(&mut self, input: &Input<'_>, facts: &Facts) -> Vec<Ask> {
        match input {
            Input::Called(_) => return self.reads(),
            Input::Reply(Reply::Stale) if self.limit > 0 => return self.reads(),
            Input::Reply(Reply::Book {
                about: None,
                entries,
                ..
            }) => {
                self.entries.clone_from(entries);
                return self.go(0);
            }
            Input::Command(Id::Up) => return self.go(-1),
            Input::Command(Id::Down) => return self.go(1),
            Input::Command(Id::PageUp) => return self.go(-15),
            Input::Command(Id::PageDown) => return self.go(15),
            Input::Command(Id::First) => self.at = 0,
            Input::Command(Id::Last) => return self.go(self.entries.len() as isize),
            Input::Command(Id::Open) => {
                let told = self.entries.get(self.at);
                return told
                    .map(|it| Ask::Lay(Box::new(Entry::of(it.clone()))))
                    .into_iter()
                    .collect();
            }
            Input::Command(Id::Void) => {
                return self.entries.get(self.at).map_or_else(Vec::new, entry::void);
            }
            Input::Command(Id::Amend) => {
                let told = self.entries.get(self.at);
                return told.map_or_else(Vec::new, |it| entry::amend(it, facts));
            }
            _ => {}
        }
        Vec::new()
    }

    fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        if self.entries.is_empty() {
            let help = "   Nothing is written yet.";
            text::put(buf, area, 0, Line::from(Span::styled(help, theme.dim())));
        }
        let height = usize::from(area.height);
        let cells = usize::from(area.width);
        let top = self
            .scroll
            .follow(self.at, self.at + 1, height, self.entries.len());
        for (at, entry) in self.entries.iter().enumerate().skip(top).take(height) {
            text::put(
                buf,
                area,
                at - top,
                row(entry, facts, at == self.at, theme, cells),
            );
        }
        None
    }
}

fn row(told: &Told, facts: &Facts, marked: bool, theme: Theme, cells: usize) -> Line<'static> {
    let entry = &told.entry;
    let date = entry.draft.when.local().format("%a %-d %b %Y").to_string();
    let number = format!("{} ", entry.key.0);
    let said = words::entry(told, facts);
    let room = cells.saturating_sub(1 + 6 + 17);
    let (said, style) = if entry.is_living() {
        (said, theme.text())
    } else {
        (format!("voided: {said}"), theme.dim())
    };
    let style = if marked {
        style.patch(theme.selected())
    } else {
        style
    };
    Line::from(vec![
        Span::raw(if marked { MARK } else { " " }),
        Span::styled(text::fit_right(&number, 6), theme.dim()),
        Span::styled(text::fit(&date, 17), theme.dim()),
        Span::styled(text::cut(&said, room), style),
    ])
}
