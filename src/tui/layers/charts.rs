//! The charts of a vessel, run or supply, one at a time, each with what it says in sentences.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use crate::cellar::course::Course;
use crate::cellar::courses::courses;
use crate::cellar::tasting::Tasted;
use crate::cellar::thing::{Key, Sort, Thing};
use crate::tui::commands::{Id, Place};
use crate::tui::message::{Ask, Effect, Facts, Input, Reply};
use crate::tui::screens::Pane;
use crate::tui::theme::Theme;
use crate::tui::widgets::scroll::moved;
use crate::tui::widgets::{chart, frame, text};

/// The charts of one vessel, run or supply.
pub struct Charts {
    key: Key,
    /// Worked out once and when the cellar changed: what a test more would narrow takes longer than a frame may.
    courses: Vec<Course>,
    /// What was tasted, the newest first, once it was read.
    tastings: Vec<Tasted>,
    shown: usize,
}

impl Charts {
    /// Lays the charts of that vessel, run or supply on top, and reads what was tasted for them.
    pub fn lay(key: Key, facts: &Facts) -> Vec<Ask> {
        let mut charts = Charts {
            key,
            courses: Vec::new(),
            tastings: Vec::new(),
            shown: 0,
        };
        charts.work_out(facts);
        vec![Ask::Lay(Box::new(charts)), Ask::Do(Effect::ReadTastings)]
    }

    fn work_out(&mut self, facts: &Facts) {
        self.courses = courses(self.key, &facts.cellar, &facts.policy, &self.tastings);
    }
}

impl Pane for Charts {
    fn place(&self) -> Place {
        Place::Charts
    }

    fn about(&self, _facts: &Facts) -> Option<Key> {
        Some(self.key)
    }

    fn called(&self, id: Id, _facts: &Facts) -> Option<String> {
        let other = matches!(id, Id::Left | Id::Right);
        (other && self.courses.len() < 2).then(String::new)
    }

    fn update(&mut self, input: &Input<'_>, facts: &Facts) -> Vec<Ask> {
        let step = match input {
            Input::Command(Id::Back) => return vec![Ask::Close],
            Input::Command(Id::Left | Id::Up | Id::PageUp) => -1,
            Input::Command(Id::Right | Id::Down | Id::PageDown) => 1,
            Input::Command(Id::First) => -(self.shown as isize),
            Input::Command(Id::Last) => isize::MAX / 2,
            Input::Reply(Reply::Tastings(all)) => {
                self.tastings.clone_from(all);
                self.work_out(facts);
                0
            }
            Input::Reply(Reply::Stale) => {
                self.work_out(facts);
                return vec![Ask::Do(Effect::ReadTastings)];
            }
            _ => return Vec::new(),
        };
        self.shown = moved(self.shown, step, self.courses.len());
        Vec::new()
    }

    fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        let courses = &self.courses;
        let name = facts.cellar.name(self.key);
        let title = match courses.len() {
            0 | 1 => name.to_owned(),
            many => format!("{name}, chart {} of {many}", self.shown + 1),
        };
        let inner = frame::boxed(&title, (area.width, area.height), theme, area, buf);
        let cells = usize::from(inner.width);
        let now = facts.cellar.now;
        let Some(course) = courses.get(self.shown) else {
            let is_supply = |it: &Thing| it.sort == Sort::Supply;
            let nothing = if facts.cellar.thing(self.key).is_some_and(is_supply) {
                "Nothing was taken of it yet, or the book does not know how much is left: how it goes is drawn here once it does."
            } else {
                "Nothing was measured here yet. Measure free SO2 or gravity, and how it goes is drawn here."
            };
            for (at, line) in text::wrap(nothing, cells).into_iter().enumerate() {
                text::put(buf, inner, at, line);
            }
            return None;
        };
        // Where not all can be said below the drawing, what it leads to is.
        let mut said = Vec::new();
        let mut plot = inner;
        for sentence in course.said(now).iter().rev() {
            let lines = text::wrap(sentence, cells);
            let below = said.len() + lines.len() + 1;
            let rows = inner.height.saturating_sub(below as u16);
            if !chart::fits(Rect {
                height: rows,
                ..inner
            }) {
                break;
            }
            plot.height = rows;
            said.splice(0..0, lines);
        }
        chart::draw(course, now, theme, plot, buf);
        for (at, line) in said.into_iter().enumerate() {
            let row = usize::from(plot.height) + 1 + at;
            text::put(
                buf,
                inner,
                row,
                Line::from(Span::styled(line, theme.text())),
            );
        }
        None
    }
}
