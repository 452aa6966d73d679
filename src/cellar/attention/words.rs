//! Shared phrases for ages, dates and numbers; the board uses the same.

use crate::cellar::moment::Moment;

/// An age for a column: `12 d`, `4 mo`, `3 y`. Days below a hundred, months below two years.
pub fn age(days: i64) -> String {
    match days {
        ..0 => "0 d".to_owned(),
        0..100 => format!("{days} d"),
        100..730 => format!("{} mo", months(days)),
        _ => format!("{} y", days / 365),
    }
}

/// A span in words: `1 day`, `34 days`, `4 months`, `3 years`.
pub fn span(days: i64) -> String {
    let (number, unit) = match days {
        ..100 => (days.max(0), "day"),
        100..730 => (months(days), "month"),
        _ => (days / 365, "year"),
    };
    let plural = if number == 1 { "" } else { "s" };
    format!("{number} {unit}{plural}")
}

/// When it falls due, seen from now: `6 days ago`, `yesterday`, `today`, `tomorrow`, `in 3 days`.
pub fn due(due: Moment, now: Moment) -> String {
    match due.days_since(now) {
        0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        -1 => "yesterday".to_owned(),
        days @ 2.. => format!("in {}", span(days)),
        days => format!("{} ago", span(-days)),
    }
}

/// A gravity as read: `0.996`.
pub fn gravity(value: f64) -> String {
    format!("{value:.3}")
}

/// A number of things: `1 bottle`, `29 bottles`.
pub fn count(number: i64, thing: &str) -> String {
    let plural = if number == 1 { "" } else { "s" };
    format!("{number} {thing}{plural}")
}

/// Whole months of so many days, as people count: 30.4 days each.
fn months(days: i64) -> i64 {
    (days as f64 / 30.4375).round() as i64
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check_age(days: i64, short: &str, long: &str) {
        assert_eq!((age(days).as_str(), span(days).as_str()), (short, long));
    }

    #[test]
    fn an_age_is_said_in_the_unit_people_would_use() {
        check_age(-3, "0 d", "0 days");
        check_age(1, "1 d", "1 day");
        check_age(62, "62 d", "62 days");
        check_age(122, "4 mo", "4 months");
        check_age(425, "14 mo", "14 months");
        check_age(1100, "3 y", "3 years");
    }

    fn check_due(days: i64, expected: &str) {
        let now = Moment {
            utc_ms: 1_795_600_000_000,
            offset_min: 60,
        };
        assert_eq!(due(now.plus_days(days), now), expected);
    }

    #[test]
    fn a_due_date_is_said_from_now() {
        check_due(-6, "6 days ago");
        check_due(-1, "yesterday");
        check_due(0, "today");
        check_due(1, "tomorrow");
        check_due(3, "in 3 days");
        check_due(152, "in 5 months");
    }
}
