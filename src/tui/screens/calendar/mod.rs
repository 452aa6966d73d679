//! The calendar: a month with what is on each day, the marked day's list, the agenda of all that
//! falls due in order, and the years of every wine. Where there is no room for a month the agenda stands alone.

mod rows;
mod years;

use std::cell::Cell;
use std::collections::BTreeMap;

use chrono::{Datelike, Days, Months, NaiveDate};
use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use super::Pane;
use crate::cellar::ahead::{self, Item};
use crate::cellar::attention::Reason;
use crate::cellar::thing::{CELLAR, Key};
use crate::tui::commands::{Id, Place};
use crate::tui::layers::detail::Detail;
use crate::tui::layers::entry::Entry;
use crate::tui::message::{Ask, Call, Effect, Facts, Input, Notice, Reply, Told};
use crate::tui::theme::Theme;
use crate::tui::widgets::month::{self, Mark};
use crate::tui::widgets::scroll::{Scroll, more, moved, rows_beside_sign};
use crate::tui::widgets::text;
use crate::tui::words;
use years::Years;

/// The calendar.
#[derive(Default)]
pub(super) struct Calendar {
    /// The marked day; today until another is.
    day: Option<NaiveDate>,
    focus: Focus,
    /// Places of the mark in the day's list and in the agenda.
    at: [usize; 2],
    /// All that falls due, worked out when the cellar changed.
    ahead: Vec<Item>,
    /// Entries of the weeks shown, newest first, and from when on they were read.
    written: Vec<Told>,
    read_from: Option<i64>,
    /// Whether there was only room for the agenda, as last drawn.
    narrow: Cell<bool>,
    scrolls: [Scroll; 2],
    years: Years,
}

/// Where the arrows move.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Focus {
    #[default]
    Month,
    Day,
    Agenda,
    Years,
}

