//! A dose shown once before it is written: what goes in, what must be answered, what can hurt.

use leesline_calc::answer::{Caution, CautionKind};
use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use super::entry::Part;
use crate::cellar::verbs::Prepared;
use crate::tui::commands::{Id, Place};
use crate::tui::message::{Ask, Effect, Facts, Input, Notice, Reply};
use crate::tui::screens::Pane;
use crate::tui::theme::Theme;
use crate::tui::widgets::{frame, text};

/// What would be written.
pub(super) struct Confirm {
    prepared: Prepared,
    part: Part,
    /// What stops until it is answered: the hazard, then the question.
    stops: Vec<String>,
    hazards: Vec<String>,
    is_writing: bool,
    refused: Option<String>,
}

impl Confirm {
    pub(super) fn of(
        prepared: Prepared,
        part: Part,
        stop: Option<&Caution>,
        cautions: &[Caution],
    ) -> Confirm {
        let asking = cautions.iter().filter(|it| it.asks.is_some());
        let mut stops: Vec<String> = stop
            .into_iter()
            .chain(asking)
            .map(|it| it.sentence.clone())
            .collect();
        stops.dedup();
        let hazards = cautions
            .iter()
            .filter(|it| it.asks.is_none() && it.kind == CautionKind::Hazard);
        Confirm {
            stops,
            hazards: hazards.map(|it| it.sentence.clone()).collect(),
            prepared,
            part,
            is_writing: false,
            refused: None,
        }
    }

    fn write(&mut self) -> Vec<Ask> {
        if self.is_writing {
            return Vec::new();
        }
        self.is_writing = true;
        self.refused = None;
        vec![Ask::Do(Effect::Write {
            draft: Box::new(self.prepared.draft.clone()),
            said: self.prepared.sentence.clone(),
            amends: None,
        })]
    }

    fn lines(&self, theme: Theme, cells: usize) -> Vec<Line<'static>> {
        let mut lines = Vec::new();
        let mut put = |sign: &'static str, sentence: &str, style| {
            for (at, part) in text::wrap(sentence, cells.saturating_sub(2))
                .into_iter()
                .enumerate()
            {
                let sign = if at == 0 { sign } else { " " };
                lines.push(Line::from(Span::styled(format!("{sign} {part}"), style)));
            }
            lines.push(Line::default());
        };
        put(" ", &self.prepared.sentence, theme.strong());
        if self.part == Part::Half {
            let then =
                "The board will ask for a test of free SO2 in 3 days, and then for the rest.";
            put(" ", then, theme.text());
        }
        for stop in &self.stops {
            put("!", stop, theme.warn());
        }
        for ask in &self.prepared.asks {
            put("?", ask, theme.strong());
        }
        if let Some(refused) = &self.refused {
            put("!", refused, theme.warn());
        }
        let key = if self.prepared.asks.is_empty() {
            "Enter writes it to the book.   Esc goes back."
        } else {
            "y answers yes and writes it to the book.   Esc goes back."
        };
        put(" ", key, theme.key());
        for hazard in &self.hazards {
            put("!", hazard, theme.text());
        }
        lines
    }
}

impl Pane for Confirm {
    fn place(&self) -> Place {
        Place::DoseWrite
    }

    /// Where something is asked, only a yes to it writes.
    fn called(&self, id: Id, _facts: &Facts) -> Option<String> {
        let is_asked = !self.prepared.asks.is_empty();
        let hidden = match id {
            Id::Write => is_asked,
            Id::Yes => !is_asked,
            _ => false,
        };
        hidden.then(String::new)
    }

    fn update(&mut self, input: &Input<'_>, _facts: &Facts) -> Vec<Ask> {
        match input {
            Input::Command(Id::Back) => return vec![Ask::Close],
            Input::Command(Id::Write) if self.prepared.asks.is_empty() => return self.write(),
            Input::Command(Id::Write) => {
                return vec![Ask::Say(Notice::note(
                    "Read the question first: y writes it all the same, Esc goes back.",
                ))];
            }
            Input::Command(Id::Yes) => return self.write(),
            Input::Reply(Reply::Written { .. }) if self.is_writing => return vec![Ask::Close],
            Input::Reply(Reply::Refused(sentence)) if self.is_writing => {
                self.is_writing = false;
                self.refused = Some(sentence.clone());
            }
            _ => {}
        }
        Vec::new()
    }

    fn view(&self, _facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        let cells = usize::from(area.width.min(84)).saturating_sub(4);
        let rows = u16::try_from(self.lines(theme, cells).len() + 2).unwrap_or(u16::MAX);
        let inner = frame::boxed(
            "Write it to the book?",
            (84, rows.max(10)),
            theme,
            area,
            buf,
        );
        for (at, line) in self
            .lines(theme, usize::from(inner.width))
            .into_iter()
            .enumerate()
        {
            text::put(buf, inner, at, line);
        }
        None
    }
}
