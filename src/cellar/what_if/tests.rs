//! A copy is changed as the book would be, and the cellar itself is not.

use super::*;
use crate::cellar::amount::Volume;
use crate::cellar::attention::trial::{CARBOY, Cellar, NOW, policy};
use crate::cellar::attention::{Holding, ReasonKind};
use crate::cellar::entry::Property;
use crate::cellar::moment::Zone;
use crate::cellar::state::Deed;
use crate::cellar::verbs::{self, Form};

const DEMIJOHN: Key = Key(205);

/// A finished white wine in a carboy of 23 L, an empty demijohn, and powder.
fn cellar(litres: f64) -> Cellar {
    let mut cellar = Cellar::with_vessel(23.0, litres);
    cellar.finished();
    cellar
        .knows(Property::FreeSo2, 20.0, 70)
        .knows(Property::Ph, 3.3, 70);
    cellar.spare(DEMIJOHN.0, "Demijohn", "demijohn", 5.0);
    cellar.powder(100.0);
    cellar
}

fn suppose(cellar: &Cellar, verb: &str, typed: &[(&str, &str)]) -> Result<Supposed, String> {
    let form = Form::of(typed.iter().copied());
    let now = verbs::when(&form, NOW, Zone::Fixed(60)).unwrap();
    let prepared = verbs::prepare(verbs::find(verb).unwrap(), &form, &cellar.0, &now);
    done(&cellar.0, &prepared.unwrap().draft)
}

fn beside(cellar: &Cellar, supposed: &Supposed, place: Key) -> Beside {
    Beside::of(place, &cellar.0, &supposed.cellar, &policy())
}

#[test]
fn wine_racked_is_where_it_would_be() {
    let cellar = cellar(4.9);
    let typed = [("from", "Carboy A"), ("to", "Demijohn"), ("leaving", "0 L")];
    let supposed = suppose(&cellar, "rack", &typed).unwrap();
    assert_eq!(supposed.places, [CARBOY, DEMIJOHN]);
    let there = beside(&cellar, &supposed, DEMIJOHN);
    assert_eq!(there.then.volume, Some(Volume::litres(4.9)));
    assert_eq!(there.then.headspace, Some(Volume::millilitres(100)));
    assert!(!there.is.is_full);
    // Reference page: 278.6 mg of oxygen in a litre of air at 20 °C.
    let oxygen = there.then.oxygen_mg_l.unwrap();
    assert!((oxygen - 27.86 / 4.9).abs() < 0.01, "{oxygen}");
    let here = beside(&cellar, &supposed, CARBOY);
    assert_eq!(here.said().as_deref(), Some("empty"));
    assert!(here.gone().any(|it| it.kind == ReasonKind::Headspace));
    // The cellar itself is as it was.
    assert!(cellar.0.wine(DEMIJOHN).is_none());
}

// 1.1918 g of potassium metabisulfite at 57.63 % is 0.687 g of SO2: 30 mg/L in 22.9 L.
#[test]
fn sulfite_added_counts_in_the_forecast_and_ends_the_reason() {
    let cellar = cellar(22.9);
    let typed = [
        ("place", "Carboy A"),
        ("substance", "potassium-metabisulfite"),
        ("amount", "1.1918 g"),
    ];
    let supposed = suppose(&cellar, "add", &typed).unwrap();
    let wine = supposed.cellar.wine(CARBOY).unwrap();
    let added = wine.so2_since_reading.in_grams() * 1e3 / 22.9;
    assert!((added - 30.0).abs() < 0.1, "{added}");
    assert_eq!(wine.when(Deed::Sulfited), Some(NOW.utc_ms));
    let it = beside(&cellar, &supposed, CARBOY);
    assert!(it.then.free_so2.unwrap().mid > it.is.free_so2.unwrap().mid + 15.0);
    assert!(it.gone().any(|it| it.kind == ReasonKind::SulfiteLow));
    let said = it.said().unwrap();
    assert!(
        said.contains("no longer: free SO2 low for its pH"),
        "{said}"
    );
    let grams = |cellar: &Snapshot| match cellar.stock(Key(501)).unwrap().left {
        Some(crate::cellar::entry::Dose::Mass(mass)) => mass.in_grams(),
        _ => f64::NAN,
    };
    assert!((grams(&cellar.0) - grams(&supposed.cellar) - 1.1918).abs() < 1e-6);
}

#[test]
fn a_vessel_that_begins_with_it_is_there() {
    let cellar = cellar(4.9);
    let typed = [("name", "Tank 9"), ("kind", "tank"), ("brim", "30 L")];
    let supposed = suppose(&cellar, "vessel add", &typed).unwrap();
    let tank = supposed.cellar.find(Sort::Vessel, "Tank 9").unwrap();
    assert_eq!(tank.brim(), Some(Volume::litres(30.0)));
    assert!(cellar.0.find(Sort::Vessel, "Tank 9").is_err());
}

#[test]
fn waiting_is_the_same_cellar_later() {
    let cellar = cellar(22.9);
    let policy = policy();
    let later = Outlook::of(CARBOY, &waited(&cellar.0, 120), &policy);
    let holding = Holding::of(&cellar.0, CARBOY, &policy).unwrap();
    assert_eq!(
        later.free_so2,
        holding.expected_free_so2_at(NOW.plus_days(120))
    );
    assert_eq!(later.volume, Some(Volume::litres(22.9)));
}

// An ideal gas: as much colder, as much denser. 293.15 K over 283.15 K is 1.0353.
#[test]
fn a_colder_cellar_has_denser_air() {
    let cellar = cellar(22.0);
    let oxygen = |cellar: &Snapshot| Outlook::of(CARBOY, cellar, &policy()).oxygen_mg_l.unwrap();
    let ratio = oxygen(&kept_at(&cellar.0, 10.0)) / oxygen(&kept_at(&cellar.0, 20.0));
    assert!((ratio - 1.0353).abs() < 0.002, "{ratio}");
}

#[test]
fn what_the_book_would_refuse_is_refused_in_its_words() {
    let cellar = cellar(22.9);
    let mut draft = Draft::new(Kind::Rack, NOW);
    let litres = |it| crate::cellar::entry::Amount::Exactly(Volume::litres(it));
    draft.pour(CARBOY, DEMIJOHN, litres(30.0));
    let refused = done(&cellar.0, &draft).unwrap_err();
    assert!(
        refused.starts_with("Carboy A holds 22.9 L on 25 Nov 2026 and 30.0 L is taken"),
        "{refused}"
    );
}

#[test]
fn a_reading_is_what_the_forecast_goes_on_from() {
    let cellar = cellar(22.9);
    let policy = policy();
    let typed = [("place", "Carboy A"), ("free-so2", "28")];
    let supposed = suppose(&cellar, "measure", &typed).unwrap();
    assert_eq!(supposed.places, [CARBOY]);
    let then = Outlook::of(CARBOY, &supposed.cellar, &policy);
    // The middle is found to a thousandth.
    assert!((then.free_so2.unwrap().mid - 28.0).abs() < 0.01);
}
