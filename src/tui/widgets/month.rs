//! A month in weeks: today in brackets, the marked day behind its mark, and beside each day what is
//! on it, by its sign and how many.

use chrono::{Datelike, Days, NaiveDate};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use super::text;
use crate::cellar::attention::Rank;
use crate::tui::theme::{self, MARK, Theme};

/// Columns a day takes.
const DAY: usize = 8;
/// Columns before the first day: the number of the week.
const WEEK: usize = 4;
/// Columns it wants.
pub const WIDTH: u16 = (WEEK + 7 * DAY) as u16;
/// Rows it takes: its name, the days' names, six weeks.
pub const HEIGHT: u16 = 8;

/// What is on a day.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Mark {
    /// The most pressing of what falls due.
    pub rank: Option<Rank>,
    /// How many things fall due.
    pub due: usize,
    /// How many entries the book has of that day.
    pub written: usize,
}

/// The Monday of the first week shown in the month of that day.
pub fn first_shown(day: NaiveDate) -> NaiveDate {
    let first = day.with_day(1).unwrap_or(day);
    let before = u64::from(first.weekday().num_days_from_monday());
    first.checked_sub_days(Days::new(before)).unwrap_or(first)
}

/// The last day shown: six weeks whatever the month, so that nothing jumps.
pub fn last_shown(day: NaiveDate) -> NaiveDate {
    let first = first_shown(day);
    first.checked_add_days(Days::new(41)).unwrap_or(first)
}

/// Draws the month of the marked day.
pub fn draw(
    marked: NaiveDate,
    today: NaiveDate,
    on: impl Fn(NaiveDate) -> Mark,
    theme: Theme,
    area: Rect,
    buf: &mut Buffer,
) {
    let name = format!("{:WEEK$} {}", "", marked.format("%B %Y"));
    text::put(buf, area, 0, Line::from(Span::styled(name, theme.strong())));
    let days = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
    let mut heading = " ".repeat(WEEK);
    for day in days {
        heading.push_str(&text::fit(day, DAY));
    }
    text::put(buf, area, 1, Line::from(Span::styled(heading, theme.dim())));
    let mut day = first_shown(marked);
    for week in 0..6 {
        let number = format!("{:>3} ", day.iso_week().week());
        let mut spans = vec![Span::styled(number, theme.dim())];
        for _ in 0..7 {
            spans.extend(cell(day, marked, today, on(day), theme));
            day = day.succ_opt().unwrap_or(day);
        }
        text::put(buf, area, week + 2, Line::from(spans));
    }
}

/// `[25]! 2`, `▌26 ›`, ` 12 √ 3`: a rank's sign for what falls due, `√` for what was done.
fn cell(
    day: NaiveDate,
    marked: NaiveDate,
    today: NaiveDate,
    mark: Mark,
    theme: Theme,
) -> Vec<Span<'static>> {
    let number = format!("{:>2}", day.day());
    let (before, after) = match (day == marked, day == today) {
        (true, true) => (MARK, "]"),
        (true, false) => (MARK, " "),
        (false, true) => ("[", "]"),
        (false, false) => (" ", " "),
    };
    let style = if day == marked {
        theme.selected()
    } else if day.month() == marked.month() {
        theme.text()
    } else {
        theme.dim()
    };
    let (sign, count, sign_style) = match mark.rank {
        Some(rank) => (theme::sign(rank), mark.due, theme.rank(rank)),
        None if mark.written > 0 => ("√", mark.written, theme.dim()),
        None => (" ", 0, theme.text()),
    };
    let count = match count {
        0 | 1 => String::new(),
        2..=99 => count.to_string(),
        _ => "99".to_owned(),
    };
    let edge = if day == today {
        theme.strong()
    } else {
        theme.text()
    };
    vec![
        Span::styled(before, edge),
        Span::styled(number, style),
        Span::styled(after, edge),
        Span::styled(format!("{sign}{}", text::fit(&count, 2)), sign_style),
        Span::raw(" "),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    fn check(of: &str, first: &str, last: &str) {
        assert_eq!(first_shown(day(of)), day(first), "{of}");
        assert_eq!(last_shown(day(of)), day(last), "{of}");
    }

    /// Weeks begin on Monday (ISO 8601).
    #[test]
    fn the_weeks_shown_begin_on_a_monday() {
        check("2026-11-25", "2026-10-26", "2026-12-06");
        check("2027-02-01", "2027-02-01", "2027-03-14");
        check("2028-02-29", "2028-01-31", "2028-03-12");
    }

    fn row(week: u16, on: impl Fn(NaiveDate) -> Mark) -> String {
        let area = Rect::new(0, 0, WIDTH, HEIGHT);
        let mut buf = Buffer::empty(area);
        let theme = Theme {
            color: false,
            ascii: false,
        };
        draw(
            day("2026-11-26"),
            day("2026-11-25"),
            on,
            theme,
            area,
            &mut buf,
        );
        let cells = (0..WIDTH).map(|x| buf[(x, week + 2)].symbol().to_owned());
        cells.collect::<String>().trim_end().to_owned()
    }

    /// 23 Nov 2026 is the Monday of week 48 (ISO 8601).
    #[test]
    fn today_stands_in_brackets_and_the_marked_day_behind_its_mark() {
        assert_eq!(
            row(4, |_| Mark::default()),
            " 48  23      24     [25]    ▌26      27      28      29"
        );
    }

    #[test]
    fn a_sign_says_what_is_on_a_day() {
        let on = |it: NaiveDate| match it.day() {
            23 => Mark {
                written: 12,
                ..Mark::default()
            },
            25 => Mark {
                rank: Some(Rank::Now),
                due: 2,
                written: 1,
            },
            27 => Mark {
                rank: Some(Rank::Soon),
                due: 1,
                written: 0,
            },
            _ => Mark::default(),
        };
        assert_eq!(
            row(4, on),
            " 48  23 √12  24     [25]!2  ▌26      27 ›    28      29"
        );
    }
}
