//! What was put off or dismissed, until when and why; each can be taken back.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use crate::cellar::snapshot::PutOff;
use crate::cellar::thing::Key;
use crate::tui::commands::{Id, Place};
use crate::tui::layers::undo::Undo;
use crate::tui::message::{Ask, Effect, Facts, Input};
use crate::tui::screens::Pane;
use crate::tui::theme::{MARK, Theme};
use crate::tui::widgets::scroll::{Scroll, moved};
use crate::tui::widgets::{frame, text};

/// The list, one marked.
#[derive(Default)]
pub struct PutOffs {
    marked: usize,
    scroll: Scroll,
}

impl PutOffs {
    fn marked<'a>(&self, facts: &'a Facts) -> Option<&'a PutOff> {
        facts.cellar.silences.get(self.marked)
    }
}

impl Pane for PutOffs {
    fn place(&self) -> Place {
        Place::PutOff
    }

    fn about(&self, facts: &Facts) -> Option<Key> {
        Some(self.marked(facts)?.silence.subject)
    }

    fn update(&mut self, input: &Input<'_>, facts: &Facts) -> Vec<Ask> {
        let total = facts.cellar.silences.len();
        match input {
            Input::Command(Id::Back) => return vec![Ask::Close],
            Input::Command(Id::Open) => {
                let Some(entry) = self.marked(facts).map(|it| it.entry) else {
                    return vec![Ask::Close];
                };
                return vec![
                    Ask::Lay(Box::new(Undo::default())),
                    Ask::Do(Effect::PreviewVoid(Some(entry))),
                ];
            }
            Input::Command(Id::Up) => self.marked = moved(self.marked, -1, total),
            Input::Command(Id::Down) => self.marked = moved(self.marked, 1, total),
            Input::Command(Id::First | Id::PageUp) => self.marked = 0,
            Input::Command(Id::Last | Id::PageDown) => self.marked = total.saturating_sub(1),
            Input::Reply(_) => self.marked = moved(self.marked, 0, total),
            _ => {}
        }
        Vec::new()
    }

    fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        let inner = frame::boxed("Put off", (92, area.height.min(24)), theme, area, buf);
        let cells = usize::from(inner.width);
        let (cellar, mut shown) = (&facts.cellar, (0, 1));
        let mut lines: Vec<Line<'_>> = Vec::new();
        for (at, it) in cellar.silences.iter().enumerate() {
            let from = lines.len();
            let mark = if at == self.marked { MARK } else { " " };
            let subject = cellar.name(it.silence.subject);
            let what = format!("{subject}: {}, {}", it.what(), it.until(cellar.now));
            lines.push(Line::from(vec![
                Span::raw(format!("{mark} ")),
                Span::styled(text::cut(&what, cells.saturating_sub(2)), theme.strong()),
            ]));
            let said = match it.why.as_str() {
                "" => "No reason was given.".to_owned(),
                why => format!("Because: {why}"),
            };
            let why = format!("{said} (entry {}, {})", it.entry.0, it.said.day_words());
            let parts = text::wrap(&why, cells.saturating_sub(6)).into_iter();
            lines.extend(parts.map(|it| Line::from(format!("     {it}"))));
            if at == self.marked {
                shown = (from, lines.len());
            }
        }
        if lines.is_empty() {
            let none = "Nothing is put off or dismissed.";
            lines.push(Line::from(Span::styled(none, theme.dim())));
        }
        let height = usize::from(inner.height);
        let top = self.scroll.follow(shown.0, shown.1, height, lines.len());
        for (at, line) in lines.into_iter().skip(top).take(height).enumerate() {
            text::put(buf, inner, at, line);
        }
        None
    }
}
