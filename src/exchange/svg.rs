//! Charts as one SVG document (W3C, Scalable Vector Graphics 1.1): no fonts, links or colours of its
//! own, so that it prints on any printer. The band is hatched, the level dashed, today dotted; whoever
//! cannot see it has the same in its title and description.

use std::fmt::Write;

use super::page::{Page, plain};
use crate::cellar::course::{Axes, Course, Expected, Extent, Point};
use crate::cellar::moment::Moment;

/// Width of the page, in its own units; a letter is about 7 of them.
const WIDTH: f64 = 800.0;
/// Where values stand within a chart: left, right, upper and lower edge from its top.
const LEFT: f64 = 60.0;
const RIGHT: f64 = WIDTH - 20.0;
const UPPER: f64 = 50.0;
const LOWER: f64 = 290.0;
/// Between two lines of words.
const LINE: f64 = 18.0;
/// Letters of a line.
const LETTERS: usize = 105;
/// Rows for the words of what was done.
const DEED_ROWS: usize = 2;

/// A document with those charts, one below the other. `name` is what they are of; `now` says the wall
/// clock. Courses that have nothing to show are left out.
pub fn charts(name: &str, courses: &[Course], now: Moment) -> String {
    let framed = courses
        .iter()
        .filter_map(|it| Some((it, Axes::of(it, now, 6, 9)?)));
    let mut body = String::new();
    let mut top = 40.0;
    let mut described: Vec<String> = Vec::new();
    for (course, axes) in framed {
        let said = course.said(now);
        described.push(format!("{}. {}", heading(course), said.join(" ")));
        let mut chart = Chart {
            course,
            axes: &axes,
            top,
            out: &mut body,
        };
        chart.draw();
        top = chart.words(&said) + LINE;
    }
    let title = format!("{name}, {}", now.day_words());
    let mut out = String::new();
    line(
        &mut out,
        format_args!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH}" height="{top}" viewBox="0 0 {WIDTH} {top}" role="img" aria-labelledby="title desc" font-family="sans-serif" font-size="13" fill="black" stroke="none">"#
        ),
    );
    line(
        &mut out,
        format_args!(r#"<title id="title">{}</title>"#, escaped(&title)),
    );
    line(
        &mut out,
        format_args!(
            r#"<desc id="desc">{}</desc>"#,
            escaped(&described.join(" "))
        ),
    );
    line(
        &mut out,
        format_args!(
            r#"<defs><pattern id="hatching" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M0 0V6" stroke="gray" stroke-width="1.5"/></pattern></defs>"#
        ),
    );
    line(
        &mut out,
        format_args!(r#"<rect width="{WIDTH}" height="{top}" fill="white"/>"#),
    );
    line(
        &mut out,
        format_args!(
            r#"<text x="{LEFT}" y="26" font-size="18">{}</text>"#,
            escaped(&title)
        ),
    );
    out.push_str(&body);
    out.push_str("</svg>\n");
    out
}

/// `Free SO2, mg/L`.
fn heading(course: &Course) -> String {
    match course.unit {
        "" => course.title.clone(),
        unit => format!("{}, {unit}", course.title),
    }
}

fn line(out: &mut String, words: std::fmt::Arguments<'_>) {
    // Writing to a string does not fail.
    let _ = writeln!(out, "{words}");
}

/// Text as it may stand in XML 1.0: its own signs written out, and nothing that it may not hold.
fn escaped(text: &str) -> String {
    plain(text)
        .replace(['\u{fffe}', '\u{ffff}'], "\u{fffd}")
        .replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

/// What stands at the figure of a reading.
#[derive(Clone, Copy, PartialEq)]
enum Sign {
    Dot,
    /// Its point at the figure, and so far from it, downwards, its base.
    Wedge(f64),
}

fn sign(known: Extent) -> Sign {
    match known {
        Extent::Exact | Extent::Between(..) => Sign::Dot,
        Extent::Below => Sign::Wedge(-10.0),
        Extent::Above => Sign::Wedge(10.0),
    }
}

struct Chart<'a> {
    course: &'a Course,
    axes: &'a Axes,
    /// Where it begins, from the top of the page.
    top: f64,
    out: &'a mut String,
}

impl Chart<'_> {
    fn x(&self, at_ms: i64) -> f64 {
        LEFT + self.axes.across(at_ms) * (RIGHT - LEFT)
    }

    fn y(&self, value: f64) -> f64 {
        self.top + LOWER - self.axes.up(value) * (LOWER - UPPER)
    }

    fn draw(&mut self) {
        self.frame();
        self.expected();
        self.level();
        self.today();
        self.deeds();
        self.readings();
        self.key();
    }

    fn line(&mut self, words: std::fmt::Arguments<'_>) {
        line(self.out, words);
    }

    fn text(&mut self, x: f64, y: f64, anchor: &str, words: &str) {
        let words = escaped(words);
        self.line(format_args!(
            r#"<text x="{x:.1}" y="{y:.1}" text-anchor="{anchor}">{words}</text>"#
        ));
    }

    fn frame(&mut self) {
        let (axes, top) = (self.axes, self.top);
        for (value, words) in &axes.figures {
            let y = self.y(*value);
            self.line(format_args!(
                r#"<path class="figure" d="M{LEFT} {y:.1}H{RIGHT}" stroke="lightgray"/>"#
            ));
            self.text(LEFT - 8.0, y + 4.0, "end", words);
        }
        let below = top + LOWER;
        for (at_ms, words) in &axes.days {
            let x = self.x(*at_ms);
            self.line(format_args!(
                r#"<path class="day" d="M{x:.1} {below}v6" stroke="black"/>"#
            ));
            self.text(x, below + 20.0, "middle", words);
        }
        self.line(format_args!(
            r#"<path class="axis" d="M{LEFT} {}V{below}H{RIGHT}" fill="none" stroke="black"/>"#,
            top + UPPER
        ));
    }

    /// The band as a hatched area with a thin edge, and the line through it.
    fn expected(&mut self) {
        let is_drawn = |it: &&Expected| [it.low, it.mid, it.high].iter().all(|it| it.is_finite());
        let all: Vec<&Expected> = self.course.expected.iter().filter(is_drawn).collect();
        if all.is_empty() {
            return;
        }
        let along = |of: fn(&Expected) -> f64| {
            let points = all.iter().map(|it| (self.x(it.at_ms), self.y(of(it))));
            points
                .map(|(x, y)| format!("{x:.1} {y:.1}"))
                .collect::<Vec<_>>()
        };
        let (mut low, mid, high) = (
            along(|it| it.low),
            along(|it| it.mid).join(" "),
            along(|it| it.high).join(" "),
        );
        low.reverse();
        let low = low.join(" ");
        self.line(format_args!(
            r#"<polygon class="band" points="{high} {low}" fill="url(#hatching)" stroke="gray" stroke-width="0.5"/>"#
        ));
        self.line(format_args!(
            r#"<polyline class="expected" points="{mid}" fill="none" stroke="black" stroke-width="2"/>"#
        ));
    }

    fn level(&mut self) {
        let Some((value, word)) = self.course.level.filter(|it| it.0.is_finite()) else {
            return;
        };
        let y = self.y(value);
        self.line(format_args!(
            r#"<path class="level" d="M{LEFT} {y:.1}H{RIGHT}" stroke="black" stroke-dasharray="8 5"/>"#
        ));
        let words = format!("{word} {}", self.course.figure(value));
        self.text(RIGHT, y - 5.0, "end", &words);
    }

    fn today(&mut self) {
        let x = self.x(self.course.now_ms);
        let (upper, lower) = (self.top + UPPER, self.top + LOWER);
        self.line(format_args!(
            r#"<path class="today" d="M{x:.1} {upper}V{lower}" stroke="black" stroke-dasharray="1 4"/>"#
        ));
        // At either edge the word still stands on the page.
        let at = x.clamp(LEFT + 20.0, RIGHT - 20.0);
        self.text(at, upper - 5.0, "middle", "today");
    }

    /// Ticks on the axis, with their words below in as many rows as there are.
    fn deeds(&mut self) {
        let (course, axes) = (self.course, self.axes);
        let mut ends = [LEFT; DEED_ROWS];
        let shown = course.marks.iter().filter(|it| axes.holds(it.0));
        for (at_ms, words) in shown {
            let (x, y) = (self.x(*at_ms), self.top + LOWER);
            self.line(format_args!(
                r#"<path class="deed" d="M{x:.1} {y}l-5 9h10z"/>"#
            ));
            let wide = 14.0 + 7.0 * words.chars().count() as f64;
            let row = ends.iter().position(|it| *it <= x);
            if let Some(row) = row.filter(|_| x + wide <= WIDTH) {
                ends[row] = x + wide;
                self.text(x, y + 38.0 + row as f64 * LINE, "start", words);
            }
        }
    }

    fn readings(&mut self) {
        let course = self.course;
        for reading in course.readings.iter().filter(|it| it.value.is_finite()) {
            self.reading(reading);
        }
    }

    /// A dot at its figure; a line over all that it may be, which hangs from a wedge where no more than that is known.
    fn reading(&mut self, reading: &Point) {
        let (x, y) = (self.x(reading.at_ms), self.y(reading.value));
        let (low, high) = reading.reach();
        if low < high {
            let (upper, lower) = (self.y(high), self.y(low));
            self.line(format_args!(
                r#"<path class="reach" d="M{x:.1} {upper:.1}V{lower:.1}" stroke="black" stroke-width="1.5"/>"#
            ));
        }
        match sign(reading.known) {
            Sign::Dot => self.line(format_args!(
                r#"<circle class="reading" cx="{x:.1}" cy="{y:.1}" r="4"/>"#
            )),
            Sign::Wedge(to) => self.line(format_args!(
                r#"<path class="bound" d="M{x:.1} {y:.1}l-6 {to}h12z"/>"#
            )),
        }
    }

    /// What it is of, and what each shape means.
    fn key(&mut self) {
        let course = self.course;
        let y = self.top + 18.0;
        self.line(format_args!(
            r#"<text x="{LEFT}" y="{y}" font-weight="bold">{}</text>"#,
            escaped(&heading(course))
        ));
        let mut x = LEFT + 170.0;
        let mut readings = course.readings.iter();
        if readings.any(|it| sign(it.known) == Sign::Dot) {
            self.line(format_args!(r#"<circle cx="{x}" cy="{}" r="4"/>"#, y - 4.0));
            self.text(x + 12.0, y, "start", "measured");
            x += 110.0;
        }
        for (known, words) in [(Extent::Below, "less than"), (Extent::Above, "more than")] {
            let Sign::Wedge(to) = sign(known) else {
                continue;
            };
            if course.readings.iter().any(|it| it.known == known) {
                let at = y - 4.0 - to / 2.0;
                self.line(format_args!(r#"<path d="M{x} {at}l-6 {to}h12z"/>"#));
                self.text(x + 12.0, y, "start", words);
                x += 100.0;
            }
        }
        if !course.expected.is_empty() {
            self.line(format_args!(
                r#"<path d="M{x} {}h24" stroke="black" stroke-width="2"/>"#,
                y - 4.0
            ));
            self.text(x + 32.0, y, "start", "expected");
            x += 120.0;
            self.line(format_args!(
                r#"<rect x="{x}" y="{}" width="24" height="12" fill="url(#hatching)" stroke="gray" stroke-width="0.5"/>"#,
                y - 11.0
            ));
            self.text(x + 32.0, y, "start", "four times in five");
            x += 160.0;
        }
        if course.marks.iter().any(|it| self.axes.holds(it.0)) {
            self.line(format_args!(r#"<path d="M{x} {}l-5 9h10z"/>"#, y - 9.0));
            self.text(x + 12.0, y, "start", "done");
        }
    }

    /// What it says in sentences, below it; where they end.
    fn words(&mut self, said: &[String]) -> f64 {
        let mut y = self.top + LOWER + 38.0 + DEED_ROWS as f64 * LINE;
        let mut page = Page::default();
        for sentence in said {
            page.wrapped("", sentence, LETTERS);
        }
        for words in page.text().lines() {
            self.text(LEFT, y, "start", words);
            y += LINE;
        }
        y
    }
}

#[cfg(test)]
mod tests;
