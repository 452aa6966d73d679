//! Which days a person means by a date in words: one day, or a span of them.

use chrono::{Datelike, Days, Months, NaiveDate, Weekday};

/// The days that were meant. A single day is first, middle and last.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Meant {
    /// The earliest.
    pub first: NaiveDate,
    /// The one to be taken where one is needed.
    pub middle: NaiveDate,
    /// The latest.
    pub last: NaiveDate,
}

impl Meant {
    fn day(day: NaiveDate) -> Meant {
        Meant {
            first: day,
            middle: day,
            last: day,
        }
    }

    fn span(first: NaiveDate, last: NaiveDate) -> Option<Meant> {
        let half = u64::try_from((last - first).num_days() / 2).ok()?;
        Some(Meant {
            first,
            middle: first.checked_add_days(Days::new(half))?,
            last,
        })
    }

    /// So many days around one.
    fn around(day: NaiveDate, beside: u64) -> Option<Meant> {
        Some(Meant {
            first: day.checked_sub_days(Days::new(beside))?,
            middle: day,
            last: day.checked_add_days(Days::new(beside))?,
        })
    }

    /// Whether it is one day.
    pub(super) fn is_a_day(self) -> bool {
        self.first == self.last
    }
}

/// The days meant by small letters with single blanks, or `None` if they mean none. What names no
/// year is the last such time that has begun.
pub(super) fn meant(words: &str, today: NaiveDate) -> Option<Meant> {
    let words = [
        "about ", "around ", "circa ", "ca ", "on ", "in ", "the ", "since ",
    ]
    .iter()
    .fold(words, |it, filler| it.strip_prefix(filler).unwrap_or(it));
    if let Some(day) = single(words, today) {
        return Some(Meant::day(day));
    }
    if let Some(meant) = ago(words, today).or_else(|| lately(words, today)) {
        return Some(meant);
    }
    let (edge, rest) = edge(words);
    let whole = named_span(rest, today)?;
    let days = (whole.last - whole.first).num_days();
    let at = |third: i64| {
        whole
            .first
            .checked_add_days(Days::new(u64::try_from(days * third / 3).ok()?))
    };
    match edge {
        Edge::None => Some(whole),
        Edge::Early => Meant::span(whole.first, at(1)?),
        Edge::Middle => Meant::span(at(1)?, at(2)?),
        Edge::Late => Meant::span(at(2)?, whole.last),
    }
}

/// A date whose year was written with two figures is of the hundred years around today; where the day might as well
/// come last as the year, it is none.
fn in_full(date: NaiveDate, form: &str, today: NaiveDate) -> Option<NaiveDate> {
    if date.year() >= 100 {
        return Some(date);
    }
    let year = date.year() + today.year().div_euclid(100) * 100;
    let year = if year > today.year() + 20 {
        year - 100
    } else {
        year
    };
    date.with_year(year).filter(|_| !form.starts_with("%Y"))
}

