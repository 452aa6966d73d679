//! What a sheet for a vessel begins with, by what the book has of its wine and of what is given.

use super::*;

#[test]
fn what_is_known_is_filled_in_and_says_where_it_comes_from() {
    let mut state = dosing(facts(), cellar::CARBOY);
    press(&mut state, "a");
    check_line(&state, "Volume", "Volume 22.7 L = by the book");
    check_line(&state, "pH", "pH 3.31 = measured 74 days ago");
    // 18·e^(−0.004·41) is 15.3: the reading run down under an airlock.
    check_line(&state, "Free SO2 now", "15 mg/L ~");
    check_line(&state, "Free SO2 now", "was 18, 41 days ago");
    check_line(&state, "Part bound", "0.33 ~ usual; 0.25–0.5");
    check_line(&state, "Scale step", "0.01 g = your scale");
    check_line(&state, "From lot", "Lot 3 =");
    // Nobody measured that the ferment is over, so that is said with a sign of doubt.
    check_line(
        &state,
        "~ finished",
        "ageing; not measured · 0 mg/L sulfite added so far",
    );
}

#[test]
fn tablets_are_counted_and_bring_what_their_lot_says() {
    let mut facts = facts();
    let own = facts.cellar.things.get_mut(&CELLAR).unwrap();
    for (tool, step) in [(field::SCALE, 5.0), (field::SYRINGE, 10.0)] {
        Arc::make_mut(own)
            .attributes
            .insert(tool.to_owned(), Value::Real(step));
    }
    let jar = cellar::thing(
        Key(241),
        Sort::Supply,
        "Jar of tablets",
        &[
            (field::SUBSTANCE, "sulfite-tablet".into()),
            (field::UNIT, "millitablet".into()),
            (field::TABLET_SO2, Value::Real(94.0)),
        ],
    );
    facts.cellar.things.insert(jar.key, Arc::new(jar));
    let mut state = all_at_once(facts, cellar::CARBOY);
    check_line(&state, "A tablet, SO2", "94 mg = Jar of tablets");
    // 377 mg of SO2 are missing: four tablets of 94 mg.
    assert!((grams(15.0) * 576.3 / 94.0 - 4.0).abs() < 0.5);
    let (draft, said) = written(&mut state, "Enter");
    assert_eq!(
        said,
        "Add 4 tablets of sulfite to Carboy A from Jar of tablets."
    );
    let [addition] = &draft.additions[..] else {
        panic!("{draft:?}");
    };
    assert_eq!(addition.substance, "sulfite-tablet");
    assert_eq!(addition.dose, Some(Dose::Tablets(4000)));
    assert_eq!(addition.lot, Some(Key(241)));
    assert!((addition.so2.in_grams() - 4.0 * 0.094).abs() < 1e-6);
}

#[test]
fn a_volume_in_gallons_is_read_back_as_it_is_shown() {
    let mut facts = facts();
    let own = facts.cellar.things.get_mut(&CELLAR).unwrap();
    for (name, word) in [(field::GALLON, "us"), (field::MEASURES, "us")] {
        Arc::make_mut(own)
            .attributes
            .insert(name.to_owned(), word.into());
    }
    let state = all_at_once(facts, cellar::CARBOY);
    // 22.7 L / 3.785411784 L
    check_line(&state, "Volume", "6.00 US gal = by the book");
    assert!(weighs(&state).starts_with(&format!("weigh {:.2} g", grams(15.0))));
}

#[test]
fn a_reading_older_than_the_policy_trusts_is_marked_old() {
    let mut facts = facts();
    facts.policy.reading_days = 40.0;
    let state = dosing(facts, cellar::CARBOY);
    check_line(&state, "pH", "3.31 old measured 74 days ago");
    check_line(&state, "Free SO2 now", "15 mg/L old");
}

#[test]
fn what_a_wine_had_before_the_book_is_not_taken_as_nothing() {
    let mut facts = facts();
    let wine = held(&mut facts);
    wine.deeds.insert(Deed::BeforeBook, 0);
    let before = dosing(facts.clone(), cellar::CARBOY);
    check_line(&before, "SO2 added so far", "? not known before the book");
    check_line(&before, "~ finished", "sulfite not known");
    let wine = held(&mut facts);
    // 22.7 L at 20 mg/L.
    wine.so2_added = crate::cellar::amount::Mass::grams(0.454);
    let since = dosing(facts, cellar::CARBOY);
    check_line(
        &since,
        "SO2 added so far",
        "20 mg/L ~ at least 20 mg/L since the must",
    );
    check_line(
        &since,
        "~ finished",
        "at least 20 mg/L sulfite added so far",
    );
}

