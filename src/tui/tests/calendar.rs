//! The calendar: where keys go, what stands on which day, and what Enter opens.

use super::{ASCII, COLOR, MONO, after, cellar, check_picture, draw, keys, picture};
use crate::cellar::thing::{Key, Sort};
use crate::tui::commands::Place;
use crate::tui::message::Facts;
use crate::tui::state::State;

fn calendar(words: &str) -> State {
    after(cellar::facts(), &keys(&format!("4 {words}")))
}

fn screen(state: &State) -> String {
    picture(&draw(state, COLOR, 80, 24))
}

fn check(words: &str, expected: &str) {
    let state = calendar("");
    // Keys move in what is drawn: the first frame says how much room there is.
    screen(&state);
    let state = super::pressed(state, &keys(words));
    let drawn = screen(&state);
    assert!(drawn.contains(expected), "after {words}\n{drawn}");
}

/// 25 Nov 2026 is a Wednesday.
#[test]
fn arrows_go_by_day_and_week_and_pages_by_month() {
    check("", "Wed 25 Nov 2026, today");
    check("Right", "Thu 26 Nov 2026, tomorrow");
    check("h", "Tue 24 Nov 2026, yesterday");
    check("Down", "Wed 2 Dec 2026, in 7 days");
    check("k", "Wed 18 Nov 2026, 7 days ago");
    check("PageDown", "Fri 25 Dec 2026, in 30 days");
    check("PageUp", "Sun 25 Oct 2026, 31 days ago");
    check("g", "Sun 1 Nov 2026");
    check("G", "Mon 30 Nov 2026");
    check("PageDown PageDown t", "Wed 25 Nov 2026, today");
}

#[test]
fn a_month_has_no_day_it_lacks() {
    check("PageDown PageDown Down G", "Sun 28 Feb 2027");
    check("PageUp G", "Sat 31 Oct 2026");
    check("PageUp G PageDown", "Mon 30 Nov 2026");
}

/// Half a year is looked ahead: until 24 May 2027.
#[test]
fn a_day_too_far_off_is_not_called_free() {
    let pages = "PageDown ".repeat(6);
    check(&format!("{pages}h"), "Nothing falls due.");
    check(
        &pages,
        "Too far off to foresee; the years (y) have the windows.",
    );
}

#[test]
fn what_is_overdue_stands_on_its_day_and_on_today() {
    check("Left Left Left Left Left Left", "34 days on gross lees");
    check("", "34 days on gross lees");
    check("n", "29 bottles standing 2 days");
}

#[test]
fn what_was_written_on_a_day_is_listed() {
    check("Left", "Measured Bucket: gravity 1.034.");
    check("Left Left", "Nothing was written that day.");
}

#[test]
fn enter_opens_the_one_thing_of_a_day_or_its_list() {
    let state = calendar("n Enter");
    assert_eq!(state.place(), Place::Form);
    // What was written opens as the entry it is.
    assert_eq!(calendar("Left Enter").place(), Place::Entry);
    // The rack form, from the list of a day with several things on it.
    let state = calendar("");
    screen(&state);
    let state = super::pressed(state, &keys("Enter Enter"));
    assert_eq!(state.place(), Place::Form);
    assert!(screen(&state).contains("Demijohn 2"), "{}", screen(&state));
}

#[test]
fn the_agenda_is_one_key_away_and_esc_steps_back() {
    let state = calendar("");
    screen(&state);
    let state = super::pressed(state, &keys("Tab"));
    let drawn = screen(&state);
    let heads = ["OVERDUE", "TODAY", "THIS WEEK"].map(|it| drawn.find(it));
    assert!(
        heads[0].is_some() && heads[0] < heads[1] && heads[1] < heads[2],
        "{drawn}"
    );
    let state = super::pressed(state, &keys("Esc"));
    assert!(screen(&state).contains("November 2026"));
    assert_eq!(super::pressed(state, &keys("Esc")).place(), Place::Board);
}

