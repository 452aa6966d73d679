//! The board: what needs you, most pressing first, then every vessel.
//!
//! One mark moves through both, so that the letter keys are always about what is marked.

mod begin;
mod cards;
mod foot;
mod needs;
mod rows;

use std::cell::Cell;

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};

use super::Pane;
use crate::cellar::attention::Reason;
use crate::cellar::thing::{CELLAR, Key};
use crate::tui::commands::{Id, Place};
use crate::tui::glance;
use crate::tui::layers::detail::Detail;
use crate::tui::message::{Ask, Call, Facts, Input, Notice};
use crate::tui::theme::Theme;
use crate::tui::widgets::scroll::{Scroll, moved};
use crate::tui::words;

/// The board.
#[derive(Default)]
pub(super) struct Board {
    /// Place of the mark: the reasons shown come first, then the vessels.
    at: usize,
    /// Vessels beside each other, as last drawn.
    columns: Cell<usize>,
    scroll: Scroll,
}

/// What the mark is on.
enum Marked<'a> {
    Reason(&'a Reason),
    Vessel(Key),
}

impl Board {
    fn marked<'a>(&self, facts: &'a Facts) -> Option<Marked<'a>> {
        if let Some(glimpse) = facts.shown.get(self.at) {
            return Some(Marked::Reason(&facts.reasons[glimpse.at]));
        }
        let vessel = facts.vessels.get(self.at - facts.shown.len())?;
        Some(Marked::Vessel(*vessel))
    }

    /// All of the marked vessel, or of what the marked line is about.
    fn details(&self, facts: &Facts) -> Vec<Ask> {
        match self.about(facts).filter(|it| *it != CELLAR) {
            Some(key) => vec![
                Ask::Lay(Box::new(Detail::about(key))),
                Ask::Do(Detail::reads(key)),
            ],
            None => vec![Ask::Say(Notice::note(
                "That is about the cellar as a whole; w says why.",
            ))],
        }
    }

    /// Up and down: through the reasons one by one, through the vessels a row of pictures at a time.
    fn step(&mut self, down: bool, facts: &Facts) {
        let reasons = facts.shown.len();
        let vessels = facts.vessels.len();
        let columns = self.columns.get().max(1);
        self.at = match (down, self.at.checked_sub(reasons)) {
            (true, None) => moved(self.at, 1, reasons + vessels),
            (false, None) => moved(self.at, -1, reasons),
            // The last row may be short: its last vessel is as near as any.
            (true, Some(vessel)) if vessel / columns < vessels.saturating_sub(1) / columns => {
                reasons + moved(vessel, columns as isize, vessels)
            }
            (true, Some(_)) => self.at,
            (false, Some(vessel)) if vessel >= columns => self.at - columns,
            (false, Some(_)) => reasons.saturating_sub(1),
        };
    }
}

impl Pane for Board {
    fn place(&self) -> Place {
        Place::Board
    }

    fn about(&self, facts: &Facts) -> Option<Key> {
        match self.marked(facts)? {
            Marked::Reason(reason) => Some(reason.subject),
            Marked::Vessel(key) => Some(key),
        }
    }

    fn reason(&self, facts: &Facts) -> Option<Reason> {
        match self.marked(facts)? {
            Marked::Reason(reason) => Some(reason.clone()),
            Marked::Vessel(key) => facts.reason_for(key).cloned(),
        }
    }

    fn called(&self, id: Id, facts: &Facts) -> Option<String> {
        match self.marked(facts) {
            Some(Marked::Reason(reason)) => glance::called(reason, id),
            // Enter does the same there.
            Some(Marked::Vessel(_)) => (id == Id::Details).then(String::new),
            // Nothing is there yet to do something with.
            None => {
                let is_about_all = matches!(id, Id::Undo | Id::Help | Id::Palette);
                (!is_about_all).then(String::new)
            }
        }
    }

    fn hint(&self, facts: &Facts, cells: usize) -> Option<String> {
        match self.marked(facts)? {
            Marked::Reason(reason) => needs::cut_off(reason, facts.cellar.now, cells),
            Marked::Vessel(key) => facts.reason_for(key).map(|it| it.sentence.clone()),
        }
    }

    fn update(&mut self, input: &Input<'_>, facts: &Facts) -> Vec<Ask> {
        let total = facts.shown.len() + facts.vessels.len();
        match input {
            Input::Command(Id::Open) => {
                return match self.marked(facts) {
                    Some(Marked::Reason(reason)) => vec![words::deal_with(reason)],
                    Some(Marked::Vessel(_)) => self.details(facts),
                    None => vec![Ask::Verb(Call {
                        name: "here".to_owned(),
                        ..Call::default()
                    })],
                };
            }
            Input::Command(Id::Details) => return self.details(facts),
            Input::Command(Id::Up) => self.step(false, facts),
            Input::Command(Id::Down) => self.step(true, facts),
            Input::Command(Id::Left) => self.at = moved(self.at, -1, total),
            Input::Command(Id::Right) => self.at = moved(self.at, 1, total),
            Input::Command(Id::PageUp | Id::First) => self.at = 0,
            Input::Command(Id::PageDown | Id::Last) => self.at = moved(total, 0, total),
            Input::Reply(_) => self.at = moved(self.at, 0, total),
            _ => {}
        }
        Vec::new()
    }

    fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        if facts.vessels.is_empty() && facts.reasons.is_empty() && facts.runs.is_empty() {
            begin::draw(theme, area, buf);
            return None;
        }
        let reasons = &facts.shown;
        let needs = needs::height(reasons.len()).min(area.height);
        needs::draw(
            facts,
            self.at,
            theme,
            Rect {
                height: needs,
                ..area
            },
            buf,
        );
        let rest = Rect {
            y: area.y + needs,
            height: area.height - needs,
            ..area
        };
        let feet = foot::lines(facts, theme, usize::from(area.width), rest.height);
        let feet_height = (feet.len() as u16).min(rest.height);
        let middle = Rect {
            height: rest.height - feet_height,
            ..rest
        };
        let marked = self.at.checked_sub(reasons.len());
        if area.width >= 100 && middle.height >= cards::HEIGHT {
            let marks = cards::Marks {
                vessel: marked,
                subject: reasons.get(self.at).map(|it| facts.reasons[it.at].subject),
            };
            cards::draw(
                facts,
                &marks,
                &self.columns,
                &self.scroll,
                theme,
                middle,
                buf,
            );
        } else {
            self.columns.set(1);
            let unseen = rows::draw(facts, marked, &self.scroll, theme, middle, buf);
            let rule = Rect {
                y: rest.y.saturating_sub(1),
                height: 1,
                ..rest
            };
            rows::draw_unseen(unseen, theme, rule, buf);
        }
        foot::draw(
            feet,
            Rect {
                y: middle.bottom(),
                height: feet_height,
                ..rest
            },
            buf,
        );
        None
    }
}
