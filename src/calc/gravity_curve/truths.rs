//! Ferments whose truth is known, to hold forecasts against.

use super::Shape;
use crate::normal::{Draws, first_reaching};

/// The four families that a band is held against.
pub(crate) const FAMILIES: [Truth; 4] = [
    Truth::Nitrogen,
    Truth::Gompertz,
    Truth::Michaelis,
    Truth::Richards,
];

/// Ferments whose law is none that is fitted here, or one of them with what it leaves out.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Truth {
    /// Nitrogen feeds yeast, yeast eats sugar by a Michaelis term, alcohol slows and kills it, so that the tail is slow:
    /// constants of ours.
    Nitrogen,
    /// The same with yeast that alcohol hardly slows: it runs at full speed to the last gram.
    Abrupt,
    Gompertz,
    /// After a lag.
    Michaelis,
    /// A logistic that falls slower after its middle than before.
    Richards,
}

/// What is left, day by hundredth of a day, of a ferment that goes dry on the day given.
pub(crate) fn truth(of: Truth, draws: &mut Draws, dry_left: f64) -> (f64, Box<dyn Fn(f64) -> f64>) {
    let mut between = |low: f64, high: f64| low + (high - low) * draws.part();
    let dry = between(12.0, 26.0);
    // The shape in a time of its own, then stretched so that it is dry on that day.
    let shape: Box<dyn Fn(f64) -> f64> = match of {
        Truth::Nitrogen | Truth::Abrupt => {
            let slowing = if matches!(of, Truth::Abrupt) {
                0.0
            } else {
                3.0
            };
            let (food, death) = (between(0.15, 0.3), between(0.03, 0.15));
            let (mut yeast, mut food_left, mut sugar) = (0.01_f64, food, 1.0_f64);
            let mut fall = vec![1.0];
            while sugar > 1e-4 && fall.len() < 60_000 {
                const STEP: f64 = 0.002;
                let growth = 3.0 * yeast * food_left / (food_left + 0.02);
                let alone = 3.0 * yeast * sugar / (sugar + 0.1);
                let eaten = alone / (1.0 + slowing * (1.0 - sugar));
                let dying = death * (1.0 - sugar) * yeast;
                yeast += STEP * (growth - dying);
                food_left = (food_left - STEP * growth).max(0.0);
                sugar = (sugar - STEP * eaten).max(0.0);
                fall.push(sugar);
            }
            Box::new(move |time: f64| {
                let at = (time / 0.002) as usize;
                fall.get(at).copied().unwrap_or(0.0)
            })
        }
        Truth::Gompertz => {
            let lag = between(0.05, 0.25);
            Box::new(move |time| -(-(std::f64::consts::E * (lag - time) + 1.0).exp()).exp_m1())
        }
        Truth::Michaelis => {
            let (lag, k) = (between(0.05, 0.25), between(0.1, 0.5));
            Box::new(move |time| Shape::Michaelis.left([1.0, k], time - lag).0)
        }
        Truth::Richards => {
            let (middle, v) = (between(2.5, 4.0), between(1.2, 2.0));
            Box::new(move |time| (1.0 + v * (time - middle).exp()).powf(-1.0 / v))
        }
    };
    let own = first_reaching(-dry_left, (0.0, 120.0), |time| -shape(time));
    (dry, Box::new(move |day| shape(day * own / dry)))
}