#[test]
fn sulfite_that_nobody_tested_since_makes_the_dose_a_most() {
    let mut facts = facts();
    let then = facts.cellar.now.plus_days(-23).utc_ms;
    let wine = held(&mut facts);
    wine.known.remove(&crate::cellar::entry::Property::FreeSo2);
    wine.so2.clear();
    wine.deeds.insert(Deed::Sulfited, then);
    let mut untested = dosing(facts.clone(), cellar::CARBOY);
    check_line(
        &untested,
        "? Free SO2 is not known",
        "since the must, last on",
    );
    check_line(&untested, "at most", "g of powder");
    check_line(&untested, "Free SO2 now", "? ");
    press(&mut untested, "Enter");
    let asked = shown(&untested);
    assert!(asked.contains("Give it without a test?"), "{asked}");
    let wine = held(&mut facts);
    wine.deeds.insert(Deed::Unweighed, then);
    wine.deeds.insert(Deed::UnweighedUntested, then);
    let packet = dosing(facts, cellar::CARBOY);
    check_line(
        &packet,
        "? Free SO2 is not known",
        "unknown weight given on",
    );
}

/// 30 mg/L of yesterday are still being bound; of them 20 are taken to be free.
#[test]
fn right_after_a_dose_nothing_is_given_and_what_went_in_is_counted() {
    let mut facts = facts();
    let then = facts.cellar.now.plus_days(-1).utc_ms;
    let wine = held(&mut facts);
    wine.known.remove(&crate::cellar::entry::Property::FreeSo2);
    wine.so2 = vec![crate::cellar::state::So2Event {
        at_ms: then,
        what: crate::cellar::state::So2Change::Added(30_000, 0),
    }];
    wine.deeds.insert(Deed::Sulfited, then);
    let state = dosing(facts, cellar::CARBOY);
    check_line(&state, "! Nothing now", "30 mg/L of SO2 went in yesterday");
    check_line(&state, "Not now. It would be", "of powder");
    check_line(&state, "Free SO2 now", "20 mg/L ? 30 mg/L given yesterday");
}

#[test]
fn a_test_that_found_nothing_is_shown_as_read_and_taken_as_a_band() {
    let mut facts = facts();
    let now = facts.cellar.now.utc_ms;
    let wine = held(&mut facts);
    let found = crate::cellar::state::Known {
        at_ms: now,
        found: crate::cellar::entry::Found::Below(10.0),
        estimated: false,
    };
    wine.so2 = vec![crate::cellar::state::So2Event {
        at_ms: now,
        what: crate::cellar::state::So2Change::Tested(found.found.clone()),
    }];
    wine.known
        .insert(crate::cellar::entry::Property::FreeSo2, found);
    wine.so2_since_reading = crate::cellar::amount::Mass::ZERO;
    let state = dosing(facts, cellar::CARBOY);
    check_line(&state, "Free SO2 now", "read <10, today; taken as 0–10");
}

#[test]
fn opened_powder_is_taken_as_weaker() {
    let mut facts = facts();
    let lot = facts.cellar.things.get_mut(&LOT).unwrap();
    let year_ago = cellar::NOW.plus_days(-365).utc_ms;
    Arc::make_mut(lot)
        .attributes
        .insert(field::OPENED.to_owned(), Value::Int(year_ago));
    // 10–20 % a year is said to be lost (from memory): 85 % are left.
    check_line(
        &dosing(facts, cellar::CARBOY),
        "Strength left",
        "85 % ~ opened 12 months ago",
    );
}

#[test]
fn nothing_filled_in_from_the_book_is_refused_by_any_calculator() {
    for calculator in leesline_calc::registry::CALCULATORS {
        for vessel in [cellar::DEMIJOHN, cellar::CARBOY, BUCKET] {
            let call = Call {
                about: Some(vessel),
                name: calculator.name.to_owned(),
                ..Call::default()
            };
            let state = called(facts(), &call);
            let drawn = shown(&state);
            // A refusal quotes what it refuses; what is merely missing is not quoted.
            assert!(!drawn.contains('`'), "{}\n{drawn}", calculator.name);
        }
    }
}

#[test]
fn an_empty_vessel_is_not_dosed_and_no_other_is_taken_for_it() {
    let state = after(facts(), &keys("j j j j j j j j j d"));
    let drawn = shown(&state);
    assert!(
        drawn.contains("is empty") && drawn.contains("no vessel"),
        "{drawn}"
    );
}
