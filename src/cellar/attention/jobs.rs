//! Jobs falling due, by date or by the gravity reached.

use super::fit::Look;
use super::gate::{Answer, GateItem};
use super::holding::Holding;
use super::words::gravity;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::moment::Moment;
use crate::cellar::plan::{self, Progress};
use crate::cellar::snapshot::OpenJob;
use crate::cellar::thing::Key;

/// Every open job that is due, or will be within the horizon.
pub(super) fn rule<'a>(look: &'a Look) -> Vec<Found<'a>> {
    look.cellar
        .jobs
        .iter()
        .filter_map(|it| job(it, look))
        .collect()
}

fn job<'a>(open: &'a OpenJob, look: &'a Look) -> Option<Found<'a>> {
    let cellar = look.cellar;
    let subject = plan::subject(open, cellar);
    if cellar.thing(subject).is_some_and(|it| !it.is_open()) {
        return None;
    }
    let (due, rule) = plan::falls_due(open, cellar)?;
    let wait = due.days_since(cellar.now);
    let rank = match wait {
        ..=1 => Rank::Soon,
        _ if wait as f64 <= look.policy.horizon_days => Rank::Later,
        _ => return None,
    };
    let (perhaps, offer) = match plan::progress(open, cellar) {
        Progress::Done => return None,
        Progress::Open => (String::new(), None),
        Progress::Perhaps(done) => (
            format!(" ({done})"),
            Some("If that was it, `done` closes the job."),
        ),
    };
    let unfinished = not_before(open, look);
    // What cannot be done yet is put off: `done` would close it undone.
    let (rank, suggestion) = match unfinished {
        Some(_) => (Rank::Later, put_off(open, subject, look)),
        None => (rank, end_it(open, subject, due, look)),
    };
    let not_before = unfinished.map_or(String::new(), |it| format!(": {it}"));
    let why = move || {
        let asked = cellar.now.at(open.since_ms).day_words();
        let mut lines = vec![rule, format!("Asked for on {asked}.")];
        lines.extend(offer.map(str::to_owned));
        lines
    };
    Some(
        Reason {
            subject,
            kind: ReasonKind::Job,
            due,
            rank,
            weight: 0.0,
            sentence: format!("{}{perhaps}{not_before}", open.job.title),
            suggestion,
        }
        .because(why),
    )
}

fn put_off(open: &OpenJob, subject: Key, look: &Look) -> Suggestion {
    Suggestion::of("snooze")
        .with("about", look.cellar.name(subject))
        .with("reason", ReasonKind::Job.word())
        .with("job", open.job.title.clone())
}

/// Of several jobs with the same words about the same wine, the one that falls due then.
fn end_it(open: &OpenJob, subject: Key, due: Moment, look: &Look) -> Suggestion {
    let done = Suggestion::of("done")
        .with("job", open.job.title.clone())
        .with("about", look.cellar.name(subject));
    let is_such =
        |it: &&OpenJob| it.job.subject == open.job.subject && it.job.title == open.job.title;
    match look.cellar.jobs.iter().filter(is_such).count() {
        0 | 1 => done,
        _ => done.with("due", due.date().to_string()),
    }
}

/// Why a wine is not bottled yet, whatever its plan says: what the gate holds against a vessel of it that may burst a bottle.
fn not_before(open: &OpenJob, look: &Look) -> Option<String> {
    if !plan::is_bottling(open) {
        return None;
    }
    let vessels = plan::vessels(open, look.cellar);
    let is_one = vessels.len() == 1;
    let mut holdings = vessels
        .into_iter()
        .filter_map(|it| Holding::of(look.cellar, it, look.policy));
    holdings.find_map(|it| {
        let lacks = lacking(&it)?;
        let place = it.place.name();
        Some(if is_one {
            format!("not before {lacks}")
        } else {
            format!("{place} not before {lacks}")
        })
    })
}

/// The first that the gate lacks of a wine and that may burst a bottle, in words that follow `not before`.
fn lacking(holding: &Holding) -> Option<String> {
    let item = holding.gate().into_iter().find(GateItem::risks_bursting)?;
    let needs = item.suggestion.as_ref().and_then(|it| it.needs.first());
    let is_known = item.answer == Answer::No;
    Some(match (needs.copied(), holding.wine.gravities.last()) {
        (Some("gas"), _) if is_known => "it is degassed".to_owned(),
        (Some("gas"), _) => "a sample was shaken for gas".to_owned(),
        (Some("temperature"), _) => {
            let warm = holding.policy.warm_c;
            format!("its temperature is known, {warm:.0} °C or warmer")
        }
        (_, Some(last)) => format!("it is finished: gravity {}", gravity(last.gravity)),
        (_, None) => format!("it is finished: gravity {}", holding.unread()),
    })
}

#[cfg(test)]
mod tests {
    use super::super::trial::{BATCH, CARBOY, Cellar, days_ago};
    use super::*;
    use crate::cellar::entry::{Due, Job};
    use crate::cellar::thing::Key;

    fn check(subject: Key, due: Due, expected: &str) {
        let mut cellar = Cellar::with_vessel(23.0, 20.0);
        cellar.gravities(&[(6, 1.090), (2, 1.012)]);
        cellar.0.jobs.push(OpenJob {
            job: Job {
                key: Key(7),
                subject,
                title: "oak out".to_owned(),
                due,
                verb: "oak-out".to_owned(),
            },
            since_ms: days_ago(10),
        });
        assert_eq!(cellar.says_why(ReasonKind::Job), expected);
    }

