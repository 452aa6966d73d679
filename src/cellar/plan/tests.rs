//! How far jobs have come, and when they fall due.

use super::*;
use crate::cellar::attention::trial::{BATCH, CARBOY, Cellar, days_ago};
use crate::cellar::entry::Job;

/// A step that fell due twenty days ago, of a plan started forty days ago.
fn check(subject: Key, title: &str, build: impl Fn(&mut Cellar), expected: &Progress) {
    let mut cellar = Cellar::with_vessel(23.0, 22.0);
    build(&mut cellar);
    let open = OpenJob {
        job: Job {
            key: Key(7),
            subject,
            title: title.to_owned(),
            due: Due::On(days_ago(20)),
            verb: title.split(' ').next().unwrap_or_default().to_owned(),
        },
        since_ms: days_ago(40),
    };
    assert_eq!(&progress(&open, &cellar.0), expected, "{title}");
}

fn did(deed: Deed, days: i64) -> impl Fn(&mut Cellar) {
    move |it| _ = it.did(deed, days)
}

#[test]
fn a_step_is_done_when_its_deed_is_on_its_day_or_later() {
    for (title, deed) in [
        ("yeast", Deed::Pitched),
        ("rack into the carboy", Deed::Racked),
        ("degas", Deed::Degassed),
        ("sulfite", Deed::Sulfited),
        ("sorbate", Deed::Sorbated),
        ("bentonite", Deed::Fined),
    ] {
        for subject in [BATCH, CARBOY] {
            check(subject, title, did(deed, 20), &Progress::Done);
            check(subject, title, did(deed, 3), &Progress::Done);
            check(subject, title, |_| (), &Progress::Open);
        }
    }
}

#[test]
fn a_deed_before_its_day_is_for_the_person_to_judge() {
    let said = Progress::Perhaps("racked on 4 Nov 2026".to_owned());
    check(BATCH, "rack", did(Deed::Racked, 21), &said);
    check(BATCH, "rack", did(Deed::Racked, 41), &Progress::Open);
}

#[test]
fn a_step_of_two_deeds_takes_both() {
    let said = "degassed on 22 Nov 2026; still open: sulfite";
    let half = Progress::Perhaps(said.to_owned());
    let title = "degas, sulfite";
    check(BATCH, title, did(Deed::Degassed, 3), &half);
    let both = |it: &mut Cellar| _ = it.did(Deed::Degassed, 3).did(Deed::Sulfited, 2);
    check(BATCH, title, both, &Progress::Done);
}

#[test]
fn what_is_missing_is_named() {
    let open = |what: &str| Progress::Perhaps(what.to_owned());
    check(
        BATCH,
        "pitch yeast and bentonite",
        did(Deed::Pitched, 3),
        &open("pitched on 22 Nov 2026; still open: bentonite"),
    );
    check(
        BATCH,
        "pitch yeast and nutrient",
        did(Deed::Pitched, 3),
        &open("pitched on 22 Nov 2026; still open: nutrient"),
    );
    let title = "kieselsol, chitosan";
    check(
        BATCH,
        title,
        did(Deed::Fined, 3),
        &open("fined on 22 Nov 2026; still open: chitosan"),
    );
    let both = |it: &mut Cellar| {
        it.did(Deed::Fined, 3);
        it.wine().allergens.insert("crustacean".to_owned());
    };
    check(BATCH, title, both, &Progress::Done);
}

#[test]
fn a_wine_in_two_vessels_is_racked_when_both_are() {
    let other = |it: &mut Cellar| {
        it.did(Deed::Racked, 3)
            .spare(202, "Carboy B", "carboy", 23.0);
        it.fill(Key(202), 20.0);
    };
    let half = "racked on 22 Nov 2026; still open: rack in Carboy B";
    check(BATCH, "rack", other, &Progress::Perhaps(half.to_owned()));
    check(CARBOY, "rack", other, &Progress::Done);
    let mixed = |it: &mut Cellar| {
        it.did(Deed::Degassed, 3)
            .did(Deed::Sorbated, 3)
            .spare(202, "Jug", "jug", 3.8);
        it.fill(Key(202), 3.7);
    };
    let said = "degassed on 22 Nov 2026, sorbated on 22 Nov 2026; still open: degas, sorbate in Jug; sulfite";
    let half = Progress::Perhaps(said.to_owned());
    check(BATCH, "degas, sulfite, sorbate", mixed, &half);
}

#[test]
fn food_for_yeast_is_not_yeast_and_another_deed_is_not_this_one() {
    check(
        BATCH,
        "yeast nutrient",
        did(Deed::Pitched, 3),
        &Progress::Open,
    );
    check(BATCH, "degas", did(Deed::Racked, 3), &Progress::Open);
}

