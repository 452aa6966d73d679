//! What a chart shows, in sentences: for whoever cannot see it, and for whoever wants the dates.

use super::{Course, Expected, Extent, Falls, Point};
use crate::cellar::moment::Moment;

impl Course {
    /// What was found last, what is expected now, what one more reading would narrow, and when the level is met: the last
    /// stays longest where there is little room. `now` says the wall clock.
    pub fn said(&self, now: Moment) -> Vec<String> {
        let mut said = Vec::new();
        said.extend(self.last_found(now));
        said.extend(self.expected_now());
        said.extend(Some(self.next.clone()).filter(|it| !it.is_empty()));
        said.extend(self.meets_level(now));
        said
    }

    /// A value with its unit: `22 mg/L`.
    pub fn figure(&self, value: f64) -> String {
        let blank = if self.unit.is_empty() { "" } else { " " };
        format!("{value:.*}{blank}{}", self.decimals, self.unit)
    }

    /// What was found, as read: `22 mg/L`, `<10 mg/L`, `12–15 mg/L`.
    pub fn read(&self, point: &Point) -> String {
        let figure = self.figure(point.value);
        match point.known {
            Extent::Exact => figure,
            Extent::Between(low, high) => format!("{low:.*}–{}", self.decimals, self.figure(high)),
            Extent::Below => format!("<{figure}"),
            Extent::Above => format!(">{figure}"),
        }
    }

    /// What is expected at a moment, between the moments that are drawn.
    pub fn expected_at(&self, at_ms: i64) -> Option<Expected> {
        let after = self.expected.partition_point(|it| it.at_ms < at_ms);
        let next = self.expected.get(after)?;
        if next.at_ms == at_ms {
            return Some(*next);
        }
        let before = self.expected.get(after.checked_sub(1)?)?;
        let part = (at_ms - before.at_ms) as f64 / (next.at_ms - before.at_ms) as f64;
        let between = |one: f64, other: f64| one + (other - one) * part;
        Some(Expected {
            at_ms,
            low: between(before.low, next.low),
            mid: between(before.mid, next.mid),
            high: between(before.high, next.high),
        })
    }

    /// From now on, the first moment at which that falls to the level; `None` if that is not in sight.
    fn falls_to(&self, level: f64, of: fn(&Expected) -> f64) -> Option<i64> {
        let now = self.expected_at(self.now_ms)?;
        if of(&now) <= level {
            return Some(self.now_ms);
        }
        let mut before = now;
        for next in self.expected.iter().filter(|it| it.at_ms > self.now_ms) {
            let (was, is) = (of(&before), of(next));
            if is <= level && was > level {
                let part = (was - level) / (was - is);
                return Some(before.at_ms + (part * (next.at_ms - before.at_ms) as f64) as i64);
            }
            before = *next;
        }
        None
    }

    fn last_found(&self, now: Moment) -> Option<String> {
        let numbers = self.readings.iter().filter(|it| it.value.is_finite());
        let last = numbers.clone().next_back()?;
        let many = match numbers.count() {
            1 => String::new(),
            many => format!(", the last of {many} readings"),
        };
        Some(format!(
            "{} on {}{many}.",
            self.read(last),
            now.at(last.at_ms).day_words()
        ))
    }

    fn expected_now(&self) -> Option<String> {
        let it = self.expected_at(self.now_ms)?;
        if ![it.low, it.mid, it.high].iter().all(|it| it.is_finite()) {
            return None;
        }
        // What is there is no expectation: a supply is counted.
        if it.low.total_cmp(&it.high).is_eq() {
            return None;
        }
        Some(format!(
            "Expected now: about {}, in four cases of five from {:.*} to {:.*}.",
            self.figure(it.mid),
            self.decimals,
            it.low,
            self.decimals,
            it.high
        ))
    }

    /// When it falls to its level, from now on; `None` where there is no level or nothing is expected.
    pub fn reaching(&self) -> Option<Reaching> {
        let (level, _) = self.level?;
        match self.falls {
            Falls::On(reaching) => return Some(reaching),
            Falls::Unsaid => return None,
            Falls::AsDrawn => {}
        }
        Some(Reaching {
            now_ms: self.now_ms,
            end_ms: self.expected.last()?.at_ms,
            earliest: self.falls_to(level, |it| it.low),
            usual: self.falls_to(level, |it| it.mid),
            latest: self.falls_to(level, |it| it.high),
        })
    }

