//! Why something needs someone: each reason with its working.

use std::cell::Cell;

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use crate::cellar::ahead;
use crate::cellar::attention::{Look, Reason, ReasonKind};
use crate::cellar::run::window_because;
use crate::cellar::snapshot::PutOff;
use crate::cellar::thing::Key;
use crate::tui::commands::{Id, Place};
use crate::tui::glance;
use crate::tui::message::{Ask, Facts, Input};
use crate::tui::screens::Pane;
use crate::tui::theme::Theme;
use crate::tui::widgets::scroll::{self, Scroll, moved, rows_beside_sign};
use crate::tui::widgets::{frame, text};
use crate::tui::words;

/// Lines that a page goes on.
const PAGE: usize = 8;

/// The reasons of one vessel, run or batch.
pub struct Why {
    subject: Key,
    /// What does not need anyone yet, as the calendar looks ahead.
    ahead: Option<Reason>,
    /// What of it is put off.
    put_off: Vec<PutOff>,
    marked: usize,
    /// Lines of the marked one that are scrolled by, where it is longer than the pane.
    deep: usize,
    /// How many of its lines are below the pane, as last drawn.
    below: Cell<usize>,
    scroll: Scroll,
}

impl Why {
    /// About that thing, the asked-for reason of it marked.
    pub fn about(subject: Key, asked: Option<&Reason>, facts: &Facts) -> Why {
        let at = asked.and_then(|asked| facts.reasons_for(subject).position(|it| it == asked));
        let ahead = asked.filter(|_| at.is_none());
        Why {
            subject,
            ahead: ahead.cloned(),
            put_off: put_off(subject, facts),
            marked: at.unwrap_or(0),
            deep: 0,
            below: Cell::new(0),
            scroll: Scroll::default(),
        }
    }

    /// Whether there is nothing to show: it needs nobody, nothing of it is put off, and no window of it is to be explained.
    pub fn is_empty(&self, facts: &Facts) -> bool {
        self.shown(facts).next().is_none()
            && self.put_off.is_empty()
            && self.window(facts).is_empty()
    }

    /// How the window of its bottles came about; where a reason is about that, it says so itself.
    fn window(&self, facts: &Facts) -> Vec<String> {
        let of_window =
            |it: &Reason| matches!(it.kind, ReasonKind::WindowOpens | ReasonKind::DrinkUp);
        let run = facts.cellar.thing(self.subject);
        run.filter(|_| !self.shown(facts).any(of_window))
            .map_or_else(Vec::new, |it| window_because(it, &facts.cellar))
    }

    fn mark(&mut self, at: usize) {
        if at != self.marked {
            self.deep = 0;
        }
        self.marked = at;
    }

    /// All that is shown: what is ahead first, then what needs someone now.
    fn shown<'a>(&'a self, facts: &'a Facts) -> impl Iterator<Item = &'a Reason> {
        self.ahead.iter().chain(facts.reasons_for(self.subject))
    }
}

/// What of that thing is held back.
fn put_off(subject: Key, facts: &Facts) -> Vec<PutOff> {
    let held = ahead::held_back(&facts.cellar, &facts.policy).into_iter();
    held.filter(|it| it.silence.subject == subject)
        .cloned()
        .collect()
}

impl Pane for Why {
    fn place(&self) -> Place {
        Place::Why
    }

    fn about(&self, _facts: &Facts) -> Option<Key> {
        Some(self.subject)
    }

    fn reason(&self, facts: &Facts) -> Option<Reason> {
        self.shown(facts).nth(self.marked).cloned()
    }

    fn called(&self, id: Id, facts: &Facts) -> Option<String> {
        glance::called(&self.reason(facts)?, id)
    }

    fn update(&mut self, input: &Input<'_>, facts: &Facts) -> Vec<Ask> {
        let total = self.shown(facts).count();
        match input {
            Input::Command(Id::Back) => return vec![Ask::Close],
            Input::Command(Id::Open) => {
                return match self.reason(facts) {
                    Some(reason) => vec![Ask::Close, words::deal_with(&reason)],
                    None => vec![Ask::Close],
                };
            }
            // A working that is longer than the pane is read to its end before the next is marked.
            Input::Command(Id::Up) if self.deep > 0 => self.deep -= 1,
            Input::Command(Id::Down) if self.below.get() > 0 => self.deep += 1,
            Input::Command(Id::PageDown) if self.below.get() > 0 => {
                self.deep += self.below.get().min(PAGE);
            }
            Input::Command(Id::Up) => self.mark(moved(self.marked, -1, total)),
            Input::Command(Id::Down) => self.mark(moved(self.marked, 1, total)),
            Input::Command(Id::First | Id::PageUp) => self.mark(0),
            Input::Command(Id::Last | Id::PageDown) => self.mark(moved(total, 0, total)),
            Input::Reply(_) => {
                self.put_off = put_off(self.subject, facts);
                self.mark(moved(self.marked, 0, total));
            }
            _ => {}
        }
        Vec::new()
    }

    fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        let title = format!("Why {}", facts.cellar.name(self.subject));
        let inner = frame::boxed(&title, (92, area.height.min(24)), theme, area, buf);
        let cells = usize::from(inner.width);
        let mut lines: Vec<Line<'_>> = Vec::new();
        let mut shown = (0, 1);
        let look = Look::at(&facts.cellar, &facts.policy);
        let far = ahead::far_sighted(&facts.policy);
        let far = Look::at(&facts.cellar, &far);
        for (at, reason) in self.shown(facts).enumerate() {
            let from = lines.len();
            let is_ahead = self.ahead.is_some() && at == 0;
            let working = if is_ahead { &far } else { &look }.working(reason);
            lines.extend(words::reason_lines(
                reason,
                &working,
                facts,
                theme,
                cells,
                at == self.marked,
            ));
            if at == self.marked {
                shown = (from, lines.len());
            }
            lines.push(Line::default());
        }
        for it in &self.put_off {
            let until = it.until(facts.cellar.now);
            let said = format!("  {}: {until} (Z lists what is put off)", it.what());
            lines.push(Line::from(Span::styled(said, theme.dim())));
        }
        let window = self.window(facts);
        if !window.is_empty() {
            lines.push(Line::from(Span::styled("When to drink it", theme.strong())));
        }
        for it in window {
            let parts = text::wrap(&it, cells.saturating_sub(4)).into_iter();
            lines.extend(parts.map(|it| Line::from(format!("    {it}"))));
        }
        // What stands below the last reason is read to its end with it.
        if self.marked + 1 >= self.shown(facts).count() {
            shown.1 = lines.len().max(1);
        }
        if lines.is_empty() {
            lines.push(Line::from(Span::styled(
                "Nothing here needs you.",
                theme.dim(),
            )));
        }
        let height = rows_beside_sign(usize::from(inner.height), lines.len());
        let from = shown.0 + self.deep;
        let top = self.scroll.follow(from, shown.1, height, lines.len());
        self.below.set(shown.1.saturating_sub(top + height));
        scroll::draw(lines, top, theme, inner, buf);
        None
    }
}
