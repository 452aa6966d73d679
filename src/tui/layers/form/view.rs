//! A form on the screen: its fields, help for the one being filled, and what would be written.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::{Form, Row, Step, Unlike, choices};
use crate::cellar::verbs::{Blame, Need};
use crate::tui::message::Facts;
use crate::tui::theme::{MARK, Theme};
use crate::tui::widgets::{frame, text};
use crate::tui::words;

/// Columns of a label with its mark.
const LABEL: usize = 18;
/// Label of a further line of a field that may be given several times.
const ANOTHER: &str = "  and";

pub(super) fn draw(
    form: &Form,
    facts: &Facts,
    theme: Theme,
    area: Rect,
    buf: &mut Buffer,
) -> Option<Position> {
    let wanted = u16::try_from(form.rows.len() + 10).unwrap_or(u16::MAX);
    let inner = frame::boxed(&title(form), (84, wanted.max(16)), theme, area, buf);
    let mut foot = foot(form, facts, theme, usize::from(inner.width));
    // What is refused or asked must be read whole; what is still missing may be long, and the fields
    // are above it.
    let most = usize::from(inner.height / 2).max(1);
    if form.step == Step::Filling && form.outcome.is_err() && foot.len() > most {
        foot.truncate(most);
        if let Some(last) = foot.last_mut() {
            last.push_span(Span::styled(" …", theme.dim()));
        }
    }
    let foot_height = u16::try_from(foot.len() + 1)
        .unwrap_or(u16::MAX)
        .min(inner.height);
    let fields = Rect {
        height: inner.height - foot_height,
        ..inner
    };
    let cursor = draw_fields(form, facts, theme, fields, buf);
    let below = Rect {
        y: fields.bottom(),
        height: foot_height,
        ..inner
    };
    text::put(
        buf,
        below,
        0,
        Line::from(Span::styled(
            "─".repeat(usize::from(below.width)),
            theme.dim(),
        )),
    );
    for (at, line) in foot.into_iter().enumerate() {
        text::put(buf, below, at + 1, line);
    }
    cursor
}

fn title(form: &Form) -> String {
    words::capital(&form.verb.name.replace('-', " "))
}

fn draw_fields(
    form: &Form,
    facts: &Facts,
    theme: Theme,
    area: Rect,
    buf: &mut Buffer,
) -> Option<Position> {
    let cells = usize::from(area.width);
    let help = help(form, facts, theme, cells.saturating_sub(LABEL));
    let height = usize::from(area.height);
    let total = form.rows.len() + help.len();
    let end = form.focus + 1 + help.len();
    let top = form.scroll.follow(form.focus, end, height, total);
    let mut cursor = None;
    let mut line = 0;
    for (at, row) in form.rows.iter().enumerate() {
        if line >= top {
            let focused = at == form.focus;
            let y = line - top;
            let before = at.checked_sub(1).map(|it| form.rows[it].field.key);
            let name = if before == Some(row.field.key) {
                ANOTHER
            } else {
                row.field.label
            };
            text::put(buf, area, y, label(form, row, name, focused, theme));
            let place = Rect {
                x: area.x + (LABEL as u16).min(area.width),
                y: area.y + (y as u16).min(area.height),
                width: area.width.saturating_sub(LABEL as u16),
                height: u16::from(y < height),
            };
            let placed = draw_value(form, row, facts, focused, theme, place, buf);
            cursor = cursor.or(placed);
        }
        line += 1;
        if at == form.focus {
            for it in &help {
                if line >= top {
                    let place = Rect {
                        x: area.x + (LABEL as u16).min(area.width),
                        width: area.width.saturating_sub(LABEL as u16),
                        ..area
                    };
                    text::put(buf, place, line - top, it.clone());
                }
                line += 1;
            }
        }
    }
    cursor
}

fn label<'a>(form: &Form, row: &Row, name: &'static str, focused: bool, theme: Theme) -> Line<'a> {
    let blamed = match (&form.step, &form.outcome) {
        (Step::Refused(_), Err(refusal)) => refusal.field == Some(row.field.key),
        _ => false,
    };
    let style = match row.field.need {
        Need::Required => theme.strong(),
        _ if focused => theme.text(),
        _ => theme.dim(),
    };
    Line::from(vec![
        Span::raw(if focused { MARK } else { " " }),
        Span::styled(if blamed { "!" } else { " " }, theme.warn()),
        Span::styled(text::fit(name, LABEL - 3), style),
    ])
}

fn draw_value(
    form: &Form,
    row: &Row,
    facts: &Facts,
    focused: bool,
    theme: Theme,
    area: Rect,
    buf: &mut Buffer,
) -> Option<Position> {
    let typed = row.text.text();
    if !focused && typed.is_empty() {
        text::put(buf, area, 0, Line::from(Span::styled("·", theme.dim())));
        return None;
    }
    let example = choices::example(row.field.takes);
    let ghost = if !typed.is_empty() {
        choices::ghost(form.choices(row, facts), typed)
    } else if example.is_empty() {
        String::new()
    } else {
        format!("  such as {example}")
    };
    row.text.view(&ghost, focused, theme, area, buf)
}

