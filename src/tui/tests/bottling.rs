//! A bottling from the first key to the sum, on a book in memory: what the screen shows is what
//! the book says.

use super::{COLOR, check_picture, draw, keys, picture};
use crate::cellar::amount::Volume;
use crate::cellar::bottling::contact_ms;
use crate::cellar::entry::Kind;
use crate::cellar::moment::{Moment, Said};
use crate::cellar::state::Wine;
use crate::cellar::thing::{Account, Key, Sort, field};
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
    );
    // A litre is missing: the jug has it, the flask has not, and elder is another wine.
    assert_eq!(
        crate::tui::layers::form::to_top_up("Full", &facts),
        ["Jug", "Carboy A", "Flask", "Bucket", "bought-wine", "water"]
    );
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
        self.press("Space").stays_wet();
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

    pub(super) fn at_sum() -> Session {
        let mut session = Session::at_spout();
        session.press("Space Space Space x Enter c b Space Enter Right Enter Enter");
        session
    }
}

#[test]
fn the_vessel_that_is_ready_comes_first_and_every_step_goes_on_with_one_key() {
    for key in ["Enter", "Space"] {
        let mut session = Session::new();
        session.press("5");
        session.shows("▌√ Carboy A");
        session.press(key).shows("All is answered yes.");
        session.press(key).shows("Bottle Solaris 25 from Carboy A.");
        session.press(key).shows("> Gather");
        session.press(key).shows("> Sanitise");
        session.stays_wet();
        session.press(key).shows("> Dose");
        session
            .press(key)
            .shows("Space when a bottle is full and closed.");
        session.press("Space").press("Enter");
        session.shows("1 bottle of Solaris 25, 18.1 L stays in Carboy A.");
        // The first field is a choice, so that Space goes on here too.
        session.press(key).shows("It adds up.");
        session.press(key);
        assert_eq!(session.state.place(), Place::Board);
    }
}

#[test]
fn what_may_burst_takes_a_reason_that_the_book_keeps() {
    let mut session = Session::new();
    session.press("5 Down");
    session
        .press("Enter")
        .shows("Enter goes on only with a reason.");
    session
        .press("Enter")
        .shows("can burst it: 4 g/L adds about 1 bar.");
    session.press("Enter").shows("Say why in a few words");
    session.type_in("in sparkling glass").press("Enter Enter");
    let newest = session.store.newest_living().unwrap().unwrap();
    assert_eq!(newest.draft.note, "overruled: in sparkling glass");
    session.ticks_off();
    assert_eq!(session.state.place(), Place::Count);
    session.shows("Overruled: if one leaks");
}

#[test]
fn a_question_of_the_gate_opens_what_would_answer_it() {
    let mut session = Session::new();
    session.press("5 Down Enter f");
    assert_eq!(session.state.place(), Place::Form);
    session.shows("Bucket");
}

#[test]
fn what_comes_before_filling_is_ticked_off_and_opens_where_it_was() {
    let mut session = Session::new();
    session.press("5 Enter Enter Enter Space");
    session.shows("x Gather");
    session.shows("wet long enough at");
    // Left and come back to, it stands where it stood.
    session.press("Esc 5").shows("> Sanitise");
    let newest = session.store.newest_living().unwrap().unwrap();
    assert_eq!(newest.draft.kind, Kind::Bottle);
    session
        .press("Space Space Esc u Enter 5")
        .shows("> Sanitise");
}

#[test]
fn bottles_taken_out_of_the_sanitizer_too_soon_are_asked_about_once() {
    let mut session = Session::new();
    session
        .press("5 Enter Enter Enter Space")
        .shows("> Sanitise");
    session.press("Space").shows("Bottles stay wet until");
    session.shows("> Sanitise");
    session.press("Space").shows("> Dose");

    let mut session = Session::new();
    session.press("5 Enter Enter Enter Space").stays_wet();
    session.press("Space").shows("> Dose");
}

#[test]
fn the_gate_is_asked_of_the_day_planned_or_of_another() {
    let mut session = Session::new();
    session.press("5 Enter").shows("If it is bottled today:");
    session
        .press("Right")
        .shows("If it is bottled on 2 Dec 2026, in 7 days:");
    session.shows("begins today all the same");
    session.press("Left Left").shows("If it is bottled today:");

    let mut session = Session::new();
    let plan = [("name", "Winter"), ("step", "day 15: bottle")];
    write(&mut session.store, session.now, "plan add", &plan);
    let start = [("plan", "Winter"), ("place", "Carboy A")];
    write(&mut session.store, session.now, "plan start", &start);
    session.send(Message::Stale);
    session
        .press("5 Enter")
        .shows("If it is bottled on 9 Dec 2026, as planned, in 14 days:");
}

