//! Phrases that several screens share.

use ratatui::text::{Line, Span};

use super::message::{Ask, Call, Facts, Told};
use super::theme::{self, MARK, Theme};
use super::widgets::text;
use crate::cellar::attention::Reason;
pub use crate::cellar::attention::words::{age, due, span};
use crate::cellar::moment::{Moment, Said};
use crate::cellar::telling;
pub use crate::cellar::telling::capital;

/// What an entry says, without its date, with its note.
pub fn entry(told: &Told, facts: &Facts) -> String {
    telling::with_note(&told.entry.draft, &told.flows, &facts.cellar)
}

/// A verb's sentence speaks of flags, as on the command line; in a form they are fields, given here
/// with their labels.
pub fn of_fields<'a>(sentence: &str, fields: impl Iterator<Item = (&'a str, &'a str)>) -> String {
    fields.fold(sentence.to_owned(), |words, (key, label)| {
        words.replace(&format!("--{key}"), label)
    })
}

/// When it happened, in words: `Wed 25 Nov 2026, 14:02, 3 days ago`.
pub fn when(moment: Moment, facts: &Facts) -> String {
    let date = moment.local().format("%a %-d %b %Y, %H:%M");
    format!("{date}, {}", due(moment, facts.cellar.now))
}

/// The day that a date was understood as, where it is not today: `12 Sep 2025`, and `about` before it
/// where what was said names no single day.
pub fn understood(said: &Said, now: Moment) -> Option<String> {
    let day = said.moment.day_words();
    let about = if said.loosely.is_some() { "about " } else { "" };
    (said.moment.date() != now.date()).then(|| format!("{about}{day}"))
}

/// What would be written, with the day it is dated where that is not today.
pub fn dated(sentence: &str, said: Option<&Said>, now: Moment) -> String {
    match said.and_then(|it| understood(it, now)) {
        Some(day) => format!("{sentence} Dated {day}."),
        None => sentence.to_owned(),
    }
}

/// Opens what deals with a reason, filled in; what to mind first, where someone can be hurt.
pub fn deal_with(reason: &Reason) -> Ask {
    Ask::Verb(match reason.fault() {
        Some(fault) => Call::to_fault(reason.subject, fault),
        None => Call::of(reason),
    })
}

/// A reason with its working, in lines of so many cells.
pub fn reason_lines(
    reason: &Reason,
    working: &[String],
    facts: &Facts,
    theme: Theme,
    cells: usize,
    marked: bool,
) -> Vec<Line<'static>> {
    let style = theme.rank(reason.rank);
    let due = reason.when(facts.cellar.now);
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
    for why in working {
        let parts = text::wrap(why, cells.saturating_sub(6)).into_iter();
        lines.extend(parts.map(|it| Line::from(format!("     {it}"))));
    }
    lines
}
