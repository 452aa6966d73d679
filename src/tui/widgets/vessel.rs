//! A vessel as a small picture: its shape, how full it is, what it holds.
//!
//! The level is where it would be. A row of the picture is a disc as wide as it is drawn, so a
//! carboy's neck holds next to nothing: a third of a litre missing empties the neck, as in glass,
//! and headspace shows at a glance.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::{Modifier, Style};

use crate::cellar::thing::VesselKind;
use crate::tui::theme::Theme;

/// Columns of a picture.
pub const WIDTH: u16 = 9;
/// Rows of a picture.
pub const HEIGHT: u16 = 7;

/// What a picture shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Picture {
    /// Its shape.
    pub kind: VesselKind,
    /// How full, 0 to 1, of its brim or mark; more is drawn as full.
    pub full: f64,
    /// How the wine is drawn.
    pub wine: Style,
    /// Sediment lies on the ground.
    pub lees: bool,
    /// It is fermenting.
    pub bubbles: bool,
}

/// Outlines, from the top. `w` is a cell that wine can stand in; the last row is the ground, whose
/// cells hold wine or sediment, and are drawn as a line when there is none.
const fn outline(kind: VesselKind) -> [&'static str; HEIGHT as usize] {
    match kind {
        VesselKind::Carboy | VesselKind::Other => [
            "   ╷ ╷   ",
            "   │w│   ",
            " ╭─╯w╰─╮ ",
            "╭╯wwwww╰╮",
            "│wwwwwww│",
            "│wwwwwww│",
            "╰wwwwwww╯",
        ],
        VesselKind::Demijohn => [
            "   ╷ ╷   ",
            "   │w│   ",
            "  ╭╯w╰╮  ",
            " ╭╯www╰╮ ",
            "╭╯wwwww╰╮",
            "╰╮wwwww╭╯",
            " ╰wwwww╯ ",
        ],
        VesselKind::Jug => [
            "   ╷ ╷   ",
            "   │w├─╮ ",
            "  ╭╯w╰╮│ ",
            " ╭╯www╰┤ ",
            " │wwwww│ ",
            " │wwwww│ ",
            " ╰wwwww╯ ",
        ],
        VesselKind::Bucket => [
            "┌───────┐",
            "├wwwwwww┤",
            "│wwwwwww│",
            "│wwwwwww│",
            "╰╮wwwww╭╯",
            " │wwwww│ ",
            " ╰wwwww╯ ",
        ],
        VesselKind::Tank => [
            "  ╭─┴─╮  ",
            "╭─╯www╰─╮",
            "│wwwwwww│",
            "│wwwwwww│",
            "│wwwwwww│",
            "├wwwwwww┤",
            "╵       ╵",
        ],
        VesselKind::Barrel => [
            " ╭──┬──╮ ",
            "╭┤wwwww├╮",
            "│┊wwwww┊│",
            "│┊wwwww┊│",
            "│┊wwwww┊│",
            "╰┤wwwww├╯",
            " ╰─────╯ ",
        ],
        VesselKind::Keg => [
            " ╭┬─┴─┬╮ ",
            " ├wwwww┤ ",
            " │wwwww│ ",
            " │wwwww│ ",
            " │wwwww│ ",
            " │wwwww│ ",
            " ╰wwwww╯ ",
        ],
    }
}

const EIGHTHS: [&str; 9] = [" ", "▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"];

/// Draws a picture at the top left of an area, as much of it as fits.
pub fn draw(picture: &Picture, theme: Theme, area: Rect, buf: &mut Buffer) {
    let rows = outline(picture.kind);
    let levels = levels(&rows, picture.full);
    let ground = rows.iter().rposition(|it| it.contains('w')).unwrap_or(0);
    let area = area.intersection(buf.area);
    for (y, row) in rows.iter().enumerate().take(usize::from(area.height)) {
        let inside: Vec<usize> = cells(row).collect();
        for (x, sign) in row.chars().enumerate().take(usize::from(area.width)) {
            let cell = &mut buf[(area.x + x as u16, area.y + y as u16)];
            if !inside.contains(&x) {
                if sign != ' ' {
                    cell.set_char(sign).set_style(theme.text());
                }
            } else if y == ground && picture.lees && picture.full > 0.0 {
                cell.set_symbol("▒").set_style(theme.lees());
            } else if y == ground && levels[y] == 0 {
                cell.set_symbol("─").set_style(theme.text());
            } else if picture.bubbles && levels[y] == 8 && (x + 2 * y) % 3 == 0 {
                cell.set_symbol("°")
                    .set_style(picture.wine.add_modifier(Modifier::REVERSED));
            } else {
                cell.set_symbol(EIGHTHS[levels[y]]).set_style(picture.wine);
            }
        }
    }
}

fn cells(row: &str) -> impl Iterator<Item = usize> {
    row.chars()
        .enumerate()
        .filter(|(_, it)| *it == 'w')
        .map(|(x, _)| x)
}

/// Eighths of each row that stand in wine. Whatever is in a vessel shows at least an eighth, and
/// whatever is missing from it at least an eighth too.
fn levels(rows: &[&str; HEIGHT as usize], full: f64) -> [usize; HEIGHT as usize] {
    let mut levels = [0; HEIGHT as usize];
    let holds = rows.map(|row| (cells(row).count() as f64).powi(2));
    let whole: f64 = holds.iter().sum();
    let mut left = full.clamp(0.0, 1.0) * whole;
    let mut lowest = true;
    for y in (0..rows.len()).rev().filter(|y| holds[*y] > 0.0) {
        let share = (left / holds[y]).clamp(0.0, 1.0);
        let mut eighths = (share * 8.0).round() as usize;
        if lowest && left > 0.0 {
            eighths = eighths.max(1);
        }
        levels[y] = eighths;
        left = (left - holds[y]).max(0.0);
        lowest = false;
    }
    let top = rows.iter().position(|it| it.contains('w'));
    if let Some(top) = top.filter(|top| full < 1.0 && levels[*top] == 8) {
        levels[top] = 7;
    }
    levels
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(kind: VesselKind, full: f64, expected: [usize; 7]) {
        assert_eq!(levels(&outline(kind), full), expected, "{kind:?} {full}");
    }

    #[test]
    fn the_neck_empties_with_next_to_nothing() {
        check(VesselKind::Carboy, 1.0, [0, 8, 8, 8, 8, 8, 8]);
        check(VesselKind::Carboy, 0.9999, [0, 7, 8, 8, 8, 8, 8]);
        check(VesselKind::Carboy, 0.985, [0, 0, 0, 8, 8, 8, 8]);
        check(VesselKind::Carboy, 0.0, [0; 7]);
        check(VesselKind::Carboy, 0.001, [0, 0, 0, 0, 0, 0, 1]);
    }

    #[test]
    fn a_bucket_is_nearly_straight() {
        check(VesselKind::Bucket, 0.5, [0, 0, 0, 6, 8, 8, 8]);
    }

    #[test]
    fn every_outline_is_as_wide_as_it_says() {
        for kind in VesselKind::ALL {
            for row in outline(*kind) {
                assert_eq!(row.chars().count(), usize::from(WIDTH), "{kind:?} {row}");
            }
        }
    }
}
