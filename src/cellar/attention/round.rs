//! The cellar round: every chore without a measurement, as one line for the whole cellar.

use super::fit::Look;
use super::words::{count, span};
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::thing::{CELLAR, Sort};

/// Weekly, while any vessel holds wine.
pub(super) fn rule<'a>(look: &'a Look) -> Vec<Found<'a>> {
    let (cellar, policy) = (look.cellar, look.policy);
    let vessels = cellar.open(Sort::Vessel);
    let wines = vessels.filter_map(|it| cellar.wine(it.key));
    let (holding, litres) = wines.fold((0, 0.0), |(number, litres), it| {
        (number + 1, litres + it.volume.in_litres().max(0.0))
    });
    let last = cellar.last_round_ms.map(|it| cellar.now.at(it));
    let due = last.map_or(cellar.now, |it| it.plus_days(policy.round_days as i64));
    if holding == 0 || due.days_since(cellar.now) > 0 {
        return Vec::new();
    }
    let last_said = last.map_or("not yet done".to_owned(), |it| {
        format!("last {} ago", span(cellar.now.days_since(it)))
    });
    let why = move || {
        vec![
        format!(
            "Every {:.0} days (common practice), over {} with wine.",
            policy.round_days,
            count(holding, "vessel")
        ),
        "Airlocks filled, no film on the wine, corks level, nothing leaks; note what is not so.".to_owned(),
    ]
    };
    vec![
        Reason {
            subject: CELLAR,
            kind: ReasonKind::Round,
            due,
            rank: Rank::Soon,
            weight: litres * policy.loss_round,
            sentence: format!("cellar round: airlocks, film, corks; {last_said}"),
            suggestion: Suggestion::of("round"),
        }
        .because(why),
    ]
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
