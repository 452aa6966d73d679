//! What a blend comes to, and which blend of what there is keeps the bounds that are set.

use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};

use crate::spread::Spread;

/// How far a bound may be missed by rounding, of the bound or of one, whichever is larger.
const ROUNDING: f64 = 1e-6;

/// A figure of each wine, in the order of the wines, that mixes by volume: strength, acidity, sugar, cost.
pub type Figures = Vec<f64>;

/// What a bound or an aim is about.
#[derive(Clone, Debug, PartialEq)]
pub enum Subject {
    /// A figure of the blend, from the wines' own.
    Figure(Figures),
    /// The litres taken of one wine, by its place.
    Wine(usize),
    /// The litres of the blend.
    Volume,
}

/// Which side of a bound holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// So much or more.
    AtLeast,
    /// So much or less.
    AtMost,
}

/// Something the blend must keep.
#[derive(Clone, Debug, PartialEq)]
pub struct Bound {
    /// What about.
    pub subject: Subject,
    /// Which side of the figure.
    pub side: Side,
    /// The figure, in the subject's own unit.
    pub figure: f64,
}

/// What the best blend is.
#[derive(Clone, Debug, PartialEq)]
pub enum Aim {
    /// As little of it as the bounds allow.
    Least(Subject),
    /// As much of it as the bounds allow.
    Most(Subject),
    /// As close to this figure as the bounds allow.
    Near(Subject, f64),
    /// As close to the shares of what there is as the bounds allow.
    Even,
}

/// Why there is no blend.
#[derive(Clone, Debug, PartialEq)]
pub enum NoBlend {
    /// The bounds that stand in the way, by their places, each with the figure of the blend that comes nearest.
    InTheWay(Vec<(usize, f64)>),
    /// The solver gave nothing, or something that does not keep the bounds.
    Unsolved,
}

/// The figure of a mixture: Σ aᵢ·Vᵢ / Σ Vᵢ, by volume.
///
/// Strength and acidity of wines mix so within rounding: two wines 3 % vol apart shrink by less than 0.02 % (OIML R 22).
pub fn mixed(litres: &[f64], figures: &[f64]) -> f64 {
    let total: f64 = litres.iter().sum();
    litres.iter().zip(figures).map(|(v, a)| v * a).sum::<f64>() / total
}

/// The pH of a mixture, estimated: by volume where all wines buffer alike, and the ends where those on one side of it buffer
/// twice as well as those on the other.
///
/// pH = Σ βᵢ·Vᵢ·pHᵢ / Σ βᵢ·Vᵢ, the balance of protons between buffers of capacity β, each straight over the few tenths
/// between them. That β differs by up to twice is an estimate of our own.
pub fn mixed_ph(litres: &[f64], ph: &[f64]) -> Spread {
    let value = mixed(litres, ph);
    let with = |strong: &dyn Fn(f64) -> bool| {
        let buffers: Vec<f64> = litres
            .iter()
            .zip(ph)
            .map(|(v, ph)| if strong(*ph) { 2.0 * v } else { *v })
            .collect();
        mixed(&buffers, ph)
    };
    Spread::new(
        with(&|ph| ph < value).min(value),
        value,
        with(&|ph| ph > value).max(value),
    )
}

/// The litres of each wine, `make_l` in all or as the aim has it, none more than there is of it.
///
/// A linear programme, since Σ aᵢ·vᵢ ≥ L·Σ vᵢ is linear in the litres; solved by the simplex method and checked after. Of a
/// blend without `make_l` only litres can be the aim.
pub fn solve(
    have_l: &[f64],
    make_l: Option<f64>,
    bounds: &[Bound],
    aim: &Aim,
) -> Result<Vec<f64>, NoBlend> {
    let litres = programme(have_l, make_l, bounds, Some(aim));
    let keeps = |litres: &[f64]| {
        let total: f64 = litres.iter().sum();
        total > ROUNDING
            && make_l.is_none_or(|make| (total - make).abs() <= ROUNDING * make)
            && bounds.iter().all(|bound| bound.is_kept(litres))
    };
    match litres {
        Some(litres) if keeps(&litres) => Ok(litres),
        _ => Err(in_the_way(have_l, make_l, bounds)),
    }
}

impl Subject {
    /// What it is in this blend.
    pub fn of(&self, litres: &[f64]) -> f64 {
        match self {
            Self::Figure(figures) => mixed(litres, figures),
            Self::Wine(at) => litres[*at],
            Self::Volume => litres.iter().sum(),
        }
    }

    /// Its coefficients once `figure` is taken to the other side, and what stays there.
    fn row(&self, wines: &[Variable], figure: f64) -> (Vec<(Variable, f64)>, f64) {
        let each = |of: &dyn Fn(usize) -> f64| {
            wines
                .iter()
                .enumerate()
                .map(|(at, wine)| (*wine, of(at)))
                .collect()
        };
        match self {
            Self::Figure(figures) => (each(&|at| figures[at] - figure), 0.0),
            Self::Wine(at) => (vec![(wines[*at], 1.0)], figure),
            Self::Volume => (each(&|_| 1.0), figure),
        }
    }
}

