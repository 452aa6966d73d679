//! The years: one bar a wine from must to drunk up, a month a column. Its phases are told apart by
//! their signs, with colour besides; what lies right of today is an estimate.

use std::fmt::Write;

use chrono::{Datelike, NaiveDate};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use crate::cellar::attention::Rank;
use crate::cellar::moment::Moment;
use crate::cellar::thing::Key;
use crate::cellar::years::{self, Life, Phase};
use crate::tui::commands::Id;
use crate::tui::message::Facts;
use crate::tui::theme::{MARK, Theme};
use crate::tui::widgets::scroll::{Scroll, more, moved};
use crate::tui::widgets::text;

/// Today in every row.
const TODAY: &str = "┊";
/// Before the bar of a wine that is older than the book, since when nobody wrote down.
const OLDER: &str = "‹";
/// Where its bottling was planned, and has not happened.
const MISSED: &str = "!";
/// Columns of what is left.
const LEFT: usize = 11;
/// Months that a key moves by.
const STEP: i32 = 3;
/// No further than this from today, months: what lies beyond nobody asks for.
const FURTHEST: i32 = 600;

/// The years view.
#[derive(Default)]
pub(super) struct Years {
    lives: Vec<Life>,
    at: usize,
    /// Months moved from where today stands in sight.
    shift: i32,
    scroll: Scroll,
}

impl Years {
    /// Works out the lives anew.
    pub(super) fn look(&mut self, facts: &Facts) {
        self.lives = years::lives(&facts.cellar, &facts.policy);
        self.at = moved(self.at, 0, self.lives.len());
    }

    pub(super) fn marked(&self) -> Option<&Life> {
        self.lives.get(self.at)
    }

    /// The run or vessel marked.
    pub(super) fn place(&self) -> Option<Key> {
        self.marked().map(|it| it.place)
    }

    /// Moves about: bars up and down, time left and right.
    pub(super) fn command(&mut self, id: Id) {
        let total = self.lives.len();
        let (rows, months) = match id {
            Id::Up => (-1, 0),
            Id::Down => (1, 0),
            Id::Left => (0, -STEP),
            Id::Right => (0, STEP),
            Id::PageUp => (0, -12),
            Id::PageDown => (0, 12),
            Id::First => (-(total as isize), 0),
            Id::Last => (total as isize, 0),
            _ => return,
        };
        self.at = moved(self.at, rows, total);
        self.shift = (self.shift + months).clamp(-FURTHEST, FURTHEST);
    }

    /// Goes back to where today is in sight.
    pub(super) fn today(&mut self) {
        self.shift = 0;
    }

    pub(super) fn draw(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) {
        let cells = usize::from(area.width);
        if self.lives.is_empty() {
            let calm = "   No wine has a year to show yet.";
            text::put(buf, area, 0, Line::from(Span::styled(calm, theme.dim())));
            return;
        }
        let name = if cells >= 76 { 18 } else { 13 };
        let lead = 1 + name + 1 + LEFT + 1;
        let today = facts.cellar.now.date();
        let months = Months::around(today, self.shift, cells.saturating_sub(lead));
        let margin = " ".repeat(lead);
        for (row, heading) in [months.years(), months.initials()].into_iter().enumerate() {
            let heading = Span::styled(format!("{margin}{heading}"), theme.dim());
            text::put(buf, area, row, Line::from(heading));
        }
        let legend = legend(&self.lives, cells);
        let height = usize::from(area.height);
        let rows = height.saturating_sub(2 + legend.len() + 1).max(1);
        let top = self
            .scroll
            .follow(self.at, self.at + 1, rows, self.lives.len());
        let shown = self.lives.iter().enumerate().skip(top).take(rows);
        for (place, life) in shown {
            let marked = place == self.at;
            let style = if marked {
                theme.selected()
            } else {
                Style::new()
            };
            let mut spans = vec![
                Span::raw(if marked { MARK } else { " " }),
                Span::styled(text::fit(&life.name, name), theme.strong().patch(style)),
                Span::raw(" "),
                Span::styled(text::fit_right(&life.left, LEFT), theme.dim()),
                Span::raw(" "),
            ];
            spans.extend(months.bar(life, theme));
            text::put(buf, area, 2 + place - top, Line::from(spans));
        }
        let below = self.lives.len().saturating_sub(top + rows);
        more(top, below, 2 + rows, theme, area, buf);
        for (row, line) in legend.iter().enumerate() {
            let line = Line::from(Span::styled(line.clone(), theme.dim()));
            let below = height.saturating_sub(legend.len() - row);
            if below > 2 + (self.lives.len() - top).min(rows) {
                text::put(buf, area, below, line);
            }
        }
    }
}

