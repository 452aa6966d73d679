//! How fast free SO2 goes, from one's own tests and what was done to the wine, and when too little is left.
//!
//! First order: F(t) = F₀·e^(−k·t). ln k is normal about what the keeping suggests ([`keeping`]); its steps are a grid. At each
//! of them all else is linear and normal, and so has a closed form (textbook: normal mean with known error, carried from event
//! to event): a test narrows what there is, an addition brings its dose without the part that gets bound, air met takes some.
//! A dose or air whose size is known only within bounds widens the band by as much.

pub mod keeping;
pub mod next;

pub use keeping::{KEEPING_WORDS, KEEPINGS, Keeping, find};

use crate::normal::{below, chance_below, first_reaching, reaching};
use crate::oxygen::{SO2_PER_OXYGEN, SO2_PER_OXYGEN_LOW};

/// Something that bears on the free SO2 of a wine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Event {
    /// The day, from any beginning that is the same for all.
    pub day: f64,
    /// What.
    pub what: What,
}

/// What bears on free SO2.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum What {
    /// A test found so much, off by so much (standard deviation); mg/L.
    Test {
        /// What it found.
        free_mg_l: f64,
        /// Its error.
        sd: f64,
    },
    /// A test that reads nothing below a limit found less than that, with the error such a test has (standard deviation); mg/L.
    Below {
        /// Its limit.
        bound: f64,
        /// Its error.
        sd: f64,
    },
    /// So much SO2 was added, mg/L of the wine; part of it gets bound.
    Added(f64),
    /// SO2 was added by an amount nobody knows: only a later test says what there is.
    AddedUnknown,
    /// The wine met air: it was opened or racked.
    Aired,
    /// It was moved from where it was kept so to where it is kept in another way, and met air.
    Moved(Keeping),
    /// It stood under a headspace with so much oxygen, mg per litre of wine, and took up what it took of it.
    Headspace(f64),
    /// Something nobody wrote down took some or brought some, off by so much (standard deviation), mg/L.
    Unexplained(f64),
}

/// The part of an addition that stays free, and its standard deviation: a third gets bound, as every dose is reckoned, and 0.25 to
/// 0.5 in four of five (common practice); it leans to one side, and is taken to lie as widely on either.
pub const STAYS_FREE: (f64, f64) = (2.0 / 3.0, 0.25 / (2.0 * ONE_IN_TEN));
/// A test within so many days of an addition still counts as bound what will be: it errs twice as much (common practice: an
/// addition takes two to five days to bind).
pub const BINDING_DAYS: f64 = 3.0;
const EARLY_ERROR: f64 = 2.0;
/// Free SO2 lost once at each opening or racking, mg/L, and its standard deviation: 0.5 to 2 in four of five. House estimate.
pub const OPENING: (f64, f64) = (1.25, 0.585);
/// Of the oxygen above a wine it takes up none, all, or any part, as likely: mean and mean square of that part. House estimate.
const TAKEN_UP: (f64, f64) = (0.5, 1.0 / 3.0);

/// Free SO2 that the oxygen in a headspace (mg per litre of wine) takes once, mg/L, and its standard deviation: 2.5 mg for each mg
/// that is taken up, 1 to 4 in four of five ([`crate::oxygen`]).
pub fn headspace_takes(oxygen_mg_l: f64) -> (f64, f64) {
    let per_sd = (SO2_PER_OXYGEN - SO2_PER_OXYGEN_LOW) / ONE_IN_TEN;
    let mean = SO2_PER_OXYGEN * TAKEN_UP.0;
    let variance = (SO2_PER_OXYGEN.powi(2) + per_sd.powi(2)) * TAKEN_UP.1 - mean * mean;
    (mean * oxygen_mg_l, variance.sqrt() * oxygen_mg_l)
}

