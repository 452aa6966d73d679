//! How soon a ferment that stops is called stuck, and how often one that goes on is called so wrongly: simulated ferments of four
//! kinds, read once a day with a hydrometer that errs by 0.001.

use super::*;
use crate::ferment_readings::readings;
use crate::gravity_curve::truths::{FAMILIES, Truth, truth};
use crate::gravity_curve::{Before, START_SD, USUAL_END};
use crate::least_squares::Prior;
use crate::normal::{Draws, first_reaching};

const END: f64 = 0.994;

/// A ferment read daily, with the day it stopped or was dry on.
struct Read {
    day: f64,
    /// The gravity there is on that day, whatever is read.
    sg: f64,
    readings: Vec<(f64, f64)>,
}

/// One that stops with this part of its fall still before it, or goes on to the end.
fn ferment(of: Truth, draws: &mut Draws, stops_at: Option<f64>) -> Read {
    let end = draws.normal(END, 0.0015);
    let fall = 1.090 - end;
    let (dry, left) = truth(of, draws, DRY_WITHIN / fall);
    let day = stops_at.map_or(dry, |part| {
        first_reaching(-part, (0.0, dry), |day| -left(day))
    });
    let readings = (1..=(day as u32 + 10)).map(|at| {
        let at = f64::from(at);
        let then = if stops_at.is_some() { at.min(day) } else { at };
        (at, draws.normal(end + fall * left(then), 0.001))
    });
    Read {
        day,
        sg: end + fall * left(day),
        readings: readings.collect(),
    }
}

/// The first day on which what was read until then is so.
fn first(read: &Read, is_so: impl Fn(&[(f64, f64)]) -> bool) -> Option<f64> {
    let many = 1..=read.readings.len();
    let mut so_far = many.map(|count| &read.readings[..count]);
    so_far.find(|it| is_so(it)).map(|it| it[it.len() - 1].0)
}

fn is(stands: State) -> impl Fn(&[(f64, f64)]) -> bool {
    move |read| state(1.090, read, END, &CRITERIA) == stands
}

/// Of 800 that stop abruptly with 15 to 50 % of their sugar left: how many are called so within so many days of it.
fn called_within(days: f64, is_so: impl Fn(&[(f64, f64)]) -> bool) -> usize {
    let mut called = 0;
    for of in FAMILIES {
        let mut draws = Draws(20_261_127);
        for _ in 0..200 {
            let part = 0.15 + 0.35 * draws.part();
            let read = ferment(of, &mut draws, Some(part));
            let has_stopped = |it: &[(f64, f64)]| it.last().is_some_and(|it| it.0 > read.day);
            let day = first(&read, |it| has_stopped(it) && is_so(it));
            called += usize::from(day.is_some_and(|it| it <= read.day + days));
        }
    }
    called
}

/// A handbook calls it stuck after 24 hours without a fall (Pambianchi, Modern Home Winemaking): with a reading a day that is the
/// second after it stopped, and that is when a watch is asked for. The rule wants three days, so four or five after it stopped.
#[test]
fn a_ferment_that_stops_is_watched_within_two_days_and_called_stuck_within_five() {
    let watched = called_within(2.0, wants_watching);
    let stuck = called_within(5.0, is(State::Stuck));
    println!("of 800: watched within two days {watched}, stuck within five {stuck}");
    assert!(watched >= 760, "{watched} of 800 watched");
    assert!(stuck >= 720, "{stuck} of 800 called stuck");
}

/// Of 1,000 that go dry and are read for ten days more: at most 4 in 100 are called stuck on the way, and 8 in 100 ever. The rest
/// end high, and a test of their sugar tells them from stuck ones.
#[test]
fn a_ferment_that_goes_dry_is_seldom_called_stuck() {
    let (mut before, mut ever) = (0, 0);
    for of in FAMILIES {
        let mut draws = Draws(20_261_128);
        for _ in 0..250 {
            let read = ferment(of, &mut draws, None);
            let day = first(&read, is(State::Stuck));
            before += usize::from(day.is_some_and(|it| it <= read.day));
            ever += usize::from(day.is_some());
        }
    }
    println!("of 1000: stuck before dry {before}, ever {ever}");
    assert!(before <= 40, "{before} of 1000 before they were dry");
    assert!(ever <= 80, "{ever} of 1000");
}

