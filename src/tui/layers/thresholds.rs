//! The thresholds of the rules, each with its why and source: all, or those behind one reason.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};

use crate::cellar::attention::{ReasonKind, Threshold};
use crate::tui::commands::{Id, Place};
use crate::tui::layers::listed::{self, Item};
use crate::tui::message::{Ask, Call, Facts, Input};
use crate::tui::screens::Pane;
use crate::tui::theme::Theme;
use crate::tui::widgets::scroll::{Scroll, moved};

/// The thresholds, one marked.
pub struct Thresholds {
    kind: Option<ReasonKind>,
    marked: usize,
    scroll: Scroll,
}

impl Thresholds {
    /// Those that decide about reasons of that kind, or all.
    pub fn of(kind: Option<ReasonKind>) -> Thresholds {
        Thresholds {
            kind,
            marked: 0,
            scroll: Scroll::default(),
        }
    }

    fn list(&self, facts: &Facts) -> Vec<Threshold> {
        match self.kind {
            Some(kind) => kind.thresholds(&facts.policy),
            None => facts.policy.thresholds(),
        }
    }

    /// The settings with the marked one begun, where it is a person's to set.
    fn set(&self, facts: &Facts) -> Ask {
        let all = self.list(facts);
        match all.get(self.marked) {
            Some(it) if it.range.is_some() => Ask::Verb(Call {
                name: "settings".to_owned(),
                values: vec![(
                    "threshold".to_owned(),
                    format!("{}={}", it.label(), it.value),
                )],
                needs: vec!["threshold".to_owned()],
                ..Call::default()
            }),
            _ => Ask::Say(crate::tui::message::Notice::note(
                "It guards the wine or its maker, and stays as it is.",
            )),
        }
    }
}

impl Pane for Thresholds {
    fn place(&self) -> Place {
        Place::Thresholds
    }

    fn update(&mut self, input: &Input<'_>, facts: &Facts) -> Vec<Ask> {
        let total = self.list(facts).len();
        match input {
            Input::Command(Id::Back) => return vec![Ask::Close],
            Input::Command(Id::Open) => return vec![self.set(facts)],
            Input::Command(Id::Up) => self.marked = moved(self.marked, -1, total),
            Input::Command(Id::Down) => self.marked = moved(self.marked, 1, total),
            Input::Command(Id::PageUp) => self.marked = moved(self.marked, -5, total),
            Input::Command(Id::PageDown) => self.marked = moved(self.marked, 5, total),
            Input::Command(Id::First) => self.marked = 0,
            Input::Command(Id::Last) => self.marked = total.saturating_sub(1),
            Input::Reply(_) => self.marked = moved(self.marked, 0, total),
            _ => {}
        }
        Vec::new()
    }

    fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        let title = match self.kind {
            Some(kind) => format!("Thresholds: {}", kind.label()),
            None => "Thresholds".to_owned(),
        };
        let list = self.list(facts);
        let items = list.iter().map(|it| {
            let range = it.range.map_or(String::new(), |(low, high)| {
                format!("; Enter sets it, {low} to {high}")
            });
            // What it is set to and for what comes first: its short name is for who sets it.
            Item {
                what: format!("{}: {}", it.value_words(), it.why.trim_end_matches('.')),
                why: format!("{}: {}{range}.", it.label(), it.source),
            }
        });
        let none = "No number decides about it: it is as the book says.";
        let at = (self.marked, &self.scroll);
        listed::draw(&title, items, none, at, theme, area, buf);
        None
    }
}