#[test]
fn a_press_is_on_disk_before_the_digit_changes() {
    let mut session = Session::at_spout();
    session.now.utc_ms += 1_000;
    let press = Message::Press(Press::Char(' '));
    let asked = update(&mut session.state, press, session.now);
    let [Effect::Fill { count: 1, .. }] = &asked[..] else {
        panic!("{asked:?}");
    };
    session.shows("left   18.9 L");
    for effect in asked {
        let reply = perform(effect, &mut session.store, session.now).unwrap();
        session.send(Message::Reply(reply));
    }
    session.shows("left   18.1 L");
    assert_eq!(session.filled(), 1);
}

#[test]
fn presses_count_up_and_down_and_the_pace_is_told() {
    let mut session = Session::at_spout();
    session.press("Space Space Space Space Backspace");
    assert_eq!(session.filled(), 3);
    session.shows("to go  22 of 750 mL");
    session.shows("pace   30 s a bottle");
    // 22 bottles at 30 s are 11 minutes.
    let done = session.now.at(session.now.utc_ms + 11 * 60_000);
    session.shows(&format!("done   {}", done.local().format("~%H:%M")));
}

#[test]
fn a_key_held_down_is_one_bottle_and_two_closures_a_moment_apart_are_two() {
    let mut session = Session::at_spout();
    session.after(1_000, Press::Char(' '));
    for _ in 0..100 {
        session.after(33, Press::Char(' '));
    }
    assert_eq!(session.filled(), 1);
    session.shows("Held down it counts once");
    session.after(200, Press::Char(' '));
    assert_eq!(session.filled(), 2);
    session.after(50, Press::Backspace);
    assert_eq!(session.filled(), 1);
}

/// Terminals that do not tell repeats apart send the first after the keyboard's delay.
#[test]
fn the_first_repeat_of_a_held_key_is_taken_back_once_it_is_sure() {
    for delay in [250, 500, 660] {
        let mut session = Session::at_spout();
        session.press("Space");
        for (key, expected) in [(Press::Char(' '), 2), (Press::Backspace, 1)] {
            session.after(30_000, key);
            session.after(delay, key);
            for _ in 0..50 {
                session.after(33, key);
            }
            assert_eq!(session.filled(), expected, "{key} after {delay} ms");
        }
    }
}

#[test]
fn a_key_that_bounces_takes_nothing_back() {
    let mut session = Session::at_spout();
    for gap in [30_000, 600, 40, 700] {
        session.after(gap, Press::Char(' '));
    }
    assert_eq!(session.filled(), 3);
}

#[test]
fn more_than_the_vessel_can_fill_is_said_and_not_counted() {
    let mut session = Session::at_spout();
    session.press("#").type_in("40").press("Enter");
    assert_eq!(session.filled(), 0);
    session.shows("Carboy A held 18.9 L by the book, enough for 25 × 750 mL, not for 40");
    session.press("#").type_in("25").press("Enter");
    assert_eq!(session.filled(), 25);
}

#[test]
fn no_more_is_taken_back_than_was_filled() {
    let mut session = Session::at_spout();
    session.press("Space Backspace Backspace");
    assert_eq!(session.filled(), 0);
    session.shows("cannot be taken back");
}

#[test]
fn another_size_is_filled_from_then_on_and_after_coming_back() {
    let mut session = Session::at_spout();
    session.press("Space s").type_in("375").press("Enter Space");
    session.shows("1 × 750 mL, 1 × 375 mL");
    session.press("Esc");
    assert_eq!(session.state.place(), Place::Board);
    session.shows("bottling under way: 2 bottles filled");
    session.state = State::new(session.now);
    session.send(Message::Started);
    session.shows("bottling under way");
    session.press("Enter");
    assert_eq!(session.state.place(), Place::Count);
    session.shows("to go  47 of 375 mL");
}

#[test]
fn what_was_typed_before_the_run_began_is_still_there_after_a_look_elsewhere() {
    let mut session = Session::new();
    session.press("5 Enter Enter Tab Tab Tab").type_in("S5");
    session.press("Esc Esc Esc");
    assert_eq!(session.state.place(), Place::Board);
    session.press("5 Enter Enter").shows("S5");
}

