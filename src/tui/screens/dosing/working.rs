//! How an answer came about: every step, what it was told and what it took, the other constant,
//! sources, cautions.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use leesline_calc::Answer;
use leesline_calc::answer::{FieldValue, Standing};

use super::sheet::{Row, Sheet};
use crate::tui::commands::{Id, Place};
use crate::tui::message::{Ask, Facts, Input};
use crate::tui::screens::Pane;
use crate::tui::theme::Theme;
use crate::tui::widgets::{frame, text};

/// The working of an answer, as text.
pub(super) struct Working {
    title: String,
    parts: Vec<Part>,
    top: std::cell::Cell<usize>,
}

struct Part {
    heading: &'static str,
    lines: Vec<String>,
}

impl Working {
    pub(super) fn of(sheet: &Sheet, answer: &Answer) -> Working {
        let part = |heading, lines: Vec<String>| Part { heading, lines };
        let mut parts = vec![
            part("How it comes about", steps(answer)),
            part(
                "What it was told",
                sheet.rows.iter().filter_map(told).collect(),
            ),
            part(
                "What it took",
                answer
                    .assumptions
                    .iter()
                    .map(|it| it.sentence.clone())
                    .collect(),
            ),
            part("By the other constant", other(answer)),
            part(
                "Mind",
                answer
                    .cautions
                    .iter()
                    .map(|it| format!("{} ({})", it.sentence, it.source))
                    .collect(),
            ),
            part(
                "Sources",
                answer
                    .sources
                    .iter()
                    .map(|it| format!("{} ({})", it.sentence, standing(it.standing)))
                    .collect(),
            ),
        ];
        parts.retain(|it| !it.lines.is_empty());
        Working {
            title: format!("Working of {}", sheet.calculator.name),
            parts,
            top: std::cell::Cell::new(0),
        }
    }
}

/// The steps, one a line.
pub(super) fn steps(answer: &Answer) -> Vec<String> {
    let steps = answer.working.iter();
    steps
        .map(|it| format!("{:<12} {}", it.step, it.sentence))
        .collect()
}

fn told(row: &Row) -> Option<String> {
    let text = row.text.text().trim();
    let words = if row.is_typed {
        "typed"
    } else {
        &row.known.words
    };
    let sign = if row.is_typed {
        ""
    } else {
        row.known.sign.mark()
    };
    (!text.is_empty()).then(|| {
        let value = format!("{text} {}", row.unit());
        format!("{:<18}{:<14} {sign} {words}", row.label, value.trim_end())
    })
}

fn other(answer: &Answer) -> Vec<String> {
    let Some(fields) = &answer.other_constant else {
        return Vec::new();
    };
    let lines = fields.iter().map(|(key, value)| match value {
        FieldValue::Number(number) => format!("{key} {number:.2}"),
        FieldValue::Count(count) => format!("{key} {count}"),
        FieldValue::Text(text) if key == "sentence" => text.clone(),
        FieldValue::Text(text) => format!("{key} {text}"),
        FieldValue::Missing => format!("{key} has no figure here"),
    });
    lines.collect()
}

const fn standing(standing: Standing) -> &'static str {
    match standing {
        Standing::Opened => "opened",
        Standing::Derived => "derived",
        Standing::CommonPractice => "common practice",
        Standing::FromMemory => "from memory",
    }
}

impl Pane for Working {
    fn place(&self) -> Place {
        Place::Working
    }

    fn update(&mut self, input: &Input<'_>, _facts: &Facts) -> Vec<Ask> {
        let top = self.top.get();
        let top = match input {
            Input::Command(Id::Back) => return vec![Ask::Close],
            Input::Command(Id::Up) => top.saturating_sub(1),
            Input::Command(Id::Down) => top + 1,
            Input::Command(Id::PageUp) => top.saturating_sub(10),
            Input::Command(Id::PageDown) => top + 10,
            Input::Command(Id::First) => 0,
            Input::Command(Id::Last) => usize::MAX / 2,
            _ => top,
        };
        self.top.set(top);
        Vec::new()
    }

    fn view(&self, _facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        let inner = frame::boxed(&self.title, (112, area.height), theme, area, buf);
        let cells = usize::from(inner.width);
        let mut lines: Vec<Line<'_>> = Vec::new();
        for part in &self.parts {
            lines.push(Line::from(Span::styled(part.heading, theme.strong())));
            for line in &part.lines {
                lines.extend(wrapped(line, cells));
            }
            lines.push(Line::default());
        }
        let height = usize::from(inner.height);
        self.top
            .set(self.top.get().min(lines.len().saturating_sub(height)));
        for (at, line) in lines
            .into_iter()
            .skip(self.top.get())
            .take(height)
            .enumerate()
        {
            text::put(buf, inner, at, line);
        }
        None
    }
}

/// A line that keeps its columns if it fits, else wrapped.
fn wrapped(line: &str, cells: usize) -> Vec<Line<'static>> {
    if text::width(line) + 2 <= cells {
        return vec![Line::from(format!("  {line}"))];
    }
    let parts = text::wrap(line, cells.saturating_sub(4)).into_iter();
    parts
        .enumerate()
        .map(|(at, it)| Line::from(format!("{}{it}", if at == 0 { "  " } else { "    " })))
        .collect()
}
