//! The bottles: racks drawn as they are, what the keys take out of a slot, and what is found by words.

use std::sync::Arc;

use super::cellar::{self, NOW};
use super::{ASCII, COLOR, MONO, after, check_picture, draw, keys, picture, pressed, shown};
use crate::cellar::entry::{BottleMove, Draft, Found, Kept, Kind, Posture, Property, Spot};
use crate::cellar::state::{BottleLot, Known, State as Holds, Wine};
use crate::cellar::thing::{Account, Key, Sort, Value, field};
use crate::tui::commands::Place;
use crate::tui::layers::form::Form;
use crate::tui::message::Facts;
use crate::tui::state::State;

const PLUM: Key = Key(250);
const SOLARIS: Key = Key(251);

fn lot(at: &str, count: i64, size_ml: i64, reserved: &str) -> BottleLot {
    BottleLot {
        size_ml,
        posture: Posture::Lying,
        at: at.to_owned(),
        reserved: reserved.to_owned(),
        found: String::new(),
        count,
    }
}

/// A rack under the stairs, four bins and a case; two runs in them, and one that stands on a shelf.
pub(super) fn facts() -> Facts {
    let facts = cellar::facts();
    let mut cellar = facts.cellar;
    let mut add = |key: i64, sort, name: &str, known: &[(&str, Value)]| {
        let thing = cellar::thing(Key(key), sort, name, known);
        cellar.things.insert(Key(key), Arc::new(thing));
    };
    let shape = |kind: &str, columns: &str, holds: i64| {
        [
            (field::KIND, kind.into()),
            (field::COLUMNS, columns.into()),
            (field::ROOM_FOR, Value::Int(holds)),
        ]
    };
    add(260, Sort::Rack, "Stair rack", &shape("grid", "8,7,5", 1));
    add(261, Sort::Rack, "Bins", &shape("bins", "2,2", 12));
    add(262, Sort::Rack, "Case 1", &shape("case", "1", 6));
    add(
        270,
        Sort::Batch,
        "Plum 25",
        &[
            (field::WINE, "fruit".into()),
            (field::VINTAGE, Value::Int(2025)),
        ],
    );
    add(
        271,
        Sort::Batch,
        "Solaris 24",
        &[(field::WINE, "white".into())],
    );
    add(
        PLUM.0,
        Sort::Run,
        "Plum 25",
        &[
            (field::RUN_MARK, "P5".into()),
            (field::COLOUR, "green".into()),
        ],
    );
    add(
        SOLARIS.0,
        Sort::Run,
        "Solaris 24",
        &[(field::REST_UNTIL, Value::Int(NOW.plus_days(12).utc_ms))],
    );
    let mut fill = |run, batch: i64, bottles: Vec<BottleLot>| {
        let nominal: i64 = bottles.iter().map(|it| it.count * it.size_ml).sum();
        let mut wine = cellar::wine(Key(batch), nominal as f64 / 1e3, 500);
        wine.bottles = bottles;
        let wine: Wine = wine;
        cellar.states.insert(run, Holds::from(wine).into());
    };
    fill(
        PLUM,
        270,
        vec![
            lot("Stair rack/A1", 1, 750, ""),
            lot("Stair rack/A2", 1, 750, ""),
            lot("Stair rack/A3", 1, 750, "midwinter"),
            lot("Stair rack/C5", 1, 375, ""),
            lot("Bins/A1", 7, 750, ""),
            lot("Bins/B2", 3, 750, "the show"),
            lot("Bins", 2, 750, ""),
        ],
    );
    fill(
        SOLARIS,
        271,
        vec![
            lot("Stair rack/B1", 1, 750, ""),
            lot("Stair rack/B7", 1, 750, "midwinter"),
            lot("Bins/A1", 2, 750, ""),
            lot("Case 1", 6, 750, ""),
        ],
    );
    Facts::with_reasons(cellar, facts.policy, facts.reasons)
}

fn bottles(words: &str) -> State {
    after(facts(), &keys(&format!("6 {words}")))
}