    fn meets_level(&self, now: Moment) -> Option<String> {
        let (level, word) = self.level?;
        let it = self.reaching()?;
        let what = format!("{word} {}", self.figure(level));
        let end = now.at(it.end_ms).day_words();
        let day = |at: i64| it.day(at, now);
        let by_latest = it
            .latest
            .map_or_else(|| format!("some day after {end}"), day);
        Some(match (it.earliest, it.usual) {
            _ if it.is_below() => format!("It is at or below {what} now."),
            (None, _) => format!("In nine cases of ten it stays above {what} until {end}."),
            (Some(earliest), None) => format!(
                "It may fall to {what} from {} on; usually it has not by {end}.",
                day(earliest)
            ),
            (Some(_), Some(usual)) if usual == it.now_ms => format!(
                "It is usually at or below {what} already, and in nine cases of ten by {by_latest}."
            ),
            (Some(earliest), Some(usual)) if usual < it.now_ms => format!(
                "By forecast it fell to {what} about {}; in four cases of five between {} and {by_latest}.",
                day(usual),
                day(earliest)
            ),
            (Some(earliest), Some(usual)) => format!(
                "It falls to {what} about {}; in four cases of five between {} and {by_latest}.",
                day(usual),
                day(earliest)
            ),
        })
    }
}

/// When a course falls to its level; `None` where that is not in sight.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reaching {
    /// Now, UTC ms.
    now_ms: i64,
    /// How far it is foreseen, UTC ms.
    end_ms: i64,
    /// In one case of ten by then, UTC ms.
    pub earliest: Option<i64>,
    /// As often before as after, UTC ms.
    pub usual: Option<i64>,
    /// In nine cases of ten by then, UTC ms.
    pub latest: Option<i64>,
}

impl Reaching {
    /// On days foreseen by themselves, seen from now.
    pub(in crate::cellar) fn on([earliest, usual, latest]: [Moment; 3], now: Moment) -> Reaching {
        Reaching {
            now_ms: now.utc_ms,
            end_ms: latest.utc_ms,
            earliest: Some(earliest.utc_ms),
            usual: Some(usual.utc_ms),
            latest: Some(latest.utc_ms),
        }
    }

    /// Whether it is there already, in nine cases of ten.
    pub fn is_below(&self) -> bool {
        self.latest == Some(self.now_ms)
    }

    /// That moment, if it is still ahead.
    pub fn ahead(&self, at_ms: i64) -> Option<i64> {
        (at_ms > self.now_ms).then_some(at_ms)
    }

    fn day(&self, at_ms: i64, now: Moment) -> String {
        if at_ms == self.now_ms {
            "now".to_owned()
        } else {
            now.at(at_ms).day_words()
        }
    }

