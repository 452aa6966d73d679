//! What keys do, from the first press to what is asked of the store.

use super::{COLOR, Facts, MONO, after, cellar, draw, keys, picture, press, type_in};
use crate::tui::commands::{self, Id, Place};
use crate::tui::message::{Call, Effect, Message, Reply};
use crate::tui::press::Press;
use crate::tui::state::State;
use crate::tui::update::update;

fn with_form() -> State {
    let mut state = after(cellar::facts(), &[]);
    let form = cellar::form(&Call::default(), state.facts());
    state.layers.push(Box::new(form));
    state
}

fn shows(state: &State, words: &str) -> bool {
    picture(&draw(state, COLOR, 100, 30)).contains(words)
}

#[test]
fn the_keys_of_every_place_step_back_to_the_board() {
    for words in ["3", "?", ":", "u", "w", "j j j j Enter", "3 v"] {
        let mut state = after(cellar::facts(), &keys(words));
        press(&mut state, "Esc");
        press(&mut state, "Esc");
        assert_eq!(
            (state.place(), state.layers.len()),
            (Place::Board, 0),
            "{words}"
        );
    }
}

#[test]
fn a_row_of_the_palette_does_what_it_says_whatever_is_marked() {
    let opened = |typed: &str| {
        let mut state = after(cellar::facts(), &[]);
        press(&mut state, ":");
        type_in(&mut state, typed);
        press(&mut state, "Enter");
        state
    };
    // The very name before what begins so: the screen, not a verb about bottles.
    for name in ["bottles", "Bottles", "book", "calendar"] {
        let state = opened(name);
        let title = state.place().title().to_lowercase();
        assert_eq!(title, name.to_lowercase());
    }
    // Opening a bottle, and not what Enter does on the board.
    let state = opened("open");
    assert_eq!(state.place(), Place::Form);
    assert!(
        shows(&state, "Which bottles: a run"),
        "{}",
        picture(&draw(&state, COLOR, 100, 30))
    );
}

#[test]
fn q_leaves_and_a_text_takes_it_as_a_letter() {
    let mut state = after(cellar::facts(), &keys("q"));
    assert!(state.leaving);
    state = with_form();
    press(&mut state, "q");
    assert!(!state.leaving && state.place() == Place::Form);
}

#[test]
fn a_form_shows_what_it_would_write_and_writes_it_with_one_key() {
    let mut state = with_form();
    type_in(&mut state, "Demi");
    assert!(shows(&state, "How much is missing"));
    press(&mut state, "Right Tab");
    type_in(&mut state, "2 L");
    assert!(shows(&state, "Pour 2 L out of Demijohn 2."));
    let asked = press(&mut state, "Enter");
    assert!(
        matches!(&asked[..], [Effect::Write { said, .. }] if said == "Pour 2 L out of Demijohn 2.")
    );
    let written = Reply::Written {
        entry: cellar::DEMIJOHN,
        said: "Pour 2 L out of Demijohn 2.".to_owned(),
        told: "Poured away 2 L from Demijohn 2.".to_owned(),
    };
    update(&mut state, Message::Reply(written), cellar::NOW);
    assert_eq!(state.place(), Place::Board);
    assert!(shows(&state, "Poured away 2 L from Demijohn 2."));
}

#[test]
fn what_a_form_asks_is_asked_once() {
    let mut state = with_form();
    type_in(&mut state, "Carboy A");
    press(&mut state, "Tab");
    type_in(&mut state, "6 L");
    assert!(press(&mut state, "Enter").is_empty());
    assert!(shows(&state, "That is more than 5 L at once."));
    assert!(matches!(
        &press(&mut state, "Enter")[..],
        [Effect::Write { .. }]
    ));
}

#[test]
fn a_refusal_stands_at_its_field_and_nothing_typed_is_lost() {
    let mut state = with_form();
    type_in(&mut state, "Carboy X");
    press(&mut state, "Tab");
    type_in(&mut state, "some");
    assert!(press(&mut state, "Enter").is_empty());
    assert!(shows(&state, "no vessel is called `Carboy X`"));
    assert!(shows(&state, "▌!Vessel"));
    assert!(shows(&state, "some"));
}

#[test]
fn what_the_store_refuses_is_said_in_the_form() {
    let mut state = with_form();
    type_in(&mut state, "Carboy A");
    press(&mut state, "Tab");
    type_in(&mut state, "2");
    press(&mut state, "Enter");
    let refused =
        Reply::Refused("The disk is full; free some room and press Enter again.".to_owned());
    update(&mut state, Message::Reply(refused), cellar::NOW);
    assert_eq!(state.place(), Place::Form);
    assert!(shows(&state, "The disk is full") && shows(&state, "Carboy A"));
    assert!(matches!(
        &press(&mut state, "Enter")[..],
        [Effect::Write { .. }]
    ));
}

#[test]
fn esc_never_loses_typed_work_unasked() {
    let mut state = with_form();
    type_in(&mut state, "Carb");
    press(&mut state, "Esc");
    assert!(shows(&state, "Throw away what you typed?"));
    press(&mut state, "Esc");
    assert!(state.place() == Place::Form && shows(&state, "Carb"));
    press(&mut state, "Esc y");
    assert_eq!(state.place(), Place::Board);
}

