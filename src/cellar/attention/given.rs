//! Sulfite that no test has seen: what went in and when, and how much of it is taken to be free.

use leesline_calc::decline::STAYS_FREE;

use super::free_so2::{Band, ONE_IN_TEN};
use super::holding::Holding;
use super::words::count;
use crate::cellar::entry::Property;
use crate::cellar::moment::Moment;
use crate::cellar::state::{Deed, GravityReading, So2Change};

/// What a presumed figure rests on, said beside it.
pub(super) const PRESUMED_BY: &str = "by what went in and what usually stays free, without a test";

/// Sulfite that went in since free SO2 was last tested, or ever where it never was, and that no yeast has bound.
#[derive(Clone, Debug)]
pub struct Given {
    /// When some last went in, UTC ms.
    pub last_ms: i64,
    /// The same of some that nobody weighed.
    pub unweighed_ms: Option<i64>,
    /// In how many doses the rest went in.
    doses: usize,
    /// What they brought, mg/L of the wine.
    mg_l: f64,
    /// What of it is taken to be free now, mg/L: low, middle, high.
    free: [f64; 3],
}

impl Given {
    /// `None` where a test has seen all that went in, or a ferment came after it: what went in before that, the yeast has bound
    /// (common practice), so that it neither protects nor speaks against a dose.
    pub fn of(holding: &Holding) -> Option<Given> {
        let last_ms = holding.wine.when(Deed::Sulfited)?;
        if is_tested(holding, last_ms) || has_fermented_since(holding, last_ms) {
            return None;
        }
        let unweighed_ms = holding.dose_of_unknown_weight();
        let mut given = Given {
            last_ms,
            unweighed_ms: unweighed_ms.filter(|it| !has_fermented_since(holding, *it)),
            doses: 0,
            mg_l: 0.0,
            free: [0.0; 3],
        };
        let changes = &holding.wine.so2;
        let tested = changes.iter().rposition(|it| it.what.found().is_some());
        let since = tested.map_or(0, |it| it + 1);
        for change in changes.iter().skip(since) {
            if let So2Change::Added(ug_l, sd_ug_l) = change.what
                && !has_fermented_since(holding, change.at_ms)
            {
                given.count(
                    holding,
                    change.at_ms,
                    [ug_l, sd_ug_l].map(|it| it as f64 / 1e3),
                );
            }
        }
        Some(given)
    }

    fn count(&mut self, holding: &Holding, at_ms: i64, [mg_l, sd]: [f64; 2]) {
        let days = holding.days(at_ms).max(0) as f64;
        let left = (-holding.keeping().per_day * days).exp();
        let mean = mg_l * STAYS_FREE.0;
        let off = (mg_l * STAYS_FREE.1).hypot(sd * STAYS_FREE.0) * ONE_IN_TEN;
        for (free, there) in self.free.iter_mut().zip([mean - off, mean, mean + off]) {
            *free += there * left;
        }
        self.doses += 1;
        self.mg_l += mg_l;
    }

    /// Whether some went in since the ferment, which no yeast has bound.
    pub(super) fn protects(&self) -> bool {
        self.doses > 0 || self.unweighed_ms.is_some()
    }

    /// `30 mg/L of SO2 went in today`.
    pub fn went_in(&self, holding: &Holding) -> String {
        self.told(holding, "of SO2 went in")
    }

    /// `30 mg/L given today`.
    pub fn briefly(&self, holding: &Holding) -> String {
        self.told(holding, "given")
    }

    fn told(&self, holding: &Holding, verb: &str) -> String {
        let last = day(holding, self.last_ms);
        match (self.doses, self.unweighed_ms) {
            (0, None) => format!("sulfite went in {last}"),
            (0, Some(at_ms)) => {
                format!("sulfite of unknown weight went in {}", day(holding, at_ms))
            }
            (1, None) => format!("{:.0} mg/L {verb} {last}", self.mg_l),
            (doses, None) => format!(
                "{:.0} mg/L {verb} by {}, the last {last}",
                self.mg_l,
                count(doses as i64, "dose")
            ),
            (_, Some(at_ms)) => format!(
                "{:.0} mg/L of SO2 and some of unknown weight went in, the last {}",
                self.mg_l,
                day(holding, at_ms.max(self.last_ms))
            ),
        }
    }

    /// What is taken to be free of it: by the test before, and by what is known to have gone in since.
    pub fn taken(&self, holding: &Holding) -> Option<[f64; 3]> {
        let by_test = holding.expected_free_so2();
        let by_test = by_test.map(|it| [it.low, it.mid, it.high]);
        by_test.or((self.doses > 0).then_some(self.free))
    }
}

