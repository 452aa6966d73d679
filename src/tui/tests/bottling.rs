//! A bottling from the first key to the sum, on a book in memory: what the screen shows is what
//! the book says.

mod begin;
mod finish;
mod packages;
mod spout;

use super::{COLOR, check_picture, draw, keys, picture};
use crate::cellar::amount::Volume;
use crate::cellar::bottling::contact_ms;
use crate::cellar::entry::Kind;
use crate::cellar::moment::{Moment, Said};
use crate::cellar::state::Wine;
use crate::cellar::thing::{Account, Key, Sort, Value, field};
use crate::cellar::verbs::{self, Form};
use crate::store::{Clock, Store};
use crate::tui::commands::Place;
use crate::tui::effect::perform;
use crate::tui::message::{Effect, Message};
use crate::tui::press::Press;
use crate::tui::state::State;
use crate::tui::update::update;

/// 25 Nov 2026, 18:00 in the cellar.
const NOW: Moment = super::cellar::NOW;

/// The program on a book of its own, and a clock that goes on from key to key.
pub(super) struct Session {
    pub(super) state: State,
    store: Store,
    now: Moment,
}

/// Writes what a verb makes of it, at that moment.
fn write(store: &mut Store, at: Moment, verb: &str, pairs: &[(&str, &str)]) {
    let cellar = store.snapshot(at).unwrap();
    let form = Form::of(pairs.iter().copied());
    let said = Said {
        moment: at,
        loosely: None,
        remark: None,
    };
    let prepared = verbs::prepare(verbs::find(verb).unwrap(), &form, &cellar, &said)
        .unwrap_or_else(|it| panic!("{verb}: {it}"));
    let clock = Clock { now_ms: at.utc_ms };
    store.append(&prepared.draft, clock).unwrap();
}

/// A wine with all of the gate behind it in Carboy A, and one that ferments in the bucket.
fn book() -> Store {
    let mut store = Store::in_memory().unwrap();
    let mut say = |days: i64, verb, pairs: &[(&str, &str)]| {
        write(&mut store, NOW.plus_days(-days), verb, pairs);
    };
    say(
        400,
        "settings",
        &[("zone", "+01:00"), ("temperature", "18 C")],
    );
    for (name, kind) in [
        ("Carboy A", "carboy"),
        ("Bucket", "bucket"),
        ("Tank", "tank"),
    ] {
        say(400, "vessel add", &[("name", name), ("kind", kind)]);
    }
    let solaris = [
        ("name", "Solaris 25"),
        ("wine", "white"),
        ("malo", "unwanted"),
    ];
    say(390, "batch add", &solaris);
    let received = [
        ("into", "Tank"),
        ("amount", "18.9 L"),
        ("batch", "Solaris 25"),
    ];
    say(390, "receive", &received);
    say(390, "pitch", &[("place", "Tank")]);
    say(300, "rack", &[("from", "Tank"), ("to", "Carboy A=18.9 L")]);
    for days in [60, 50, 40] {
        let read = [
            ("place", "Carboy A"),
            ("gravity", "0.993"),
            ("temperature", "18 C"),
        ];
        say(days, "measure", &read);
    }
    say(45, "degas", &[("place", "Carboy A")]);
    let lab = [
        ("place", "Carboy A"),
        ("ph", "3.2"),
        ("free-so2", "40"),
        ("clarity", "bright"),
        ("gas", "none"),
    ];
    say(2, "measure", &lab);
    let elder = [
        ("into", "Bucket"),
        ("amount", "17 L"),
        ("batch", "Elder 26"),
    ];
    say(6, "receive", &elder);
    say(6, "pitch", &[("place", "Bucket")]);
    store
}

impl Session {
    pub(super) fn new() -> Session {
        let mut session = Session {
            state: State::new(NOW),
            store: book(),
            now: NOW,
        };
        session.send(Message::Started);
        session
    }

    fn send(&mut self, message: Message) {
        let mut waiting = std::collections::VecDeque::from([message]);
        while let Some(message) = waiting.pop_front() {
            for effect in update(&mut self.state, message, self.now) {
                let reply = perform(effect, &mut self.store, self.now);
                waiting.extend(reply.map(Message::Reply));
            }
        }
    }

    /// Presses keys, half a minute from one to the next.
    pub(super) fn press(&mut self, words: &str) -> &mut Session {
        for press in keys(words) {
            self.after(30_000, press);
        }
        self
    }

    /// The program alone; the book is let go.
    pub(super) fn state_of(&mut self) -> State {
        std::mem::replace(&mut self.state, State::new(NOW))
    }