/// A row of the day's list.
enum Row<'a> {
    Due(&'a Item),
    Written(&'a Told),
}

impl Calendar {
    fn day(&self, facts: &Facts) -> NaiveDate {
        self.day.unwrap_or(facts.cellar.now.date())
    }

    fn focus(&self) -> Focus {
        if self.narrow.get() && self.focus != Focus::Years {
            Focus::Agenda
        } else {
            self.focus
        }
    }

    /// What falls due on a day. What is overdue is on today's list too: it is still to be done.
    fn due_on<'a>(&'a self, day: NaiveDate, facts: &Facts) -> impl Iterator<Item = &'a Item> {
        let today = facts.cellar.now.date();
        self.ahead.iter().filter(move |it| {
            let due = it.due.date();
            due == day || (day == today && due < today)
        })
    }

    fn written_on(&self, day: NaiveDate) -> impl Iterator<Item = &Told> {
        let of_day = self.written.iter();
        of_day.filter(move |it| it.entry.draft.when.date() == day)
    }

    fn rows(&self, facts: &Facts) -> Vec<Row<'_>> {
        let day = self.day(facts);
        let due = self.due_on(day, facts).map(Row::Due);
        due.chain(self.written_on(day).map(Row::Written)).collect()
    }

    /// What is on each day that has something on it.
    fn marks(&self, facts: &Facts) -> BTreeMap<NaiveDate, Mark> {
        let today = facts.cellar.now.date();
        let mut marks: BTreeMap<NaiveDate, Mark> = BTreeMap::new();
        for item in &self.ahead {
            let due = item.due.date();
            let days = [Some(due), Some(today).filter(|it| due < *it)];
            for day in days.into_iter().flatten() {
                let mark = marks.entry(day).or_default();
                let rank = item.rank();
                mark.rank = Some(mark.rank.map_or(rank, |it| it.min(rank)));
                mark.due += 1;
            }
        }
        for told in &self.written {
            let day = told.entry.draft.when.date();
            marks.entry(day).or_default().written += 1;
        }
        marks
    }

    fn marked_item(&self, facts: &Facts) -> Option<&Item> {
        match self.focus() {
            Focus::Agenda => return self.ahead.get(self.at[1]),
            Focus::Years => return None,
            Focus::Month | Focus::Day => {}
        }
        let at = if self.focus == Focus::Day {
            self.at[0]
        } else {
            0
        };
        match self.rows(facts).get(at)? {
            Row::Due(item) => Some(item),
            Row::Written(_) => None,
        }
    }

    fn look_ahead(&mut self, facts: &Facts) {
        self.years.look(facts);
        self.ahead = ahead::ahead(&facts.cellar, &facts.policy, &facts.reasons);
        self.at[0] = moved(self.at[0], 0, self.rows(facts).len());
        self.at[1] = moved(self.at[1], 0, self.ahead.len());
    }

    /// Asks for the entries of the weeks shown. A day more at both ends: an entry's own wall clock
    /// may have stood in another zone.
    fn reads(&mut self, facts: &Facts) -> Vec<Ask> {
        let now = facts.cellar.now;
        let instant = |day: NaiveDate, add: i64| {
            let days = (day - now.date()).num_days() + add;
            let midnight = now.local().date().and_time(chrono::NaiveTime::MIN);
            let since = (now.local() - midnight).num_milliseconds();
            now.plus_days(days).utc_ms - since
        };
        let day = self.day(facts);
        let from_ms = instant(month::first_shown(day), -1);
        let until_ms = instant(month::last_shown(day), 2);
        self.read_from = Some(from_ms);
        vec![Ask::Do(Effect::ReadDays { from_ms, until_ms })]
    }

    /// Marks another day; its month is read if it is another one.
    fn go(&mut self, to: Option<NaiveDate>, facts: &Facts) -> Vec<Ask> {
        let before = self.day(facts);
        let Some(to) = to else {
            return Vec::new();
        };
        self.day = Some(to).filter(|it| *it != facts.cellar.now.date());
        self.at[0] = 0;
        if (before.year(), before.month()) == (to.year(), to.month()) {
            return Vec::new();
        }
        self.reads(facts)
    }

    fn in_month(&mut self, id: Id, facts: &Facts) -> Vec<Ask> {
        let day = self.day(facts);
        let to = match id {
            Id::Left => day.pred_opt(),
            Id::Right => day.succ_opt(),
            Id::Up => day.checked_sub_days(Days::new(7)),
            Id::Down => day.checked_add_days(Days::new(7)),
            Id::PageUp => day.checked_sub_months(Months::new(1)),
            Id::PageDown => day.checked_add_months(Months::new(1)),
            Id::First => day.with_day(1),
            _ => day
                .with_day(1)
                .and_then(|it| it.checked_add_months(Months::new(1)))
                .and_then(|it| it.pred_opt()),
        };
        self.go(to, facts)
    }

    fn in_list(&mut self, id: Id, facts: &Facts) {
        let (list, total) = match self.focus() {
            Focus::Agenda => (1, self.ahead.len()),
            _ => (0, self.rows(facts).len()),
        };
        let at = self.at[list];
        self.at[list] = match id {
            Id::Up => moved(at, -1, total),
            Id::Down => moved(at, 1, total),
            Id::PageUp => moved(at, -10, total),
            Id::PageDown => moved(at, 10, total),
            Id::First => 0,
            Id::Last => moved(total, 0, total),
            _ => at,
        };
    }

    fn open(&mut self, facts: &Facts) -> Vec<Ask> {
        let rows = self.rows(facts);
        match self.focus() {
            Focus::Agenda => self.ahead.get(self.at[1]).map_or_else(Vec::new, open_item),
            Focus::Years => self.years.place().map_or_else(Vec::new, open_place),
            Focus::Month if rows.is_empty() => vec![Ask::Say(Notice::note(
                "Nothing is on that day; n goes to the next day with something on it.",
            ))],
            Focus::Month if rows.len() > 1 => {
                self.focus = Focus::Day;
                Vec::new()
            }
            Focus::Month | Focus::Day => match rows.get(self.at[0]) {
                Some(Row::Due(item)) => open_item(item),
                Some(Row::Written(told)) => vec![Ask::Lay(Box::new(Entry::of((*told).clone())))],
                None => Vec::new(),
            },
        }
    }

    fn next_day(&mut self, facts: &Facts) -> Vec<Ask> {
        let day = self.day(facts);
        let next = self.ahead.iter().map(|it| it.due.date());
        match next.filter(|it| *it > day).min() {
            Some(next) => self.go(Some(next), facts),
            None => vec![Ask::Say(Notice::note(
                "Nothing falls due after that day, as far as can be seen today.",
            ))],
        }
    }

    fn command(&mut self, id: Id, facts: &Facts) -> Vec<Ask> {
        match id {
            Id::Open => return self.open(facts),
            Id::StepBack
                if self.focus() == Focus::Month
                    || (self.narrow.get() && self.focus() == Focus::Agenda) =>
            {
                return vec![Ask::Go(Place::Board, Call::default())];
            }
            Id::StepBack => self.focus = Focus::Month,
            Id::Agenda if self.focus == Focus::Agenda => self.focus = Focus::Month,
            Id::Agenda => self.focus = Focus::Agenda,
            Id::Years if self.focus() == Focus::Years => self.focus = Focus::Month,
            Id::Years => self.focus = Focus::Years,
            Id::Today if self.focus() == Focus::Years => self.years.today(),
            Id::Today => {
                self.focus = Focus::Month;
                return self.go(Some(facts.cellar.now.date()), facts);
            }
            Id::NextDay => {
                self.focus = Focus::Month;
                return self.next_day(facts);
            }
            _ if self.focus() == Focus::Month => return self.in_month(id, facts),
            _ if self.focus() == Focus::Years => self.years.command(id),
            _ => self.in_list(id, facts),
        }
        Vec::new()
    }
}

