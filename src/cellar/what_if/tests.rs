//! A copy is changed as the book would be, and the cellar itself is not.

use super::*;
use crate::cellar::amount::Volume;
use crate::cellar::attention::trial::{CARBOY, Cellar, NOW, policy};
use crate::cellar::attention::{Holding, Reason, ReasonKind};
use crate::cellar::courses;
use crate::cellar::entry::{Found, Property};
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

/// What is foreseen of a letter would say which wine that is.
#[test]
fn of_a_wine_tasted_blind_nothing_is_supposed_before_it_is_revealed() {
    let mut cellar = cellar(4.9);
    let flight = format!("{} {}", CARBOY.0, DEMIJOHN.0);
    cellar.thing(CELLAR, Sort::Cellar, "Quarry Row");
    cellar.set(CELLAR, field::FLIGHT, flight.as_str());
    let blind = [("letter", "A"), ("words", "sharp")];
    let said = suppose(&cellar, "blind taste", &blind).unwrap_err();
    assert!(said.contains("until `leesline blind reveal`"), "{said}");
    let named = [("place", "Carboy A"), ("words", "sharp")];
    assert_eq!(suppose(&cellar, "taste", &named).unwrap().places, [CARBOY]);
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

/// Where a row is missing, why it is.
#[test]
fn what_is_not_foreseen_says_why() {
    let check = |build: &dyn Fn(&mut Cellar), expected: Option<&str>| {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.finished();
        build(&mut cellar);
        let outlook = Outlook::of(CARBOY, &cellar.0, &policy());
        assert_eq!(outlook.unforeseen.as_deref(), expected);
    };
    check(&|_| (), Some("Free SO2 is not foreseen: never measured."));
    let blended = |it: &mut Cellar| _ = it.did(Deed::Blended, 22);
    let since = "Free SO2 is not foreseen: not measured since other wine went in on 3 Nov 2026.";
    check(&blended, Some(since));
    let ferments = |it: &mut Cellar| {
        it.never(Deed::Sulfited).did(Deed::Pitched, 5);
        it.gravities(&[(5, 1.090), (1, 1.040)]);
    };
    check(&ferments, Some("Free SO2 is not foreseen: it ferments."));
    let tested = |it: &mut Cellar| _ = it.knows(Property::FreeSo2, 20.0, 9);
    let no_ph = "When free SO2 is short of its aim is not foreseen: its pH was never measured.";
    check(&tested, Some(no_ph));
    let both = |it: &mut Cellar| {
        tested(it);
        it.knows(Property::Ph, 3.3, 9);
    };
    check(&both, None);
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
    let kept_at = |cellar: &Snapshot, celsius| kept_at(cellar, celsius, cellar.now);
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

// 36 kJ/mol, from memory: the law of Arrhenius by hand, with R = 8.314 J/(mol K).
fn times_as_fast(from_c: f64, to_c: f64) -> f64 {
    (36e3 / 8.314 * (1.0 / (273.15 + from_c) - 1.0 / (273.15 + to_c))).exp()
}

/// Days from now until free SO2 usually falls to 20 mg/L, and what is said to be assumed for it.
fn fallen(cellar: &Cellar, celsius: Option<f64>, wait: i64) -> (f64, String) {
    let (_, then) = both_sides(&cellar.0, None, wait, celsius);
    let policy = policy();
    let holding = Holding::of(&then, CARBOY, &policy).unwrap();
    let falls = holding.falls_below_aim().unwrap();
    let assumed = Outlook::of(CARBOY, &then, &policy).assumed.join(" ");
    let days = (falls.mid.unwrap().utc_ms - NOW.utc_ms) as f64 / 86_400_000.0;
    (days, assumed)
}

/// Read 45 mg/L today, and at 12 °C as a rule.
fn read_today() -> Cellar {
    let mut cellar = Cellar::with_vessel(23.0, 22.9);
    cellar.finished();
    cellar.knows(Property::Ph, 3.3, 70);
    cellar.knows(Property::FreeSo2, 45.0, 0);
    cellar.thing(CELLAR, Sort::Cellar, "Quarry Row");
    cellar.set(CELLAR, field::TEMPERATURE, Value::Real(12.0));
    cellar
}

#[test]
fn the_days_of_free_so2_shrink_and_stretch_by_the_law_of_arrhenius() {
    let check = |from_c: f64, to_c: f64, build: &dyn Fn(&mut Cellar), says: &str| {
        let mut cellar = read_today();
        build(&mut cellar);
        let (before, _) = fallen(&cellar, None, 0);
        let (then, assumed) = fallen(&cellar, Some(to_c), 0);
        let ratio = before / then;
        let expected = times_as_fast(from_c, to_c);
        assert!((ratio / expected - 1.0).abs() < 1e-3, "{ratio}, {expected}");
        assert!(assumed.contains(says), "{assumed}");
    };
    let as_is = |_: &mut Cellar| ();
    check(
        12.0,
        22.0,
        &as_is,
        "1.67 times as fast at 22 °C as at 12 °C (set for the cellar): 36 kJ/mol by Arrhenius, from memory",
    );
    check(12.0, 6.0, &as_is, "0.72 times as fast at 6 °C");
    check(12.0, 12.0, &as_is, "It is kept at 12 °C already");
    // Outside of 5 to 30 °C nobody says how it goes.
    check(12.0, 30.0, &as_is, "2.46 times as fast at 30 °C");
    let hot = fallen(&read_today(), Some(35.0), 0);
    assert!((hot.0 / fallen(&read_today(), Some(30.0), 0).0 - 1.0).abs() < 1e-9);
    assert!(hot.1.contains("heat spoils a wine"), "{}", hot.1);
    // The wine's own warmth comes first, as long as it is new.
    let measured =
        |days: i64| move |it: &mut Cellar| _ = it.knows(Property::Temperature, 17.0, days);
    check(
        17.0,
        22.0,
        &measured(3),
        "as at 17 °C (measured 22 Nov 2026)",
    );
    check(
        12.0,
        22.0,
        &measured(31),
        "as at 12 °C (set for the cellar)",
    );
    // Nobody knows: what the policy takes, and said so.
    let unknown = |it: &mut Cellar| _ = it.thing(CELLAR, Sort::Cellar, "Quarry Row");
    check(
        20.0,
        10.0,
        &unknown,
        "as at 20 °C (taken, as neither wine nor cellar was measured)",
    );
}

#[test]
fn only_the_days_after_it_is_supposed_count_for_more() {
    let mut cellar = read_today();
    cellar.0.now = NOW.plus_days(30);
    let policy = policy();
    let of = |cellar: &Snapshot, then| {
        let holding = Holding::of(cellar, CARBOY, &policy).unwrap();
        holding.expected_free_so2_at(then).unwrap().mid
    };
    let warm = kept_at(&cellar.0, 22.0, cellar.0.now);
    let now = cellar.0.now;
    assert!((of(&warm, now) - of(&cellar.0, now)).abs() < 1e-6);
    // 60 days there are so many here.
    let days = 60.0 * times_as_fast(12.0, 22.0);
    let (there, here) = (of(&warm, now.plus_days(60)), of(&cellar.0, now.after(days)));
    assert!((there - here).abs() < 0.01, "{there} and {here}");
    // Seen later, it is the same.
    let later = of(&waited(&warm, 60), now.plus_days(60));
    assert!((later - there).abs() < 1e-6, "{later} and {there}");
}

#[test]
fn what_a_test_left_open_is_assumed_and_said() {
    let mut cellar = Cellar::with_vessel(23.0, 22.9);
    cellar.found(Property::FreeSo2, Found::Below(10.0), 3);
    let assumed = Outlook::of(CARBOY, &cellar.0, &policy()).assumed;
    assert_eq!(
        assumed,
        [
            "Read <10 mg/L on 22 Nov 2026, 3 days ago (anything from 0 to 10).",
            "Kept in a full carboy under an airlock: 11.3 % a month is usual (house estimate).",
        ]
    );
}

/// Must of 18.4 L in a carboy of 23 L, read at 18 °C on its way down.
fn fermenting(gravities: &[(i64, f64)]) -> Cellar {
    let mut cellar = Cellar::with_vessel(23.0, 18.4);
    cellar.did(Deed::Pitched, 6).gravities(gravities);
    cellar.knows(Property::Temperature, 18.0, 1);
    cellar.spare(DEMIJOHN.0, "Carboy B", "carboy", 19.0);
    cellar
}

const FALLING: [(i64, f64); 3] = [(6, 1.089), (3, 1.060), (1, 1.034)];

#[test]
fn a_ferment_shows_its_gravity_and_its_days_and_no_air() {
    let cellar = fermenting(&FALLING);
    let policy = policy();
    let of = |cellar: &Snapshot| Outlook::of(CARBOY, cellar, &policy);
    let (is, then) = (of(&cellar.0), of(&waited(&cellar.0, 3)));
    let holding = Holding::of(&cellar.0, CARBOY, &policy).unwrap();
    assert_eq!(is.dry, holding.fermentation().unwrap().dry);
    assert_eq!(then.dry, is.dry);
    // It was at 1.034 a day ago, and falls.
    assert!(is.gravity.unwrap()[1] < 1.034 && then.gravity.unwrap()[1] < is.gravity.unwrap()[1]);
    assert_eq!((is.headspace, is.oxygen_mg_l), (None, None));
    let rows = Beside::of(CARBOY, &cellar.0, &waited(&cellar.0, 3), &policy).rows();
    let names: Vec<&str> = rows.iter().map(|it| it[0].as_str()).collect();
    assert_eq!(names, ["holds", "gravity", "ferment", "room for foam"]);
    assert_eq!(rows[3][1], "20 %, foams less now");
    // Once it is finished, the air counts.
    let mut over = fermenting(&FALLING);
    over.finished();
    assert!(of(&over.0).headspace.is_some() && of(&over.0).foam.is_none());
}

// 18.4 of 23 L leave 20 %, and of 19 L 3 %; 15–20 % are asked (common practice).
#[test]
fn racked_into_a_vessel_it_fills_a_ferment_wants_room_for_foam() {
    let cellar = fermenting(&[(2, 1.089), (1, 1.080)]);
    let typed = [("from", "Carboy A"), ("to", "Carboy B"), ("leaving", "0 L")];
    let supposed = suppose(&cellar, "rack", &typed).unwrap();
    let there = beside(&cellar, &supposed, DEMIJOHN);
    let room = there.rows().into_iter().find(|it| it[0] == "room for foam");
    assert_eq!(room.unwrap()[2], "3 %, 15 % asked");
    assert!(there.come().any(|it| it.kind == ReasonKind::TooFull));
    let here = Outlook::of(CARBOY, &cellar.0, &policy());
    assert_eq!(here.foam.unwrap().1, Some(0.15));
}

// Twice as fast for nine degrees more (house estimate): from 18 to 25 °C 2^(7/9).
#[test]
fn a_warmer_ferment_is_dry_sooner() {
    let cellar = fermenting(&FALLING);
    let policy = policy();
    let days = |celsius: Option<f64>| {
        let (_, then) = both_sides(&cellar.0, None, 0, celsius);
        let it = Outlook::of(CARBOY, &then, &policy);
        let dry = it.dry.unwrap();
        let days = |it: Moment| (it.utc_ms - NOW.utc_ms) as f64 / 86_400_000.0;
        ([dry.low, dry.mid, dry.high].map(days), it.assumed.join(" "))
    };
    let (is, _) = days(None);
    let (warm, said) = days(Some(25.0));
    for (is, warm) in is.iter().zip(warm) {
        assert!(
            (is / warm - 2f64.powf(7.0 / 9.0)).abs() < 1e-3,
            "{is} and {warm}"
        );
    }
    assert!(
        said.contains("1.71 times as fast at 25 °C as at 18 °C (measured 24 Nov 2026)"),
        "{said}"
    );
    let (cold, said) = days(Some(12.0));
    assert!(
        cold[1] > is[1] && said.contains("it may only sleep"),
        "{said}"
    );
    let (same, _) = days(Some(18.0));
    assert!(same.iter().zip(is).all(|(it, is)| (it - is).abs() < 1e-9));
}

#[test]
fn the_chart_says_the_days_that_the_board_does() {
    let said = |cellar: &Cellar| {
        let course = courses::ahead(&cellar.holding(&policy())).unwrap();
        course.said(NOW).pop().unwrap()
    };
    let cellar = fermenting(&FALLING);
    let dry = cellar
        .holding(&policy())
        .fermentation()
        .unwrap()
        .dry
        .unwrap();
    let day = |it: Moment| it.day_words();
    assert_eq!(
        said(&cellar),
        format!(
            "It falls to dry 0.996 about {}; in four cases of five between {} and {}.",
            day(dry.mid),
            day(dry.low),
            day(dry.high)
        )
    );
    // Of one that is stuck the board says no day, nor does the chart.
    let stuck = fermenting(&[(6, 1.090), (5, 1.050), (4, 1.021), (2, 1.021), (0, 1.020)]);
    assert!(!said(&stuck).contains("falls"), "{}", said(&stuck));
}

/// 18 of 22 L are bottled: what is left stands under 19 L of air, and nobody is told that there is less to see to than before.
#[test]
fn a_bottling_says_what_is_left_to_see_to_in_the_vessel() {
    let cellar = cellar(22.0);
    let reasons = |typed: &[(&str, &str)]| {
        let all = [
            ("from", "Carboy A"),
            ("closure", "cork"),
            ("overrule", "a trial"),
        ];
        let typed = [&all, typed].concat();
        let supposed = suppose(&cellar, "bottle start", &typed).unwrap();
        let there = beside(&cellar, &supposed, CARBOY);
        let is_air = |it: &&Reason| it.kind == ReasonKind::Headspace;
        assert_eq!(there.gone().filter(is_air).count(), 0);
        there.then.reasons.iter().filter(is_air).count()
    };
    assert_eq!(reasons(&[("filled", "24x750")]), 1);
    assert_eq!(reasons(&[]), 1);
}

/// A wine tested 70 days ago is the same wine in its vessel and in the bottles of today, whatever the vessel made of it until
/// then: what the air met at filling takes, it takes from then on. That its vessel was opened costs half a milligram to two (house
/// estimate).
#[test]
fn bottles_just_filled_hold_what_their_vessel_holds() {
    for kind in ["carboy", "barrel", "tank"] {
        let mut cellar = cellar(22.9);
        cellar.set(CARBOY, field::KIND, kind);
        let typed = [
            ("from", "Carboy A"),
            ("closure", "cork"),
            ("overrule", "a trial"),
            ("filled", "6x750"),
        ];
        let supposed = suppose(&cellar, "bottle start", &typed).unwrap();
        let run = *supposed.places.iter().find(|it| **it != CARBOY).unwrap();
        let free = |place: Key| {
            let outlook = beside(&cellar, &supposed, place).then;
            outlook.free_so2.unwrap().mid
        };
        let before = beside(&cellar, &supposed, CARBOY).is.free_so2.unwrap().mid;
        let less = before - free(run);
        // A mean is carried over, and not a median.
        assert!(less.abs() <= 0.5, "{kind}: {less}");
        assert!((free(CARBOY) - free(run)).abs() <= 2.0, "{kind}");
    }
}