fn single(words: &str, today: NaiveDate) -> Option<NaiveDate> {
    let back = |days: u64| today.checked_sub_days(Days::new(days));
    match words {
        "today" => return Some(today),
        "yesterday" => return back(1),
        "day before yesterday" => return back(2),
        _ => {}
    }
    if let Some(days) = words.strip_prefix('-').and_then(|it| it.strip_suffix('d')) {
        return back(days.trim().parse().ok()?);
    }
    if let Some(weeks) = words.strip_prefix('-').and_then(|it| it.strip_suffix('w')) {
        return back(weeks.trim().parse::<u64>().ok()?.checked_mul(7)?);
    }
    if let Some(days) = words
        .strip_suffix(" days ago")
        .or_else(|| words.strip_suffix(" day ago"))
        && let Some(days) = number(days)
    {
        return back(days);
    }
    if let Some((many, weekday)) = words
        .strip_suffix(" ago")
        .and_then(|it| it.rsplit_once(' '))
        && let Some(many) = number(many).filter(|it| *it > 0)
        && let Ok(weekday) = weekday.trim_end_matches('s').parse::<Weekday>()
    {
        let since = match today.weekday().days_since(weekday) {
            0 => 7,
            days => u64::from(days),
        };
        return back(since + (many - 1) * 7);
    }
    let (last, weekday) = match words.strip_prefix("last ") {
        Some(rest) => (true, rest),
        None => (false, words),
    };
    if let Ok(weekday) = weekday.parse::<Weekday>() {
        let since = today.weekday().days_since(weekday);
        let days = if last && since == 0 { 7 } else { since };
        return back(u64::from(days));
    }
    let plain = words.replace(" of ", " ").replace(',', "");
    let ordinal: Vec<&str> = plain
        .split(' ')
        .map(|it| {
            let cut = ["st", "nd", "rd", "th"]
                .iter()
                .find_map(|end| it.strip_suffix(end));
            cut.filter(|it| it.bytes().all(|b| b.is_ascii_digit()))
                .unwrap_or(it)
        })
        .collect();
    let plain = ordinal.join(" ");
    let forms: &[&str] = match plain.split(' ').count() {
        1 => &["%Y-%m-%d", "%d.%m.%Y", "%Y/%m/%d"],
        3 => &["%d %B %Y", "%B %d %Y"],
        _ => &[],
    };
    for form in forms {
        if let Ok(date) = NaiveDate::parse_from_str(&plain, form) {
            return in_full(date, form, today);
        }
    }
    // A day without a year is the last such day, or this year's if it is today.
    let in_year = |year: i32| {
        ["%d %B %Y", "%B %d %Y"]
            .iter()
            .find_map(|form| NaiveDate::parse_from_str(&format!("{plain} {year}"), form).ok())
    };
    let day_and_month = plain.split_once(' ').filter(|(one, two)| {
        let digits =
            |it: &str| (1..=2).contains(&it.len()) && it.bytes().all(|b| b.is_ascii_digit());
        digits(one) != digits(two)
    });
    day_and_month?;
    in_year(today.year())
        .filter(|it| *it <= today)
        .or_else(|| in_year(today.year() - 1))
}

/// `two weeks ago`: a span as wide as the unit it was said in.
fn ago(words: &str, today: NaiveDate) -> Option<Meant> {
    let words = words.strip_suffix(" ago")?;
    let (many, unit) = match words {
        "fortnight" | "a fortnight" => (2, "week"),
        _ => {
            let (many, unit) = words.rsplit_once(' ')?;
            (number(many)?, unit.trim_end_matches('s'))
        }
    };
    let vague = words.starts_with("a couple") || words.starts_with("a few");
    let beside = |days: u64| if vague { days * 2 } else { days };
    let months = |months: u64| today.checked_sub_months(Months::new(u32::try_from(months).ok()?));
    match unit {
        "day" => Meant::around(today.checked_sub_days(Days::new(many))?, beside(1)),
        "week" | "wk" => Meant::around(
            today.checked_sub_days(Days::new(many.checked_mul(7)?))?,
            beside(3),
        ),
        "month" => Meant::around(months(many)?, beside(15)),
        "year" | "yr" => Meant::around(months(many.checked_mul(12)?)?, beside(182)),
        _ => None,
    }
}

/// So many days: `7d`, `30 days`, `3 weeks`, `a month`; a month is thirty of them.
pub(super) fn days(words: &str) -> Option<i64> {
    let words = ["in ", "for "]
        .iter()
        .fold(words, |it, filler| it.strip_prefix(filler).unwrap_or(it));
    let figures = words.trim_end_matches(|it: char| it.is_ascii_alphabetic());
    let (many, unit) = match words.rsplit_once(' ') {
        Some((many, unit)) => (number(many)?, unit),
        // `7d`: the unit stands at the figure.
        None if !figures.is_empty() => (number(figures)?, &words[figures.len()..]),
        None => return (words == "fortnight").then_some(14),
    };
    let each = match unit {
        "d" | "day" | "days" => 1,
        "w" | "wk" | "week" | "weeks" => 7,
        "fortnight" | "fortnights" => 14,
        "month" | "months" => 30,
        "year" | "years" => 365,
        _ => return None,
    };
    i64::try_from(many.checked_mul(each)?).ok()
}

