//! Rows of the calendar's lists: what falls due, and what was written.

use chrono::NaiveDate;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use crate::cellar::ahead::Item;
use crate::cellar::attention::Reason;
use crate::cellar::thing::CELLAR;
use crate::tui::glance;
use crate::tui::message::{Facts, Told};
use crate::tui::theme::{self, MARK, Theme};
use crate::tui::widgets::text;
use crate::tui::words;

/// Columns of a due date in words.
const DUE: usize = 16;

/// `▌! 6 days ago   Demijohn 2   34 days on gross lees        rack`.
pub(super) fn item(
    item: &Item,
    facts: &Facts,
    marked: bool,
    theme: Theme,
    cells: usize,
) -> Line<'static> {
    let subject = if cells >= 76 { 15 } else { 11 };
    let verb = item.reason.as_ref().map_or(String::new(), verb);
    let verb_cells = if cells >= 50 { 10 } else { 0 };
    let room = cells.saturating_sub(3 + DUE + 1 + subject + 1 + verb_cells + 1);
    let style = marked_style(marked, theme);
    let name = match item.subject {
        CELLAR => "The cellar",
        key => facts.cellar.name(key),
    };
    let due = when(item, facts);
    Line::from(vec![
        Span::raw(if marked { MARK } else { " " }),
        Span::styled(
            format!("{} ", theme::sign(item.rank())),
            theme.rank(item.rank()),
        ),
        Span::styled(
            text::fit(&due, DUE),
            if marked { style } else { theme.dim() },
        ),
        Span::styled(" ", style),
        Span::styled(text::fit(name, subject), theme.strong().patch(style)),
        Span::styled(" ", style),
        Span::styled(text::fit(&item.sentence, room), style),
        Span::styled(text::fit_right(&verb, verb_cells), theme.dim()),
    ])
}

/// In words within a week of now, as a date further ahead.
fn when(item: &Item, facts: &Facts) -> String {
    let now = facts.cellar.now;
    match item.due.days_since(now) {
        8.. => item.due.date().format("%a %-d %b").to_string(),
        _ => match &item.reason {
            Some(reason) => reason.when(now),
            None => words::due(item.due, now),
        },
    }
}

fn verb(reason: &Reason) -> String {
    glance::next(reason).1
}

/// `▌√ 14:02  Racked 22.4 L from Bucket to Carboy A.`
pub(super) fn entry(
    told: &Told,
    facts: &Facts,
    marked: bool,
    theme: Theme,
    cells: usize,
) -> Line<'static> {
    let time = told.entry.draft.when.local().format("%H:%M").to_string();
    let said = words::entry(told, facts);
    let (said, style) = if told.entry.is_living() {
        (said, theme.text())
    } else {
        (format!("voided: {said}"), theme.dim())
    };
    Line::from(vec![
        Span::raw(if marked { MARK } else { " " }),
        Span::styled("√ ", theme.good()),
        Span::styled(text::fit(&time, 7), theme.dim()),
        Span::styled(
            text::cut(&said, cells.saturating_sub(10)),
            style.patch(marked_style(marked, theme)),
        ),
    ])
}

fn marked_style(marked: bool, theme: Theme) -> Style {
    if marked {
        theme.selected()
    } else {
        Style::new()
    }
}

/// `Wed 25 Nov 2026, today`.
pub(super) fn day_title(day: NaiveDate, facts: &Facts) -> String {
    let now = facts.cellar.now;
    let then = now.plus_days((day - now.date()).num_days());
    let date = day.format("%a %-d %b %Y");
    format!("{date}, {}", words::due(then, now))
}

/// Under which heading of the agenda it stands.
pub(super) fn heading(item: &Item, facts: &Facts) -> &'static str {
    match item.due.days_since(facts.cellar.now) {
        ..0 => "OVERDUE",
        0 => "TODAY",
        1..=7 => "THIS WEEK",
        _ => "LATER",
    }
}
