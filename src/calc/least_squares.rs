//! A curve of four parameters laid through readings by least squares, each parameter held by what was known of it before.

/// Parameters of a curve.
pub type Parameters = [f64; 4];

/// What is known of a parameter before any reading: a normal law, with an infinite spread for nothing at all.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Prior {
    /// Its middle, where the search begins.
    pub mean: f64,
    /// Its standard deviation.
    pub sd: f64,
}

/// The curve found.
#[derive(Clone, Copy, Debug)]
pub struct Fit {
    /// Its parameters.
    pub at: Parameters,
    /// How they vary together, by the curvature of the sum of squares (Laplace).
    pub covariance: [Parameters; 4],
}

const MOST_STEPS: usize = 100;
/// A step that promises to better the cost by less of it than this is the last.
const CLOSE_ENOUGH: f64 = 1e-16;

/// The parameters that make Σ((y − f)/σ)² + Σ((θ − μ)/s)² least, by Levenberg and Marquardt's steps from the priors' middles.
///
/// `curve` gives the height at a place and its slopes by the parameters. `None` where the readings and the priors together
/// leave a parameter open, or where they lead to no number.
pub fn fit(
    curve: impl Fn(&Parameters, f64) -> (f64, Parameters),
    priors: &[Prior; 4],
    readings: &[(f64, f64)],
    sd: f64,
) -> Option<Fit> {
    let mut at = priors.map(|it| it.mean);
    let (mut now, mut damping) = (Around::of(&curve, priors, readings, sd, &at), 1e-3);
    for _ in 0..MOST_STEPS {
        let mut damped = now.curvature;
        for (i, row) in damped.iter_mut().enumerate() {
            row[i] *= 1.0 + damping;
        }
        let step = solve(damped, now.slope)?;
        let tried: Parameters = std::array::from_fn(|i| at[i] + step[i]);
        let then = Around::of(&curve, priors, readings, sd, &tried);
        // What the step promises is known before it is tried; at the bottom the cost itself rises and falls by its last digits.
        let promised: f64 = (0..4).map(|i| step[i] * now.slope[i]).sum();
        let done = promised <= CLOSE_ENOUGH * now.cost;
        if then.cost <= now.cost {
            (at, now, damping) = (tried, then, damping / 10.0);
        } else {
            damping *= 10.0;
        }
        if done {
            break;
        }
    }
    let mut covariance = [[0.0; 4]; 4];
    for (i, column) in covariance.iter_mut().enumerate() {
        let mut unit = [0.0; 4];
        unit[i] = 1.0;
        *column = solve(now.curvature, unit)?;
    }
    (now.cost.is_finite() && at.iter().all(|it| it.is_finite())).then_some(Fit { at, covariance })
}

/// The cost of a place, and where it leads down.
struct Around {
    cost: f64,
    /// The products of the slopes with each other, and with what is left over; priors included.
    curvature: [Parameters; 4],
    slope: Parameters,
}

impl Around {
    fn of(
        curve: &impl Fn(&Parameters, f64) -> (f64, Parameters),
        priors: &[Prior; 4],
        readings: &[(f64, f64)],
        sd: f64,
        at: &Parameters,
    ) -> Self {
        let (mut cost, mut curvature, mut slope) = (0.0, [[0.0; 4]; 4], [0.0; 4]);
        for i in 0..4 {
            let weight = (priors[i].sd * priors[i].sd).recip();
            let off = priors[i].mean - at[i];
            cost += weight * off * off;
            curvature[i][i] = weight;
            slope[i] = weight * off;
        }
        let weight = (sd * sd).recip();
        for (x, y) in readings {
            let (height, slopes) = curve(at, *x);
            let off = y - height;
            cost += weight * off * off;
            for i in 0..4 {
                slope[i] += weight * slopes[i] * off;
                for j in 0..4 {
                    curvature[i][j] += weight * slopes[i] * slopes[j];
                }
            }
        }
        Self {
            cost,
            curvature,
            slope,
        }
    }
}

/// Solves four equations by elimination, the largest left in a column first. `None` where they leave something open.
fn solve(mut rows: [Parameters; 4], mut right: Parameters) -> Option<Parameters> {
    for column in 0..4 {
        let pivot =
            (column..4).max_by(|&a, &b| rows[a][column].abs().total_cmp(&rows[b][column].abs()))?;
        rows.swap(column, pivot);
        right.swap(column, pivot);
        if rows[column][column].abs() < f64::MIN_POSITIVE || rows[column][column].is_nan() {
            return None;
        }
        for below in column + 1..4 {
            let factor = rows[below][column] / rows[column][column];
            let above = rows[column];
            for (cell, above) in rows[below].iter_mut().zip(above) {
                *cell -= factor * above;
            }
            right[below] -= factor * right[column];
        }
    }
    for row in (0..4).rev() {
        let known: f64 = (row + 1..4).map(|j| rows[row][j] * right[j]).sum();
        right[row] = (right[row] - known) / rows[row][row];
    }
    Some(right)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equations_are_solved_and_open_ones_are_not() {
        let rows = [
            [0.0, 2.0, 0.0, 1.0],
            [1.0, 0.0, 0.0, 0.0],
            [0.0, 0.0, 4.0, 0.0],
            [0.0, 1.0, 0.0, -1.0],
        ];
        let found = solve(rows, [7.0, 1.0, 12.0, -1.0]).unwrap();
        for (found, expected) in found.into_iter().zip([1.0, 2.0, 3.0, 3.0]) {
            assert!((found - expected).abs() < 1e-12);
        }
        assert!(solve([[1.0; 4]; 4], [1.0; 4]).is_none());
    }

    /// A straight line has its textbook answer: mean and slope, with σ²/n and σ²/Σx² as variances about the middle.
    #[test]
    fn a_straight_line_is_the_one_of_the_textbooks() {
        let line = |at: &Parameters, x: f64| (at[0] + at[1] * x, [1.0, x, 0.0, 0.0]);
        let open = Prior {
            mean: 0.0,
            sd: f64::INFINITY,
        };
        let shut = Prior { mean: 0.0, sd: 1.0 };
        let readings = [(-1.0, 1.0), (0.0, 2.0), (1.0, 6.0)];
        let found = fit(line, &[open, open, shut, shut], &readings, 0.5).unwrap();
        assert!((found.at[0] - 3.0).abs() < 1e-9 && (found.at[1] - 2.5).abs() < 1e-9);
        assert!((found.covariance[0][0] - 0.25 / 3.0).abs() < 1e-9);
        assert!((found.covariance[1][1] - 0.25 / 2.0).abs() < 1e-9);
        assert!(fit(line, &[open; 4], &readings, 0.5).is_none());
    }

    #[test]
    fn without_readings_what_was_known_stays() {
        let line = |at: &Parameters, x: f64| (at[0] + at[1] * x, [1.0, x, 0.0, 0.0]);
        let priors = [1.0, 2.0, 3.0, 4.0].map(|mean| Prior {
            mean,
            sd: 0.5 * mean,
        });
        let found = fit(line, &priors, &[], 1.0).unwrap();
        for (i, prior) in priors.iter().enumerate() {
            assert!((found.at[i] - prior.mean).abs() < 1e-12);
            assert!((found.covariance[i][i].sqrt() - prior.sd).abs() < 1e-12);
        }
    }
}
