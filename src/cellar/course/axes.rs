//! What of a course is shown: from when to when, from what to what, and the round figures and days
//! that are written beside it. The terminal and paper draw by the same.

use chrono::{Datelike, NaiveDate, NaiveTime};

use super::Course;
use crate::cellar::moment::{DAY_MS, Moment};

/// The frame of a chart.
#[derive(Clone, Debug, PartialEq)]
pub struct Axes {
    /// The left edge, UTC ms.
    pub from_ms: i64,
    /// The right edge, UTC ms; later than the left one.
    pub until_ms: i64,
    /// The lower edge.
    pub low: f64,
    /// The upper edge; above the lower one.
    pub high: f64,
    /// Round figures from the lower edge to the upper one, as they are written.
    pub figures: Vec<(f64, String)>,
    /// First moments of round days, as they are written.
    pub days: Vec<(i64, String)>,
}

impl Axes {
    /// Around all that a course has to show, now and its level among it, with about so many figures
    /// and at most so many days. `None` where it has nothing to show. `now` says the wall clock.
    pub fn of(course: &Course, now: Moment, figures: usize, days: usize) -> Option<Axes> {
        let readings = course.readings.iter().flat_map(|it| {
            let (low, high) = it.reach();
            [low, it.value, high].map(|value| (it.at_ms, value))
        });
        let expected = course
            .expected
            .iter()
            .flat_map(|it| [it.low, it.mid, it.high].map(|value| (it.at_ms, value)));
        let shown: Vec<(i64, f64)> = readings
            .chain(expected)
            .filter(|it| it.1.is_finite())
            .collect();
        let moments = shown.iter().map(|it| it.0).chain([course.now_ms]);
        let (first, last) = (moments.clone().min()?, moments.max()?);
        let level = course.level.map(|it| it.0).filter(|it| it.is_finite());
        let values = shown.iter().map(|it| it.1).chain(level);
        let bottom = values.clone().reduce(f64::min)?;
        let top = values.reduce(f64::max)?;
        if shown.is_empty() {
            return None;
        }
        let (bottom, top) = spread(bottom, top, Axes::least_span(course.decimals));
        let (low, high, figures) = round_figures(bottom, top, course.decimals, figures);
        let (from_ms, until_ms) = if last - first < DAY_MS {
            (first - DAY_MS, last + DAY_MS)
        } else {
            (first, last)
        };
        Some(Axes {
            from_ms,
            until_ms,
            low,
            high,
            figures,
            days: round_days(now.at(from_ms), now.at(until_ms), days),
        })
    }

    /// The least that a frame spans: ten of the last digit shown. Closer, the error of a reading would be
    /// drawn as if it were a fall.
    pub fn least_span(decimals: usize) -> f64 {
        LEAST_SPAN * finest(decimals)
    }

    /// Whether a moment is within the frame.
    pub fn holds(&self, at_ms: i64) -> bool {
        (self.from_ms..=self.until_ms).contains(&at_ms)
    }

    /// Where a moment stands: 0 at the left edge, 1 at the right one.
    pub fn across(&self, at_ms: i64) -> f64 {
        (at_ms - self.from_ms) as f64 / (self.until_ms - self.from_ms) as f64
    }

    /// Where a value stands: 0 at the lower edge, 1 at the upper one.
    pub fn up(&self, value: f64) -> f64 {
        (value - self.low) / (self.high - self.low)
    }
}

/// The edges, and figures between them in steps of 1, 2 or 5. What is far above nothing is not drawn
/// down to it; what is near it is, so that the height of a mark is its share of the whole. The edges stand
/// closer than the figures, so that a drawing of few rows spends none on what no wine has; a step that would
/// leave fewer than two figures is too coarse.
fn round_figures(
    least: f64,
    most: f64,
    decimals: usize,
    about: usize,
) -> (f64, f64, Vec<(f64, String)>) {
    let finest = finest(decimals);
    let least = if (0.0..most / 2.0).contains(&least) {
        0.0
    } else {
        least
    };
    let wanted = ((most - least) / about.max(1) as f64).max(finest);
    let power = 10_f64.powf(wanted.log10().floor());
    let steps = [10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1].map(|it| it * power);
    // A hair less than the step wanted is the step wanted: 0.01 is not always a hundredth.
    let is_coarse = |it: &&f64| **it >= wanted * (1.0 - 1e-9);
    let coarsest = steps.iter().rev().find(is_coarse).copied();
    let coarsest = coarsest.unwrap_or(10.0 * power);
    let mut found = None;
    for step in steps {
        if step > coarsest || (found.is_some() && step < finest * (1.0 - 1e-9)) {
            continue;
        }
        let edges = edges(least, most, (step / EDGES).max(finest));
        let figures = multiples(step, edges, decimals);
        let is_enough = figures.len() > 1;
        found = Some((edges.0, edges.1, figures));
        if is_enough {
            break;
        }
    }
    found.unwrap_or_else(|| (least, most + finest, Vec::new()))
}

