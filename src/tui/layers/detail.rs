//! All of one vessel or run: what it holds, its readings, what was done, what needs you.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use crate::cellar::attention::Reason;
use crate::cellar::thing::Key;
use crate::tui::commands::{Id, Place};
use crate::tui::message::{Ask, Effect, Facts, Input, Reply, Told};
use crate::tui::screens::Pane;
use crate::tui::theme::Theme;
use crate::tui::widgets::{frame, text};
use crate::tui::words;

/// Entries read for the history.
const ENTRIES: usize = 200;

/// A vessel or run, opened.
pub struct Detail {
    key: Key,
    entries: Vec<Told>,
    top: usize,
}

impl Detail {
    /// Of that vessel or run. What it reads is asked for with [`Detail::reads`].
    pub fn about(key: Key) -> Detail {
        Detail {
            key,
            entries: Vec::new(),
            top: 0,
        }
    }

    /// What it needs from the book.
    pub fn reads(key: Key) -> Effect {
        Effect::ReadBook {
            about: Some(key),
            limit: ENTRIES,
        }
    }
}

impl Pane for Detail {
    fn place(&self) -> Place {
        Place::Detail
    }

    fn about(&self, _facts: &Facts) -> Option<Key> {
        Some(self.key)
    }

    fn reason(&self, facts: &Facts) -> Option<Reason> {
        facts.reasons_for(self.key).next().cloned()
    }

    fn update(&mut self, input: &Input<'_>, facts: &Facts) -> Vec<Ask> {
        match input {
            Input::Command(Id::Back) => return vec![Ask::Close],
            Input::Command(Id::Open) => {
                return self.reason(facts).iter().map(words::deal_with).collect();
            }
            Input::Command(Id::Up) => self.top = self.top.saturating_sub(1),
            Input::Command(Id::Down) => self.top += 1,
            Input::Reply(Reply::Book { about, entries, .. }) if *about == Some(self.key) => {
                self.entries.clone_from(entries);
            }
            Input::Reply(Reply::Stale) => return vec![Ask::Do(Detail::reads(self.key))],
            _ => {}
        }
        Vec::new()
    }

    fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        let title = facts.cellar.name(self.key);
        let inner = frame::boxed(title, (100, area.height), theme, area, buf);
        let cells = usize::from(inner.width);
        let mut lines: Vec<Line<'_>> = Vec::new();
        for reason in facts.reasons_for(self.key) {
            lines.extend(words::reason_lines(reason, facts, theme, cells, false));
        }
        for entry in &self.entries {
            lines.push(Line::from(vec![
                Span::styled(
                    format!("{}  ", text::fit(&entry.entry.draft.when.day_words(), 12)),
                    theme.dim(),
                ),
                Span::raw(text::cut(
                    &words::entry(entry, facts),
                    cells.saturating_sub(14),
                )),
            ]));
        }
        let height = usize::from(inner.height);
        let top = self.top.min(lines.len().saturating_sub(height));
        for (at, line) in lines.into_iter().skip(top).take(height).enumerate() {
            text::put(buf, inner, at, line);
        }
        None
    }
}
