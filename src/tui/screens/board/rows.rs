//! The vessels as rows, for a smaller screen.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use crate::cellar::amount::Volume;
use crate::tui::glance::{self, Glance};
use crate::tui::message::Facts;
use crate::tui::theme::{self, MARK, Theme};
use crate::tui::widgets::scroll::Scroll;
use crate::tui::widgets::text;
use crate::tui::words;

/// Columns of a gauge.
const GAUGE: usize = 8;
/// From so many cells on there is room for what it holds, its age and its readings.
const WIDE: usize = 76;
/// Columns of its last readings, with the blanks around them.
const READ: usize = 15;
/// Cells before the next step, in a wide row and in a narrow one.
const BEFORE_NEXT: [usize; 2] = [71, 33];

/// Draws them, and says how many are out of sight above and below.
pub(super) fn draw(
    facts: &Facts,
    marked: Option<usize>,
    scroll: &Scroll,
    theme: Theme,
    area: Rect,
    buf: &mut Buffer,
) -> [usize; 2] {
    let cells = usize::from(area.width);
    let wide = cells >= WIDE;
    let heading = if wide {
        format!(
            "   {} {} {}  {}{} {} Next",
            text::fit("Vessel", 12),
            text::fit("Holds", 15),
            text::fit("Full", GAUGE),
            text::fit("L", 9),
            text::fit_right("Age", 5),
            text::fit(" SO2, gravity", 13),
        )
    } else {
        format!(
            "   {} {} {} Next",
            text::fit("Vessel", 14),
            text::fit("Full", GAUGE),
            text::fit_right("L", 5)
        )
    };
    text::put(
        buf,
        area,
        0,
        Line::from(Span::styled(text::cut(&heading, cells), theme.dim())),
    );
    let list = Rect {
        y: area.y + area.height.min(1),
        height: area.height.saturating_sub(1),
        ..area
    };
    let height = usize::from(list.height);
    let at = marked.unwrap_or(0);
    let top = scroll.follow(at, at + 1, height, facts.vessels.len());
    for (at, glance) in glance::vessels(facts, top, height) {
        let line = row(&glance, facts, marked == Some(at), cells, theme);
        text::put(buf, list, at - top, line);
    }
    [top, facts.vessels.len().saturating_sub(top + height)]
}

/// Says in the rule over the vessels how many are out of sight.
pub(super) fn draw_unseen(unseen: [usize; 2], theme: Theme, rule: Rect, buf: &mut Buffer) {
    let words = match unseen {
        [0, 0] => return,
        [0, below] => format!(" ↓ {below} more below ─"),
        [above, 0] => format!(" ↑ {above} more above ─"),
        [above, below] => format!(" ↑ {above} more above, ↓ {below} below ─"),
    };
    let wide = text::width(&words) as u16 + 1;
    let end = Rect {
        x: rule.x + rule.width.saturating_sub(wide),
        width: wide.min(rule.width),
        ..rule
    };
    text::put(buf, end, 0, Line::from(Span::styled(words, theme.text())));
}

/// One vessel: what needs it, its name, how full it is, then what there is room for, and the next step.
fn row(
    glance: &Glance<'_>,
    facts: &Facts,
    marked: bool,
    cells: usize,
    theme: Theme,
) -> Line<'static> {
    let wide = cells >= WIDE;
    let next = glance.reason.map(glance::next);
    let taken = next
        .as_ref()
        .map_or(0, |(key, verb)| text::width(key) + 1 + text::width(verb));
    let before = BEFORE_NEXT[usize::from(!wide)];
    let dry = glance.dry(cells.saturating_sub(before + taken + 2));
    let mut spans = named(glance, marked, if wide { 12 } else { 14 }, theme);
    if wide {
        let style = if glance.wine.is_some() {
            theme.text()
        } else {
            theme.dim()
        };
        spans.push(Span::styled(text::fit(&glance.holds, 15), style));
        spans.push(Span::raw(" "));
    }
    spans.extend(fullness(glance, theme));
    spans.push(Span::raw(" "));
    if wide {
        spans.push(Span::raw(text::fit(&of_its_capacity(glance), 10)));
        // Behind the next step it would be cut off; the day on which it is dry tells more than its age.
        if let Some(dry) = glance.dry(11).filter(|_| dry.is_none()) {
            spans.extend(read_and_dry(glance, &dry, theme));
        } else {
            // A long step, such as `↵ stabilise`, has the blanks before it too.
            let room = READ.saturating_sub((before + taken).saturating_sub(cells));
            spans.extend(aged_and_read(glance, facts, room, theme));
        }
    } else {
        spans.push(Span::raw(format!(
            "{} ",
            text::fit_right(&litres(glance), 5)
        )));
    }
    if let Some((key, verb)) = next {
        spans.push(Span::styled(key, theme.key()));
        spans.push(Span::raw(format!(" {verb}")));
    }
    if let Some(dry) = dry {
        spans.push(Span::styled(format!("  {dry}"), theme.forecast()));
    }
    Line::from(spans)
}

