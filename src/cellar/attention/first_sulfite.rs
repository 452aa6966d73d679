//! The first sulfite after the ferment, and what a red wine must be asked before it: whether malolactic is wanted.

use super::fit::Look;
use super::given::Given;
use super::holding::Holding;
use super::words::span;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::moment::Moment;
use crate::cellar::state::Deed;
use crate::cellar::thing::{Malo, Wine, field};

/// Due with the first racking after it was found dry, and no later than the policy allows.
pub(super) fn rule<'a>(holding: &'a Holding, _: &'a Look) -> Option<Found<'a>> {
    let (due, dry_ms) = due(holding)?;
    let policy = holding.policy;
    let wait = due.days_since(holding.now);
    let rank = match wait {
        ..=0 => Rank::Now,
        1.. if wait as f64 <= policy.horizon_days => Rank::Later,
        _ => return None,
    };
    let days = span(holding.days(dry_ms));
    let batch = holding.batch.filter(|_| is_asked(holding));
    let place = holding.place.name();
    let (kind, sentence, suggestion) = match batch {
        Some(batch) => (
            ReasonKind::MaloAsked,
            "malolactic: wanted or not? Its first sulfite waits for that".to_owned(),
            Suggestion::of("batch change")
                .with("batch", batch.name())
                .asking("malo"),
        ),
        None => (
            ReasonKind::FirstSulfite,
            format!("dry for {days}, no sulfite since: give its first with the racking"),
            Suggestion::of("dose").with("place", place),
        ),
    };
    let is_racked = racked_since(holding, dry_ms).is_some();
    let why = move || {
        let day = holding.day(dry_ms);
        let first = match (kind, is_racked) {
            (ReasonKind::MaloAsked, _) => {
                "Sulfite keeps malolactic bacteria from starting, so a red wine is given none before it is said whether they are wanted (common practice)."
            }
            (_, true) => "It was racked since, and has met air without any sulfite.",
            (_, false) => {
                "Malolactic bacteria that are wanted come first: `batch change --malo wanted` says so."
            }
        };
        vec![
            format!(
                "Found dry on {day}, and no sulfite is written down since; what went in before, the yeast has bound (common practice)."
            ),
            format!(
                "The first sulfite goes in with the first racking, within about {:.0} days of that (common practice).",
                policy.first_sulfite_days
            ),
            first.to_owned(),
        ]
    };
    Some(
        Reason {
            subject: holding.place.key,
            kind,
            due,
            rank,
            weight: holding.litres() * policy.loss_first_sulfite,
            sentence,
            suggestion,
        }
        .because(why),
    )
}

/// When the first sulfite is due, and since when the wine is known to be dry, UTC ms; `None` where some went in since, where a test
/// says what there is, where bacteria are to work first or are done, and where a kit says it itself.
pub(super) fn due(holding: &Holding) -> Option<(Moment, i64)> {
    if !holding.ferment().is_over() || holding.malo_is_open() || holding.malo_is_finished() {
        return None;
    }
    let is_kit = holding
        .batch
        .is_some_and(|it| it.text(field::KIND) == "kit");
    if is_kit || holding.wine.when(Deed::BeforeBook).is_some() || holding.forecast().is_some() {
        return None;
    }
    let dry_ms = holding.measured_over_ms()?;
    let is_since = |it: i64| it >= dry_ms;
    let sulfited = holding.wine.when(Deed::Sulfited).is_some_and(is_since);
    if sulfited || Given::of(holding).is_some_and(|it| it.protects()) {
        return None;
    }
    let at_last = holding
        .now
        .at(dry_ms)
        .plus_days(holding.policy.first_sulfite_days as i64);
    let racked = racked_since(holding, dry_ms).map(|it| holding.now.at(it));
    Some((racked.map_or(at_last, |it| it.min(at_last)), dry_ms))
}

fn racked_since(holding: &Holding, dry_ms: i64) -> Option<i64> {
    holding.wine.when(Deed::Racked).filter(|it| *it >= dry_ms)
}

/// Whether nobody said if malolactic is wanted in a wine where it is usual.
fn is_asked(holding: &Holding) -> bool {
    let is_red = holding.batch.is_some_and(|it| it.wine() == Wine::Red);
    is_red && holding.malo() == Malo::Unknown
}

#[cfg(test)]
mod tests {
    use super::super::trial::{BATCH, Cellar};
    use super::*;
    use crate::cellar::entry::Property;

    /// Yeast 50 days ago, dry so many days ago, and nothing given since.
    fn dry(days: i64) -> Cellar {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.did(Deed::Pitched, 50);
        cellar.gravities(&[(50, 1.085), (days, 0.994)]);
        cellar
    }

    fn check(cellar: &Cellar, kind: ReasonKind, expected: &str) {
        assert_eq!(cellar.says_why(kind), expected);
    }

    const FIRST: ReasonKind = ReasonKind::FirstSulfite;

    /// Four weeks, or with the first racking if that is sooner (common practice).
    #[test]
    fn it_is_due_with_the_first_racking_after_it_was_found_dry() {
        check(&dry(13), FIRST, "");
        let later = "  dry for 14 days, no sulfite since: give its first with the racking";
        check(&dry(14), FIRST, later);
        let pressing = "! dry for 28 days, no sulfite since: give its first with the racking";
        check(&dry(28), FIRST, pressing);
        let mut racked = dry(13);
        racked.did(Deed::Racked, 2);
        let pressing = "! dry for 13 days, no sulfite since: give its first with the racking";
        check(&racked, FIRST, pressing);
        assert_eq!(racked.reason(FIRST).unwrap().suggestion.verb, "dose");
    }

    #[test]
    fn what_went_in_before_the_yeast_is_none_and_what_went_in_since_is() {
        let mut before = dry(28);
        before.sulfited(50.0, 51);
        assert!(before.reason(FIRST).is_some());
        let mut since = dry(28);
        since.sulfited(30.0, 20);
        check(&since, FIRST, "");
        let mut tested = dry(28);
        tested.knows(Property::FreeSo2, 25.0, 5);
        check(&tested, FIRST, "");
    }

    #[test]
    fn one_wine_is_not_asked_for_it_twice() {
        let mut cellar = dry(28);
        cellar.did(Deed::Begun, 70);
        check(&cellar, ReasonKind::Untested, "");
    }

    #[test]
    fn a_red_wine_is_asked_about_malolactic_first_and_none_where_it_is_wanted() {
        let red = |malo: &str| {
            let mut cellar = dry(28);
            cellar
                .set(BATCH, field::WINE, "red")
                .set(BATCH, field::MALO, malo);
            let kinds = [FIRST, ReasonKind::MaloAsked];
            let found = kinds.map(|it| cellar.reason(it));
            found.map(|it| it.map(|it| (it.rank, it.suggestion.verb)))
        };
        assert_eq!(red(""), [None, Some((Rank::Now, "batch change"))]);
        assert_eq!(red("unwanted"), [Some((Rank::Now, "dose")), None]);
        assert_eq!(red("wanted"), [None, None]);
    }
}
