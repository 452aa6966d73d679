//! A kitchen timer.

use leesline_calc::quantity::Quantity;

use super::read::number;
use super::things::done;
use super::{Group, Refusal, Takes, Verb, ask, flag};
use crate::cellar::attention::words::count;
use crate::cellar::entry::{Draft, Kind};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::CELLAR;
use crate::cellar::timer::Timer;

pub(super) static TIMER: Verb = Verb {
    name: "timer",
    sentence: "Set a timer that runs on every screen and rings once; 0 stops those that run, or the one named.",
    group: Group::Notes,
    fields: &[
        ask(
            "minutes",
            "Minutes",
            "How long: 10, or 2 h.",
            Takes::Number("min"),
        ),
        flag("for", "For", "What for, in a word or two.", Takes::Text),
    ],
    draft: |form, cellar| {
        let minutes = number(
            form,
            "minutes",
            Quantity::Minutes,
            (0.0, 7.0 * 1440.0),
            cellar,
        )?
        .ok_or_else(|| Refusal::input("minutes", "How many minutes?"))?;
        let words = form.get("for");
        let mut draft = Draft::new(Kind::Note, cellar.now);
        draft.subject = Some(CELLAR);
        if minutes > 0.0 {
            let until_ms = cellar.now.utc_ms + (minutes * 60_000.0) as i64;
            let words = words.unwrap_or("timer").to_owned();
            let long = count(minutes.round() as i64, "minute");
            draft.note = format!("timer of {long}: {words}");
            Timer { until_ms, words }.set(&mut draft, cellar);
        } else {
            runs(words, cellar)?;
            draft.note = match words {
                Some(words) => format!("timer stopped: {words}"),
                None => "timers stopped".to_owned(),
            };
            Timer::stop(words, &mut draft, cellar);
        }
        let said = draft.note.clone();
        done(draft, said)
    },
};

/// Refused where there is nothing to stop, with those that run.
fn runs(words: Option<&str>, cellar: &Snapshot) -> Result<(), Refusal> {
    let mut timers = cellar.settings().timers;
    timers.retain(|it| it.said(cellar.now.utc_ms).is_some());
    if timers.is_empty() {
        return Err(Refusal::book(Some("minutes"), "no timer runs."));
    }
    let Some(words) = words.filter(|it| timers.iter().all(|timer| timer.words != *it)) else {
        return Ok(());
    };
    let there: Vec<&str> = timers.iter().map(|it| it.words.as_str()).collect();
    let there = there.join(", ");
    let sentence = format!("no timer runs for {words}; there is one for {there}.");
    Err(Refusal::book(Some("for"), sentence))
}
