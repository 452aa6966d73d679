//! Sediment since the last racking.

use super::finished::Plateau;
use super::fit::{Home, Look};
use super::holding::Holding;
use super::words::span;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::amount::Volume;
use crate::cellar::entry::Property;
use crate::cellar::state::{Deed, GravityReading};
use crate::cellar::thing::VesselKind;

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
        let racked = holding.left_sediment()?;
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
    let (what, began) = if gross {
        (format!("{} on gross lees", span(days)), "since")
    } else {
        (format!("{} since the last racking", span(days)), "on")
    };
    let (into, suggestion) = target(holding, look);
    let sentence = format!("{what}{into}");
    let why = move || {
        vec![
        format!("{what}, {began} {}.", holding.day(since)),
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
            weight: holding.litres()
                * if gross {
                    policy.loss_gross_lees
                } else {
                    policy.loss_fine_lees
                },
            sentence,
            suggestion,
        }
        .because(why),
    )
}

impl Holding<'_> {
    /// When the sediment it lies on began to be left behind by a ferment that was over, UTC ms: at its end, and not before it
    /// was pressed.
    pub(in crate::cellar) fn gross_lees_since(&self) -> Option<i64> {
        let over = self.over_since()?;
        let pressed = self.wine.when(Deed::Pressed);
        Some(pressed.map_or(over, |it| it.max(over)))
    }

    /// When the ferment of its yeast ended as far as is known, UTC ms: at the first reading near its end, of a blend at that of a
    /// part; else when it was stabilised or sweetened, or first read at the gravity that it was read at last, whichever was
    /// earlier, and not before a normal ferment's length after the yeast where that gravity is above its end.
    pub(super) fn over_since(&self) -> Option<i64> {
        let pitched = self.wine.when(Deed::Pitched)?;
        let by_time = || {
            let usual = self
                .now
                .at(pitched)
                .plus_days(self.policy.ferment_days as i64);
            let since_yeast = self.wine.gravities.iter().filter(|it| it.at_ms >= pitched);
            let since_yeast: Vec<GravityReading> = since_yeast.copied().collect();
            let level = Plateau::of(&since_yeast, self.policy.equal_gravity);
            let read = level.map_or(pitched, |it| it.since_ms);
            let read = usual.utc_ms.max(read);
            let ended = self.ended_by(Some(pitched));
            ended.map_or(read, |it| it.min(read)).min(self.now.utc_ms)
        };
        let by_parts = || self.dry_by_parts().filter(|at| *at >= pitched);
        let over = self.measured_over_ms().or_else(by_parts);
        Some(over.unwrap_or_else(by_time))
    }

    fn was_clear_since(&self, racked_ms: i64) -> bool {
        self.word(Property::Clarity).is_some_and(|(word, at)| {
            at >= racked_ms && matches!(word.as_str(), "clear" | "bright" | "brilliant")
        })
    }
}

