//! The years of a wine: which phase ends when.

use super::*;
use crate::cellar::amount::Volume;
use crate::cellar::attention::trial::{BATCH, CARBOY, Cellar, NOW, RUN, days_ago, policy};
use crate::cellar::entry::{Due, Job};
use crate::cellar::snapshot::OpenJob;
use crate::cellar::state::{Share, State, Wine};
use crate::cellar::thing::Value;

/// The phases with the day each ends, counted from now.
fn phases(cellar: &Cellar) -> Vec<(&'static str, i64)> {
    let lives = lives(&cellar.0, &policy());
    let stretches = &lives[0].stretches;
    for pair in stretches.windows(2) {
        assert_eq!(pair[0].to, pair[1].from);
    }
    let ends = stretches.iter();
    ends.map(|it| (it.phase.word(), it.to.days_since(NOW)))
        .collect()
}

fn check(change: impl FnOnce(&mut Cellar), expected: &[(&str, i64)]) {
    let mut cellar = Cellar::with_vessel(23.0, 22.0);
    cellar.did(Deed::Begun, 121).did(Deed::Pitched, 120);
    change(&mut cellar);
    assert_eq!(phases(&cellar), expected);
}

#[test]
fn a_ferment_ends_with_the_first_low_gravity() {
    check(
        |it| it.gravities(&[(110, 1.040), (100, 0.996), (90, 0.994)]),
        &[("fermenting", -100), ("on-lees", 0)],
    );
    // Long overdue, and nobody knows when it ends.
    check(
        |it| it.gravities(&[(110, 1.040), (2, 1.020)]),
        &[("fermenting", 0)],
    );
    // Stopped sweet and stabilised, it ferments no more.
    check(
        |it| {
            it.did(Deed::Sorbated, 60);
            it.gravities(&[(110, 1.040), (70, 1.011), (2, 1.011)]);
        },
        &[("fermenting", -70), ("on-lees", 0)],
    );
    // Without a reading above, three weeks: the policy's usual ferment.
    check(
        |it| it.gravities(&[(20, 0.995)]),
        &[("fermenting", -100), ("on-lees", 0)],
    );
    check(|_| {}, &[("fermenting", -100), ("on-lees", 0)]);
}

/// Planned in 30 days: it stands three, rests four weeks as a white does, and the window is that of a white filled then.
#[test]
fn what_is_to_be_bottled_goes_on_to_its_last_bottle() {
    let mut cellar = Cellar::with_vessel(23.0, 22.0);
    cellar.set(BATCH, field::WINE, "white");
    cellar.did(Deed::Begun, 121).did(Deed::Pitched, 120);
    cellar.gravities(&[(110, 1.040), (100, 0.996)]);
    let job = Job {
        key: Key(7),
        subject: CARBOY,
        title: "bottle".to_owned(),
        due: Due::On(NOW.plus_days(30).utc_ms),
        verb: "bottle".to_owned(),
    };
    let since_ms = days_ago(10);
    cellar.0.jobs.push(OpenJob { job, since_ms });
    let policy = policy();
    let opens = if_filled(&cellar.holding(&policy), NOW.plus_days(30)).unwrap();
    let ends = [
        opens.opens,
        opens.closes_low,
        opens.closes,
        opens.closes_high,
    ];
    let [opens, ready, closes, past] = ends.map(|it| it.days_since(NOW));
    let expected = [
        ("fermenting", -100),
        ("on-lees", 30),
        ("standing", 33),
        ("resting", 58),
        ("in-bottle", opens),
        ("ready", ready),
        ("drink-up", closes),
        ("past", past),
    ];
    assert_eq!(phases(&cellar), expected);
}

/// A wine whose bottling was planned that many days from now, as the years say it.
fn planned(days: i64) -> Life {
    let mut cellar = Cellar::with_vessel(23.0, 22.0);
    cellar.did(Deed::Begun, 121).did(Deed::Pitched, 120);
    cellar.gravities(&[(110, 1.040), (100, 0.996)]);
    let job = Job {
        key: Key(7),
        subject: CARBOY,
        title: "bottle".to_owned(),
        due: Due::On(NOW.plus_days(days).utc_ms),
        verb: "bottle".to_owned(),
    };
    let since_ms = days_ago(60);
    cellar.0.jobs.push(OpenJob { job, since_ms });
    lives(&cellar.0, &policy()).remove(0)
}