/// Whether it is marked, the sign of what needs it, and its name.
fn named(glance: &Glance<'_>, marked: bool, cells: usize, theme: Theme) -> Vec<Span<'static>> {
    let sign = glance.reason.map_or(" ", |it| theme::sign(it.rank));
    let sign_style = glance.reason.map_or(theme.text(), |it| theme.rank(it.rank));
    let name = if marked {
        theme.selected()
    } else {
        theme.strong()
    };
    vec![
        Span::raw(if marked { MARK } else { " " }),
        Span::styled(format!("{sign} "), sign_style),
        Span::styled(text::fit(glance.thing.name(), cells), name),
        Span::raw(" "),
    ]
}

fn fullness(glance: &Glance<'_>, theme: Theme) -> Vec<Span<'static>> {
    let wine = theme.wine(glance.kind);
    match (glance.full(), glance.wine) {
        (Some(full), _) => gauge(full, wine, theme).into(),
        // How full it is nobody can say, and an empty bar would say empty.
        (None, Some(_)) => vec![Span::styled(text::fit("of ? L", GAUGE), theme.dim())],
        (None, None) => gauge(0.0, wine, theme).into(),
    }
}

/// What it holds, as litres; `None` of what nobody measured.
fn held(glance: &Glance<'_>) -> Option<f64> {
    let measured = glance.wine.filter(|it| it.unmeasured.is_none());
    measured.map(|it| it.volume.in_litres())
}

/// `22.4/23.0`.
fn of_its_capacity(glance: &Glance<'_>) -> String {
    let capacity = glance.thing.capacity().map(Volume::in_litres);
    match (held(glance), capacity) {
        (None, _) if glance.wine.is_some() => "not known".to_owned(),
        (Some(held), Some(capacity)) => format!("{held:.1}/{capacity:.1}"),
        (Some(volume), None) | (None, Some(volume)) => format!("{volume:.1}"),
        (None, None) => String::new(),
    }
}

/// What it holds, or would.
fn litres(glance: &Glance<'_>) -> String {
    let held = held(glance);
    if glance.wine.is_some() && held.is_none() {
        return "?".to_owned();
    }
    let litres = held.or(glance.thing.capacity().map(Volume::in_litres));
    litres.map_or(String::new(), |it| format!("{it:.1}"))
}

/// What was last read of it that tells most.
fn read(glance: &Glance<'_>) -> String {
    let read = match &glance.ferment {
        Some(_) => glance.gravity(),
        None => glance.free_so2().or(glance.gravity()),
    };
    read.unwrap_or_default()
}

/// What was read, and the day on which it is dry.
fn read_and_dry(glance: &Glance<'_>, dry: &str, theme: Theme) -> [Span<'static>; 2] {
    let cells = 19 - text::width(dry);
    [
        Span::raw(text::fit_right(&format!("{} ", read(glance)), cells)),
        Span::styled(format!("{dry} "), theme.forecast()),
    ]
}

/// Its age, and what was read in as much room as there is.
fn aged_and_read(
    glance: &Glance<'_>,
    facts: &Facts,
    room: usize,
    theme: Theme,
) -> [Span<'static>; 2] {
    let age = glance.days(facts).map_or(String::new(), words::age);
    let read = read(glance);
    let wide = text::width(&read);
    let room = room.max(wide + 2);
    let lead = " ".repeat(room.saturating_sub(wide + 1).min(2));
    [
        Span::styled(text::fit_right(&age, 5), theme.dim()),
        Span::raw(text::fit(&format!("{lead}{read}"), room)),
    ]
}

/// How full, lying down: a heavy line on a light one, to half a cell.
fn gauge(full: f64, wine: Style, theme: Theme) -> [Span<'static>; 2] {
    let halves = (full.clamp(0.0, 1.0) * (GAUGE * 2) as f64).round() as usize;
    let half = if halves.is_multiple_of(2) { "" } else { "╸" };
    let drawn = "━".repeat(halves / 2) + half;
    let rest = "─".repeat(GAUGE - halves.div_ceil(2));
    [Span::styled(drawn, wine), Span::styled(rest, theme.dim())]
}
