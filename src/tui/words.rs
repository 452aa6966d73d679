//! Phrases that several screens share.

use ratatui::text::{Line, Span};

use super::message::{Ask, Call, Facts};
use super::theme::{self, MARK, Theme};
use super::update::filled;
use super::widgets::text;
use crate::cellar::attention::Reason;
use crate::cellar::entry::Entry;
use crate::cellar::moment::Moment;
use crate::cellar::telling;

/// What an entry says, without its date.
pub fn entry(entry: &Entry, facts: &Facts) -> String {
    telling::sentence(&entry.draft, &facts.cellar)
}

/// When it happened, in words: `Wed 25 Nov 2026, 14:02, 3 days ago`.
pub fn when(moment: Moment, facts: &Facts) -> String {
    let date = moment.local().format("%a %-d %b %Y, %H:%M");
    format!("{date}, {}", due(moment, facts.cellar.now))
}

/// An age for a column: `12 d`, `4 mo`, `3 y`.
pub fn age(days: i64) -> String {
    match days {
        ..0 => "0 d".to_owned(),
        0..100 => format!("{days} d"),
        100..730 => format!("{:.0} mo", days as f64 / 30.4375),
        _ => format!("{} y", days / 365),
    }
}

/// When it falls due, seen from now.
pub fn due(due: Moment, now: Moment) -> String {
    match due.days_since(now) {
        0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        -1 => "yesterday".to_owned(),
        days @ 2.. => format!("in {days} days"),
        days => format!("{} days ago", -days),
    }
}

/// Opens what deals with a reason, filled in.
pub fn deal_with(reason: &Reason) -> Ask {
    Ask::Verb(Call {
        about: Some(reason.subject),
        name: reason.suggestion.verb.to_owned(),
        values: filled(reason),
    })
}

/// A reason with its working, in lines of so many cells.
pub fn reason_lines(
    reason: &Reason,
    facts: &Facts,
    theme: Theme,
    cells: usize,
    marked: bool,
) -> Vec<Line<'static>> {
    let style = theme.rank(reason.rank);
    let due = due(reason.due, facts.cellar.now);
    let mut lines = Vec::new();
    let sentence = format!("{} ({due})", reason.sentence);
    for (at, part) in text::wrap(&sentence, cells.saturating_sub(4))
        .into_iter()
        .enumerate()
    {
        let sign = if at == 0 {
            theme::sign(reason.rank)
        } else {
            " "
        };
        lines.push(Line::from(vec![
            Span::raw(if marked { MARK } else { " " }),
            Span::styled(format!("{sign} "), style),
            Span::styled(part, theme.strong()),
        ]));
    }
    for why in &reason.why {
        let parts = text::wrap(why, cells.saturating_sub(6)).into_iter();
        lines.extend(parts.map(|it| Line::from(format!("     {it}"))));
    }
    lines
}
