//! What undoing would change, before it is done.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use crate::tui::commands::{Id, Place};
use crate::tui::message::{Ask, Effect, Facts, Input, Notice, Preview, Reply};
use crate::tui::screens::Pane;
use crate::tui::theme::Theme;
use crate::tui::widgets::{frame, text};
use crate::tui::words;

/// Asks before an entry is voided. Opened together with [`Effect::PreviewVoid`].
#[derive(Default)]
pub struct Undo {
    preview: Option<Preview>,
    asked: bool,
}

impl Pane for Undo {
    fn place(&self) -> Place {
        Place::Undo
    }

    fn update(&mut self, input: &Input<'_>, _facts: &Facts) -> Vec<Ask> {
        match input {
            Input::Command(Id::Back) => return vec![Ask::Close],
            Input::Command(Id::Open) => {
                if let Some(preview) = &self.preview
                    && preview.refused.is_none()
                    && !self.asked
                {
                    self.asked = true;
                    return vec![Ask::Do(Effect::Void(preview.told.entry.key))];
                }
            }
            Input::Reply(Reply::Preview(preview)) => self.preview = Some(preview.as_ref().clone()),
            Input::Reply(Reply::Voided(_)) if self.asked => {
                return vec![
                    Ask::Close,
                    Ask::Say(Notice::done("Undone; the entry stays in the book, voided.")),
                ];
            }
            Input::Reply(Reply::Refused(_)) if self.preview.is_none() => return vec![Ask::Close],
            Input::Reply(Reply::Refused(_)) => self.asked = false,
            _ => {}
        }
        Vec::new()
    }

    fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        let inner = frame::boxed("Undo", (84, area.height.min(18)), theme, area, buf);
        let cells = usize::from(inner.width);
        let mut lines = Vec::new();
        if let Some(preview) = &self.preview {
            lines.push(Line::from(Span::styled(
                text::cut(&words::when(preview.told.entry.draft.when, facts), cells),
                theme.dim(),
            )));
            let what = words::entry(&preview.told, facts);
            let what = text::wrap(&what, cells).into_iter();
            lines.extend(what.map(|it| Line::from(Span::styled(it, theme.strong()))));
            lines.push(Line::default());
            let changes = preview.changes.iter().flat_map(|it| text::wrap(it, cells));
            lines.extend(changes.map(Line::from));
            lines.push(Line::default());
            match &preview.refused {
                Some(sentence) => {
                    let sentence = text::wrap(sentence, cells).into_iter();
                    lines.extend(sentence.map(|it| Line::from(Span::styled(it, theme.warn()))));
                }
                None => lines.push(Line::from(vec![
                    Span::styled("Enter", theme.key()),
                    Span::raw(" undoes it. It stays in the book, voided. "),
                    Span::styled("Esc", theme.key()),
                    Span::raw(" leaves it."),
                ])),
            }
        }
        for (at, line) in lines.into_iter().enumerate() {
            text::put(buf, inner, at, line);
        }
        None
    }
}