#[test]
fn leaving_with_typed_work_asks() {
    let mut state = with_form();
    type_in(&mut state, "Carb");
    press(&mut state, "C-c");
    assert!(!state.leaving && shows(&state, "is not written yet"));
    press(&mut state, "x");
    assert!(!state.leaving && shows(&state, "Carb"));
    press(&mut state, "C-c y");
    assert!(state.leaving);
}

#[test]
fn a_paste_goes_only_to_a_field() {
    let mut state = after(cellar::facts(), &[]);
    update(&mut state, Message::Paste("q\nu\n".to_owned()), cellar::NOW);
    assert!(!state.leaving && state.layers.is_empty());
    state = with_form();
    update(
        &mut state,
        Message::Paste("Carboy\nA".to_owned()),
        cellar::NOW,
    );
    assert!(shows(&state, "Carboy A"));
}

#[test]
fn undo_shows_what_changes_before_it_does() {
    let mut state = after(cellar::facts(), &keys("u"));
    assert!(shows(&state, "gravity 1.034 becomes 1.060"));
    assert!(matches!(&press(&mut state, "Enter")[..], [Effect::Void(_)]));
    update(
        &mut state,
        Message::Reply(Reply::Voided {
            entry: cellar::DEMIJOHN,
            again: None,
        }),
        cellar::NOW,
    );
    assert_eq!(state.place(), Place::Board);
    assert!(shows(&state, "Undone"));
}

#[test]
fn the_palette_finds_by_part_of_a_name() {
    let mut state = after(cellar::facts(), &keys(": c a r b o y Space b Enter"));
    assert_eq!(state.place(), Place::Detail);
    assert!(shows(&state, "Carboy B"));
    press(&mut state, "Esc : h e l p Enter");
    assert_eq!(state.place(), Place::Help);
    // By the wine in it too.
    press(&mut state, "Esc : d a m s o n Enter");
    assert_eq!(state.place(), Place::Detail);
    assert!(shows(&state, "Demijohn 2"));
}

#[test]
fn the_palette_finds_what_has_a_key_by_the_name_that_the_command_line_has() {
    for row in commands::at(Place::Board) {
        let Id::Verb(verb) = row.id else {
            continue;
        };
        let by_key = after(cellar::facts(), &row.keys[..1]);
        let letters = verb.chars().map(Press::Char);
        let typed: Vec<Press> = std::iter::once(Press::Char(':'))
            .chain(letters)
            .chain([Press::Enter])
            .collect();
        let by_name = after(cellar::facts(), &typed);
        let drawn = |state| picture(&draw(state, COLOR, 120, 40));
        assert_eq!(drawn(&by_name), drawn(&by_key), "{verb}");
    }
}

#[test]
fn a_key_that_does_nothing_says_so() {
    let state = after(cellar::facts(), &keys("y"));
    assert!(shows(
        &state,
        "y does nothing here; press ? for every key that does."
    ));
}

#[test]
fn every_quick_key_opens_a_form_or_the_screen_that_does_it_better() {
    for row in commands::at(Place::Board) {
        let Id::Verb(verb) = row.id else {
            continue;
        };
        let state = after(cellar::facts(), &row.keys[..1]);
        let expected = match verb {
            "dose" => Place::Dosing,
            "bottle start" => Place::Bottling,
            _ => Place::Form,
        };
        assert_eq!(state.top().screen(), expected, "{verb}");
    }
}

/// On a small screen a working is longer than the pane: the last of it may be a caution.
#[test]
fn a_long_working_is_read_to_its_end() {
    let mut facts = cellar::facts();
    facts.reasons[0].sentence = "it stands ".repeat(60) + "farthest";
    let facts = Facts::with_reasons(facts.cellar, facts.policy, facts.reasons);
    let mut state = after(facts, &keys("w"));
    let shows = |state: &State, words: &str| picture(&draw(state, MONO, 60, 16)).contains(words);
    let check = |state: &State, is_at_end: bool| {
        assert_eq!(shows(state, "farthest"), is_at_end);
        assert_eq!(shows(state, "more below"), !is_at_end);
    };
    check(&state, false);
    for (step, is_at_end) in [("Down", true), ("Up", false), ("PageDown", true)] {
        for _ in 0..30 {
            press(&mut state, step);
            draw(&state, MONO, 60, 16);
        }
        check(&state, is_at_end);
    }
}

#[test]
fn a_wine_without_a_name_of_its_own_is_called_by_its_kind_beside_its_vessel() {
    let mut facts = cellar::facts();
    let batch = facts.cellar.states[&cellar::DEMIJOHN].clone();
    let crate::cellar::state::State::Wine(wine) = &*batch else {
        unreachable!("a demijohn holds wine")
    };
    let batch = wine.main_batch().unwrap();
    let its = facts.cellar.things.get_mut(&batch).unwrap();
    std::sync::Arc::make_mut(its)
        .attributes
        .insert("name".to_owned(), "Demijohn 2".into());
    let facts = Facts::with_reasons(facts.cellar, facts.policy, facts.reasons);
    let drawn = picture(&draw(&after(facts, &[]), MONO, 120, 40));
    assert!(drawn.contains("Demijohn 2, fruit wine"), "{drawn}");
    assert!(!drawn.contains("Demijohn 2, Demijohn 2"), "{drawn}");
}
