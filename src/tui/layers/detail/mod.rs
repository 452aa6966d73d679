//! All of one vessel or run: what it holds, what needs you, its readings, what was done.

mod lines;

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};

use crate::cellar::attention::Reason;
use crate::cellar::run::window_because;
use crate::cellar::thing::{Key, Sort};
use crate::tui::commands::{Id, Place};
use crate::tui::glance;
use crate::tui::layers::charts::Charts;
use crate::tui::message::{Ask, Effect, Facts, Input, Notice, Reply, Told};
use crate::tui::screens::Pane;
use crate::tui::theme::Theme;
use crate::tui::widgets::scroll::{self, Scroll, rows_beside_sign};
use crate::tui::widgets::vessel::Size;
use crate::tui::widgets::{frame, vessel};
use crate::tui::words;

/// Entries read for the history.
const ENTRIES: usize = 200;

/// A vessel or run, opened.
pub struct Detail {
    key: Key,
    /// Newest first.
    entries: Vec<Told>,
    top: usize,
    scroll: Scroll,
}

impl Detail {
    /// Of that vessel or run. What it reads is asked for with [`Detail::reads`].
    pub fn about(key: Key) -> Detail {
        Detail {
            key,
            entries: Vec::new(),
            top: 0,
            scroll: Scroll::default(),
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
        facts.reason_for(self.key).cloned()
    }

    /// Where nothing is to be done, there is nothing to explain but the window of bottles.
    fn called(&self, id: Id, facts: &Facts) -> Option<String> {
        let run = facts.cellar.thing(self.key);
        let has_window = || run.is_some_and(|it| !window_because(it, &facts.cellar).is_empty());
        match facts.reason_for(self.key) {
            Some(it) => glance::called(it, id),
            None if id == Id::Why && has_window() => None,
            None => matches!(id, Id::Open | Id::Why).then(String::new),
        }
    }

    fn update(&mut self, input: &Input<'_>, facts: &Facts) -> Vec<Ask> {
        match input {
            Input::Command(Id::Back) => return vec![Ask::Close],
            Input::Command(Id::Open) => {
                return vec![match self.reason(facts) {
                    Some(reason) => words::deal_with(&reason),
                    None => Ask::Say(Notice::note("Nothing here needs you.")),
                }];
            }
            Input::Command(Id::Charts) => {
                return Charts::lay(self.key, facts);
            }
            Input::Command(Id::Up) => self.top = self.scroll.top().saturating_sub(1),
            Input::Command(Id::Down) => self.top = self.scroll.top() + 1,
            Input::Command(Id::PageUp) => self.top = self.scroll.top().saturating_sub(10),
            Input::Command(Id::PageDown) => self.top = self.scroll.top() + 10,
            Input::Command(Id::First) => self.top = 0,
            Input::Command(Id::Last) => self.top = usize::MAX,
            Input::Reply(Reply::Book { about, entries, .. }) if *about == Some(self.key) => {
                self.entries.clone_from(entries);
            }
            Input::Reply(Reply::Stale) => return vec![Ask::Do(Detail::reads(self.key))],
            _ => {}
        }
        Vec::new()
    }

    fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        let Some(thing) = facts.cellar.thing(self.key) else {
            frame::boxed("No longer there", (60, 5), theme, area, buf);
            return None;
        };
        let glance = glance::glance(thing, facts);
        let title = match glance.wine {
            Some(_) if thing.sort == Sort::Vessel => format!("{}, {}", thing.name(), glance.holds),
            _ => thing.name().to_owned(),
        };
        let inner = frame::boxed(&title, (104, area.height), theme, area, buf);
        let cells = usize::from(inner.width);
        let lines = lines::all(&glance, &self.entries, facts, theme, cells);
        let height = rows_beside_sign(usize::from(inner.height), lines.len());
        let top = self.top.min(lines.len().saturating_sub(height));
        let top = self.scroll.follow(top, top + height, height, lines.len());
        scroll::draw(lines, top, theme, inner, buf);
        if top == 0 && thing.sort == Sort::Vessel {
            let picture = glance.picture(theme.wine(glance.kind));
            vessel::draw(&picture, Size::Small, theme, inner, buf);
        }
        None
    }
}
