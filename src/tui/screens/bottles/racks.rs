//! The racks, drawn as they are: a bottle seen from its end in each slot, bins and cases with counts.
//! A bottle is round, one kept for someone square, one with something amiss between two exclamation
//! marks, a free slot two dots: shape tells, not colour.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Modifier;
use ratatui::text::{Line, Span};

use super::shelf::{Lot, Shelf, Shown};
use crate::cellar::racks::Slot;
use crate::cellar::thing::Key;
use crate::tui::theme::{MARK, Theme};
use crate::tui::widgets::scroll::Scroll;
use crate::tui::widgets::text;

/// Cells of a slot for one bottle, and of one for more.
const ONE: usize = 4;
const MANY: usize = 11;
/// Cells before the first slot: the mark, the letter of the row, the side.
const LEAD: usize = 4;

/// What is marked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Marked {
    /// A slot of the rack at that place in the list.
    Slot(usize, Slot),
    /// A run: its bottles stand out.
    Run(Option<Key>),
}

pub(super) fn draw(
    all: &Shelf,
    marked: Marked,
    scroll: &Scroll,
    theme: Theme,
    area: Rect,
    buf: &mut Buffer,
) {
    let cells = usize::from(area.width);
    let legend = usize::from(area.height > 6);
    let height = usize::from(area.height) - legend;
    let mut starts = Vec::with_capacity(all.racks.len());
    let mut total = 0;
    for rack in &all.racks {
        starts.push(total);
        total += height_of(rack);
    }
    let (slot, run) = match marked {
        Marked::Slot(at, slot) => (Some((at, slot)), None),
        Marked::Run(run) => (None, run),
    };
    let shown = slot.and_then(|(at, slot)| {
        let (rack, start) = (all.racks.get(at)?, starts.get(at)?);
        let row = start + head(rack) + usize::from(slot.row);
        // The rack's name stays in sight with its upper rows.
        Some((if slot.row < 4 { *start } else { row }, row + 1))
    });
    let (from, to) = shown.unwrap_or((0, 1));
    let top = scroll.follow(from, to, height, total);
    // Only racks in sight are drawn: a large cellar has hundreds.
    for (at, (rack, start)) in all.racks.iter().zip(starts).enumerate() {
        if start >= top + height || start + height_of(rack) <= top {
            continue;
        }
        let slot = slot.filter(|it| it.0 == at).map(|it| it.1);
        for (line, row) in rack_lines(rack, slot, run, theme, cells)
            .into_iter()
            .zip(start..)
        {
            if (top..top + height).contains(&row) {
                text::put(buf, area, row - top, line);
            }
        }
    }
    if legend > 0 {
        let amiss = all.runs.iter().any(|it| !it.amiss.is_empty());
        let amiss = if amiss { "   !P5! amiss" } else { "" };
        let words = format!("  (P5) a bottle   [P5] kept for someone   ·· free{amiss}");
        let line = Line::from(Span::styled(text::cut(&words, cells), theme.dim()));
        text::put(buf, area, height, line);
    }
}

/// Lines before the first row: the name, and the numbers of the columns where it is divided.
fn head(shown: &Shown) -> usize {
    if shown.rack.columns == [1] { 1 } else { 2 }
}

/// Lines that a rack takes, the empty one after it among them.
fn height_of(shown: &Shown) -> usize {
    let anywhere = usize::from(!shown.anywhere.is_empty());
    head(shown) + shown.rack.columns.len() + anywhere + 1
}

/// Columns of a rack that there is room for: those around what is marked, where it is wider than the screen.
struct Columns {
    first: usize,
    last: usize,
    /// How many its widest row has.
    most: usize,
    /// Cells of each.
    width: usize,
}

impl Columns {
    fn around(marked: Option<Slot>, shown: &Shown, cells: usize) -> Columns {
        let width = if shown.rack.holds == 1 { ONE } else { MANY };
        let room = cells.saturating_sub(LEAD + 2) / width;
        let most = shown.rack.columns.iter().copied().max();
        let most = most.map_or(1, usize::from);
        let column = marked.map_or(0, |it| usize::from(it.column));
        let first = (column + 1).saturating_sub(room).min(most);
        Columns {
            first,
            last: (first + room).min(most),
            most,
            width,
        }
    }
}

fn rack_lines(
    shown: &Shown,
    marked: Option<Slot>,
    run: Option<Key>,
    theme: Theme,
    cells: usize,
) -> Vec<Line<'static>> {
    let columns = Columns::around(marked, shown, cells);
    let mut lines = vec![title(shown, &columns, theme, cells)];
    // One case needs neither number nor letter.
    let divided = head(shown) == 2;
    if divided {
        let width = columns.width;
        let numbers = (columns.first..columns.last).map(|it| format!("{:^width$}", it + 1));
        let numbers = format!("{}{}", " ".repeat(LEAD), numbers.collect::<String>());
        lines.push(Line::from(Span::styled(numbers, theme.dim())));
    }
    for row in 0..shown.rack.columns.len() {
        lines.push(row_line(shown, row, &columns, (marked, run), theme));
    }
    if !shown.anywhere.is_empty() {
        let lots = shown.anywhere.iter();
        let lots: Vec<String> = lots.map(|it| format!("{} {}", it.count, it.mark)).collect();
        let words = format!("    and without a slot: {}", lots.join(", "));
        lines.push(Line::from(Span::styled(
            text::cut(&words, cells),
            theme.text(),
        )));
    }
    lines.push(Line::default());
    lines
}

