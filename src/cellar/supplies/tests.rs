use super::*;
use crate::cellar::amount::Mass;
use crate::cellar::attention::attention;
use crate::cellar::attention::trial::{Cellar, POWDER, days_ago, policy};
use crate::cellar::entry::Property;
use crate::cellar::state::{State, Stock};
use crate::cellar::thing::{Key, Value};

/// Powder opened so long ago, taken from so often; what is said of it.
fn said(grams: f64, opened_days_ago: i64, draws: &[(i64, f64)]) -> (String, String) {
    let mut cellar = Cellar::with_vessel(23.0, 20.0);
    cellar.powder(grams);
    let opened = Value::Int(days_ago(opened_days_ago));
    cellar.set(POWDER, field::OPENED, opened.clone());
    cellar.set(POWDER, field::BOUGHT, opened);
    let draw = |&(days, grams): &(i64, f64)| Draw {
        at_ms: days_ago(days),
        amount: (grams * 1e6) as i64,
        into_wine: true,
    };
    let stock = Stock {
        left: cellar.0.stock(POWDER).and_then(|it| it.left),
        draws: draws.iter().map(draw).collect(),
        ..Stock::default()
    };
    cellar.0.states.insert(POWDER, State::Supply(stock).into());
    let reasons = attention(&cellar.0, &policy());
    let all = supplies(&cellar.0, &policy(), &reasons);
    let glance = sulfite(&cellar.0, &policy()).unwrap();
    (all[0].lasting(), glance.words())
}

fn check(grams: f64, opened_days_ago: i64, draws: &[(i64, f64)], lasts: &str, glance: &str) {
    let (lasting, words) = said(grams, opened_days_ago, draws);
    assert_eq!((lasting.as_str(), words.as_str()), (lasts, glance));
}

#[test]
fn sulfite_says_how_strong_it_is_and_for_how_many_doses_it_lasts() {
    // A year loses 15 %; 20 L at 0.05 g/L are a gram a dose while there are too few of one's own.
    check(
        50.0,
        365,
        &[],
        "too few uses to say how long it lasts",
        "sulfite 50 g, about 85 % strong, doses all wine here 50 times",
    );
    // Past two years nothing is known of its strength.
    check(
        50.0,
        800,
        &[],
        "too few uses to say how long it lasts",
        "sulfite 50 g, strength not known, doses all wine here 50 times",
    );
    // Two doses are no pace.
    let draws = [(190, 1.0), (150, 2.0)];
    let (_, words) = said(50.0, 365, &draws);
    assert_eq!(
        words,
        "sulfite 50 g, about 85 % strong, doses all wine here 50 times"
    );
    // 8 g in 200 days; 8 g last 200 days more, and 2 g is the middle dose.
    let draws = [(190, 1.0), (150, 2.0), (100, 3.0), (40, 2.0)];
    let (lasting, words) = said(8.0, 200, &draws);
    assert_eq!(
        words,
        "sulfite 8 g, about 91 % strong, 4 more doses like yours"
    );
    assert!(
        lasting.starts_with("runs out about Jun 2027 ("),
        "{lasting}"
    );
}

#[test]
fn more_than_a_lifetime_is_not_dated() {
    let draws = [(190, 0.1), (150, 0.1), (100, 0.1)];
    check(
        100.0,
        200,
        &draws,
        "enough for more than ten years; too weak from about May 2028, since open powder loses 10–20 % a year",
        "sulfite 100 g, about 91 % strong, 1000 more doses like yours",
    );
}

#[test]
fn powder_that_outlasts_its_strength_says_so() {
    // 15 g in 200 days: 100 g would last for 1,333, and of an open powder nothing is known past 730.
    let lasting = |opened: i64| said(100.0, opened, &[(190, 4.0), (150, 5.0), (100, 6.0)]).0;
    let outlasts = lasting(200);
    assert!(
        outlasts.starts_with("runs out about ")
            && outlasts.contains("; too weak from about May 2028"),
        "{outlasts}"
    );
    let past = lasting(800);
    assert!(past.contains("; too weak by now"), "{past}");
}