/// A column: a month counted from year 0, or the line between this month and the next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Column {
    Month(i32),
    Today,
}

/// The columns in sight.
struct Months(Vec<Column>);

impl Months {
    /// So many columns, with today a little right of the middle: what was is known better than what
    /// will be, and takes more room.
    fn around(today: NaiveDate, shift: i32, count: usize) -> Months {
        let this = today.year() * 12 + today.month0() as i32;
        let first = this - (count * 11 / 20) as i32 + shift;
        let months = (first..first + count as i32).flat_map(|month| {
            let line = (month == this).then_some(Column::Today);
            std::iter::once(Column::Month(month)).chain(line)
        });
        Months(months.take(count).collect())
    }

    /// The years, each above its January; the first above the first month where it has room.
    fn years(&self) -> String {
        let mut line = String::new();
        for (place, column) in self.0.iter().enumerate() {
            let Column::Month(month) = column else {
                continue;
            };
            let to_january = (12 - month.rem_euclid(12)).rem_euclid(12);
            let is_named = to_january == 0 || (place == 0 && to_january >= 5);
            if is_named && place + 4 <= self.0.len() {
                let missing = place.saturating_sub(line.len());
                line.extend(std::iter::repeat_n(' ', missing));
                let _ = write!(line, "{:04}", month.div_euclid(12));
            }
        }
        line
    }

    fn initials(&self) -> String {
        let initial = |column: &Column| match column {
            Column::Today => TODAY,
            Column::Month(month) => {
                let initials = ["J", "F", "M", "A", "M", "J", "J", "A", "S", "O", "N", "D"];
                initials[month.rem_euclid(12) as usize]
            }
        };
        self.0.iter().map(initial).collect()
    }

    fn bar(&self, life: &Life, theme: Theme) -> Vec<Span<'static>> {
        let cell = |column: &Column| match column {
            Column::Today => Span::styled(TODAY, theme.strong()),
            Column::Month(month) if is_missed(life, *month) => {
                Span::styled(MISSED, theme.rank(Rank::Soon))
            }
            Column::Month(month) => match phase_in(life, *month) {
                Some(phase) => Span::styled(sign(phase), style(phase, theme)),
                None if is_before(life, *month) => Span::styled(OLDER, theme.dim()),
                None => Span::raw(" "),
            },
        };
        self.0.iter().map(cell).collect()
    }
}

/// Whether that is the month before a bar whose wine is older than it.
fn is_before(life: &Life, month: i32) -> bool {
    let first = life.stretches[0].from.date();
    life.is_older && month + 1 == first.year() * 12 + first.month0() as i32
}

/// Whether its bottling was planned for that month, and did not happen.
fn is_missed(life: &Life, month: i32) -> bool {
    let day = life.missed.map(Moment::date);
    day.is_some_and(|it| it.year() * 12 + it.month0() as i32 == month)
}

/// What a wine did in a month: what began there and was soon over, else what it did in the middle.
fn phase_in(life: &Life, month: i32) -> Option<Phase> {
    let first = |month: i32| {
        NaiveDate::from_ymd_opt(month.div_euclid(12), month.rem_euclid(12) as u32 + 1, 1)
    };
    let (from, to) = (first(month)?, first(month + 1)?);
    let middle = from + (to - from) / 2;
    let days = life
        .stretches
        .iter()
        .map(|it| (it.phase, it.from.date(), it.to.date()));
    let is_short = |(_, begin, end): &(Phase, NaiveDate, NaiveDate)| {
        (from..to).contains(begin) && *end - *begin < to - from && *end <= to
    };
    let holds = |(_, begin, end): &(Phase, NaiveDate, NaiveDate)| *begin <= middle && middle < *end;
    let meets = |(_, begin, end): &(Phase, NaiveDate, NaiveDate)| *begin < to && from < *end;
    let found = days.clone().find(is_short);
    let found = found.or_else(|| days.clone().find(holds));
    let found = found.or_else(|| days.clone().find(meets));
    found.map(|it| it.0)
}

/// A phase's sign; all differ in ASCII too.
fn sign(phase: Phase) -> &'static str {
    match phase {
        Phase::Fermenting => "≈",
        Phase::OnLees => "▂",
        Phase::Ageing => "▄",
        Phase::Standing => "↑",
        Phase::Resting => "·",
        Phase::InBottle => "o",
        Phase::Ready => "█",
        Phase::DrinkUp => "▓",
        Phase::Past => "╌",
        Phase::Withheld => "×",
    }
}

