//! All of a fault in lines: what follows once the wine is marked, what the book says, and the text.

use ratatui::text::{Line, Span};

use super::Trouble;
use crate::cellar::attention::Suggestion;
use crate::cellar::trouble::{Fault, Fit, follow};
use crate::tui::message::Facts;
use crate::tui::theme::Theme;
use crate::tui::widgets::text;

pub(super) fn all(
    pane: &Trouble,
    fault: &'static Fault,
    facts: &Facts,
    theme: Theme,
    cells: usize,
) -> Vec<Line<'static>> {
    let mut lines = Vec::new();
    let mut say = |words: &str, style| {
        let wrapped = text::wrap(words, cells).into_iter();
        lines.extend(wrapped.map(|it| Line::from(Span::styled(it, style))));
    };
    if let (Some(since), Some(place)) = (pane.since(fault, facts), pane.subject) {
        let day = facts.cellar.now.at(since).day_words();
        say(
            &format!("! Marked on {day}; o when it is over."),
            theme.warn(),
        );
        let followed = pane.followed.iter().filter(|it| it.entry.is_living());
        let followed = followed.map(|it| (&it.entry.draft, &it.flows[..]));
        for line in follow(place, &facts.cellar, followed).lines(place, &facts.cellar) {
            say(&line, theme.strong());
        }
    }
    if let Some(warning) = fault.warning() {
        say(&format!("! {warning}"), theme.warn());
    }
    let fit = Fit::of_fault(fault, pane.holding(facts).as_ref());
    if let Some(sentence) = fit.sentence() {
        say(&sentence, theme.text());
    }
    for (heading, sentences) in fault.sections() {
        lines.push(Line::from(Span::styled(heading, theme.key())));
        for sentence in sentences {
            let mut lead = "- ";
            for line in text::wrap(sentence, cells.saturating_sub(2)) {
                lines.push(Line::from(format!("{lead}{line}")));
                lead = "  ";
            }
        }
    }
    lines
}

/// The entries that answer it, in one row, the marked one told apart.
pub(super) fn ways(
    ways: &[(&'static str, Suggestion)],
    marked: usize,
    theme: Theme,
) -> Line<'static> {
    let mut spans = Vec::new();
    for (at, (what, _)) in ways.iter().enumerate() {
        let style = if at == marked {
            theme.selected()
        } else {
            theme.dim()
        };
        let sign = if at == marked { "▸" } else { " " };
        spans.push(Span::styled(format!("{sign}{what}"), style));
        spans.push(Span::raw(" "));
    }
    Line::from(spans)
}