/// A rack as large as one can be, with names that break rows, more bottles than anyone has, and two
/// in a slot for one.
fn hostile() -> Facts {
    let facts = cellar::hostile();
    let mut cellar = facts.cellar;
    let name = "日本酒日本酒 e\u{301}te\u{301} a\u{200b}b";
    let shape = [
        (field::COLUMNS, ["99"; 26].join(",").as_str().into()),
        (field::KIND, "grid".into()),
    ];
    let bins = [
        (field::COLUMNS, "1,30".into()),
        (field::ROOM_FOR, Value::Int(1_000_000)),
    ];
    for (key, name, known) in [(260, name, &shape), (261, "x", &bins)] {
        let thing = cellar::thing(Key(key), Sort::Rack, name, known);
        cellar.things.insert(Key(key), Arc::new(thing));
    }
    let known = [(field::RUN_MARK, "本\u{301}".into())];
    let run = cellar::thing(PLUM, Sort::Run, name, &known);
    cellar.things.insert(PLUM, Arc::new(run));
    let mut wine = cellar::wine(Key(220), 1.0, 5);
    wine.bottles = vec![
        lot(&format!("{name}/A1"), 2, 750, name),
        lot(&format!("{name}/Z99"), i64::from(i32::MAX), 60_000, ""),
        lot("x/B30", 999_999, 1, ""),
        lot("x/Q9", 1, 750, ""),
        lot(name, 3, 750, ""),
    ];
    cellar.states.insert(PLUM, Holds::from(wine).into());
    Facts::with_reasons(cellar, facts.policy, facts.reasons)
}

pub(super) fn states() -> Vec<(&'static str, State)> {
    vec![
        ("bottles", bottles("")),
        ("racks", bottles("Tab Right Down")),
        ("bottles, finding", bottles("/ p l u m")),
        ("bottles, nothing found", bottles("/ q q Enter")),
        ("bottles, no rack", after(cellar::facts(), &keys("6"))),
        ("bottles, none", after(cellar::empty(), &keys("6"))),
        ("hostile, bottles", after(hostile(), &keys("6"))),
        ("hostile, racks", after(hostile(), &keys("6 Tab G"))),
        ("hostile, bins", after(hostile(), &keys("6 Tab PageDown G"))),
    ]
}

fn check(words: &str, expected: &str) {
    let drawn = shown(&bottles(words));
    assert!(drawn.contains(expected), "after {words}\n{drawn}");
}

#[test]
fn a_slot_says_what_lies_in_it() {
    check("Tab", "Stair rack/A1: Plum 25, 750 mL.");
    check(
        "Tab Right Right",
        "Stair rack/A3: Plum 25, 750 mL, kept for midwinter.",
    );
    check("Tab Down Right", "Stair rack/B2: free.");
    // The lower rows under the stairs are shorter: the nearest slot is marked.
    check("Tab G", "Stair rack/C5: Plum 25, 375 mL.");
    check(
        "Tab PageDown",
        "Bins/A1: 7 × Plum 25, 750 mL; 2 × Solaris 24, 750 mL.",
    );
    check("Tab G Down", "Bins/A2: free.");
    check("Tab PageDown PageDown", "Case 1: 6 × Solaris 24, 750 mL.");
}

#[test]
fn kept_bottles_and_free_slots_are_told_by_their_shape() {
    let state = bottles("");
    for theme in [COLOR, MONO] {
        let drawn = picture(&draw(&state, theme, 120, 40));
        assert!(drawn.contains("(P5)(P5)[P5] ··  ·· "), "{drawn}");
        assert!(
            drawn.contains("(P5   7/12)") || drawn.contains("(++   9/12)"),
            "{drawn}"
        );
        assert!(drawn.contains("[P5   3/12]"), "{drawn}");
    }
}

#[test]
fn a_bottle_nobody_can_name_is_found_by_its_looks_and_what_is_not_known_rules_nothing_out() {
    let find = |word: &str| {
        let letters: Vec<String> = word.chars().map(|it| it.to_string()).collect();
        format!("/ {}", letters.join(" "))
    };
    check(&find("green"), "Solaris 24");
    check(&find("green"), "colour not known");
    check(&find("green"), "Nothing known tells them apart");
    check(&find("green"), "Allergens: unknown");
    check(&find("brown"), "No bottles; 39 more it may be of");
    // A name is no clue to its looks.
    let drawn = shown(&bottles(&find("plum")));
    assert!(
        !drawn.contains("not known") && !drawn.contains("Solaris 24 "),
        "{drawn}"
    );
}

