//! How fast free SO2 goes, from one's own readings, and when too little is left.
//!
//! First order: F(t) = F₀·e^(−k·t). ln k is normal about what the keeping suggests; F₀ is normal about the first reading;
//! every later reading is off by the same error. The steps of ln k are a grid; for each of them F₀ has a closed form, since
//! the readings are linear in it. No paper gives the rates in this form: they are house estimates, anchored in 2.5 mg of free
//! SO2 lost per mg of oxygen in bottled wine (Pascal, Diéval and Vidal, abstract) and in barrels taking up 20–40 mg/L of
//! oxygen a year (common practice).

use crate::normal::{chance_below, first_reaching};

/// How a wine is kept, and how fast free SO2 is taken to go before anything was read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Keeping {
    /// As typed: `carboy-airlock`.
    pub word: &'static str,
    /// As shown, behind "in".
    pub label: &'static str,
    /// The part of free SO2 lost in a day, the middle of the estimate.
    pub per_day: f64,
    /// Standard deviation of its natural logarithm.
    pub spread: f64,
}

const fn keeping(
    word: &'static str,
    label: &'static str,
    (per_day, spread): (f64, f64),
) -> Keeping {
    Keeping {
        word,
        label,
        per_day,
        spread,
    }
}

/// Every keeping; house estimates all.
pub static KEEPINGS: &[Keeping] = &[
    keeping(
        "carboy-airlock",
        "a full carboy under an airlock",
        (0.004, 0.6),
    ),
    keeping(
        "carboy-bung",
        "a full carboy under a solid bung",
        (0.0025, 0.6),
    ),
    keeping(
        "tank",
        "a tank with air above or a floating lid",
        (0.008, 0.7),
    ),
    keeping("barrel", "a barrel kept topped", (0.009, 0.5)),
    keeping("bottle", "a closed bottle", (0.0007, 0.7)),
];

/// The words of the keepings, in their order.
pub const KEEPING_WORDS: &[&str] = &["carboy-airlock", "carboy-bung", "tank", "barrel", "bottle"];

/// The keeping of that word.
pub fn find(word: &str) -> Option<Keeping> {
    KEEPINGS.iter().copied().find(|it| it.word == word)
}

/// Steps of ln k, an odd number so that the middle is one of them.
const STEPS: usize = 401;
/// They reach so many standard deviations either way.
const REACH: f64 = 5.0;
/// Longer than any wine is kept, days; every forecast ends before.
const LONGEST_DAYS: f64 = 1e6;

/// One reading: the day, and free SO2 in mg/L.
pub type Reading = (f64, f64);

/// What the readings make of the rate and of the free SO2.
#[derive(Clone, Debug)]
pub struct Decline {
    steps: [Step; STEPS],
}

/// A rate with its weight, and the free SO2 at the beginning of the last stretch if that is the rate.
#[derive(Clone, Copy, Debug)]
struct Step {
    per_day: f64,
    weight: f64,
    start: f64,
    start_sd: f64,
}

/// What a stretch of readings says at one rate.
struct Stretch {
    start: f64,
    start_sd: f64,
    log_evidence: f64,
}

/// A rise beyond this (mg/L) is an addition: twice the standard deviation of the difference of two readings, which error alone
/// makes once in forty times.
pub fn addition_mg_l(reading_sd: f64) -> f64 {
    2.0 * std::f64::consts::SQRT_2 * reading_sd
}

/// The readings, in order of days, in stretches without an addition between.
pub fn stretches(readings: &[Reading], reading_sd: f64) -> impl Iterator<Item = &[Reading]> {
    readings.chunk_by(move |before, after| after.1 - before.1 <= addition_mg_l(reading_sd))
}

