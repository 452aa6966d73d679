//! Jobs falling due, by date or by the gravity reached.

use super::fit::Look;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::plan::{self, Progress};
use crate::cellar::snapshot::OpenJob;

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
    let subject = cellar.thing(open.job.subject);
    if subject.is_some_and(|it| !it.is_open()) {
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
    let why = move || {
        let asked = cellar.now.at(open.since_ms).day_words();
        let mut lines = vec![rule, format!("Asked for on {asked}.")];
        lines.extend(offer.map(str::to_owned));
        lines
    };
    Some(
        Reason {
            subject: open.job.subject,
            kind: ReasonKind::Job,
            due,
            rank,
            weight: 0.0,
            sentence: format!("{}{perhaps}", open.job.title),
            suggestion: Suggestion::of("done")
                .with("job", open.job.title.clone())
                .with("about", cellar.name(open.job.subject)),
        }
        .because(why),
    )
}

#[cfg(test)]
mod tests {
    use super::super::trial::{BATCH, CARBOY, Cellar, days_ago};
    use super::*;
    use crate::cellar::entry::{Due, Job, Silence};
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
        cellar.0.silences.push(Silence {
            subject: CARBOY,
            reason: first.identity(),
            until_ms: None,
        });
        let left: Vec<(String, i64)> = open(&cellar)
            .iter()
            .map(|it| (it.sentence.clone(), it.due.days_since(cellar.0.now)))
            .collect();
        assert_eq!(left, [("degas".to_owned(), -2), ("rack".to_owned(), -1)]);
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
