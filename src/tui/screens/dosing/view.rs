//! The dosing screen: the wine's state, the figure to give, then every line it hangs on.

use leesline_calc::Answer;
use leesline_calc::answer::CautionKind;
use leesline_calc::quantity::{Quantity, Units};
use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use super::digits::{self, Size};
use super::figure::{self, Figure};
use super::known::Sign;
use super::sheet::{Row, Sheet};
use super::{Dosing, Typing, working};
use crate::tui::glance::glance;
use crate::tui::message::Facts;
use crate::tui::theme::{MARK, Theme};
use crate::tui::widgets::text;

/// Columns of a label, and of a value, on a line of the sheet.
const LABEL: usize = 17;
const VALUE: usize = 17;
/// Columns before the large figure, where the verb stands.
const VERB: usize = 11;

pub(super) fn draw(
    pane: &Dosing,
    sheet: &Sheet,
    facts: &Facts,
    theme: Theme,
    area: Rect,
    buf: &mut Buffer,
) -> Option<Position> {
    let cells = usize::from(area.width);
    let height = usize::from(area.height);
    let drawing = Page {
        sheet,
        facts,
        theme,
        cells,
        units: facts.cellar.settings().units,
        size: match height {
            28.. => Some(Size::Tall),
            19.. => Some(Size::Small),
            _ => None,
        },
    };
    let mut head = drawing.head();
    let foot = drawing.foot(pane.cautioned, height);
    // The lines keep at least four rows, whatever is said above and below.
    let rule = 1;
    head.truncate(height.saturating_sub(foot.len() + rule + 4).max(1));
    let rows_height = height.saturating_sub(head.len() + foot.len() + rule);
    let mut at = 0;
    for line in head {
        text::put(buf, area, at, line);
        at += 1;
    }
    let lines = Rect {
        y: area.y
            + u16::try_from(at + rule)
                .unwrap_or(u16::MAX)
                .min(area.height),
        height: u16::try_from(rows_height).unwrap_or(u16::MAX),
        ..area
    };
    let lines = lines.intersection(area);
    let wide = cells >= 112 && rows_height >= 10;
    let left = Rect {
        width: if wide { 76 } else { lines.width },
        ..lines
    };
    let (cursor, below) = drawing.rows(pane, left, buf);
    text::put(buf, area, at, drawing.rule(below));
    if wide {
        let right = Rect {
            x: lines.x + 78,
            width: lines.width.saturating_sub(79),
            ..lines
        };
        drawing.beside(right, buf);
    }
    for (n, line) in foot.into_iter().enumerate() {
        text::put(buf, area, at + rule + rows_height + n, line);
    }
    cursor
}

struct Page<'a> {
    sheet: &'a Sheet,
    facts: &'a Facts,
    theme: Theme,
    cells: usize,
    units: Units,
    size: Option<Size>,
}

