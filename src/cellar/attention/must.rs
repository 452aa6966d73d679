//! Must that stands and was given no yeast.

use super::fit::Look;
use super::holding::Holding;
use super::stage::Ferment;
use super::words::span;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::state::Deed;

/// From the day on which it should have had its yeast: a day or two after it came, or after it was sulfited.
pub(super) fn rule<'a>(holding: &'a Holding, _: &'a Look) -> Option<Found<'a>> {
    let wine = holding.wine;
    if holding.ferment() != Ferment::Must || wine.when(Deed::BeforeBook).is_some() {
        return None;
    }
    let begun = wine.when(Deed::Begun)?;
    let sulfited = wine.when(Deed::Sulfited).filter(|it| *it >= begun);
    let policy = holding.policy;
    let due = holding
        .now
        .at(sulfited.unwrap_or(begun))
        .plus_days(policy.must_days as i64);
    if due.days_since(holding.now) > 0 {
        return None;
    }
    let stands = span(holding.days(begun));
    let lacks = match sulfited {
        Some(at) => format!("no yeast, sulfited {} ago", span(holding.days(at))),
        None => "neither yeast nor sulfite".to_owned(),
    };
    let why = move || {
        vec![
            format!("It came on {} and no yeast is written down.", holding.day(begun)),
            format!(
                "Must is given its yeast within a day or two, and a day after sulfite (common practice); due {}.",
                due.day_words()
            ),
            "Until then wild yeast, mould and vinegar bacteria have it to themselves; cold slows them, and a lid keeps flies off.".to_owned(),
            "Did it begin by itself? A gravity that fell says so, and ends this.".to_owned(),
        ]
    };
    Some(
        Reason {
            subject: holding.place.key,
            kind: ReasonKind::MustWaits,
            due,
            rank: Rank::Soon,
            weight: holding.litres() * policy.loss_must,
            sentence: format!("must for {stands}, {lacks}: pitch yeast"),
            suggestion: Suggestion::of("pitch").with("place", holding.place.name()),
        }
        .because(why),
    )
}

#[cfg(test)]
mod tests {
    use super::super::trial::Cellar;
    use super::*;

    fn check(build: impl FnOnce(&mut Cellar), expected: &str) {
        let mut cellar = Cellar::with_vessel(23.0, 18.0);
        build(&mut cellar);
        assert_eq!(cellar.says_why(ReasonKind::MustWaits), expected);
    }

    /// A day or two until its yeast, and a day after sulfite: common practice.
    #[test]
    fn must_is_given_its_yeast_within_two_days() {
        check(|it| _ = it.did(Deed::Begun, 1), "");
        check(
            |it| _ = it.did(Deed::Begun, 4),
            "› must for 4 days, neither yeast nor sulfite: pitch yeast",
        );
        check(|it| _ = it.did(Deed::Begun, 4).did(Deed::Sulfited, 1), "");
        check(
            |it| _ = it.did(Deed::Begun, 4).did(Deed::Sulfited, 3),
            "› must for 4 days, no yeast, sulfited 3 days ago: pitch yeast",
        );
    }

    #[test]
    fn yeast_or_a_gravity_that_fell_ends_it() {
        check(|it| _ = it.did(Deed::Begun, 4).did(Deed::Pitched, 3), "");
        check(
            |it| it.did(Deed::Begun, 4).gravities(&[(4, 1.085), (1, 1.070)]),
            "",
        );
    }
}