/// The next day of that name: `tomorrow`, `Sunday`, `24 Dec`, or a day with its year.
pub(super) fn coming(words: &str, today: NaiveDate) -> Option<NaiveDate> {
    if words == "tomorrow" {
        return today.succ_opt();
    }
    let named = words.strip_prefix("next ").unwrap_or(words);
    if let Ok(weekday) = named.parse::<Weekday>() {
        let days = match weekday.days_since(today.weekday()) {
            0 => 7,
            days => u64::from(days),
        };
        return today.checked_add_days(Days::new(days));
    }
    let day = single(words, today)?;
    let names_its_year = words
        .split(|it: char| !it.is_ascii_digit())
        .any(|it| it.len() == 4);
    if day > today || names_its_year {
        return Some(day);
    }
    // Without a year `single` takes the last such day, which a day and a month alone can mean.
    let is_dated = words.contains(' ') && words.contains(|it: char| it.is_ascii_digit());
    let is_past = words.ends_with("ago") || words.starts_with("last ");
    (is_dated && !is_past).then(|| day.checked_add_months(Months::new(12)))?
}

/// Words behind which `may` or `march` is a month.
const BEFORE_A_MONTH: &[&str] = &[
    "in", "by", "for", "of", "from", "until", "till", "before", "after", "early", "mid", "late",
];

/// The day to come that is named somewhere among small words; of a month its first day, or today while it goes on.
pub(super) fn named_among(words: &str, today: NaiveDate) -> Option<NaiveDate> {
    let words: Vec<&str> = words
        .split(|it: char| it.is_whitespace() || it == ',')
        .filter(|it| !it.is_empty())
        .collect();
    let at = |many: usize| words.windows(many).map(|it| it.join(" "));
    let dated = (1..=3).rev().flat_map(at);
    let in_days = |it: &str| {
        let many = days(it.strip_prefix("in ")?)?;
        today.checked_add_days(Days::new(many.try_into().ok()?))
    };
    let mut dated = dated.filter_map(|it| in_days(&it).or_else(|| coming(&it, today)));
    let months = || {
        words.windows(2).find_map(|it| {
            let is_month = it[1].parse::<chrono::Month>().is_ok();
            let named = is_month && BEFORE_A_MONTH.contains(&it[0]);
            let month = meant(it[1], today).filter(|_| named)?;
            let has_gone = month.last < today;
            let first = if has_gone {
                month.first.checked_add_months(Months::new(12))?
            } else {
                month.first
            };
            Some(first.max(today))
        })
    };
    dated.next().or_else(months)
}

fn number(words: &str) -> Option<u64> {
    const WORDS: &[(&str, u64)] = &[
        ("a", 1),
        ("an", 1),
        ("one", 1),
        ("two", 2),
        ("a couple of", 2),
        ("couple of", 2),
        ("three", 3),
        ("a few", 3),
        ("few", 3),
        ("four", 4),
        ("five", 5),
        ("six", 6),
        ("seven", 7),
        ("eight", 8),
        ("nine", 9),
        ("ten", 10),
        ("twelve", 12),
        ("twenty", 20),
    ];
    let word = words.trim().trim_start_matches("about ");
    let found = WORDS.iter().find(|it| it.0 == word).map(|it| it.1);
    found
        .or_else(|| word.parse().ok())
        .filter(|it| *it <= 100_000)
}

#[derive(Clone, Copy)]
enum Edge {
    None,
    Early,
    Middle,
    Late,
}

fn edge(words: &str) -> (Edge, &str) {
    [
        ("early in ", Edge::Early),
        ("early ", Edge::Early),
        ("beginning of ", Edge::Early),
        ("start of ", Edge::Early),
        ("middle of ", Edge::Middle),
        ("mid-", Edge::Middle),
        ("mid ", Edge::Middle),
        ("late in ", Edge::Late),
        ("late ", Edge::Late),
        ("end of ", Edge::Late),
    ]
    .iter()
    .find_map(|(word, edge)| Some((*edge, words.strip_prefix(word)?)))
    .unwrap_or((Edge::None, words))
}

