//! The dosing screen: the wine's state, the figure to give, then every line it hangs on.

use leesline_calc::answer::CautionKind;
use leesline_calc::quantity::Units;
use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use super::Dosing;
use super::digits::Size;
use super::sheet::Sheet;
use crate::tui::commands::{self, Id};
use crate::tui::message::Facts;
use crate::tui::theme::Theme;
use crate::tui::widgets::text;

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
    // The lines keep a few rows, whatever is said above and below; on a small screen the figure and what
    // can hurt are worth more than they.
    let rule = 1;
    let kept = if drawing.size.is_some() { 4 } else { 2 };
    head.truncate(height.saturating_sub(foot.len() + rule + kept).max(1));
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
    text::put(
        buf,
        area,
        at,
        drawing.rule(below, sheet.rows.len() - pane.shown_lines().len()),
    );
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

/// Columns of the name of a step of the working.
const STEP: usize = 13;

/// What is drawn, and on how much room.
pub(super) struct Page<'a> {
    pub(super) sheet: &'a Sheet,
    pub(super) facts: &'a Facts,
    pub(super) theme: Theme,
    pub(super) cells: usize,
    pub(super) units: Units,
    pub(super) size: Option<Size>,
}

impl Page<'_> {
    /// A sentence behind a sign, in at most so many lines.
    pub(super) fn wrapped(
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
                let shown = text::cut(last, room.saturating_sub(3));
                *last = format!("{}… w", shown.trim_end_matches('…').trim_end());
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

    /// What can hurt: in full until a dose was written, then short. What will be asked, besides.
    fn foot(&self, cautioned: bool, height: usize) -> Vec<Line<'static>> {
        let cautions = self.sheet.cautions();
        let mut lines = Vec::new();
        if height >= 19 {
            lines.extend(self.foreseen());
        }
        let of = |kind: CautionKind| cautions.iter().filter(move |it| it.kind == kind);
        // What asks is said in full before anything is written; what does not, where there is room.
        let is_tall = height >= 28;
        if self.sheet.outcome.is_ok() {
            for limit in of(CautionKind::Limit).filter(|it| is_tall || it.asks.is_some()) {
                let (most, style) = match limit.asks {
                    Some(_) => (3, self.theme.warn()),
                    None => (2, self.theme.text()),
                };
                lines.extend(self.wrapped("!", &limit.sentence, most, style));
            }
        }
        let full = !cautioned && height >= 19;
        for hazard in of(CautionKind::Hazard) {
            let (sentence, most) = match hazard.short {
                // What can hurt is never cut short, however narrow the screen.
                Some(short) if !full => (short, 2),
                _ => (hazard.sentence.as_str(), if full { 3 } else { 1 }),
            };
            lines.extend(self.wrapped("!", sentence, most, self.theme.text()));
        }
        lines
    }

    /// What the dose makes of the forecast, in a line.
    fn foreseen(&self) -> Option<Line<'static>> {
        let then = self.sheet.then.as_ref()?;
        let key = commands::of(Id::WhatIf).map_or(String::new(), commands::Command::keys_words);
        let more = "  what if";
        let room = self.cells.saturating_sub(text::width(more) + key.len() + 3);
        Some(Line::from(vec![
            Span::styled(
                format!(" {}", text::cut(&format!("then {then}"), room)),
                self.theme.dim(),
            ),
            Span::styled(format!("  {key}"), self.theme.key()),
            Span::styled(" what if", self.theme.dim()),
        ]))
    }

    fn rule(&self, below: usize, hidden: usize) -> Line<'static> {
        let below = match below {
            0 => String::new(),
            more => format!(" {more} more below "),
        };
        let hidden = match hidden {
            0 => String::new(),
            more => format!(" {more} more with key a "),
        };
        let more = [below, hidden].concat().replace("  ", " · ");
        let line = "─".repeat(self.cells.saturating_sub(text::width(&more) + 4));
        Line::from(Span::styled(format!(" {line}{more}──"), self.theme.dim()))
    }

    /// Where there is room: how it comes about, beside the lines.
    fn beside(&self, area: Rect, buf: &mut Buffer) {
        let Some((_, answer)) = self.sheet.answer() else {
            return;
        };
        let mut lines = vec![Line::from(vec![
            Span::styled("How it comes about", self.theme.strong()),
            Span::styled("   w", self.theme.key()),
            Span::styled(" all of it", self.theme.dim()),
        ])];
        let room = usize::from(area.width).saturating_sub(STEP);
        for step in &answer.working {
            // A name too long for its column stands on a line of its own.
            let is_long = text::width(step.step) >= STEP;
            if is_long {
                let name = Span::styled(step.step, self.theme.dim());
                lines.push(Line::from(name));
            }
            for (at, part) in text::wrap(&step.sentence, room).into_iter().enumerate() {
                let name = if at == 0 && !is_long { step.step } else { "" };
                lines.push(Line::from(vec![
                    Span::styled(text::fit(name, STEP), self.theme.dim()),
                    Span::raw(part),
                ]));
            }
        }
        for (at, line) in lines.into_iter().take(usize::from(area.height)).enumerate() {
            text::put(buf, area, at, line);
        }
    }
}
