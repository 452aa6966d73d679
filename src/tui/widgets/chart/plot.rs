//! A course in full: readings as marks, what is expected as a shaded band with a line through it, the
//! level, what was done, and today. Every part has a shape of its own, so that none needs a colour.
//!
//! The general chart widget of the drawing library fills no band, and tells its parts by colour.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use crate::cellar::course::{Axes, Course, Extent, Point};
use crate::cellar::moment::Moment;
use crate::tui::theme::Theme;
use crate::tui::widgets::text;

const READING: &str = "●";
/// No more than that, anything down to nothing; and no less.
const BELOW: &str = "▼";
const ABOVE: &str = "△";
/// From where to where a reading may lie.
const REACH: &str = "│";
const BAND: &str = "░";
const MIDDLE: &str = "⠒";
const LEVEL: &str = "╌";
const TODAY: &str = "┊";
const DEED: &str = "▲";

/// Below this a sentence tells more than a drawing.
const LEAST: (u16, u16) = (32, 8);
/// Cells between two dates written.
const DATE: u16 = 10;
/// Rows between two figures written.
const FIGURE: u16 = 4;
/// Lines for what was done: more would leave too little for the wine.
const DEED_ROWS: usize = 2;

/// Whether there is room for a drawing.
pub fn fits(area: Rect) -> bool {
    area.width >= LEAST.0 && area.height >= LEAST.1
}

/// Draws a course, or says what it says where there is no room; `now` says the wall clock.
pub fn draw(course: &Course, now: Moment, theme: Theme, area: Rect, buf: &mut Buffer) {
    let figures = usize::from(area.height / FIGURE).clamp(2, 8);
    let axes = Axes::of(course, now, figures, usize::from(area.width / DATE));
    match axes {
        Some(axes) if fits(area) => {
            Plot::of(course, &axes, theme, area).draw(buf);
        }
        Some(_) => say(&course.said(now).join(" "), theme, area, buf),
        None => say(
            "Nothing was measured yet, and nothing can be foreseen.",
            theme,
            area,
            buf,
        ),
    }
}

fn say(words: &str, theme: Theme, area: Rect, buf: &mut Buffer) {
    let lines = text::wrap(words, usize::from(area.width));
    for (at, line) in lines.into_iter().take(usize::from(area.height)).enumerate() {
        text::put(buf, area, at, Line::from(Span::styled(line, theme.text())));
    }
}

struct Plot<'a> {
    course: &'a Course,
    axes: &'a Axes,
    theme: Theme,
    /// All of it.
    area: Rect,
    /// Where values stand.
    inner: Rect,
    /// What was done within the frame: column and words, in rows.
    deeds: Vec<Vec<(u16, &'a str)>>,
}

