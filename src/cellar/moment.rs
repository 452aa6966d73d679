//! When something happened: an instant and the clock on the wall there.

use std::fmt;

use chrono::{
    DateTime, Datelike, Duration, FixedOffset, Local, NaiveDate, NaiveDateTime, NaiveTime, Offset,
    TimeZone,
};

/// An instant in UTC milliseconds with the offset of the wall clock in minutes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Moment {
    /// Milliseconds since 1970-01-01T00:00Z.
    pub utc_ms: i64,
    /// Minutes east of UTC.
    pub offset_min: i32,
}

/// The cellar's zone: how a wall clock there turns into an instant. It knows no "now".
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Zone {
    /// As this computer is set.
    System,
    /// A fixed offset, minutes east of UTC.
    Fixed(i32),
}

/// A date as a person said it, understood.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    /// The instant taken.
    pub moment: Moment,
    /// What was said, where it names no single day: `autumn 2023`.
    pub loosely: Option<String>,
    /// What a person should know about how it was taken.
    pub remark: Option<String>,
}

/// A date that could not be taken; the text is one sentence.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct DateError(pub String);

impl Moment {
    /// The wall clock there.
    pub fn local(self) -> NaiveDateTime {
        let utc = DateTime::from_timestamp_millis(self.utc_ms)
            .unwrap_or_default()
            .naive_utc();
        utc + Duration::minutes(i64::from(self.offset_min))
    }

    /// The civil date there.
    pub fn date(self) -> NaiveDate {
        self.local().date()
    }

    /// Whole civil days from `earlier` to this.
    pub fn days_since(self, earlier: Moment) -> i64 {
        (self.date() - earlier.date()).num_days()
    }

    /// The same wall clock so many days on, by this moment's own offset.
    pub fn plus_days(self, days: i64) -> Moment {
        Moment {
            utc_ms: self.utc_ms + days * 86_400_000,
            ..self
        }
    }

    /// Another instant read on the same wall clock.
    pub fn at(self, utc_ms: i64) -> Moment {
        Moment { utc_ms, ..self }
    }

    /// `25 Nov 2026`.
    pub fn day_words(self) -> String {
        self.date().format("%-d %b %Y").to_string()
    }
}

/// RFC 3339 with the offset of the wall clock.
impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let offset =
            FixedOffset::east_opt(self.offset_min * 60).unwrap_or_else(|| chrono::Utc.fix());
        let utc = DateTime::from_timestamp_millis(self.utc_ms).unwrap_or_default();
        write!(f, "{}", utc.with_timezone(&offset).to_rfc3339())
    }
}

impl Zone {
    /// From the setting: `system`, or an offset such as `+01:00`.
    pub fn from_setting(text: &str) -> Option<Zone> {
        if text.is_empty() || text == "system" {
            return Some(Zone::System);
        }
        let (sign, rest) = match text.split_at_checked(1)? {
            ("+", rest) => (1, rest),
            ("-", rest) => (-1, rest),
            _ => return None,
        };
        let (hours, minutes) = rest.split_once(':').unwrap_or((rest, "0"));
        let (hours, minutes): (i32, i32) = (hours.parse().ok()?, minutes.parse().ok()?);
        (hours <= 14 && (0..60).contains(&minutes) && hours >= 0)
            .then_some(Zone::Fixed(sign * (hours * 60 + minutes)))
    }

    /// That instant, with the wall clock of this zone.
    pub fn moment(self, utc_ms: i64) -> Moment {
        let offset_min = match self {
            Zone::Fixed(minutes) => minutes,
            Zone::System => {
                let utc = DateTime::from_timestamp_millis(utc_ms)
                    .unwrap_or_default()
                    .naive_utc();
                Local.offset_from_utc_datetime(&utc).local_minus_utc() / 60
            }
        };
        Moment { utc_ms, offset_min }
    }

    /// The instant of that wall clock. A time that the clocks skip is refused; of one that they
    /// show twice the earlier is taken and said.
    pub fn wall(self, local: NaiveDateTime) -> Result<(Moment, Option<String>), DateError> {
        let with = |offset_min: i32| Moment {
            utc_ms: (local - Duration::minutes(i64::from(offset_min)))
                .and_utc()
                .timestamp_millis(),
            offset_min,
        };
        match self {
            Zone::Fixed(minutes) => Ok((with(minutes), None)),
            Zone::System => match Local.offset_from_local_datetime(&local) {
                chrono::LocalResult::Single(offset) => {
                    Ok((with(offset.fix().local_minus_utc() / 60), None))
                }
                chrono::LocalResult::Ambiguous(first, _) => Ok((
                    with(first.fix().local_minus_utc() / 60),
                    Some(format!(
                        "The clocks showed {} twice that day; the earlier is taken.",
                        local.format("%H:%M")
                    )),
                )),
                chrono::LocalResult::None => Err(DateError(format!(
                    "{} does not exist: the clocks skipped it that day; give a time an hour earlier or later.",
                    local.format("%Y-%m-%d %H:%M")
                ))),
            },
        }
    }
}

