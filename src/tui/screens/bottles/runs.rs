//! The runs: how many of which size, how many may be drunk, how many are kept for whom, and where.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use super::shelf::{Run, Shelf};
use crate::cellar::moment::Moment;
use crate::cellar::telling;
use crate::tui::theme::{MARK, Theme};
use crate::tui::widgets::scroll::Scroll;
use crate::tui::widgets::text;

/// Lines of a run, the empty one after it among them.
const LINES: usize = 4;

/// `marked` is the place of the marked run, and whether the arrows move there.
pub(super) fn draw(
    shelf: &Shelf,
    marked: Option<(usize, bool)>,
    now: Moment,
    scroll: &Scroll,
    theme: Theme,
    area: Rect,
    buf: &mut Buffer,
) {
    let cells = usize::from(area.width);
    let height = usize::from(area.height);
    let total = shelf.runs.len() * LINES;
    let at = marked.map_or(0, |it| it.0) * LINES;
    let top = scroll.follow(at, at + 3, height, total);
    let runs = shelf.runs.iter().enumerate();
    let rows = height / LINES + 2;
    for (at, run) in runs.skip(top / LINES).take(rows) {
        let mark = marked.filter(|it| it.0 == at).map(|it| it.1);
        for (line, row) in lines(run, mark, now, theme, cells)
            .into_iter()
            .zip(at * LINES..)
        {
            if row >= top {
                text::put(buf, area, row - top, line);
            }
        }
    }
}

fn lines(
    run: &Run,
    marked: Option<bool>,
    now: Moment,
    theme: Theme,
    cells: usize,
) -> [Line<'static>; 3] {
    let name = if marked == Some(true) {
        theme.selected()
    } else {
        theme.strong()
    };
    let about = if run.about && run.count > 1 {
        "about "
    } else {
        ""
    };
    let to_drink = if run.waits.is_some() {
        "resting"
    } else {
        "to drink"
    };
    let drink = match (run.withheld, run.drinkable, run.reserved) {
        (Some(withheld), ..) => format!("{about}{} {withheld}", run.count),
        _ if run.uncounted => "not counted".to_owned(),
        (None, drink, 0) => format!("{about}{drink} {to_drink}"),
        (None, 0, kept) => format!("{kept} kept"),
        (None, drink, kept) => format!("{about}{drink} {to_drink}, {kept} kept"),
    };
    let room = cells.saturating_sub(5 + text::width(&drink) + 2);
    let words = text::cut(&run.name, room);
    let blank = " ".repeat(room.saturating_sub(text::width(&words)) + 1);
    let first = Line::from(vec![
        Span::raw(if marked.is_some() { MARK } else { " " }),
        Span::raw(format!("{} ", text::fit(&run.mark, 2))),
        Span::styled(words, name),
        Span::raw(blank),
        Span::raw(drink),
    ]);
    let dim = |words: String| {
        let words = text::cut(&format!("    {words}"), cells);
        Line::from(Span::styled(words, theme.dim()))
    };
    [first, dim(what(run, now)), dim(whither(run))]
}

/// `2025 · 18 × 750 mL, 1 × 375 mL · rests until 3 Jan 2027 · unmarked`.
fn what(run: &Run, now: Moment) -> String {
    let mut parts: Vec<String> = run.year.iter().map(i64::to_string).collect();
    parts.push(run.sizes.join(", "));
    let waits = run.waits.iter();
    parts.extend(
        waits.map(|(what_for, until)| format!("{what_for} {}", now.at(*until).day_words())),
    );
    parts.extend(run.begun.clone());
    parts.extend(run.unknown.iter().map(|it| format!("{it} not known")));
    parts.extend((!run.is_marked).then(|| "unmarked".to_owned()));
    parts.join(" · ")
}

/// `1 with corks rising · 19 in Stair rack, 4 in pantry · 29 standing · 6 for midwinter`.
fn whither(run: &Run) -> String {
    let named = run.places.iter().filter(|(place, _)| !place.is_empty());
    let places: Vec<String> = named
        .map(|(place, count)| format!("{count} {}", telling::where_words(place)))
        .collect();
    let marked = run.marked.iter().map(|it| format!("marked: {it}"));
    let amiss = run.amiss.iter();
    let mut parts: Vec<String> = marked
        .chain(amiss.map(|(found, count)| format!("{count} with {found}")))
        .collect();
    if !places.is_empty() {
        parts.push(places.join(", "));
    }
    if run.standing > 0 {
        parts.push(format!("{} standing", run.standing));
    }
    let kept = run.kept_for.iter();
    parts.extend(kept.map(|(whom, count)| format!("{count} for {whom}")));
    parts.join(" · ")
}