/// Days that are near without being named: `the other day` is one of the last ten, `recently` one of
/// the last three weeks (house estimates).
fn lately(words: &str, today: NaiveDate) -> Option<Meant> {
    let days = match words {
        "other day" => 10,
        "recently" | "lately" => 21,
        _ => return None,
    };
    let yesterday = today.checked_sub_days(Days::new(1))?;
    Meant::span(today.checked_sub_days(Days::new(days))?, yesterday)
}

/// A year, season, month or week.
fn named_span(words: &str, today: NaiveDate) -> Option<Meant> {
    let monday = today.week(Weekday::Mon).first_day();
    let week = |back: u64| {
        let first = monday.checked_sub_days(Days::new(7 * back))?;
        Meant::span(first, first.checked_add_days(Days::new(6))?)
    };
    match words {
        "this week" => return week(0),
        "last week" => return week(1),
        "week before last" => return week(2),
        "this month" | "last month" => {
            let first = today.with_day(1)?;
            let back = u32::from(words == "last month");
            return month(first.checked_sub_months(Months::new(back))?);
        }
        "this year" => return span_of("", today.year()),
        "last year" => return span_of("", today.year() - 1),
        "year before last" => return span_of("", today.year() - 2),
        _ => {}
    }
    if let Ok(first) = NaiveDate::parse_from_str(&format!("{words}-01"), "%Y-%m-%d") {
        return month(first);
    }
    let (name, year) = words.rsplit_once(' ').unwrap_or(("", words));
    let name = name.trim_end_matches(" of").trim_end_matches(',');
    if let Some(year) = year.parse().ok().filter(|it| (1900..2200).contains(it)) {
        return span_of(name, year);
    }
    // Without a year the last one that has begun; with `last` the last one that is over.
    let (is_last, name) = match words.strip_prefix("last ") {
        Some(rest) => (true, rest),
        None => (false, words.strip_prefix("this ").unwrap_or(words)),
    };
    if name.is_empty() {
        return None;
    }
    (0..3).find_map(|back| {
        let span = span_of(name, today.year() + 1 - back)?;
        let begun = if is_last {
            span.last < today
        } else {
            span.first <= today
        };
        begun.then_some(span)
    })
}

/// The days of a season or month of a year, or of all of it; winter ends in the year it is named by.
fn span_of(name: &str, year: i32) -> Option<Meant> {
    let months = |year: i32, first: u32, many: u32| {
        let first = NaiveDate::from_ymd_opt(year, first, 1)?;
        let last = first.checked_add_months(Months::new(many))?.pred_opt()?;
        Meant::span(first, last)
    };
    match name {
        "" => months(year, 1, 12),
        "spring" => months(year, 3, 3),
        "summer" => months(year, 6, 3),
        "autumn" | "fall" => months(year, 9, 3),
        "winter" => months(year - 1, 12, 3),
        "christmas" => Meant::span(
            NaiveDate::from_ymd_opt(year, 12, 24)?,
            NaiveDate::from_ymd_opt(year, 12, 26)?,
        ),
        "new year" => Meant::span(
            NaiveDate::from_ymd_opt(year - 1, 12, 31)?,
            NaiveDate::from_ymd_opt(year, 1, 1)?,
        ),
        _ => month(NaiveDate::parse_from_str(&format!("1 {name} {year}"), "%d %B %Y").ok()?),
    }
}