#[test]
fn nothing_filled_is_not_finished() {
    let mut session = Session::at_spout();
    session.press("Enter").shows("No bottle is filled yet");
    assert_eq!(session.state.place(), Place::Count);
}

#[test]
fn the_sum_adds_up() {
    let session = Session::at_sum();
    let carboy = session.vessel("Carboy A");
    let cellar = session.store.snapshot(session.now).unwrap();
    assert_eq!(cellar.wine(carboy).map(|it| it.volume), None);
    let totals = session.store.account_totals().unwrap();
    let total = |account: Account| {
        let found = totals.iter().find(|it| it.0 == account);
        found.map_or(Volume::ZERO, |it| it.1)
    };
    // Three filled, of which one broke; 100 mL spilled; the rest was lees.
    let millilitres = Volume::millilitres;
    assert_eq!(total(Account::Spills), millilitres(100));
    assert_eq!(total(Account::Broken), millilitres(750));
    assert_eq!(total(Account::Lees), millilitres(18_900 - 100 - 3 * 750));
    for line in [
        ("Carboy A held", "18.900 L"),
        ("2 bottles: 2 × 750 mL", "1.500 L"),
        ("spilled", "0.100 L"),
        ("lost with broken bottles", "0.750 L"),
        ("lees left behind", "16.550 L"),
        ("stays in Carboy A", "0.000 L"),
    ] {
        let screen = session.screen();
        let found = screen
            .lines()
            .find(|it| it.trim_start().starts_with(line.0));
        assert!(
            found.is_some_and(|it| it.ends_with(line.1)),
            "{line:?}\n{screen}"
        );
    }
    session.shows("It adds up.");
    session.shows("stand them upright");
    session.shows("Tidy up now");
}

#[test]
fn the_vessel_that_the_board_marks_is_bottled_with_one_letter() {
    let mut session = Session::new();
    let marks_carboy = |it: &Session| {
        let facts = it.state.facts();
        it.state.top().about(facts) == Some(it.vessel("Carboy A"))
    };
    for _ in 0..10 {
        if !marks_carboy(&session) {
            session.press("Right");
        }
    }
    assert!(marks_carboy(&session));
    session
        .press("b")
        .shows("Bottling Solaris 25 from Carboy A");
    assert_eq!(session.state.place(), Place::Gate);
}

#[test]
fn the_sum_of_what_was_overruled_says_what_to_do_when_one_leaks() {
    let mut session = Session::new();
    session.press("5 Down Enter Enter").type_in("for vinegar");
    session.press("Enter Enter").ticks_off();
    session.press("Space Enter Enter");
    session.shows("It adds up.");
    session.shows("These bottles may ferment again and burst.");
}

#[test]
fn what_is_left_goes_into_another_vessel_and_its_lees_stay_behind() {
    let mut session = Session::at_spout();
    // The last of the choices is a vessel.
    session
        .press("# 2 0 Enter Enter Left Tab")
        .type_in("400 mL");
    session.shows("20 bottles of Solaris 25, 3.5 L into Tank.");
    session.press("Enter");
    for line in [
        "20 bottles: 20 × 750 mL",
        "into Tank",
        "lees left behind",
        "It adds up.",
    ] {
        session.shows(line);
    }
    let cellar = session.store.snapshot(session.now).unwrap();
    let held = cellar.wine(session.vessel("Tank")).map(|it| it.volume);
    assert_eq!(held, Some(Volume::millilitres(3_500)));
}

#[test]
fn wine_that_was_not_bottled_is_thrown_away_only_with_a_second_enter() {
    let mut session = Session::at_spout();
    session.press("Space Space Enter l Enter");
    session.shows("17.4 L that was not bottled goes to lees, 92 % of the wine");
    let cellar = session.store.snapshot(session.now).unwrap();
    assert!(cellar.filling.is_some());
    session.press("Enter").shows("It adds up.");
}

#[test]
fn a_bottling_written_up_later_has_its_own_day() {
    let mut session = Session::new();
    session
        .press("5 Enter Enter Tab Tab Tab Tab Tab")
        .type_in("2026-11-24 10:00");
    session.press("Enter Space Enter Tab Tab Tab");
    session.type_in("2026-11-24 12:00").press("Enter");
    session.shows("It adds up.");
    let days: Vec<String> = session
        .store
        .entries(&crate::store::Filter::default())
        .unwrap()
        .iter()
        .filter(|it| it.entry.draft.kind == crate::cellar::entry::Kind::Bottle)
        .map(|it| it.entry.draft.when.local().format("%d %H:%M").to_string())
        .collect();
    assert_eq!(days, ["24 12:00", "24 10:00"]);
}

