//! The gravity expected on a day, where the curves give way to what was read.

use super::{Ferment, HYDROMETER_SD, READING_SD, SHAPES, START_SD, SUREST, Shape, spread};
use crate::least_squares::Fit;
use crate::normal::{chance_below, first_reaching};

impl Ferment {
    /// The gravity on a day that this part (0–1) of what may be is below: of the same three curves with equal weights, each
    /// giving way to the readings, and of a ferment that has stopped with the chance that it has.
    pub fn gravity(&self, day: f64, chance: f64) -> f64 {
        let going = (1.0 - self.stopped) / 3.0;
        let mut all = [(0.0, 1.0, 0.0); 4];
        for (it, (shape, fit)) in all.iter_mut().zip(SHAPES.iter().zip(&self.fits)) {
            let (mean, sd) = self.as_read(*shape, fit, day);
            *it = (mean, sd, going);
        }
        all[3] = match self.read.last() {
            Some((last, sg)) if day > *last => (*sg, HYDROMETER_SD, self.stopped),
            // Until its last reading it went as it was read.
            _ => {
                all[..3].iter_mut().for_each(|it| it.2 = 1.0 / 3.0);
                (all[0].0, all[0].1, 0.0)
            }
        };
        let below = |sg: f64| {
            let of = |(mean, sd, weight): &(f64, f64, f64)| weight * chance_below((sg - mean) / sd);
            all.iter().map(of).sum::<f64>()
        };
        let low = all
            .iter()
            .fold(f64::MAX, |least, it| least.min(it.0 - 8.0 * it.1));
        let high = all
            .iter()
            .fold(f64::MIN, |most, it| most.max(it.0 + 8.0 * it.1));
        first_reaching(chance, (low, high), below)
    }

    /// Gravity on a day and its standard deviation by one shape, each reading taken for what was there within what a hydrometer is
    /// off by. After the last of them what is still to fall goes as it does by the curve, from where it was read; between two the
    /// curve is laid through both.
    fn as_read(&self, shape: Shape, fit: &Fit, day: f64) -> (f64, f64) {
        let on = |day: f64| {
            let (mean, slopes) = shape.gravity(&fit.at, day);
            let later = shape.gravity(&fit.at, day + 0.01).0;
            (mean, slopes, SUREST * day * (later - mean) / 0.01)
        };
        let (mean, slopes, slip) = on(day);
        let own = spread(&fit.covariance, &slopes) + slip * slip;
        let Some((last, sg)) = self.read.last().copied() else {
            return (mean, own.sqrt());
        };
        let error = HYDROMETER_SD * HYDROMETER_SD;
        if day >= last {
            let (then, slopes_then, slip_then) = on(last);
            let end = fit.at[1];
            let keeps = if then > end {
                ((mean - end) / (then - end)).clamp(0.0, 1.0)
            } else {
                0.0
            };
            let slopes = std::array::from_fn(|i| slopes[i] - keeps * slopes_then[i]);
            let variance = spread(&fit.covariance, &slopes)
                + (slip - keeps * slip_then).powi(2)
                + error * keeps * keeps
                + READING_SD * READING_SD * self.off * (1.0 - keeps * keeps);
            return (mean + keeps * (sg - then), variance.sqrt());
        }
        let at = self.read.partition_point(|it| it.0 <= day);
        let off = |(day, sg): (f64, f64)| sg - shape.gravity(&fit.at, day).0;
        let is_measured = self.start.sd <= START_SD;
        let (before, off_before, error_before) = match at.checked_sub(1) {
            Some(at) => (self.read[at].0, off(self.read[at]), error),
            None if is_measured => (0.0, off((0.0, self.start.mean)), self.start.sd.powi(2)),
            None => (0.0, 0.0, own),
        };
        let after = self.read[at];
        let part = (day - before) / (after.0 - before);
        let between = off_before * (1.0 - part) + off(after) * part;
        // Half-way as unsure as the curve itself besides.
        let variance = error_before * (1.0 - part) + error * part + own * 4.0 * part * (1.0 - part);
        (mean + between, variance.sqrt())
    }
}