fn month(first: NaiveDate) -> Option<Meant> {
    Meant::span(first, first.checked_add_months(Months::new(1))?.pred_opt()?)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(words: &str, expected: &str) {
        // A Wednesday.
        let today = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap();
        let told = meant(words, today).map_or_else(
            || "none".to_owned(),
            |it| {
                if it.is_a_day() {
                    it.first.to_string()
                } else {
                    format!("{} to {}", it.first, it.last)
                }
            },
        );
        assert_eq!(told, expected, "{words}");
    }

    #[test]
    fn a_day_is_a_day() {
        check("yesterday", "2026-11-24");
        check("the day before yesterday", "2026-11-23");
        check("last sunday", "2026-11-22");
        check("on sunday", "2026-11-22");
        check("last wednesday", "2026-11-18");
        check("two sundays ago", "2026-11-15");
        check("a sunday ago", "2026-11-22");
        check("two wednesdays ago", "2026-11-11");
        check("10 days ago", "2026-11-15");
        check("two days ago", "2026-11-23");
        check("5 oct", "2026-10-05");
        check("oct 5", "2026-10-05");
        check("5th of october", "2026-10-05");
        check("october 5, 2024", "2024-10-05");
        check("the 5th of october 2024", "2024-10-05");
        check("24 dec", "2025-12-24");
        check("2023-10-05", "2023-10-05");
        check("-2w", "2026-11-11");
    }

    #[test]
    fn a_vague_date_is_as_wide_as_it_was_said() {
        check("a month ago", "2026-10-10 to 2026-11-09");
        check("two weeks ago", "2026-11-08 to 2026-11-14");
        check("a fortnight ago", "2026-11-08 to 2026-11-14");
        check("a couple of weeks ago", "2026-11-05 to 2026-11-17");
        check("the other day", "2026-11-15 to 2026-11-24");
        check("recently", "2026-11-04 to 2026-11-24");
        check("last week", "2026-11-16 to 2026-11-22");
        check("last month", "2026-10-01 to 2026-10-31");
        check("last year", "2025-01-01 to 2025-12-31");
        check("two years ago", "2024-05-27 to 2025-05-26");
    }

    #[test]
    fn a_month_or_season_is_the_last_one_begun() {
        check("october", "2026-10-01 to 2026-10-31");
        check("in october", "2026-10-01 to 2026-10-31");
        check("december", "2025-12-01 to 2025-12-31");
        check("last november", "2025-11-01 to 2025-11-30");
        check("early october", "2026-10-01 to 2026-10-11");
        check("end of october", "2026-10-21 to 2026-10-31");
        check("in spring", "2026-03-01 to 2026-05-31");
        check("last autumn", "2025-09-01 to 2025-11-30");
        check("autumn 2023", "2023-09-01 to 2023-11-30");
        check("the summer of 2022", "2022-06-01 to 2022-08-31");
        check("winter", "2025-12-01 to 2026-02-28");
        check("october 2023", "2023-10-01 to 2023-10-31");
        check("2023-10", "2023-10-01 to 2023-10-31");
        check("2021", "2021-01-01 to 2021-12-31");
        check("about 2021", "2021-01-01 to 2021-12-31");
        check("christmas", "2025-12-24 to 2025-12-26");
    }

    #[test]
    fn a_time_to_come_is_so_many_days_or_the_next_such_day() {
        let check =
            |words: &str, expected: Option<i64>| assert_eq!(days(words), expected, "{words}");
        check("7d", Some(7));
        check("3 days", Some(3));
        check("for 3 weeks", Some(21));
        check("2w", Some(14));
        check("a month", Some(30));
        check("two months", Some(60));
        check("fortnight", Some(14));
        check("7", None);
        check("3 furlongs", None);
        check("sunday", None);
        // A Wednesday.
        let today = "2026-11-25".parse().unwrap();
        let check = |words: &str, expected: Option<&str>| {
            let expected = expected.map(|it| it.parse().unwrap());
            assert_eq!(coming(words, today), expected, "{words}");
        };
        check("tomorrow", Some("2026-11-26"));
        check("sunday", Some("2026-11-29"));
        check("next wednesday", Some("2026-12-02"));
        check("24 dec", Some("2026-12-24"));
        check("dec 24", Some("2026-12-24"));
        check("5 oct", Some("2027-10-05"));
        check("2026-12-24", Some("2026-12-24"));
        check("2020-01-01", Some("2020-01-01"));
        check("yesterday", None);
        check("last sunday", None);
        check("3 days ago", None);
        check("soonish", None);
    }

    #[test]
    fn a_year_of_two_figures_is_near_today_or_the_date_is_none() {
        check("13.1.26", "2026-01-13");
        check("31.12.99", "1999-12-31");
        check("13 jan 26", "2026-01-13");
        for either_way in ["13/1/26", "26-01-13", "1-1-1"] {
            check(either_way, "none");
        }
    }

    #[test]
    fn what_is_no_date_means_no_day() {
        check("soonish", "none");
        check("", "none");
        check("5/10/2024", "none");
        check("31 feb 2024", "none");
        check("ago", "none");
    }
}
