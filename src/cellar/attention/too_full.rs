//! Too full: no room for foam while a ferment is vigorous, or for warmth after it.

use super::fit::Look;
use super::holding::Holding;
use super::stage::Ferment;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::thing::{VesselKind, field};

/// Foam first; a finished wine near its bung is only worth knowing.
pub(super) fn rule<'a>(holding: &'a Holding, look: &'a Look) -> Option<Found<'a>> {
    match holding.ferment() {
        Ferment::Must => for_foam(holding, look, Rank::Soon),
        Ferment::Running if holding.is_vigorous() => for_foam(holding, look, Rank::Now),
        Ferment::Running | Ferment::Stuck => None,
        Ferment::Unsaid | Ferment::Doubtful | Ferment::Presumed | Ferment::Over => {
            for_warmth(holding)
        }
    }
}

fn for_foam<'a>(holding: &'a Holding, look: &'a Look, rank: Rank) -> Option<Found<'a>> {
    let share = holding.headspace_share()?;
    let asked = holding.policy.foam_share;
    if share >= asked {
        return None;
    }
    let percent = share * 100.0;
    let suggestion = Suggestion::of("rack").with("from", holding.place.name());
    let (what, suggestion) = match look.to_ferment(holding.wine.volume) {
        Some(larger) => (
            format!("move it to {}", larger.name()),
            suggestion.with("to", larger.name()),
        ),
        None => (
            "take some out".to_owned(),
            suggestion.asking("to").asking("leaving"),
        ),
    };
    let when = if rank == Rank::Now {
        "fermenting"
    } else {
        "must"
    };
    let why = move || {
        vec![
            format!(
                "It holds {} of {}: {percent:.0} % is left; {:.0}–20 % is asked while a ferment is vigorous (common practice).",
                holding.wine.volume,
                holding.place.capacity().unwrap_or_default(),
                asked * 100.0
            ),
            "Foam blocks an airlock and lifts the lid; a blocked closed vessel can burst."
                .to_owned(),
        ]
    };
    Some(
        Reason {
            subject: holding.place.key,
            kind: ReasonKind::TooFull,
            due: holding.now,
            rank,
            weight: holding.litres() * (1.0 - share / asked) * holding.policy.loss_foam,
            sentence: format!("{when} with {percent:.0} % room for foam: {what}"),
            suggestion,
        }
        .because(why),
    )
}

/// Wine close under the bung of a glass vessel whose brim is measured.
fn for_warmth<'a>(holding: &'a Holding) -> Option<Found<'a>> {
    if matches!(
        holding.place.vessel_kind(),
        VesselKind::Barrel | VesselKind::Keg | VesselKind::Bucket | VesselKind::Tank
    ) {
        return None;
    }
    let brim = holding.place.brim()?;
    let room_ml = (brim - holding.wine.volume).in_litres() * 1e3;
    let neck_mm = holding
        .place
        .real(field::NECK)
        .filter(|it| *it > 0.0)
        .unwrap_or(holding.policy.neck_mm);
    let neck_room = holding.policy.neck_room_mm;
    let asked_ml = std::f64::consts::PI / 4.0 * neck_mm * neck_mm * neck_room / 1e3;
    if room_ml >= asked_ml {
        return None;
    }
    let out = (asked_ml - room_ml).ceil();
    let why = move || {
        vec![
        format!(
            "{room_ml:.0} mL are left to the brim; {neck_room:.0} mm of a {neck_mm:.0} mm neck are {asked_ml:.0} mL."
        ),
        "A full vessel is left 2–3 cm below its bung (common practice): 23 L grow by about 50 mL from 10 to 20 °C.".to_owned(),
    ]
    };
    Some(
        Reason {
            subject: holding.place.key,
            kind: ReasonKind::TooFull,
            due: holding.now,
            rank: Rank::Later,
            weight: 0.0,
            sentence: format!("brim-full: take out {out:.0} mL, warmth lifts the bung"),
            suggestion: Suggestion::of("draw")
                .with("place", holding.place.name())
                .with("amount", format!("{out:.0} mL")),
        }
        .because(why),
    )
}

#[cfg(test)]
mod tests {
    use super::super::trial::{CARBOY, Cellar};
    use super::*;
    use crate::cellar::state::Deed;

    fn check(litres: f64, build: impl Fn(&mut Cellar), expected: &str) {
        let mut cellar = Cellar::with_vessel(23.0, litres);
        build(&mut cellar);
        assert_eq!(cellar.says_why(ReasonKind::TooFull), expected);
    }

    #[test]
    fn a_vigorous_ferment_wants_room() {
        let fresh = |it: &mut Cellar| _ = it.did(Deed::Pitched, 1);
        check(
            22.0,
            fresh,
            "! fermenting with 4 % room for foam: take some out",
        );
        check(
            19.8,
            fresh,
            "! fermenting with 14 % room for foam: take some out",
        );
        check(19.5, fresh, "");
        let pitched = |days| move |it: &mut Cellar| _ = it.did(Deed::Pitched, days);
        check(
            22.0,
            pitched(5),
            "! fermenting with 4 % room for foam: take some out",
        );
        check(22.0, pitched(6), "");
        check(
            22.0,
            |it| {
                fresh(it);
                it.spare(1, "Bucket", "bucket", 30.0);
            },
            "! fermenting with 4 % room for foam: move it to Bucket",
        );
    }

    #[test]
    fn past_the_first_third_of_its_sugar_it_foams_less() {
        let at = |last: f64| {
            move |it: &mut Cellar| {
                it.did(Deed::Pitched, 6);
                it.gravities(&[(6, 1.090), (1, last)]);
            }
        };
        // A third of 1.090 to 0.994 is gone at 1.058.
        check(
            22.0,
            at(1.060),
            "! fermenting with 4 % room for foam: take some out",
        );
        check(22.0, at(1.056), "");
    }

    #[test]
    fn must_is_told_beforehand() {
        check(
            22.0,
            |it| it.gravities(&[(1, 1.090)]),
            "› must with 4 % room for foam: take some out",
        );
    }

    #[test]
    fn a_finished_wine_is_left_two_centimetres_below_its_bung() {
        // 20 mm of a 30 mm neck are 14.1 mL.
        check(
            22.99,
            |it| _ = it.finished(),
            "  brim-full: take out 5 mL, warmth lifts the bung",
        );
        check(22.98, |it| _ = it.finished(), "");
        check(
            22.99,
            |it| _ = it.finished().set(CARBOY, field::KIND, "barrel"),
            "",
        );
    }
}
