//! How fast a supply goes in this cellar, and when it runs out.

use crate::cellar::attention::free_so2::ONE_IN_TEN;
use crate::cellar::moment::Moment;
use crate::cellar::state::Draw;

/// Uses that are looked at: those of the last year, so that every season is in it once.
const LOOKED_AT_DAYS: i64 = 365;
/// Fewer uses than this, or a shorter time, say nothing of a pace (house estimate).
const LEAST_USES: usize = 3;
const LEAST_DAYS: i64 = 60;

/// What was taken out of a supply in the last year.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pace {
    /// Taken out in a day, on average, in the unit of the lot.
    pub per_day: f64,
    /// The middle of what went into wine at once; `None` where too little did.
    pub dose: Option<f64>,
    /// How often something was taken out.
    pub uses: usize,
    /// Over so many days.
    pub days: i64,
    /// Sum of the squares of what was taken out, over the square of their sum: one over the number of
    /// uses if all were alike.
    uneven: f64,
    /// The same sum of squares over the sum: how much goes at once, large uses weighing more.
    at_once: f64,
}

impl Pace {
    /// From what was taken out, and since when there was any to take. `None` while that is too little.
    pub fn of(draws: &[Draw], since_ms: i64, now: Moment) -> Option<Pace> {
        let first = now.plus_days(-LOOKED_AT_DAYS).utc_ms.max(since_ms);
        let counts = |it: &&Draw| it.at_ms >= first && it.amount > 0;
        let taken: Vec<f64> = draws
            .iter()
            .filter(counts)
            .map(|it| it.amount as f64)
            .collect();
        let doses = draws.iter().filter(counts).filter(|it| it.into_wine);
        let mut doses: Vec<f64> = doses.map(|it| it.amount as f64).collect();
        let days = now.days_since(now.at(first));
        if taken.len() < LEAST_USES || days < LEAST_DAYS {
            return None;
        }
        doses.sort_by(f64::total_cmp);
        let sum: f64 = taken.iter().sum();
        let squares: f64 = taken.iter().map(|it| it * it).sum();
        Some(Pace {
            per_day: sum / days as f64,
            dose: (doses.len() >= LEAST_USES).then(|| doses[doses.len() / 2]),
            uses: taken.len(),
            days,
            uneven: squares / (sum * sum),
            at_once: squares / sum,
        })
    }

    /// Days until so much is used up: one in ten is faster, the usual, one in ten is slower.
    ///
    /// Uses come at random (Poisson) and differ in size. The variance of the time, as a share of its
    /// square, is Σx²/(Σx)² for a pace known from few uses, and (Σx²/Σx)/left for the few uses to
    /// come. One over it is the shape of a gamma law, its tenths by Wilson and Hilferty (1931).
    pub fn days_to(&self, left: f64) -> [f64; 3] {
        let usual = left / self.per_day;
        let shape = (self.uneven + self.at_once / left).recip().max(0.5);
        let tenth = |deviate: f64| {
            let ninth = (9.0 * shape).recip();
            (1.0 - ninth + deviate * ninth.sqrt()).powi(3)
        };
        [usual / tenth(ONE_IN_TEN), usual, usual / tenth(-ONE_IN_TEN)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cellar::chance::Chance;

    const NOW: Moment = Moment {
        utc_ms: 1_795_608_000_000,
        offset_min: 0,
    };

    fn taken(uses: &[(i64, i64)]) -> Vec<Draw> {
        let draw = |&(days_ago, amount): &(i64, i64)| Draw {
            at_ms: NOW.plus_days(-days_ago).utc_ms,
            amount,
            into_wine: true,
        };
        uses.iter().map(draw).collect()
    }

    fn check(since_days_ago: i64, uses: &[(i64, i64)], expected: Option<(f64, f64, usize)>) {
        let since = NOW.plus_days(-since_days_ago).utc_ms;
        let pace = Pace::of(&taken(uses), since, NOW);
        assert_eq!(
            pace.map(|it| (it.per_day, it.dose.unwrap(), it.uses)),
            expected
        );
    }

    #[test]
    fn the_pace_is_of_the_last_year_or_since_there_was_any() {
        let uses = [(400, 9_000), (300, 100), (200, 300), (100, 330)];
        check(500, &uses, Some((2.0, 300.0, 3)));
        check(365, &uses, Some((2.0, 300.0, 3)));
        check(100, &[(90, 10), (50, 30), (10, 60)], Some((1.0, 30.0, 3)));
    }

    #[test]
    fn little_says_nothing() {
        check(500, &[], None);
        check(500, &[(300, 100), (200, 300)], None);
        check(59, &[(50, 100), (40, 100), (30, 100)], None);
    }

    #[test]
    fn the_more_uses_the_narrower_and_the_usual_is_their_average() {
        let width = |uses: i64| {
            let all: Vec<(i64, i64)> = (0..uses).map(|it| (1 + it * 360 / uses, 100)).collect();
            let pace = Pace::of(&taken(&all), NOW.plus_days(-365).utc_ms, NOW).unwrap();
            let [low, usual, high] = pace.days_to(2_000.0);
            assert!((usual - 2_000.0 * 365.0 / (100.0 * uses as f64)).abs() < 1e-9);
            high / low
        };
        assert!(width(3) > width(6) && width(6) > width(20));
    }

    /// Numbers even between 0 and 1.
    struct Even(Chance);

    impl Even {
        fn next(&mut self) -> f64 {
            (self.0.next() >> 11) as f64 / (1_u64 << 53) as f64
        }

        /// Days to the next use, and how much it takes.
        fn use_at(&mut self, per_year: f64) -> (f64, f64) {
            let gap = -(1.0 - self.next()).ln() * 365.0 / per_year;
            (gap, 200.0 + 1_000.0 * self.next())
        }
    }

    /// Whether a supply ran out within the band, of a cellar that is watched for a year and then
    /// uses on as it did; `None` where the year had too few uses to say anything.
    fn held(even: &mut Even, per_year: f64, left: f64) -> Option<bool> {
        let mut uses = Vec::new();
        let mut day = 0.0;
        loop {
            let (gap, amount) = even.use_at(per_year);
            day += gap;
            if day > 365.0 {
                break;
            }
            uses.push((365 - day as i64, amount as i64));
        }
        let pace = Pace::of(&taken(&uses), NOW.plus_days(-365).utc_ms, NOW)?;
        let [low, _, high] = pace.days_to(left);
        let (mut day, mut gone) = (0.0, 0.0);
        while gone < left {
            let (gap, amount) = even.use_at(per_year);
            day += gap;
            gone += amount;
        }
        Some((low..=high).contains(&day))
    }

    // Of 3,000 cellars of three paces the band of four in five holds about so many; three standard
    // errors are 2.2 in a hundred, and the gamma law stands in for a sum of uses.
    #[test]
    fn four_in_five_supplies_run_out_within_the_band() {
        let mut even = Even(Chance(20_261_125));
        for per_year in [6.0, 15.0, 40.0] {
            let held: Vec<bool> = (0..1_000)
                .filter_map(|_| held(&mut even, per_year, 9_000.0))
                .collect();
            let share = held.iter().filter(|it| **it).count() as f64 / held.len() as f64;
            assert!(held.len() > 900, "{per_year}: {}", held.len());
            assert!((0.75..=0.86).contains(&share), "{per_year}: {share}");
        }
    }
}