    fn after(&mut self, ms: i64, press: Press) {
        self.now.utc_ms += ms;
        self.send(Message::Clock(self.now.utc_ms));
        self.send(Message::Press(press));
    }

    fn type_in(&mut self, text: &str) -> &mut Session {
        for c in text.chars() {
            self.send(Message::Press(Press::Char(c)));
        }
        self
    }

    fn screen(&self) -> String {
        picture(&draw(&self.state, COLOR, 100, 30))
    }

    fn shows(&self, words: &str) {
        let screen = self.screen();
        assert!(screen.contains(words), "`{words}` is not on\n{screen}");
    }

    fn speaks_of_no(&self, words: &str) {
        let screen = self.screen();
        assert!(!screen.contains(words), "`{words}` is on\n{screen}");
    }

    fn vessel(&self, name: &str) -> Key {
        let cellar = &self.state.facts().cellar;
        cellar.find(Sort::Vessel, name).unwrap().key
    }

    /// Bottles of the run that is being filled, by the book on disk.
    fn filled(&self) -> i64 {
        let cellar = self.store.snapshot(self.now).unwrap();
        let run = cellar.filling.unwrap();
        cellar.wine(run).map_or(0, Wine::bottle_count)
    }

    /// Ticks off what comes before filling, with bottles wet for as long as they should be.
    fn ticks_off(&mut self) -> &mut Session {
        self.press("Space Space").stays_wet();
        self.press("Space Space")
    }

    fn stays_wet(&mut self) {
        self.now.utc_ms += contact_ms();
    }

    /// At the spout, nothing filled.
    pub(super) fn at_spout() -> Session {
        let mut session = Session::new();
        session.press("5 Enter Enter Enter").ticks_off();
        assert_eq!(session.state.place(), Place::Count, "{}", session.screen());
        session
    }

    /// While the bottles stay wet.
    pub(super) fn wet() -> Session {
        let mut session = Session::new();
        session.press("5 Enter Enter Enter Space Space");
        session
    }

    pub(super) fn at_sum() -> Session {
        let mut session = Session::at_spout();
        session.press("Space Space Space x Enter c Enter b Space Enter Right Enter Enter");
        session
    }
}

#[test]
fn topping_up_offers_the_same_batch_then_the_same_kind_from_the_smallest_that_has_enough() {
    let mut store = book();
    for (days, verb, pairs) in [
        (9, "vessel add", &[("name", "Jug"), ("kind", "jug")][..]),
        (9, "vessel add", &[("name", "Flask"), ("kind", "jug")]),
        (9, "vessel add", &[("name", "Full"), ("mark", "20 L")]),
        (
            8,
            "receive",
            &[("into", "Jug"), ("amount", "3 L"), ("batch", "Solaris 25")],
        ),
        (
            8,
            "receive",
            &[
                ("into", "Flask"),
                ("amount", "0.4 L"),
                ("batch", "Solaris 25"),
            ],
        ),
        (
            8,
            "receive",
            &[
                ("into", "Full"),
                ("amount", "19 L"),
                ("batch", "Solaris 25"),
            ],
        ),
    ] {
        write(&mut store, NOW.plus_days(-days), verb, pairs);
    }
    let facts = crate::tui::message::Facts::of(
        store.snapshot(NOW).unwrap(),
        crate::cellar::attention::Policy::default(),
        None,
    );
    // A litre is missing: the jug has it, the flask has not, and elder is another wine.
    assert_eq!(
        crate::tui::layers::form::to_top_up("Full", &facts),
        ["Jug", "Carboy A", "Flask", "Bucket", "bought-wine", "water"]
    );
}

#[test]
fn the_steps_in_pictures() {
    let mut gate = Session::new();
    gate.press("5 Down Enter");
    let mut reason = Session::new();
    reason.press("5 Down Enter Enter");
    let mut bottles = Session::new();
    bottles.press("5 Enter Enter");
    let mut ready = Session::new();
    ready.press("5 Enter Enter Enter Space");
    let mut count = Session::at_spout();
    count
        .press("#")
        .type_in("11")
        .press("Enter Space Space Space");
    let mut finish = Session::at_spout();
    finish.press("Space Space Enter");
    let sum = Session::at_sum();
    for (name, session) in [
        ("gate", &gate),
        ("overrule", &reason),
        ("bottles", &bottles),
        ("ready", &ready),
        ("count", &count),
        ("finish", &finish),
        ("sum", &sum),
    ] {
        for size in [(80, 24), (120, 40), (60, 16)] {
            check_picture(&format!("bottling-{name}"), &session.state, COLOR, size);
        }
    }
    check_picture("bottling-count-ascii", &count.state, super::ASCII, (80, 24));
}
