//! What holds of attention as a whole.

use super::trial::{BATCH, CARBOY, Cellar, NOW, POWDER, RUN, days_ago, policy};
use super::*;
use crate::cellar::amount::Volume;
use crate::cellar::entry::Property;
use crate::cellar::state::{Deed, State, Wine};
use crate::cellar::thing::{CELLAR, Value, field};

/// A vessel with much headspace and little sulfite: two reasons at least.
fn needy() -> Cellar {
    let mut cellar = Cellar::with_vessel(23.0, 21.0);
    cellar.finished();
    cellar
        .knows(Property::Ph, 3.4, 40)
        .knows(Property::FreeSo2, 18.0, 40);
    cellar
}

fn kinds(cellar: &Cellar) -> Vec<ReasonKind> {
    attention(&cellar.0, &policy())
        .iter()
        .map(|it| it.kind)
        .collect()
}

#[test]
fn an_empty_cellar_needs_nothing() {
    assert!(attention(&Snapshot::empty(NOW), &policy()).is_empty());
}

#[test]
fn the_most_pressing_comes_first() {
    let mut cellar = needy();
    cellar.powder(0.2);
    cellar.0.last_round_ms = None;
    let reasons = attention(&cellar.0, &policy());
    let order: Vec<(Rank, f64)> = reasons.iter().map(|it| (it.rank, -it.weight)).collect();
    assert!(order.is_sorted_by(|a, b| a <= b), "{order:?}");
    assert_eq!(
        kinds(&cellar),
        [
            ReasonKind::Headspace,
            ReasonKind::SulfiteLow,
            ReasonKind::Round,
            ReasonKind::SupplyShort,
        ]
    );
}

#[test]
fn at_most_five_show_at_once() {
    let mut cellar = needy();
    for key in 1..9 {
        cellar
            .spare(key, &format!("Jug {key}"), "jug", 5.0)
            .fill(Key(key), 3.0);
    }
    let reasons = attention(&cellar.0, &policy());
    assert!(reasons.len() > 5);
    assert_eq!(glance(&reasons).len(), 5);
}

/// Reasons in the order of the board, as rank, subject and kind; the lines that show, each with how
/// many stand behind it.
fn check_glance(reasons: &[(Rank, i64, ReasonKind)], expected: &[(i64, ReasonKind, usize)]) {
    let reasons: Vec<Reason> = reasons
        .iter()
        .map(|(rank, subject, kind)| Reason {
            rank: *rank,
            subject: Key(*subject),
            ..Cellar::reason_of(*kind)
        })
        .collect();
    let shown: Vec<(i64, ReasonKind, usize)> = glance(&reasons)
        .iter()
        .map(|it| (reasons[it.at].subject.0, reasons[it.at].kind, it.more))
        .collect();
    assert_eq!(shown, expected);
}

#[test]
fn a_vessel_has_one_line_and_says_how_many_stand_behind_it() {
    use ReasonKind::{Headspace, Lees, SulfiteLow};
    check_glance(
        &[
            (Rank::Now, 201, SulfiteLow),
            (Rank::Now, 201, Headspace),
            (Rank::Soon, 202, Lees),
            (Rank::Later, 201, Lees),
        ],
        &[(201, SulfiteLow, 2), (202, Lees, 0)],
    );
    let cellar = CELLAR.0;
    check_glance(
        &[
            (Rank::Soon, cellar, ReasonKind::Round),
            (Rank::Soon, cellar, ReasonKind::Job),
            (Rank::Later, cellar, ReasonKind::Jot),
        ],
        &[(cellar, ReasonKind::Round, 1), (cellar, ReasonKind::Jot, 0)],
    );
}

#[test]
fn a_job_that_falls_due_sooner_and_presses_as_much_stands_in_front() {
    let due = |kind, days: i64| Reason {
        due: NOW.plus_days(days),
        ..Cellar::reason_of(kind)
    };
    let check = |behind: Reason, shown: ReasonKind| {
        let reasons = [due(ReasonKind::Lees, 11), behind];
        let glimpses = glance(&reasons);
        let first = &reasons[glimpses[0].at];
        assert_eq!((first.kind, glimpses[0].more), (shown, 1));
        assert_eq!(
            foremost(reasons.iter()).map(|it| it.kind),
            Some(shown),
            "{reasons:?}"
        );
    };
    check(due(ReasonKind::Job, 3), ReasonKind::Job);
    check(due(ReasonKind::Job, 20), ReasonKind::Lees);
    check(due(ReasonKind::Headspace, 3), ReasonKind::Lees);
    let later = Reason {
        rank: Rank::Later,
        ..due(ReasonKind::Job, 3)
    };
    check(later, ReasonKind::Lees);
}

#[test]
fn a_vessel_is_told_of_the_jobs_of_its_batch() {
    let mut cellar = Cellar::with_vessel(23.0, 22.9);
    cellar.spare(1, "Jug", "jug", 3.8);
    let of = |subject| Reason {
        subject,
        ..Cellar::reason_of(ReasonKind::Job)
    };
    let reasons = [of(BATCH), of(CARBOY), of(Key(1))];
    let subjects = |thing| -> Vec<Key> {
        about(thing, &reasons, &cellar.0)
            .map(|it| it.subject)
            .collect()
    };
    assert_eq!(subjects(CARBOY), [BATCH, CARBOY]);
    assert_eq!(subjects(BATCH), [BATCH]);
    assert_eq!(subjects(Key(1)), [Key(1)]);
}