fn style(phase: Phase, theme: Theme) -> Style {
    match phase {
        Phase::Fermenting => theme.forecast(),
        Phase::OnLees => theme.lees(),
        Phase::Ageing => theme.text(),
        Phase::Standing => theme.strong(),
        Phase::Ready => theme.good(),
        Phase::DrinkUp => theme.rank(Rank::Soon),
        Phase::Withheld => theme.rank(Rank::Now),
        Phase::Resting | Phase::InBottle | Phase::Past => theme.dim(),
    }
}

/// What the signs of those lives mean, in as few lines as they go into.
fn legend(of: &[Life], cells: usize) -> Vec<String> {
    let is_there = |phase: &&Phase| {
        let mut all = of.iter().flat_map(|it| &it.stretches);
        all.any(|it| it.phase == **phase)
    };
    let mut parts: Vec<String> = Phase::ALL
        .iter()
        .filter(is_there)
        .map(|it| format!("{} {}", sign(*it), it.label()))
        .collect();
    if of.iter().any(|it| it.is_older) {
        parts.push(format!("{OLDER} begun before the book"));
    }
    if of.iter().any(|it| it.missed.is_some()) {
        parts.push(format!("{MISSED} planned bottling, not done"));
    }
    parts.push(format!("{TODAY} today, estimates right of it"));
    let mut lines: Vec<String> = Vec::new();
    for part in parts {
        match lines.last_mut() {
            Some(line) if text::width(line) + 3 + text::width(&part) <= cells => {
                line.push_str("   ");
                line.push_str(&part);
            }
            _ => lines.push(format!(" {part}")),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cellar::moment::Zone;
    use crate::cellar::years::Stretch;
    use crate::tui::ascii::to_ascii;

    fn check_phase(stretches: &[(Phase, &str, &str)], month: &str, expected: Option<Phase>) {
        let at = |day: &str| {
            let noon = format!("{day}T12:00:00").parse().unwrap();
            Zone::Fixed(60).wall(noon).unwrap().0
        };
        let stretch = |&(phase, from, to): &(Phase, &str, &str)| Stretch {
            phase,
            from: at(from),
            to: at(to),
        };
        let life = Life {
            place: Key(1),
            name: String::new(),
            left: String::new(),
            stretches: stretches.iter().map(stretch).collect(),
            is_older: false,
            missed: None,
        };
        let day: NaiveDate = format!("{month}-01").parse().unwrap();
        let month_number = day.year() * 12 + day.month0() as i32;
        assert_eq!(phase_in(&life, month_number), expected, "{month}");
    }

    #[test]
    fn a_month_shows_what_began_and_was_soon_over_else_its_middle() {
        let life = [
            (Phase::Ageing, "2025-10-20", "2026-11-22"),
            (Phase::Standing, "2026-11-22", "2026-11-25"),
            (Phase::Resting, "2026-11-25", "2027-01-10"),
            (Phase::Ready, "2027-01-10", "2028-01-20"),
        ];
        check_phase(&life, "2025-09", None);
        check_phase(&life, "2025-10", Some(Phase::Ageing));
        check_phase(&life, "2026-10", Some(Phase::Ageing));
        check_phase(&life, "2026-11", Some(Phase::Standing));
        check_phase(&life, "2026-12", Some(Phase::Resting));
        check_phase(&life, "2027-01", Some(Phase::Ready));
        check_phase(&life, "2028-01", Some(Phase::Ready));
        check_phase(&life, "2028-02", None);
    }

    #[test]
    fn every_phase_has_a_sign_of_its_own_in_ascii_too() {
        let signs: String = Phase::ALL.iter().map(|it| sign(*it)).collect();
        let mut buffer = Buffer::with_lines([signs]);
        to_ascii(&mut buffer);
        let cells = buffer.content.iter();
        let mut plain: Vec<&str> = cells.map(ratatui::buffer::Cell::symbol).collect();
        assert!(plain.iter().all(|it| it.is_ascii()), "{plain:?}");
        plain.sort_unstable();
        plain.dedup();
        assert_eq!(plain.len(), Phase::ALL.len(), "{plain:?}");
    }

    #[test]
    fn years_stand_above_their_januaries() {
        let today = "2026-11-25".parse().unwrap();
        let months = Months::around(today, 0, 40);
        assert_eq!(
            months.initials(),
            "JFMAMJJASONDJFMAMJJASON┊DJFMAMJJASONDJFM"
        );
        let years = "2025        2026         2027";
        assert_eq!(months.years(), years);
    }
}
