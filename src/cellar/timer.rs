//! A kitchen timer: how long bottles stay wet, how long something settles. It is kept in the book, so that it runs on
//! whatever becomes of the program.

use super::entry::Draft;
use super::thing::{CELLAR, Thing, Value, field};

/// A timer that is over is shown so much longer, ms.
const SHOWN_AFTER_MS: i64 = 60 * 60_000;

/// A timer that was set.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Timer {
    /// When it is over, UTC ms.
    pub until_ms: i64,
    /// What for.
    pub words: String,
}

impl Timer {
    /// The one that was set last and not stopped.
    pub(super) fn of(cellar: &Thing) -> Option<Timer> {
        let until_ms = cellar.int(field::TIMER_UNTIL).filter(|it| *it > 0)?;
        let words = cellar.text(field::TIMER_FOR).to_owned();
        Some(Timer { until_ms, words })
    }

    /// Whether it is over.
    pub fn is_over(&self, now_ms: i64) -> bool {
        now_ms >= self.until_ms
    }

    /// What a screen says of it: the minutes left, rounded up, and for an hour that it is over.
    pub fn said(&self, now_ms: i64) -> Option<String> {
        let left = self.until_ms - now_ms;
        if left > 0 {
            let minutes = (left + 59_999) / 60_000;
            return Some(format!("{}: {minutes} min", self.words));
        }
        (left > -SHOWN_AFTER_MS).then(|| format!("{}: time is up", self.words))
    }

    /// Sets it in an entry.
    pub fn set(self, draft: &mut Draft) {
        draft.set(CELLAR, field::TIMER_UNTIL, Value::Int(self.until_ms));
        draft.set(CELLAR, field::TIMER_FOR, self.words.as_str());
    }

    /// Stops it in an entry.
    pub fn stop(draft: &mut Draft) {
        draft.set(CELLAR, field::TIMER_UNTIL, Value::Int(0));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(seconds_left: i64, expected: Option<&str>) {
        let timer = Timer {
            until_ms: 0,
            words: "bottles wet".to_owned(),
        };
        assert_eq!(
            timer.said(-seconds_left * 1_000).as_deref(),
            expected,
            "{seconds_left} s"
        );
    }

    #[test]
    fn minutes_are_counted_down_and_an_hour_long_it_is_over() {
        check(600, Some("bottles wet: 10 min"));
        check(541, Some("bottles wet: 10 min"));
        check(540, Some("bottles wet: 9 min"));
        check(1, Some("bottles wet: 1 min"));
        check(0, Some("bottles wet: time is up"));
        check(-3_599, Some("bottles wet: time is up"));
        check(-3_600, None);
    }
}
