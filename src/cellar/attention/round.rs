//! The cellar round: every chore without a measurement, as one line for the whole cellar.

use super::fit::Look;
use super::words::{count, span};
use super::{Found, Policy, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::bottling::Closure;
use crate::cellar::moment::Moment;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::{Deed, Wine};
use crate::cellar::thing::{CELLAR, Sort};

/// When the next round is due: weekly, while any vessel holds wine, from the last round, and before any from the day on which
/// the first of them was filled, for whoever fills a vessel looks at it.
pub fn round_due(cellar: &Snapshot, policy: &Policy) -> Option<Moment> {
    let filled: Vec<Option<i64>> = wines(cellar).map(|it| it.when(Deed::Filled)).collect();
    let first = filled.iter().flatten().min().copied();
    let from = cellar.last_round_ms.or(first).map(|it| cellar.now.at(it));
    let due = from.map_or(cellar.now, |it| it.plus_days(policy.round_days as i64));
    (!filled.is_empty()).then_some(due)
}

/// All wine in vessels.
fn wines(cellar: &Snapshot) -> impl Iterator<Item = &Wine> {
    let vessels = cellar.open(Sort::Vessel);
    vessels.filter_map(|it| cellar.wine(it.key))
}

/// The round that is due.
pub(super) fn rule<'a>(look: &'a Look) -> Vec<Found<'a>> {
    let (cellar, policy) = (look.cellar, look.policy);
    let Some(due) = round_due(cellar, policy).filter(|it| it.days_since(cellar.now) <= 0) else {
        return Vec::new();
    };
    let holding = wines(cellar).count() as i64;
    let litres: f64 = wines(cellar).map(|it| it.volume.in_litres().max(0.0)).sum();
    let last = cellar.last_round_ms.map(|it| cellar.now.at(it));
    let last_said = last.map_or("not yet done".to_owned(), |it| {
        format!("last {} ago", span(cellar.now.days_since(it)))
    });
    let (corks, level) = if may_have_corks(cellar) {
        (", corks", " corks level,")
    } else {
        ("", "")
    };
    let why = move || {
        vec![
            format!(
                "Every {:.0} days (common practice), over {} with wine.",
                policy.round_days,
                count(holding, "vessel")
            ),
            format!(
                "Airlocks filled, no film on the wine,{level} nothing leaks; note what is not so."
            ),
        ]
    };
    vec![
        Reason {
            subject: CELLAR,
            kind: ReasonKind::Round,
            due,
            rank: Rank::Soon,
            weight: litres * policy.loss_round,
            sentence: format!("cellar round: airlocks, film{corks}; {last_said}"),
            suggestion: Suggestion::of("round"),
        }
        .because(why),
    ]
}

/// Whether any wine may be under cork: not where all of it that is bottled has taps, lids or caps.
fn may_have_corks(cellar: &Snapshot) -> bool {
    let runs = cellar.open(Sort::Run);
    let held = runs.filter(|it| cellar.wine(it.key).is_some_and(|it| it.bottle_count() > 0));
    let mut corked = held.map(|it| {
        let closure = Closure::of(it);
        closure.is_none_or(|it| it.is_driven() || it == Closure::Stopper)
    });
    corked
        .next()
        .is_none_or(|first| first || corked.any(|it| it))
}

#[cfg(test)]
mod tests {
    use super::super::trial::{CARBOY, Cellar, days_ago};
    use super::*;
    use crate::cellar::thing::field;

    fn check(build: impl Fn(&mut Cellar), expected: &str) {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        build(&mut cellar);
        assert_eq!(cellar.says_why(ReasonKind::Round), expected);
    }

    #[test]
    fn it_is_due_weekly() {
        let last = |days| move |it: &mut Cellar| it.0.last_round_ms = Some(days_ago(days));
        check(
            last(9),
            "› cellar round: airlocks, film, corks; last 9 days ago",
        );
        check(
            last(7),
            "› cellar round: airlocks, film, corks; last 7 days ago",
        );
        check(last(6), "");
        check(
            |it| it.0.last_round_ms = None,
            "› cellar round: airlocks, film, corks; not yet done",
        );
    }

    #[test]
    fn the_first_is_due_a_week_after_the_first_vessel_was_filled() {
        let due = |days| {
            let mut cellar = Cellar::with_vessel(23.0, 22.9);
            cellar.0.last_round_ms = None;
            cellar.did(Deed::Filled, days);
            let reason = cellar.reason(ReasonKind::Round);
            reason.map(|it| it.due.days_since(cellar.0.now))
        };
        assert_eq!(due(6), None);
        assert_eq!(due(7), Some(0));
        assert_eq!(due(10), Some(-3));
    }

    #[test]
    fn an_empty_cellar_needs_none() {
        check(
            |it| {
                it.0.last_round_ms = None;
                it.set(CARBOY, field::CLOSED, crate::cellar::thing::Value::Int(1));
            },
            "",
        );
    }
}
