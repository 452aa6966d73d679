//! How long malolactic conversion takes, from its warmth and one look at the malic acid.
//!
//! The days T from the bacteria to the end are taken as log-normal; malic acid falls evenly from what the must left, which is
//! log-normal too, to nothing on day T. A look narrows T by the chance of what was seen. All of it is a house estimate: no
//! published course was found that a few words from a paper strip could be laid on. It is done below [`DONE_G_L`].

use crate::normal::chance_below;
use crate::spread::Spread;

/// Days at [`USUAL_C`] by which half are finished: house estimate, of "three to eight weeks" (common practice).
const USUAL_DAYS: f64 = 35.0;
/// The temperature that goes with it, °C.
pub const USUAL_C: f64 = 20.0;
/// One standard deviation of ln T, so that eight in ten take 18 to 66 days: house estimate.
const DAYS_SPREAD: f64 = 0.5;
/// Malic acid at the beginning, g/L, and one standard deviation of its logarithm: eight in ten from 1.8 to 5. House estimate.
const USUAL_MALIC_G_L: f64 = 3.0;
const MALIC_SPREAD: f64 = 0.4;
/// L-malic acid below which it is done, g/L: from memory; many laboratories take 0.03 to 0.3.
pub const DONE_G_L: f64 = 0.1;

/// Malic acid as it was found so many days after the bacteria, between two figures in g/L.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// Days after the bacteria went in.
    pub day: f64,
    /// No less than this.
    pub low_g_l: f64,
    /// No more than this.
    pub high_g_l: f64,
}

/// Days from the bacteria to the end: one in ten takes less, half, and one in ten more. `None` where what was seen so late leaves
/// no time that is likely: it stands still.
///
/// Half as long for every 6 °C more, from 10 to 25 °C: house estimate.
pub fn days(celsius: f64, seen: Option<Seen>) -> Option<Spread> {
    const STEPS: i32 = 200;
    let middle = USUAL_DAYS * 0.5_f64.powf((celsius.clamp(10.0, 25.0) - USUAL_C) / 6.0);
    // At every z of the log-normal, its weight: no further than two and a half deviations, beyond which a wine stands still.
    let z = |step: i32| 2.5 * f64::from(step) / f64::from(STEPS);
    let took = |z: f64| middle * (DAYS_SPREAD * z).exp();
    let weight = |step: i32| {
        let of_prior = (-0.5 * z(step) * z(step)).exp();
        of_prior * seen.map_or(1.0, |it| chance_of(&it, took(z(step))))
    };
    let all: f64 = (-STEPS..=STEPS).map(weight).sum();
    // Less than one in a thousand of all that is likely unseen, which sums to √(2π) · STEPS / 2.5: nearly STEPS.
    if all < 1e-3 * f64::from(STEPS) {
        return None;
    }
    let below = |part: f64| {
        let mut sum = 0.0;
        let reached = (-STEPS..=STEPS).find(|step| {
            sum += weight(*step);
            sum >= part * all
        });
        took(z(reached.unwrap_or(STEPS)))
    };
    Some(Spread::new(below(0.1), below(0.5), below(0.9)))
}

/// The chance of what was seen where it takes so many days.
fn chance_of(seen: &Seen, takes: f64) -> f64 {
    let left = 1.0 - seen.day.max(0.0) / takes;
    if left <= 0.0 {
        return 0.0;
    }
    let below = |g_l: f64| chance_below((g_l / left / USUAL_MALIC_G_L).ln() / MALIC_SPREAD);
    below(seen.high_g_l) - below(seen.low_g_l)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seen(day: f64, low_g_l: f64, high_g_l: f64) -> Seen {
        Seen {
            day,
            low_g_l,
            high_g_l,
        }
    }

    /// Without a look it is the log-normal itself: 35 · e^(±1.2816 · 0.5), cut at two and a half deviations.
    #[test]
    fn unseen_it_takes_what_it_usually_takes() {
        let check = |celsius: f64, middle: f64| {
            let found = days(celsius, None).unwrap();
            for (found, z) in [
                (found.low, -1.2816),
                (found.value, 0.0),
                (found.high, 1.2816),
            ] {
                let expected = middle * (0.5_f64 * z).exp();
                assert!(
                    (found / expected - 1.0).abs() < 0.03,
                    "{celsius}: {found} {expected}"
                );
            }
        };
        check(20.0, 35.0);
        check(14.0, 70.0);
        check(23.0, 35.0 / 2.0_f64.sqrt());
        check(10.0, 35.0 * 2.0_f64.powf(10.0 / 6.0));
        check(5.0, 35.0 * 2.0_f64.powf(10.0 / 6.0));
    }

    #[test]
    fn a_look_narrows_it_and_it_ends_after_the_look() {
        let wide = |it: Spread| (it.high / it.low).ln();
        let unseen = days(20.0, None).unwrap();
        let strong = days(20.0, Some(seen(20.0, 0.3, 20.0))).unwrap();
        let faint = days(20.0, Some(seen(20.0, 0.1, 0.3))).unwrap();
        let measured = days(20.0, Some(seen(20.0, 0.9, 1.1))).unwrap();
        assert!(faint.value < measured.value && measured.value < strong.value);
        assert!(wide(faint) < wide(measured) && wide(measured) < wide(unseen));
        // A third is left of the usual 3 g/L, so that it would end on day 30; unseen, on day 35.
        assert!((30.0..35.0).contains(&measured.value), "{measured:?}");
        for it in [strong, faint, measured] {
            assert!(it.low > 20.0, "{it:?}");
        }
    }

    #[test]
    fn malic_acid_after_far_too_long_stands_still() {
        assert!(days(20.0, Some(seen(60.0, 0.3, 20.0))).is_some());
        assert!(days(20.0, Some(seen(140.0, 0.3, 20.0))).is_none());
        assert!(days(10.0, Some(seen(140.0, 0.3, 20.0))).is_some());
    }

    /// Truths of another law: acid that falls as a logistic does, begun at 2 to 4.5 g/L and done on the day given, seen once on the way.
    #[test]
    fn of_truths_of_another_kind_eight_in_ten_end_within_the_band() {
        let mut draws = crate::normal::Draws(20_261_131);
        let (mut inside, mut all) = (0, 0);
        for _ in 0..1_000 {
            let done = 20.0 + 50.0 * draws.part();
            let begun = 2.0 + 2.5 * draws.part();
            let look = done * (0.3 + 0.5 * draws.part());
            // Done where e^… has fallen to the tenth of a gram.
            let width = 0.12 * done;
            let middle = done - width * (begun / DONE_G_L - 1.0).ln();
            let then = begun / (1.0 + ((look - middle) / width).exp());
            let read = draws.normal(then, 0.1).max(DONE_G_L);
            if let Some(band) = days(20.0, Some(seen(look, read - 0.1, read + 0.1))) {
                inside += usize::from((band.low..=band.high).contains(&done));
            }
            all += 1;
        }
        println!("{inside} of {all} within the band");
        assert!(inside * 10 >= all * 8, "{inside} of {all}");
    }
}
