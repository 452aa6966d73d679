//! The account of free SO2, event by event, at one rate: how well the tests go with it, and what gives way where they do not.

use super::event::{BINDING_DAYS, EARLY_ERROR};
use super::known::Known;
use super::{Event, ONE_IN_TEN, What};
use crate::normal::below;

/// What the events say at one rate.
pub(super) struct Followed {
    /// What there is after the last of them; nothing if no test says it.
    pub(super) known: Option<Known>,
    /// Logarithm of how well the tests go with the rate.
    pub(super) fit: f64,
}

/// The account of what there is, event by event, at one rate.
#[derive(Clone, Copy)]
struct Account {
    per_day: f64,
    known: Option<Known>,
    /// The day of the last addition.
    added: f64,
}

/// What a test says of what was expected of it.
enum Off {
    /// By how much it lies above, and the variance of that.
    By(f64, f64),
    /// By how much its limit, below which it lies, is above, and the variance of that.
    Bound(f64, f64),
}

impl Off {
    /// By how much it lies off for certain, and the variance of that: below a limit above what was expected it is not off.
    fn squared(&self) -> (f64, f64) {
        match *self {
            Off::By(more, variance) => (more * more, variance),
            Off::Bound(more, variance) => (more.min(0.0).powi(2), variance),
        }
    }
}

impl Account {
    fn of(per_day: f64, known: Option<Known>) -> Account {
        let added = f64::NEG_INFINITY;
        Account {
            per_day,
            known,
            added,
        }
    }

    /// Takes in the next event; how far off it lies if it is a test of which something was expected.
    fn take(&mut self, Event { day, what }: Event) -> Option<Off> {
        let here = self.known.map(|it| it.on(day, self.per_day));
        let errs = if day - self.added < BINDING_DAYS {
            EARLY_ERROR
        } else {
            1.0
        };
        if let What::Below { bound, sd } = what {
            let sd = sd * errs;
            let tested = here.map(|it| it.found_below(bound, sd));
            self.known = tested.or(Some(Known::below(day, bound)));
            return here.map(|it| Off::Bound(bound - it.mean, it.variance + sd * sd));
        }
        let What::Test { free_mg_l, sd } = what else {
            if matches!(what, What::Added(_) | What::AddedUnknown) {
                self.added = day;
            }
            self.known = here.and_then(|it| it.after(what));
            return None;
        };
        let sd = sd * errs;
        let Some(here) = here else {
            self.known = Some(Known {
                day,
                mean: free_mg_l,
                variance: sd * sd,
                ..Known::NOTHING
            });
            return None;
        };
        self.known = Some(here.tested(free_mg_l, sd));
        Some(Off::By(free_mg_l - here.mean, here.variance + sd * sd))
    }
}

/// Goes through the events at one rate; what each test says of the rate is taken to err so many times as much as it says.
pub(super) fn follow(
    per_day: f64,
    before: Option<Known>,
    error: f64,
    events: &[Event],
) -> Followed {
    let (mut account, mut off, mut limits) = (Account::of(per_day, before), 0.0, 0.0);
    // The logarithm of a product once costs less than that of each factor.
    let mut spreads = Product::default();
    for event in events {
        match account.take(*event) {
            Some(Off::By(more, variance)) => {
                off += more * more / variance;
                spreads.times(variance);
            }
            // A test below its limit errs by as much as one that finds a figure, and says no more of the rate than that would.
            Some(Off::Bound(more, variance)) => {
                limits += below(more / (variance.sqrt() * error)).ln;
            }
            None => {}
        }
    }
    Followed {
        known: account.known,
        fit: limits - 0.5 * (spreads.ln() + off / (error * error)),
    }
}

/// The events, and before each test that lies further off at this rate than it was expected to, something unexplained of that
/// size; nothing if no test does. Beside them how many times as far off as expected they lie on the whole, if that is more than
/// chance makes once in ten.
///
/// A test is evidence of what there is now; the doses, rackings and tests before it only lead one to expect something of it.
/// Where the two part, it is the account that is short of something: a dose that nobody wrote down, or that was bound more or
/// less than usual, a racking forgotten, a warm spell. So it is the account that gives way, by just as much as makes the test no
/// more than usually far off, and the forecast passes the test within its error. (If the test gave way instead, one forgotten
/// dose entered late could lower the forecast under a test of today; that is how it once was.)
pub(super) fn with_unexplained(
    per_day: f64,
    before: Option<Known>,
    events: &[Event],
) -> (Vec<Event>, f64) {
    let (mut account, mut all) = (Account::of(per_day, before), Vec::new());
    let (mut off, mut tests) = (0.0, 0.0_f64);
    for (at, event) in events.iter().enumerate() {
        let expected = { account }.take(*event);
        if let Some((square, variance)) = expected.map(|it| it.squared()) {
            off += square / variance;
            tests += 1.0;
            if square > variance {
                let what = What::Unexplained((square - variance).sqrt());
                let unexplained = Event { what, ..*event };
                account.take(unexplained);
                if all.is_empty() {
                    all.extend_from_slice(&events[..at]);
                }
                all.push(unexplained);
            }
        }
        account.take(*event);
        if !all.is_empty() {
            all.push(*event);
        }
    }
    // The sum of so many squares is near their number; this is its upper tenth as a normal figure.
    let by_chance = tests + ONE_IN_TEN * (2.0 * tests).sqrt();
    let beyond = (off - by_chance).max(0.0) / tests.max(1.0);
    (all, (1.0 + beyond).sqrt())
}

/// A product of positive figures, however many.
struct Product {
    so_far: f64,
    /// Logarithm of what it was whenever it grew too large or small.
    before: f64,
}

impl Default for Product {
    fn default() -> Product {
        Product {
            so_far: 1.0,
            before: 0.0,
        }
    }
}

impl Product {
    fn times(&mut self, factor: f64) {
        self.so_far *= factor;
        if !(1e-150..1e150).contains(&self.so_far) {
            self.before += self.so_far.ln();
            self.so_far = 1.0;
        }
    }

    fn ln(&self) -> f64 {
        self.before + self.so_far.ln()
    }
}
