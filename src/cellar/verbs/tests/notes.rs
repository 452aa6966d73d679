//! Plans.

use super::*;

#[test]
fn a_plan_is_entered_once_and_started_on_a_wine() {
    let mut cellar = with_must();
    let steps = [
        ("name", "Kit sheet"),
        ("step", "day 1: bentonite and yeast"),
        ("step", "1.010 or day 14: rack"),
        ("step", "day 28: degas, sulfite, sorbate"),
    ];
    cellar.write("plan add", &steps);
    let started = cellar
        .prepare("plan start", &[("plan", "Kit sheet"), ("place", "Bucket")])
        .unwrap();
    let jobs: Vec<(&str, &str)> = started
        .draft
        .jobs
        .iter()
        .map(|it| (it.title.as_str(), it.verb.as_str()))
        .collect();
    assert_eq!(
        jobs,
        [
            ("bentonite and yeast", "fine"),
            ("rack", "rack"),
            ("degas, sulfite, sorbate", "degas")
        ]
    );
    cellar.check(
        "plan start",
        &[("plan", "Kit"), ("place", "Bucket")],
        "refused: no plan is called `Kit`; the nearest is Kit sheet, to be named in full.",
    );
    cellar.check(
        "plan add",
        &[("name", "x"), ("step", "some day")],
        "refused: `some day` is no step; write `day 14: rack`, `week 2: rack`, `1.010: rack` or `1.010 or day 14: rack`.",
    );
}

#[test]
fn only_a_timer_that_runs_is_stopped() {
    let mut cellar = Cellar::new();
    let ours = Thing {
        key: CELLAR,
        uid: Uuid::nil(),
        sort: Sort::Cellar,
        attributes: Attributes::default(),
    };
    cellar.snapshot.things.insert(CELLAR, ours.into());
    let none = "refused: no timer runs.";
    cellar.check("timer", &[("minutes", "0")], none);
    cellar.check("timer", &[("minutes", "0"), ("for", "soak")], none);
    cellar.write("timer", &[("minutes", "10"), ("for", "soak")]);
    cellar.write("timer", &[("minutes", "5"), ("for", "settle")]);
    cellar.check(
        "timer",
        &[("minutes", "0"), ("for", "eggs")],
        "refused: no timer runs for eggs; there is one for settle, soak.",
    );
    cellar.write("timer", &[("minutes", "0"), ("for", "soak")]);
    let left = cellar.snapshot.settings().timers;
    assert_eq!(
        left.iter().map(|it| it.words.as_str()).collect::<Vec<_>>(),
        ["settle"]
    );
}
