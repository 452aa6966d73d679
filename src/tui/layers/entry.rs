//! All of one entry of the book.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use super::{form, undo};
use crate::cellar::telling;
use crate::cellar::thing::Key;
use crate::tui::commands::{Id, Place};
use crate::tui::message::{Ask, Effect, Facts, Input, Notice, Reply, Told};
use crate::tui::screens::Pane;
use crate::tui::theme::Theme;
use crate::tui::widgets::{frame, text};
use crate::tui::words;

/// Columns of a label.
const LABEL: usize = 14;

/// An entry, opened.
pub struct Entry {
    told: Told,
}

impl Entry {
    /// Of that entry.
    pub fn of(told: Told) -> Entry {
        Entry { told }
    }
}

/// What voids an entry of the book, after showing what changes.
pub fn void(told: &Told) -> Vec<Ask> {
    vec![
        Ask::Lay(Box::new(undo::Undo::default())),
        Ask::Do(Effect::PreviewVoid(Some(told.entry.key))),
    ]
}

/// What writes an entry of the book anew.
pub fn amend(told: &Told, facts: &Facts) -> Vec<Ask> {
    if !told.entry.is_living() {
        let voided = "It is voided already; write it anew with its verb.";
        return vec![Ask::Say(Notice::note(voided))];
    }
    match form::Form::again(&told.entry, facts) {
        Some((form, asks)) => std::iter::once(Ask::Lay(Box::new(form)))
            .chain(asks)
            .collect(),
        None => vec![Ask::Say(Notice::note(
            "A void has no form, and cannot be voided; write again with its verb what it took back.",
        ))],
    }
}

impl Pane for Entry {
    fn place(&self) -> Place {
        Place::Entry
    }

    fn about(&self, _facts: &Facts) -> Option<Key> {
        self.told.entry.draft.places().first().copied()
    }

    fn update(&mut self, input: &Input<'_>, facts: &Facts) -> Vec<Ask> {
        match input {
            Input::Command(Id::Void) => void(&self.told),
            Input::Command(Id::Amend) => amend(&self.told, facts),
            // It may have been voided or amended; the list beneath knows.
            Input::Command(Id::Back)
            | Input::Reply(Reply::Voided { .. } | Reply::Written { .. }) => {
                vec![Ask::Close]
            }
            _ => Vec::new(),
        }
    }

    fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        let title = format!("Entry {}", self.told.entry.key.0);
        frame::boxed_lines(&title, 92, theme, area, buf, |cells| {
            let mut drawn = Vec::new();
            for (label, words) in lines(&self.told, facts) {
                let parts = text::wrap(&words, cells.saturating_sub(LABEL));
                for (at, part) in parts.into_iter().enumerate() {
                    let label = if at == 0 { label } else { "" };
                    drawn.push(Line::from(vec![
                        Span::styled(text::fit(label, LABEL), theme.dim()),
                        Span::raw(part),
                    ]));
                }
            }
            drawn
        });
        None
    }
}

fn lines(told: &Told, facts: &Facts) -> Vec<(&'static str, String)> {
    let (entry, draft) = (&told.entry, &told.entry.draft);
    let mut lines = vec![
        ("What", words::entry(told, facts)),
        ("When", words::when(draft.when, facts)),
    ];
    let recorded = facts.cellar.now.at(entry.recorded_ms);
    lines.push((
        "Written down",
        recorded.local().format("%a %-d %b %Y, %H:%M").to_string(),
    ));
    if !draft.by.is_empty() {
        lines.push(("By", draft.by.clone()));
    }
    for flow in &told.flows {
        let (from, to) = (facts.cellar.name(flow.from), facts.cellar.name(flow.to));
        lines.push(("Moved", format!("{} from {from} to {to}", flow.volume)));
    }
    for reading in &draft.readings {
        let mut parts = vec![format!(
            "{} {}",
            reading.property.label(),
            telling::found(reading.property, &reading.found)
        )];
        if !reading.typed.is_empty() {
            parts.push(format!("typed `{}`", reading.typed));
        }
        let more = [&reading.instrument, &reading.rule];
        parts.extend(more.into_iter().filter(|it| !it.is_empty()).cloned());
        lines.push(("Measured", parts.join(", ")));
    }
    for addition in &draft.additions {
        let dose = addition
            .dose
            .map_or_else(|| "amount unknown".to_owned(), telling::dose);
        let lot = addition.lot.map_or(String::new(), |it| {
            format!(", from {}", facts.cellar.name(it))
        });
        lines.push((
            "Added",
            format!("{}, {dose}{lot}", addition.substance.replace('-', " ")),
        ));
        if addition.so2.0 > 0 {
            lines.push(("Brings SO2", addition.so2.to_string()));
        }
        if !addition.calculation.is_empty() {
            lines.push(("Worked out", addition.calculation.clone()));
        }
    }
    if let Some(amended) = draft.amends {
        lines.push(("Amends", format!("entry {}", amended.0)));
    }
    if let Some(voided) = entry.voided_by {
        lines.push(("Voided by", format!("entry {}", voided.0)));
    }
    lines
}