#[test]
fn what_was_drawn_meanwhile_is_not_hidden_in_the_sum() {
    let mut session = Session::at_spout();
    session.press("Space");
    let sample = [("place", "Carboy A"), ("amount", "200 mL")];
    write(&mut session.store, session.now, "draw", &sample);
    session.send(Message::Stale);
    session.press("Enter Enter");
    let screen = session.screen();
    let line = screen.lines().find(|it| it.contains("otherwise meanwhile"));
    assert!(line.is_some_and(|it| it.ends_with("0.200 L")), "{screen}");
    assert!(!screen.contains("adds up"), "{screen}");
}

#[test]
fn the_calendar_has_the_day_that_the_rest_ends() {
    let mut session = Session::at_sum();
    session.press("4 Tab").shows("rest ends, 2 bottles");
    // 28 days after 25 Nov, which a white rests.
    session.shows("Wed 23 Dec");
}

#[test]
fn a_bottling_undone_elsewhere_begins_anew() {
    let mut session = Session::at_spout();
    // Three ticks and the start.
    session.press("Esc u Enter u Enter u Enter u Enter");
    let cellar = &session.state.facts().cellar;
    assert_eq!(cellar.filling, None);
    session.press("5").shows("From which vessel?");
}

#[test]
fn leaving_asks_while_a_reason_is_typed_and_not_written() {
    let mut session = Session::new();
    session
        .press("5 Down Enter Enter")
        .type_in("x")
        .press("C-c");
    assert!(!session.state.leaving);
    session.shows("is not written yet");
}

#[test]
fn a_run_closed_by_anything_but_cork_is_not_laid_down() {
    let mut session = Session::new();
    session
        .press("5 Enter Enter Tab Tab Right Enter")
        .ticks_off();
    session.press("Space Enter Enter");
    session.shows("only corks are laid down, and these are closed by screw cap");
    let cellar = &session.state.facts().cellar;
    let run = cellar.open(Sort::Run).next().unwrap();
    assert_eq!(run.text(field::CLOSURE), "screw-cap");
}

#[test]
fn two_corks_are_looked_at_before_the_rest_and_said_once() {
    let mut session = Session::at_spout();
    let asks = "Look at two corks before the rest; k once they sit well.";
    session.press("Space Space");
    session.shows(asks);
    session.press("k");
    session.speaks_of_no(asks);
    assert_eq!(session.filled(), 2);
    session.press("Space");
    session.speaks_of_no(asks);
    let entries = session
        .store
        .entries(&crate::store::Filter::default())
        .unwrap();
    let seen = entries.iter().filter(|it| {
        it.entry
            .draft
            .changes
            .iter()
            .any(|it| it.field == field::CORKS_SEEN)
    });
    assert_eq!(seen.count(), 1);
}

/// Right goes to jugs, bags and kegs; each brings its own size, closure and caution along.
#[test]
fn a_keg_is_filled_by_the_same_keys_and_nobody_speaks_of_corks() {
    let mut session = Session::new();
    session.press("5 Enter Enter Right Right Right");
    session.shows("19000");
    session.shows("lid");
    session.shows("Fill kegs with Solaris 25 from Carboy A.");
    session.press("Enter");
    session.shows("1 keg of 18.9 L");
    session.shows("try the relief valve");
    session.speaks_of_no("cork");
    session.ticks_off();
    session.shows("Space when a keg is full and closed.");
    session.shows("CO2 fills low rooms");
    session.speaks_of_no("bottle is");
    // The keg takes what there is; that it was filled in part makes it no other size.
    session.press("Space");
    assert_eq!(session.filled(), 1);
    session.shows("to go  0 of 19 L");
    session.press("Backspace");
    assert_eq!(session.filled(), 0);
    session.press("#");
    session.shows("Kegs at once");
    session.shows("So many kegs of 19 L, filled and closed.");
    session.press("Esc s");
    session.shows("9500");
    session.press("Ctrl-U").type_in("30000").press("Enter");
    session.shows("A keg of 19 L does not hold 30 L");
    session.press("Esc");
    session.press("Space");
    session.press("Esc 5");
    session.shows("to go  0 of 19 L");
    session.press("Enter Enter");
    session.shows("1 keg: 1 × 18.9 L keg");
    session.shows("It adds up.");
    session.shows("relief valve");
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
