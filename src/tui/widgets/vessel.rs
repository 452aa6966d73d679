//! A vessel as a small picture: its shape, how full it is, what it holds.
//!
//! The level is where it would be. A row of the picture is a disc as wide as it is drawn, so a
//! carboy's neck holds next to nothing: a third of a litre missing empties the neck, as in glass,
//! and headspace shows at a glance.

mod outline;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::{Modifier, Style};

use crate::cellar::thing::VesselKind;
use crate::tui::theme::Theme;

/// How large a picture is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Size {
    /// 9 columns by 7 rows.
    Small,
    /// 13 columns by 9 rows.
    Large,
}

impl Size {
    /// Columns of a picture.
    pub const fn width(self) -> u16 {
        match self {
            Size::Small => 9,
            Size::Large => 13,
        }
    }

    /// Rows of a picture.
    pub const fn height(self) -> u16 {
        match self {
            Size::Small => 7,
            Size::Large => 9,
        }
    }
}

/// What a picture shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Picture {
    /// Its shape.
    pub kind: VesselKind,
    /// How full, 0 to 1, of its brim or mark; more is drawn as full. `None` where nobody can say.
    pub full: Option<f64>,
    /// How the wine is drawn.
    pub wine: Style,
    /// Sediment lies on the ground.
    pub lees: bool,
    /// It is fermenting.
    pub bubbles: bool,
}

const EIGHTHS: [&str; 9] = [" ", "▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"];

/// Draws a picture at the top left of an area, as much of it as fits.
pub fn draw(picture: &Picture, size: Size, theme: Theme, area: Rect, buf: &mut Buffer) {
    let rows = outline::of(picture.kind, size);
    let full = picture.full.unwrap_or(0.0);
    let levels = levels(rows, full);
    let ground = rows.iter().rposition(|it| it.contains('w')).unwrap_or(0);
    // A level would claim to know: a question mark in the middle does not.
    let unsaid = (picture.full.is_none()).then(|| (usize::from(size.width()) / 2, ground - 1));
    let area = area.intersection(buf.area);
    for (y, row) in rows.iter().enumerate().take(usize::from(area.height)) {
        for (x, sign) in row.chars().enumerate().take(usize::from(area.width)) {
            let cell = &mut buf[(area.x + x as u16, area.y + y as u16)];
            let (symbol, style) = match sign {
                ' ' => continue,
                'w' if unsaid == Some((x, y)) => ("?", theme.dim()),
                'w' if y == ground && picture.lees && full > 0.0 => ("▒", theme.lees()),
                'w' if y == ground && levels[y] == 0 => ("─", theme.text()),
                'w' if picture.bubbles && levels[y] == 8 && (x + 2 * y).is_multiple_of(3) => {
                    // On a ground of wine where the wine is a block, among its signs where it is one.
                    let on_wine = picture.wine.add_modifier(Modifier::REVERSED);
                    if theme.ascii {
                        ("o", picture.wine)
                    } else {
                        ("°", on_wine)
                    }
                }
                'w' => (EIGHTHS[levels[y]], picture.wine),
                wall => {
                    cell.set_char(wall).set_style(theme.text());
                    continue;
                }
            };
            cell.set_symbol(symbol).set_style(style);
        }
    }
}

/// How much a row holds: it is a disc as wide as it is drawn.
fn holds(row: &str) -> f64 {
    (row.matches('w').count() as f64).powi(2)
}

/// Eighths of each row that stand in wine. Whatever is in a vessel shows at least an eighth, and
/// whatever is missing from it at least an eighth too.
fn levels(rows: &[&str], full: f64) -> Vec<usize> {
    let mut levels = vec![0; rows.len()];
    let whole: f64 = rows.iter().map(|it| holds(it)).sum();
    let mut left = full.clamp(0.0, 1.0) * whole;
    for (y, row) in rows
        .iter()
        .enumerate()
        .rev()
        .filter(|(_, it)| holds(it) > 0.0)
    {
        let share = (left / holds(row)).clamp(0.0, 1.0);
        let is_lowest = left >= full.clamp(0.0, 1.0) * whole;
        let least = usize::from(is_lowest && left > 0.0);
        levels[y] = ((share * 8.0).round() as usize).max(least);
        left = (left - holds(row)).max(0.0);
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
        let levels = levels(outline::of(kind, Size::Small), full);
        assert_eq!(levels, expected, "{kind:?} {full}");
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
    fn a_vessel_of_unknown_size_shows_no_level() {
        let theme = Theme {
            color: false,
            ascii: false,
        };
        for kind in VesselKind::ALL {
            for size in [Size::Small, Size::Large] {
                let picture = Picture {
                    kind: *kind,
                    full: None,
                    wine: Style::new(),
                    lees: true,
                    bubbles: false,
                };
                let area = Rect::new(0, 0, size.width(), size.height());
                let mut buf = Buffer::empty(area);
                draw(&picture, size, theme, area, &mut buf);
                let drawn: String = buf
                    .content
                    .iter()
                    .map(ratatui::buffer::Cell::symbol)
                    .collect();
                assert_eq!(drawn.matches('?').count(), 1, "{kind:?}");
                assert!(!drawn.contains(['█', '▄', '▒']), "{kind:?}: {drawn}");
            }
        }
    }

    #[test]
    fn a_bucket_is_nearly_straight() {
        check(VesselKind::Bucket, 0.5, [0, 0, 0, 6, 8, 8, 8]);
    }

    #[test]
    fn every_outline_is_as_large_as_it_says() {
        for kind in VesselKind::ALL {
            for size in [Size::Small, Size::Large] {
                let rows = outline::of(*kind, size);
                assert_eq!(rows.len(), usize::from(size.height()), "{kind:?}");
                for row in rows {
                    assert_eq!(row.chars().count(), usize::from(size.width()), "{row}");
                }
            }
        }
    }
}