fn open_item(item: &Item) -> Vec<Ask> {
    match &item.reason {
        Some(reason) => vec![words::deal_with(reason)],
        None => open_place(item.subject),
    }
}

fn open_place(place: Key) -> Vec<Ask> {
    if place == CELLAR {
        return Vec::new();
    }
    vec![
        Ask::Lay(Box::new(Detail::about(place))),
        Ask::Do(Detail::reads(place)),
    ]
}

impl Pane for Calendar {
    fn place(&self) -> Place {
        Place::Calendar
    }

    fn about(&self, facts: &Facts) -> Option<Key> {
        if self.focus() == Focus::Years {
            return self.years.place();
        }
        Some(self.marked_item(facts)?.subject)
    }

    fn reason(&self, facts: &Facts) -> Option<Reason> {
        self.marked_item(facts)?.reason.clone()
    }

    fn called(&self, id: Id, _facts: &Facts) -> Option<String> {
        let name = match (id, self.focus()) {
            // There is no room for the month and its days.
            (Id::Agenda | Id::NextDay, _) | (Id::Today, Focus::Agenda) if self.narrow.get() => "",
            (Id::Years, Focus::Years) if self.narrow.get() => "agenda",
            (Id::Agenda, Focus::Agenda) | (Id::Years, Focus::Years) => "month",
            _ => return None,
        };
        Some(name.to_owned())
    }

    fn hint(&self, facts: &Facts, _cells: usize) -> Option<String> {
        if self.focus() == Focus::Years {
            return self.years.marked().map(|it| it.ahead(facts.cellar.now));
        }
        let marked = self.focus() != Focus::Month;
        let item = self.marked_item(facts).filter(|_| marked)?;
        Some(item.sentence.clone())
    }

    fn update(&mut self, input: &Input<'_>, facts: &Facts) -> Vec<Ask> {
        match input {
            Input::Called(_) => return self.reads(facts),
            Input::Reply(Reply::Stale) => {
                self.look_ahead(facts);
                // Before it was ever shown nothing was read that could have changed.
                if self.read_from.is_some() {
                    return self.reads(facts);
                }
            }
            Input::Reply(Reply::Days { from_ms, entries }) if Some(*from_ms) == self.read_from => {
                self.written.clone_from(entries);
                self.at[0] = moved(self.at[0], 0, self.rows(facts).len());
            }
            Input::Command(id) => return self.command(*id, facts),
            _ => {}
        }
        Vec::new()
    }

    fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        let narrow = area.width < month::WIDTH + 2 || area.height < month::HEIGHT + 7;
        self.narrow.set(narrow);
        if self.focus() == Focus::Years {
            self.years.draw(facts, theme, area, buf);
            return None;
        }
        let wide = area.width >= month::WIDTH + 40 && area.height >= month::HEIGHT + 10;
        if wide {
            let (above, below) = split(area, month::HEIGHT + 1);
            self.draw_month(facts, theme, above, buf);
            let beside = Rect {
                x: above.x + month::WIDTH + 2,
                width: above.width - month::WIDTH - 2,
                ..above
            };
            self.draw_day(facts, theme, beside, buf);
            let rule = " ".to_owned() + &"─".repeat(usize::from(area.width).saturating_sub(2));
            text::put(buf, below, 0, Line::from(Span::styled(rule, theme.dim())));
            self.draw_agenda(facts, theme, split(below, 1).1, buf);
        } else if self.focus() == Focus::Agenda {
            self.draw_agenda(facts, theme, area, buf);
        } else {
            let (above, below) = split(area, month::HEIGHT + 1);
            self.draw_month(facts, theme, above, buf);
            self.draw_day(facts, theme, below, buf);
        }
        None
    }
}

