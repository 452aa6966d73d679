use super::truths::{FAMILIES, Truth, truth};
use super::*;
use crate::normal::Draws;

/// From 1.090, with no more known of it.
const BEFORE: Before = Before {
    start: Prior {
        mean: 1.090,
        sd: START_SD,
    },
    end: USUAL_END,
    pace: 1.0,
};

/// NIST Statistical Reference Datasets, Rat42: nine readings, certified to eleven digits.
const RAT42: [(f64, f64); 9] = [
    (9.0, 8.93),
    (14.0, 10.80),
    (21.0, 18.59),
    (28.0, 22.33),
    (42.0, 39.35),
    (57.0, 56.11),
    (63.0, 61.73),
    (70.0, 64.62),
    (79.0, 67.08),
];

/// y = b1/(1 + e^(b2 − b3·x)) is the logistic with S = 0, F = b1, M = b2/b3 and W = 1/b3; nothing else is known of it. The search
/// begins at NIST's second start.
#[test]
fn the_certified_case_comes_out() {
    let open = |mean: f64| Prior {
        mean,
        sd: f64::INFINITY,
    };
    let nothing = Prior {
        mean: 0.0,
        sd: 1e-9,
    };
    let priors = [
        nothing,
        open(75.0),
        open((2.5_f64 / 0.07).ln()),
        open(0.07_f64.recip().ln()),
    ];
    let curve = |at: &Parameters, x: f64| Shape::Logistic.gravity(at, x);
    let found = fit(curve, &priors, &RAT42, 1.0).unwrap();
    let [_, b1, m, w] = found.at;
    let (b3, b2) = ((-w).exp(), (m - w).exp());
    let squares: f64 = RAT42
        .iter()
        .map(|(x, y)| (curve(&found.at, *x).0 - y).powi(2))
        .sum();
    // Three parameters from nine readings leave six degrees of freedom.
    let scale = squares / 6.0;
    let of = |i: usize, j: usize| found.covariance[i][j];
    // Each to the last digit that is written.
    let check = |ours: f64, certified: f64, digit: f64| {
        assert!(
            (ours - certified).abs() <= 0.51 * digit,
            "{ours} {certified}"
        );
    };
    check(b1, 72.462_238, 1e-6);
    check(b2, 2.618_076_8, 1e-7);
    check(b3, 0.067_359_20, 1e-8);
    check(squares, 8.056_522_933_8, 1e-10);
    check((scale * of(1, 1)).sqrt(), 1.734_028, 1e-6);
    check((scale * of(3, 3)).sqrt() * b3, 0.003_446_57, 1e-8);
    // b2 = e^(m − w), so its variance is b2²·(Cmm − 2·Cmw + Cww).
    let both = of(2, 2) - 2.0 * of(2, 3) + of(3, 3);
    check((scale * both).sqrt() * b2, 0.088_295_2, 1e-7);
}

#[test]
fn a_shape_and_its_slopes_agree_with_its_own_inverse() {
    for shape in SHAPES {
        for (a, b) in [(3.0, 0.4), (6.0, 2.0), (9.0, 7.0)] {
            for left in [0.9, 0.5, 0.1, 0.02] {
                let day = shape.day([a, b], left);
                if day < 0.0 {
                    continue;
                }
                let (p, slopes) = shape.left([a, b], day);
                assert!((p - left).abs() < 1e-9, "{shape:?} {a} {b} {left}: {p}");
                let step = 1e-5_f64;
                let by = |a: f64, b: f64| shape.left([a, b], day).0;
                let numeric = [
                    (by(a * step.exp(), b) - by(a / step.exp(), b)) / (2.0 * step),
                    (by(a, b * step.exp()) - by(a, b / step.exp())) / (2.0 * step),
                ];
                for (slope, numeric) in slopes.into_iter().zip(numeric) {
                    assert!((slope - numeric).abs() < 1e-6, "{shape:?} {a} {b} {left}");
                }
            }
        }
    }
}

/// Standard deviations of F, M and W by the days of reading, of a logistic through 1.090, 0.994, 5 and 1.6 days: reckoned outside
/// this crate, so derived.
#[test]
fn what_readings_tell_of_end_midpoint_and_width() {
    let truth = [1.090, 0.994, 5.0_f64.ln(), 1.6_f64.ln()];
    let check = |days: &[f64], [end, middle, width]: [f64; 3]| {
        let readings: Vec<(f64, f64)> = days
            .iter()
            .map(|day| (*day, Shape::Logistic.gravity(&truth, *day).0))
            .collect();
        let found = Ferment::of(&BEFORE, &readings).unwrap();
        let (m, w) = (found.midpoint_days(), found.width_days());
        assert!((found.end_sg().1 - end).abs() < 1e-4, "{days:?} {found:?}");
        assert!((m.0 * m.1 - middle).abs() < 0.08 * middle, "{days:?} {m:?}");
        assert!((w.0 * w.1 - width).abs() < 0.08 * width, "{days:?} {w:?}");
    };
    check(&[2.0, 4.0, 6.0], [0.002, 0.17, 0.18]);
    check(&[1.0, 2.0, 3.0, 4.0, 5.0, 6.0], [0.00199, 0.14, 0.14]);
    check(&[2.0, 4.0, 6.0, 8.0, 10.0], [0.00181, 0.17, 0.14]);
}