    /// In a few words: `about 5 Dec 2026 (30 Nov 2026 to 10 Dec 2026)`.
    pub fn words(&self, now: Moment) -> String {
        let day = |at: i64| now.at(at).day_words();
        let perhaps = |at: i64| {
            if at == self.now_ms {
                "perhaps already".to_owned()
            } else {
                day(at)
            }
        };
        let latest = || {
            self.latest
                .map_or_else(|| format!("after {}", day(self.end_ms)), day)
        };
        match (self.earliest, self.usual) {
            _ if self.is_below() => "already".to_owned(),
            (None, _) => format!("not before {}", day(self.end_ms)),
            (Some(earliest), None) if earliest == self.now_ms => {
                format!("after {}, perhaps already", day(self.end_ms))
            }
            (Some(earliest), None) => {
                format!("after {}, perhaps {}", day(self.end_ms), day(earliest))
            }
            (_, Some(usual)) if usual == self.now_ms => match self.latest {
                Some(latest) => format!("probably already (at the latest {})", day(latest)),
                None => format!("probably already (perhaps after {})", day(self.end_ms)),
            },
            (Some(earliest), Some(usual)) => {
                format!(
                    "about {} ({} to {})",
                    day(usual),
                    perhaps(earliest),
                    latest()
                )
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cellar::entry::Found;
    use crate::cellar::moment::DAY_MS;

    /// 25 Nov 2026, 12:00 UTC.
    const NOW: Moment = Moment {
        utc_ms: 1_795_608_000_000,
        offset_min: 0,
    };

    /// Falling by one a day from what is expected now; the band is 5 either way.
    fn falling(from: f64, days: i64) -> Course {
        let expected = (0..=days).map(|day| {
            let mid = from - day as f64;
            Expected {
                at_ms: NOW.utc_ms + day * DAY_MS,
                low: mid - 5.0,
                mid,
                high: mid + 5.0,
            }
        });
        Course {
            unit: "mg/L",
            level: Some((20.0, "aim")),
            expected: expected.collect(),
            now_ms: NOW.utc_ms,
            ..Course::default()
        }
    }

    fn check(course: &Course, expected: &str) {
        let said = course.said(NOW);
        assert_eq!(said.last().map(String::as_str), Some(expected));
    }

    #[test]
    fn the_days_are_those_where_the_lines_cross() {
        check(
            &falling(30.0, 40),
            "It falls to aim 20 mg/L about 5 Dec 2026; in four cases of five between 30 Nov 2026 and 10 Dec 2026.",
        );
        check(
            &falling(30.0, 12),
            "It falls to aim 20 mg/L about 5 Dec 2026; in four cases of five between 30 Nov 2026 and some day after 7 Dec 2026.",
        );
        check(
            &falling(30.0, 7),
            "It may fall to aim 20 mg/L from 30 Nov 2026 on; usually it has not by 2 Dec 2026.",
        );
        check(
            &falling(30.0, 3),
            "In nine cases of ten it stays above aim 20 mg/L until 28 Nov 2026.",
        );
    }

    #[test]
    fn in_a_few_words_what_lies_beyond_the_drawn_is_no_latest_day() {
        let words = |from: f64, days: i64| falling(from, days).reaching().unwrap().words(NOW);
        assert_eq!(
            words(18.0, 9),
            "probably already (at the latest 28 Nov 2026)"
        );
        assert_eq!(
            words(18.0, 2),
            "probably already (perhaps after 27 Nov 2026)"
        );
        // The first day of what is foreseen is not the earliest day.
        assert_eq!(
            words(22.0, 9),
            "about 27 Nov 2026 (perhaps already to 2 Dec 2026)"
        );
        assert_eq!(words(24.0, 2), "after 27 Nov 2026, perhaps already");
        assert_eq!(
            words(30.0, 12),
            "about 5 Dec 2026 (30 Nov 2026 to after 7 Dec 2026)"
        );
    }

    #[test]
    fn what_is_below_already_is_said_so() {
        check(&falling(14.0, 9), "It is at or below aim 20 mg/L now.");
        check(
            &falling(18.0, 9),
            "It is usually at or below aim 20 mg/L already, and in nine cases of ten by 28 Nov 2026.",
        );
        check(
            &falling(22.0, 9),
            "It falls to aim 20 mg/L about 27 Nov 2026; in four cases of five between now and 2 Dec 2026.",
        );
    }

    #[test]
    fn between_what_is_drawn_it_goes_straight() {
        let half = falling(30.0, 3)
            .expected_at(NOW.utc_ms + DAY_MS / 2)
            .unwrap();
        assert_eq!((half.low, half.mid, half.high), (24.5, 29.5, 34.5));
        assert_eq!(falling(30.0, 3).expected_at(NOW.utc_ms - 1), None);
        assert_eq!(falling(30.0, 3).expected_at(NOW.utc_ms + 4 * DAY_MS), None);
    }

    #[test]
    fn readings_alone_are_said_too() {
        let mut course = Course {
            unit: "mg/L",
            now_ms: NOW.utc_ms,
            ..Course::default()
        };
        assert_eq!(course.said(NOW), Vec::<String>::new());
        for (days, value) in [(9, 24.0), (2, 22.0)] {
            let at_ms = NOW.utc_ms - days * DAY_MS;
            course.readings.push(Point::exact(at_ms, value));
        }
        check(&course, "22 mg/L on 23 Nov 2026, the last of 2 readings.");
    }

    #[test]
    fn a_reading_is_said_as_it_was_read() {
        let check_found = |found: &Found, expected: &str| {
            let course = Course {
                unit: "mg/L",
                now_ms: NOW.utc_ms,
                readings: Point::found(NOW.utc_ms, found).into_iter().collect(),
                ..Course::default()
            };
            check(&course, expected);
        };
        check_found(&Found::Number(9.0), "9 mg/L on 25 Nov 2026.");
        check_found(&Found::Below(10.0), "<10 mg/L on 25 Nov 2026.");
        check_found(&Found::Above(50.0), ">50 mg/L on 25 Nov 2026.");
        check_found(&Found::Between(12.0, 15.0), "12–15 mg/L on 25 Nov 2026.");
    }
}
