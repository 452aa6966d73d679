//! What a bottling will take, before anything of it is begun: what is short first.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use leesline_calc::hazards::{SOUR_SULFITE, SULFITE_FUMES};

use crate::cellar::bottling::{Plan, Read, Wish, head, said};
use crate::cellar::thing::{Key, field};
use crate::tui::commands::{Id, Place};
use crate::tui::message::{Ask, Effect, Facts, Input, Notice, Reply};
use crate::tui::screens::Pane;
use crate::tui::theme::Theme;
use crate::tui::widgets::scroll::Paged;
use crate::tui::widgets::{frame, text};

/// Columns of a heading.
const HEADING: usize = 11;

/// Lines of a screenful.
const PAGE: usize = 10;

/// The plan of one vessel.
pub struct Planned {
    vessel: Key,
    wish: Wish,
    paged: Paged,
}

impl Planned {
    /// Lays the plan of a vessel on top, and reads how quickly was bottled so far. Of a bottling under way it is the
    /// plan for the rest.
    pub fn lay(vessel: Option<Key>, wish: Wish, facts: &Facts) -> Vec<Ask> {
        let run = facts.cellar.filling.and_then(|it| facts.cellar.thing(it));
        let emptied = run.and_then(|it| it.int(field::VESSEL)).map(Key);
        let under_way = run.filter(|it| vessel == emptied || vessel == Some(it.key));
        let (vessel, wish) = match under_way {
            Some(run) => (emptied, Wish::of(run)),
            None => (vessel, wish),
        };
        let thing = vessel.and_then(|it| facts.cellar.thing(it));
        let plan = thing.and_then(|it| Plan::of(it, &wish, &facts.cellar));
        let Some(plan) = plan else {
            let say = "There is no wine in this to bottle; mark a vessel that holds some.";
            return vec![Ask::Say(Notice::note(say))];
        };
        let planned = Planned {
            vessel: plan.vessel.key,
            wish,
            paged: Paged::default(),
        };
        vec![Ask::Lay(Box::new(planned)), Ask::Do(Effect::ReadPace)]
    }
}

/// What is short first, then all that it takes, with its cautions.
fn lines(plan: &Plan<'_>, theme: Theme, cells: usize) -> Vec<Line<'static>> {
    let mut lines = vec![Line::from(Span::styled(head(plan), theme.strong()))];
    lines.push(Line::default());
    let short = plan.short.iter();
    for it in short {
        let words = format!("! short of {}.", it.words());
        let words = text::wrap(&words, cells).into_iter();
        lines.extend(words.map(|it| Line::from(Span::styled(it, theme.warn()))));
    }
    for (heading, words) in said(plan, Read::Shown) {
        let words = text::wrap(&words, cells.saturating_sub(HEADING));
        for (at, line) in words.into_iter().enumerate() {
            let lead = if at == 0 { heading } else { "" };
            lines.push(Line::from(vec![
                Span::styled(text::fit(lead, HEADING), theme.dim()),
                Span::raw(line),
            ]));
        }
    }
    lines.push(Line::default());
    for hazard in [plan.package.hazard(), SOUR_SULFITE, SULFITE_FUMES] {
        let words = text::wrap(&format!("! {}", hazard.short), cells).into_iter();
        lines.extend(words.map(|it| Line::from(Span::styled(it, theme.warn()))));
    }
    lines
}

impl Pane for Planned {
    fn place(&self) -> Place {
        Place::Plan
    }

    fn about(&self, _facts: &Facts) -> Option<Key> {
        Some(self.vessel)
    }

    fn update(&mut self, input: &Input<'_>, _facts: &Facts) -> Vec<Ask> {
        match input {
            Input::Command(Id::Back) => return vec![Ask::Close],
            Input::Command(id @ (Id::Up | Id::Down)) => self.paged.line(*id == Id::Down),
            Input::Command(id @ (Id::PageUp | Id::PageDown)) => {
                for _ in 0..PAGE {
                    self.paged.line(*id == Id::PageDown);
                }
            }
            Input::Command(Id::First) => self.paged = Paged::default(),
            Input::Reply(Reply::Pace(pace_ms)) => self.wish.pace_ms = *pace_ms,
            _ => {}
        }
        Vec::new()
    }

    fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        let vessel = facts.cellar.thing(self.vessel);
        let plan = vessel.and_then(|it| Plan::of(it, &self.wish, &facts.cellar));
        let Some(plan) = plan else {
            frame::boxed("Nothing to bottle any more", (60, 5), theme, area, buf);
            return None;
        };
        let title = format!("Plan of bottling {}", plan.vessel.name());
        let inner = frame::boxed(&title, (104, area.height), theme, area, buf);
        let lines = lines(&plan, theme, usize::from(inner.width));
        self.paged.draw(lines, theme, inner, buf);
        None
    }
}
