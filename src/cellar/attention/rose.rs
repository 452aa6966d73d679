//! Gravity that was read higher than before: no ferment does that, so a reading is wrong or something went in.

use super::fit::Look;
use super::holding::Holding;
use super::words::gravity;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::state::{Deed, GRAVITY_SLACK, GravityReading};

/// Sugar in a litre of wine for each unit of gravity, g/L: 0.001 is 2.6 (density of sugar solutions).
const SUGAR_G_L: f64 = 2_600.0;
/// Done between the two readings, each of these may raise it.
const EXPLAINS: [Deed; 6] = [
    Deed::Sweetened,
    Deed::Sugared,
    Deed::ToppedUp,
    Deed::Blended,
    Deed::Pressed,
    Deed::Filled,
];
/// Calibration of a hydrometer: read so much warmer, a must shows about 0.001 less (tables of hydrometer corrections, near 20 °C).
const WARMER_C: f64 = 4.0;

/// The last two readings alone: what was read since settles what was odd before.
pub(super) fn rule<'a>(holding: &'a Holding, _: &'a Look) -> Option<Found<'a>> {
    let [.., before, last] = holding.wine.gravities.as_slice() else {
        return None;
    };
    let rise = last.gravity - before.gravity;
    // Readings are decimals typed by hand.
    if rise <= holding.policy.rise_gravity + GRAVITY_SLACK || holding.is_explained(before, last) {
        return None;
    }
    let why = move || working(holding, before, last);
    Some(
        Reason {
            subject: holding.place.key,
            kind: ReasonKind::GravityRose,
            due: holding.now.at(last.at_ms),
            rank: Rank::Soon,
            weight: holding.litres() * holding.policy.loss_unmeasured,
            sentence: format!(
                "gravity rose from {} to {}, which no ferment does: read it again",
                gravity(before.gravity),
                gravity(last.gravity)
            ),
            suggestion: Suggestion::of("measure")
                .with("place", holding.place.name())
                .asking("gravity"),
        }
        .because(why),
    )
}

impl Holding<'_> {
    /// Whether something was done between two readings that may raise it.
    fn is_explained(&self, before: &GravityReading, last: &GravityReading) -> bool {
        let between = |at: i64| before.at_ms <= at && at <= last.at_ms;
        EXPLAINS
            .iter()
            .any(|it| self.wine.when(*it).is_some_and(between))
    }
}

fn working(holding: &Holding, before: &GravityReading, last: &GravityReading) -> Vec<String> {
    let rise = last.gravity - before.gravity;
    let sugar_g_l = rise * SUGAR_G_L;
    let mut lines = vec![
        format!(
            "{} on {}, {} on {}: {} more, and two readings of a hydrometer differ by {} at most (house estimate).",
            gravity(before.gravity),
            holding.day(before.at_ms),
            gravity(last.gravity),
            holding.day(last.at_ms),
            gravity(rise),
            gravity(holding.policy.rise_gravity)
        ),
        "Yeast only lowers it, and so does a wine that ferments again: neither raises it.".to_owned(),
        "1. A reading that is wrong: gas lifts a hydrometer, so shake it out, spin it, and read at the foot of the curve (common practice).".to_owned(),
        format!(
            "2. A warmth that was left out: a must read {WARMER_C:.0} °C too warm shows about 0.001 too little. Write `1.012 at 26 C`, and it is corrected."
        ),
        format!(
            "3. Sugar, or sweeter wine, that was not written down: that rise is about {sugar_g_l:.0} g/L, {:.0} g in {}. Write it down with its day; if the book has sugar added between the two, that is it, and this may be dismissed.",
            sugar_g_l * holding.litres(),
            holding.wine.volume
        ),
    ];
    lines.push(
        "Until it is read again, the forecast of the ferment begins anew at the higher reading, if that is more than 0.004 above the other."
            .to_owned(),
    );
    lines
}

#[cfg(test)]
mod tests {
    use super::super::trial::Cellar;
    use super::*;

    fn cellar(gravities: &[(i64, f64)]) -> Cellar {
        let mut cellar = Cellar::with_vessel(23.0, 20.0);
        cellar.did(Deed::Pitched, 12);
        cellar.gravities(gravities);
        cellar
    }

    fn check(gravities: &[(i64, f64)], expected: &str) {
        assert_eq!(
            cellar(gravities).says_why(ReasonKind::GravityRose),
            expected
        );
    }

    const ROSE: [(i64, f64); 3] = [(12, 1.090), (4, 1.040), (1, 1.052)];

    #[test]
    fn what_rises_by_more_than_a_hydrometer_errs_is_said() {
        let says = "› gravity rose from 1.040 to 1.052, which no ferment does: read it again";
        check(&ROSE, says);
        check(
            &[(60, 0.994), (1, 0.997)],
            "› gravity rose from 0.994 to 0.997, which no ferment does: read it again",
        );
        check(&[(60, 0.994), (1, 0.996)], "");
        check(&[(4, 1.040), (1, 1.040)], "");
        check(&[(1, 1.040)], "");
        check(&[], "");
    }

    #[test]
    fn another_reading_settles_it() {
        let mut read = ROSE.to_vec();
        read.push((0, 1.036));
        check(&read, "");
        // Found as high again: it was no slip, and nothing is left to read.
        read[3] = (0, 1.052);
        check(&read, "");
    }

    #[test]
    fn sugar_or_wine_that_went_in_between_explains_it() {
        for deed in [
            Deed::Sweetened,
            Deed::Sugared,
            Deed::ToppedUp,
            Deed::Blended,
        ] {
            let says = |days: i64| {
                let mut cellar = cellar(&ROSE);
                cellar.did(deed, days);
                cellar.says_why(ReasonKind::GravityRose).is_empty()
            };
            assert!(says(2), "{deed:?}");
            assert!(!says(5) && !says(0), "{deed:?}");
        }
    }

    // The core is held to the table of Bigelow and Stevenson.
    #[test]
    fn a_must_read_too_warm_shows_too_little() {
        let corrected = leesline_calc::hydrometer::must(1.040, 20.0 + WARMER_C, 20.0).sg;
        assert!((corrected - 1.041).abs() < 0.0003, "{corrected}");
    }

    // 0.012 of gravity at 2.6 g/L for 0.001 are 31.2 g/L, and 624 g in 20 L.
    #[test]
    fn it_says_how_much_sugar_that_would_be() {
        let lines = cellar(&ROSE).working(ReasonKind::GravityRose);
        assert!(
            lines[4].contains("about 31 g/L, 624 g in 20.0 L"),
            "{lines:#?}"
        );
    }
}