/// What closes a bottle finds it, in the words of the list or of the book.
#[test]
fn a_closure_and_a_shape_are_sought_and_the_palette_leads_there() {
    let mut facts = facts();
    let mut cellar = facts.cellar.clone();
    let plum = Arc::make_mut(cellar.things.get_mut(&PLUM).unwrap());
    for (name, word) in [(field::CLOSURE, "crown-26"), (field::SHAPE, "slim")] {
        plum.attributes.insert(name.to_owned(), word.into());
    }
    let solaris = Arc::make_mut(cellar.things.get_mut(&SOLARIS).unwrap());
    for (name, word) in [(field::CLOSURE, "cork"), (field::SHAPE, "square")] {
        solaris.attributes.insert(name.to_owned(), word.into());
    }
    facts = Facts::with_reasons(cellar, facts.policy, facts.reasons);
    for word in ["crown", "slim", "mm crown", "26"] {
        let letters: Vec<String> = word.chars().map(|it| it.to_string()).collect();
        let letters = letters.join(" ").replace("   ", " Space ");
        let which = format!(": w h i c h Enter {letters}");
        let drawn = shown(&after(facts.clone(), &keys(&which)));
        assert!(drawn.contains("Plum 25"), "{word}\n{drawn}");
        assert!(!drawn.contains("Solaris 24 "), "{word}\n{drawn}");
    }
}

/// A white that is there since March 2025, and is to be drunk by a day that was written down.
#[test]
fn why_tells_how_a_window_came_about_and_its_form_shows_what_holds() {
    let facts = facts();
    let mut cellar = facts.cellar.clone();
    let solaris = Arc::make_mut(cellar.things.get_mut(&SOLARIS).unwrap());
    let known = [
        (field::SINCE_WORDS, Value::from("2025-03-01")),
        (field::WINDOW_CLOSES, Value::Int(NOW.plus_days(40).utc_ms)),
    ];
    for (name, value) in known {
        solaris.attributes.insert(name.to_owned(), value);
    }
    let facts = Facts::with_reasons(cellar, facts.policy, Vec::new());
    let check = |words: &str, expected: &[&str]| {
        let drawn = shown(&after(facts.clone(), &keys(words)));
        for part in expected {
            assert!(drawn.contains(part), "{part} after {words}\n{drawn}");
        }
    };
    let closes = NOW.plus_days(40).day_words();
    let written = format!("That it closes on {closes} was written");
    let why = [
        "When to drink it",
        "Filled 1 Mar 2025",
        "house estimate",
        &written,
    ];
    check("6 j j w", &why);
    check("6 j j Enter w", &why);
    check(
        "6 j j : w i n d o w Enter",
        &["Solaris 24", "As it stands: ", &format!("to {closes}")],
    );
    check("6 w", &["Why Plum 25", "Of the harvest of 2025"]);
}

fn check_form(words: &str, expected: &[&str]) {
    let state = bottles(words);
    assert_eq!(state.place(), Place::Form, "after {words}");
    let drawn = shown(&state);
    for part in expected {
        assert!(drawn.contains(part), "{part} after {words}\n{drawn}");
    }
}

#[test]
fn a_key_takes_the_bottle_out_of_the_marked_slot_or_puts_some_into_a_free_one() {
    check_form("Tab o", &["Plum 25", "Stair rack/A1", "Open 1 of Plum 25."]);
    check_form("Tab Down v", &["Solaris 24", "Stair rack/B1"]);
    check_form("Tab Down Right m", &["Stair rack/B2"]);
    check_form("o", &["Plum 25", "Open 1 of Plum 25."]);
    check_form("n", &["Columns"]);
    check_form("Tab PageDown e", &["Rack", "Bins", "New name", "Largest"]);
    check_form("e", &["Which rack.", "→ Stair rack  Bins  Case 1"]);
}

#[test]
fn a_look_is_written_only_after_what_was_seen_was_picked() {
    let look = "Tab : l o o k Enter";
    check_form(look, &["Look", "Plum 25"]);
    check_form(
        &format!("{look} Enter Enter"),
        &["What was seen? Give Corks or caps level"],
    );
    check_form(
        &format!("{look} Right"),
        &["Look at 1 of Plum 25 in Stair rack/A1: corks level."],
    );
}

fn check_again(kind: Kind, from: Spot, to: Spot, note: &str, expected: &[&str]) {
    let mut told = cellar::entries().remove(0);
    let draft = &mut told.entry.draft;
    *draft = Draft::new(kind, NOW.plus_days(-1));
    draft.bottles.push(BottleMove {
        run: PLUM,
        size_ml: 750,
        count: 2,
        from,
        to,
        about: false,
    });
    note.clone_into(&mut draft.note);
    let (form, _) = Form::again(&told.entry, &facts()).unwrap();
    let mut state = bottles("");
    state.layers.push(Box::new(form));
    let drawn = shown(&state);
    for part in expected {
        assert!(drawn.contains(part), "{part} of {kind:?}\n{drawn}");
    }
}

