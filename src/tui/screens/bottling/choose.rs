//! Which vessel: those that have most of the gate behind them come first.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use crate::cellar::attention::{Answer, Holding};
use crate::cellar::thing::Key;
use crate::tui::commands::Id;
use crate::tui::glance;
use crate::tui::message::Facts;
use crate::tui::theme::{MARK, Theme};
use crate::tui::widgets::scroll::{Scroll, moved};
use crate::tui::widgets::text;

/// The vessels that hold wine.
#[derive(Default)]
pub(super) struct Choose {
    choices: Vec<Choice>,
    /// Whether anyone was here yet: a large cellar is not asked for nothing.
    looked: bool,
    at: usize,
    scroll: Scroll,
}

struct Choice {
    vessel: Key,
    /// Questions of the gate answered no, and not known.
    no: usize,
    unknown: usize,
}

pub(super) fn holds_wine(key: Key, facts: &Facts) -> bool {
    facts.vessels.contains(&key) && facts.cellar.wine(key).is_some()
}

impl Choose {
    /// Asks the gate of every vessel again, if it was asked before.
    pub(super) fn look_again(&mut self, facts: &Facts) {
        if self.looked {
            self.look(facts);
        }
    }

    /// Asks the gate of every vessel.
    pub(super) fn look(&mut self, facts: &Facts) {
        self.looked = true;
        let marked = self.marked();
        let choices = facts.vessels.iter().filter_map(|vessel| {
            let gate = Holding::of(&facts.cellar, *vessel, &facts.policy)?.gate();
            let answered = |answer| gate.iter().filter(|it| it.answer == answer).count();
            Some(Choice {
                vessel: *vessel,
                no: answered(Answer::No),
                unknown: answered(Answer::NotKnown),
            })
        });
        self.choices = choices.collect();
        self.choices.sort_by_key(|it| (it.no, it.unknown));
        let again = self.choices.iter().position(|it| Some(it.vessel) == marked);
        self.at = again.unwrap_or(0);
    }

    pub(super) fn marked(&self) -> Option<Key> {
        self.choices.get(self.at).map(|it| it.vessel)
    }

    /// Moves the mark, or takes the vessel.
    pub(super) fn command(&mut self, id: Id) -> Option<Key> {
        let total = self.choices.len();
        self.at = match id {
            Id::Open => return self.marked(),
            Id::Up => moved(self.at, -1, total),
            Id::Down => moved(self.at, 1, total),
            Id::PageUp => moved(self.at, -10, total),
            Id::PageDown => moved(self.at, 10, total),
            Id::First => 0,
            Id::Last => moved(total, 0, total),
            _ => self.at,
        };
        None
    }

    pub(super) fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) {
        let cells = usize::from(area.width);
        let ask = " From which vessel?";
        text::put(buf, area, 0, Line::from(text::cut(ask, cells)));
        let list = Rect {
            y: area.y + 2.min(area.height),
            height: area.height.saturating_sub(2),
            ..area
        };
        if self.choices.is_empty() {
            let none = "   No vessel holds wine.";
            text::put(buf, list, 0, Line::from(Span::styled(none, theme.dim())));
        }
        let height = usize::from(list.height);
        let top = self
            .scroll
            .follow(self.at, self.at + 1, height, self.choices.len());
        let shown = self.choices.iter().enumerate().skip(top).take(height);
        for (place, choice) in shown {
            let line = choice.row(facts, place == self.at, theme, cells);
            text::put(buf, list, place - top, line);
        }
    }
}

impl Choice {
    fn row(&self, facts: &Facts, marked: bool, theme: Theme, cells: usize) -> Line<'static> {
        let Some(thing) = facts.cellar.thing(self.vessel) else {
            return Line::default();
        };
        let glance = glance::glance(thing, facts);
        let style = if marked {
            theme.selected()
        } else {
            theme.strong()
        };
        let wide = cells >= 76;
        let (holds, not_known) = if wide { (20, "not known") } else { (14, "?") };
        let (sign, sign_style, gate) = match (self.no, self.unknown) {
            (0, 0) if wide => ("√", theme.good(), "all questions: yes".to_owned()),
            (0, 0) => ("√", theme.good(), "all yes".to_owned()),
            (0, unknown) => ("?", theme.dim(), format!("{unknown} {not_known}")),
            (no, 0) => ("!", theme.warn(), format!("{no} no")),
            (no, unknown) => ("!", theme.warn(), format!("{no} no, {unknown} {not_known}")),
        };
        Line::from(vec![
            Span::raw(if marked { MARK } else { " " }),
            Span::styled(format!("{sign} "), sign_style),
            Span::styled(text::fit(thing.name(), 14), style),
            Span::raw(" "),
            Span::raw(text::fit(&glance.holds, holds)),
            Span::raw(" "),
            Span::raw(text::fit(&glance.volume(), 16)),
            Span::raw(" "),
            Span::styled(
                text::cut(&gate, cells.saturating_sub(3 + 14 + 3 + holds + 16)),
                theme.dim(),
            ),
        ])
    }
}
