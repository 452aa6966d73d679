//! Dosing: what shows, and what changes as it is typed.

mod filled_in;
mod written;

use std::sync::Arc;

use super::{COLOR, MONO, after, cellar, check_picture, draw, keys, picture, press, type_in};
use crate::cellar::entry::{Dose, Due};
use crate::cellar::state::{Deed, State as Held};
use crate::cellar::thing::{CELLAR, Key, Sort, Value, field};
use crate::tui::commands::Place;
use crate::tui::message::{Call, Effect, Facts, Message, Reply};
use crate::tui::state::State;
use crate::tui::update::update;

const BUCKET: Key = Key(203);
const LOT: Key = Key(240);

/// The hand-made cellar with a scale that shows hundredths.
fn facts() -> Facts {
    let mut facts = cellar::facts();
    let own = facts.cellar.things.get_mut(&CELLAR).unwrap();
    Arc::make_mut(own)
        .attributes
        .insert(field::SCALE.to_owned(), Value::Real(0.01));
    facts
}

/// The wine in Carboy A, to say something else of it.
fn held(facts: &mut Facts) -> &mut crate::cellar::state::Wine {
    let state = facts.cellar.states.get_mut(&cellar::CARBOY);
    match state.map(Arc::make_mut) {
        Some(Held::Wine(wine)) => wine,
        _ => panic!("no wine"),
    }
}

/// Dosing opened for a vessel, as the board opens it.
fn dosing(facts: Facts, vessel: Key) -> State {
    let call = Call {
        about: Some(vessel),
        name: "dose".to_owned(),
        ..Call::default()
    };
    called(facts, &call)
}

/// The same, with all of the dose at once instead of the half that is better.
fn all_at_once(facts: Facts, vessel: Key) -> State {
    let mut state = dosing(facts, vessel);
    press(&mut state, "h");
    state
}

fn called(facts: Facts, call: &Call) -> State {
    let mut state = after(facts, &[]);
    let facts = state.facts().clone();
    let mut screens = state.screens.iter();
    state.shown = screens.position(|it| it.screen() == Place::Dosing).unwrap();
    let screen = &mut state.screens[state.shown];
    let asked = screen.update(&crate::tui::message::Input::Called(call), &facts);
    assert!(asked.is_empty());
    state
}

fn shown(state: &State) -> String {
    picture(&draw(state, MONO, 100, 45))
}

/// The line of the sheet that begins with that label, blanks taken together.
fn line(state: &State, label: &str) -> String {
    let drawn = shown(state);
    let line = drawn
        .lines()
        .find(|it| it.trim_start_matches(['▌', ' ']).starts_with(label));
    let words: Vec<&str> = line.unwrap_or_default().split_whitespace().collect();
    words.join(" ")
}

/// Potassium metabisulfite for 22.7 L from 15 mg/L free to 0.8 molecular at pH 3.31, a third bound:
/// F = M·(1 + 10^(pH − 1.81)) (UC extension), yield 0.5763 (atomic masses). Grams.
fn grams(free_mg_l: f64) -> f64 {
    let aim = 0.8 * (1.0 + 10f64.powf(3.31 - 1.81));
    (aim - free_mg_l) / (1.0 - 0.33) * 22.7 / (1000.0 * 0.5763)
}

fn check_line(state: &State, label: &str, expected: &str) {
    let found = line(state, label);
    assert!(found.contains(expected), "{found:?} lacks {expected:?}");
}

/// Labels of the lines that show.
fn labels(state: &State) -> Vec<String> {
    let drawn = shown(state);
    let lines = drawn.lines().skip_while(|it| !it.contains("────"));
    let lines = lines
        .skip(1)
        .take_while(|it| !it.starts_with(" !") && !it.starts_with(" then "));
    let label = |it: &str| {
        let label: String = it.chars().skip(2).take(17).collect();
        label.trim().to_owned()
    };
    // Under a row stands its style; the rule's is all dim.
    let is_label = |it: &String| it.chars().any(|it| it != 'd');
    lines.map(label).filter(is_label).collect()
}

/// Presses a key that shows what would be written, then Enter, and gives the draft.
fn written(state: &mut State, words: &str) -> (crate::cellar::entry::Draft, String) {
    assert!(press(state, words).is_empty());
    assert_eq!(state.place(), Place::DoseWrite);
    match press(state, "Enter").pop() {
        Some(Effect::Write { draft, said, .. }) => (*draft, said),
        other => panic!("{other:?}"),
    }
}

