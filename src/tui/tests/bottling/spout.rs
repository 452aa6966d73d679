//! At the spout: what a press counts, and what it does not.

use super::*;
use crate::cellar::bottling::{Plan, Wish};
use crate::tui::state::Window;

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

/// Bottles filled before and counted afterwards, key by key, tell nothing of how fast they were filled.
#[test]
fn presses_within_a_second_tell_no_pace() {
    let mut session = Session::at_spout();
    for _ in 0..5 {
        session.after(400, Press::Char(' '));
    }
    assert_eq!(session.filled(), 5);
    session.speaks_of_no("pace   ");
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

/// Where nothing was held down they were five bottles more, and none is lost without a word.
#[test]
fn presses_quicker_than_a_slow_keyboard_repeats_are_one_and_say_what_to_do() {
    let mut session = Session::at_spout();
    for _ in 0..6 {
        session.after(165, Press::Char(' '));
    }
    assert_eq!(session.filled(), 1);
    session.shows("press at most five a second, or # for many");
    let more = crate::tui::commands::of(crate::tui::commands::Id::More).unwrap();
    assert!(
        more.sentence.contains("less than 0.19 s"),
        "{}",
        more.sentence
    );
    for _ in 0..6 {
        session.after(200, Press::Char(' '));
    }
    assert_eq!(session.filled(), 7);
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
    // 18.9 L less 25 × 0.75 L.
    session.shows("150 mL fills no bottle of 750 mL more: Enter goes on to the finish");
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

#[test]
fn what_broke_or_was_spilled_by_mistake_is_taken_back() {
    let mut session = Session::at_spout();
    session.press("Space Space b Enter x Enter");
    assert_eq!(session.filled(), 1);
    session.shows("1 broken");
    session.press("b").type_in("-1").press("Enter");
    assert_eq!(session.filled(), 2);
    session.speaks_of_no("broken");
    session.press("x").type_in("-100").press("Enter");
    session.speaks_of_no("100 mL spilled");
    session.press("c Enter");
    session.shows("1 closure refused");
    session.press("c").type_in("-1").press("Enter");
    session.speaks_of_no("refused");
}

/// 20 × 0.75 and 10 × 0.375 are 18.75 of the 18.9 L; of 750 mL alone it would be 25.
#[test]
fn what_too_few_of_a_size_leave_over_goes_into_smaller_ones_as_planned() {
    let mut session = Session::new();
    for (count, size) in [("20", "750"), ("12", "375")] {
        let empties = [("count", count), ("size", size), ("state", "clean")];
        write(&mut session.store, NOW, "empties add", &empties);
    }
    session.send(Message::Stale);
    session.press("5 Enter Enter Enter");
    session.shows("20 bottles of 750 mL and 10 bottles of 375 mL");
    session.speaks_of_no("mL bottles: ");
    session.ticks_off();
    session.shows("to go  20 of 750 mL");
    session.shows("then   10 of 375 mL");
    session.press("#").type_in("20").press("Enter");
    session.shows("By the book all of 750 mL that were there are filled: s takes 375 mL.");
    session.press("s");
    session.shows("Size, mL       375");
    session.press("Enter").shows("to go  10 of 375 mL");
    // None of them was counted yet, and the program is begun anew.
    session.state = State::new(session.now);
    session.send(Message::Started);
    session.press("Enter").shows("to go  10 of 375 mL");
}

/// By hand, of 18.9 L: 20 × 0.75 leave 3.9, and 7 × 0.5 of that 0.4. The magnums are for who asks for them. Of what 25 × 0.75 leave 0.1 fills a small one; and who has only 500s begins in those.
#[test]
fn a_plan_and_the_session_it_is_for_take_the_same_bottles() {
    let check = |empties: &[(&str, &str)], expected: &[(i64, i64)], gathered: &str| {
        let mut session = Session::new();
        for (count, size) in empties {
            let empties = [("count", *count), ("size", *size), ("state", "sanitised")];
            write(&mut session.store, NOW, "empties add", &empties);
        }
        let cellar = session.store.snapshot(session.now).unwrap();
        let vessel = cellar.find(Sort::Vessel, "Carboy A").unwrap();
        let plan = Plan::of(vessel, &Wish::default(), &cellar).unwrap();
        let fills = plan.fills.iter().filter(|it| it.bottles > 0);
        let fills: Vec<(i64, i64)> = fills.map(|it| (it.bottles, it.size_ml)).collect();
        assert_eq!(fills, expected);
        session.send(Message::Stale);
        session.press("5 Enter Enter Enter").shows(gathered);
    };
    check(
        &[("6", "1500"), ("20", "750"), ("20", "500")],
        &[(20, 750), (7, 500)],
        "20 bottles of 750 mL and 7 bottles of 500 mL",
    );
    check(
        &[("30", "750"), ("12", "100")],
        &[(25, 750), (1, 100)],
        "25 bottles of 750 mL and 1 bottle of 100 mL",
    );
    check(&[("30", "500")], &[(30, 500)], "30 bottles of 500 mL");
}

/// Corks were driven so far, and the small ones take a swing top: said as long as they are filled.
#[test]
fn a_size_that_the_closure_does_not_fit_says_so_while_it_is_filled() {
    let mut session = Session::new();
    for (count, size, finish) in [("30", "750", "cork"), ("6", "500", "swing")] {
        let empties = [
            ("count", count),
            ("size", size),
            ("finish", finish),
            ("state", "clean"),
        ];
        write(&mut session.store, NOW, "empties add", &empties);
    }
    session.send(Message::Stale);
    session.press("5 Enter Enter Enter").ticks_off();
    session.shows("Look at two corks");
    session.press("Space s");
    session.shows("Size, mL       500");
    session.press("Enter").shows("to go  36 of 500 mL");
    session.shows("close them with their swing tops");
    session.speaks_of_no("Look at two corks");
    session.press("s").type_in("750").press("Enter");
    session.speaks_of_no("their swing tops");
}

/// Half a dozen small bottles are no wish for fifty of them.
#[test]
fn a_few_that_are_left_are_not_what_everything_goes_into() {
    let mut session = Session::new();
    let empties = [("count", "6"), ("size", "375"), ("state", "clean")];
    write(&mut session.store, NOW, "empties add", &empties);
    session.send(Message::Stale);
    session.press("5 Enter Enter").shows("Size, mL");
    session.press("Enter").shows("25 bottles of 750 mL");
}

/// 20 × 0.75 and 2 × 0.375 leave 3.15 L, which are four bottles more than the twenty.
#[test]
fn where_smaller_ones_do_not_take_all_the_rest_its_own_are_wanted() {
    let mut session = Session::new();
    for (count, size) in [("20", "750"), ("2", "375")] {
        let empties = [("count", count), ("size", size), ("state", "clean")];
        write(&mut session.store, NOW, "empties add", &empties);
    }
    session.send(Message::Stale);
    session.press("5 Enter Enter Enter");
    session.shows("750 mL bottles: 24 wanted, 20 there");
}

/// A point left out would make ten times as much of it, and a blank goes before a unit.
#[test]
fn what_is_spilled_or_drawn_is_read_with_its_unit() {
    for (typed, said) in [
        ("0.2 L", "200 mL"),
        ("0,2l", "200 mL"),
        ("150 mL", "150 mL"),
        ("80", "80 mL"),
    ] {
        let mut session = Session::at_spout();
        session.press("x").type_in(typed).press("Enter");
        session.shows(&format!("{said} spilled"));
        session.press("d").type_in(typed).press("Enter");
        session.shows(&format!("{said} drawn"));
        session.press("x").type_in(&format!("-{typed}"));
        session
            .press("Enter")
            .speaks_of_no(&format!("{said} spilled"));
        assert_eq!(session.state.place(), Place::Count);
    }
}

#[test]
fn a_count_with_a_point_or_a_letter_is_refused_and_counts_nothing() {
    for typed in ["1.5", "15a", "29 bottles", "-3", "-9223372036854775808"] {
        let mut session = Session::at_spout();
        session.press("#").type_in(typed).press("Enter");
        session.shows(&format!("`{typed}` is"));
        assert_eq!(session.filled(), 0, "{typed}");
        session.press("Esc #").type_in("3").press("Enter");
        assert_eq!(session.filled(), 3, "{typed}");
    }
}

#[test]
fn a_size_may_be_typed_in_litres() {
    let mut session = Session::at_spout();
    session.press("s").type_in("0.375 L").press("Enter");
    session.shows("of 375 mL");
    session.press("s").type_in("5 mL").press("Enter");
    session.shows("`5 mL` is outside 20 mL to 60 L");
    let mut session = Session::new();
    session.press("5 Enter Enter Tab").type_in("0.5 L");
    session.press("Enter").ticks_off();
    session.shows("of 500 mL");
}

/// `6 weeks` is no finish with six days of rest.
#[test]
fn a_blank_in_the_days_of_rest_does_not_finish() {
    let mut session = Session::at_spout();
    session.press("Space Enter Tab Tab").type_in("6 weeks");
    session.press("Enter");
    session.shows("`6 weeks` is not a whole number");
    assert_eq!(session.filled(), 1);
}

#[test]
fn space_takes_what_stands_there() {
    let mut session = Session::at_spout();
    session.press("x Space").shows("100 mL spilled");
}

/// What is left would fill 50 of 375 mL, of which there are three.
#[test]
fn of_another_size_it_is_said_how_many_are_there_and_how_clean() {
    let mut session = Session::new();
    for (count, size, state) in [("30", "750", "clean"), ("3", "375", "dirty")] {
        let empties = [("count", count), ("size", size), ("state", state)];
        write(&mut session.store, NOW, "empties add", &empties);
    }
    session.send(Message::Stale);
    session.press("5 Enter Enter Enter").ticks_off();
    session.shows("to go  25 of 750 mL");
    session.speaks_of_no("there:");
    session.press("s").type_in("375").press("Enter");
    session.shows("to go  50 of 375 mL");
    session.shows("! 3 there: 3 dirty");
    session.press("Space").shows("! 2 there: 2 dirty");
    session.press("s").type_in("500").press("Enter");
    session.shows("! 0 there");
    session.press("Space");
    assert_eq!(session.filled(), 2);
}

/// As a person left it, though the program was killed before any of that size was filled.
#[test]
fn a_size_that_was_chosen_is_gone_on_in_before_any_is_filled() {
    let mut session = Session::at_spout();
    let killed = |session: &mut Session| {
        session.state = State::new(session.now);
        session.send(Message::Started);
        session.press("Enter");
        assert_eq!(session.state.place(), Place::Count);
    };
    // 18.9 L less 0.75 L are 48 × 0.375 L and a little.
    session.press("Space s").type_in("375").press("Enter");
    session.shows("to go  48 of 375 mL");
    killed(&mut session);
    session.shows("to go  48 of 375 mL");
    session.press("s").type_in("750").press("Enter");
    session.shows("to go  24 of 750 mL");
    killed(&mut session);
    session.shows("to go  24 of 750 mL");
    // The same once more is nothing new for the book.
    let entries = |session: &Session| {
        let all = session.store.entries(&crate::store::Filter::default());
        all.unwrap().len()
    };
    let before = entries(&session);
    session.press("s").type_in("750").press("Enter");
    assert_eq!(entries(&session), before);
    assert_eq!(session.filled(), 1);
}

#[test]
fn on_the_smallest_screen_a_refusal_is_said_once_and_in_full() {
    let mut session = Session::at_spout();
    session.press("Backspace");
    let screen = picture(&draw(&session.state, COLOR, 60, 16));
    let words = screen.split_whitespace().collect::<Vec<_>>().join(" ");
    for said in [
        "Nothing of 750 mL is filled",
        "take back no more than that.",
    ] {
        assert_eq!(words.matches(said).count(), 1, "{said}\n{screen}");
    }
}

/// Six a second is as slow as desks are set; the delay before the first repeat is half a second.
#[test]
fn a_held_key_that_repeats_slowly_is_one_bottle() {
    for delay in [167, 500] {
        let mut session = Session::at_spout();
        session.after(30_000, Press::Char(' '));
        session.after(delay, Press::Char(' '));
        for _ in 0..20 {
            session.after(167, Press::Char(' '));
        }
        assert_eq!(session.filled(), 1, "{delay}");
    }
}

/// The program was stopped, or the line stood still, while somebody pressed.
#[test]
fn presses_that_come_at_once_are_taken_as_one_and_that_is_said() {
    let mut session = Session::at_spout();
    session.after(30_000, Press::Char(' '));
    session.after(600, Press::Char(' '));
    for _ in 0..5 {
        session.after(0, Press::Char(' '));
    }
    assert_eq!(session.filled(), 2);
    session.shows("6 presses came at once and are taken as 1: # counts those that are lacking.");
    session.press("#").type_in("5").press("Enter");
    assert_eq!(session.filled(), 7);
}

#[test]
fn where_the_count_cannot_be_seen_nothing_is_counted() {
    let mut session = Session::at_spout();
    session.state.window = Window::TooSmall;
    session.press("Space # Backspace");
    session.state.window = Window::Large;
    assert_eq!(session.filled(), 0);
    session.shows("Keys did nothing while the window was too small to show it.");
    session.press("Space");
    assert_eq!(session.filled(), 1);
}

#[test]
fn a_bottling_that_was_finished_elsewhere_says_so() {
    let mut session = Session::at_spout();
    session.press("Space Space");
    write(
        &mut session.store,
        session.now,
        "bottle finish",
        &[("run", "Solaris 25")],
    );
    session.send(Message::Stale);
    session.shows("Solaris 25 was finished elsewhere, with 2 bottles.");
}

/// 26 × 0.75 = 19.5 L are 600 mL more than 18.9 L.
#[test]
fn a_bottle_more_than_the_book_had_is_said_at_once() {
    let mut session = Session::at_spout();
    session.press("#").type_in("25").press("Enter");
    session.speaks_of_no("more than Carboy A held");
    session.press("Space");
    session.shows("That is 600 mL more than Carboy A held by the book:");
    session.press("Backspace");
    session.speaks_of_no("more than Carboy A held");
}

#[test]
fn what_is_far_too_long_for_a_number_does_not_hide_that_it_is() {
    let mut session = Session::at_spout();
    session.press("#").type_in(&"7".repeat(200)).press("Enter");
    session.shows("too long for a number");
    assert_eq!(session.filled(), 0);
}

#[test]
fn a_refusal_stands_on_the_screen_once() {
    let mut session = Session::new();
    session.press("5 Enter Enter Tab Tab Tab").type_in("ABC");
    for _ in 0..2 {
        let screen = picture(&draw(&session.state, COLOR, 80, 24));
        let said = "is longer than two characters";
        assert_eq!(screen.matches(said).count(), 1, "{screen}");
        session.press("Enter");
    }
}

#[test]
fn a_mark_that_is_free_is_proposed() {
    let mut session = Session::new();
    session.press("5 Enter Enter").shows("S6");
    session.press("Enter").ticks_off();
    session.shows("mark S6");
}