/// Where all that comes off the lees may go, in words, and the racking into it.
fn target(holding: &Holding, look: &Look) -> (String, Suggestion) {
    let rack = Suggestion::of("rack").with("from", holding.place.name());
    let after = holding.wine.volume.0 as f64 * (1.0 - holding.policy.lees_share);
    let after = Volume(after as i64);
    let is_keeper = holding.place.vessel_kind() != VesselKind::Bucket;
    let own_air = holding.place.capacity().filter(|_| is_keeper).map(|it| {
        let air = (it - after).max(Volume::ZERO);
        air.in_litres() / it.in_litres()
    });
    let home = look.to_keep(after);
    let fits = |it: &Home| it.air_share <= holding.policy.fit_share;
    match (home, own_air) {
        (Some(home), _) if fits(&home) => {
            let words = format!(": into {}", home.words());
            (words, rack.with("to", home.typed()))
        }
        // A larger vessel would only hold more air; where it stands meanwhile is for the person to say.
        (Some(home), Some(own)) if own <= home.air_share => (
            format!(": back into {} once cleaned", holding.place.name()),
            rack.asking("to"),
        ),
        (Some(home), _) => (
            format!(": into {}, {} of air over it", home.words(), home.air),
            rack.with("to", home.typed()),
        ),
        (None, Some(_)) => {
            let back = format!("back into {} once cleaned", holding.place.name());
            let words = match look.to_hold_meanwhile(after) {
                Some(bucket) => format!(": by way of {}, {back}", bucket.name()),
                None => format!(": no empty vessel holds it, so {back}"),
            };
            (words, rack.asking("to"))
        }
        (None, None) => {
            let words = match look.to_hold_meanwhile(after) {
                Some(_) => ": rack it; no empty vessel is fit to keep it",
                None => ": rack it; no empty vessel holds it",
            };
            (words.to_owned(), rack.asking("to"))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::trial::Cellar;
    use super::*;
    use crate::cellar::thing::field;

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
        check(
            over_since(34),
            "! 34 days on gross lees: no empty vessel holds it, so back into Carboy A once cleaned",
        );
        check(
            over_since(28),
            "! 28 days on gross lees: no empty vessel holds it, so back into Carboy A once cleaned",
        );
        check(
            over_since(27),
            "  27 days on gross lees: no empty vessel holds it, so back into Carboy A once cleaned",
        );
        check(
            over_since(20),
            "  20 days on gross lees: no empty vessel holds it, so back into Carboy A once cleaned",
        );
        check(over_since(5), "");
    }

    #[test]
    fn the_empty_vessel_that_it_fills_is_named() {
        check(
            |it| {
                over_since(34)(it);
                it.spare(1, "the 3.8 L jug", "jug", 3.8);
            },
            "! 34 days on gross lees: no empty vessel holds it, so back into Carboy A once cleaned",
        );
        check(
            |it| {
                over_since(34)(it);
                it.spare(1, "Demijohn 3", "demijohn", 4.5);
            },
            "! 34 days on gross lees: into Demijohn 3",
        );
    }

    /// Wine that is poured out of its bottles left its sediment at the bottling, whenever it was last racked.
    #[test]
    fn wine_poured_out_of_bottles_has_left_its_sediment() {
        let poured = |days: i64| {
            move |it: &mut Cellar| {
                over_since(400)(it);
                it.did(Deed::Racked, 330).did(Deed::Bottled, 200);
                it.did(Deed::Filled, days);
            }
        };
        check(poured(0), "");
        check(
            poured(100),
            "› 3 months since the last racking: no empty vessel holds it, so back into Carboy A once cleaned",
        );
    }

    /// Every vessel named holds all of the wine but its lees, and the form is filled in only then.
    #[test]
    fn no_wine_is_thrown_away_by_what_is_filled_in() {
        let check = |spares: &[(&str, &str, f64)], says: &str, to: Option<&str>| {
            let mut cellar = Cellar::with_vessel(5.0, 4.6);
            over_since(34)(&mut cellar);
            for (key, (name, kind, brim)) in (1..).zip(spares) {
                cellar.spare(key, name, kind, *brim);
            }
            let reason = cellar.reason(ReasonKind::Lees).unwrap();
            assert_eq!(reason.sentence, format!("34 days on gross lees: {says}"));
            let values = reason.suggestion.values;
            let filled = values.iter().find(|it| it.0 == "to");
            assert_eq!(filled.map(|it| it.1.as_str()), to);
        };
        check(
            &[("Jug", "jug", 2.0)],
            "no empty vessel holds it, so back into Carboy A once cleaned",
            None,
        );
        check(
            &[("Jug", "jug", 2.0), ("Jug 2", "jug", 2.6)],
            "into Jug 2 and Jug",
            Some("Jug 2; Jug"),
        );
        check(
            &[("Tank", "tank", 23.0)],
            "back into Carboy A once cleaned",
            None,
        );
        check(
            &[("Carboy B", "carboy", 4.8)],
            "into Carboy B, 338 mL of air over it",
            Some("Carboy B"),
        );
    }

    /// A bucket is not fit to age wine in, and holds it well enough while its own vessel is cleaned.
    #[test]
    fn an_empty_bucket_holds_it_meanwhile() {
        let mut cellar = Cellar::with_vessel(5.0, 4.6);
        over_since(34)(&mut cellar);
        cellar.spare(1, "White bucket", "bucket", 30.0);
        assert_eq!(
            cellar.says_why(ReasonKind::Lees),
            "! 34 days on gross lees: by way of White bucket, back into Carboy A once cleaned"
        );
        cellar.set(super::super::trial::CARBOY, field::KIND, "bucket");
        assert_eq!(
            cellar.says_why(ReasonKind::Lees),
            "! 34 days on gross lees: rack it; no empty vessel is fit to keep it"
        );
    }

    #[test]
    fn a_bucket_keeps_no_wine() {
        let mut cellar = Cellar::with_vessel(5.0, 4.6);
        over_since(34)(&mut cellar);
        cellar.set(super::super::trial::CARBOY, field::KIND, "bucket");
        assert_eq!(
            cellar.says_why(ReasonKind::Lees),
            "! 34 days on gross lees: rack it; no empty vessel holds it"
        );
    }

    #[test]
    fn a_pressed_wine_counts_from_the_press() {
        check(
            |it| {
                over_since(34)(it);
                it.did(Deed::Pressed, 29);
            },
            "! 29 days on gross lees: no empty vessel holds it, so back into Carboy A once cleaned",
        );
    }

    #[test]
    fn a_racking_out_of_the_first_vessel_does_not_count() {
        check(
            |it| {
                over_since(34)(it);
                it.did(Deed::Racked, 45);
            },
            "! 34 days on gross lees: no empty vessel holds it, so back into Carboy A once cleaned",
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
            "! 49 days on gross lees: no empty vessel holds it, so back into Carboy A once cleaned",
        );
    }

    /// Its malic acid gone, it is taken as over, and no sediment counts from before it was first read at its last gravity.
    #[test]
    fn read_above_its_end_later_it_counts_from_there() {
        check(
            |it| {
                it.did(Deed::Pitched, 90).did(Deed::MaloFinished, 40);
                it.gravities(&[(90, 1.110), (54, 1.020)]);
            },
            "! 54 days on gross lees: no empty vessel holds it, so back into Carboy A once cleaned",
        );
    }

    /// Read at 1.011 ten months ago, stabilised, and read again lately: its lees lie there since it stopped, not since it was
    /// last read.
    #[test]
    fn a_wine_stopped_sweet_counts_from_the_first_that_says_so() {
        let since = |readings: &[(i64, f64)]| {
            let mut cellar = Cellar::with_vessel(5.0, 4.6);
            cellar.did(Deed::Pitched, 420).did(Deed::Sorbated, 296);
            cellar.gravities(readings);
            cellar.working(ReasonKind::Lees)[0].clone()
        };
        let early = [(420, 1.090), (310, 1.011), (300, 1.011), (177, 1.011)];
        assert!(since(&early).ends_with("on gross lees, since 19 Jan 2026."));
        // Sorbate is given to a wine that has stopped, whenever it was measured.
        let late = [(420, 1.090), (177, 1.011)];
        assert!(since(&late).ends_with("on gross lees, since 2 Feb 2026."));
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
        check(
            racked(95),
            "› 95 days since the last racking: no empty vessel holds it, so back into Carboy A once cleaned",
        );
        check(
            racked(80),
            "  80 days since the last racking: no empty vessel holds it, so back into Carboy A once cleaned",
        );
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
        check(
            clear(179),
            "  6 months since the last racking: no empty vessel holds it, so back into Carboy A once cleaned",
        );
        check(
            clear(180),
            "› 6 months since the last racking: no empty vessel holds it, so back into Carboy A once cleaned",
        );
    }

    #[test]
    fn bacteria_at_work_are_not_hurried() {
        check(
            |it| {
                over_since(34)(it);
                it.did(Deed::MaloStarted, 10);
            },
            "› 34 days on gross lees: no empty vessel holds it, so back into Carboy A once cleaned",
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