/// Temperatures of which it is said how the rate changes with them, °C (from memory, with [`ENERGY`]).
pub const WARMTH_C: (f64, f64) = (5.0, 30.0);
/// Activation energy of the loss of SO2, J/mol; 8.6 kcal. From memory: Boulton and others, Principles and Practices of
/// Winemaking; Ough, Am. J. Enol. Vitic. 36:18 (1985).
pub const ENERGY: f64 = 36e3;

/// Standard normal deviate that one in ten exceeds.
const ONE_IN_TEN: f64 = 1.281_551_57;
/// The steps of ln k reach so many standard deviations either way.
const REACH: f64 = 5.0;
/// A step that carries less than this changes no figure that is shown.
const LEAST_WEIGHT: f64 = 1e-9;
/// Longer than any wine is kept, days; every forecast ends before.
const LONGEST_DAYS: f64 = 1e6;

/// What the tests make of the rate and of the free SO2, at full grain: 401 rates.
pub type Decline = Grid<401>;
/// The same with 61 rates, for what there is in the next weeks of many wines at once; a day far ahead would come out in
/// steps.
pub type Quick = Grid<61>;

/// Rates in even steps of their logarithm, an odd number so that the middle is one of them.
#[derive(Clone, Debug)]
pub struct Grid<const STEPS: usize> {
    steps: [Step; STEPS],
    begins: f64,
    error: f64,
}

/// A rate with its weight, and the free SO2 at the beginning of the last stretch if that is the rate.
#[derive(Clone, Copy, Debug)]
struct Step {
    per_day: f64,
    weight: f64,
    start: f64,
    start_sd: f64,
}

/// A rise from one test to the next beyond this (mg/L) is an addition that nobody wrote down: twice the standard deviation of the
/// difference of two tests, which error alone makes once in forty times.
pub fn addition_mg_l(sd: f64) -> f64 {
    2.0 * std::f64::consts::SQRT_2 * sd
}

/// A test so many standard deviations above what was to be expected shows an addition that nobody wrote down, and one as far below
/// after a dose that the dose did not do what it was reckoned to: chance makes one in seven hundred of either.
const UNEXPLAINED: f64 = 3.0;

/// The events in order of days, with an addition of unknown size before each test that lies above what the tests and additions
/// before it explain, and before each that lies as far below what a dose since the last test would have left.
pub fn with_rises(keeping: Keeping, events: &[Event]) -> Vec<Event> {
    let mut all = Vec::with_capacity(events.len() + 1);
    let mut last: Option<f64> = None;
    let mut known: Option<Known> = None;
    for (at, event) in events.iter().enumerate() {
        // Until it is moved it is kept as it was there.
        let moved = |it: &Event| match it.what {
            What::Moved(kept) => Some(kept),
            _ => None,
        };
        let keeping = events[at..].iter().find_map(moved).unwrap_or(keeping);
        let here = known.map(|it| it.roughly_on(event.day, keeping));
        if let What::Below { bound, sd } = event.what {
            let off = here.map_or(0.0, |it| it.off_bound(bound, sd));
            let anew = last.is_none() && off < -UNEXPLAINED;
            let what = What::AddedUnknown;
            all.extend(anew.then_some(Event { what, ..*event }));
            let tested = here.filter(|_| !anew).map(|it| it.found_below(bound, sd));
            known = tested.or(Some(Known::below(event.day, bound)));
            last = Some(bound);
            all.push(*event);
            continue;
        }
        if let What::Test { free_mg_l, sd } = event.what {
            let rises = last.is_some_and(|before| free_mg_l - before > addition_mg_l(sd));
            let off = here.map_or(0.0, |it| {
                (free_mg_l - it.mean) / (it.variance + sd * sd).sqrt()
            });
            // After a dose `last` is forgotten, so that its test is compared with nothing but what was to be expected.
            let falls_short = last.is_none() && off < -UNEXPLAINED;
            let anew = rises || off > UNEXPLAINED || falls_short;
            let what = What::AddedUnknown;
            all.extend(anew.then_some(Event { what, ..*event }));
            let test = Known {
                day: event.day,
                mean: free_mg_l,
                variance: sd * sd,
            };
            known = Some(
                here.filter(|_| !anew)
                    .map_or(test, |it| it.tested(free_mg_l, sd)),
            );
            last = Some(free_mg_l);
        } else {
            known = here.and_then(|it| it.after(event.what));
            if matches!(event.what, What::Added(_) | What::AddedUnknown) {
                last = None;
            }
        }
        all.push(*event);
    }
    all
}