    #[test]
    fn one_put_off_leaves_the_others_of_the_same_wine() {
        let mut cellar = Cellar::with_vessel(23.0, 20.0);
        for (key, title, due) in [(7, "rack", 3), (8, "degas", 2), (9, "rack", 1)] {
            cellar.0.jobs.push(OpenJob {
                job: Job {
                    key: Key(key),
                    subject: CARBOY,
                    title: title.to_owned(),
                    due: Due::On(days_ago(due)),
                    verb: title.to_owned(),
                },
                since_ms: days_ago(10),
            });
        }
        let open = |cellar: &Cellar| {
            let all = super::super::attention(&cellar.0, &super::super::trial::policy());
            let jobs = all.into_iter().filter(|it| it.kind == ReasonKind::Job);
            jobs.collect::<Vec<_>>()
        };
        let first = open(&cellar)[0].clone();
        cellar.put_off(CARBOY, &first.identity(), None, 0);
        let left: Vec<(String, i64)> = open(&cellar)
            .iter()
            .map(|it| (it.sentence.clone(), it.due.days_since(cellar.0.now)))
            .collect();
        assert_eq!(left, [("degas".to_owned(), -2), ("rack".to_owned(), -1)]);
    }

    #[test]
    fn bottling_waits_until_the_wine_is_finished_and_is_measured_first() {
        let says = |build: &dyn Fn(&mut Cellar)| {
            let mut cellar = Cellar::with_vessel(23.0, 22.9);
            cellar.did(crate::cellar::state::Deed::Pitched, 40);
            build(&mut cellar);
            cellar.0.jobs.push(OpenJob {
                job: Job {
                    key: Key(7),
                    subject: BATCH,
                    title: "bottle when clear".to_owned(),
                    due: Due::On(days_ago(2)),
                    verb: "bottle start".to_owned(),
                },
                since_ms: days_ago(30),
            });
            let all = super::super::attention(&cellar.0, &super::super::trial::policy());
            let of = |kind| all.iter().position(|it| it.kind == kind);
            let measuring = of(ReasonKind::Unfinished);
            if let (Some(measuring), Some(job)) = (measuring, of(ReasonKind::Job)) {
                assert!(measuring < job, "{all:#?}");
            }
            // The job is put off, and not closed, until it can be done.
            let verb = of(ReasonKind::Job).map(|it| all[it].suggestion.verb);
            let is_blocked = cellar.says_why(ReasonKind::Job).contains("not before");
            assert_eq!(verb, Some(if is_blocked { "snooze" } else { "done" }));
            (measuring.is_some(), cellar.says_why(ReasonKind::Job))
        };
        let line = "  bottle when clear: not before it is finished: gravity 1.008";
        assert_eq!(
            says(&|it| it.gravities(&[(40, 1.080), (20, 1.008)])),
            (true, line.to_owned())
        );
        let line = "  bottle when clear: not before it is finished: gravity never measured";
        assert_eq!(says(&|_| ()), (true, line.to_owned()));
        let line = "› bottle when clear";
        assert_eq!(says(&|it| _ = it.finished()), (false, line.to_owned()));
        let line = "  bottle when clear: not before a sample was shaken for gas";
        let no_gas =
            |it: &mut Cellar| _ = it.finished().never(crate::cellar::state::Deed::Degassed);
        assert_eq!(says(&no_gas).1, line);
        let line = "  bottle when clear: Jug not before it is finished: gravity 1.008";
        let in_the_jug = |it: &mut Cellar| {
            it.finished().spare(202, "Jug", "jug", 3.8);
            it.fill(Key(202), 3.7);
            if let Some(crate::cellar::state::State::Wine(wine)) =
                it.0.states.get_mut(&Key(202)).map(std::sync::Arc::make_mut)
            {
                wine.gravities = vec![crate::cellar::state::GravityReading {
                    at_ms: days_ago(3),
                    gravity: 1.008,
                    celsius: None,
                    fed: None,
                }];
            }
        };
        assert_eq!(says(&in_the_jug).1, line);
    }

    fn at_gravity(gravity: f64, latest_days_ago: Option<i64>) -> Due {
        Due::AtGravity {
            gravity,
            latest_ms: latest_days_ago.map(days_ago),
        }
    }

    #[test]
    fn by_date() {
        check(CARBOY, Due::On(days_ago(3)), "› oak out");
        check(CARBOY, Due::On(days_ago(-1)), "› oak out");
        check(CARBOY, Due::On(days_ago(-5)), "  oak out");
        check(CARBOY, Due::On(days_ago(-14)), "  oak out");
        check(CARBOY, Due::On(days_ago(-15)), "");
    }

    #[test]
    fn by_gravity_reached() {
        check(CARBOY, at_gravity(1.012, None), "› oak out");
        check(BATCH, at_gravity(1.020, None), "› oak out");
        check(CARBOY, at_gravity(1.010, None), "");
        check(CARBOY, at_gravity(1.010, Some(-4)), "  oak out");
        check(CARBOY, at_gravity(1.020, Some(5)), "› oak out");
    }
}
