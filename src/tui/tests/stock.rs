//! The stock screen.

use crate::cellar::entry::Kind;
use std::sync::Arc;

use super::*;
use crate::cellar::bottling::put_out;
use crate::cellar::entry::{Dose, Draft, SupplyChange, SupplyMove};
use crate::cellar::state::{State as Holds, Stock};
use crate::cellar::thing::{Key, Sort, Thing, Value, field};
use crate::tui::layers::form::Form;

#[test]
fn a_supply_says_what_is_left_and_what_the_work_ahead_takes() {
    check("8", "142 g");
    check("8", "too few uses to say how long it lasts");
    check("8", "for the dose of");
}

#[test]
fn why_says_that_a_supply_needs_nothing_instead_of_opening_an_empty_pane() {
    let facts = cellar::facts();
    let facts = Facts::with_reasons(facts.cellar, facts.policy, Vec::new());
    let state = after(facts, &keys("8 w"));
    assert_eq!(state.place(), Place::Stock);
    let drawn = shown(&state);
    assert!(drawn.contains("needs nothing now"), "{drawn}");
}

#[test]
fn tab_shows_what_is_to_be_bought_and_back() {
    check("8 Tab", "To buy within 2 weeks");
    check("8 Tab Esc", "What there is");
    check("8 Esc", "142 g");
}

#[test]
fn enter_takes_stock_of_the_marked_lot_and_a_key_writes_down_one_bought() {
    for words in ["8 Enter", "8 B", "8 n"] {
        let state = after(cellar::facts(), &keys(words));
        assert_eq!(state.place(), Place::Form, "after {words}");
    }
    check("8 Enter", "Lot 3");
    check("8 Enter", "Found");
}

/// A cellar with so many supplies more.
fn with_supplies(more: i64) -> Facts {
    let mut facts = cellar::facts();
    let first = Arc::clone(&facts.cellar.things[&Key(240)]);
    for at in 0..more {
        let mut lot = Thing::clone(&first);
        lot.key = Key(600 + at);
        let mut set = |field: &str, to: String| {
            lot.attributes.insert(field.to_owned(), Value::Text(to));
        };
        set(field::NAME, format!("Fining {at}"));
        set(field::SUBSTANCE, format!("fining-{at}"));
        facts.cellar.things.insert(lot.key, Arc::new(lot));
    }
    facts
}

#[test]
fn a_small_screen_says_that_there_is_more_of_a_list() {
    let check = |more: i64, words: &str, expected: &str| {
        let state = after(with_supplies(more), &keys(words));
        let drawn = picture(&draw(&state, MONO, 60, 16));
        let sign = drawn.lines().find(|it| it.contains(" more "));
        assert_eq!(sign.map_or("", str::trim), expected, "{drawn}");
    };
    check(3, "8", "");
    check(4, "8", "");
    check(5, "8", "2 more below");
    check(5, "8 j j j j j", "2 more above");
    check(9, "8 j j j j j", "2 more above, 4 below");
}

#[test]
fn the_stock_in_pictures() {
    let state = after(cellar::facts(), &keys("8"));
    for size in [(120, 40), (80, 24), (60, 16)] {
        check_picture("stock", &state, COLOR, size);
    }
    check_picture("stock-ascii", &state, ASCII, (80, 24));
}

const GREEN: Key = Key(600);

/// Forty green bottles, of which two were chipped.
fn with_chipped() -> Facts {
    let mut facts = cellar::facts();
    let known = [
        (field::SUBSTANCE, "bottle".into()),
        (field::UNIT, "count".into()),
        (field::OUT_LAST, Value::Int(2)),
        (field::OUT_BECAUSE, "chipped".into()),
    ];
    let lot = cellar::thing(GREEN, Sort::Supply, "Green", &known);
    facts.cellar.things.insert(GREEN, Arc::new(lot));
    let stock = Stock {
        left: Some(Dose::Count(38)),
        ..Stock::default()
    };
    let state = Holds::Supply(stock).into();
    facts.cellar.states.insert(GREEN, state);
    facts
}

#[test]
fn bottles_out_of_use_are_told_of_their_lot_and_written_anew_as_they_were() {
    let mut state = after(with_chipped(), &keys("8 G"));
    // Two were put out after those that are the last.
    let drafts = [("broken", -1), ("chipped", -2), ("broken", -3)].map(|(because, count)| {
        let mut draft = Draft::new(Kind::StockTake, cellar::NOW);
        draft.set(GREEN, field::OUT_BECAUSE, because);
        draft.supplies.push(SupplyMove {
            lot: GREEN,
            change: SupplyChange::By(Dose::Count(count)),
        });
        draft
    });
    let out = Message::Reply(Reply::PutOut(put_out(&drafts)));
    update(&mut state, out, cellar::NOW);
    let drawn = shown(&state);
    assert!(
        drawn.contains("Put out of use: 4 broken, 2 chipped."),
        "{drawn}"
    );
    let broken = shown(&pressed(after(with_chipped(), &keys("8 G")), &keys("b")));
    for part in ["Empties out", "Green", "How many are out of use."] {
        assert!(broken.contains(part), "{part}\n{broken}");
    }
    let mut told = cellar::entries().remove(0);
    let draft = &mut told.entry.draft;
    *draft = Draft::new(Kind::StockTake, cellar::NOW.plus_days(-1));
    draft.subject = Some(GREEN);
    draft.set(GREEN, field::OUT_LAST, Value::Int(2));
    draft.set(GREEN, field::OUT_BECAUSE, "chipped");
    draft.supplies.push(SupplyMove {
        lot: GREEN,
        change: SupplyChange::By(Dose::Count(-2)),
    });
    let (form, _) = Form::again(&told.entry, &with_chipped()).unwrap();
    state.layers.push(Box::new(form));
    let again = shown(&state);
    for part in ["Empties out", "Green", " 2 ", "chipped"] {
        assert!(again.contains(part), "{part}\n{again}");
    }
}

#[test]
fn lots_of_empties_are_told_apart_by_all_that_is_known_of_them() {
    let mut facts = cellar::facts();
    let mut add = |key: i64, name: &str, state: &str, more: &[(&str, Value)]| {
        let mut known = vec![
            (field::SUBSTANCE, "bottle".into()),
            (field::UNIT, "count".into()),
            (field::SIZE, Value::Int(750)),
            (field::COLOUR, "green".into()),
            (field::CLEANNESS, state.into()),
        ];
        known.extend_from_slice(more);
        let lot = cellar::thing(Key(key), Sort::Supply, name, &known);
        facts.cellar.things.insert(Key(key), Arc::new(lot));
    };
    add(601, "750 mL green", "clean", &[]);
    add(
        602,
        "750 mL green 2",
        "dirty",
        &[(field::FINISH, "crown-26".into())],
    );
    add(603, "From Ada", "clean", &[(field::FINISH, "cork".into())]);
    let state = after(facts, &keys("8"));
    let drawn = picture(&draw(&state, MONO, 120, 40));
    for row in [
        "empty 750 mL green, clean ",
        "empty 750 mL green 2, dirty crown-26",
        "empty From Ada, 750 mL green clean cork",
    ] {
        assert!(drawn.contains(row), "{row}\n{drawn}");
    }
}