/// The last digit shown.
fn finest(decimals: usize) -> f64 {
    0.1_f64.powi(i32::try_from(decimals).unwrap_or(0))
}

/// So many of the last digit shown a frame spans at least.
const LEAST_SPAN: f64 = 10.0;

/// Both edges moved apart alike to span so much; what is never below nothing stays above it.
fn spread(bottom: f64, top: f64, least: f64) -> (f64, f64) {
    let lacks = (least - (top - bottom)).max(0.0);
    let low = bottom - lacks / 2.0;
    let low = if bottom >= 0.0 { low.max(0.0) } else { low };
    (low, top.max(low + least))
}

/// So many times closer than the figures the edges stand.
const EDGES: f64 = 5.0;

/// The multiples of a step around what is shown; the upper is above the lower.
fn edges(least: f64, most: f64, step: f64) -> (f64, f64) {
    let below = (least / step + 1e-9).floor();
    let above = (most / step - 1e-9).ceil().max(below + 1.0);
    ((below * step).min(least), (above * step).max(most))
}

/// The multiples of a step between the edges, as they are written.
fn multiples(step: f64, (low, high): (f64, f64), decimals: usize) -> Vec<(f64, String)> {
    let first = (low / step - 1e-9).ceil();
    let last = (high / step + 1e-9).floor();
    (0..=(last - first).max(-1.0) as i64)
        .map(|it| (first + it as f64) * step)
        .map(|it| (it, format!("{it:.decimals$}")))
        .collect()
}

/// How far apart the days written stand.
#[derive(Clone, Copy)]
enum Every {
    Days(i32),
    Months(i32),
}

const STEPS: [Every; 13] = [
    Every::Days(1),
    Every::Days(2),
    Every::Days(7),
    Every::Days(14),
    Every::Months(1),
    Every::Months(2),
    Every::Months(3),
    Every::Months(6),
    Every::Months(12),
    Every::Months(24),
    Every::Months(60),
    Every::Months(120),
    Every::Months(600),
];

fn round_days(from: Moment, until: Moment, most: usize) -> Vec<(i64, String)> {
    let mut ticks = Vec::new();
    for every in STEPS {
        ticks = ticks_of(every, from, until, most);
        if ticks.len() <= most {
            return ticks;
        }
    }
    ticks.truncate(most);
    ticks
}

/// The days of one step; one more than wanted is enough to know that they are too many.
fn ticks_of(every: Every, from: Moment, until: Moment, most: usize) -> Vec<(i64, String)> {
    let first = from.date();
    let mut day = match every {
        Every::Days(step) => {
            NaiveDate::from_num_days_from_ce_opt(first.num_days_from_ce().div_euclid(step) * step)
        }
        Every::Months(step) => month(first.year() * 12 + first.month0() as i32, step, 0),
    };
    let mut ticks = Vec::new();
    while let Some(on) = day {
        let at_ms = on.and_time(NaiveTime::MIN).and_utc().timestamp_millis()
            - i64::from(from.offset_min) * 60_000;
        if at_ms > until.utc_ms || ticks.len() > most {
            break;
        }
        let words = match every {
            Every::Days(_) => "%-d %b",
            Every::Months(_) if on.month0() == 0 => "%Y",
            Every::Months(_) => "%b",
        };
        if at_ms >= from.utc_ms {
            ticks.push((at_ms, on.format(words).to_string()));
        }
        day = match every {
            Every::Days(step) => NaiveDate::from_num_days_from_ce_opt(on.num_days_from_ce() + step),
            Every::Months(step) => month(on.year() * 12 + on.month0() as i32, step, 1),
        };
    }
    ticks
}

/// The first of the month at the step at or before one counted from year 0, so many steps on.
fn month(from: i32, step: i32, on: i32) -> Option<NaiveDate> {
    let month = (from.div_euclid(step) + on) * step;
    NaiveDate::from_ymd_opt(
        month.div_euclid(12),
        month.rem_euclid(12).unsigned_abs() + 1,
        1,
    )
}

