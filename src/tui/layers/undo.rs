//! What undoing would change, before it is done.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::style::Style;
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
                    let entry = preview.told.entry.key;
                    return vec![Ask::Do(if preview.is_undo {
                        Effect::Undo(entry)
                    } else {
                        Effect::Void(entry)
                    })];
                }
            }
            Input::Reply(Reply::Preview(preview)) => self.preview = Some(preview.as_ref().clone()),
            Input::Reply(Reply::Voided { again, .. }) if self.asked => {
                let say = match again {
                    None => "Undone; the entry stays in the book, voided.".to_owned(),
                    Some(again) => format!("Undone; entry {} is what it was before.", again.0),
                };
                return vec![Ask::Close, Ask::Say(Notice::done(say))];
            }
            Input::Reply(Reply::Refused(_)) if self.preview.is_none() => return vec![Ask::Close],
            Input::Reply(Reply::Refused(_)) => self.asked = false,
            _ => {}
        }
        Vec::new()
    }

    fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        let preview = self.preview.as_ref();
        frame::boxed_lines("Undo", 84, theme, area, buf, |cells| {
            preview.map_or_else(Vec::new, |it| lines(it, facts, theme, cells))
        });
        None
    }
}

fn lines(preview: &Preview, facts: &Facts, theme: Theme, cells: usize) -> Vec<Line<'static>> {
    let styled = |sentence: &str, style: Style| {
        let parts = text::wrap(sentence, cells).into_iter();
        parts.map(move |it| Line::from(Span::styled(it, style)))
    };
    let when = words::when(preview.told.entry.draft.when, facts);
    let mut lines: Vec<Line<'static>> = styled(&when, theme.dim()).collect();
    lines.extend(styled(&words::entry(&preview.told, facts), theme.strong()));
    lines.push(Line::default());
    for change in &preview.changes {
        lines.extend(styled(change, theme.text()));
    }
    lines.push(Line::default());
    if let Some(sentence) = &preview.refused {
        lines.extend(styled(sentence, theme.warn()));
        return lines;
    }
    let key = |key: &'static str, does: &'static str| {
        Line::from(vec![Span::styled(key, theme.key()), Span::raw(does)])
    };
    let is_void = preview.told.entry.draft.voids.is_some();
    lines.push(key(
        "Enter",
        if is_void && preview.is_undo {
            " undoes it: what it voided is written again."
        } else {
            " undoes it; it stays in the book, voided."
        },
    ));
    lines.push(key("Esc", " leaves it."));
    lines
}