fn curve(readings: &[(f64, f64)]) -> Ferment {
    let start = Prior {
        mean: 1.090,
        sd: START_SD,
    };
    let before = Before {
        start,
        end: USUAL_END,
        pace: 1.0,
    };
    Ferment::of(&before, readings).unwrap()
}

/// Of 200 that stop, a day after each of the four readings from the second after it: the gravity there is lies within the band in
/// eight of ten, though none of the curves that are laid through the readings stops.
#[test]
fn the_band_holds_a_ferment_that_stops_too() {
    let (mut inside, mut all) = (0, 0);
    for of in FAMILIES {
        let mut draws = Draws(20_261_132);
        for _ in 0..50 {
            let part = 0.15 + 0.35 * draws.part();
            let read = ferment(of, &mut draws, Some(part));
            let stopped = read.readings.partition_point(|it| it.0 <= read.day);
            for count in stopped + 2..stopped + 6 {
                let found = curve(&read.readings[..count]);
                let day = read.readings[count].0;
                let band = found.gravity(day, 0.1)..=found.gravity(day, 0.9);
                inside += usize::from(band.contains(&read.sg));
                all += 1;
            }
        }
    }
    println!("{inside} of {all} readings of stopped ferments within the band");
    assert!(inside * 10 >= all * 8, "{inside} of {all}");
}

/// Of the days until it is dry a ferment that goes on is read on, at most one in twenty is left without a day to be dry on.
#[test]
fn a_ferment_that_goes_on_is_seldom_taken_for_stopped() {
    let (mut without, mut all) = (0, 0);
    for of in FAMILIES {
        let mut draws = Draws(20_261_133);
        for _ in 0..50 {
            let read = ferment(of, &mut draws, None);
            let until = read.readings.partition_point(|it| it.0 < read.day);
            for count in 2..=until {
                without += usize::from(curve(&read.readings[..count]).stopped() > 0.5);
                all += 1;
            }
        }
    }
    println!("{without} of {all} readings on the way taken for the end");
    assert!(without * 20 <= all, "{without} of {all}");
}

/// Of 400 that stand still for four to seven days with 15 to 50 % of their sugar left, and go on as if those days had not been, read
/// daily: from the second to the fifth reading since they began anew the band holds the day they were dry in at least seven of ten of
/// each kind, and in at least eight of ten of all. A curve through all readings takes the stand for its tail.
#[test]
fn the_band_holds_a_ferment_that_stood_still_and_goes_on() {
    let (mut inside, mut all) = (0, 0);
    for of in FAMILIES {
        let mut draws = Draws(20_261_134);
        let (mut its, mut many) = (0, 0);
        for _ in 0..100 {
            let end = draws.normal(END, 0.0015);
            let fall = 1.090 - end;
            let (dry, left) = truth(of, &mut draws, DRY_WITHIN / fall);
            let part = 0.15 + 0.35 * draws.part();
            let from = first_reaching(-part, (0.0, dry), |day| -left(day));
            let still = 4.0 + 3.0 * draws.part();
            let goes = |day: f64| left(day.min(from).max(day - still));
            let days = (1..=(dry + still) as u32).map(f64::from);
            let read: Vec<(f64, f64)> = days
                .map(|day| (day, draws.normal(end + fall * goes(day), 0.001)))
                .collect();
            for count in 2..=read.len() {
                let found = readings(0.0, Some(1.090), &read[..count], END, &CRITERIA);
                if !found.stood || !(2..=5).contains(&found.since.len()) || found.from < from {
                    continue;
                }
                let before = Before {
                    start: found.start,
                    end: USUAL_END,
                    pace: 1.0,
                };
                let curve = Ferment::of(&before, &found.since).unwrap();
                let stands = super::state(found.start.mean, &found.since, END, &CRITERIA);
                if let Some([low, _, high]) = super::dry(stands, Some(&curve), &found.since, END) {
                    its += usize::from((low..=high).contains(&(dry + still - found.from)));
                    many += 1;
                }
            }
        }
        println!("{of:?}: {its} of {many}");
        assert!(its * 10 >= many * 7, "{of:?}: {its} of {many}");
        inside += its;
        all += many;
    }
    println!("{inside} of {all} within the band");
    assert!(all > 0 && inside * 10 >= all * 8, "{inside} of {all}");
}
