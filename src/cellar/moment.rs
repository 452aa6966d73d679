//! When something happened: an instant and the clock on the wall there.

use std::fmt;

use chrono::{
    DateTime, Duration, FixedOffset, Local, NaiveDate, NaiveDateTime, NaiveTime, Offset, TimeZone,
};

use super::dates;

/// Milliseconds of a day.
pub const DAY_MS: i64 = 86_400_000;

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
            utc_ms: self.utc_ms + days * DAY_MS,
            ..self
        }
    }

    /// So many days on, not whole ones.
    pub fn after(self, days: f64) -> Moment {
        self.at(self.utc_ms + (days * DAY_MS as f64) as i64)
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

/// So many days as people say it: `7d`, `30 days`, `3 weeks`, `a month`.
pub fn days_in(text: &str) -> Option<i64> {
    dates::days(&small_words(text))
}

/// The day to come that is meant: `tomorrow`, `Sunday`, `24 Dec`, `2026-12-24`.
pub fn coming(text: &str, now: Moment) -> Option<chrono::NaiveDate> {
    dates::coming(&small_words(text), now.date())
}

/// The day to come that is named among other words: `bottle in September` is from the first of it, `taste on 12 Oct`, `rack in 3
/// weeks`.
pub fn named_in(text: &str, now: Moment) -> Option<chrono::NaiveDate> {
    dates::named_among(&small_words(text), now.date())
}

/// Reads a date as people say it: `now`, `yesterday evening`, `last Sunday`, `3 days ago`, `-3d`,
/// `2026-11-25`, `2026-11-25 14:30`, `25 Nov`, `a month ago`, `October`, `Nov 2026`, `autumn 2023`,
/// `2023`. A date without a time is noon there, or now where noon is still to come today; one that
/// names more than a day is the middle of what it names, and says so.
pub fn read(text: &str, now: Moment, zone: Zone) -> Result<Said, DateError> {
    refuse_too_early(text)?;
    let words = small_words(text);
    let today = now.date();
    if matches!(words.as_str(), "" | "now" | "today" | "just now") {
        return Ok(Said {
            moment: now,
            loosely: None,
            remark: None,
        });
    }
    if let Some((date, time)) = with_time(&words, today) {
        let (moment, remark) = zone.wall(date.and_time(time))?;
        return Ok(Said {
            moment,
            loosely: None,
            remark,
        });
    }
    if let Some((date, time)) = part_of_day(&words, today) {
        let (moment, remark) = zone.wall(date.and_time(time))?;
        let moment = if date == today {
            moment.min(now)
        } else {
            moment
        };
        return Ok(Said {
            moment,
            loosely: None,
            remark,
        });
    }
    let Some(meant) = dates::meant(&words, today) else {
        return Err(DateError(format!(
            "`{}` is not a date; write 2026-11-25, 25 Nov, yesterday, last Sunday, 3 weeks ago, October, or autumn 2025.",
            text.trim()
        )));
    };
    let day = if meant.is_a_day() {
        meant.middle
    } else {
        meant.middle.min(today)
    };
    let (noon, remark) = zone.wall(day.and_time(NOON))?;
    let moment = if day == today { noon.min(now) } else { noon };
    let names_its_year = words
        .split(|c: char| !c.is_ascii_digit())
        .any(|it| it.len() == 4);
    let loosely = (!meant.is_a_day()).then(|| {
        let said = text.trim();
        if names_its_year {
            said.to_owned()
        } else {
            // Read again in a year, `a month ago` would say something else.
            format!("about {}, said as `{said}`", moment.day_words())
        }
    });
    Ok(Said {
        moment,
        loosely,
        remark,
    })
}

/// The first year that the book takes: no wine in a home cellar is older.
const FIRST_YEAR: i32 = 1900;

/// Refuses words that name a year before 1900, a slip of the finger.
pub fn refuse_too_early(text: &str) -> Result<(), DateError> {
    let mut figures = text
        .split(|it: char| !it.is_ascii_digit())
        .filter(|it| it.len() == 4);
    let is_early = figures.any(|it| it.parse().is_ok_and(|year: i32| year < FIRST_YEAR));
    if is_early {
        let text = text.trim();
        return Err(DateError(format!(
            "`{text}` is before {FIRST_YEAR}, which is no date of a wine here; check the year."
        )));
    }
    Ok(())
}

/// Whether words name a day that is still to come, whatever today is.
pub fn is_to_come(text: &str) -> bool {
    let words = small_words(text);
    let words = words.strip_prefix("since ").unwrap_or(&words);
    words == "tomorrow" || words == "the day after tomorrow" || words.starts_with("next ")
}

/// The start of the first day that a date in words may mean; `None` if it is none.
pub fn earliest(text: &str, now: Moment, zone: Zone) -> Option<Moment> {
    let (first, _) = days_meant(text, now)?;
    let (start, _) = zone.wall(first.and_time(NaiveTime::MIN)).ok()?;
    Some(start)
}

/// The first and the last day that a date in words may mean; `None` if it is none.
pub fn days_meant(text: &str, now: Moment) -> Option<(NaiveDate, NaiveDate)> {
    let meant = dates::meant(&small_words(text), now.date())?;
    Some((meant.first, meant.last))
}

/// A date in words as it can be kept: words that mean another day when they are read later, such as
/// `two years ago`, become that day. What is no date stays as it is.
pub fn to_keep(text: &str, now: Moment) -> String {
    let words = small_words(text);
    let day_of = |now: Moment| {
        let read = || {
            Some(
                read(text, now, Zone::Fixed(now.offset_min))
                    .ok()?
                    .moment
                    .date(),
            )
        };
        match dates::meant(&words, now.date()) {
            Some(meant) => Some((meant.middle, meant.is_a_day())),
            None => Some((read()?, true)),
        }
    };
    match day_of(now) {
        Some((day, is_a_day)) if day_of(now.plus_days(400)) != Some((day, is_a_day)) => {
            let about = if is_a_day { "" } else { "about " };
            format!("{about}{}", day.format("%-d %b %Y"))
        }
        _ => text.trim().to_owned(),
    }
}

/// The moment that `--today` asks for: a bare date in the past is the end of that day, so that all
/// that happened on it has happened.
pub fn today(text: &str, now: Moment, zone: Zone) -> Result<Moment, DateError> {
    let said = read(text, now, zone)?;
    let meant = dates::meant(&small_words(text), now.date());
    let bare = meant.is_some_and(dates::Meant::is_a_day);
    let date = said.moment.date();
    if bare && date < now.date() {
        return Ok(zone.wall(date.and_time(LAST_SECOND))?.0);
    }
    Ok(if date == now.date() && bare {
        now
    } else {
        said.moment
    })
}

const NOON: NaiveTime = match NaiveTime::from_hms_opt(12, 0, 0) {
    Some(noon) => noon,
    None => NaiveTime::MIN,
};

const LAST_SECOND: NaiveTime = match NaiveTime::from_hms_opt(23, 59, 59) {
    Some(second) => second,
    None => NaiveTime::MIN,
};

/// Small letters with single blanks.
fn small_words(text: &str) -> String {
    let words: Vec<String> = text.split_whitespace().map(str::to_lowercase).collect();
    words.join(" ")
}

fn with_time(words: &str, today: NaiveDate) -> Option<(NaiveDate, NaiveTime)> {
    let (date, time) = words.rsplit_once(['t', ' '])?;
    let time = NaiveTime::parse_from_str(time, "%H:%M")
        .or_else(|_| NaiveTime::parse_from_str(time, "%H:%M:%S"))
        .ok()?;
    let date = dates::meant(date.trim_end_matches(" at"), today)?;
    date.is_a_day().then_some((date.middle, time))
}

/// `yesterday evening`, `last night`, `this morning`: a time of day by the usual hour of its name.
fn part_of_day(words: &str, today: NaiveDate) -> Option<(NaiveDate, NaiveTime)> {
    let (date, part) = match words {
        "last night" => ("yesterday", "night"),
        "tonight" => ("today", "night"),
        _ => words.rsplit_once(' ')?,
    };
    let hour = match part {
        "morning" => 9,
        "noon" | "lunchtime" | "midday" => 12,
        "afternoon" => 15,
        "evening" => 19,
        "night" => 22,
        _ => return None,
    };
    let date = if date == "this" { "today" } else { date };
    let meant = dates::meant(date, today).filter(|it| it.is_a_day())?;
    Some((meant.middle, NaiveTime::from_hms_opt(hour, 0, 0)?))
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
    fn a_date_that_is_kept_means_the_same_day_however_late_it_is_read() {
        let zone = Zone::Fixed(60);
        let (now, _) = zone.wall("2026-11-25T18:00:00".parse().unwrap()).unwrap();
        let kept = |text| to_keep(text, now);
        assert_eq!(kept("two years ago"), "about 25 Nov 2024");
        assert_eq!(kept("3 days ago"), "22 Nov 2026");
        assert_eq!(kept("yesterday evening"), "24 Nov 2026");
        for lasting in ["autumn 2025", "2024-03-01", "October 2023", "my wedding"] {
            assert_eq!(kept(lasting), lasting);
        }
        for loose in ["two years ago", "last Sunday", "autumn", "3 weeks ago"] {
            let day = |now| read(&kept(loose), now, zone).unwrap().moment.date();
            assert_eq!(day(now), day(now.plus_days(1_000)), "{loose}");
        }
    }

    #[test]
    fn a_time_is_kept() {
        check("2026-11-24 08:30", "2026-11-24T08:30:00+01:00");
        check("2026-11-24T08:30", "2026-11-24T08:30:00+01:00");
        check("yesterday 08:30", "2026-11-24T08:30:00+01:00");
    }

    #[test]
    fn a_part_of_a_day_is_its_usual_hour() {
        check("yesterday evening", "2026-11-24T19:00:00+01:00");
        check("last night", "2026-11-24T22:00:00+01:00");
        check("this morning", "2026-11-25T09:00:00+01:00");
        check("this evening", "2026-11-25T18:00:00+01:00");
        check("Sunday afternoon", "2026-11-22T15:00:00+01:00");
    }

    #[test]
    fn a_season_is_its_middle() {
        check("autumn 2023", "2023-10-16T12:00:00+01:00");
        check("oct 2023", "2023-10-16T12:00:00+01:00");
        check("2023", "2023-07-02T12:00:00+01:00");
        check("last week", "2026-11-19T12:00:00+01:00");
        check("this month", "2026-11-15T12:00:00+01:00");
    }

    #[test]
    fn a_vague_date_is_kept_as_said_and_can_be_read_later() {
        let zone = Zone::Fixed(0);
        let (now, _) = zone.wall("2026-11-25T18:00:00".parse().unwrap()).unwrap();
        let check = |text: &str, expected: Option<&str>| {
            let said = read(text, now, zone).unwrap().loosely;
            assert_eq!(said.as_deref(), expected, "{text}");
        };
        check("autumn 2023", Some("autumn 2023"));
        check("October", Some("about 16 Oct 2026, said as `October`"));
        check(
            "a month ago",
            Some("about 25 Oct 2026, said as `a month ago`"),
        );
        check("yesterday", None);
        check("2023-10-05", None);
    }

    #[test]
    fn a_bare_day_that_is_over_is_its_end_when_it_stands_for_today() {
        let zone = Zone::Fixed(0);
        let (now, _) = zone.wall("2026-11-25T18:00:00".parse().unwrap()).unwrap();
        let check = |text: &str, expected: &str| {
            assert_eq!(
                today(text, now, zone).unwrap().to_string(),
                expected,
                "{text}"
            );
        };
        check("2026-10-10", "2026-10-10T23:59:59+00:00");
        check("yesterday", "2026-11-24T23:59:59+00:00");
        check("2026-10-10 08:30", "2026-10-10T08:30:00+00:00");
        check("2026-11-25", "2026-11-25T18:00:00+00:00");
        check("2027-01-05", "2027-01-05T12:00:00+00:00");
    }

    #[test]
    fn nonsense_is_refused_in_a_sentence() {
        let early = |text: &str| {
            format!("`{text}` is before 1900, which is no date of a wine here; check the year.")
        };
        for text in [
            "1726",
            "autumn 1726",
            "1726-11-25",
            "1899-12-31 23:59",
            "0026-11-25",
        ] {
            check(text, &early(text));
        }
        check("1900-01-01", "1900-01-01T12:00:00+01:00");
        check(
            "soonish",
            "`soonish` is not a date; write 2026-11-25, 25 Nov, yesterday, last Sunday, 3 weeks ago, October, or autumn 2025.",
        );
    }
}
