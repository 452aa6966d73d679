//! Jobs falling due, by date or by the gravity reached.

use super::fit::Look;
use super::words::{due as due_words, gravity};
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::entry::Due;
use crate::cellar::moment::Moment;
use crate::cellar::snapshot::{OpenJob, Snapshot};
use crate::cellar::state::GravityReading;
use crate::cellar::thing::{Key, Sort};

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
    let (due, rule) = falls_due(open, cellar)?;
    let wait = due.days_since(cellar.now);
    let rank = match wait {
        ..=1 => Rank::Soon,
        _ if wait as f64 <= look.policy.horizon_days => Rank::Later,
        _ => return None,
    };
    let why = move || {
        vec![
            rule,
            format!("Asked for on {}.", cellar.now.at(open.since_ms).day_words()),
        ]
    };
    Some(
        Reason {
            subject: open.job.subject,
            kind: ReasonKind::Job,
            due,
            rank,
            weight: 0.0,
            sentence: format!("{}: {}", open.job.title, due_words(due, cellar.now)),
            suggestion: Suggestion::of("done")
                .with("job", open.job.title.clone())
                .with("about", cellar.name(open.job.subject)),
        }
        .because(why),
    )
}

/// When it falls due and by what: the date, or the day its gravity was read, whichever comes first.
fn falls_due(open: &OpenJob, cellar: &Snapshot) -> Option<(Moment, String)> {
    match open.job.due {
        Due::On(at) => {
            let at = cellar.now.at(at);
            Some((at, format!("Due on {}.", at.day_words())))
        }
        Due::AtGravity {
            gravity: asked,
            latest_ms,
        } => {
            let reached = last_gravity(open.job.subject, cellar)
                .filter(|it| it.gravity <= asked + 1e-9)
                .map(|it| {
                    let rule = format!(
                        "Due at gravity {}; it read {}.",
                        gravity(asked),
                        gravity(it.gravity)
                    );
                    (cellar.now.at(it.at_ms), rule)
                });
            let latest = latest_ms.map(|it| {
                let at = cellar.now.at(it);
                let rule = format!(
                    "Due at gravity {}, on {} at the latest.",
                    gravity(asked),
                    at.day_words()
                );
                (at, rule)
            });
            match (reached, latest) {
                (Some(one), Some(other)) => Some(if one.0 <= other.0 { one } else { other }),
                (one, other) => one.or(other),
            }
        }
    }
}

/// The newest gravity of the vessel, or of the vessels that hold mostly that batch.
fn last_gravity(subject: Key, cellar: &Snapshot) -> Option<GravityReading> {
    let is_batch = cellar
        .thing(subject)
        .is_some_and(|it| it.sort == Sort::Batch);
    if !is_batch {
        return cellar.wine(subject)?.gravities.last().copied();
    }
    cellar
        .open(Sort::Vessel)
        .filter_map(|it| cellar.wine(it.key))
        .filter(|it| it.main_batch() == Some(subject))
        .filter_map(|it| it.gravities.last().copied())
        .max_by_key(|it| it.at_ms)
}

#[cfg(test)]
mod tests {
    use super::super::trial::{BATCH, CARBOY, Cellar, days_ago};
    use super::*;
    use crate::cellar::entry::Job;

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

    fn at_gravity(gravity: f64, latest_days_ago: Option<i64>) -> Due {
        Due::AtGravity {
            gravity,
            latest_ms: latest_days_ago.map(days_ago),
        }
    }

    #[test]
    fn by_date() {
        check(CARBOY, Due::On(days_ago(3)), "› oak out: 3 days ago");
        check(CARBOY, Due::On(days_ago(-1)), "› oak out: tomorrow");
        check(CARBOY, Due::On(days_ago(-5)), "  oak out: in 5 days");
        check(CARBOY, Due::On(days_ago(-14)), "  oak out: in 14 days");
        check(CARBOY, Due::On(days_ago(-15)), "");
    }

    #[test]
    fn by_gravity_reached() {
        check(CARBOY, at_gravity(1.012, None), "› oak out: 2 days ago");
        check(BATCH, at_gravity(1.020, None), "› oak out: 2 days ago");
        check(CARBOY, at_gravity(1.010, None), "");
        check(CARBOY, at_gravity(1.010, Some(-4)), "  oak out: in 4 days");
        check(CARBOY, at_gravity(1.020, Some(5)), "› oak out: 5 days ago");
    }
}
