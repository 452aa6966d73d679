//! What was left of a supply as it was used, and how long what is left will last: a chart.

use super::{Supply, by_substance};
use crate::cellar::course::{Course, Expected, Point};
use crate::cellar::entry::Dose;
use crate::cellar::fold::DRAWS_KEPT;
use crate::cellar::moment::DAY_MS;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::telling;
use crate::cellar::thing::{Thing, field};

/// Nothing is drawn further ahead, days: in three years much else is different.
const AHEAD_DAYS: f64 = 3.0 * 365.0;
/// Points that the time ahead is drawn with.
const POINTS: i64 = 40;

/// What is left of what that lot is of, all lots in use together. `None` where nobody knows how much
/// there is, or where nothing was taken yet.
///
/// It is reckoned back from what is left now and what was taken out since, so a count that set the
/// book right is taken as right all along.
pub fn course(lot: &Thing, cellar: &Snapshot) -> Option<Course> {
    let substance = lot.text(field::SUBSTANCE);
    let supply = Supply::of(substance, by_substance(cellar).remove(substance)?, cellar);
    let left = supply.left?;
    let (unit, one) = unit(left);
    let levels: Vec<Level> = supply
        .lots
        .iter()
        .filter_map(|it| Level::of(it.thing, cellar))
        .collect();
    let mut times: Vec<i64> = levels.iter().flat_map(Level::times).collect();
    times.sort_unstable();
    times.dedup();
    let now_ms = cellar.now.utc_ms;
    let readings: Vec<Point> = times
        .into_iter()
        .filter(|it| *it <= now_ms)
        .map(|at_ms| {
            let left = levels.iter().map(|it| it.after(at_ms)).sum::<i64>();
            Point::exact(at_ms, left as f64 / one)
        })
        .collect();
    let expected = supply
        .pace
        .filter(|_| left.amount() > 0)
        .map_or_else(Vec::new, |pace| {
            let days = pace.days_to(left.amount() as f64);
            ahead(left.amount() as f64 / one, days, now_ms)
        });
    (readings.len() > 1).then(|| Course {
        title: telling::capital(&supply.name()),
        unit,
        decimals: usize::from(matches!(left, Dose::Mass(_) | Dose::Volume(_))),
        readings,
        expected,
        next: format!("{}.", telling::capital(&supply.lasting())),
        now_ms,
        ..Course::default()
    })
}

/// The unit that people speak of it in, and how many of the book's make one.
const fn unit(left: Dose) -> (&'static str, f64) {
    match left {
        Dose::Mass(_) => ("g", 1e6),
        Dose::Volume(_) => ("mL", 1e3),
        Dose::Count(_) => ("", 1.0),
        Dose::Packets(_) => ("packets", 1.0),
        Dose::Tablets(_) => ("tablets", 1e3),
    }
}

/// A lot over time.
struct Level {
    /// When it came, or the first moment of which the book still knows, UTC ms.
    since_ms: i64,
    left: i64,
    /// When, and how much went.
    draws: Vec<(i64, i64)>,
}

impl Level {
    fn of(lot: &Thing, cellar: &Snapshot) -> Option<Level> {
        let stock = cellar.stock(lot.key)?;
        let draws: Vec<(i64, i64)> = stock.draws.iter().map(|it| (it.at_ms, it.amount)).collect();
        let first = draws.first().map(|it| it.0);
        // Of a lot that was taken from more often the book keeps only the last of it.
        let bought = lot.int(field::BOUGHT).filter(|_| draws.len() < DRAWS_KEPT);
        Some(Level {
            since_ms: bought.or(first)?,
            left: stock.left?.amount(),
            draws,
        })
    }

    fn times(&self) -> impl Iterator<Item = i64> {
        std::iter::once(self.since_ms).chain(self.draws.iter().map(|it| it.0))
    }

    /// What was there once all of that moment had been taken.
    fn after(&self, at_ms: i64) -> i64 {
        if at_ms < self.since_ms {
            return 0;
        }
        let later = self.draws.iter().filter(|it| it.0 > at_ms);
        self.left + later.map(|it| it.1).sum::<i64>()
    }
}