#[test]
fn a_small_screen_has_the_agenda_alone() {
    let state = calendar("");
    let drawn = picture(&draw(&state, COLOR, 60, 16));
    assert!(
        drawn.contains("OVERDUE") && !drawn.contains("Mon"),
        "{drawn}"
    );
    let state = super::pressed(state, &keys("Down Down Enter"));
    assert_eq!(state.place(), Place::Form);
}

#[test]
fn a_reason_is_put_off_from_the_calendar_too() {
    let state = calendar("n z");
    assert_eq!(state.place(), Place::Form);
    assert!(screen(&state).contains("Regent 25"), "{}", screen(&state));
}

#[test]
fn the_years_are_one_key_away_and_move_with_the_arrows() {
    check("y", "estimates right of it");
    check("y", "Regent 25");
    // A year on, today has gone to the left; t brings it back.
    let state = calendar("y");
    let today = |state: &State| {
        let drawn = screen(state);
        let row = drawn
            .lines()
            .find(|it| it.contains("JFMAMJJASOND"))
            .unwrap();
        row.chars().position(|it| it == '┊').unwrap()
    };
    let there = today(&state);
    let state = super::pressed(state, &keys("Right"));
    assert_eq!(today(&state), there - 3);
    let state = super::pressed(state, &keys("PageDown"));
    assert_eq!(today(&state), there - 15);
    let state = super::pressed(state, &keys("t"));
    assert_eq!(today(&state), there);
    let state = super::pressed(state, &keys("Esc"));
    assert!(screen(&state).contains("November 2026"));
}

#[test]
fn enter_opens_the_wine_of_a_bar() {
    let state = calendar("y G Enter");
    assert_eq!(state.place(), Place::Detail);
}

#[test]
fn the_calendar_in_pictures() {
    let state = calendar("");
    for size in [(80, 24), (120, 40), (60, 16)] {
        check_picture("calendar", &state, COLOR, size);
    }
    check_picture("calendar-mono", &state, MONO, (80, 24));
    check_picture("calendar-ascii", &state, ASCII, (80, 24));
    let state = calendar("y j");
    for size in [(80, 24), (120, 40), (60, 16)] {
        check_picture("years", &state, COLOR, size);
    }
    check_picture("years-mono", &state, MONO, (80, 24));
    check_picture("years-ascii", &state, ASCII, (80, 24));
    let state = calendar("Tab");
    draw(&state, COLOR, 80, 24);
    for size in [(80, 24), (120, 40)] {
        check_picture("agenda", &state, COLOR, size);
    }
}

/// What stands on the screen's row with that sign, after those keys, on a day with so many more things.
fn check_more(more: i64, words: &str, expected: &str) {
    let mut facts = cellar::facts();
    let first = facts.reasons[0].clone();
    for at in 0..more {
        let mut another = first.clone();
        another.subject = Key(700 + at);
        let vessel = cellar::thing(another.subject, Sort::Vessel, "Jar", &[]);
        facts.cellar.things.insert(another.subject, vessel.into());
        facts.reasons.push(another);
    }
    let facts = Facts::with_reasons(facts.cellar, facts.policy, facts.reasons);
    let state = after(facts, &keys("4"));
    draw(&state, MONO, 80, 24);
    let state = super::pressed(state, &keys(words));
    let drawn = picture(&draw(&state, MONO, 80, 24));
    let sign = drawn.lines().find_map(|it| {
        let at = it.find(" more ")?;
        it[..at]
            .rsplit(' ')
            .next()
            .map(|many| format!("{many}{}", &it[at..]))
    });
    assert_eq!(sign.as_deref().unwrap_or_default(), expected, "{drawn}");
}

#[test]
fn a_list_that_is_cut_says_how_much_more_there_is() {
    check_more(0, "", "");
    // Two things and twenty more; below the month there is room for eleven.
    check_more(20, "", "11 more below");
    check_more(20, "Enter G", "11 more above");
    check_more(0, "Tab", "");
    // Six in all and thirty more; nineteen stand between the heading and the sign.
    check_more(30, "Tab", "17 more below");
}
