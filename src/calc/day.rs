//! A civil date as a number, so that models can do arithmetic on it without a clock.

use std::fmt;

/// Days since 1970-01-01; a fraction is a part of a day. Known from year 1 to year 9999.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Day(pub f64);

/// The first and last day a date can name (0001-01-01 and 9999-12-31).
const FIRST: i64 = -719_162;
const LAST: i64 = 2_932_896;

impl Day {
    /// Reads an ISO date, `2026-11-25`. Anything else, and a date that does not exist, is `None`.
    pub fn parse(text: &str) -> Option<Self> {
        let mut parts = text.trim().split('-');
        let (year, month, day) = (parts.next()?, parts.next()?, parts.next()?);
        let digits = |part: &str, width: usize| {
            part.len() == width && part.bytes().all(|b| b.is_ascii_digit())
        };
        if parts.next().is_some() || !(digits(year, 4) && digits(month, 2) && digits(day, 2)) {
            return None;
        }
        let (year, month, day) = (year.parse().ok()?, month.parse().ok()?, day.parse().ok()?);
        if year < 1 || !(1..=12).contains(&month) || !(1..=days_in(year, month)).contains(&day) {
            return None;
        }
        Some(Self(days_from_civil(year, month, day) as f64))
    }

    /// Year, month and day of month; `None` where the number is no date of the years 1 to 9999.
    pub fn civil(self) -> Option<(i64, i64, i64)> {
        let whole = self.0.floor();
        (whole >= FIRST as f64 && whole <= LAST as f64).then(|| civil_from_days(whole as i64))
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.civil() {
            Some((year, month, day)) => write!(f, "{year:04}-{month:02}-{day:02}"),
            None => write!(f, "no date"),
        }
    }
}

const fn leap(year: i64) -> bool {
    year % 4 == 0 && (year % 100 != 0 || year % 400 == 0)
}

const fn days_in(year: i64, month: i64) -> i64 {
    match month {
        2 if leap(year) => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

// Counting from 1 March puts the leap day last, so that a year is a plain polynomial in the month.
const fn days_from_civil(year: i64, month: i64, day: i64) -> i64 {
    let year = if month <= 2 { year - 1 } else { year };
    let era = year.div_euclid(400);
    let year_of_era = year.rem_euclid(400);
    let day_of_year = (153 * ((month + 9) % 12) + 2) / 5 + day - 1;
    let day_of_era = year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year;
    era * 146_097 + day_of_era - 719_468
}

const fn civil_from_days(days: i64) -> (i64, i64, i64) {
    let days = days + 719_468;
    let era = days.div_euclid(146_097);
    let day_of_era = days.rem_euclid(146_097);
    let year_of_era =
        (day_of_era - day_of_era / 1_460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
    let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let month_from_march = (5 * day_of_year + 2) / 153;
    let day = day_of_year - (153 * month_from_march + 2) / 5 + 1;
    let month = (month_from_march + 2) % 12 + 1;
    let year = year_of_era + era * 400 + if month <= 2 { 1 } else { 0 };
    (year, month, day)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(text: &str, expected: Option<f64>) {
        let read = Day::parse(text);
        assert_eq!(read.map(|day| day.0), expected, "{text}");
        if let Some(day) = read {
            assert_eq!(day.to_string(), text);
        }
    }

    // Expected numbers: POSIX time divided by 86 400, by definition of the epoch and the Gregorian calendar.
    #[test]
    fn iso_dates_count_from_the_epoch() {
        check("1970-01-01", Some(0.0));
        check("1969-12-31", Some(-1.0));
        check("2000-02-29", Some(11_016.0));
        check("2000-03-01", Some(11_017.0));
        check("2038-01-19", Some(24_855.0));
        check("0001-01-01", Some(FIRST as f64));
        check("9999-12-31", Some(LAST as f64));
    }

    #[test]
    fn what_is_no_date_is_refused() {
        for text in [
            "",
            "2026",
            "2026-11",
            "2026-13-01",
            "2026-00-10",
            "2026-02-29",
            "1900-02-29",
            "26-11-25",
            "2026-11-31",
            "2026-11-25-1",
            "2026-1-5",
            "0000-01-01",
            "+026-01-01",
            "today",
        ] {
            check(text, None);
        }
        assert_eq!(Day(f64::NAN).to_string(), "no date");
        assert_eq!(Day(1e300).to_string(), "no date");
    }

    #[test]
    fn every_day_of_eight_centuries_reads_back_and_follows_the_one_before() {
        let mut before = (1599, 12, 31);
        for days in -135_140..160_000_i64 {
            let now = civil_from_days(days);
            assert_eq!(days_from_civil(now.0, now.1, now.2), days);
            let next = if before.2 < days_in(before.0, before.1) {
                (before.0, before.1, before.2 + 1)
            } else if before.1 < 12 {
                (before.0, before.1 + 1, 1)
            } else {
                (before.0 + 1, 1, 1)
            };
            assert_eq!(now, next);
            before = now;
        }
    }

    #[test]
    fn a_part_of_a_day_prints_its_day() {
        assert_eq!(Day(0.99).to_string(), "1970-01-01");
        assert_eq!(Day(-0.01).to_string(), "1969-12-31");
    }
}
