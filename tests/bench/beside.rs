//! What figures are measured beside: the `sqlite3` shell on the same file, and a bare commit.

use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

/// What stands in each vessel and run, by name: all that the board is derived from.
const BOARD_QUESTION: &str = "
    SELECT thing.sort, present.attributes,
           (SELECT state FROM standing WHERE place = thing.key ORDER BY when_ms DESC, entry DESC LIMIT 1)
    FROM thing JOIN present ON present.thing = thing.key
    WHERE thing.sort IN ('vessel', 'run', 'batch', 'supply')";

/// The shell on the board's question, from the start of the process to its end; `None` without a
/// shell on this machine.
pub(crate) fn shell(cellar: &Path) -> Option<Duration> {
    let begun = Instant::now();
    let answer = Command::new("sqlite3")
        .arg(cellar)
        .arg(BOARD_QUESTION)
        .output()
        .ok()?;
    assert!(
        answer.status.success(),
        "{}",
        String::from_utf8_lossy(&answer.stderr)
    );
    assert!(!answer.stdout.is_empty(), "the shell found an empty cellar");
    Some(begun.elapsed())
}

/// One row committed to a file of its own in that folder, as durably as the cellar's.
pub(crate) struct Bare(rusqlite::Connection);

impl Bare {
    pub(crate) fn within(folder: &Path) -> Bare {
        let conn = rusqlite::Connection::open(folder.join("bare.sqlite")).unwrap();
        conn.execute_batch(
            "PRAGMA journal_mode = DELETE; PRAGMA synchronous = EXTRA; CREATE TABLE row (words TEXT)",
        )
        .unwrap();
        Bare(conn)
    }

    pub(crate) fn commit(&self) -> Duration {
        let begun = Instant::now();
        self.0
            .execute("INSERT INTO row VALUES ('so many words')", [])
            .unwrap();
        begun.elapsed()
    }
}

/// The value that this share of the times stays within.
pub(crate) fn within(share: f64, times: &[Duration]) -> Duration {
    let mut times = times.to_vec();
    times.sort_unstable();
    times[((times.len() - 1) as f64 * share).round() as usize]
}

/// Milliseconds.
pub(crate) fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1e3
}
