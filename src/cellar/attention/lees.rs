//! Sediment since the last racking.

use super::fit::Look;
use super::holding::Holding;
use super::words::span;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::amount::Volume;
use crate::cellar::entry::Property;
use crate::cellar::state::Deed;

/// Gross lees first, then the finer sediment of later months.
pub(super) fn rule<'a>(holding: &'a Holding, look: &'a Look) -> Option<Found<'a>> {
    if !holding.ferment().is_over() {
        return None;
    }
    let policy = holding.policy;
    let gross = holding.is_on_gross_lees();
    let (since, allowed, asked) = if gross {
        let says =
            "Gross lees are left within about four weeks of the ferment's end (common practice)";
        (holding.gross_lees_since()?, policy.gross_lees_days, says)
    } else {
        let racked = holding.wine.when(Deed::Racked)?;
        if holding.was_clear_since(racked) {
            let says = "A clear wine is racked again after about six months (house estimate): each racking brings in air";
            (racked, policy.fine_lees_clear_days, says)
        } else {
            let says = "Later rackings are about three months apart (common practice)";
            (racked, policy.fine_lees_days, says)
        }
    };
    let due = holding.now.at(since).plus_days(allowed as i64);
    let wait = due.days_since(holding.now);
    let rank = match wait {
        // Bacteria at work like their lees, and want no racking while they run.
        ..=0 if gross && !holding.malo_is_open() => Rank::Now,
        ..=0 => Rank::Soon,
        1.. if wait as f64 <= policy.horizon_days => Rank::Later,
        _ => return None,
    };
    let days = holding.days(since);
    let what = if gross {
        format!("{} on gross lees", span(days))
    } else {
        format!("{} since the last racking", span(days))
    };
    let (into, suggestion) = target(holding, look);
    let sentence = format!("{what}{into}");
    let why = move || {
        vec![
        format!("{what}, since {}.", holding.day(since)),
        format!("{asked}; due {}.", due.day_words()),
        "Dead yeast breaks down and gives off smells of rotten egg; fine lees of clean fruit are left longer on purpose.".to_owned(),
    ]
    };
    Some(
        Reason {
            subject: holding.place.key,
            kind: ReasonKind::Lees,
            due,
            rank,
            weight: holding.litres() * (if gross { 0.3 } else { 0.1 }),
            sentence,
            suggestion,
        }
        .because(why),
    )
}

impl Holding<'_> {
    /// When the sediment it lies on began to be left behind by a ferment that was over, UTC ms: the
    /// first reading near its end, else a normal ferment's length after the yeast, and not before it
    /// was pressed.
    fn gross_lees_since(&self) -> Option<i64> {
        let pitched = self.wine.when(Deed::Pitched)?;
        let by_time = || {
            let usual = self
                .now
                .at(pitched)
                .plus_days(self.policy.ferment_days as i64);
            usual.utc_ms.min(self.now.utc_ms)
        };
        let over = self.measured_over_ms().unwrap_or_else(by_time);
        Some(
            self.wine
                .when(Deed::Pressed)
                .map_or(over, |it| it.max(over)),
        )
    }

    fn was_clear_since(&self, racked_ms: i64) -> bool {
        self.word(Property::Clarity).is_some_and(|(word, at)| {
            at >= racked_ms && matches!(word.as_str(), "clear" | "bright" | "brilliant")
        })
    }
}

/// The vessel that what comes off the lees would fill, in words, and the racking into it.
fn target(holding: &Holding, look: &Look) -> (String, Suggestion) {
    let rack = Suggestion::of("rack").with("from", holding.place.name());
    let after = holding.wine.volume.0 as f64 * (1.0 - holding.policy.lees_share);
    match look.to_keep(Volume(after as i64)) {
        Some(fit) if fit.over > Volume::ZERO => (
            format!(": into {}, {} over", fit.vessel.name(), fit.over),
            // Where what is over goes is for the person to say.
            rack.with("to", fit.vessel.name()).asking("to"),
        ),
        Some(fit) => (
            format!(": into {}", fit.vessel.name()),
            rack.with("to", fit.vessel.name()),
        ),
        None => (": rack it".to_owned(), rack.asking("to")),
    }
}

