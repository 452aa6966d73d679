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
use std::sync::mpsc::{Receiver, RecvTimeoutError};
use std::time::{Duration, SystemTime, UNIX_EPOCH};

use anyhow::Context;

use crate::cellar::moment::{Moment, Zone};
use crate::cellar::snapshot::Settings;
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
pub fn run(store: Store, options: Options) -> anyhow::Result<()> {
    let mut session = Session::begin(store, options)?;
    loop {
        session.settle()?;
        if session.state.leaving {
            return Ok(());
        }
        session.draw()?;
        if session.ring()? {
            continue;
        }
        if session.wait()? == Goes::Away {
            return Ok(());
        }
    }
}

/// What the loop goes round with.
struct Session {
    store: Store,
    state: State,
    theme: Theme,
    terminal: Terminal,
    events: Receiver<Event>,
    /// What is to be told to the state, and since when.
    waiting: VecDeque<(Message, SystemTime)>,
    clock: Clock,
    zone: Zone,
    /// Of the file as it was last read.
    version: i64,
    bell: Bell,
}

/// Whether the program goes on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Goes {
    On,
    Away,
}

impl Session {
    /// Listening begins before the first frame, so that no resize is missed, and the first frame
    /// comes before anything slow.
    fn begin(store: Store, options: Options) -> anyhow::Result<Session> {
        let theme = Theme {
            color: options.color,
            ascii: options.ascii,
        };
        let clock = Clock::of(options);
        let zone = Zone::System;
        let state = State::new(clock.now(zone));
        let mut terminal = Terminal::enter().context("the terminal could not be taken over")?;
        let events = terminal::events()?;
        terminal.draw(|frame| view::view(&state, theme, frame))?;
        Ok(Session {
            // A file that another program holds for long says so when it is read or written, not here.
            version: store.data_version().unwrap_or_default(),
            store,
            state,
            theme,
            terminal,
            events,
            waiting: VecDeque::from([(Message::Started, SystemTime::now())]),
            clock,
            zone,
            bell: Bell::default(),
        })
    }

    /// Tells the state all that waits, and does what it asks for.
    fn settle(&mut self) -> anyhow::Result<()> {
        while let Some((message, at)) = self.waiting.pop_front() {
            let moment = self.clock.moment(at, self.zone);
            for effect in update::update(&mut self.state, message, moment) {
                match effect {
                    Effect::Suspend => self.terminal.suspend()?,
                    Effect::Redraw => self.terminal.redraw()?,
                    effect => {
                        let reply = effect::perform(effect, &mut self.store, moment);
                        let reply = reply.map(|it| (Message::Reply(it), at));
                        self.waiting.extend(reply);
                    }
                }
            }
        }
        self.zone = self.settings().zone;
        Ok(())
    }

    fn settings(&self) -> Settings {
        self.state.facts().cellar.settings()
    }

    fn draw(&mut self) -> anyhow::Result<()> {
        let (state, theme) = (&self.state, self.theme);
        let mut window = state.window;
        self.terminal.draw(|frame| {
            window = view::window(frame.area());
            view::view(state, theme, frame);
        })?;
        self.state.window = window;
        Ok(())
    }

    /// Rings for timers that are up; whether one was up while nobody could hear it, which is then told.
    fn ring(&mut self) -> anyhow::Result<bool> {
        let now = SystemTime::now();
        let now_ms = self.clock.runs_on(now);
        let timers = self.settings().timers;
        let rings = self.bell.look(&timers, now_ms, &mut self.store);
        if rings.bell {
            self.terminal.ring()?;
        }
        let missed = rings.missed.map(|it| it.was_up(self.zone.moment(now_ms)));
        let is_told = missed.is_some();
        self.waiting
            .extend(missed.map(|it| (Message::WasUp(it), now)));
        Ok(is_told)
    }

    /// Waits until there is something to tell the state: a key, another day, another hand in the file, a timer that moves on.
    fn wait(&mut self) -> anyhow::Result<Goes> {
        let clock = self.clock;
        let day = clock.now(self.zone).date();
        let timers = self.settings().timers;
        let said = |at: SystemTime| timer::said(&timers, clock.runs_on(at));
        let now = SystemTime::now();
        let shown = said(now);
        // Where seconds are shown they are drawn as they go.
        let left_ms = self.bell.left_ms(clock.runs_on(now));
        let counts = left_ms > 0 && self.state.place() == Place::Bottling;
        let look = if counts {
            to_next_second(left_ms)
        } else {
            LOOK
        };
        loop {
            match self.events.recv_timeout(look) {
                Ok(event) => return self.take(event),
                Err(RecvTimeoutError::Disconnected) => return Ok(Goes::Away),
                Err(RecvTimeoutError::Timeout) => {}
            }
            let at = SystemTime::now();
            let found = self.store.data_version().unwrap_or(self.version);
            let is_stale = found != self.version || clock.now(self.zone).date() != day;
            // A timer moves once a minute.
            if is_stale || counts || said(at) != shown {
                self.version = found;
                let clock = (Message::Clock(clock.runs_on(at)), at);
                let stale = is_stale.then_some((Message::Stale, at));
                self.waiting.extend([clock].into_iter().chain(stale));
                return Ok(Goes::On);
            }
        }
    }

    /// Takes in an event and all that came behind it, before the next frame.
    fn take(&mut self, first: Event) -> anyhow::Result<Goes> {
        let mut next = Some(first);
        while let Some(event) = next {
            match event {
                Event::Press(press, at) => {
                    let clock = Message::Clock(self.clock.runs_on(at));
                    self.waiting
                        .extend([(clock, at), (Message::Press(press), at)]);
                }
                Event::Paste(text) => {
                    let now = SystemTime::now();
                    self.waiting.push_back((Message::Paste(text), now));
                }
                Event::Resized => {}
                Event::Stop => self.terminal.suspend()?,
                Event::GoOn => self.terminal.go_on()?,
                Event::Go => return Ok(Goes::Away),
            }
            next = self.events.try_recv().ok();
        }
        Ok(Goes::On)
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