#[test]
fn the_few_lines_that_matter_show_first_and_the_rest_by_a_key() {
    let few = [
        "Volume",
        "Wine",
        "Kind",
        "pH",
        "Free SO2 now",
        "Aim, molecular",
        "SO2 added so far",
        "From lot",
        "Scale step",
    ];
    let mut state = dosing(facts(), cellar::CARBOY);
    assert_eq!(labels(&state), few);
    assert!(shown(&state).contains("13 more with key a"));
    press(&mut state, "G");
    assert!(shown(&state).contains("▌ Scale step"));
    press(&mut state, "a");
    assert_eq!(labels(&state).len(), 22);
    // What was typed in stays when the rest goes.
    press(&mut state, "g");
    let bound = labels(&state).iter().position(|it| it == "Part bound");
    press(&mut state, "Down ".repeat(bound.unwrap()).trim_end());
    press(&mut state, "e . 4 Enter a");
    assert!(labels(&state).contains(&"Part bound".to_owned()));
    assert_eq!(labels(&state).len(), few.len() + 1);
}

#[test]
fn the_weight_is_what_the_scale_shows_and_what_it_adds_follows() {
    let mut facts = facts();
    let own = facts.cellar.things.get_mut(&CELLAR).unwrap();
    // Half the dose is 0.33 g, which a scale of 0.03 g steps still gives within a tenth.
    Arc::make_mut(own)
        .attributes
        .insert(field::SCALE.to_owned(), Value::Real(0.03));
    let mut state = all_at_once(facts, cellar::CARBOY);
    let steps = (grams(15.0) / 0.03).round() * 0.03;
    assert!(weighs(&state).starts_with(&format!("weigh {steps:.2} g")));
    // 0.66 g for 22.7 L, yield 0.5763 (atomic masses); two thirds of it stay free.
    let adds = steps * 576.3 / 22.7;
    let said = format!("adds {adds:.0} mg/L, of which {:.0} stay free", adds * 0.67);
    assert!(shown(&state).contains(&said), "{}", shown(&state));
    let (draft, said) = written(&mut state, "Enter");
    assert!(said.starts_with(&format!("Add {steps:.2} g of")), "{said}");
    let Some(Dose::Mass(mass)) = draft.additions[0].dose else {
        panic!("{draft:?}");
    };
    assert!((mass.in_grams() - steps).abs() < 1e-6);
}

/// The figure to give, as a small screen says it.
fn weighs(state: &State) -> String {
    let drawn = picture(&draw(state, MONO, 60, 16));
    let line = drawn
        .lines()
        .find(|it| it.trim_start().starts_with("weigh"));
    line.unwrap_or_default().trim().to_owned()
}

#[test]
fn results_change_as_they_are_typed() {
    let mut state = all_at_once(facts(), cellar::CARBOY);
    let expected = |free: f64| format!("weigh {:.2} g", grams(free));
    press(&mut state, "e Down Down Down Down");
    assert_eq!(state.place(), Place::DosingLine);
    assert!(weighs(&state).starts_with(&expected(15.0)));
    type_in(&mut state, "2");
    assert!(weighs(&state).starts_with(&expected(2.0)));
    type_in(&mut state, "0");
    check_line(&state, "Free SO2 now", "typed");
    assert!(weighs(&state).starts_with(&expected(20.0)));
    press(&mut state, "Enter b");
    assert!(weighs(&state).starts_with(&expected(15.0)));
}

#[test]
fn a_forecast_widens_the_band_and_a_typed_value_narrows_it() {
    let band = |state: &State| {
        let said = shown(state);
        let (_, likely) = said.split_once("likely ").unwrap();
        let (low, rest) = likely.split_once('–').unwrap();
        let (high, _) = rest.split_once(" g").unwrap();
        (low.parse::<f64>().unwrap(), high.parse::<f64>().unwrap())
    };
    let mut state = dosing(facts(), cellar::CARBOY);
    let (low, high) = band(&state);
    press(&mut state, "e Down Down Down Down");
    type_in(&mut state, "15");
    // A quarter to a half bound, and nothing else in doubt: (1 − 0.33)/(1 − 0.25) and over (1 − 0.5).
    let near = |found: f64, expected: f64| (found - expected).abs() < 0.006;
    let (by_bound_low, by_bound_high) = band(&state);
    assert!(near(by_bound_low, grams(15.0) * 0.67 / 0.75));
    assert!(near(by_bound_high, grams(15.0) * 0.67 / 0.5));
    assert!(low < by_bound_low && high > by_bound_high);
}

#[test]
fn an_input_error_stands_at_its_line_and_nothing_typed_is_lost() {
    let mut state = dosing(facts(), cellar::CARBOY);
    press(&mut state, "e Down Down Down");
    type_in(&mut state, "9");
    assert!(shown(&state).contains("`9` is outside 2 to 5"));
    check_line(&state, "pH", "9 !");
    press(&mut state, "Esc Esc");
    assert_eq!(state.place(), Place::Board);
    press(&mut state, "2");
    check_line(&state, "pH", "9 !");
    press(&mut state, "Right Left");
    check_line(&state, "pH", "9 !");
    press(&mut state, "q");
    assert!(!state.leaving && shown(&state).contains("is not written yet"));
}

