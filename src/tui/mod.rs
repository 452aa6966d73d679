//! The terminal program.
//!
//! Keys become messages; [`update::update`] turns a message into changed state and effects, pure;
//! [`effect`] alone touches the store; [`view`] draws. Reading order: the command table, messages,
//! state, update, view, the screens and what is laid over them, then the terminal and this loop.

mod ascii;
mod bell;
pub mod commands;
pub mod effect;
pub mod glance;
pub mod layers;
pub mod message;
pub mod press;
pub mod screens;
pub mod state;
pub mod terminal;
pub mod theme;
pub mod update;
pub mod view;
pub mod widgets;
pub mod words;

use std::collections::VecDeque;
use std::sync::mpsc::RecvTimeoutError;
use std::time::{Duration, SystemTime, UNIX_EPOCH};

use anyhow::Context;

use crate::cellar::moment::{Moment, Zone};
use crate::cellar::timer;
use crate::store::Store;
use bell::Bell;
use commands::Place;
use message::{Effect, Message};
use state::State;
use terminal::{Event, Terminal};
use theme::Theme;

/// How the program is run.
#[derive(Clone, Copy, Debug, Default)]
pub struct Options {
    /// Draw with ASCII alone.
    pub ascii: bool,
    /// Use colours.
    pub color: bool,
    /// What time it is taken to be; the real time if not given.
    pub today: Option<Moment>,
}

/// How often the file is asked whether another program wrote to it.
const LOOK: Duration = Duration::from_secs(2);

/// Runs the terminal program until the person leaves it. Everything written is on disk by then.
pub fn run(mut store: Store, options: Options) -> anyhow::Result<()> {
    let theme = Theme {
        color: options.color,
        ascii: options.ascii,
    };
    let clock = Clock::of(options);
    let mut zone = Zone::System;
    let mut state = State::new(clock.now(zone));
    let mut terminal = Terminal::enter().context("the terminal could not be taken over")?;
    // Listening begins before the first frame, so that no resize is missed, and the first frame
    // comes before anything slow.
    let events = terminal::events()?;
    terminal.draw(|frame| view::view(&state, theme, frame))?;
    let mut waiting = VecDeque::from([(Message::Started, SystemTime::now())]);
    // A file that another program holds for long says so when it is read or written, not here.
    let mut version = store.data_version().unwrap_or_default();
    let mut bell = Bell::default();
    loop {
        while let Some((message, at)) = waiting.pop_front() {
            let moment = clock.moment(at, zone);
            for effect in update::update(&mut state, message, moment) {
                match effect {
                    Effect::Suspend => terminal.suspend()?,
                    Effect::Redraw => terminal.redraw()?,
                    effect => {
                        let reply = effect::perform(effect, &mut store, moment);
                        waiting.extend(reply.map(|it| (Message::Reply(it), at)));
                    }
                }
            }
        }
        if state.leaving {
            return Ok(());
        }
        zone = state.facts().cellar.settings().zone;
        let mut window = state.window;
        terminal.draw(|frame| {
            window = view::window(frame.area());
            view::view(&state, theme, frame);
        })?;
        state.window = window;

        let day = clock.now(zone).date();
        let timers = state.facts().cellar.settings().timers;
        let said = |at: SystemTime| timer::said(&timers, clock.runs_on(at));
        let now = SystemTime::now();
        let shown = said(now);
        let rings = bell.look(&timers, clock.runs_on(now), &mut store);
        if rings.bell {
            terminal.ring()?;
        }
        if let Some(missed) = rings.missed {
            let said = missed.was_up(zone.moment(clock.runs_on(now)));
            waiting.push_back((Message::WasUp(said), now));
            continue;
        }
        // Where seconds are shown they are drawn as they go.
        let left_ms = bell.left_ms(clock.runs_on(now));
        let counts = left_ms > 0 && state.place() == Place::Bottling;
        let look = if counts {
            to_next_second(left_ms)
        } else {
            LOOK
        };
        loop {
            match events.recv_timeout(look) {
                Ok(event) => {
                    // All that waits is taken in before the next frame.
                    for event in std::iter::once(event).chain(events.try_iter()) {
                        match event {
                            Event::Press(press, at) => {
                                waiting.push_back((Message::Clock(clock.runs_on(at)), at));
                                waiting.push_back((Message::Press(press), at));
                            }
                            Event::Paste(text) => {
                                waiting.push_back((Message::Paste(text), SystemTime::now()));
                            }
                            Event::Resized => {}
                            Event::Stop => terminal.suspend()?,
                            Event::GoOn => terminal.go_on()?,
                            Event::Go => return Ok(()),
                        }
                    }
                    break;
                }
                Err(RecvTimeoutError::Timeout) => {
                    let found = store.data_version().unwrap_or(version);
                    let at = SystemTime::now();
                    if found != version || clock.now(zone).date() != day {
                        version = found;
                        waiting.push_back((Message::Clock(clock.runs_on(at)), at));
                        waiting.push_back((Message::Stale, at));
                        break;
                    }
                    // A timer moves once a minute.
                    if counts || said(at) != shown {
                        waiting.push_back((Message::Clock(clock.runs_on(at)), at));
                        break;
                    }
                }
                Err(RecvTimeoutError::Disconnected) => return Ok(()),
            }
        }
    }
}

/// How long until another second of so many milliseconds is over.
fn to_next_second(left_ms: i64) -> Duration {
    let ms = left_ms.rem_euclid(1_000) + 1;
    Duration::from_millis(ms.unsigned_abs())
}

/// What time it is taken to be, on the cellar's wall clock. A day that was given stands still: what
/// is written is dated then. The time from one key to the next goes on all the same.
#[derive(Clone, Copy, Debug)]
struct Clock {
    today: Option<Moment>,
    begun_ms: i64,
}

impl Clock {
    fn of(options: Options) -> Clock {
        Clock {
            today: options.today,
            begun_ms: unix_ms(SystemTime::now()),
        }
    }

    fn now(self, zone: Zone) -> Moment {
        self.moment(SystemTime::now(), zone)
    }

    fn moment(self, at: SystemTime, zone: Zone) -> Moment {
        zone.moment(self.today.map_or_else(|| unix_ms(at), |it| it.utc_ms))
    }

    fn runs_on(self, at: SystemTime) -> i64 {
        let begun = self.today.map_or(self.begun_ms, |it| it.utc_ms);
        begun + unix_ms(at) - self.begun_ms
    }
}

fn unix_ms(at: SystemTime) -> i64 {
    at.duration_since(UNIX_EPOCH)
        .map_or(0, |it| it.as_millis() as i64)
}

#[cfg(test)]
mod tests;