impl<'a> Plot<'a> {
    fn of(course: &'a Course, axes: &'a Axes, theme: Theme, area: Rect) -> Plot<'a> {
        let widths = axes.figures.iter().map(|it| text::width(&it.1));
        // Figures that no wine has are cut rather than leave no room for it.
        let gutter = (widths.max().unwrap_or(0) as u16 + 2).min(area.width / 2);
        let mut plot = Plot {
            course,
            axes,
            theme,
            area,
            inner: Rect {
                x: area.x + gutter,
                width: area.width.saturating_sub(gutter),
                y: area.y + 2,
                height: 0,
            },
            deeds: Vec::new(),
        };
        plot.lay_deeds();
        // The heading, the word over today, the axis and its dates.
        plot.inner.height = area.height.saturating_sub(4 + plot.deeds.len() as u16);
        plot
    }

    /// Words of deeds side by side; those that fit in no row leave their tick alone.
    fn lay_deeds(&mut self) {
        let (left, right) = (self.inner.x, self.inner.right());
        for (at_ms, words) in &self.course.marks {
            let Some(column) = self.column(*at_ms) else {
                continue;
            };
            let taken = text::width(words) as u16 + 3;
            let ends = |row: &[(u16, &str)]| {
                let last = row.last();
                last.map_or(left, |it| it.0 + text::width(it.1) as u16 + 3)
            };
            if column + taken > right + 1 {
                continue;
            }
            match self.deeds.iter().position(|row| ends(row) <= column) {
                Some(at) => self.deeds[at].push((column, words)),
                None if self.deeds.len() < DEED_ROWS => self.deeds.push(vec![(column, words)]),
                None => {}
            }
        }
    }

    /// The column of a moment, if it is within the frame.
    fn column(&self, at_ms: i64) -> Option<u16> {
        let cells = f64::from(self.inner.width.checked_sub(1)?);
        self.axes
            .holds(at_ms)
            .then(|| self.inner.x + (self.axes.across(at_ms) * cells).round() as u16)
    }

    /// The moment in the middle of a column, in parts of a cell.
    fn moment(&self, cells: f64) -> i64 {
        let share = cells / f64::from(self.inner.width.saturating_sub(1).max(1));
        self.axes.from_ms + (share * (self.axes.until_ms - self.axes.from_ms) as f64) as i64
    }

    /// How far below the upper edge a value stands, in rows.
    fn down(&self, value: f64) -> f64 {
        (1.0 - self.axes.up(value)) * f64::from(self.inner.height.saturating_sub(1))
    }

    /// The row of a value, if it is within the frame.
    fn row(&self, value: f64) -> Option<u16> {
        let down = self.down(value);
        let is_inside = down > -0.5 && down < f64::from(self.inner.height) - 0.5;
        is_inside.then(|| self.inner.y + down.round() as u16)
    }

    fn draw(&self, buf: &mut Buffer) {
        self.frame(buf);
        self.band(buf);
        self.level(buf);
        self.today(buf);
        self.middle(buf);
        for reading in &self.course.readings {
            self.reading(reading, buf);
        }
        self.level_word(buf);
        self.heading(buf);
    }

    /// Figures on the left, the axis with its days below, and what was done below them.
    fn frame(&self, buf: &mut Buffer) {
        let dim = self.theme.dim();
        let axis = self.inner.x - 1;
        for y in self.inner.top()..self.inner.bottom() {
            put(buf, axis, y, "│", dim);
        }
        for (value, words) in &self.axes.figures {
            let Some(y) = self.row(*value) else { continue };
            let room = usize::from(axis - self.area.x);
            put_words(buf, self.area.x, y, &text::fit_right(words, room), dim);
            put(buf, axis, y, "┤", dim);
        }
        let below = self.inner.bottom();
        put(buf, axis, below, "└", dim);
        for x in self.inner.left()..self.inner.right() {
            put(buf, x, below, "─", dim);
        }
        let mut free = self.area.x;
        for (at_ms, words) in &self.axes.days {
            let Some(x) = self.column(*at_ms) else {
                continue;
            };
            put(buf, x, below, "┬", dim);
            let wide = text::width(words) as u16;
            let begin = x.saturating_sub(wide / 2).max(free);
            if begin + wide <= self.area.right() {
                put_words(buf, begin, below + 1, words, dim);
                free = begin + wide + 1;
            }
        }
        for (at_ms, _) in &self.course.marks {
            if let Some(x) = self.column(*at_ms) {
                put(buf, x, below, DEED, self.theme.text());
            }
        }
        for (at, row) in self.deeds.iter().enumerate() {
            for (x, words) in row {
                let y = below + 2 + at as u16;
                put_words(buf, *x, y, &format!("{DEED} {words}"), self.theme.text());
            }
        }
    }

    fn band(&self, buf: &mut Buffer) {
        for cell in 0..self.inner.width {
            let Some(it) = self.course.expected_at(self.moment(f64::from(cell))) else {
                continue;
            };
            let (top, bottom) = (self.down(it.high).round(), self.down(it.low).round());
            for row in 0..self.inner.height {
                if (top..=bottom).contains(&f64::from(row)) {
                    let style = self.theme.dim();
                    put(buf, self.inner.x + cell, self.inner.y + row, BAND, style);
                }
            }
        }
    }

    /// The line through the band, two dots a column and four a row, so that it is smooth.
    fn middle(&self, buf: &mut Buffer) {
        let most = f64::from(self.inner.height) * 4.0 - 1.0;
        let dot = |half: u32| {
            let it = self
                .course
                .expected_at(self.moment(f64::from(half) / 2.0))?;
            // The middle of a row is between its second dot and its third.
            Some((self.down(it.mid) * 4.0 + 1.5).round().clamp(0.0, most) as u32)
        };
        let mut before = None;
        for half in 0..u32::from(self.inner.width) * 2 {
            let Some(at) = dot(half) else {
                before = None;
                continue;
            };
            // Where it is steep, the dots between hold it together.
            let from: u32 = before.unwrap_or(at);
            let between = if from < at {
                from + 1..=at
            } else {
                at..=from.max(at + 1) - 1
            };
            for dot in between {
                let (x, y) = (
                    self.inner.x + (half / 2) as u16,
                    self.inner.y + (dot / 4) as u16,
                );
                set_dot(buf, x, y, half % 2, dot % 4, self.theme.forecast());
            }
            before = Some(at);
        }
    }

    fn level(&self, buf: &mut Buffer) {
        let Some(y) = self.course.level.and_then(|it| self.row(it.0)) else {
            return;
        };
        for x in self.inner.left()..self.inner.right() {
            put(buf, x, y, LEVEL, self.theme.text());
        }
    }

    /// A reading at its figure, with a stroke over all that it may be where that is more.
    fn reading(&self, reading: &Point, buf: &mut Buffer) {
        let (Some(x), Some(y)) = (self.column(reading.at_ms), self.row(reading.value)) else {
            return;
        };
        let (low, high) = reading.reach();
        if let (Some(top), Some(bottom)) = (self.row(high), self.row(low)) {
            for y in top..=bottom {
                put(buf, x, y, REACH, self.theme.strong());
            }
        }
        put(buf, x, y, sign(reading.known), self.theme.strong());
    }

    /// The level's word at the end of its line, if nothing else stands there.
    fn level_word(&self, buf: &mut Buffer) {
        let Some((value, word)) = self.course.level else {
            return;
        };
        let Some(y) = self.row(value) else { return };
        let words = format!(" {word} {} ", self.course.figure(value));
        let wide = text::width(&words) as u16;
        let (left, right) = (self.inner.left(), self.inner.right().saturating_sub(wide));
        let is_free =
            |x: u16| (x..x + wide).all(|x| buf.cell((x, y)).is_some_and(|it| it.symbol() == LEVEL));
        let free = [right, left]
            .into_iter()
            .find(|it| *it >= left && is_free(*it));
        if let Some(x) = free {
            put_words(buf, x, y, &words, self.theme.text());
        }
    }

    fn today(&self, buf: &mut Buffer) {
        let Some(x) = self.column(self.course.now_ms) else {
            return;
        };
        for y in self.inner.top()..self.inner.bottom() {
            put(buf, x, y, TODAY, self.theme.text());
        }
        let begin = x.saturating_sub(2).min(self.area.right().saturating_sub(5));
        put_words(buf, begin, self.inner.y - 1, "today", self.theme.text());
    }

    /// What it is of, and what each shape means.
    fn heading(&self, buf: &mut Buffer) {
        let unit = match self.course.unit {
            "" => String::new(),
            unit => format!(", {unit}"),
        };
        let title = format!("{}{unit}", self.course.title);
        let mut spans = vec![Span::styled(title.clone(), self.theme.strong())];
        let mut used = text::width(&title);
        let mut deeds = self.course.marks.iter();
        let has_deed = deeds.any(|it| self.column(it.0).is_some());
        let has_band = !self.course.expected.is_empty();
        let reads = |signs: &[&str]| {
            let mut readings = self.course.readings.iter();
            readings.any(|it| signs.contains(&sign(it.known)))
        };
        // One more shape takes the room of the longer words.
        let often = if self.area.width < 68 || reads(&[BELOW, ABOVE]) {
            "4 in 5"
        } else {
            "four times in five"
        };
        let parts = [
            (reads(&[READING]), READING, self.theme.strong(), "measured"),
            (reads(&[BELOW]), BELOW, self.theme.strong(), "less than"),
            (reads(&[ABOVE]), ABOVE, self.theme.strong(), "more than"),
            (has_band, MIDDLE, self.theme.forecast(), "expected"),
            (has_band, BAND, self.theme.dim(), often),
            (has_deed, DEED, self.theme.text(), "done"),
        ];
        for (_, sign, style, words) in parts.into_iter().filter(|it| it.0) {
            let wide = text::width(words) + 6;
            if used + wide > usize::from(self.area.width) {
                break;
            }
            used += wide;
            spans.push(Span::styled(format!("   {sign}{sign} "), style));
            spans.push(Span::styled(words, self.theme.dim()));
        }
        text::put(buf, self.area, 0, Line::from(spans));
    }
}