impl Bound {
    /// Whether a blend keeps it, within rounding.
    pub fn is_kept(&self, litres: &[f64]) -> bool {
        let over = self.subject.of(litres) - self.figure;
        let slack = ROUNDING * self.figure.abs().max(1.0);
        match self.side {
            Side::AtLeast => over >= -slack,
            Side::AtMost => over <= slack,
        }
    }

    /// Whether a blend lies on it, within rounding.
    pub fn is_met(&self, litres: &[f64]) -> bool {
        let off = self.subject.of(litres) - self.figure;
        off.abs() <= ROUNDING * self.figure.abs().max(1.0)
    }
}

/// The litres that are best by the aim; without one those that miss the bounds by least, each miss taken as a part of its
/// bound.
fn programme(
    have_l: &[f64],
    make_l: Option<f64>,
    bounds: &[Bound],
    aim: Option<&Aim>,
) -> Option<Vec<f64>> {
    let direction = match aim {
        Some(Aim::Most(_)) => OptimizationDirection::Maximize,
        _ => OptimizationDirection::Minimize,
    };
    let mut problem = Problem::new(direction);
    let total: f64 = have_l.iter().sum();
    let wines: Vec<Variable> = have_l
        .iter()
        .enumerate()
        .map(|(at, have)| {
            let counts = match aim {
                Some(Aim::Least(subject) | Aim::Most(subject)) => match subject {
                    Subject::Figure(figures) => figures[at],
                    Subject::Wine(wine) => f64::from(u8::from(*wine == at)),
                    Subject::Volume => 1.0,
                },
                Some(Aim::Near(..) | Aim::Even) | None => 0.0,
            };
            problem.add_var(counts, (0.0, *have))
        })
        .collect();
    if let Some(make) = make_l {
        let all: Vec<_> = wines.iter().map(|wine| (*wine, 1.0)).collect();
        problem.add_constraint(&all, ComparisonOp::Eq, make);
    }
    for bound in bounds {
        let (mut row, rest) = bound.subject.row(&wines, bound.figure);
        let (side, gives) = match bound.side {
            Side::AtLeast => (ComparisonOp::Ge, 1.0),
            Side::AtMost => (ComparisonOp::Le, -1.0),
        };
        if aim.is_none() {
            let miss = problem.add_var(1.0 / bound.figure.abs().max(1e-3), (0.0, f64::INFINITY));
            row.push((miss, gives));
        }
        problem.add_constraint(&row, side, rest);
    }
    if let Some(aim) = aim {
        // How far each goal is missed, on either side, is a variable to keep small.
        let mut near = |(row, rest): (Vec<(Variable, f64)>, f64)| {
            let miss = problem.add_var(1.0, (0.0, f64::INFINITY));
            for (side, sign) in [(ComparisonOp::Le, -1.0), (ComparisonOp::Ge, 1.0)] {
                let with: Vec<_> = row.iter().copied().chain([(miss, sign)]).collect();
                problem.add_constraint(&with, side, rest);
            }
        };
        match aim {
            Aim::Near(subject, figure) => near(subject.row(&wines, *figure)),
            Aim::Even => {
                for (at, have) in have_l.iter().enumerate() {
                    near((
                        vec![(wines[at], 1.0)],
                        make_l.unwrap_or(total) * have / total,
                    ));
                }
            }
            Aim::Least(_) | Aim::Most(_) => {}
        }
    }
    let solved = problem.solve().ok()?.into_solution().ok()?;
    Some(
        wines
            .iter()
            .zip(have_l)
            .map(|(wine, have)| solved.var_value(*wine).clamp(0.0, *have))
            .collect(),
    )
}

/// The bounds that the nearest blend misses. Without `make_l` no blend at all keeps them, so the least there is of a wine
/// is made, which leaves every ratio open.
fn in_the_way(have_l: &[f64], make_l: Option<f64>, bounds: &[Bound]) -> NoBlend {
    let some = have_l.iter().copied().fold(f64::INFINITY, f64::min);
    let Some(nearest) = programme(have_l, Some(make_l.unwrap_or(some)), bounds, None) else {
        return NoBlend::Unsolved;
    };
    let missed: Vec<(usize, f64)> = bounds
        .iter()
        .enumerate()
        .filter(|(_, bound)| !bound.is_kept(&nearest))
        .map(|(at, bound)| (at, bound.subject.of(&nearest)))
        .collect();
    if missed.is_empty() {
        NoBlend::Unsolved
    } else {
        NoBlend::InTheWay(missed)
    }
}