/// What one stretch says of its start at a rate, and how well it goes with that rate.
///
/// With e = e^(−k·t) and all readings off by σ: precision p = Σe²/σ², mean q/p with q = Σe·y/σ², and evidence
/// e^(q²/2p)/√p but for what is the same at every rate. Textbook: normal mean with known error.
fn stretch(per_day: f64, reading_sd: f64, readings: &[Reading]) -> Stretch {
    let first = readings.first().map_or(0.0, |it| it.0);
    let (mut p, mut q) = (0.0, 0.0);
    for (day, free) in readings {
        let left = (-per_day * (day - first)).exp();
        p += left * left;
        q += left * free;
    }
    let precision = p / (reading_sd * reading_sd);
    Stretch {
        start: q / p,
        start_sd: precision.sqrt().recip(),
        log_evidence: 0.5 * (q / p) * (q / p) * precision - 0.5 * precision.ln(),
    }
}

impl Decline {
    /// From one reading or more in order of days, off by so much (standard deviation, mg/L), and a keeping. Every stretch
    /// speaks for the rate; the last one says how much there is.
    pub fn of(keeping: Keeping, reading_sd: f64, readings: &[Reading]) -> Self {
        let mut steps = std::array::from_fn(|at| {
            let z = REACH * (2.0 * at as f64 / (STEPS - 1) as f64 - 1.0);
            let per_day = keeping.per_day * (keeping.spread * z).exp();
            let mut step = Step {
                per_day,
                weight: -0.5 * z * z,
                start: 0.0,
                start_sd: 1.0,
            };
            for readings in stretches(readings, reading_sd) {
                let says = stretch(per_day, reading_sd, readings);
                step.weight += says.log_evidence;
                (step.start, step.start_sd) = (says.start, says.start_sd);
            }
            step
        });
        let most = steps.iter().fold(f64::MIN, |most, it| it.weight.max(most));
        for step in &mut steps {
            step.weight = (step.weight - most).exp();
        }
        let sum: f64 = steps.iter().map(|it| it.weight).sum();
        for step in &mut steps {
            step.weight /= sum;
        }
        Self { steps }
    }

    /// The part of free SO2 lost in a day that the true one lies below with this chance (0–1).
    pub fn rate(&self, chance: f64) -> f64 {
        let mut below = 0.0;
        let mut reached = self.steps.iter().filter(|it| {
            below += it.weight;
            below >= chance
        });
        reached.next().unwrap_or(&self.steps[STEPS - 1]).per_day
    }

    /// The chance (0–1) that so many days after the beginning of the last stretch less than this is left, mg/L.
    pub fn chance_below(&self, free_mg_l: f64, days: f64) -> f64 {
        self.steps
            .iter()
            .map(|it| {
                let left = (-it.per_day * days).exp();
                it.weight * chance_below((free_mg_l / left - it.start) / it.start_sd)
            })
            .sum()
    }

    /// Free SO2 (mg/L) so many days after the beginning of the last stretch that the true one lies below with this chance.
    pub fn free_mg_l(&self, days: f64, chance: f64) -> f64 {
        let most = self
            .steps
            .iter()
            .map(|it| it.start + 6.0 * it.start_sd)
            .fold(0.0, f64::max);
        first_reaching(chance, (0.0, most), |free| self.chance_below(free, days))
    }