#[cfg(test)]
mod tests {
    use super::super::trial::Cellar;
    use super::*;

    fn check(build: impl Fn(&mut Cellar), expected: &str) {
        let mut cellar = Cellar::with_vessel(5.0, 4.6);
        build(&mut cellar);
        assert_eq!(cellar.says_why(ReasonKind::Lees), expected);
    }

    fn over_since(days: i64) -> impl Fn(&mut Cellar) {
        move |it| {
            it.did(Deed::Pitched, days + 20);
            it.gravities(&[(days + 20, 1.085), (days, 0.997)]);
        }
    }

    #[test]
    fn gross_lees_are_left_within_four_weeks() {
        check(over_since(34), "! 34 days on gross lees: rack it");
        check(over_since(28), "! 28 days on gross lees: rack it");
        check(over_since(27), "  27 days on gross lees: rack it");
        check(over_since(20), "  20 days on gross lees: rack it");
        check(over_since(5), "");
    }

    #[test]
    fn the_empty_vessel_that_it_fills_is_named() {
        check(
            |it| {
                over_since(34)(it);
                it.spare(1, "the 3.8 L jug", "jug", 3.8);
            },
            "! 34 days on gross lees: into the 3.8 L jug, 662 mL over",
        );
        check(
            |it| {
                over_since(34)(it);
                it.spare(1, "Demijohn 3", "demijohn", 4.5);
            },
            "! 34 days on gross lees: into Demijohn 3",
        );
    }

    #[test]
    fn a_pressed_wine_counts_from_the_press() {
        check(
            |it| {
                over_since(34)(it);
                it.did(Deed::Pressed, 29);
            },
            "! 29 days on gross lees: rack it",
        );
    }

    #[test]
    fn a_racking_out_of_the_first_vessel_does_not_count() {
        check(
            |it| {
                over_since(34)(it);
                it.did(Deed::Racked, 45);
            },
            "! 34 days on gross lees: rack it",
        );
        check(
            |it| {
                over_since(34)(it);
                it.did(Deed::Racked, 30);
            },
            "",
        );
    }

    #[test]
    fn unmeasured_the_ferment_is_given_three_weeks() {
        check(
            |it| _ = it.did(Deed::Pitched, 70),
            "! 49 days on gross lees: rack it",
        );
    }

    #[test]
    fn later_rackings_are_three_months_apart() {
        let racked = |days| {
            move |it: &mut Cellar| {
                it.finished()
                    .did(Deed::Pitched, 400)
                    .did(Deed::Racked, days);
            }
        };
        check(racked(95), "› 95 days since the last racking: rack it");
        check(racked(80), "  80 days since the last racking: rack it");
        check(racked(60), "");
        check(
            |it| {
                racked(95)(it);
                it.says(Property::Clarity, "clear", 20);
            },
            "",
        );
        let clear = |days| {
            move |it: &mut Cellar| {
                racked(days)(it);
                it.says(Property::Clarity, "clear", 20);
            }
        };
        check(clear(179), "  6 months since the last racking: rack it");
        check(clear(180), "› 6 months since the last racking: rack it");
    }

    #[test]
    fn bacteria_at_work_are_not_hurried() {
        check(
            |it| {
                over_since(34)(it);
                it.did(Deed::MaloStarted, 10);
            },
            "› 34 days on gross lees: rack it",
        );
    }

    #[test]
    fn a_ferment_is_left_on_its_yeast() {
        check(
            |it| {
                it.did(Deed::Pitched, 30);
                it.gravities(&[(30, 1.090), (2, 1.020)]);
            },
            "",
        );
    }
}