#[test]
fn a_spoon_weighs_the_same_wherever_it_is_said() {
    // 22.7 L / 18.927 L of a quarter teaspoon are 0.30: as spoons come a quarter, of 6 g a teaspoon.
    let mut state = dosing(facts(), cellar::CARBOY);
    press(&mut state, "f");
    check_line(&state, "1.50 g", "1.50 g (1.25–2.00 g) powder by weight");
    let asked = press(&mut state, "Enter y").pop();
    let Some(Effect::Write { draft, said, .. }) = asked else {
        panic!("{asked:?}");
    };
    assert!(said.starts_with("Add 1/4 tsp (about 1.5 g)"), "{said}");
    let Some(Dose::Mass(mass)) = draft.additions[0].dose else {
        panic!("{draft:?}");
    };
    assert!((mass.in_grams() - 1.5).abs() < 1e-6);
}

#[test]
fn the_palette_opens_any_calculator_and_one_that_adds_nothing_has_no_writing() {
    let mut state = after(facts(), &keys("j : h e a d s p a c e Enter"));
    assert_eq!(state.place(), Place::Reckoning);
    check_line(&state, "Headspace", "300 mL =");
    press(&mut state, "h");
    assert!(state.layers.is_empty() && shown(&state).contains("h does nothing here"));
}

#[test]
fn a_digit_offers_the_marked_vessel_and_else_the_one_that_needs_it_most() {
    assert!(shown(&after(facts(), &keys("2"))).contains("Dose  Demijohn 2"));
    assert!(shown(&after(facts(), &keys("j 2"))).contains("Dose  Carboy A"));
    assert!(shown(&after(facts(), &keys("j Enter"))).contains("Dose  Carboy A"));
    // A run of bottles is not dosed; the white's free SO2 is low.
    assert!(shown(&after(facts(), &keys("j j 2"))).contains("Dose  Carboy A"));
}

#[test]
fn what_a_home_test_cannot_tell_can_wait() {
    let mut state = dosing(facts(), cellar::CARBOY);
    press(&mut state, "e Down Down Down Down");
    // The aim is 26.1; less than 15 % of it is missing.
    type_in(&mut state, "23");
    assert!(shown(&state).contains("Only 3 mg/L are missing, less than a home test can tell"));
    assert!(!shown(&state).contains("Better half now"));
}

#[test]
fn what_is_typed_in_one_line_takes_the_place_of_the_same_thing_in_another() {
    let mut state = after(facts(), &keys("j j j j j j j : s u g a r Enter"));
    check_line(&state, "Gravity", "1.034 = measured 1 day ago");
    press(&mut state, "e Down");
    type_in(&mut state, "24");
    // 24 °Brix are 1.1009 at 20/20 (sucrose tables of the US bureau of standards, from memory).
    let drawn = picture(&draw(&state, MONO, 60, 16));
    assert!(
        drawn.contains("1.101") && !drawn.contains("stand for the same"),
        "{drawn}"
    );
}

/// States that every test of drawing goes through.
pub(super) fn states() -> Vec<(&'static str, State)> {
    let mut states = pictured();
    let kept = [
        "dosing",
        "dosing-typing",
        "dosing-asks",
        "dosing-working",
        "dosing-thumb",
    ];
    states.retain(|(name, _)| kept.contains(name));
    states
}

/// States held as pictures.
fn pictured() -> Vec<(&'static str, State)> {
    let of = |vessel: Key, words: &str| {
        let mut state = dosing(facts(), vessel);
        press(&mut state, words);
        state
    };
    vec![
        ("dosing", of(cellar::CARBOY, "")),
        ("dosing-typing", of(cellar::CARBOY, "e Down Down Down 9")),
        ("dosing-confirm", of(cellar::CARBOY, "Enter")),
        ("dosing-all", of(cellar::CARBOY, "h")),
        ("dosing-working", of(cellar::CARBOY, "w")),
        ("dosing-thumb", of(cellar::DEMIJOHN, "")),
        ("dosing-ferment", of(BUCKET, "e 3 . 5 Enter")),
        (
            "dosing-asks",
            of(cellar::CARBOY, "e Down Down Down 4 . 0 Enter Enter"),
        ),
        ("dosing-spoon", of(cellar::CARBOY, "f")),
        ("dosing-nothing", after(cellar::empty(), &keys("2"))),
        (
            "headspace",
            after(facts(), &keys("j : h e a d s p a c e Enter")),
        ),
    ]
}

#[test]
fn dosing_in_pictures() {
    for (name, state) in pictured() {
        check_picture(name, &state, COLOR, (80, 24));
        let at_every_size = ["dosing", "dosing-thumb", "dosing-ferment", "headspace"];
        if at_every_size.contains(&name) {
            check_picture(name, &state, COLOR, (120, 40));
            check_picture(name, &state, COLOR, (60, 16));
        }
    }
}