/// From what is left straight down to nothing on the day it is used up: one in ten is sooner, the
/// usual, one in ten is later.
fn ahead(left: f64, [soon, usual, late]: [f64; 3], now_ms: i64) -> Vec<Expected> {
    let end = late.min(AHEAD_DAYS);
    let still = |day: f64, used_up: f64| (left * (1.0 - day / used_up)).max(0.0);
    let points = (0..=POINTS).map(|it| end * it as f64 / POINTS as f64);
    points
        .map(|day| Expected {
            at_ms: now_ms + (day * DAY_MS as f64) as i64,
            low: still(day, soon),
            mid: still(day, usual),
            high: still(day, late),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cellar::attention::trial::{Cellar, POWDER, days_ago};
    use crate::cellar::state::{Draw, State, Stock};
    use crate::cellar::supplies::Pace;
    use crate::cellar::thing::Value;

    /// 100 g of powder are left of what was bought 90 days ago, and so much was taken out since.
    fn powder(draws: &[(i64, i64)]) -> Cellar {
        let mut cellar = Cellar::with_vessel(23.0, 20.0);
        cellar.powder(100.0);
        cellar.set(POWDER, field::BOUGHT, Value::Int(days_ago(90)));
        let draw = |&(days, grams): &(i64, i64)| Draw {
            at_ms: days_ago(days),
            amount: grams * 1_000_000,
            into_wine: true,
        };
        let stock = Stock {
            left: cellar.0.stock(POWDER).and_then(|it| it.left),
            draws: draws.iter().map(draw).collect(),
            ..Stock::default()
        };
        cellar.0.states.insert(POWDER, State::Supply(stock).into());
        cellar
    }

    fn course_of(cellar: &Cellar) -> Option<Course> {
        course(cellar.0.thing(POWDER).unwrap(), &cellar.0)
    }

    #[test]
    fn what_was_left_is_reckoned_back_from_what_is() {
        let course = course_of(&powder(&[(30, 20), (10, 5)])).unwrap();
        let was: Vec<(i64, f64)> = course
            .readings
            .iter()
            .map(|it| (it.at_ms, it.value))
            .collect();
        let expected = [
            (days_ago(90), 125.0),
            (days_ago(30), 105.0),
            (days_ago(10), 100.0),
        ];
        assert_eq!(was, expected);
        assert_eq!(
            (course.title.as_str(), course.unit),
            ("Potassium metabisulfite", "g")
        );
        // Two uses are no pace.
        assert_eq!(course.expected, []);
        assert_eq!(course.next, "Too few uses to say how long it lasts.");
    }

    #[test]
    fn it_is_used_up_when_the_pace_says_so() {
        let draws = [(80, 20), (50, 20), (30, 20), (10, 20)];
        let cellar = powder(&draws);
        let course = course_of(&cellar).unwrap();
        let taken: Vec<Draw> = cellar.0.stock(POWDER).unwrap().draws.clone();
        let pace = Pace::of(&taken, days_ago(90), cellar.0.now).unwrap();
        // 80 g in 90 days: 100 g usually last 112.5.
        let [_, usual, late] = pace.days_to(100e6);
        assert!((usual - 112.5).abs() < 1e-9);
        let at =
            |days: f64| course.expected_at(cellar.0.now.utc_ms + (days * DAY_MS as f64) as i64);
        let half = at(usual / 2.0).unwrap();
        assert!((half.mid - 50.0).abs() < 1.5, "{half:?}");
        assert!(half.low < half.mid && half.mid < half.high);
        let end = course.expected.last().unwrap();
        assert_eq!(
            end.at_ms,
            cellar.0.now.utc_ms + (late * DAY_MS as f64) as i64
        );
        assert!(end.high.abs() < 1e-6);
    }

    #[test]
    fn what_nobody_took_from_has_no_course() {
        assert_eq!(course_of(&powder(&[])), None);
    }
}
