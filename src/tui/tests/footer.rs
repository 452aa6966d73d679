//! The footer: it says what a key does now.

use std::sync::Arc;

use super::*;
use crate::cellar::attention::ReasonKind;
use crate::cellar::entry::{Due, Job};
use crate::cellar::snapshot::OpenJob;
use crate::cellar::state::{Deed, State as Holds};
use crate::cellar::supplies::to_buy::to_buy;
use crate::cellar::thing::Key;

fn footer(state: &State, (width, height): (u16, u16)) -> String {
    // What there is room for is known once it was drawn.
    draw(state, MONO, width, height);
    let drawn = draw(state, MONO, width, height);
    let row = (0..width).map(|x| drawn[(x, height - 1)].symbol().to_owned());
    let row: String = row.collect();
    format!("{}   ", row.trim_end())
}

/// After those keys the footer says the one and not the other.
fn check(words: &str, size: (u16, u16), says: &str, not: &str) {
    let state = after(bottles::facts(), &keys(words));
    let said = footer(&state, size);
    assert!(
        says.is_empty() || said.contains(&format!(" {says}   ")),
        "{says} after {words}: {said}"
    );
    assert!(
        not.is_empty() || !said.contains(&format!(" {not}   ")),
        "{not} after {words}: {said}"
    );
}

#[test]
fn a_key_that_goes_to_and_fro_says_where_it_goes() {
    const WIDE: (u16, u16) = (120, 40);
    const SMALL: (u16, u16) = (80, 24);
    const LEAST: (u16, u16) = (60, 16);
    check("4", SMALL, "Tab agenda", "Tab month");
    check("4 Tab", SMALL, "Tab month", "Tab agenda");
    check("4 Tab", WIDE, "Tab month", "Tab agenda");
    check("4", SMALL, "y years", "y month");
    check("4 y", SMALL, "y month", "y years");
    check("4", LEAST, "y years", "Tab agenda");
    check("4 y", LEAST, "y agenda", "y years");
    check("6", SMALL, "Tab racks", "Tab runs");
    check("6 Tab", SMALL, "Tab runs", "Tab racks");
    check("8", SMALL, "Tab to buy", "Tab supplies");
    check("8 Tab", SMALL, "Tab supplies", "Tab to buy");
    check("7", SMALL, "Tab compare", "Tab one alone");
    check("7 Tab", SMALL, "Tab one alone", "Tab compare");
}

#[test]
fn a_key_that_does_what_enter_does_gives_its_place_to_another() {
    const SIZE: (u16, u16) = (80, 24);
    check("", SIZE, "Enter rack", "r rack");
    check("j", SIZE, "r rack", "");
    check("", SIZE, "w why", "");
    check("j j j j", SIZE, "Enter open", "o details");
    check("j j j j", SIZE, "d dose", "");
    check("8 Tab", SIZE, "Enter bought", "B bought");
}

#[test]
fn what_if_is_said_where_there_is_room() {
    for words in ["", "w", "4", "4 Tab", "j j j j Enter"] {
        check(words, (120, 40), "v what if", "");
    }
    // A supply is not foreseen by what is done to a wine; its own forecast has a key.
    check("8", (80, 24), "f forecast", "v what if");
    let state = after(cellar::facts(), &keys("8 v"));
    let drawn = picture(&draw(&state, MONO, 120, 40));
    assert!(drawn.contains("v does nothing here"), "{drawn}");
}

