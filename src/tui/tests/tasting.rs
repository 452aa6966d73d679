//! The tasting screen.

use super::*;
use crate::cellar::state::{Deed, State as Held};
use crate::cellar::tasting::scores_at;
use crate::cellar::thing::{CELLAR, field};

#[test]
fn a_wine_shows_what_was_said_of_it_beside_what_was_measured_by_then() {
    check("7", "91 of 100");
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
fn scores_are_the_last_of_a_vessel_s_charts_but_what_is_secret_is_not() {
    let charts = |facts: Facts| {
        let state = after(facts, &keys("j j j j Enter f G"));
        assert_eq!(state.place(), Place::Charts);
        shown(&state)
    };
    // Tasted over the last hundred days, and the wine has been here for longer.
    let mut facts = cellar::facts();
    let demijohn = facts.cellar.states.get_mut(&cellar::DEMIJOHN).unwrap();
    if let Held::Wine(wine) = std::sync::Arc::make_mut(demijohn) {
        let begun = cellar::NOW.plus_days(-300).utc_ms;
        wine.deeds.insert(Deed::Begun, begun);
    }
    let drawn = charts(facts.clone());
    assert!(drawn.contains("Score of 100"), "{drawn}");
    assert!(
        drawn.contains("91 on 23 Nov 2026, the last of 2"),
        "{drawn}"
    );
    let own = facts.cellar.things.get_mut(&CELLAR).unwrap();
    let places = cellar::DEMIJOHN.0.to_string();
    std::sync::Arc::make_mut(own)
        .attributes
        .insert(field::FLIGHT.to_owned(), places.as_str().into());
    let mut all = cellar::tastings();
    all[0].tasting.sheet = crate::cellar::tasting::blind::sheet("A", None);
    let course = scores_at(cellar::DEMIJOHN, &facts.cellar, &all);
    // Of the two that are left, one is on a scale of its own.
    assert_eq!(course, None);
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

/// A form after those keys, on a small screen.
fn check_form(facts: Facts, words: &str, expected: &str) {
    let state = after(facts, &keys(words));
    let drawn = draw(&state, MONO, 80, 24);
    let rows = (0..24).map(|y| (0..80).map(|x| drawn[(x, y)].symbol()).collect::<String>());
    let drawn = rows.collect::<Vec<_>>().join("\n");
    assert!(
        drawn.contains(expected),
        "{expected} after {words}\n{drawn}"
    );
}

#[test]
fn a_sheet_asks_number_by_number_and_refuses_one_where_it_is_typed() {
    let check = |typed: &str, expected: &str| {
        let words = format!("7 t f i n e Tab Tab o i v Right Tab {typed}");
        check_form(cellar::facts(), &words, expected);
    };
    check("", "1 of 10, sight limpidity: 1 to 5");
    check("5 Space", "2 of 10, sight aspect: 2, 4, 6, 8 or 10");
    // What is wrong with it is said and marked as it is left, and it can be gone back to.
    check("9 Tab", " !Points");
    check(
        "9 Tab",
        "`9` is no mark for sight limpidity: it gets 1 to 5.",
    );
    check("9 Tab Tab", " !Points");
    check("9 Tab Up", "▌!Points");
    check("9 Tab Up Backspace 5 Space", "▌ Points");
}

#[test]
fn a_blind_tasting_is_refused_at_the_field_that_is_wrong() {
    check_form(cellar::facts(), "7 b", "→ Demijohn 2");
    check_form(cellar::facts(), "7 b Right", "Demijohn 2");
    check_form(
        cellar::facts(),
        "7 b Right ; c a Right",
        "Demijohn 2;Carboy",
    );
    check_form(cellar::facts(), "7 b n o n e Tab", " !Wines");
    // Nothing need be typed to hear that it cannot be begun, or that none is on.
    check_form(cellar::blind(), "7 b", "a blind tasting is under way");
    check_form(cellar::facts(), "7 a", "no blind tasting is under way");
    check_form(cellar::blind(), "7 a", "→ A  B");
    check_form(cellar::blind(), "7 a z Tab", " !Letter");
    check_form(
        cellar::blind(),
        "7 a z Tab",
        "No wine is poured as `z`; there are A, B.",
    );
    check_form(cellar::blind(), "7 a a Tab Tab 2 0 0 0 Tab", " !Score");
}

#[test]
fn what_was_known_of_a_wine_then_is_read_to_its_end_beside_another() {
    // Riesling beside Demijohn 2, whose tastings stand on the right, 21 cells wide.
    let state = after(cellar::facts(), &keys("7 j Tab k"));
    let drawn = picture(&draw(&state, MONO, 76, 24));
    for last in ["0.995", "off its lees"] {
        assert!(drawn.lines().any(|it| it.trim() == last), "{last}\n{drawn}");
    }
}