/// Lines below the focused field: what it is for, and what it may be completed to.
fn help(form: &Form, facts: &Facts, theme: Theme, cells: usize) -> Vec<Line<'static>> {
    let Some(row) = form.rows.get(form.focus) else {
        return Vec::new();
    };
    let mut lines: Vec<Line<'static>> = text::wrap(row.field.help, cells)
        .into_iter()
        .map(|it| Line::from(Span::styled(it, theme.dim())))
        .collect();
    if let Some(asked) = form.asks_next(row) {
        let asked = text::wrap(&asked, cells).into_iter();
        lines.extend(asked.map(|it| Line::from(Span::styled(it, theme.strong()))));
    }
    // Which year a month or a day without one was taken for is seen while it is typed.
    if row.field.key == "at"
        && let Some(day) = form
            .said(facts)
            .and_then(|it| words::understood(&it, facts.cellar.now))
    {
        lines.push(Line::from(Span::styled(day, theme.strong())));
    }
    let fitting = choices::fitting(form.choices(row, facts), row.text.text());
    if fitting.len() > 1 || fitting.first().is_some_and(|it| it != row.text.text()) {
        let fitting = fitting
            .iter()
            .map(|it| choices::offered(row.field.takes, it));
        let fitting = fitting.collect::<Vec<_>>().join("  ");
        let offered = text::cut(&fitting, cells.saturating_sub(2));
        lines.push(Line::from(vec![
            Span::styled("→ ", theme.key()),
            Span::raw(offered),
        ]));
    }
    lines
}

/// What would be written, or why not, and what is asked.
fn foot(form: &Form, facts: &Facts, theme: Theme, cells: usize) -> Vec<Line<'static>> {
    let styled = |sentence: &str, style: Style| -> Vec<Line<'static>> {
        let parts = text::wrap(sentence, cells).into_iter();
        parts
            .map(|it| Line::from(Span::styled(it, style)))
            .collect()
    };
    let said = form.said(facts);
    let dated = |sentence: &str| words::dated(sentence, said.as_ref(), facts.cellar.now);
    let enter = |does: &str| {
        Line::from(vec![
            Span::styled("Enter", theme.key()),
            Span::raw(format!(" {does}")),
        ])
    };
    let mut lines = match &form.unlike {
        Unlike::Said(was) if matches!(form.step, Step::Filling | Step::Refused(_)) => styled(
            &format!("Not all of it could be filled in again; it said: {was}"),
            theme.warn(),
        ),
        _ => Vec::new(),
    };
    if form.step == Step::Filling
        && let Some(now) = form.window_now(facts)
    {
        lines.extend(styled(&now, theme.dim()));
    }
    lines.extend(match (&form.step, &form.outcome) {
        (Step::Leaving, _) => styled(
            "Throw away what you typed? y throws it away, any other key goes on with it.",
            theme.warn(),
        ),
        (Step::Refused(sentence), _) => styled(&form.in_its_words(sentence), theme.warn()),
        (Step::Writing, Ok(prepared)) => styled(&prepared.sentence, theme.dim()),
        (Step::Asking, Ok(prepared)) => {
            let mut lines: Vec<Line<'static>> = prepared
                .questions()
                .flat_map(|it| styled(&form.in_its_words(it), theme.warn()))
                .collect();
            lines.extend(
                said.as_ref()
                    .and_then(|it| words::understood(it, facts.cellar.now))
                    .iter()
                    .flat_map(|it| styled(&format!("Dated {it}."), theme.strong())),
            );
            lines.push(enter("writes it all the same, Esc goes back to the form."));
            lines
        }
        (Step::Changes(changes), Ok(prepared)) => {
            let mut lines = styled(&dated(&prepared.sentence), theme.strong());
            for asked in prepared.questions() {
                lines.extend(styled(&form.in_its_words(asked), theme.warn()));
            }
            for change in changes {
                lines.extend(styled(change, theme.text()));
            }
            lines.push(enter("writes it all the same, Esc goes back to the form."));
            lines
        }
        (_, Ok(prepared)) => {
            let mut lines = styled(&dated(&prepared.sentence), theme.strong());
            lines.extend(foreseen(&form.then, theme, cells));
            for asked in prepared.questions() {
                lines.extend(styled(&form.in_its_words(asked), theme.dim()));
            }
            let then = match prepared.questions().next() {
                _ if form.amends.is_some() => "shows what changes, then writes this to the book.",
                None => "writes this to the book.",
                Some(_) => "asks once more, then writes this to the book.",
            };
            lines.push(enter(then));
            lines
        }
        (_, Err(refusal)) => {
            // What the book does not allow is not put right by typing on.
            let style = match refusal.blame {
                Blame::Book => theme.warn(),
                Blame::Input => theme.dim(),
            };
            styled(&form.in_its_words(&refusal.sentence), style)
        }
    });
    lines
}

/// What it would make of the forecast, in two lines at most.
fn foreseen(then: &[String], theme: Theme, cells: usize) -> Vec<Line<'static>> {
    const LINES: usize = 2;
    let each = LINES / then.len().clamp(1, LINES);
    let mut lines = Vec::new();
    for words in then.iter().take(LINES) {
        let words = format!("then {words}");
        let mut parts = text::wrap(&words, cells);
        if parts.len() > each {
            // What is left out is missed only where it says so.
            let rest = parts.split_off(each - 1).join(" ");
            parts.push(text::cut(&rest, cells));
        }
        let dim = |it| Line::from(Span::styled(it, theme.dim()));
        lines.extend(parts.into_iter().map(dim));
    }
    lines
}