/// What is known of free SO2 at some moment if the rate is so much: normal, or nothing yet.
#[derive(Clone, Copy, Debug)]
struct Known {
    day: f64,
    mean: f64,
    variance: f64,
}

impl Known {
    /// By a test that found less than that: one in ten is below nothing, so to say, and one in ten above it.
    fn below(day: f64, bound: f64) -> Known {
        Known {
            day,
            mean: bound / 2.0,
            variance: (bound / 2.0 / ONE_IN_TEN).powi(2),
        }
    }

    /// Run down, or back, to another day.
    fn on(self, day: f64, per_day: f64) -> Known {
        let left = (-per_day * (day - self.day)).exp();
        Known {
            day,
            mean: self.mean * left,
            variance: self.variance * left * left,
        }
    }

    /// Run down by what its keeping makes likely, without asking which rate it is: the spread of rates widens it in a straight line.
    fn roughly_on(self, day: f64, keeping: Keeping) -> Known {
        let then = self.on(day, keeping.per_day);
        let spread = then.mean * keeping.per_day * (day - self.day) * keeping.spread;
        Known {
            variance: then.variance + spread * spread,
            ..then
        }
    }

    /// With a test of it.
    fn tested(self, free_mg_l: f64, sd: f64) -> Known {
        let gain = self.variance / (self.variance + sd * sd);
        Known {
            mean: self.mean + gain * (free_mg_l - self.mean),
            variance: self.variance * (1.0 - gain),
            ..self
        }
    }

    /// How many standard deviations the limit of a test lies above what is expected.
    fn off_bound(self, bound: f64, sd: f64) -> f64 {
        (bound - self.mean) / (self.variance + sd * sd).sqrt()
    }

    /// With a test that found less than that: mean and variance of a normal figure whose test lies below a limit (textbook:
    /// truncated normal). No wine has less than nothing: where far more was expected, and so widely that this would put most of it
    /// there, what is left lies anywhere below the limit.
    fn found_below(self, bound: f64, sd: f64) -> Known {
        let z = self.off_bound(bound, sd);
        let gain = self.variance / (self.variance + sd * sd);
        let slope = below(z).slope;
        let mean = self.mean - slope * gain * (self.variance + sd * sd).sqrt();
        if mean < bound / 2.0 && self.mean > bound {
            return Known::below(self.day, bound);
        }
        Known {
            mean,
            variance: self.variance * (1.0 - gain * slope * (slope + z)).max(1.0 - gain),
            ..self
        }
    }

    /// After something other than a test; nothing is known after an addition of unknown size.
    fn after(self, what: What) -> Option<Known> {
        match what {
            What::Test { .. } | What::Below { .. } => Some(self),
            What::Added(mg_l) => Some(self.and((mg_l * STAYS_FREE.0, mg_l * STAYS_FREE.1))),
            What::AddedUnknown => None,
            What::Aired | What::Moved(_) => Some(self.and((-OPENING.0, OPENING.1))),
            What::Headspace(oxygen) => {
                let (takes, sd) = headspace_takes(oxygen);
                Some(self.and((-takes, sd)))
            }
            What::Unexplained(sd) => Some(self.and((0.0, sd))),
        }
    }

    fn and(self, (more, sd): (f64, f64)) -> Known {
        Known {
            mean: self.mean + more,
            variance: self.variance + sd * sd,
            ..self
        }
    }
}

