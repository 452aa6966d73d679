//! The normal law, which every forecast with a band hangs on.

/// The chance that a normal figure lies below so many standard deviations above its mean.
///
/// Φ(z) = 1 − φ(z)·(b₁t + … + b₅t⁵), t = 1/(1 + 0.2316419·z). Off by less than 7.5e-8. Source: Abramowitz and Stegun,
/// Handbook of Mathematical Functions, 26.2.17, from memory; held to the quantiles of textbook tables.
pub fn chance_below(z: f64) -> f64 {
    let t = 1.0 / (1.0 + 0.231_641_9 * z.abs());
    let density = (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt();
    let terms = t
        * (0.319_381_530
            + t * (-0.356_563_782
                + t * (1.781_477_937 + t * (-1.821_255_978 + t * 1.330_274_429))));
    let above = density * terms;
    if z < 0.0 { above } else { 1.0 - above }
}

/// What it says of something that it lies so many standard deviations at least below a limit.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Below {
    /// Natural logarithm of the chance.
    pub(crate) ln: f64,
    /// Density over chance, φ(z)/Φ(z).
    pub(crate) slope: f64,
}

/// From here down the chance is reckoned by its continued fraction, which keeps its digits.
const TAIL: f64 = -3.0;

/// That a normal figure lies below so many standard deviations above its mean; far down as well, where the chance itself is
/// next to nothing. Continued fraction of the tail by Laplace (textbook).
pub(crate) fn below(z: f64) -> Below {
    let ln_density = -0.5 * z * z - 0.5 * (2.0 * std::f64::consts::PI).ln();
    if z > TAIL {
        let chance = chance_below(z);
        let (ln, slope) = (chance.ln(), ln_density.exp() / chance);
        return Below { ln, slope };
    }
    let terms = (1..=24).rev();
    let slope = terms.fold(-z, |rest, term| -z + f64::from(term) / rest);
    Below {
        ln: ln_density - slope.ln(),
        slope,
    }
}

/// Where a rising function first reaches a level, between two ends, to within a part in 10⁹ of their distance; an end where it
/// does so outside of them.
pub(crate) fn first_reaching(level: f64, ends: (f64, f64), rises: impl Fn(f64) -> f64) -> f64 {
    let distance = ends.1 - ends.0;
    reaching(level, ends, (0.0, distance * 1e-9), rises)
}

/// The same to within so much of the level, or so much of where; whichever comes first.
///
/// It goes by the straight line between the ends and halves the weight of an end that stays (the Illinois way, textbook); each
/// third step halves the distance, so that a function that jumps takes no longer than that.
pub(crate) fn reaching(
    level: f64,
    (mut low, mut high): (f64, f64),
    (near, close): (f64, f64),
    rises: impl Fn(f64) -> f64,
) -> f64 {
    let mut under = rises(low) - level;
    if under >= 0.0 {
        return low;
    }
    let mut over = rises(high) - level;
    if over < 0.0 {
        return high;
    }
    // Which end stayed: below nought the high one.
    let mut stays = 0;
    for step in 1..=MOST_STEPS {
        if high - low <= close {
            break;
        }
        let middle = if step % 3 == 0 {
            f64::midpoint(low, high)
        } else {
            (low * over - high * under) / (over - under)
        };
        let off = rises(middle) - level;
        if off.abs() < near {
            return middle;
        }
        if off < 0.0 {
            (low, under) = (middle, off);
            if stays < 0 {
                over /= 2.0;
            }
            stays = -1;
        } else {
            (high, over) = (middle, off);
            if stays > 0 {
                under /= 2.0;
            }
            stays = 1;
        }
    }
    high
}

/// A third of so many halve a distance 30 times, which is a part in 10⁹ of it.
const MOST_STEPS: u32 = 90;

/// Repeatable draws, so that a forecast can be held against truths it has not seen.
#[cfg(test)]
pub(crate) struct Draws(pub(crate) u64);

#[cfg(test)]
impl Draws {
    /// Evenly from above 0 to 1, by splitmix64.
    pub(crate) fn part(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64 + f64::EPSILON
    }

    /// From the normal law, by Box and Muller.
    pub(crate) fn normal(&mut self, mean: f64, sd: f64) -> f64 {
        let far = (-2.0 * self.part().ln()).max(0.0).sqrt();
        mean + sd * far * (2.0 * std::f64::consts::PI * self.part()).cos()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(z: f64, expected: f64) {
        assert!((chance_below(z) - expected).abs() < 1e-7, "{z}");
        assert!((chance_below(-z) - (1.0 - expected)).abs() < 1e-7, "-{z}");
    }

    // Quantiles of the normal law as textbook tables print them (common practice).
    #[test]
    fn the_quantiles_of_the_tables_come_back() {
        check(0.0, 0.5);
        check(0.674_489_75, 0.75);
        check(1.281_551_57, 0.9);
        check(1.959_963_98, 0.975);
        check(2.575_829_30, 0.995);
        check(40.0, 1.0);
    }

    /// Φ(−5) is 2.866516e-7 and Φ(−10) 7.619853e-24 in textbook tables (common practice); φ is known exactly.
    #[test]
    fn the_far_tail_keeps_its_digits() {
        let check = |z: f64, chance: f64| {
            let density = (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt();
            let found = below(z);
            assert!((found.ln - chance.ln()).abs() < 1e-5, "{z}");
            assert!((found.slope * chance / density - 1.0).abs() < 1e-5, "{z}");
        };
        check(0.0, 0.5);
        check(-1.281_551_57, 0.1);
        check(-5.0, 2.866_516e-7);
        check(-10.0, 7.619_853e-24);
    }

    #[test]
    fn a_level_is_found_where_it_is_reached() {
        assert!((first_reaching(9.0, (0.0, 100.0), |x| x * x) - 3.0).abs() < 1e-6);
        assert!(first_reaching(-1.0, (0.0, 100.0), |x| x) <= 0.0);
        assert!(first_reaching(500.0, (0.0, 100.0), |x| x) >= 100.0);
    }

    #[test]
    fn draws_have_the_mean_and_the_spread_they_are_given() {
        let mut draws = Draws(1);
        let sample: Vec<f64> = (0..10_000).map(|_| draws.normal(3.0, 2.0)).collect();
        let mean = sample.iter().sum::<f64>() / 1e4;
        let variance = sample.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / 1e4;
        assert!((mean - 3.0).abs() < 0.08 && (variance.sqrt() - 2.0).abs() < 0.06);
    }
}