#[test]
fn what_doses_take_is_planned_and_the_rest_remains() {
    let planned = |grams: f64| {
        let mut cellar = Cellar::with_vessel(23.0, 20.0);
        cellar.finished().powder(grams);
        cellar.knows(Property::Ph, 3.3, 5);
        cellar.knows(Property::FreeSo2, 5.0, 5);
        let reasons = attention(&cellar.0, &policy());
        let all = supplies(&cellar.0, &policy(), &reasons);
        let needs: Vec<String> = all[0]
            .needs
            .iter()
            .map(|it| it.for_what(&cellar.0))
            .collect();
        assert_eq!(
            needs,
            [format!(
                "the dose of {}",
                cellar.0.name(all[0].needs[0].subject)
            )]
        );
        let (left, planned) = (all[0].left.unwrap(), all[0].planned().unwrap());
        let remains = all[0].remains().unwrap();
        assert_eq!(remains.amount(), left.amount() - planned.amount());
        all[0].is_short()
    };
    assert!(!planned(50.0));
    assert!(planned(0.5));
}

// Three doses of 2 g: 8 g left are four, whatever went into sanitizer meanwhile.
#[test]
fn sanitizer_is_no_dose() {
    let draw = |days: i64, grams: i64, into_wine: bool| Draw {
        at_ms: days_ago(days),
        amount: grams * 1_000_000,
        into_wine,
    };
    let all = [
        draw(190, 2, true),
        draw(150, 6, false),
        draw(100, 2, true),
        draw(40, 2, true),
    ];
    let now = Moment {
        utc_ms: days_ago(0),
        offset_min: 0,
    };
    let pace = Pace::of(&all, days_ago(200), now).unwrap();
    assert_eq!((pace.dose, pace.uses), (Some(2e6), 4));
    let mut cellar = Cellar::with_vessel(23.0, 20.0);
    cellar.powder(8.0);
    cellar.set(POWDER, field::BOUGHT, Value::Int(days_ago(200)));
    let stock = Stock {
        left: cellar.0.stock(POWDER).and_then(|it| it.left),
        draws: all.to_vec(),
        ..Stock::default()
    };
    cellar.0.states.insert(POWDER, State::Supply(stock).into());
    let glance = sulfite(&cellar.0, &policy()).unwrap();
    assert_eq!(glance.words(), "sulfite 8 g, 4 more doses like yours");
}

/// A gram opened a year ago, of which 15 % are lost, and 99 g opened today: (1 × 85 + 99 × 100) / 100 = 99.85.
#[test]
fn the_strength_at_a_glance_is_that_of_all_powder() {
    let mut cellar = Cellar::with_vessel(23.0, 20.0);
    cellar.powder(1.0);
    cellar.set(POWDER, field::OPENED, Value::Int(days_ago(365)));
    let tin = Key(POWDER.0 + 1);
    cellar.thing(tin, Sort::Supply, "Sulfite 2");
    cellar.set(tin, field::SUBSTANCE, "potassium-metabisulfite");
    cellar.set(tin, field::OPENED, Value::Int(days_ago(0)));
    cellar.stock(tin, Dose::Mass(Mass::grams(99.0)));
    let glance = sulfite(&cellar.0, &policy()).unwrap();
    let usual = glance.strength.unwrap()[1];
    assert!((usual - 99.85).abs() < 0.01, "{usual}");
    // Of one open for three years nothing is known.
    cellar.set(POWDER, field::OPENED, Value::Int(days_ago(3 * 365)));
    let words = sulfite(&cellar.0, &policy()).unwrap().words();
    assert!(
        words.starts_with("sulfite 100 g, 1 g of it of unknown strength"),
        "{words}"
    );
}