/// What the events say at one rate.
struct Followed {
    /// What there is after the last of them; nothing if no test says it.
    known: Option<Known>,
    /// Logarithm of how well the tests go with the rate.
    fit: f64,
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
            });
            return None;
        };
        self.known = Some(here.tested(free_mg_l, sd));
        Some(Off::By(free_mg_l - here.mean, here.variance + sd * sd))
    }
}

/// Goes through the events at one rate; what each test says of the rate is taken to err so many times as much as it says.
fn follow(per_day: f64, before: Option<Known>, error: f64, events: &[Event]) -> Followed {
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
            Some(Off::Bound(more, variance)) => limits += below(more / (variance.sqrt() * error)).ln,
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
fn with_unexplained(per_day: f64, before: Option<Known>, events: &[Event]) -> (Vec<Event>, f64) {
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

/// The day on which the last stretch begins, from which on there are only tests: that of the last change, or of the test that
/// first said what there is.
fn begins(events: &[Event]) -> f64 {
    let known = events
        .iter()
        .enumerate()
        .rev()
        .find_map(|(at, it)| match it.what {
            What::AddedUnknown => Some(at + 1),
            _ => None,
        });
    let known = known.unwrap_or(0);
    let is_test = |it: &&Event| matches!(it.what, What::Test { .. } | What::Below { .. });
    let test = events[known..].iter().find(is_test);
    let change = events[known..].iter().rfind(|it| !is_test(it));
    let day = |it: Option<&Event>| it.map_or(f64::MIN, |it| it.day);
    day(change).max(day(test))
}

impl<const STEPS: usize> Grid<STEPS> {
    /// From a keeping and events in order of days, a test among them at least; `None` where no test says what there is after the
    /// last addition of unknown size. What an earlier keeping showed of the rate says nothing of the present one, and of it only
    /// what is left is carried over, as that keeping lost it.
    pub fn of(keeping: Keeping, events: &[Event]) -> Option<Self> {
        let moved = |(at, it): (usize, &Event)| match it.what {
            What::Moved(kept) => Some((at, kept)),
            _ => None,
        };
        let last_move = events.iter().enumerate().rev().find_map(moved);
        let (before, since) = events.split_at(last_move.map_or(0, |it| it.0));
        let carried = last_move.and_then(|(at, kept)| {
            let left = Grid::<STEPS>::of(kept, before)?;
            Some(left.carried(events[at].day))
        });
        let known = (carried, begins(events));
        let as_said = Self::once(keeping, known, since, 1.0)?;
        let (all, error) = with_unexplained(as_said.middle_rate(), carried, since);
        if all.is_empty() {
            return Some(as_said);
        }
        Self::once(keeping, known, &all, error)
    }

    /// With what each test says of the rate taken to err so many times as much as it says.
    fn once(
        keeping: Keeping,
        (carried, begins): (Option<Known>, f64),
        events: &[Event],
        error: f64,
    ) -> Option<Self> {
        let mut steps = [Step {
            per_day: keeping.per_day,
            weight: 0.0,
            start: 0.0,
            start_sd: 0.0,
        }; STEPS];
        let mut most = f64::MIN;
        for (at, step) in steps.iter_mut().enumerate() {
            let z = REACH * (2.0 * at as f64 / (STEPS - 1) as f64 - 1.0);
            step.per_day = keeping.per_day * (keeping.spread * z).exp();
            let says = follow(step.per_day, carried, error, events);
            let known = says.known?.on(begins, step.per_day);
            step.weight = says.fit - 0.5 * z * z;
            most = most.max(step.weight);
            (step.start, step.start_sd) = (known.mean, known.variance.sqrt());
        }
        let mut sum = 0.0;
        for step in &mut steps {
            step.weight = (step.weight - most).exp();
            sum += step.weight;
        }
        for step in &mut steps {
            step.weight /= sum;
        }
        Some(Self {
            steps,
            begins,
            error,
        })
    }

    /// The middle of the rates by their logarithm.
    fn middle_rate(&self) -> f64 {
        let each = self.steps.iter();
        let mean: f64 = each.map(|it| it.weight * it.per_day.ln()).sum();
        mean.exp()
    }

    /// How many times as far from what was expected of them the tests lie as they should, because they scatter, go up, or something
    /// was not written down; they say less of the rate by as much. 1 as a rule.
    pub fn error(&self) -> f64 {
        self.error
    }

    /// The day on which the last stretch begins; days are counted from it.
    pub fn begins(&self) -> f64 {
        self.begins
    }

    /// Mean and variance on a day, over all rates.
    fn carried(&self, day: f64) -> Known {
        let (mean, variance) = self.moments(day - self.begins);
        Known {
            day,
            mean,
            variance,
        }
    }

    fn moments(&self, days: f64) -> (f64, f64) {
        let (mut mean, mut square) = (0.0, 0.0);
        for it in &self.steps {
            let left = (-it.per_day * days).exp();
            let (start, sd) = (it.start * left, it.start_sd * left);
            mean += it.weight * start;
            square += it.weight * (start * start + sd * sd);
        }
        (mean, (square - mean * mean).max(0.0))
    }

    /// The part of free SO2 lost in a day that the true one lies below with this chance (0–1).
    pub fn rate(&self, chance: f64) -> f64 {
        let mut below = 0.0;
        let mut reached = self.steps.iter().filter(|it| {
            below += it.weight;
            below >= chance
        });
        reached.next().unwrap_or(&self.steps[STEPS - 1]).per_day
    }

    /// The chance (0–1) that so many days after the beginning of the last stretch less than this is left, mg/L.
    pub fn chance_below(&self, free_mg_l: f64, days: f64) -> f64 {
        let there = self.steps.iter().filter(|it| it.weight > LEAST_WEIGHT);
        there
            .map(|it| {
                let back = (it.per_day * days).exp();
                it.weight * chance_below((free_mg_l * back - it.start) / it.start_sd)
            })
            .sum()
    }

    /// Free SO2 (mg/L) so many days after the beginning of the last stretch that the true one lies below with this chance.
    pub fn free_mg_l(&self, days: f64, chance: f64) -> f64 {
        let [free] = self.free_at(days, [chance]);
        free
    }

    /// The same for several chances at once.
    pub fn free_at<const N: usize>(&self, days: f64, chances: [f64; N]) -> [f64; N] {
        let mut there = [(0.0, 0.0, 0.0); STEPS];
        let mut count = 0;
        for it in self.steps.iter().filter(|it| it.weight > LEAST_WEIGHT) {
            let back = (it.per_day * days).exp();
            there[count] = (it.weight, back / it.start_sd, it.start / it.start_sd);
            count += 1;
        }
        let below = |free: f64| -> f64 {
            let each = there[..count].iter();
            each.map(|(weight, per, start)| weight * chance_below(free * per - start))
                .sum()
        };
        let (mean, variance) = self.moments(days);
        let reach = 6.0 * variance.sqrt();
        chances.map(|chance| {
            let ends = ((mean - reach).max(0.0), (mean + reach).max(0.0));
            reaching(chance, ends, (1e-5, 1e-3), below)
        })
    }

    /// Days from the beginning of the last stretch until less than this is left (mg/L, above 0), with this chance.
    pub fn days_to(&self, free_mg_l: f64, chance: f64) -> f64 {
        let (mut begin, mut end) = (0.0, 1.0);
        while end < LONGEST_DAYS && self.chance_below(free_mg_l, end) < chance {
            (begin, end) = (end, end * 2.0);
        }
        first_reaching(chance, (begin, end), |days| {
            self.chance_below(free_mg_l, days)
        })
    }
}

#[cfg(test)]
mod tests;
