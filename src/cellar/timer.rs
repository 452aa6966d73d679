//! Kitchen timers: how long bottles stay wet, how long something settles. They are kept in the book, so that they run on
//! whatever becomes of the program.

use super::entry::Draft;
use super::moment::Moment;
use super::snapshot::Snapshot;
use super::telling;
use super::thing::{CELLAR, Thing, field};

/// A timer that is over is shown so much longer, ms.
const SHOWN_AFTER_MS: i64 = 60 * 60_000;

/// One that ran out while the program was shut rings as it is opened, up to so much later: as long as one may be set for, ms.
const RUNG_WITHIN_MS: i64 = 7 * 24 * 60 * 60_000;

/// A timer that was set.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Timer {
    /// When it is over, UTC ms.
    pub until_ms: i64,
    /// What for.
    pub words: String,
}

impl Timer {
    /// Those that were set and not stopped, the first to be over first.
    pub(super) fn all(cellar: &Thing) -> Vec<Timer> {
        let lines = cellar.text(field::TIMERS).lines();
        let timers = lines.filter_map(|it| {
            let (until, words) = it.split_once(' ')?;
            Some(Timer {
                until_ms: until.parse().ok()?,
                words: words.to_owned(),
            })
        });
        let mut timers: Vec<Timer> = timers.collect();
        timers.sort_by_key(|it| it.until_ms);
        timers
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

    /// Whether it is over, and not so long that nobody waits for it any more.
    pub fn is_to_ring(&self, now_ms: i64) -> bool {
        self.is_over(now_ms) && now_ms - self.until_ms < RUNG_WITHIN_MS
    }

    /// What is said where nobody could hear it: `eggs: time was up at 14:05.`
    pub fn was_up(&self, now: Moment) -> String {
        let up = now.at(self.until_ms);
        let day = if up.date() == now.date() {
            String::new()
        } else {
            format!("on {} ", up.day_words())
        };
        format!(
            "{}: time was up {day}at {}.",
            self.words,
            up.local().format("%H:%M")
        )
    }

    /// Sets it in an entry, beside those that run already; one for the same it takes the place of.
    pub fn set(self, draft: &mut Draft, cellar: &Snapshot) {
        let mut timers = others(&self.words, draft, cellar);
        timers.push(self);
        keep(&timers, draft);
    }

    /// Stops the one for that, or all of them, in an entry.
    pub fn stop(words: Option<&str>, draft: &mut Draft, cellar: &Snapshot) {
        let timers = words.map_or_else(Vec::new, |it| others(it, draft, cellar));
        keep(&timers, draft);
    }
}

/// What a screen says of all of them: those that are up, else the first to be over, and how many run besides.
pub fn said(timers: &[Timer], now_ms: i64) -> Option<String> {
    let (up, runs): (Vec<&Timer>, Vec<&Timer>) = timers.iter().partition(|it| it.is_over(now_ms));
    let up = up.into_iter().filter(|it| it.said(now_ms).is_some());
    let up: Vec<&str> = up.map(|it| it.words.as_str()).collect();
    let (first, besides) = if up.is_empty() {
        (runs.first()?.said(now_ms)?, runs.len() - 1)
    } else {
        (format!("{}: time is up", telling::and(&up)), runs.len())
    };
    Some(match besides {
        0 => first,
        more => format!("{first} +{more}"),
    })
}

/// Those for something else that still say anything.
fn others(words: &str, draft: &Draft, cellar: &Snapshot) -> Vec<Timer> {
    let mut timers = cellar.settings().timers;
    timers.retain(|it| it.words != words && it.said(draft.when.utc_ms).is_some());
    timers
}

fn keep(timers: &[Timer], draft: &mut Draft) {
    let lines = timers
        .iter()
        .map(|it| format!("{} {}", it.until_ms, it.words));
    let lines: Vec<String> = lines.collect();
    draft.set(CELLAR, field::TIMERS, lines.join("\n").as_str());
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cellar::attention::trial::Cellar;
    use crate::cellar::entry::Kind;
    use crate::cellar::moment::Zone;
    use crate::cellar::thing::{Sort, Value};

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

    #[test]
    fn one_that_was_up_while_nobody_could_hear_it_is_told_by_its_hour() {
        let (now, _) = Zone::Fixed(60)
            .wall("2026-11-25T18:00:00".parse().unwrap())
            .unwrap();
        let check = |minutes: i64, said: &str, rings: bool| {
            let timer = Timer {
                until_ms: now.utc_ms - minutes * 60_000,
                words: "eggs".to_owned(),
            };
            assert_eq!(timer.was_up(now), said);
            assert_eq!(timer.is_to_ring(now.utc_ms), rings);
        };
        check(55, "eggs: time was up at 17:05.", true);
        check(24 * 60, "eggs: time was up on 24 Nov 2026 at 18:00.", true);
        check(
            7 * 24 * 60,
            "eggs: time was up on 18 Nov 2026 at 18:00.",
            false,
        );
    }

    /// One that is set does not stop another; one for the same takes its place, and one long over is forgotten.
    #[test]
    fn several_run_beside_one_another() {
        let mut cellar = Cellar::empty();
        cellar.thing(CELLAR, Sort::Cellar, "Ours");
        let mut book = |what: &dyn Fn(&mut Draft, &Snapshot)| {
            let mut draft = Draft::new(Kind::Note, cellar.0.now);
            what(&mut draft, &cellar.0);
            let Some(Value::Text(lines)) = draft.sets(field::TIMERS).cloned() else {
                panic!("{draft:?}");
            };
            cellar.set(CELLAR, field::TIMERS, lines.as_str());
            said(&cellar.0.settings().timers, cellar.0.now.utc_ms)
        };
        let set = |minutes: i64, words: &'static str| {
            move |draft: &mut Draft, cellar: &Snapshot| {
                let until_ms = cellar.now.utc_ms + minutes * 60_000;
                let words = words.to_owned();
                Timer { until_ms, words }.set(draft, cellar);
            }
        };
        let words = |it: &str| Some(it.to_owned());
        assert_eq!(book(&set(10, "soak")), words("soak: 10 min"));
        assert_eq!(book(&set(3, "settle")), words("settle: 3 min +1"));
        assert_eq!(book(&set(5, "soak")), words("settle: 3 min +1"));
        assert_eq!(book(&set(-61, "eggs")), words("settle: 3 min +1"));
        assert_eq!(book(&set(-1, "pot")), words("pot: time is up +2"));
        assert_eq!(book(&set(-1, "lid")), words("pot and lid: time is up +2"));
        let stop = |it: Option<&'static str>| {
            move |draft: &mut Draft, cellar: &Snapshot| Timer::stop(it, draft, cellar)
        };
        assert_eq!(book(&stop(Some("lid"))), words("pot: time is up +2"));
        assert_eq!(book(&stop(Some("soak"))), words("pot: time is up +1"));
        assert_eq!(book(&stop(None)), None);
    }
}