#[cfg(test)]
mod tests {
    use super::super::Point;
    use super::*;

    fn check_figures(least: f64, most: f64, decimals: usize, about: usize, expected: &str) {
        let (low, high, figures) = round_figures(least, most, decimals, about);
        let words: Vec<String> = figures.iter().map(|it| it.1.clone()).collect();
        assert_eq!(words.join(" "), expected, "{least} to {most}");
        assert!(low <= least && most <= high && low < high);
    }

    #[test]
    fn figures_are_round_and_hold_all() {
        check_figures(12.0, 38.0, 0, 5, "0 10 20 30");
        check_figures(0.992, 1.094, 3, 5, "1.000 1.050 1.100");
        check_figures(0.996, 1.012, 3, 5, "1.000 1.005 1.010");
        check_figures(22.0, 22.0, 0, 5, "22 23");
        check_figures(-4.0, 9.0, 0, 5, "0 5");
        check_figures(80.0, 88.0, 0, 5, "80 82 84 86 88");
        check_figures(0.0, 0.0, 1, 5, "0.0 0.1");
        // 0.05 apart there would be one.
        check_figures(0.994, 1.038, 3, 2, "1.000 1.020 1.040");
    }

    #[test]
    fn what_hardly_changes_is_not_drawn_as_a_fall() {
        let check = |bottom: f64, top: f64, least: f64, expected: (f64, f64)| {
            let (low, high) = spread(bottom, top, least);
            let is = (low - expected.0).abs() < 1e-9 && (high - expected.1).abs() < 1e-9;
            assert!(is, "{bottom} to {top}: {low} to {high}");
        };
        check(0.996, 0.996, 0.01, (0.991, 1.001));
        check(0.996, 0.998, 0.01, (0.992, 1.002));
        check(0.992, 1.094, 0.01, (0.992, 1.094));
        check(2.0, 4.0, 10.0, (0.0, 10.0));
        check(0.0, 0.0, 10.0, (0.0, 10.0));
        check(-4.0, -4.0, 10.0, (-9.0, 1.0));
    }

    fn at(date: &str) -> Moment {
        let on: NaiveDate = date.parse().unwrap();
        Moment {
            utc_ms: on
                .and_hms_opt(12, 0, 0)
                .unwrap()
                .and_utc()
                .timestamp_millis()
                - 3_600_000,
            offset_min: 60,
        }
    }

    fn check_days(from: &str, until: &str, most: usize, expected: &str) {
        let words: Vec<String> = round_days(at(from), at(until), most)
            .into_iter()
            .map(|it| it.1)
            .collect();
        assert_eq!(words.join(", "), expected, "{from} to {until}");
    }

    #[test]
    fn days_are_round_and_few_enough() {
        check_days(
            "2026-11-20",
            "2026-11-25",
            6,
            "21 Nov, 22 Nov, 23 Nov, 24 Nov, 25 Nov",
        );
        check_days("2026-01-15", "2026-06-15", 6, "Feb, Mar, Apr, May, Jun");
        check_days("2025-10-15", "2026-11-15", 6, "2026, Apr, Jul, Oct");
        check_days("2019-05-01", "2026-11-25", 5, "2020, 2022, 2024, 2026");
        check_days("1700-05-01", "2026-11-25", 3, "1750, 1800, 1850");
        check_days("2026-01-15", "2026-06-15", 0, "");
    }

    #[test]
    fn a_day_begins_at_midnight_on_the_wall_clock() {
        let days = round_days(at("2026-11-20"), at("2026-11-22"), 6);
        let midnight = at("2026-11-21").utc_ms - 12 * 3_600_000;
        assert_eq!(days[0], (midnight, "21 Nov".to_owned()));
    }

    #[test]
    fn there_is_no_frame_around_nothing() {
        let now = at("2026-11-25");
        let mut course = Course {
            now_ms: now.utc_ms,
            level: Some((26.0, "aim")),
            ..Course::default()
        };
        assert_eq!(Axes::of(&course, now, 5, 5), None);
        course.readings.push(Point::exact(now.utc_ms, f64::NAN));
        assert_eq!(Axes::of(&course, now, 5, 5), None);
        course.readings.push(Point::exact(now.utc_ms, 22.0));
        let axes = Axes::of(&course, now, 5, 5).unwrap();
        let middle = axes.across(now.utc_ms);
        assert!((middle - 0.5).abs() < 1e-9, "{middle}");
        assert!(axes.low <= 22.0 && axes.high >= 26.0);
    }
}