impl Page<'_> {
    /// Title, state, figure, what it comes to.
    fn head(&self) -> Vec<Line<'static>> {
        let mut lines = vec![self.title()];
        lines.extend(self.state());
        match (&self.sheet.outcome, &self.sheet.thumb) {
            (Ok(answer), thumb) => {
                let figure = figure::of(self.sheet.calculator, answer, self.sheet.band, self.units);
                lines.extend(self.figure(&figure));
                if self.sheet.calculator.name == super::BY_SPOON {
                    lines.extend(self.buys(answer));
                }
                if let (Some(thumb), true) = (thumb, self.sheet.lacks_test()) {
                    lines.extend(self.untested(thumb));
                }
            }
            (Err(_), Some(thumb)) if self.sheet.lacks("ph") => lines.extend(self.by_thumb(thumb)),
            (Err(fault), _) => {
                lines.push(Line::default());
                let row = fault.key.as_deref().and_then(|it| self.sheet.row(it));
                let said = match row {
                    Some(row) => format!("{}: {}", row.label, fault.sentence),
                    None => fault.sentence.clone(),
                };
                lines.extend(self.wrapped("!", &said, 2, self.theme.warn()));
            }
        }
        lines
    }

    fn title(&self) -> Line<'static> {
        let sheet = self.sheet;
        let name = if sheet.calculator.name == super::DOSE {
            "Dose"
        } else {
            sheet.calculator.name
        };
        let of = match sheet.vessel.and_then(|it| self.facts.cellar.thing(it)) {
            Some(vessel) => {
                let seen = glance(vessel, self.facts);
                format!("{} · {} · {}", vessel.name(), seen.holds, seen.volume())
            }
            None => "no vessel".to_owned(),
        };
        let answer = sheet.outcome.as_ref().ok();
        let aim = answer.and_then(|it| it.number("target_free_so2_mg_l"));
        let aim = aim.map_or(String::new(), |it| format!("aim {it:.0} mg/L free "));
        let room = self
            .cells
            .saturating_sub(text::width(name) + text::width(&aim) + 5);
        Line::from(vec![
            Span::raw(" "),
            Span::styled(format!("{name}  "), self.theme.dim()),
            Span::styled(text::fit(&of, room), self.theme.strong()),
            Span::raw("  "),
            Span::styled(aim, self.theme.strong()),
        ])
    }

    /// Where the wine stands, before any number; a wine that is not to be dosed says so.
    fn state(&self) -> Vec<Line<'static>> {
        let Some(row) = self.sheet.row("state") else {
            return Vec::new();
        };
        if let Ok(answer) = &self.sheet.outcome {
            let mut stops = answer
                .cautions
                .iter()
                .filter(|it| it.kind == CautionKind::State);
            if let Some(stop) = stops.next() {
                return self.wrapped("!", &stop.sentence, 2, self.theme.warn());
            }
        }
        let (sign, words) = if row.is_typed {
            ("", "as you typed")
        } else {
            (row.known.sign.mark(), row.known.words.as_str())
        };
        let state = row.text.text().replace('-', " ");
        let line = format!("The wine is {state} {sign} {words}");
        vec![Line::from(format!(
            " {}",
            text::cut(&line, self.cells.saturating_sub(2))
        ))]
    }

    fn figure(&self, figure: &Figure) -> Vec<Line<'static>> {
        let waits = figure.verb == "not now";
        let large = self.size.filter(|_| !waits && !figure.number.is_empty());
        let large = large.and_then(|size| digits::large(&figure.number, size));
        let mut lines = Vec::new();
        let mut side: Vec<String> = Vec::new();
        side.extend(figure.band.as_ref().map(|it| format!("({it})")));
        side.extend(figure.ways.iter().cloned());
        match large {
            Some(rows) => {
                lines.push(Line::default());
                let width = rows.first().map_or(0, |it| text::width(it));
                let last = rows.len() - 1;
                let unit_room = if figure.ways.is_empty() { 0 } else { 7 };
                let beside = side.len() <= rows.len() && !figure.ways.is_empty();
                for (at, row) in rows.into_iter().enumerate() {
                    let verb = if at == last { figure.verb } else { "" };
                    let unit = if at == last { figure.unit.as_str() } else { "" };
                    let words = side.get(at).filter(|_| beside).cloned().unwrap_or_default();
                    let words = if figure.ways.is_empty() && at + 1 == last {
                        side.first().cloned().unwrap_or_default()
                    } else {
                        words
                    };
                    let room = self.cells.saturating_sub(VERB + width + unit_room + 4);
                    lines.push(Line::from(vec![
                        Span::styled(format!(" {}", text::fit(verb, VERB)), self.theme.strong()),
                        Span::styled(row, self.theme.strong()),
                        Span::styled(
                            format!(" {}  ", text::fit(unit, unit_room.max(text::width(unit)))),
                            self.theme.strong(),
                        ),
                        Span::raw(text::cut(&words, room)),
                    ]));
                }
                lines.push(Line::default());
            }
            None if waits => {
                let dose = format!(
                    "Not now. All the same it would be {} {}.",
                    figure.number, figure.unit
                );
                lines.extend(self.wrapped(" ", &dose, 2, self.theme.text()));
            }
            None => {
                let said = format!("{} {} {}", figure.verb, figure.number, figure.unit);
                let words = side.join(", ");
                let said = said.trim().to_owned();
                let room = self.cells.saturating_sub(text::width(&said) + 4);
                lines.push(Line::from(vec![
                    Span::styled(format!(" {said}  "), self.theme.strong()),
                    Span::raw(text::cut(&words, room)),
                ]));
            }
        }
        for sum in &figure.sums {
            lines.extend(self.wrapped(" ", sum, 1, self.theme.text()));
        }
        if let Some(half) = figure.half.as_ref().filter(|_| !waits) {
            lines.push(Line::from(vec![
                Span::styled(format!(" {half} "), self.theme.strong()),
                Span::styled("h", self.theme.key()),
            ]));
        }
        lines
    }

    /// No pH: the rule of thumb stands in, and says what it is worth.
    fn by_thumb(&self, thumb: &Answer) -> Vec<Line<'static>> {
        let why = "Its pH was never measured, so the dose is not known. The rule of thumb says:";
        let mut lines = self.wrapped("?", why, 2, self.theme.strong());
        if let Some(by_spoon) = leesline_calc::registry::find(super::BY_SPOON) {
            let main = figure::main_result(by_spoon, thumb);
            let band = main.and_then(|it| ends(thumb, it));
            let mut figure = figure::of(by_spoon, thumb, band, self.units);
            figure.sums.clear();
            lines.extend(self.figure(&figure));
        }
        lines.extend(self.buys(thumb));
        lines
    }

    /// What the rule of thumb leaves, and what measuring would buy.
    fn buys(&self, thumb: &Answer) -> Vec<Line<'static>> {
        let leaves = |key: &str| {
            let (low, high) = ends(thumb, key)?;
            Some(format!("{low:.1}–{high:.1}"))
        };
        let (Some(none), Some(strip), Some(both)) = (
            leaves("molecular_so2_mg_l"),
            leaves("molecular_with_strip_mg_l"),
            leaves("molecular_with_both_mg_l"),
        ) else {
            return Vec::new();
        };
        let worth = format!(
            "It leaves {none} mg/L molecular where 0.8 is wanted. A pH strip makes that {strip}; a meter with an SO2 test {both}."
        );
        let mut lines = self.wrapped(" ", &worth, 2, self.theme.text());
        let mut keys = vec![
            Span::styled(" m", self.theme.key()),
            Span::raw(" writes down a measurement"),
        ];
        let other = if self.sheet.calculator.name == super::BY_SPOON {
            " reckons by pH and a test"
        } else {
            " takes the rule of thumb, to write it down"
        };
        keys.push(Span::styled("   f", self.theme.key()));
        keys.push(Span::raw(other));
        lines.push(Line::from(keys));
        lines
    }

    /// A pH and no test: what is in it already comes on top.
    fn untested(&self, thumb: &Answer) -> Vec<Line<'static>> {
        let spoons = thumb.number("teaspoons");
        let spoons =
            spoons.map(|it| leesline_calc::quantity::show(Quantity::Teaspoons, it, &self.units));
        let rule = spoons.map_or(String::new(), |it| {
            format!(", f takes the rule of thumb, {it}")
        });
        let said = format!(
            "Free SO2 was never tested and is taken as none, so this may be too much: m writes a test down{rule}."
        );
        self.wrapped("?", &said, 2, self.theme.text())
    }

    fn wrapped(
        &self,
        sign: &'static str,
        sentence: &str,
        most: usize,
        style: ratatui::style::Style,
    ) -> Vec<Line<'static>> {
        let room = self.cells.saturating_sub(if sign == " " { 2 } else { 4 });
        let mut parts = text::wrap(sentence, room);
        if parts.len() > most {
            parts.truncate(most);
            if let Some(last) = parts.last_mut() {
                *last = text::cut(&format!("{last} and more: w"), room);
            }
        }
        let lines = parts.into_iter().enumerate().map(|(at, part)| {
            let lead = match (sign, at) {
                (" ", _) => " ".to_owned(),
                (sign, 0) => format!(" {sign} "),
                _ => "   ".to_owned(),
            };
            Line::from(Span::styled(lead + &part, style))
        });
        lines.collect()
    }

    /// What can hurt: in full until a dose was written, then short. Limits besides.
    fn foot(&self, cautioned: bool, height: usize) -> Vec<Line<'static>> {
        let answer = self
            .sheet
            .outcome
            .as_ref()
            .ok()
            .or(self.sheet.thumb.as_ref());
        let Some(answer) = answer else {
            return Vec::new();
        };
        let mut lines = Vec::new();
        let of = |kind: CautionKind| answer.cautions.iter().filter(move |it| it.kind == kind);
        for caution in of(CautionKind::Limit) {
            if caution.asks.is_some() {
                lines.extend(self.wrapped("!", &caution.sentence, 2, self.theme.warn()));
            }
        }
        for caution in of(CautionKind::Hazard) {
            let full = !cautioned && height >= 19;
            let (sentence, most) = match caution.short {
                Some(short) if !full => (short, 1),
                _ => (caution.sentence.as_str(), if full { 3 } else { 1 }),
            };
            lines.extend(self.wrapped("!", sentence, most, self.theme.text()));
        }
        lines
    }

    fn rule(&self, below: usize) -> Line<'static> {
        let more = match below {
            0 => String::new(),
            more => format!(" {more} more below "),
        };
        let line = "─".repeat(self.cells.saturating_sub(text::width(&more) + 4));
        Line::from(Span::styled(format!(" {line}{more}──"), self.theme.dim()))
    }

    /// The lines, and how many are out of sight below. Says where the cursor stands.
    fn rows(&self, pane: &Dosing, area: Rect, buf: &mut Buffer) -> (Option<Position>, usize) {
        let cells = usize::from(area.width);
        let height = usize::from(area.height);
        let fault = self.sheet.outcome.as_ref().err();
        let notes: Vec<Vec<String>> = self
            .sheet
            .rows
            .iter()
            .enumerate()
            .map(|(at, row)| {
                let room = cells.saturating_sub(LABEL + 4);
                let blamed = fault.filter(|it| it.key.as_deref() == Some(row.key) && row.is_typed);
                match (blamed, row.input) {
                    (Some(fault), _) => text::wrap(&fault.sentence, room),
                    (None, Some(input)) if pane.typing.is_some() && at == pane.at => {
                        let words = row.choices().join(", ");
                        let help = if words.is_empty() {
                            format!("{}.", input.help)
                        } else {
                            format!("{}: {words}; → takes the next.", input.help)
                        };
                        text::wrap(&help, room)
                    }
                    _ => Vec::new(),
                }
            })
            .collect();
        let starts: Vec<usize> = notes
            .iter()
            .scan(0, |next, note| {
                let start = *next;
                *next += 1 + note.len();
                Some(start)
            })
            .collect();
        let total: usize = notes.iter().map(|it| it.len() + 1).sum();
        let from = starts.get(pane.at).copied().unwrap_or(0);
        let to = from + 1 + notes.get(pane.at).map_or(0, Vec::len);
        let top = pane.scroll.follow(from, to, height, total);
        pane.shown.set(height);
        let mut cursor = None;
        for (at, row) in self.sheet.rows.iter().enumerate() {
            let Some(y) = starts[at].checked_sub(top) else {
                continue;
            };
            if y >= height {
                break;
            }
            let blamed = fault.is_some_and(|it| it.key.as_deref() == Some(row.key));
            let faulty = blamed && row.is_typed;
            let found = self.row(pane, row, at == pane.at, faulty, (area, y), buf);
            cursor = cursor.or(found);
            for (n, note) in notes[at].iter().enumerate() {
                let style = if faulty {
                    self.theme.warn()
                } else {
                    self.theme.dim()
                };
                let line = Line::from(Span::styled(
                    format!("   {}{note}", " ".repeat(LABEL)),
                    style,
                ));
                if y + 1 + n < height {
                    text::put(buf, area, y + 1 + n, line);
                }
            }
        }
        let below = starts.iter().filter(|it| **it >= top + height).count();
        (cursor, below)
    }

    /// One line: label, value, sign, where it comes from.
    fn row(
        &self,
        pane: &Dosing,
        row: &Row,
        marked: bool,
        faulty: bool,
        (area, y): (Rect, usize),
        buf: &mut Buffer,
    ) -> Option<Position> {
        let (sign, words) = if faulty {
            ("!", row.known.words.as_str())
        } else if row.is_typed {
            ("", "typed; b takes what the book says")
        } else {
            (row.known.sign.mark(), row.known.words.as_str())
        };
        let style = match row.known.sign {
            _ if faulty => self.theme.warn(),
            Sign::Rough if !row.is_typed => self.theme.forecast(),
            _ => self.theme.text(),
        };
        let typing = pane.typing.filter(|_| marked);
        let chosen = marked && typing != Some(Typing::Within);
        let value_style = if chosen { self.theme.selected() } else { style };
        let value = match row.unit() {
            "" => row.text.text().to_owned(),
            unit => format!("{} {unit}", row.text.text()),
        };
        let value = if value.is_empty() && chosen {
            " ".to_owned()
        } else {
            value
        };
        let value = text::cut(&value, VALUE - 1);
        let pad = " ".repeat(VALUE.saturating_sub(text::width(&value)));
        let cells = usize::from(area.width);
        let room = cells.saturating_sub(3 + LABEL + VALUE + 4);
        text::put(
            buf,
            area,
            y,
            Line::from(vec![
                Span::styled(if marked { MARK } else { " " }, self.theme.text()),
                Span::raw(" "),
                Span::styled(text::fit(&row.label, LABEL), self.theme.text()),
                Span::styled(value, value_style),
                Span::raw(pad),
                Span::styled(text::fit(sign, 4), style),
                Span::styled(text::cut(words, room), self.theme.dim()),
            ]),
        );
        typing?;
        let field = Rect {
            x: area.x + (2 + LABEL) as u16,
            y: area.y + y as u16,
            width: area
                .width
                .saturating_sub((2 + LABEL) as u16)
                .min(VALUE as u16),
            height: 1,
        };
        let field = field.intersection(area);
        if typing == Some(Typing::Within) {
            text::put(buf, field, 0, Line::from(" ".repeat(VALUE)));
            return row.text.view("", true, self.theme, field, buf);
        }
        let end = text::width(row.text.text()).min(VALUE - 1);
        Some(Position {
            x: field.x + end as u16,
            y: field.y,
        })
    }

    /// Where there is room: how it comes about, beside the lines.
    fn beside(&self, area: Rect, buf: &mut Buffer) {
        let answer = self
            .sheet
            .outcome
            .as_ref()
            .ok()
            .or(self.sheet.thumb.as_ref());
        let Some(answer) = answer else {
            return;
        };
        let cells = usize::from(area.width);
        let heading = Span::styled("How it comes about", self.theme.strong());
        let mut lines = vec![Line::from(vec![
            heading,
            Span::raw("   "),
            Span::styled("w", self.theme.key()),
            Span::styled(" all of it", self.theme.dim()),
        ])];
        for step in working::steps(answer) {
            let parts = text::wrap(&step, cells).into_iter();
            lines.extend(parts.enumerate().map(|(at, it)| {
                let lead = if at == 0 { "" } else { "  " };
                Line::from(Span::styled(format!("{lead}{it}"), self.theme.dim()))
            }));
        }
        for (at, line) in lines.into_iter().take(usize::from(area.height)).enumerate() {
            text::put(buf, area, at, line);
        }
    }
}

/// Low and high of a result, if it has a band.
fn ends(answer: &Answer, key: &str) -> Option<(f64, f64)> {
    let end = |which: &str| answer.number(&format!("{key}_{which}"));
    Some((end("low")?, end("high")?))
}