#[test]
fn why_on_the_list_of_what_is_to_be_bought_is_about_the_wine_it_is_for() {
    let mut facts = cellar::facts();
    facts.cellar.jobs.push(OpenJob {
        job: Job {
            key: Key(7),
            subject: cellar::CARBOY,
            title: "bottle it".to_owned(),
            due: Due::On(cellar::NOW.plus_days(8).utc_ms),
            verb: String::new(),
        },
        since_ms: cellar::NOW.utc_ms,
    });
    let wanted = to_buy(&facts.cellar, &facts.policy, &facts.reasons);
    let mut short = facts.reasons[0].clone();
    short.kind = ReasonKind::SupplyShort;
    short.subject = wanted[0].need.subject;
    short.sentence = "short of corks".to_owned();
    short.suggestion.values = vec![("substance", wanted[0].need.substance.clone())];
    facts.reasons.push(short);
    let facts = Facts::with_reasons(facts.cellar, facts.policy, facts.reasons);
    let state = after(facts, &keys("8 Tab w"));
    assert_eq!(state.place(), Place::Why);
    let drawn = picture(&draw(&state, MONO, 120, 40));
    assert!(drawn.contains("short of"), "{drawn}");
}

/// A wine whose last readings leave blanks before its next step gives them to a long one.
#[test]
fn the_longest_next_step_of_a_vessel_is_not_cut() {
    let mut facts = cellar::facts();
    let mut reason = facts.reasons[0].clone();
    reason.subject = cellar::CARBOY;
    reason.suggestion.verb = "stabilise";
    facts.reasons = vec![reason];
    let facts = Facts::with_reasons(facts.cellar, facts.policy, facts.reasons);
    let drawn = picture(&draw(&after(facts, &[]), MONO, 80, 24));
    let row = drawn.lines().rfind(|it| it.contains("Carboy A")).unwrap();
    assert!(row.contains("~15 (11–18) ↵ stabilise"), "{drawn}");
}

/// A week after the first vessel was filled.
#[test]
fn the_day_on_which_the_first_round_is_due_is_said() {
    let mut facts = cellar::facts();
    facts.cellar.last_round_ms = None;
    for state in facts.cellar.states.values_mut() {
        if let Holds::Wine(wine) = Arc::make_mut(state) {
            let filled = cellar::NOW.plus_days(-2).utc_ms;
            wine.deeds.insert(Deed::Filled, filled);
        }
    }
    for size in [(80, 24), (120, 40)] {
        let drawn = picture(&draw(&after(facts.clone(), &[]), MONO, size.0, size.1));
        assert!(drawn.contains("first cellar round due 30 Nov"), "{drawn}");
    }
}

#[test]
fn a_blind_tasting_offers_only_what_can_be_done_of_it() {
    const SIZE: (u16, u16) = (60, 16);
    check("7", (80, 24), "b blind", "r reveal");
    let said = footer(&after(cellar::blind(), &keys("7")), SIZE);
    for key in ["a by letter", "r reveal"] {
        assert!(said.contains(key), "{said}");
    }
    assert!(!said.contains("b blind"), "{said}");
}

#[test]
fn a_dose_is_written_by_the_key_that_writes_it() {
    const SIZE: (u16, u16) = (80, 24);
    let much = "2 e 4 . 2 Enter Enter";
    check(much, SIZE, "y yes to what is asked", "Enter write it");
    check(
        "j j j j j 2 Enter",
        SIZE,
        "Enter write it",
        "y yes to what is asked",
    );
    check("Z", SIZE, "Esc back", "Enter take back");
}

#[test]
fn nothing_is_offered_that_an_empty_cellar_cannot_do() {
    let check = |words: &str, not: &str| {
        let said = footer(&after(cellar::empty(), &keys(words)), (80, 24));
        assert!(!said.contains(&format!(" {not}   ")), "{not}: {said}");
        assert!(said.contains("? help"), "{said}");
    };
    for not in ["Enter open", "o details", "w why", "d dose", "v what if"] {
        check("", not);
    }
    check("8", "Enter count");
    check("8", "f forecast");
    let drawn = picture(&draw(&after(cellar::empty(), &keys("5")), MONO, 60, 16));
    assert!(
        drawn.contains("H writes down a wine that is here"),
        "{drawn}"
    );
    assert!(!drawn.contains("takes the marked vessel"), "{drawn}");
}