impl Holding<'_> {
    /// Free SO2 then of a wine that no test has seen: by what went in since its ferment, the part of it that usually stays free, and
    /// the share usually lost a day. `None` where a test tells more, or where not all that went in is in the book. It is no
    /// measurement: whoever shows it says that it is presumed.
    pub fn presumed_free_so2_at(&self, then: Moment) -> Option<Band> {
        let was_before = self.wine.when(Deed::BeforeBook).is_some();
        // Yeast at work binds what goes in.
        if was_before || self.ferment().may_work() || self.expected_free_so2().is_some() {
            return None;
        }
        let given = Given::of(self).filter(|it| it.doses > 0 && it.unweighed_ms.is_none())?;
        let ahead = then.days_since(self.now).max(0) as f64;
        let since = self.days(given.last_ms).max(0) as f64;
        let keeping = self.keeping();
        // How fast it goes here no test has said: what stays free is off one way and the rate the other.
        let [slow, fast] = [-1.0, 1.0].map(|it| (it * ONE_IN_TEN * keeping.spread).exp());
        let left = |pace: f64| {
            let until_now = keeping.per_day * (pace - 1.0) * since;
            (-until_now - keeping.per_day * pace * ahead).exp()
        };
        let [low, mid, high] = given.free;
        Some(Band {
            low: (low * left(fast)).max(0.0),
            mid: mid * left(1.0),
            high: high * left(slow),
            aim: self.free_so2_aim(),
            below: None,
        })
    }

    /// Whether so much is short of its aim by more than a home test can tell; no where the aim is not known.
    pub(super) fn is_short(&self, band: &Band) -> bool {
        band.aim
            .is_some_and(|aim| band.mid < aim - self.margin(aim))
    }
}

/// `today`, `yesterday`, `on 5 Jan 2026`.
fn day(holding: &Holding, at_ms: i64) -> String {
    match holding.days(at_ms) {
        0 => "today".to_owned(),
        1 => "yesterday".to_owned(),
        _ => format!("on {}", holding.now.at(at_ms).day_words()),
    }
}

/// Whether free SO2 was tested after that dose.
fn is_tested(holding: &Holding, dosed_ms: i64) -> bool {
    let is_seen =
        holding.wine.so2_since_reading.0 == 0 && holding.dose_of_unknown_weight().is_none();
    let test = holding.wine.known.get(&Property::FreeSo2);
    is_seen && test.is_some_and(|it| it.at_ms >= dosed_ms && !it.estimated)
}

fn has_fermented_since(holding: &Holding, then_ms: i64) -> bool {
    let pitched = holding.wine.when(Deed::Pitched);
    let readings = &holding.wine.gravities;
    let since = readings.partition_point(|it| it.at_ms < then_ms);
    pitched.is_some_and(|it| it >= then_ms)
        || GravityReading::fell_from(&readings[since..]).is_some()
}

#[cfg(test)]
mod tests {
    use super::super::trial::{Cellar, NOW, policy};
    use super::*;

    fn presumed(build: impl Fn(&mut Cellar), days: i64) -> Option<Band> {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.finished().never(Deed::Sulfited);
        build(&mut cellar);
        let policy = policy();
        let holding = cellar.holding(&policy);
        holding.presumed_free_so2_at(NOW.plus_days(days))
    }

    /// Of 45 mg/L two thirds stay free, 30, and a carboy under an airlock loses 0.004 of it a day: 30 · e^(−0.12) after thirty days,
    /// and 30 · e^(−0.36) after sixty more.
    #[test]
    fn what_went_in_stands_for_a_test_that_nobody_made() {
        let dosed = |it: &mut Cellar| _ = it.sulfited(45.0, 30);
        let [now, later] = [0, 60].map(|days| presumed(dosed, days).unwrap());
        assert!((now.mid - 26.61).abs() < 0.01, "{now:?}");
        assert!((later.mid - 20.93).abs() < 0.01, "{later:?}");
        let width = |it: &Band| (it.high - it.low) / it.mid;
        assert!(width(&later) > width(&now), "{later:?} {now:?}");
    }

    #[test]
    fn a_test_says_more_and_what_is_not_in_the_book_leaves_nothing_to_say() {
        assert_eq!(presumed(|_| (), 0), None);
        let tested = |it: &mut Cellar| _ = it.sulfited(45.0, 30).knows(Property::FreeSo2, 25.0, 10);
        assert_eq!(presumed(tested, 0), None);
        let older = |it: &mut Cellar| _ = it.sulfited(45.0, 30).did(Deed::BeforeBook, 40);
        assert_eq!(presumed(older, 0), None);
        let working = |it: &mut Cellar| {
            it.did(Deed::Pitched, 60)
                .gravities(&[(50, 1.060), (1, 1.020)]);
            it.sulfited(45.0, 30);
        };
        assert_eq!(presumed(working, 0), None);
        let packet = |it: &mut Cellar| _ = it.sulfited(45.0, 30).did(Deed::UnweighedUntested, 20);
        assert_eq!(presumed(packet, 0), None);
    }
}