#[test]
fn of_one_rank_each_kind_comes_before_any_comes_twice() {
    use ReasonKind::{Headspace, Lees, SulfiteLow};
    check_glance(
        &[
            (Rank::Now, 201, Headspace),
            (Rank::Now, 202, Headspace),
            (Rank::Soon, 203, SulfiteLow),
            (Rank::Soon, 204, SulfiteLow),
            (Rank::Soon, 205, SulfiteLow),
            (Rank::Soon, 206, Lees),
        ],
        &[
            (201, Headspace, 0),
            (202, Headspace, 0),
            (203, SulfiteLow, 0),
            (206, Lees, 0),
            (204, SulfiteLow, 0),
        ],
    );
}

#[test]
fn a_reason_put_off_comes_back_and_a_dismissed_one_does_not() {
    let silenced = |kind: ReasonKind, subject, until_ms| {
        let mut cellar = needy();
        cellar.put_off(subject, kind.word(), until_ms, 0);
        !kinds(&cellar).contains(&kind)
    };
    assert!(silenced(ReasonKind::Headspace, CARBOY, None));
    assert!(silenced(ReasonKind::Headspace, CARBOY, Some(days_ago(-3))));
    assert!(!silenced(ReasonKind::Headspace, CARBOY, Some(NOW.utc_ms)));
    assert!(!silenced(ReasonKind::Headspace, CARBOY, Some(days_ago(1))));
    assert!(!silenced(ReasonKind::Headspace, BATCH, None));
}

#[test]
fn a_vessel_out_of_use_needs_nothing() {
    let mut cellar = needy();
    cellar.set(CARBOY, field::CLOSED, Value::Int(days_ago(1)));
    assert!(kinds(&cellar).is_empty());
}

#[test]
fn a_vessel_being_bottled_empties_as_it_should() {
    let mut cellar = needy();
    cellar.thing(RUN, Sort::Run, "Riesling 26");
    cellar.set(RUN, field::VESSEL, Value::Int(CARBOY.0));
    cellar.0.filling = Some(RUN);
    assert_eq!(kinds(&cellar), [ReasonKind::Filling]);
}

#[test]
fn sentences_fit_a_row() {
    let mut cellar = needy();
    cellar
        .powder(0.2)
        .set(POWDER, field::OPENED, Value::Int(days_ago(500)));
    cellar.0.last_round_ms = Some(days_ago(99));
    let policy = policy();
    let look = Look::at(&cellar.0, &policy);
    for reason in attention(&cellar.0, &policy) {
        assert!(reason.sentence.chars().count() <= 56, "{}", reason.sentence);
        assert!(!look.working(&reason).is_empty());
        assert!(!reason.suggestion.verb.is_empty());
    }
}

/// Degenerate cellars: none may panic, and every reason they give is still sortable and in words.
fn check_degenerate(name: &str, build: impl Fn(&mut Cellar)) {
    for bottled in [false, true] {
        let mut cellar = if bottled {
            Cellar::with_bottles(3, 5)
        } else {
            Cellar::with_vessel(23.0, 20.0)
        };
        build(&mut cellar);
        let policy = policy();
        for reason in attention(&cellar.0, &policy) {
            assert!(reason.weight.is_finite(), "{name}: {reason:?}");
            let why = Look::at(&cellar.0, &policy).working(&reason);
            for said in why.iter().chain([&reason.sentence]) {
                assert!(
                    !said.contains("NaN") && !said.contains("inf"),
                    "{name}: {said}"
                );
            }
        }
        for key in [CARBOY, RUN] {
            if let Some(holding) = Holding::of(&cellar.0, key, &policy) {
                assert_eq!(holding.gate().len(), 7);
                assert!(!holding.stage().label().is_empty());
            }
        }
    }
}

#[test]
fn degenerate_cellars_are_read_without_a_panic() {
    check_degenerate("one reading", |it| it.gravities(&[(3, 1.050)]));
    check_degenerate("equal times", |it| it.gravities(&[(3, 1.050); 4]));
    check_degenerate("out of order", |it| {
        it.gravities(&[(3, 1.050), (9, 0.990), (1, 1.2)]);
    });
    check_degenerate("negative volume", |it| it.wine().volume = Volume(-4));
    check_degenerate("a drop", |it| {
        it.wine().volume = Volume(1);
        it.knows(Property::FreeSo2, 20.0, 3)
            .knows(Property::Ph, 3.3, 3);
        it.sulfited(5e9, 2);
    });
    check_degenerate("no such readings", |it| {
        it.knows(Property::Ph, f64::NAN, 3)
            .knows(Property::FreeSo2, f64::INFINITY, 3);
        it.knows(Property::Temperature, -300.0, 3)
            .knows(Property::Sugar, -1.0, 3);
    });
    check_degenerate("everything done today and ahead", |it| {
        let deeds = [
            Deed::Begun,
            Deed::Filled,
            Deed::Pitched,
            Deed::Racked,
            Deed::Pressed,
            Deed::MaloStarted,
            Deed::MaloFinished,
            Deed::Sulfited,
            Deed::Sorbated,
            Deed::Degassed,
            Deed::Bottled,
            Deed::Sweetened,
        ];
        for (days, deed) in deeds.into_iter().enumerate() {
            it.did(deed, 3 - days as i64);
        }
    });
    check_degenerate("things without wine or size", |it| {
        it.thing(Key(1), Sort::Vessel, "Odd")
            .thing(Key(2), Sort::Run, "None");
        it.spare(3, "Nothing", "carboy", 0.0)
            .spare(4, "Less", "carboy", -5.0);
        it.fill(Key(3), 2.0).fill(Key(4), 2.0).fill(Key(2), 0.5);
    });
    check_degenerate("wine in an unknown place and batch", |it| {
        it.0.states
            .insert(Key(77), State::from(Wine::default()).into());
        it.wine().makeup.clear();
        it.0.filling = Some(Key(78));
        it.0.things.remove(&BATCH);
    });
}
