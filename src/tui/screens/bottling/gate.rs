//! The gate: what a wine must answer before it is closed in glass.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::page::Page;
use crate::cellar::attention::words::span;
use crate::cellar::attention::{Answer, GateItem, Holding};
use crate::cellar::moment::Moment;
use crate::cellar::plan;
use crate::cellar::thing::Key;
use crate::tui::commands::Id;
use crate::tui::glance;
use crate::tui::message::{Ask, Call, Facts, Notice};
use crate::tui::theme::{MARK, Theme};
use crate::tui::widgets::field::Field;
use crate::tui::widgets::scroll::moved;
use crate::tui::widgets::text;

/// The questions, asked of one vessel.
#[derive(Default)]
pub(super) struct Gate {
    pub(super) vessel: Option<Key>,
    at: usize,
    /// The day asked about, where another than the one planned was taken.
    day: Option<Moment>,
}

impl Gate {
    pub(super) fn of(vessel: Key) -> Gate {
        Gate {
            vessel: Some(vessel),
            ..Gate::default()
        }
    }

    /// The day asked about: the one planned, today where none is.
    fn day(&self, facts: &Facts) -> Moment {
        let now = facts.cellar.now;
        let planned = || plan::bottling_day(self.vessel?, &facts.cellar);
        self.day.or_else(planned).unwrap_or(now).max(now)
    }

    fn items(&self, day: Moment, facts: &Facts) -> Vec<GateItem> {
        let holding = self
            .vessel
            .and_then(|it| Holding::of(&facts.cellar, it, &facts.policy));
        holding.map_or_else(Vec::new, |it| it.gate_on(day))
    }

    /// Whether going on, which is today whatever day was asked about, takes a reason.
    pub(super) fn wants_reason(&self, facts: &Facts) -> bool {
        let items = self.items(facts.cellar.now, facts);
        items.iter().any(GateItem::wants_reason)
    }

    pub(super) fn command(&mut self, id: Id, facts: &Facts) -> Vec<Ask> {
        let day = self.day(facts);
        let items = self.items(day, facts);
        let total = items.len();
        match id {
            Id::Left => self.day = Some(day.plus_days(-7).max(facts.cellar.now)),
            Id::Right => self.day = Some(day.plus_days(7)),
            Id::Up => self.at = moved(self.at, -1, total),
            Id::Down => self.at = moved(self.at, 1, total),
            Id::First | Id::PageUp => self.at = 0,
            Id::Last | Id::PageDown => self.at = moved(total, 0, total),
            Id::Mend => return self.mend(items.get(self.at)),
            _ => {}
        }
        Vec::new()
    }

    /// Opens what would answer the marked question.
    fn mend(&self, item: Option<&GateItem>) -> Vec<Ask> {
        let Some(suggestion) = item.and_then(|it| it.suggestion.as_ref()) else {
            let say = match item {
                Some(item) if item.answer != Answer::Yes => item.what_to_do.clone(),
                _ => "That question is answered yes.".to_owned(),
            };
            return vec![Ask::Say(Notice::note(say))];
        };
        vec![Ask::Verb(Call::suggested(self.vessel, suggestion))]
    }

    pub(super) fn view(&self, page: &Page<'_>, area: Rect, buf: &mut Buffer) {
        let theme = page.theme;
        let day = self.day(page.facts);
        let is_later = day.days_since(page.facts.cellar.now) > 0;
        let items = self.items(day, page.facts);
        let open = items.iter().filter(|it| it.answer != Answer::Yes).count();
        let hint = match open {
            0 if is_later => {
                "All is answered yes for that day. Enter or Space begins today all the same."
            }
            0 => "All is answered yes. Enter or Space goes on to the bottles.",
            _ if items.iter().any(GateItem::wants_reason) => {
                "Not yet. f puts the marked question right. Enter goes on only with a reason."
            }
            _ if is_later => {
                "Enter or Space begins today all the same. f puts the marked question right."
            }
            _ => "Enter or Space goes on all the same. f puts the marked question right.",
        };
        let of = self
            .vessel
            .map_or(String::new(), |it| named(it, page.facts));
        let inner = page.frame(&of, hint, area, buf);
        let cells = usize::from(inner.width);
        let marked = items.get(self.at);
        let told = marked.map_or_else(Vec::new, |it| told(it, theme, inner));
        // On a small screen the other questions leave, not what is said of the marked one.
        let room = usize::from(inner.height).saturating_sub(2 + told.len());
        let shown = room.max(1).min(items.len());
        let first = (self.at + 1).saturating_sub(shown);
        let mut asked = self.asked_of(day, page.facts);
        if shown < items.len() {
            asked = format!("{asked}, question {} of {}", self.at + 1, items.len());
        }
        let asked = Span::styled(format!("   {asked}:"), theme.dim());
        text::put(buf, inner, 0, Line::from(asked));
        let questions = items.iter().map(|it| text::width(it.question)).max();
        let questions = questions.unwrap_or(0).min(cells / 2);
        for (row, (at, item)) in items.iter().enumerate().skip(first).take(shown).enumerate() {
            let line = question(item, at == self.at, questions, theme, cells);
            text::put(buf, inner, row + 1, line);
        }
        let taken = shown as u16 + 2;
        let below = Rect {
            y: inner.y + taken.min(inner.height),
            height: inner.height.saturating_sub(taken),
            ..inner
        };
        let row = Page::lines(told, 0, below, buf);
        if let Some(item) = marked.filter(|it| it.answer != Answer::Yes) {
            // Where it has no room it is not begun: overruling prints it in full.
            let hazard = Page::wrapped(item.hazard, 3, theme.warn(), below);
            if row + 1 + hazard.len() <= usize::from(below.height) {
                Page::lines(hazard, row + 1, below, buf);
            }
        }
    }

