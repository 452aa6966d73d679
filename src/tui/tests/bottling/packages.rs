//! What it is filled into, what closes it, and what is asked of that.

use super::*;

/// Right goes to jugs, bags and kegs; each brings its own size, closure and caution along.
#[test]
fn a_keg_is_filled_by_the_same_keys_and_nobody_speaks_of_corks() {
    let mut session = Session::new();
    session.press("5 Enter Enter Right Right Right");
    session.shows("19000");
    session.shows("lid");
    session.shows("Fill kegs with Solaris 25 from Carboy A.");
    session.press("Enter");
    session.shows("1 keg of 19 L");
    session.shows("try the relief valve");
    session.speaks_of_no("cork");
    session.ticks_off();
    session.shows("Space when a keg is full and closed.");
    session.shows("CO2 fills low rooms");
    session.speaks_of_no("bottle is");
    // The keg takes what there is; that it was filled in part makes it no other size.
    session.press("Space");
    assert_eq!(session.filled(), 1);
    session.shows("to go  0 of 19 L");
    session.shows("All is filled: Enter goes on to the finish.");
    session.press("Backspace");
    assert_eq!(session.filled(), 0);
    session.press("#");
    session.shows("Kegs at once");
    session.shows("So many kegs of 19 L, filled and closed.");
    session.press("Esc s");
    session.shows("9500");
    session.type_in("30000").press("Enter");
    session.shows("A keg of 19 L does not hold 30 L");
    session.press("Esc");
    session.press("Space");
    session.press("Esc 5");
    session.shows("to go  0 of 19 L");
    session.press("Enter Enter");
    session.shows("1 keg: 1 × 18.9 L keg");
    session.shows("It adds up.");
    session.shows("relief valve");
}

/// A session with those corkers, at the bottles' details.
fn with_corkers(names: &[&str]) -> Session {
    let mut session = Session::new();
    for (name, setting) in names.iter().zip(["3", "5"]) {
        let pairs = [("name", *name), ("setting", setting)];
        write(&mut session.store, session.now, "corker", &pairs);
    }
    session.send(Message::Stale);
    session.press("5 Enter Enter");
    session
}

/// The value of an attribute of the run that is being filled, by the book.
fn of_run(session: &Session, name: &str) -> Option<Value> {
    let cellar = session.store.snapshot(session.now).unwrap();
    let run = cellar.filling.unwrap();
    cellar.thing(run).unwrap().attributes.get(name).cloned()
}

#[test]
fn the_corker_is_asked_of_corks_where_there_is_one() {
    let check = |names: &[&str], presses: &str, expected: Option<&str>| {
        let mut session = with_corkers(names);
        session.press(presses).press("Enter");
        let corker = of_run(&session, field::RUN_CORKER);
        let cellar = session.store.snapshot(session.now).unwrap();
        let key = |name: &str| cellar.find(Sort::Corker, name).unwrap().key.0;
        let expected = expected.map(|it| Value::Int(key(it)));
        assert_eq!(corker, expected, "{names:?} {presses}");
    };
    with_corkers(&[]).speaks_of_no("Corker");
    check(&[], "", None);
    // The only one is used; of several nobody said which until arrow or letter does.
    check(&["Bench"], "", Some("Bench"));
    check(&["Bench", "Hand"], "", None);
    check(&["Bench", "Hand"], "Tab Tab Tab Right", Some("Bench"));
    check(&["Bench", "Hand"], "Tab Tab Tab h", Some("Hand"));
    // Chosen, and then no cork is driven.
    check(&["Bench"], "Tab Tab Right", None);
    let mut session = with_corkers(&["Bench", "Hand"]);
    session
        .press("Tab Tab Tab")
        .shows("▌ Corker         not said");
    session.press("h Enter").ticks_off();
    session.press("Space").shows("Hand to 5");
    let small = picture(&draw(&session.state, COLOR, 60, 16));
    let words = "Hand to 5. Two corks first; k once they sit well.";
    assert!(small.contains(words), "{small}");
}

#[test]
fn a_keg_is_asked_its_rating_and_its_pressure_and_stands_no_more() {
    let keg = || {
        let mut session = Session::new();
        session.press("5 Enter Enter Right Right Right");
        session.press("Tab Tab Tab");
        session
    };
    let mut unrated = keg();
    unrated.shows("▌ Rating");
    unrated.press("Tab").type_in("0.8 bar");
    unrated.shows("read it off the keg and give Rating, such as 9 bar,");
    let mut weak = keg();
    weak.type_in("0.5 bar").press("Tab").type_in("0.8 bar");
    weak.shows("0.8 bar is more than the 0.5 bar that the keg is rated for");
    weak.press("Enter");
    assert_eq!(weak.state.facts().cellar.filling, None);
    // Typed for a keg, and not asked of the bottle that was chosen after all.
    let mut bottle = keg();
    bottle.type_in("9 bar").press("Tab").type_in("0.8 bar");
    bottle.press("Up Up Up Up Right");
    bottle.speaks_of_no("Rating");
    bottle.press("Enter");
    assert_eq!(of_run(&bottle, field::RATING), None);
    let mut rated = keg();
    rated.type_in("9 bar").press("Tab").type_in("0.8 bar");
    rated.press("Enter");
    assert_eq!(of_run(&rated, field::RATING), Some(Value::Real(900.0)));
    assert_eq!(of_run(&rated, field::PRESSURE), Some(Value::Real(80.0)));
    // Told back it has its unit, without which it is refused.
    let entries = rated.store.entries(&crate::store::Filter::default());
    let start = entries.unwrap().swap_remove(0).entry;
    let (_, typed) = verbs::again(&start, &rated.state.facts().cellar).unwrap();
    let said = |key| {
        let pair = typed.iter().find(|it| it.0 == key);
        pair.map(|it| it.1.clone())
    };
    assert_eq!(said("rating").as_deref(), Some("900 kPa"));
    assert_eq!(said("pressure").as_deref(), Some("80 kPa"));
    let mut bare = keg();
    bare.type_in("9 bar").press("Tab").type_in("8");
    bare.shows("`8` has no unit");
}