/// Now is 25 November 2026: the 5th is over, and today and tomorrow are not.
#[test]
fn a_day_planned_for_a_bottling_that_went_by_is_said() {
    let life = planned(-20);
    assert_eq!(life.missed, Some(NOW.plus_days(-20)));
    let said =
        "not bottled on 5 Nov 2026 as planned; ferments to Aug 2026, on its lees to Nov 2026";
    assert_eq!(life.sentence(), said);
    assert_eq!(life.ahead(NOW), said);
    // It is not drawn as if it had been bottled then.
    let last = life.stretches.last().unwrap();
    assert_eq!((last.phase, last.to), (Phase::OnLees, NOW));
    assert_eq!(planned(0).missed, None);
    assert_eq!(planned(1).missed, None);
}

#[test]
fn a_ferment_under_way_goes_on_to_the_day_it_is_expected_to_be_dry() {
    let mut cellar = Cellar::with_vessel(23.0, 22.0);
    cellar.did(Deed::Begun, 7).did(Deed::Pitched, 6);
    cellar.gravities(&[(7, 1.089), (4, 1.070), (2, 1.047), (1, 1.034)]);
    let policy = policy();
    let dry = cellar.holding(&policy).fermentation().unwrap().dry.unwrap();
    assert!(dry.mid > NOW);
    let days = dry.mid.days_since(NOW);
    assert_eq!(phases(&cellar), [("fermenting", days)]);
}

#[test]
fn its_lees_end_with_the_racking() {
    let fell = [(110, 1.040), (100, 0.996)];
    check(
        |it| {
            it.gravities(&fell);
            it.did(Deed::Racked, 80);
        },
        &[("fermenting", -100), ("on-lees", -80), ("ageing", 0)],
    );
    // The last racking of several: the first is taken at four weeks.
    check(
        |it| {
            it.gravities(&fell);
            it.did(Deed::Racked, 5);
        },
        &[("fermenting", -100), ("on-lees", -72), ("ageing", 0)],
    );
}

/// Bottled 100 days ago under cork, from a must of a year and a half before.
fn run() -> Cellar {
    let mut cellar = Cellar::with_bottles(23, 100);
    cellar.did(Deed::Begun, 500).did(Deed::Pitched, 500);
    cellar.did(Deed::Racked, 460);
    cellar.gravities(&[(490, 1.030), (479, 0.996)]);
    cellar.set(RUN, field::REST_UNTIL, Value::Int(days_ago(58)));
    cellar.set(RUN, field::WINDOW_OPENS, Value::Int(days_ago(-80)));
    cellar.set(RUN, field::WINDOW_CLOSES, Value::Int(days_ago(-900)));
    cellar
}

#[test]
fn bottles_stand_rest_and_are_ready_until_their_window_closes() {
    let mut cellar = run();
    cellar.did(Deed::LaidDown, 97);
    cellar.wine().bottles[0].posture = Posture::Lying;
    let before = [("fermenting", -479), ("on-lees", -460), ("ageing", -100)];
    let after = [
        ("standing", -97),
        ("resting", -58),
        ("in-bottle", 80),
        ("ready", 900),
    ];
    assert_eq!(phases(&cellar), [&before[..], &after[..]].concat());
    let life = &lives(&cellar.0, &policy())[0];
    assert_eq!((life.place, life.left.as_str()), (RUN, "23 bottles"));
    assert_eq!(life.at(NOW), Some(Phase::InBottle));
    assert_eq!(life.at(NOW.plus_days(901)), None);
}

#[test]
fn bottles_that_still_stand_do_so_until_now() {
    assert_eq!(phases(&run())[3], ("standing", 0));
}

#[test]
fn bottles_never_laid_down_are_ready_with_their_window() {
    let mut cellar = run();
    cellar.set(RUN, field::WINDOW_OPENS, Value::Int(days_ago(20)));
    cellar.set(RUN, field::REST_UNTIL, Value::Int(days_ago(58)));
    assert_eq!(phases(&cellar)[3..], [("standing", -20), ("ready", 900)]);
}

#[test]
fn bottles_that_need_no_laying_down_rest_after_a_few_days() {
    let mut cellar = run();
    cellar.set(RUN, field::CLOSURE, "screw-cap");
    let stand_days = policy().stand_days as i64;
    let after = [
        ("standing", stand_days - 100),
        ("resting", -58),
        ("in-bottle", 80),
        ("ready", 900),
    ];
    assert_eq!(phases(&cellar)[3..], after);
}

#[test]
fn an_estimate_has_a_time_to_drink_up() {
    let mut cellar = run();
    for name in [field::WINDOW_OPENS, field::WINDOW_CLOSES] {
        cellar.set(RUN, name, Value::Text(String::new()));
    }
    let words: Vec<&str> = phases(&cellar).iter().map(|it| it.0).collect();
    let after = ["standing", "in-bottle", "ready", "drink-up", "past"];
    assert_eq!(words[3..], after);
}

