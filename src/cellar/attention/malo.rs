//! Malolactic conversion: finished and unprotected, or not seen to finish for long.

use super::fit::Look;
use super::holding::Holding;
use super::words::span;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::entry::Property;
use crate::cellar::state::Deed;

/// Protection once it is finished; a test when it has run for long.
pub(super) fn rule<'a>(holding: &'a Holding, _: &'a Look) -> Option<Found<'a>> {
    if holding.malo_is_open() {
        unseen(holding)
    } else {
        unprotected(holding)
    }
}

fn unprotected<'a>(holding: &'a Holding) -> Option<Found<'a>> {
    let finished = holding.wine.when(Deed::MaloFinished)?;
    let sulfited = holding.wine.when(Deed::Sulfited);
    if sulfited.is_some_and(|it| it >= finished) || holding.ferment().is_ahead_or_running() {
        return None;
    }
    let days = holding.days(finished);
    let why = move || {
        vec![
        format!("Malolactic was found finished on {}.", holding.day(finished)),
        "No sulfite was written down since; from now on bacteria and air spoil what they can (common practice).".to_owned(),
    ]
    };
    Some(
        Reason {
            subject: holding.place.key,
            kind: ReasonKind::MaloUnprotected,
            due: holding.now.at(finished),
            rank: Rank::Now,
            weight: holding.litres() * holding.policy.loss_after_malo,
            sentence: match days {
                0 => "malolactic finished, no sulfite yet".to_owned(),
                _ => format!("malolactic finished {} ago, no sulfite since", span(days)),
            },
            suggestion: Suggestion::of("dose").with("place", holding.place.name()),
        }
        .because(why),
    )
}

fn unseen<'a>(holding: &'a Holding) -> Option<Found<'a>> {
    if !holding.ferment().is_over() {
        return None;
    }
    let tested = holding.wine.known.get(&Property::Malic).map(|it| it.at_ms);
    let begun = holding
        .wine
        .when(Deed::MaloStarted)
        .or(holding.wine.when(Deed::Pitched))
        .or(holding.wine.when(Deed::Begun))?;
    let since = tested.map_or(begun, |it| it.max(begun));
    let days = holding.days(since);
    let wait = holding.policy.malo_days;
    if (days as f64) < wait {
        return None;
    }
    let why = move || {
        vec![
        "It is wanted or was started, and was not found finished; until then the wine goes without sulfite.".to_owned(),
        format!("Worth a test after {wait:.0} days (house estimate); if it will not run, decide against it and protect the wine."),
    ]
    };
    Some(
        Reason {
            subject: holding.place.key,
            kind: ReasonKind::MaloOpen,
            due: holding.now.at(since).plus_days(wait as i64),
            rank: Rank::Soon,
            weight: holding.litres() * holding.policy.loss_malo_open,
            sentence: format!(
                "malolactic not seen to finish, {} on: test malic",
                span(holding.days(begun))
            ),
            suggestion: Suggestion::of("measure")
                .with("place", holding.place.name())
                .asking("malic"),
        }
        .because(why),
    )
}

#[cfg(test)]
mod tests {
    use super::super::trial::{BATCH, Cellar};
    use super::*;
    use crate::cellar::thing::field;

    fn check(kind: ReasonKind, build: impl Fn(&mut Cellar), expected: &str) {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.finished();
        build(&mut cellar);
        assert_eq!(cellar.says_why(kind), expected);
    }

    #[test]
    fn finished_without_sulfite_since_is_now() {
        let kind = ReasonKind::MaloUnprotected;
        check(
            kind,
            |it| _ = it.did(Deed::MaloFinished, 8),
            "! malolactic finished 8 days ago, no sulfite since",
        );
        check(
            kind,
            |it| _ = it.did(Deed::MaloFinished, 0),
            "! malolactic finished, no sulfite yet",
        );
        check(
            kind,
            |it| _ = it.did(Deed::MaloFinished, 8).did(Deed::Sulfited, 7),
            "",
        );
    }

    #[test]
    fn wanted_and_long_unseen_is_tested() {
        let kind = ReasonKind::MaloOpen;
        let wanted = |it: &mut Cellar| _ = it.set(BATCH, field::MALO, "wanted");
        check(
            kind,
            wanted,
            "› malolactic not seen to finish, 4 months on: test malic",
        );
        check(
            kind,
            move |it| {
                wanted(it);
                it.says(Property::Malic, "faint", 10);
            },
            "",
        );
        check(kind, |_| (), "");
        let tested = |days| {
            move |it: &mut Cellar| {
                wanted(it);
                it.says(Property::Malic, "faint", days);
            }
        };
        check(kind, tested(59), "");
        check(
            kind,
            tested(60),
            "› malolactic not seen to finish, 4 months on: test malic",
        );
    }
}
