//! The bell of the timers: each rings once, in whichever window comes first, when its time is up or as the program is opened after that.

use crate::cellar::timer::Timer;
use crate::store::Store;

/// What this window saw of the timers.
#[derive(Debug, Default)]
pub(super) struct Bell {
    /// Those that run, the first to be over first.
    running: Vec<Timer>,
    /// Those that are done with, here or in another window.
    rung: Vec<Timer>,
}

/// What is to be heard.
#[derive(Debug, Default)]
pub(super) struct Rings {
    /// Whether the bell is to ring.
    pub(super) bell: bool,
    /// What was up before this window could see it run.
    pub(super) missed: Option<Timer>,
}

impl Bell {
    /// Looks at all timers at a moment.
    pub(super) fn look(&mut self, timers: &[Timer], now_ms: i64, store: &mut Store) -> Rings {
        let (over, still): (Vec<Timer>, Vec<Timer>) =
            timers.iter().cloned().partition(|it| it.is_over(now_ms));
        let was_running = std::mem::replace(&mut self.running, still);
        let is_due = |it: &Timer| it.is_to_ring(now_ms) && !self.rung.contains(it);
        let due: Vec<Timer> = over.into_iter().filter(is_due).collect();
        if due.is_empty() {
            return Rings::default();
        }
        // Where nothing can be written down, those ring that this window saw running.
        let seen = due.iter().filter(|it| was_running.contains(it)).cloned();
        let rings = store.ring(&due).unwrap_or_else(|_| seen.collect());
        self.rung.extend(due);
        Rings {
            bell: !rings.is_empty(),
            missed: rings.into_iter().find(|it| !was_running.contains(it)),
        }
    }

    /// How long the first that runs still takes, ms; nought where none does.
    pub(super) fn left_ms(&self, now_ms: i64) -> i64 {
        self.running.first().map_or(0, |it| it.until_ms - now_ms)
    }
}