/// Ferments of a kind and a number of readings.
const EACH: usize = 200;

/// How many of two hundred ferments go dry before the band and within it, from so many readings evenly over the first four fifths of the
/// time.
fn counted(of: Truth, count: usize) -> (usize, usize) {
    let mut draws = Draws(20_261_126 + count as u64);
    let (mut before, mut inside) = (0, 0);
    for _ in 0..EACH {
        let end = draws.normal(0.994, 0.0015);
        let fall = 1.090 - end;
        let (dry, left) = truth(of, &mut draws, DRY_WITHIN / fall);
        let readings: Vec<(f64, f64)> = (1..=count)
            .map(|at| {
                let day = 0.8 * dry * at as f64 / count as f64;
                (day, draws.normal(end + fall * left(day), 0.001))
            })
            .collect();
        let found = Ferment::of(&BEFORE, &readings).unwrap();
        let last = readings[count - 1].0;
        let (low, high) = (found.dry_day(0.1, last), found.dry_day(0.9, last));
        before += usize::from(dry < low);
        inside += usize::from((low..=high).contains(&dry));
    }
    (before, inside)
}

/// At least 0.80 of all 4,000 and 0.70 in every cell.
#[test]
fn four_in_five_ferments_of_any_kind_go_dry_within_the_band() {
    let (mut all, mut cells) = (0, 0);
    for of in FAMILIES {
        for count in [2, 3, 4, 6, 10] {
            let (_, inside) = counted(of, count);
            assert!(
                inside * 10 >= EACH * 7,
                "{of:?} from {count} readings: {inside} of {EACH}"
            );
            (all, cells) = (all + inside, cells + 1);
        }
    }
    let truths = EACH * cells;
    println!("{all} of {truths} dry within the band");
    assert!(all * 10 >= truths * 8, "{all} of {truths}");
}

/// What the calculator warns of: none of the three shapes ends abruptly, so its band comes too late for more than one in five of
/// the ferments that do.
#[test]
fn a_ferment_at_full_speed_to_the_end_is_dry_before_the_band() {
    for count in [3, 4, 6, 10] {
        let (before, inside) = counted(Truth::Abrupt, count);
        assert!(
            before * 5 > EACH,
            "{count} readings: {before} before, {inside} within"
        );
    }
}

#[test]
fn readings_narrow_the_day_and_none_makes_it_earlier_than_the_last_of_them() {
    let truth = [1.090, 0.994, 5.0_f64.ln(), 1.6_f64.ln()];
    let reading = |day: f64| (day, Shape::Logistic.gravity(&truth, day).0);
    let wide = |days: &[f64]| {
        let readings: Vec<_> = days.iter().map(|day| reading(*day)).collect();
        let found = Ferment::of(&BEFORE, &readings).unwrap();
        let last = days[days.len() - 1];
        assert!(found.dry_day(0.1, last) > last);
        found.dry_day(0.9, last) - found.dry_day(0.1, last)
    };
    assert!(wide(&[1.0, 2.0]) > wide(&[2.0, 4.0]));
    assert!(wide(&[2.0, 4.0]) > wide(&[2.0, 4.0, 6.0]));
    assert!(wide(&[2.0, 4.0, 6.0]) > wide(&[2.0, 4.0, 6.0, 8.0]));
}

/// Read every day, a hundred ferments of each kind: two readings more narrow the band, on the whole.
#[test]
fn forecasts_narrow_with_readings_whatever_the_kind() {
    for of in FAMILIES {
        let mut draws = Draws(20_261_129);
        let mut widths = [0.0; 4];
        for _ in 0..100 {
            let (_, left) = truth(of, &mut draws, DRY_WITHIN / 0.096);
            let readings: Vec<(f64, f64)> = (1..=8)
                .map(|at| {
                    let day = f64::from(at);
                    (day, draws.normal(0.994 + 0.096 * left(day), 0.001))
                })
                .collect();
            for (width, count) in widths.iter_mut().zip([2, 4, 6, 8]) {
                let found = Ferment::of(&BEFORE, &readings[..count]).unwrap();
                let last = readings[count - 1].0;
                *width += found.dry_day(0.9, last) - found.dry_day(0.1, last);
            }
        }
        println!("{of:?}: {:.1?} days", widths.map(|it| it / 100.0));
        assert!(
            widths.is_sorted_by(|one, other| one > other),
            "{of:?}: {widths:?}"
        );
    }
}