#[test]
fn an_entry_about_bottles_is_written_anew_with_what_it_says() {
    let kept = |at: &str, reserved: &str| {
        Spot::Kept(Kept {
            reserved: reserved.to_owned(),
            ..Kept::at(Posture::Lying, at)
        })
    };
    let given = Spot::Outside(Account::Given.key());
    check_again(
        Kind::Give,
        kept("Bins/A1", ""),
        given.clone(),
        "to Ines; her birthday",
        &["Give", "Plum 25", "Bins/A1", " Ines ", " her birthday "],
    );
    check_again(
        Kind::Move,
        kept("Bins/A1", ""),
        kept("pantry", ""),
        "",
        &["Shift", "Plum 25", "pantry", "Bins/A1"],
    );
    check_again(
        Kind::Reserve,
        kept("Bins/B2", "the show"),
        kept("Bins/B2", ""),
        "",
        &["Release", "Plum 25"],
    );
    check_again(
        Kind::Back,
        given,
        kept("pantry", ""),
        "from Ines",
        &["Back", " Ines ", "yes", "pantry"],
    );
}

#[test]
fn enter_opens_the_run_of_a_slot() {
    let state = bottles("Tab Down Enter");
    assert_eq!(state.place(), Place::Detail);
    assert!(shown(&state).contains("Solaris 24"));
    check("Tab Down Right Enter", "Nothing lies there");
}

#[test]
fn words_find_bottles_by_name_mark_year_size_place_colour_and_whom_they_are_kept_for() {
    let check = |words: &str, expected: &str| {
        let typed: Vec<String> = words
            .chars()
            .map(|it| {
                if it == ' ' {
                    "Space".to_owned()
                } else {
                    it.to_string()
                }
            })
            .collect();
        check(&format!("/ {} Enter", typed.join(" ")), expected);
    };
    check("plum", "16 bottles: 12 to drink, 4 kept");
    check("p5", "16 bottles: 12 to drink, 4 kept");
    check("2025 375", "1 bottle: 1 to drink");
    check("midwinter", "2 bottles: 2 kept");
    check("kept show", "3 bottles: 3 kept");
    check("case", "6 bottles: 6 resting");
    check("green stair", "4 bottles: 3 to drink, 1 kept");
    check("standing", "29 bottles: 29 to drink");
    check("attic", "No bottle of any run fits these words.");
}

#[test]
fn esc_steps_back_from_words_racks_and_screen_in_turn() {
    let state = bottles("Tab / p Enter");
    assert_eq!(state.place(), Place::Bottles);
    let state = pressed(state, &keys("Esc"));
    assert!(!shown(&state).contains("find p"));
    let state = pressed(state, &keys("Esc"));
    assert_eq!(state.place(), Place::Bottles);
    assert_eq!(pressed(state, &keys("Esc")).place(), Place::Board);
}

#[test]
fn a_small_screen_has_the_runs_alone_and_tab_shows_the_racks() {
    for (width, height) in [(80, 24), (60, 16)] {
        let drawn = picture(&draw(&bottles(""), COLOR, width, height));
        assert!(
            drawn.contains("Plum 25") && !drawn.contains("(P5)"),
            "{drawn}"
        );
        let drawn = picture(&draw(&bottles("Tab"), COLOR, width, height));
        assert!(drawn.contains("(P5)"), "{drawn}");
    }
}

#[test]
fn the_bottles_in_pictures() {
    let state = bottles("");
    for size in [(120, 40), (80, 24), (60, 16)] {
        check_picture("bottles", &state, COLOR, size);
    }
    let state = bottles("Tab Right Down");
    for size in [(120, 40), (80, 24), (60, 16)] {
        check_picture("racks", &state, COLOR, size);
    }
    check_picture("racks-mono", &state, MONO, (120, 40));
    check_picture("racks-ascii", &state, ASCII, (80, 24));
}

/// What to mind comes before the form of a look: someone can be hurt.
#[test]
fn enter_on_a_rising_cork_opens_what_to_do_before_any_form() {
    let mut rising = facts();
    let known = Known {
        at_ms: NOW.utc_ms,
        found: Found::Word("rising".to_owned()),
        estimated: false,
    };
    let all = Arc::make_mut(rising.cellar.states.get_mut(&PLUM).unwrap());
    let Holds::Wine(all) = all else {
        panic!("no bottles");
    };
    all.known.insert(Property::Corks, known);
    let facts = || Facts::of(rising.cellar.clone(), rising.policy.clone(), None);
    for words in ["Enter", "!"] {
        let state = after(facts(), &keys(words));
        let drawn = shown(&state);
        assert_eq!(state.place(), Place::TroubleText, "{words}: {drawn}");
        assert!(drawn.contains("Goggles, gloves and a towel on."), "{drawn}");
    }
}
