//! The finish: what becomes of the rest, and the sum.

use super::*;

#[test]
fn nothing_filled_is_not_finished() {
    let mut session = Session::at_spout();
    session.press("Enter").shows("No bottle yet: Space counts");
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

/// The bucket holds elder that ferments, which is another wine.
#[test]
fn what_is_left_meets_another_wine_only_with_a_second_enter() {
    let mut session = Session::at_spout();
    session.press("# 2 0 Enter Enter Left Left");
    session.shows("3.9 L into Bucket.");
    session.press("Enter");
    session.shows("Bucket holds 17.0 L of Elder 26: is this a blend?");
    let held = |session: &Session| {
        let cellar = session.store.snapshot(session.now).unwrap();
        cellar.wine(session.vessel("Bucket")).map(|it| it.volume)
    };
    assert_eq!(held(&session), Some(Volume::millilitres(17_000)));
    session.press("Enter").shows("It adds up.");
    assert_eq!(held(&session), Some(Volume::millilitres(20_900)));
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
fn a_second_enter_that_comes_too_soon_says_so() {
    let mut session = Session::at_spout();
    session.press("Space Space Enter l Enter");
    session.shows("Enter or Space, once it is read, writes it all the same");
    session.after(300, Press::Enter);
    session.shows("Too soon to have been read, so nothing is written yet");
    session.press("Space").shows("It adds up.");
}

/// 18.9 − 25 × 0.75 = 0.15 L by the book, and none in the carboy.
#[test]
fn what_was_never_there_is_named_in_the_sum() {
    let mut session = Session::at_spout();
    session.press("# 2 5 Enter Enter n Enter");
    for line in ["was never there", "0.150 L", "It adds up."] {
        session.shows(line);
    }
}

#[test]
fn a_bottling_written_up_later_has_its_own_day() {
    let mut session = Session::new();
    session
        .press("5 Enter Enter Tab Tab Tab Tab Tab Tab")
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
fn on_the_smallest_screen_the_sum_says_that_there_is_more_and_goes_down_to_it() {
    let mut session = Session::at_sum();
    let small = |session: &Session| picture(&draw(&session.state, COLOR, 60, 16));
    let screen = small(&session);
    assert!(screen.contains("more below"), "{screen}");
    assert!(!screen.contains("Tidy up now"), "{screen}");
    session.press("Down Down Down Down Down Down Down Down");
    let screen = small(&session);
    assert!(screen.contains("Tidy up now"), "{screen}");
    assert!(!screen.contains("below"), "{screen}");
    session.press("Up");
    let screen = small(&session);
    assert!(screen.contains("below"), "{screen}");
}

/// 18.9 L fill 25 bottles; 18.6 fill 24.
#[test]
fn what_is_gathered_leaves_the_lees_out_as_the_count_does() {
    let mut session = Session::new();
    session
        .press("5 Enter Enter Tab Tab Tab Tab Tab")
        .type_in("300 mL");
    session.press("Enter").shows("24 bottles of 750 mL");
    session.ticks_off().shows("to go  24 of 750 mL");
}

/// The lees said as it begins are proposed at the finish, and less is left to fill.
#[test]
fn the_lees_said_at_the_start_are_kept_to_the_finish() {
    let mut session = Session::new();
    session
        .press("5 Enter Enter Tab Tab Tab Tab Tab")
        .type_in("300 mL");
    session.press("Tab").type_in("2026-11-24 10:00");
    session.press("Enter Space Enter");
    session.shows("300 mL is lees");
    session.press("Tab Tab Tab").type_in("2026-11-24 12:00");
    session.press("Enter");
    session.shows("lees left behind");
    session.shows("It adds up.");
}