#[test]
fn spoiled_bottles_are_told_apart_and_have_no_window() {
    let mut cellar = run();
    cellar.did(Deed::LaidDown, 97);
    cellar
        .wine()
        .troubles
        .insert("vinegar".to_owned(), days_ago(2));
    let all = phases(&cellar);
    assert_eq!(all.last(), Some(&("withheld", 0)));
    assert!(
        all.iter().all(|it| it.0 != "ready" && it.0 != "drink-up"),
        "{all:?}"
    );
    let left = &lives(&cellar.0, &policy())[0].left;
    assert!(left.ends_with(" bottles, spoiled"), "{left}");
}

#[test]
fn bottles_here_before_the_book_begin_with_it() {
    let mut cellar = run();
    cellar.wine().deeds.clear();
    cellar.set(RUN, field::SINCE_WORDS, "autumn 2025");
    let first = phases(&cellar)[0];
    assert_eq!(first.0, "standing");
}

#[test]
fn a_run_that_is_drunk_up_ends_with_its_last_bottle_and_comes_last() {
    let mut cellar = run();
    cellar.did(Deed::LaidDown, 97).did(Deed::UsedUp, 10);
    cellar.wine().bottles.clear();
    cellar.wine().volume = Volume::ZERO;
    let lives = lives(&cellar.0, &policy());
    assert_eq!((lives[0].place, lives[0].left.as_str()), (RUN, "drunk up"));
    let last = lives[0].stretches.last().unwrap();
    assert_eq!(
        (last.phase, last.to.days_since(NOW)),
        (Phase::InBottle, -10)
    );
    assert_eq!(lives[0].at(NOW), None);
}

#[test]
fn wine_that_was_here_before_the_book_has_a_bar_from_then() {
    let life = |change: &dyn Fn(&mut Cellar)| {
        let mut cellar = Cellar::with_vessel(23.0, 22.0);
        cellar.did(Deed::BeforeBook, 5);
        change(&mut cellar);
        let life = lives(&cellar.0, &policy()).remove(0);
        let [first] = life.stretches[..] else {
            panic!("{life:#?}");
        };
        (first.from.days_since(NOW), first.phase, life.is_older)
    };
    let since = |it: &mut Cellar, vessel: Key| {
        it.set(vessel, field::HELD_SINCE, Value::Int(days_ago(400)));
        it.set(vessel, field::HELD_BATCH, Value::Int(BATCH.0));
    };
    assert_eq!(life(&|_| ()), (-5, Phase::Ageing, true));
    assert_eq!(life(&|it| since(it, CARBOY)), (-400, Phase::Ageing, false));
    // Racked since out of the vessel that it was taken over in.
    let racked = |it: &mut Cellar| {
        it.spare(1, "jug", "jug", 3.8);
        since(it, Key(1));
    };
    assert_eq!(life(&racked), (-400, Phase::Ageing, false));
    let working = |it: &mut Cellar| it.gravities(&[(4, 1.060), (1, 1.048)]);
    assert_eq!(life(&working), (-5, Phase::Fermenting, true));
    // Taken over today.
    assert_eq!(
        life(&|it| _ = it.did(Deed::BeforeBook, 0)),
        (0, Phase::Ageing, true)
    );
}

#[test]
fn a_batch_in_two_vessels_has_one_bar() {
    let mut cellar = Cellar::with_vessel(23.0, 22.0);
    cellar.did(Deed::Pitched, 120);
    cellar.spare(1, "jug", "jug", 3.8).fill(Key(1), 2.0);
    let lives = lives(&cellar.0, &policy());
    assert_eq!(lives.len(), 1);
    assert_eq!(lives[0].place, CARBOY);
    assert_eq!(lives[0].name, cellar.0.name(BATCH));
    assert_eq!(lives[0].left, "24.0 L bulk");
}

/// Both are called what the batch is; the words beside them say which is which.
#[test]
fn what_is_left_of_a_batch_in_its_vessel_is_told_from_its_bottles() {
    let mut cellar = run();
    let name = cellar.0.name(RUN).to_owned();
    cellar.thing(BATCH, Sort::Batch, &name);
    cellar.spare(1, "jug", "jug", 3.8);
    let volume = Volume::litres(2.4);
    let batch = Some(BATCH);
    let rest = Wine {
        volume,
        makeup: vec![Share { batch, volume }],
        deeds: [(Deed::Pitched, days_ago(500))].into(),
        ..Wine::default()
    };
    cellar.0.states.insert(Key(1), State::from(rest).into());
    let lives = lives(&cellar.0, &policy());
    let said: Vec<(&str, &str)> = lives.iter().map(|it| (&*it.name, &*it.left)).collect();
    assert_eq!(said.len(), 2, "{said:?}");
    for left in ["23 bottles", "2.4 L bulk"] {
        assert!(said.contains(&(&*name, left)), "{said:?}");
    }
}
