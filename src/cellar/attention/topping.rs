//! A barrel that nobody has topped up or looked into for long: wood loses wine, and the book can't know of it.

use super::fit::Look;
use super::holding::Holding;
use super::words::span;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::amount::Volume;
use crate::cellar::state::Deed;
use crate::cellar::thing::VesselKind;

/// After each of these somebody knows how full it is.
const SEEN: [Deed; 5] = [
    Deed::Filled,
    Deed::Racked,
    Deed::Pressed,
    Deed::ToppedUp,
    Deed::LevelRead,
];

/// Not while yeast may work, whose gas keeps the air off, nor beside headspace that the book knows of.
pub(super) fn rule<'a>(holding: &'a Holding, look: &'a Look) -> Option<Found<'a>> {
    let policy = holding.policy;
    let is_barrel = holding.place.vessel_kind() == VesselKind::Barrel;
    if !is_barrel || holding.ferment().may_work() || holding.is_much_air() {
        return None;
    }
    let seen = SEEN.into_iter().filter_map(|it| holding.wine.when(it));
    let since = seen.chain(holding.over_since()).max()?;
    let due = holding
        .now
        .at(since)
        .plus_days(policy.barrel_top_days as i64);
    let late = holding.now.days_since(due);
    if late < 0 {
        return None;
    }
    let rank = if late as f64 >= policy.headspace_days {
        Rank::Soon
    } else {
        Rank::Later
    };
    let name = holding.place.name();
    let room = holding.headspace().unwrap_or_default();
    let other = look.to_top_up(holding, room);
    let from = other.map_or_else(String::new, |it| format!(" from {}", it.name()));
    let mut suggestion = Suggestion::of("top-up").with("into", name);
    suggestion = match other {
        Some(other) => suggestion.with("from", other.name()),
        None => suggestion.asking("from"),
    };
    // What fits by the book goes in unasked, and where it is full nobody knows how much that is.
    if room == Volume::ZERO {
        suggestion = suggestion.asking("amount");
    }
    let why = move || {
        vec![
            format!(
                "Its level was last known on {}, when it was filled, topped up or read, or when its ferment was over.",
                holding.day(since)
            ),
            format!(
                "Barrels are topped up every two to four weeks (common practice), this one after {:.0} days; due {}.",
                policy.barrel_top_days,
                due.day_words()
            ),
            "Wine goes out through the wood, air takes its place, and the book knows of neither."
                .to_owned(),
            format!("If it is full as it is, `adjust \"{name}\" --level full` says so."),
        ]
    };
    Some(
        Reason {
            subject: holding.place.key,
            kind: ReasonKind::Topping,
            due,
            rank,
            weight: holding.litres() * policy.loss_untopped,
            sentence: format!(
                "barrel not looked into for {}: top up{from}",
                span(holding.days(since))
            ),
            suggestion,
        }
        .because(why),
    )
}

#[cfg(test)]
mod tests {
    use super::super::trial::{CARBOY, Cellar};
    use super::*;
    use crate::cellar::thing::{Key, field};

    /// Of a barrel that was last racked into, and whose ferment was over, 60 days ago and more.
    fn barrel(litres: f64) -> Cellar {
        let mut cellar = Cellar::with_vessel(30.0, litres);
        cellar.finished().set(CARBOY, field::KIND, "barrel");
        cellar
    }

    #[track_caller]
    fn check(build: impl FnOnce(&mut Cellar), expected: &str) {
        let mut cellar = barrel(30.0);
        build(&mut cellar);
        assert_eq!(cellar.says_why(ReasonKind::Topping), expected);
    }

    #[test]
    fn a_barrel_is_topped_up_every_four_weeks_though_it_is_full_by_the_book() {
        let said =
            |mark: &str, days: &str| format!("{mark} barrel not looked into for {days}: top up");
        check(|_| (), &said("›", "60 days"));
        let topped = |days| move |it: &mut Cellar| _ = it.did(Deed::ToppedUp, days);
        check(topped(27), "");
        check(topped(28), &said(" ", "28 days"));
        check(topped(34), &said(" ", "34 days"));
        check(topped(35), &said("›", "35 days"));
        let due = barrel(30.0)
            .did(Deed::ToppedUp, 30)
            .reason(ReasonKind::Topping);
        let due = due.unwrap().due;
        assert_eq!(due.days_since(super::super::trial::NOW), -2);
    }

    #[test]
    fn whatever_shows_how_full_it_is_counts() {
        for deed in [
            Deed::Filled,
            Deed::Racked,
            Deed::Pressed,
            Deed::ToppedUp,
            Deed::LevelRead,
        ] {
            check(|it| _ = it.did(deed, 5), "");
        }
        // A taste does not.
        let tasted = "› barrel not looked into for 60 days: top up";
        check(|it| _ = it.did(Deed::Tasted, 5), tasted);
    }

    #[test]
    fn glass_must_a_ferment_and_known_headspace_are_not_asked_about() {
        check(|it| _ = it.set(CARBOY, field::KIND, "carboy"), "");
        let old = |it: &mut Cellar| {
            it.never(Deed::Sulfited).never(Deed::Degassed);
            it.did(Deed::Racked, 60).did(Deed::Filled, 60);
        };
        check(
            |it| {
                old(it);
                it.never(Deed::Pitched).gravities(&[(50, 1.090)]);
            },
            "",
        );
        check(
            |it| {
                old(it);
                it.did(Deed::Pitched, 40);
                it.gravities(&[(40, 1.090), (4, 1.050), (1, 1.040)]);
            },
            "",
        );
        // 278.6 mg of oxygen in a litre of air over 29 L are 9.6 mg/L, from 4 on it is headspace.
        let mut cellar = barrel(29.0);
        assert!(cellar.reason(ReasonKind::Headspace).is_some());
        assert_eq!(cellar.reason(ReasonKind::Topping), None);
        cellar = barrel(29.8);
        assert_eq!(cellar.reason(ReasonKind::Headspace), None);
        assert!(cellar.reason(ReasonKind::Topping).is_some());
    }

    #[test]
    fn gas_keeps_the_air_off_until_the_ferment_is_over() {
        let fermented_in_it = |over: i64| {
            move |it: &mut Cellar| {
                it.never(Deed::Racked).never(Deed::Sulfited);
                it.did(Deed::Filled, 120);
                it.gravities(&[(over + 20, 1.090), (over, 0.996)]);
            }
        };
        check(fermented_in_it(20), "");
        check(
            fermented_in_it(40),
            "› barrel not looked into for 40 days: top up",
        );
    }

    #[test]
    fn how_much_goes_in_is_asked_where_the_book_has_no_room() {
        let says = |litres: f64| {
            let mut cellar = barrel(litres);
            cellar.spare(1, "Jug", "jug", 5.0).fill(Key(1), 4.0);
            let reason = cellar.reason(ReasonKind::Topping).unwrap();
            (reason.sentence, reason.suggestion.needs)
        };
        let sentence = "barrel not looked into for 60 days: top up from Jug".to_owned();
        assert_eq!(says(30.0), (sentence.clone(), vec!["amount"]));
        assert_eq!(says(29.8), (sentence, vec![]));
    }
}
