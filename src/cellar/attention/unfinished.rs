//! A ferment that nobody has measured as finished, or that stands still short of its end.

use super::finished::{Finished, Plateau};
use super::fit::Look;
use super::holding::Holding;
use super::stage::Ferment;
use super::words::{gravity, span};
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::moment::Moment;
use crate::cellar::state::Deed;

/// Stuck first, then a stall, then a gravity that was not measured for long.
pub(super) fn rule<'a>(holding: &'a Holding, _: &'a Look) -> Option<Found<'a>> {
    let ferment = holding.ferment();
    let (due, rank, sentence) = match ferment {
        Ferment::Unsaid | Ferment::Must => return None,
        Ferment::Stuck => stuck(holding)?,
        Ferment::Running => stalled(holding).or_else(|| unmeasured(holding, ferment))?,
        Ferment::Presumed | Ferment::Over => unmeasured(holding, ferment)?,
    };
    let why = move || {
        let mut lines = holding.finished().evidence;
        if let Some(pitched) = holding.wine.when(Deed::Pitched) {
            lines.push(format!(
                "Pitched on {}; a normal ferment takes two to three weeks (Bisson, Stuck and sluggish fermentations).",
                holding.day(pitched)
            ));
        }
        lines
    };
    let weight = match ferment {
        Ferment::Stuck => holding.policy.loss_stuck,
        Ferment::Running => holding.policy.loss_stalled,
        _ => holding.policy.loss_unmeasured,
    };
    Some(
        Reason {
            subject: holding.place.key,
            kind: ReasonKind::Unfinished,
            due,
            rank,
            weight: holding.litres() * weight,
            sentence,
            suggestion: Suggestion::of("measure")
                .with("place", holding.place.name())
                .asking(if ferment == Ferment::Stuck {
                    "sugar"
                } else {
                    "gravity"
                }),
        }
        .because(why),
    )
}

/// Steady above its end.
fn stuck(holding: &Holding) -> Option<(Moment, Rank, String)> {
    let plateau = Plateau::of(&holding.wine.gravities, holding.policy.equal_gravity)?;
    let sentence = format!(
        "steady at {} for {}: stuck, not finished",
        gravity(plateau.gravity),
        span(holding.days(plateau.since_ms))
    );
    Some((holding.now.at(plateau.until_ms), Rank::Now, sentence))
}

/// The last three readings or more hardly fall over three days, with sugar left.
fn stalled(holding: &Holding) -> Option<(Moment, Rank, String)> {
    let policy = holding.policy;
    let plateau = Plateau::of(&holding.wine.gravities, policy.stall_fall)?;
    let days = holding
        .now
        .at(plateau.until_ms)
        .days_since(holding.now.at(plateau.since_ms));
    let sugar_left = plateau.gravity > policy.end_gravity + 0.004;
    let is_recent = holding.days(plateau.until_ms) as f64 <= policy.ferment_days;
    // Before the yeast has begun there is no fall either.
    let has_begun = holding
        .wine
        .gravities
        .first()
        .is_some_and(|it| it.gravity - plateau.gravity > 0.003)
        || holding
            .days_since(Deed::Pitched)
            .is_some_and(|it| it as f64 > policy.stall_days);
    let stalls = plateau.readings >= 3 && days as f64 >= policy.stall_days;
    (stalls && sugar_left && is_recent && has_begun).then(|| {
        let sentence = format!(
            "{} for {}: hardly falling, may be stuck",
            gravity(plateau.gravity),
            span(days)
        );
        (holding.now.at(plateau.until_ms), Rank::Now, sentence)
    })
}

/// Old enough to be over, not measured as finished, and not measured lately.
fn unmeasured(holding: &Holding, ferment: Ferment) -> Option<(Moment, Rank, String)> {
    let policy = holding.policy;
    let pitched = holding.wine.when(Deed::Pitched);
    let last = holding.wine.gravities.last();
    let age = holding.days(pitched.or(last.map(|it| it.at_ms))?);
    if (age as f64) < policy.ferment_days {
        return None;
    }
    let finish = holding.finished().finished;
    if finish == Finished::Yes || (finish == Finished::Unknown && last.is_some()) {
        // Equal and dry, with only the gas unsaid: that is asked at the gate.
        return None;
    }
    let wait = if ferment == Ferment::Running {
        policy.ferment_days / 3.0
    } else {
        policy.steady_days
    };
    match last {
        None => Some((
            holding
                .now
                .at(pitched?)
                .plus_days(policy.ferment_days as i64),
            Rank::Soon,
            format!("{} since the yeast, gravity never measured", span(age)),
        )),
        Some(last) => {
            let days = holding.days(last.at_ms);
            let due = holding.now.at(last.at_ms).plus_days(wait as i64);
            let rank = if ferment == Ferment::Over {
                Rank::Later
            } else {
                Rank::Soon
            };
            let sentence = format!(
                "gravity {} {} ago, not yet shown finished",
                gravity(last.gravity),
                span(days)
            );
            (days as f64 >= wait).then_some((due, rank, sentence))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::trial::Cellar;
    use super::*;

    fn check(pitched: i64, gravities: &[(i64, f64)], expected: &str) {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.did(Deed::Pitched, pitched).did(Deed::Degassed, 20);
        cellar.gravities(gravities);
        assert_eq!(cellar.says_why(ReasonKind::Unfinished), expected);
    }

    #[test]
    fn a_ferment_long_begun_is_measured() {
        check(30, &[], "› 30 days since the yeast, gravity never measured");
        check(
            30,
            &[(30, 1.090), (20, 1.010)],
            "› gravity 1.010 20 days ago, not yet shown finished",
        );
        check(12, &[], "");
        check(30, &[(30, 1.090), (2, 1.010)], "");
    }

    #[test]
    fn dry_but_not_yet_three_times_is_worth_knowing() {
        check(
            60,
            &[(60, 1.090), (40, 0.995)],
            "  gravity 0.995 40 days ago, not yet shown finished",
        );
        check(60, &[(40, 0.995), (30, 0.995), (20, 0.995)], "");
    }

    #[test]
    fn steady_above_the_end_is_stuck() {
        check(
            40,
            &[(18, 1.012), (10, 1.012), (1, 1.012)],
            "! steady at 1.012 for 18 days: stuck, not finished",
        );
    }

    #[test]
    fn no_fall_over_three_days_is_a_stall() {
        let falling = [(10, 1.090), (4, 1.031), (2, 1.030), (1, 1.030)];
        check(
            10,
            &falling,
            "! 1.030 for 3 days: hardly falling, may be stuck",
        );
        check(10, &[(10, 1.090), (4, 1.036), (2, 1.032), (1, 1.030)], "");
        // The yeast has not begun yet: must measured thrice on the day it was pitched.
        check(0, &[(4, 1.090), (2, 1.090), (0, 1.090)], "");
    }
}
