//! A ferment so warm that its yeast may stop.

use super::fit::Look;
use super::holding::Holding;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::entry::Property;
use crate::cellar::state::Deed;

/// The hottest that a must was ever measured at, °C; above that it is a slip.
const MOST_C: f64 = 60.0;

/// While yeast or malolactic bacteria work and its last temperature, read lately, is too high for them.
pub(super) fn rule<'a>(holding: &'a Holding, _: &'a Look) -> Option<Found<'a>> {
    let policy = holding.policy;
    let by_yeast = holding.ferment().is_ahead_or_running();
    let by_bacteria = holding.malo_is_open() && holding.wine.when(Deed::MaloStarted).is_some();
    if !by_yeast && !by_bacteria {
        return None;
    }
    let (celsius, known) = holding.known_between(Property::Temperature, policy.hot_c, MOST_C)?;
    let is_fresh = holding.days(known.at_ms) as f64 <= policy.hot_days;
    if celsius <= policy.hot_c || !is_fresh {
        return None;
    }
    let what = if by_yeast { "yeast" } else { "its bacteria" };
    let most = policy.hot_c;
    let why = move || {
        vec![
            format!("It was at {celsius:.0} °C on {}.", holding.day(known.at_ms)),
            format!("Above {most:.0} to 32 °C yeast and malolactic bacteria may stop, and fruit is lost (common practice)."),
            "Cool it slowly: a cold room, wet towels and a fan, a bath of cold water, closed bottles of ice in it; a cap is pushed under first, it is the warmest. A shock of more than some 5 °C at once may stop yeast too (common practice).".to_owned(),
            "A further reading that is lower ends this.".to_owned(),
        ]
    };
    Some(
        Reason {
            subject: holding.place.key,
            kind: ReasonKind::Hot,
            due: holding.now.at(known.at_ms),
            rank: Rank::Now,
            weight: holding.litres() * policy.loss_hot,
            sentence: format!("{celsius:.0} °C: cool it, {what} may stop above {most:.0} °C"),
            suggestion: Suggestion::of("measure")
                .with("place", holding.place.name())
                .asking("temperature"),
        }
        .because(why),
    )
}

#[cfg(test)]
mod tests {
    use super::super::trial::Cellar;
    use super::*;

    fn check(celsius: f64, days: i64, build: impl FnOnce(&mut Cellar), expected: &str) {
        let mut cellar = Cellar::with_vessel(23.0, 18.0);
        build(&mut cellar);
        cellar.knows(Property::Temperature, celsius, days);
        assert_eq!(cellar.says_why(ReasonKind::Hot), expected);
    }

    /// Above 30 to 32 °C yeast may stop: common practice.
    #[test]
    fn a_ferment_above_thirty_degrees_is_to_be_cooled() {
        let works = |it: &mut Cellar| {
            it.did(Deed::Pitched, 5);
            it.gravities(&[(5, 1.090), (0, 1.010)]);
        };
        let hot = "! 33 °C: cool it, yeast may stop above 30 °C";
        check(33.0, 0, works, hot);
        check(33.0, 4, works, "");
        check(30.0, 0, works, "");
        let malo = |it: &mut Cellar| _ = it.finished().did(Deed::MaloStarted, 5);
        let hot = "! 31 °C: cool it, its bacteria may stop above 30 °C";
        check(31.0, 0, malo, hot);
        check(31.0, 0, |it| _ = it.finished(), "");
    }
}