    /// Days from the beginning of the last stretch until less than this is left (mg/L, above 0), with this chance.
    pub fn days_to(&self, free_mg_l: f64, chance: f64) -> f64 {
        let mut end = 1.0;
        while end < LONGEST_DAYS && self.chance_below(free_mg_l, end) < chance {
            end *= 2.0;
        }
        first_reaching(chance, (0.0, end), |days| {
            self.chance_below(free_mg_l, days)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::normal::Draws;

    #[test]
    fn words_and_keepings_are_the_same_list() {
        let words: Vec<&str> = KEEPINGS.iter().map(|it| it.word).collect();
        assert_eq!(words, KEEPING_WORDS);
    }

    const SD: f64 = 2.5;

    /// A wine whose rate is drawn from the keeping's estimate, read every 30 days and off by SD each time: its rate, its
    /// true start, and the readings.
    fn wine(draws: &mut Draws, keeping: Keeping, count: usize) -> (f64, f64, Vec<Reading>) {
        let per_day = keeping.per_day * draws.normal(0.0, keeping.spread).exp();
        let first = 35.0;
        let start = draws.normal(first, SD);
        let later = (1..=count).map(|at| {
            let day = 30.0 * at as f64;
            (day, draws.normal(start * (-per_day * day).exp(), SD))
        });
        (
            per_day,
            start,
            [(0.0, first)].into_iter().chain(later).collect(),
        )
    }

    /// How often of a thousand the held-back truth lies in the band from 10 to 90 %: the rate, and what is left on day 120.
    fn covered(keeping: Keeping, count: usize) -> (usize, usize) {
        let mut draws = Draws(20_261_125);
        let (mut rates, mut left) = (0, 0);
        for _ in 0..1000 {
            let (per_day, start, readings) = wine(&mut draws, keeping, count);
            let found = Decline::of(keeping, SD, &readings);
            if (found.rate(0.1)..=found.rate(0.9)).contains(&per_day) {
                rates += 1;
            }
            let since = stretches(&readings, SD).last().unwrap()[0].0;
            let truth = start * (-per_day * 120.0).exp();
            if (0.1..=0.9).contains(&found.chance_below(truth, 120.0 - since)) {
                left += 1;
            }
        }
        (rates, left)
    }

    // The band is what it says if about 800 of 1000 lie in it; 40 is three standard errors.
    #[test]
    fn four_in_five_wines_end_up_within_the_band() {
        for keeping in KEEPINGS {
            for count in 0..=3 {
                let (rates, left) = covered(*keeping, count);
                for covered in [rates, left] {
                    assert!(
                        (760..=840).contains(&covered),
                        "{} {count}: {covered}",
                        keeping.word
                    );
                }
            }
        }
    }

    #[test]
    fn every_reading_narrows_the_rate_and_none_leaves_it_as_it_was() {
        let carboy = KEEPINGS[0];
        let wide = |count: usize| {
            let readings: Vec<Reading> = (0..count)
                .map(|at| (30.0 * at as f64, 35.0 * (-0.004 * 30.0 * at as f64).exp()))
                .collect();
            let found = Decline::of(carboy, SD, &readings);
            (found.rate(0.9) / found.rate(0.1)).ln()
        };
        let prior = 2.0 * 1.281_551_57 * carboy.spread;
        assert!((wide(1) - prior).abs() < 0.02, "{}", wide(1));
        for count in 1..6 {
            assert!(wide(count + 1) < wide(count), "{count}");
        }
    }

    fn check_stretches(readings: &[Reading], expected: &[usize]) {
        let lengths: Vec<usize> = stretches(readings, SD).map(<[Reading]>::len).collect();
        assert_eq!(lengths, expected, "{readings:?}");
    }

    #[test]
    fn a_rise_beyond_what_error_makes_begins_a_stretch() {
        check_stretches(&[(0.0, 30.0)], &[1]);
        check_stretches(&[(0.0, 30.0), (30.0, 28.0), (60.0, 34.0)], &[3]);
        check_stretches(
            &[(0.0, 30.0), (30.0, 24.0), (31.0, 38.0), (60.0, 33.0)],
            &[2, 2],
        );
    }

    #[test]
    fn an_addition_starts_anew_and_keeps_what_was_learned_of_the_rate() {
        let carboy = KEEPINGS[0];
        // Half is lost in sixty days, three times as fast as is taken for a carboy.
        let fast = [(0.0, 40.0), (30.0, 28.3), (60.0, 20.0)];
        let dosed = [fast.as_slice(), &[(61.0, 40.0)]].concat();
        let before = Decline::of(carboy, SD, &fast);
        let after = Decline::of(carboy, SD, &dosed);
        assert!((after.rate(0.5) / before.rate(0.5) - 1.0).abs() < 0.02);
        assert!((after.free_mg_l(0.0, 0.5) - 40.0).abs() < 0.01);
        assert!(after.rate(0.1) > carboy.per_day);
    }

    #[test]
    fn too_little_already_is_no_days_away() {
        let found = Decline::of(KEEPINGS[0], SD, &[(0.0, 10.0)]);
        assert!(found.days_to(20.0, 0.9) <= 0.0);
    }
}
