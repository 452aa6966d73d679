//! The tasting screen.

use super::*;

fn shown(state: &State) -> String {
    picture(&draw(state, COLOR, 120, 40))
}

fn check(words: &str, expected: &str) {
    let state = after(cellar::facts(), &keys(words));
    let drawn = shown(&state);
    assert!(
        drawn.contains(expected),
        "{expected} after {words}\n{drawn}"
    );
}

#[test]
fn a_wine_shows_what_was_said_of_it_beside_what_was_measured_by_then() {
    check("7", "91 of 100, keep");
    check("7", "84 of 100, act: rack it off its lees");
    check("7", "SO2 22");
    check("7", "plum skin, smoke. sight limpidity 5 of 5");
    check("7", "91/100");
    check("7 j", "peach, then a clean bite");
}

#[test]
fn two_wines_stand_side_by_side() {
    let state = after(cellar::facts(), &keys("7 Tab j"));
    let drawn = shown(&state);
    let both = ["plum skin, smoke", "peach, then a clean bite"];
    assert!(both.iter().all(|it| drawn.contains(it)), "{drawn}");
    let state = after(cellar::facts(), &keys("7 Tab j Tab"));
    assert!(!shown(&state).contains("plum skin, smoke"));
}

#[test]
fn scores_of_one_scale_are_drawn_over_time() {
    // Three scores, of which one is on a scale of its own.
    check("7", "Score");
    let drawn = shown(&after(cellar::facts(), &keys("7 j")));
    assert!(!drawn.contains("Score"), "{drawn}");
}

#[test]
fn words_are_completed_from_those_used_before() {
    let typed = "7 t p l u m Space s k Right";
    let state = after(cellar::facts(), &keys(typed));
    assert_eq!(state.place(), Place::Form);
    assert!(shown(&state).contains("plum skin"), "{}", shown(&state));
}

#[test]
fn the_tastings_in_pictures() {
    let state = after(cellar::facts(), &keys("7"));
    for size in [(120, 40), (80, 24), (60, 16)] {
        check_picture("tasting", &state, COLOR, size);
    }
    let state = after(cellar::facts(), &keys("7 Tab j"));
    check_picture("tasting-two", &state, MONO, (120, 40));
}