/// Its name, how full it is, where it stands, and which of its columns show where not all do.
fn title(shown: &Shown, columns: &Columns, theme: Theme, cells: usize) -> Line<'static> {
    let rack = &shown.rack;
    let mut title = vec![
        Span::raw(" "),
        Span::styled(rack.name.clone(), theme.strong()),
        Span::styled(
            format!("  {} of {}", shown.count, rack.room()),
            theme.text(),
        ),
    ];
    if !shown.room.is_empty() {
        title.push(Span::styled(format!("  {}", shown.room), theme.dim()));
    }
    let Columns {
        first, last, most, ..
    } = *columns;
    if last < most || first > 0 {
        let more = format!("  ‹ {} to {last} of {most} ›", first + 1);
        title.push(Span::styled(more, theme.dim()));
    }
    fitted(title, cells)
}

/// A row of slots, the marked one and those of the marked run standing out.
fn row_line(
    shown: &Shown,
    row: usize,
    columns: &Columns,
    (marked, run): (Option<Slot>, Option<Key>),
    theme: Theme,
) -> Line<'static> {
    let rack = &shown.rack;
    let here = marked.filter(|it| usize::from(it.row) == row);
    let letter = if head(shown) == 2 {
        char::from(b'A' + row.min(25) as u8)
    } else {
        ' '
    };
    let mut spans = vec![
        Span::raw(if here.is_some() { MARK } else { " " }),
        Span::styled(format!("{letter} "), theme.dim()),
        Span::styled("│", theme.dim()),
    ];
    let in_row = usize::from(rack.columns[row]);
    for column in columns.first..columns.last.min(in_row) {
        let slot = Slot {
            row: row as u16,
            column: column as u16,
        };
        let lots = shown.cells.get(&slot).map_or(&[][..], Vec::as_slice);
        let is_run = run.is_some_and(|run| lots.iter().any(|it| it.run == run));
        let mut drawn = cell(lots, rack.holds, theme);
        for span in &mut drawn {
            if is_run {
                span.style = span.style.add_modifier(Modifier::BOLD);
            }
            if here == Some(slot) {
                span.style = theme.selected();
            }
        }
        spans.extend(drawn);
    }
    if in_row <= columns.last {
        spans.push(Span::styled("│", theme.dim()));
    }
    Line::from(spans)
}

/// A slot with what lies in it. What is to be read stands in the colour of text, which shows on any
/// ground; the glass around it has that of the wine.
fn cell(lots: &[Lot], holds: i64, theme: Theme) -> [Span<'static>; 3] {
    let count: i64 = lots.iter().map(|it| it.count).sum();
    let kept: i64 = lots
        .iter()
        .filter(|it| !it.reserved.is_empty())
        .map(|it| it.count)
        .sum();
    let mut marks: Vec<&str> = lots.iter().map(|it| it.mark.as_str()).collect();
    marks.dedup();
    let mark = match marks.as_slice() {
        [] => "··".to_owned(),
        [one] => text::fit(one, 2),
        _ => "++".to_owned(),
    };
    let (glass, plain) = match lots.first() {
        Some(lot) if lots.iter().any(|it| it.sought) => (theme.wine(lot.wine), theme.text()),
        _ => (theme.dim(), theme.dim()),
    };
    let mark = if lots.iter().any(|it| it.sought) || lots.is_empty() {
        mark
    } else {
        "  ".to_owned()
    };
    let is_amiss = lots.iter().any(|it| !it.found.is_empty());
    let (open, close) = match (count, kept) {
        (0, _) => (' ', ' '),
        _ if is_amiss => ('!', '!'),
        (_, 0) => ('(', ')'),
        (count, kept) if count == kept => ('[', ']'),
        _ => ('(', ']'),
    };
    let words = if holds == 1 && count <= 1 {
        mark
    } else if holds == 1 {
        // Two in a slot for one, as after two copies met.
        text::fit_right(&format!("!{count}"), 2)
    } else {
        let part = text::fit_right(&format!("{count}/{holds}"), MANY - 4);
        format!("{mark}{part}")
    };
    [
        Span::styled(open.to_string(), glass),
        Span::styled(words, plain),
        Span::styled(close.to_string(), glass),
    ]
}

fn fitted(spans: Vec<Span<'static>>, cells: usize) -> Line<'static> {
    let mut left = cells;
    let mut kept = Vec::new();
    for span in spans {
        let words = text::cut(&span.content, left);
        left -= text::width(&words);
        kept.push(Span::styled(words, span.style));
    }
    Line::from(kept)
}
