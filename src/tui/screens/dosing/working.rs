//! How an answer came about: every step, what it was told and what it took, the other constant,
//! sources, cautions.

use std::cell::Cell;

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
use crate::tui::widgets::scroll::{self, rows_beside_sign};
use crate::tui::widgets::{frame, text};

/// The working of an answer, as text.
pub(super) struct Working {
    title: String,
    parts: Vec<Part>,
    top: Cell<usize>,
}

struct Part {
    heading: &'static str,
    /// Names, which may be empty, and what is said of them.
    lines: Vec<(String, String)>,
}

impl Working {
    pub(super) fn of(sheet: &Sheet, answer: &Answer) -> Working {
        let steps = answer.working.iter();
        let mind = answer.cautions.iter();
        let sources = answer.sources.iter();
        let mut parts = vec![
            Part {
                heading: "How it comes about",
                lines: steps
                    .map(|it| (it.step.to_owned(), it.sentence.clone()))
                    .collect(),
            },
            Part {
                heading: "What it was told",
                lines: sheet.rows.iter().filter_map(told).collect(),
            },
            Part {
                heading: "What it took",
                lines: took(sheet, answer).map(unnamed).collect(),
            },
            Part {
                heading: "By the other constant",
                lines: other(answer),
            },
            Part {
                heading: "Mind",
                lines: mind
                    .map(|it| unnamed(format!("{} ({})", it.sentence, it.source)))
                    .collect(),
            },
            Part {
                heading: "Sources",
                lines: sources
                    .map(|it| unnamed(format!("{} ({})", it.sentence, standing(it.standing))))
                    .collect(),
            },
        ];
        parts.retain(|it| !it.lines.is_empty());
        Working {
            title: format!("Working of {}", answer.calc),
            parts,
            top: Cell::new(0),
        }
    }
}

fn unnamed(sentence: String) -> (String, String) {
    (String::new(), sentence)
}

/// A line of the sheet: what it says, and where that is from.
fn told(row: &Row) -> Option<(String, String)> {
    let text = row.text.text().trim();
    let from = if row.is_typed {
        "  typed".to_owned()
    } else {
        format!("{:<3} {}", row.known.sign.mark(), row.known.words)
    };
    (!text.is_empty()).then(|| {
        let value = format!("{text} {}", row.unit());
        (
            row.label.clone(),
            format!("{:<13} {from}", value.trim_end()),
        )
    })
}

/// What was forecast or assumed, and how far it may be off.
fn took(sheet: &Sheet, answer: &Answer) -> impl Iterator<Item = String> {
    let forecasts = sheet.rows.iter().filter(|it| !it.is_typed);
    let forecasts = forecasts.filter(|it| !it.known.why.is_empty());
    let assumed = answer.assumptions.iter().map(|it| it.sentence.clone());
    forecasts
        .map(|it| format!("{}: {}", it.label, it.known.why))
        .chain(assumed)
}

fn other(answer: &Answer) -> Vec<(String, String)> {
    let Some(fields) = &answer.other_constant else {
        return Vec::new();
    };
    let lines = fields.iter().map(|(key, value)| {
        let name = match key {
            "sentence" => "",
            "constant" => "constant",
            "pk1" => "pK1",
            "target_free_so2_mg_l" => "aim, free mg/L",
            "so2_mg" => "SO2, mg",
            "metabisulfite_g" => "powder, g",
            key => key,
        };
        let said = match value {
            FieldValue::Number(number) => format!("{number:.2}"),
            FieldValue::Count(count) => count.to_string(),
            FieldValue::Text(text) => text.clone(),
            FieldValue::Missing => "no figure here".to_owned(),
        };
        (name.to_owned(), said)
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
            let names = part.lines.iter().map(|(name, _)| text::width(name));
            let column = names.max().filter(|it| *it > 0).map_or(0, |it| it + 2);
            for (name, sentence) in &part.lines {
                let room = cells.saturating_sub(column + 2);
                for (at, piece) in pieces(sentence, room).into_iter().enumerate() {
                    let name = if at == 0 { name.as_str() } else { "" };
                    // What follows an unnamed line's first stands further in.
                    let further = if column == 0 && at > 0 { "  " } else { "" };
                    lines.push(Line::from(vec![
                        Span::styled(format!("  {}", text::fit(name, column)), theme.dim()),
                        Span::raw(format!("{further}{piece}")),
                    ]));
                }
            }
            lines.push(Line::default());
        }
        let height = rows_beside_sign(usize::from(inner.height), lines.len());
        let top = self.top.get().min(lines.len().saturating_sub(height));
        self.top.set(top);
        scroll::draw(lines, top, theme, inner, buf);
        None
    }
}

/// A sentence that keeps its columns if it fits, else wrapped.
fn pieces(sentence: &str, room: usize) -> Vec<String> {
    if text::width(sentence) <= room {
        return vec![sentence.to_owned()];
    }
    text::wrap(sentence, room.saturating_sub(2))
}