const fn sign(known: Extent) -> &'static str {
    match known {
        Extent::Exact | Extent::Between(..) => READING,
        Extent::Below => BELOW,
        Extent::Above => ABOVE,
    }
}

fn put(buf: &mut Buffer, x: u16, y: u16, sign: &str, style: Style) {
    if let Some(cell) = buf.cell_mut((x, y)) {
        cell.set_symbol(sign);
        cell.set_style(Style::reset().patch(style));
    }
}

fn put_words(buf: &mut Buffer, x: u16, y: u16, words: &str, style: Style) {
    if x < buf.area.right() && y < buf.area.bottom() {
        buf.set_stringn(x, y, words, usize::from(buf.area.right() - x), style);
    }
}

/// Sets one of the eight dots of a cell: braille patterns stand at U+2800 in the order of their dots
/// (The Unicode Standard, Braille Patterns).
fn set_dot(buf: &mut Buffer, x: u16, y: u16, column: u32, row: u32, style: Style) {
    const FIRST: u32 = 0x2800;
    let bit = match (column, row) {
        (0, 3) => 0x40,
        (_, 3) => 0x80,
        (0, row) => 1 << row,
        (_, row) => 8 << row,
    };
    let Some(cell) = buf.cell_mut((x, y)) else {
        return;
    };
    let sign = cell.symbol().chars().next().map_or(0, u32::from);
    let dots = sign
        .checked_sub(FIRST)
        .filter(|it| *it < 0x100)
        .unwrap_or(0);
    if let Some(sign) = char::from_u32(FIRST + (dots | bit)) {
        cell.set_char(sign);
        cell.set_style(Style::reset().patch(style));
    }
}

#[cfg(test)]
mod tests;
