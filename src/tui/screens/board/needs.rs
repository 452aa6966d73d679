//! What needs you, at the top of the board.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use crate::cellar::attention::{Glimpse, Reason};
use crate::cellar::moment::Moment;
use crate::cellar::thing::Sort;
use crate::tui::commands::{self, Id, Place};
use crate::tui::glance;
use crate::tui::message::Facts;
use crate::tui::theme::{self, MARK, Theme};
use crate::tui::widgets::text;

/// Rows it takes for so many reasons, heading and rule included.
pub(super) fn height(reasons: usize) -> u16 {
    reasons.max(1) as u16 + 2
}

pub(super) fn draw(facts: &Facts, marked: usize, theme: Theme, area: Rect, buf: &mut Buffer) {
    let cells = usize::from(area.width);
    let reasons = &facts.shown;
    let total = facts.reasons.len();
    let count = if total > reasons.len() {
        format!(
            "{} of {total} shown; keys {} show all ",
            reasons.len(),
            all_keys()
        )
    } else {
        String::new()
    };
    let heading = text::fit(" NEEDS YOU", cells.saturating_sub(text::width(&count)));
    text::put(
        buf,
        area,
        0,
        Line::from(vec![
            Span::styled(heading, theme.strong()),
            Span::styled(count, theme.dim()),
        ]),
    );
    for (at, glimpse) in reasons.iter().enumerate() {
        text::put(
            buf,
            area,
            at + 1,
            row(glimpse, facts, at == marked, theme, cells),
        );
    }
    if reasons.is_empty() {
        let calm = "   Nothing today. The wine is better left alone.";
        text::put(
            buf,
            area,
            1,
            Line::from(Span::styled(text::cut(calm, cells), theme.good())),
        );
    }
    let rule = " ".to_owned() + &"─".repeat(cells.saturating_sub(2));
    text::put(
        buf,
        area,
        reasons.len().max(1) + 1,
        Line::from(Span::styled(rule, theme.dim())),
    );
}

/// Columns of a row.
struct Columns {
    subject: usize,
    sentence: usize,
    due: usize,
    next: usize,
}

impl Columns {
    /// Of a row that has something due to say: that is never cut, since `25 months overdue` would
    /// become another time, and a blank parts it from what comes before.
    fn of(cells: usize, due: &str) -> Columns {
        let subject = match cells {
            110.. => 26,
            100.. => 22,
            _ => 12,
        };
        let due = match cells {
            100.. => 16.max(text::width(due) + 1),
            76.. => 15.max(text::width(due) + 1),
            _ => 0,
        };
        let next = if cells >= 50 { 12 } else { 2 };
        Columns {
            subject,
            sentence: cells.saturating_sub(3 + subject + 2 + due + next + 1),
            due,
            next,
        }
    }
}

/// The sentence of a reason, if a row of so many cells has no room for it.
pub(super) fn cut_off(reason: &Reason, now: Moment, cells: usize) -> Option<String> {
    let room = Columns::of(cells, &reason.when(now)).sentence;
    (text::width(&reason.sentence) > room).then(|| reason.sentence.clone())
}

/// The keys that show all reasons: the calendar's, and its agenda's.
fn all_keys() -> String {
    let keys = [Id::Screen(Place::Calendar), Id::Agenda]
        .into_iter()
        .filter_map(commands::of);
    let keys: Vec<String> = keys.map(|it| it.keys[0].to_string()).collect();
    keys.join(" and ")
}

fn row(
    glimpse: &Glimpse,
    facts: &Facts,
    marked: bool,
    theme: Theme,
    cells: usize,
) -> Line<'static> {
    let reason = &facts.reasons[glimpse.at];
    let due = reason.when(facts.cellar.now);
    let columns = Columns::of(cells, &due);
    let behind = match glimpse.more {
        0 => String::new(),
        more if cells < 100 => format!(" +{more}"),
        _ => glimpse.behind(),
    };
    let room = columns.sentence.saturating_sub(text::width(&behind));
    let sentence = text::cut(&reason.sentence, room) + &behind;
    let (key, verb) = glance::next(reason);
    let style = if marked {
        theme.selected()
    } else {
        Style::new()
    };
    let name = named(reason, facts, cells >= 100);
    let next = columns.next.saturating_sub(text::width(&key));
    Line::from(vec![
        Span::raw(if marked { MARK } else { " " }),
        Span::styled(
            format!("{} ", theme::sign(reason.rank)),
            theme.rank(reason.rank),
        ),
        Span::styled(
            text::fit(&name, columns.subject),
            theme.strong().patch(style),
        ),
        Span::styled("  ", style),
        Span::styled(text::fit(&sentence, columns.sentence), style),
        Span::styled(
            text::fit_right(&due, columns.due),
            if marked { style } else { theme.dim() },
        ),
        Span::raw("  "),
        Span::styled(key, theme.key()),
        Span::raw(text::cut(&format!(" {verb}"), next)),
    ])
}

/// The subject by name, with what it holds where there is room.
fn named(reason: &Reason, facts: &Facts, wide: bool) -> String {
    let name = facts.cellar.name(reason.subject);
    let thing = facts.cellar.thing(reason.subject);
    match thing.filter(|it| wide && it.sort == Sort::Vessel) {
        Some(vessel) => {
            let glance = glance::glance(vessel, facts);
            match glance.wine {
                Some(_) => format!("{name}, {}", glance.holds),
                None => name.to_owned(),
            }
        }
        None if thing.is_some_and(|it| it.sort == Sort::Cellar) => "The cellar".to_owned(),
        None => name.to_owned(),
    }
}
