//! What goes into the book of a dose, and what is asked before it does.

use super::*;

#[test]
fn the_entry_has_dose_sulfite_lot_and_calculation() {
    let mut state = all_at_once(facts(), cellar::CARBOY);
    let (draft, said) = written(&mut state, "Enter");
    let dose = grams(15.0);
    assert_eq!(
        said,
        format!(
            "Add {dose:.2} g of potassium metabisulfite to Carboy A from Lot 3, 100 % strength."
        )
    );
    let [addition] = &draft.additions[..] else {
        panic!("{draft:?}");
    };
    assert_eq!((addition.place, addition.lot), (cellar::CARBOY, Some(LOT)));
    assert_eq!(addition.substance, "potassium-metabisulfite");
    let Some(Dose::Mass(mass)) = addition.dose else {
        panic!("{addition:?}");
    };
    assert!((mass.in_grams() - dose).abs() <= 0.005);
    assert!((addition.so2.in_grams() - mass.in_grams() * 0.5763).abs() < 1e-3);
    let kept: serde_json::Value = serde_json::from_str(&addition.calculation).unwrap();
    assert_eq!(
        (&kept["calc"], &kept["part"]),
        (&"sulfite-dose".into(), &"all".into())
    );
    assert_eq!(kept["version"], env!("CARGO_PKG_VERSION"));
    assert_eq!(kept["inputs"]["free_so2_mg_l"], 15.0);
    let result = kept["results"]["metabisulfite_g"].as_f64().unwrap();
    assert!((result - dose).abs() < 1e-9);
    assert!(draft.jobs.is_empty());
    let reply = Reply::Written {
        entry: Key(900),
        said,
        told: String::new(),
    };
    update(&mut state, Message::Reply(reply), cellar::NOW);
    assert_eq!((state.place(), state.layers.len()), (Place::Board, 0));
}

#[test]
fn half_is_shown_and_written_with_a_test_to_follow_and_all_of_it_by_a_key() {
    let mut state = dosing(facts(), cellar::CARBOY);
    let half = format!("{:.2} g", grams(15.0) / 2.0);
    assert!(weighs(&state).starts_with(&format!("weigh {half} of powder now")));
    check_line(&state, "Half of", &format!("Half of {:.2} g", grams(15.0)));
    let (draft, said) = written(&mut state, "Enter");
    assert!(said.starts_with(&format!("Add {half}")), "{said}");
    let [job] = &draft.jobs[..] else {
        panic!("{draft:?}");
    };
    // What is to come goes with the wine, wherever that is racked to.
    assert_eq!(job.subject, cellar::WHITE);
    assert_eq!(job.title, "test free SO2, then give the rest");
    assert_eq!(job.due, Due::On(cellar::NOW.plus_days(3).utc_ms));
    let mut all = all_at_once(facts(), cellar::CARBOY);
    check_line(&all, "Better half now", &half);
    assert!(written(&mut all, "Enter").0.jobs.is_empty());
}

#[test]
fn a_fermenting_wine_says_so_before_any_number_and_enter_alone_does_not_write() {
    // With a pH, without one, and by the rule of thumb: it is never dosed unasked.
    for words in ["e 3 . 5 Enter", "", "f"] {
        let mut state = dosing(facts(), BUCKET);
        press(&mut state, words);
        let drawn = shown(&state);
        let says = drawn.find("The wine is fermenting").unwrap();
        assert!(says < drawn.find("Not now").unwrap(), "{drawn}");
        assert!(!drawn.contains("█▀█") && !drawn.contains("██"), "{drawn}");
        assert!(press(&mut state, "Enter").is_empty());
        assert!(shown(&state).contains("Add sulfite to a fermenting wine all the same?"));
        assert!(press(&mut state, "Enter").is_empty());
        let asked = press(&mut state, "y");
        assert!(
            matches!(&asked[..], [Effect::Write { .. }]),
            "{words}: {asked:?}"
        );
    }
}

#[test]
fn much_at_once_is_asked_first() {
    let mut state = dosing(facts(), cellar::CARBOY);
    press(&mut state, "e Down Down Down");
    type_in(&mut state, "4.2");
    press(&mut state, "Enter Enter");
    assert!(shown(&state).contains("mg/L at once?"));
    assert!(press(&mut state, "Enter").is_empty());
    press(&mut state, "Esc");
    assert_eq!(state.place(), Place::Dosing);
}

#[test]
fn what_is_asked_is_asked_of_what_goes_in_now() {
    let asks = |state: &mut State| {
        press(state, "Enter");
        shown(state).contains("mg/L at once?")
    };
    // At pH 3.8 64 mg/L free are missing, of an addition that 0.67 stays free of: all is more than 50 at once, and half is not.
    let added = (0.8 * (1.0 + 10f64.powf(3.8 - 1.81)) - 15.0) / 0.67;
    assert!(added > 50.0 && added < 100.0, "{added}");
    let mut state = dosing(facts(), cellar::CARBOY);
    press(&mut state, "e Down Down Down");
    type_in(&mut state, "3.8");
    press(&mut state, "Enter");
    assert!(!asks(&mut state), "{}", shown(&state));
    press(&mut state, "Esc h");
    assert!(asks(&mut state), "{}", shown(&state));
}

#[test]
fn without_a_ph_the_rule_of_thumb_stands_in_and_can_be_written() {
    let mut state = dosing(facts(), cellar::DEMIJOHN);
    let drawn = shown(&state);
    assert!(drawn.contains("Its pH was never measured"), "{drawn}");
    assert!(drawn.contains("mg/L molecular, 0.8 is wanted"));
    check_line(&state, "pH", "? never measured");
    press(&mut state, "f");
    assert!(shown(&state).contains("sulfite-by-spoon"));
    press(&mut state, "f");
    let asked = press(&mut state, "Enter Enter").pop();
    let Some(Effect::Write { draft, said, .. }) = asked else {
        panic!("{asked:?}");
    };
    // A quarter teaspoon, 1.5 g, to five US gallons: 0.06 tsp for 4.6 L is no spoon, so by weight.
    let Some(Dose::Mass(mass)) = draft.additions[0].dose else {
        panic!("{draft:?}");
    };
    assert!(
        (mass.in_grams() - 1.5 * 4.6 / 18.927).abs() < 0.006,
        "{said}"
    );
}