/// The chance that a gravity is below what is said to be so: of truths, eight in ten lie between its tenths on days to come.
#[test]
fn the_band_of_gravity_holds_what_comes() {
    let (mut inside, mut all) = (0, 0);
    for of in FAMILIES {
        let mut draws = Draws(20_261_130);
        for _ in 0..100 {
            let end = draws.normal(0.994, 0.0015);
            let (dry, left) = truth(of, &mut draws, DRY_WITHIN / (1.090 - end));
            let gravity = |day: f64| end + (1.090 - end) * left(day);
            let readings: Vec<(f64, f64)> = (1..=4)
                .map(|at| {
                    let day = 0.15 * dry * f64::from(at);
                    (day, draws.normal(gravity(day), 0.001))
                })
                .collect();
            let found = Ferment::of(&BEFORE, &readings).unwrap();
            for ahead in [0.7, 0.8, 0.9] {
                let day = ahead * dry;
                let band = found.gravity(day, 0.1)..=found.gravity(day, 0.9);
                inside += usize::from(band.contains(&gravity(day)));
                all += 1;
            }
        }
    }
    println!("{inside} of {all} gravities within the band");
    assert!(inside * 10 >= all * 8, "{inside} of {all}");
}

#[test]
fn a_day_passed_puts_it_off_and_no_curve_is_surer_than_a_twentieth_of_its_days() {
    let truth = [1.090, 0.994, 5.0_f64.ln(), 1.6_f64.ln()];
    let readings: Vec<(f64, f64)> = (1..=22)
        .map(|half| {
            let day = f64::from(half) / 2.0;
            (day, Shape::Logistic.gravity(&truth, day).0)
        })
        .collect();
    let found = Ferment::of(&BEFORE, &readings).unwrap();
    let middle = found.dry_day(0.5, 0.0);
    assert!((found.dry_by(middle) - 0.5).abs() < 1e-6);
    for chance in [0.1, 0.5, 0.9] {
        let put_off = found.dry_day(chance, middle);
        assert!(put_off > middle && put_off > found.dry_day(chance, 0.0));
        // Of the half that is left.
        assert!((found.dry_by(put_off) - 0.5 - 0.5 * chance).abs() < 1e-6);
    }
    // Each curve's own band is 2.56 times a twentieth of its days, and that of all three is no narrower than the narrowest.
    let wide = found.dry_day(0.9, 0.0) - found.dry_day(0.1, 0.0);
    let soonest = found
        .dry
        .iter()
        .fold(f64::MAX, |least, it| it.day.min(least));
    assert!(wide >= 2.56 * 0.05 * soonest, "{wide} {soonest}");
    assert!(found.dry.iter().all(|it| it.sd >= 0.05 * it.day));
}

/// A reading is what there is, within what a hydrometer is off by: on its day the forecast says it, and no reading lies outside the
/// band that is drawn through it, however the ferment went.
#[test]
fn the_forecast_passes_what_was_read() {
    let check = |readings: &[(f64, f64)]| {
        let found = Ferment::of(&BEFORE, readings).unwrap();
        for (day, sg) in [(0.0, 1.090)].iter().chain(readings) {
            let [low, mid, high] = [0.1, 0.5, 0.9].map(|it| found.gravity(*day, it));
            assert!((mid - sg).abs() <= 0.0005, "{day} {sg}: {mid}");
            assert!(low <= *sg && *sg <= high, "{day} {sg}: {low} to {high}");
            assert!(high - low <= 0.004, "{day} {sg}: {low} to {high}");
        }
    };
    check(&STALLED);
    check(&STALLED[..5]);
    for of in FAMILIES {
        let mut draws = Draws(20_261_131);
        let (dry, left) = truth(of, &mut draws, DRY_WITHIN / 0.096);
        for count in [2, 3, 5, 9] {
            let days = (1..=count).map(|at| 0.8 * dry * f64::from(at) / f64::from(count));
            let read = days.map(|day| (day, draws.normal(0.994 + 0.096 * left(day), 0.001)));
            check(&read.collect::<Vec<_>>());
        }
    }
}

/// A ferment that goes as it should until its tenth day, and stands from there.
const STALLED: [(f64, f64); 8] = [
    (2.0, 1.080),
    (4.0, 1.060),
    (6.0, 1.045),
    (8.0, 1.030),
    (9.0, 1.030),
    (10.0, 1.030),
    (11.0, 1.030),
    (12.0, 1.030),
];

#[test]
fn the_more_readings_are_equal_the_less_it_is_expected_to_move() {
    let found = |count: usize| Ferment::of(&BEFORE, &STALLED[..count]).unwrap();
    let stopped: Vec<f64> = (4..=8).map(|count| found(count).stopped()).collect();
    assert!(stopped[0] < 1e-9, "{stopped:?}");
    assert!(
        stopped.is_sorted_by(|one, other| one < other),
        "{stopped:?}"
    );
    assert!(stopped[2] > 0.5, "{stopped:?}");
    let ahead = |of: &Ferment, chance: f64| of.gravity(14.0, chance);
    assert!(ahead(&found(4), 0.5) < 1.025);
    assert!((ahead(&found(6), 0.9) - 1.030).abs() < 0.002);
    // Where it is known to have stopped nothing is foretold but what was read.
    let known = found(8).that_stopped();
    for day in [12.5, 17.0, 40.0] {
        let [low, mid, high] = [0.1, 0.5, 0.9].map(|it| known.gravity(day, it));
        assert!((mid - 1.030).abs() < 1e-6, "{day}: {mid}");
        assert!(low > 1.0285 && high < 1.0315, "{day}: {low} to {high}");
    }
}