/// So many rows, and what is left of an area.
fn split(area: Rect, rows: u16) -> (Rect, Rect) {
    let rows = rows.min(area.height);
    let above = Rect {
        height: rows,
        ..area
    };
    let below = Rect {
        y: area.y + rows,
        height: area.height - rows,
        ..area
    };
    (above, below)
}

impl Calendar {
    fn draw_month(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) {
        let place = Rect {
            x: area.x + 1.min(area.width),
            width: area.width.saturating_sub(1),
            ..area
        };
        let marks = self.marks(facts);
        let mark = |day| marks.get(&day).copied().unwrap_or_default();
        let today = facts.cellar.now.date();
        month::draw(self.day(facts), today, mark, theme, place, buf);
    }

    /// The marked day's list.
    fn draw_day(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) {
        let day = self.day(facts);
        let cells = usize::from(area.width);
        let title = format!(" {}", rows::day_title(day, facts));
        let title = Span::styled(text::cut(&title, cells), theme.strong());
        text::put(buf, area, 0, Line::from(title));
        let list = split(area, 1).1;
        let rows = self.rows(facts);
        if rows.is_empty() {
            let ahead = (day - facts.cellar.now.date()).num_days();
            let calm = if ahead < 0 {
                "   Nothing was written that day."
            } else if ahead as f64 > ahead::HORIZON_DAYS {
                "   Too far off to foresee; the years (y) have the windows."
            } else {
                "   Nothing falls due."
            };
            text::put(buf, list, 0, Line::from(Span::styled(calm, theme.dim())));
        }
        let height = usize::from(list.height);
        let at = self.at[0];
        let top = self.scrolls[0].follow(at, at + 1, height, rows.len());
        let below = rows.len().saturating_sub(top + height);
        more(top, below, 0, theme, area, buf);
        for (place, row) in rows.iter().enumerate().skip(top).take(height) {
            let marked = self.focus == Focus::Day && place == at;
            let line = match row {
                Row::Due(item) => rows::item(item, facts, marked, theme, cells),
                Row::Written(told) => rows::entry(told, facts, marked, theme, cells),
            };
            text::put(buf, list, place - top, line);
        }
    }

    fn draw_agenda(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) {
        let cells = usize::from(area.width);
        // Headings and items in order; only those in sight are put into words.
        let mut lines: Vec<Result<usize, &str>> = Vec::new();
        let mut marked_at = 0;
        let mut heading = "";
        for (place, item) in self.ahead.iter().enumerate() {
            let under = rows::heading(item, facts);
            if under != heading {
                heading = under;
                lines.push(Err(heading));
            }
            if place == self.at[1] {
                marked_at = lines.len();
            }
            lines.push(Ok(place));
        }
        if lines.is_empty() {
            let calm = "   Nothing falls due, as far as can be seen today.";
            text::put(buf, area, 0, Line::from(Span::styled(calm, theme.dim())));
        }
        let total = lines.len();
        let height = rows_beside_sign(usize::from(area.height), total);
        // The heading above the first row shows with it.
        let from = marked_at.saturating_sub(1);
        let top = self.scrolls[1].follow(from, marked_at + 1, height, total);
        let is_item = |it: &&Result<usize, &str>| it.is_ok();
        let above = lines.iter().take(top).filter(is_item).count();
        let below = lines.iter().skip(top + height).filter(is_item).count();
        more(above, below, height, theme, area, buf);
        for (row, line) in lines.into_iter().skip(top).take(height).enumerate() {
            let line = match line {
                Err(heading) => Line::from(Span::styled(format!(" {heading}"), theme.strong())),
                Ok(place) => {
                    let marked = self.focus() == Focus::Agenda && place == self.at[1];
                    rows::item(&self.ahead[place], facts, marked, theme, cells)
                }
            };
            text::put(buf, area, row, line);
        }
    }
}
