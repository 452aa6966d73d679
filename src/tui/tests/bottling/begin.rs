//! From the vessel to the spout: what is ready, the gate, the reason, the kitchen.

use super::*;
use crate::cellar::attention::Holding;

#[test]
fn the_vessel_that_is_ready_comes_first_and_every_step_goes_on_with_one_key() {
    for key in ["Enter", "Space"] {
        let mut session = Session::new();
        session.press("5");
        session.shows("▌√ Carboy A");
        session.press(key).shows("All is answered yes.");
        session.press(key).shows("Bottle Solaris 25 from Carboy A.");
        session.press(key).shows("> Gather");
        session.press(key).shows("> Wash");
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

/// 18.9 L are 25 bottles of 0.75 L, 0.15 L remain; two more corks than bottles, and the book has none.
#[test]
fn what_it_takes_and_what_is_short_is_seen_before_anything_is_begun() {
    let short = "short of corks: 27 wanted, none in the book.";
    for (keys, closes) in [
        ("5 p", "5"),
        ("5 Enter p", "5 Enter"),
        ("5 Enter Enter C-p", "details"),
        ("5 : b o t t l e Space p l a n Enter", "5"),
    ] {
        let mut session = Session::new();
        session.press(keys);
        assert_eq!(session.state.place(), Place::Plan, "{keys}");
        session.shows("25 × 750 mL, and 150 mL remains");
        session.shows(short);
        // It names what is on the screen, and no option of the command line.
        session.shows("Ctrl-P there shows this anew");
        let drawn = picture(&draw(&session.state, COLOR, 120, 40));
        assert!(
            !drawn.contains("--") && !drawn.contains("leesline"),
            "{drawn}"
        );
        session.press("Esc");
        assert_ne!(session.state.place(), Place::Plan, "{closes}");
        assert!(
            session
                .store
                .snapshot(session.now)
                .unwrap()
                .filling
                .is_none()
        );
    }
    // What is typed of the bottling is what is planned: 18.9 L are 12 of 1.5 L, 0.9 L remain.
    let mut session = Session::new();
    session
        .press("5 Enter Enter Tab")
        .type_in("1500")
        .press("C-p");
    session.shows("12 × 1500 mL, and 900 mL remains");
}

#[test]
fn a_question_of_the_gate_opens_what_would_answer_it() {
    let mut session = Session::new();
    session.press("5 Down Enter f");
    assert_eq!(session.state.place(), Place::Form);
    session.shows("Bucket");
}

/// The other questions leave, so that the evidence of the marked one is there to its last word.
#[test]
fn on_the_smallest_screen_the_marked_question_is_told_in_full() {
    let mut session = Session::new();
    let facts = session.state.facts.as_ref().unwrap();
    let vessel = facts.cellar.find(Sort::Vessel, "Carboy A").unwrap().key;
    let holding = Holding::of(&facts.cellar, vessel, &facts.policy).unwrap();
    let gate = holding.gate();
    session.press("5 Enter");
    for item in gate {
        let drawn = picture(&draw(&session.state, COLOR, 60, 16));
        let words: Vec<&str> = drawn.split_whitespace().collect();
        let drawn = words.join(" ");
        for line in &item.evidence {
            assert!(drawn.contains(line.as_str()), "{line}: {drawn}");
        }
        session.press("Down");
    }
}

#[test]
fn what_comes_before_filling_is_ticked_off_and_opens_where_it_was() {
    let mut session = Session::new();
    session.press("5 Enter Enter Enter Space");
    session.shows("x Gather");
    session.speaks_of_no("wet long enough at");
    session.press("Space");
    session.shows("wet long enough at");
    // Left and come back to, it stands where it stood.
    session.press("Esc 5").shows("> Sanitise");
    let newest = session.store.newest_living().unwrap().unwrap();
    assert_eq!(newest.draft.kind, Kind::Bottle);
    session
        .press("Space Space Esc u Enter 5")
        .shows("> Sanitise");
}

/// Of ten minutes two and nineteen seconds are over.
#[test]
fn how_long_bottles_stay_wet_is_read_from_the_door() {
    let mut session = Session::wet();
    session.now.utc_ms += 2 * 60_000 + 19_000;
    session.send(Message::Clock(session.now.utc_ms));
    let drawn = |session: &Session, width, height| {
        let drawn = picture(&draw(&session.state, COLOR, width, height));
        let rows = drawn.lines().filter(|it| it.contains("███"));
        (rows.count(), drawn)
    };
    for (width, height) in [(120, 40), (80, 24), (60, 16)] {
        let (rows, drawn) = drawn(&session, width, height);
        assert!(rows >= 3, "{width}x{height}\n{drawn}");
        assert!(drawn.contains("Keep them wet"), "{drawn}");
        assert!(drawn.contains("> Sanitise"), "{drawn}");
        assert!(drawn.contains("wet long enough at"), "{drawn}");
    }
    for size in [(80, 24), (60, 16)] {
        check_picture("bottling-wet", &session.state, COLOR, size);
    }
    session.stays_wet();
    session.send(Message::Clock(session.now.utc_ms));
    for (width, height) in [(120, 40), (80, 24), (60, 16)] {
        let (rows, drawn) = drawn(&session, width, height);
        assert!(rows >= 3, "{width}x{height}\n{drawn}");
        assert!(drawn.contains("Drain them; Space goes on."), "{drawn}");
    }
    check_picture("bottling-wet-over", &session.state, COLOR, (60, 16));
}

#[test]
fn bottles_taken_out_of_the_sanitizer_too_soon_are_asked_about_once() {
    let mut session = Session::new();
    session
        .press("5 Enter Enter Enter Space Space")
        .shows("> Sanitise");
    session.press("Space").shows("Bottles stay wet until");
    session.shows("> Sanitise");
    // A wet thumb presses twice; that is no answer to what nobody has read yet.
    session.after(180, Press::Char(' '));
    session.shows("Bottles stay wet until");
    session.shows("> Sanitise");
    session.press("Space").shows("> Dose");

    let mut session = Session::new();
    session.press("5 Enter Enter Enter Space Space").stays_wet();
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
fn what_was_typed_before_the_run_began_is_still_there_after_a_look_elsewhere() {
    let mut session = Session::new();
    session.press("5 Enter Enter Tab Tab Tab").type_in("S5");
    session.press("Esc Esc Esc");
    assert_eq!(session.state.place(), Place::Board);
    session.press("5 Enter Enter").shows("S5");
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
fn a_bottling_undone_elsewhere_begins_anew() {
    let mut session = Session::at_spout();
    // Four ticks and the start.
    session.press("Esc u Enter u Enter u Enter u Enter u Enter");
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
fn how_far_each_vessel_is_from_a_bottling_is_read_whole() {
    let mut session = Session::new();
    session.press("5");
    for (width, height) in [(80, 24), (60, 16)] {
        let drawn = picture(&draw(&session.state, COLOR, width, height));
        let cut = drawn.lines().find(|it| it.ends_with('…'));
        assert_eq!(cut, None, "{width}x{height}\n{drawn}");
    }
}

/// The reason for a bottling that may burst is seen while it is typed, below the whole of the hazard.
#[test]
fn the_reason_is_seen_on_the_smallest_screen() {
    let mut session = Session::new();
    session.press("5 Down Enter Enter").type_in("for the lab");
    for (width, height) in [(120, 40), (80, 24), (60, 16)] {
        let drawn = picture(&draw(&session.state, COLOR, width, height));
        for part in ["Why is it bottled", "▌ for the lab", "towel."] {
            assert!(drawn.contains(part), "{part} {width}x{height}\n{drawn}");
        }
    }
}