/// The half dose was given forty days ago, and the rest is due twenty days later.
#[test]
fn a_test_closes_the_first_half_of_a_dose_and_the_rest_the_other() {
    let check = |build: &dyn Fn(&mut Cellar), expected: &Progress| {
        for subject in [BATCH, CARBOY] {
            let mut cellar = Cellar::with_vessel(23.0, 22.0);
            cellar.did(Deed::Filled, 90).did(Deed::Sulfited, 40);
            build(&mut cellar);
            let open = OpenJob {
                job: Job {
                    key: Key(7),
                    subject,
                    title: SECOND_HALF.to_owned(),
                    due: Due::On(days_ago(20)),
                    verb: SECOND_HALF_VERB.to_owned(),
                },
                since_ms: days_ago(40),
            };
            assert_eq!(&progress(&open, &cellar.0), expected);
        }
    };
    check(&|_| (), &Progress::Open);
    let tested = |it: &mut Cellar| _ = it.knows(Property::FreeSo2, 20.0, 15);
    let said = "tested on 10 Nov 2026; still open: give the rest, if it is short of its aim";
    check(&tested, &Progress::Perhaps(said.to_owned()));
    let given = |it: &mut Cellar| {
        tested(it);
        it.did(Deed::Sulfited, 14);
    };
    check(&given, &Progress::Done);
    check(&|it| _ = it.did(Deed::Sulfited, 14), &Progress::Open);
    check(&|it| it.0.states.clear(), &Progress::Done);
}

/// How far a job about a vessel has come that was asked for forty days ago, to be done by that verb.
fn of_the_carboy(verb: &str, build: impl Fn(&mut Cellar)) -> Progress {
    let mut cellar = Cellar::with_vessel(23.0, 22.0);
    build(&mut cellar);
    let open = OpenJob {
        job: Job {
            key: Key(7),
            subject: CARBOY,
            title: "see to it".to_owned(),
            due: Due::On(days_ago(20)),
            verb: verb.to_owned(),
        },
        since_ms: days_ago(40),
    };
    progress(&open, &cellar.0)
}

/// What is asked for about a wine ends when it has left its vessel; what is about the vessel itself does not.
#[test]
fn a_job_ends_with_the_wine_it_is_about() {
    let of = |verb: &str| of_the_carboy(verb, |it| it.0.states.clear());
    assert_eq!(of("measure"), Progress::Done);
    assert_eq!(of("oak out"), Progress::Done);
    assert_eq!(of(""), Progress::Open);
}

/// The must that comes into a vessel after it has no oak of the wine before to be taken out.
#[test]
fn no_job_of_the_wine_before_falls_on_the_next() {
    let of = |verb: &str, filled: i64| of_the_carboy(verb, did(Deed::Filled, filled));
    assert_eq!(of("oak out", 50), Progress::Open);
    assert_eq!(of("oak out", 30), Progress::Done);
    assert_eq!(of("warm", 30), Progress::Done);
    assert_eq!(of("", 30), Progress::Open);
}

/// Yeast shows in the readings, whether anybody wrote it down or not.
#[test]
fn a_wine_that_has_fermented_has_had_its_yeast() {
    let read = |readings: &'static [(i64, f64)]| move |it: &mut Cellar| it.gravities(readings);
    let perhaps = |words: &str| Progress::Perhaps(words.to_owned());
    for subject in [BATCH, CARBOY] {
        check(
            subject,
            "pitch yeast",
            read(&[(20, 1.090)]),
            &Progress::Open,
        );
        check(
            subject,
            "pitch yeast",
            read(&[(20, 1.090), (3, 0.994)]),
            &Progress::Done,
        );
        // Before its day, or before the plan was.
        for days in [21, 50] {
            let day = days_ago(days);
            let day = Cellar::with_vessel(23.0, 22.0).0.now.at(day).day_words();
            check(
                subject,
                "pitch yeast",
                move |it: &mut Cellar| it.gravities(&[(days, 0.994)]),
                &perhaps(&format!("fermented: 0.994 on {day}")),
            );
        }
        // Water lowers it too, though not below its own gravity.
        check(
            subject,
            "pitch yeast",
            read(&[(20, 1.090), (3, 1.040)]),
            &perhaps("gravity fell from 1.090 to 1.040 by 22 Nov 2026"),
        );
        check(
            subject,
            "pitch yeast and bentonite",
            read(&[(20, 1.090), (3, 0.994)]),
            &perhaps("fermented: 0.994 on 22 Nov 2026; still open: bentonite"),
        );
    }
}

#[test]
fn what_is_gone_needs_nothing() {
    check(BATCH, "rack", |it| it.0.states.clear(), &Progress::Done);
}
