//! Shared phrases for ages, dates and numbers; the board uses the same.

use super::{Rank, Reason, ReasonKind};
use crate::cellar::moment::Moment;

/// Days before which a day and its month could be taken for those of another year: from then back the month and its year are said.
const DAY_ALONE_FROM: i64 = -300;

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

/// A day seen from now: `6 days ago`, `yesterday`, `today`, `tomorrow`, `in 3 days`.
pub fn due(due: Moment, now: Moment) -> String {
    match due.days_since(now) {
        0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        -1 => "yesterday".to_owned(),
        days @ 2.. => format!("in {}", span(days)),
        days => format!("{} ago", span(-days)),
    }
}

/// Days and months from `29 Nov` to `6 Dec`; the month once where it is the same.
pub(super) fn from_to(low: Moment, high: Moment) -> String {
    let day = |it: Moment| it.date().format("%-d %b").to_string();
    let (one, other) = (low.date(), high.date());
    if one == other {
        day(high)
    } else if one.format("%b %Y").to_string() == other.format("%b %Y").to_string() {
        format!("{}–{}", one.format("%-d"), day(high))
    } else {
        format!("{}–{}", day(low), day(high))
    }
}

impl Reason {
    /// When it falls due, as every list says it: `due in 7 days`, `due today`, `36 days overdue`;
    /// of a state that holds already, `since 20 Oct`.
    pub fn when(&self, now: Moment) -> String {
        match (self.due.days_since(now), self.kind.is_state()) {
            (1.., _) => format!("due {}", due(self.due, now)),
            (0, true) => "now".to_owned(),
            (0, false) => "due today".to_owned(),
            (DAY_ALONE_FROM..0, true) => self.due.date().format("since %-d %b").to_string(),
            (_, true) => self.due.date().format("since %b %Y").to_string(),
            (days, false) => format!("{} overdue", span(-days)),
        }
    }
}

impl ReasonKind {
    /// Whether it is how things stand, and not a job with a day of its own.
    fn is_state(self) -> bool {
        match self {
            ReasonKind::Job
            | ReasonKind::MustWaits
            | ReasonKind::Cap
            | ReasonKind::Round
            | ReasonKind::Look
            | ReasonKind::LayDown
            | ReasonKind::DryDue
            | ReasonKind::Topping
            | ReasonKind::FirstSulfite
            | ReasonKind::MaloAsked
            | ReasonKind::Lees => false,
            ReasonKind::Filling
            | ReasonKind::SulfiteLow
            | ReasonKind::SulfiteHigh
            | ReasonKind::SulfiteOld
            | ReasonKind::Presumed
            | ReasonKind::Untested
            | ReasonKind::Headspace
            | ReasonKind::TooFull
            | ReasonKind::Hot
            | ReasonKind::Unfinished
            | ReasonKind::Stuck
            | ReasonKind::Sluggish
            | ReasonKind::GravityRose
            | ReasonKind::Unstable
            | ReasonKind::MaloOpen
            | ReasonKind::MaloUnprotected
            | ReasonKind::Amiss
            | ReasonKind::Refermenting
            | ReasonKind::Begun
            | ReasonKind::RestEnded
            | ReasonKind::WindowOpens
            | ReasonKind::DrinkUp
            | ReasonKind::SupplyShort
            | ReasonKind::SupplyOld
            | ReasonKind::Trouble
            | ReasonKind::Jot => true,
        }
    }
}

/// How pressing, in a word that goes with any date.
pub fn rank(rank: Rank) -> &'static str {
    match rank {
        Rank::Now => "urgent",
        Rank::Soon => "to do",
        Rank::Later => "to know",
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

    fn check_when(kind: ReasonKind, days: i64, expected: &str) {
        let mut reason = super::super::trial::Cellar::reason_of(kind);
        let now = reason.due;
        reason.due = now.plus_days(days);
        assert_eq!(reason.when(now), expected);
    }

    #[test]
    fn a_job_is_due_or_overdue_and_a_state_holds_since() {
        check_when(ReasonKind::Job, 7, "due in 7 days");
        check_when(ReasonKind::Job, 1, "due tomorrow");
        check_when(ReasonKind::Job, 0, "due today");
        check_when(ReasonKind::Job, -1, "1 day overdue");
        check_when(ReasonKind::Lees, -36, "36 days overdue");
        check_when(ReasonKind::Headspace, 7, "due in 7 days");
        check_when(ReasonKind::Headspace, 0, "now");
        // 25 Nov 2026 less 36 and less 400 days.
        check_when(ReasonKind::Headspace, -36, "since 20 Oct");
        check_when(ReasonKind::SupplyOld, -400, "since Oct 2025");
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