/// Reads a date as people say it: `now`, `today`, `yesterday`, `3 days ago`, `-3d`, `2026-11-25`,
/// `2026-11-25 14:30`, `25 Nov`, `25 Nov 2026`, `Nov 2026`, `autumn 2023`, `2023`. A date without
/// a time is noon there, or now where noon is still to come today.
pub fn read(text: &str, now: Moment, zone: Zone) -> Result<Said, DateError> {
    let words = text.trim().to_lowercase();
    let today = now.date();
    let exact = |moment| {
        Ok(Said {
            moment,
            loosely: None,
            remark: None,
        })
    };
    if matches!(words.as_str(), "" | "now" | "today") {
        return exact(now);
    }
    if let Some((date, time)) = with_time(&words, today) {
        let (moment, remark) = zone.wall(date.and_time(time))?;
        return Ok(Said {
            moment,
            loosely: None,
            remark,
        });
    }
    if let Some(date) = day(&words, today) {
        let (noon, remark) = zone.wall(date.and_time(NOON))?;
        let moment = if date == today { noon.min(now) } else { noon };
        return Ok(Said {
            moment,
            loosely: None,
            remark,
        });
    }
    if let Some(date) = loose(&words) {
        let (noon, remark) = zone.wall(date.min(today).and_time(NOON))?;
        return Ok(Said {
            moment: noon.min(now),
            loosely: Some(text.trim().to_owned()),
            remark,
        });
    }
    Err(DateError(format!(
        "`{}` is not a date; write 2026-11-25, 25 Nov, yesterday, 3 days ago, or autumn 2025.",
        text.trim()
    )))
}

const NOON: NaiveTime = match NaiveTime::from_hms_opt(12, 0, 0) {
    Some(noon) => noon,
    None => NaiveTime::MIN,
};

fn with_time(words: &str, today: NaiveDate) -> Option<(NaiveDate, NaiveTime)> {
    let (date, time) = words.rsplit_once(['t', ' '])?;
    let time = NaiveTime::parse_from_str(time, "%H:%M")
        .or_else(|_| NaiveTime::parse_from_str(time, "%H:%M:%S"))
        .ok()?;
    let date = if date == "today" {
        today
    } else {
        day(date, today)?
    };
    Some((date, time))
}

fn day(words: &str, today: NaiveDate) -> Option<NaiveDate> {
    if words == "yesterday" {
        return today.pred_opt();
    }
    if let Some(days) = words.strip_prefix('-').and_then(|it| it.strip_suffix('d')) {
        return today.checked_sub_days(chrono::Days::new(days.trim().parse().ok()?));
    }
    if let Some(days) = words
        .strip_suffix(" days ago")
        .or_else(|| words.strip_suffix(" day ago"))
    {
        return today.checked_sub_days(chrono::Days::new(days.trim().parse().ok()?));
    }
    for form in ["%Y-%m-%d", "%d %b %Y", "%d %B %Y", "%d.%m.%Y"] {
        if let Ok(date) = NaiveDate::parse_from_str(words, form) {
            return Some(date);
        }
    }
    // A day without a year is the last such day, or this year's if it is today.
    let this_year =
        NaiveDate::parse_from_str(&format!("{words} {}", today.year()), "%d %b %Y").ok()?;
    if this_year <= today {
        Some(this_year)
    } else {
        this_year.with_year(today.year() - 1)
    }
}

/// The middle of a season, month or year.
fn loose(words: &str) -> Option<NaiveDate> {
    let (word, year) = words.rsplit_once(' ').unwrap_or(("", words));
    let year: i32 = year.parse().ok().filter(|it| (1900..2200).contains(it))?;
    let (month, day) = match word {
        "" | "summer" => (7, 15),
        "spring" => (4, 15),
        "autumn" | "fall" => (10, 15),
        "winter" => (1, 15),
        month => {
            let first = NaiveDate::parse_from_str(&format!("1 {month} {year}"), "%d %b %Y").ok()?;
            (first.month(), 15)
        }
    };
    NaiveDate::from_ymd_opt(year, month, day)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(text: &str, expected: &str) {
        let zone = Zone::Fixed(60);
        let (now, _) = zone.wall("2026-11-25T18:00:00".parse().unwrap()).unwrap();
        let said = read(text, now, zone).map(|it| it.moment.to_string());
        assert_eq!(said.unwrap_or_else(|it| it.to_string()), expected, "{text}");
    }

    #[test]
    fn a_date_without_a_time_is_noon_there() {
        check("2026-11-24", "2026-11-24T12:00:00+01:00");
        check("24 Nov", "2026-11-24T12:00:00+01:00");
        check("yesterday", "2026-11-24T12:00:00+01:00");
        check("-30d", "2026-10-26T12:00:00+01:00");
        check("3 days ago", "2026-11-22T12:00:00+01:00");
        check("24 Dec", "2025-12-24T12:00:00+01:00");
    }

    #[test]
    fn a_time_is_kept() {
        check("2026-11-24 08:30", "2026-11-24T08:30:00+01:00");
        check("2026-11-24T08:30", "2026-11-24T08:30:00+01:00");
        check("yesterday 08:30", "2026-11-24T08:30:00+01:00");
    }

    #[test]
    fn a_season_is_its_middle() {
        check("autumn 2023", "2023-10-15T12:00:00+01:00");
        check("oct 2023", "2023-10-15T12:00:00+01:00");
        check("2023", "2023-07-15T12:00:00+01:00");
    }

    #[test]
    fn nonsense_is_refused_in_a_sentence() {
        check(
            "soonish",
            "`soonish` is not a date; write 2026-11-25, 25 Nov, yesterday, 3 days ago, or autumn 2025.",
        );
    }
}