    /// `If it is bottled on 9 Dec 2026, as planned, in 14 days`
    fn asked_of(&self, day: Moment, facts: &Facts) -> String {
        let days = day.days_since(facts.cellar.now);
        if days == 0 {
            return "If it is bottled today".to_owned();
        }
        let words = day.day_words();
        let planned = if self.day.is_none() {
            ", as planned"
        } else {
            ""
        };
        format!("If it is bottled on {words}{planned}, in {}", span(days))
    }

    /// Why it is bottled all the same; the hazard stands above in full.
    pub(super) fn reason_view(
        &self,
        reason: &Field,
        page: &Page<'_>,
        area: Rect,
        buf: &mut Buffer,
    ) -> Option<Position> {
        let theme = page.theme;
        let of = self
            .vessel
            .map_or(String::new(), |it| named(it, page.facts));
        let hint = "Enter goes on; your reason goes into the book. Esc steps back.";
        let inner = page.frame(&of, hint, area, buf);
        let items = self.items(page.facts.cellar.now, page.facts);
        let wanting: Vec<&GateItem> = items.iter().filter(|it| it.wants_reason()).collect();
        let questions = wanting.iter().flat_map(|item| {
            let said = format!("{} {}", item.question, word(item.answer));
            Page::wrapped(&said, 3, theme.strong(), inner)
        });
        // What may burst a bottle is the one that matters.
        let gravest = wanting.iter().min_by_key(|it| !it.risks_bursting());
        let hazard = gravest.map_or_else(Vec::new, |it| {
            Page::wrapped(it.hazard, 3, theme.warn(), inner)
        });
        let ask = Page::wrapped("Why is it bottled all the same?", 3, theme.text(), inner);
        let parts = [questions.collect(), hazard, ask];
        // What is typed must be seen: where there is little room, no lines are left empty above it.
        let lines = parts.iter().map(Vec::len).sum::<usize>() + 1;
        let gap = usize::from(lines + parts.len() <= usize::from(inner.height));
        let mut row = 0;
        for part in parts {
            row = Page::lines(part, row + gap, inner, buf);
        }
        let place = Rect {
            x: inner.x + 3.min(inner.width),
            width: inner.width.saturating_sub(4),
            y: inner.y + (row as u16).min(inner.height),
            height: u16::from(row < usize::from(inner.height)),
        };
        text::put(
            buf,
            Rect {
                width: inner.width,
                x: inner.x,
                ..place
            },
            0,
            Line::from(Span::raw(format!(" {MARK} "))),
        );
        reason.view("", true, theme, place, buf)
    }
}

/// The evidence of an answer, and what to do next.
fn told(item: &GateItem, theme: Theme, area: Rect) -> Vec<Line<'static>> {
    let evidence = item.evidence.iter();
    let mut lines: Vec<Line<'_>> = evidence
        .flat_map(|it| Page::wrapped(it, 3, theme.text(), area))
        .collect();
    if item.answer != Answer::Yes {
        lines.extend(Page::wrapped(&item.what_to_do, 3, theme.strong(), area));
    }
    lines
}

/// `√ Finished?  yes  Gravity 0.994 three times over 21 days.`
fn question(
    item: &GateItem,
    marked: bool,
    questions: usize,
    theme: Theme,
    cells: usize,
) -> Line<'static> {
    let (sign, style) = match item.answer {
        Answer::Yes => ("√", theme.good()),
        Answer::No => ("!", theme.warn()),
        Answer::NotKnown => ("?", theme.strong()),
    };
    let room = cells.saturating_sub(3 + questions + 1 + 10 + 1);
    // The marked question has its evidence in full below; half a sentence helps nobody.
    let evidence = item.evidence.first().map_or("", String::as_str);
    let evidence = Some(evidence).filter(|it| !marked && text::width(it) <= room);
    let evidence = evidence.unwrap_or_default();
    let name = if marked {
        theme.selected()
    } else {
        Style::new()
    };
    Line::from(vec![
        Span::raw(if marked { MARK } else { " " }),
        Span::styled(format!("{sign} "), style),
        Span::styled(text::fit(item.question, questions), name),
        Span::raw(" "),
        Span::styled(text::fit(word(item.answer), 10), style),
        Span::styled(evidence.to_owned(), theme.dim()),
    ])
}

const fn word(answer: Answer) -> &'static str {
    match answer {
        Answer::Yes => "yes",
        Answer::No => "no",
        Answer::NotKnown => "not known",
    }
}

/// `Solaris 25 from Carboy B`.
pub(super) fn named(vessel: Key, facts: &Facts) -> String {
    match facts.cellar.thing(vessel) {
        Some(thing) => format!(
            "{} from {}",
            glance::glance(thing, facts).holds,
            thing.name()
        ),
        None => String::new(),
    }
}
