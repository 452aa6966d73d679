//! What nobody wrote down: additions, as the tests show them, and what may have happened where the book is silent.

use super::known::{Known, Taking};
use super::{Event, Keeping, LONG_GAP_DAYS, What, gap_hides};

/// A rise from one test to the next beyond this (mg/L) is an addition that nobody wrote down: twice the standard deviation of the
/// difference of two tests, which error alone makes once in forty times.
pub fn addition_mg_l(sd: f64) -> f64 {
    2.0 * std::f64::consts::SQRT_2 * sd
}

/// A test so many standard deviations above what was to be expected shows an addition that nobody wrote down, and one as far below
/// after a dose that the dose did not do what it was reckoned to: chance makes one in seven hundred of either.
const UNEXPLAINED: f64 = 3.0;

/// The days of the last two events, as [`with_unwritten`] has them, between which something unseen is reckoned with.
pub fn long_gap(events: &[Event]) -> Option<(f64, f64)> {
    let is_gap = |it: &&[Event]| {
        let unseen = matches!(it[1].what, What::Unexplained(_));
        unseen && is_long(it[0], it[1])
    };
    let gap = events.windows(2).rfind(is_gap)?;
    Some((gap[0].day, gap[1].day))
}

fn is_long(one: Event, next: Event) -> bool {
    next.day - one.day > LONG_GAP_DAYS
}

/// What may have gone on unseen before an event that comes long after the last one.
pub(super) fn unseen(before: &[Event], event: Event) -> Option<Event> {
    let what = What::Unexplained(gap_hides());
    let is_long = is_long(*before.last()?, event);
    is_long.then_some(Event { what, ..event })
}

/// The events in order of days, with an addition of unknown size before each test that lies above what the tests and additions
/// before it explain, and before each that lies as far below what a dose since the last test would have left; and with something
/// unexplained at the end of each long gap, in which nobody knows what went on.
pub fn with_unwritten(keeping: Keeping, events: &[Event]) -> Vec<Event> {
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
        let unseen = here.and_then(|_| unseen(&events[..at], *event));
        all.extend(unseen);
        // What lies outside of what is written down begins anew, and is not put down to what went on unseen.
        let open = unseen.map_or(here, |it| here?.after(it.what));
        if let What::Below { bound, sd } = event.what {
            let off = here.map_or(0.0, |it| it.off_bound(bound, sd));
            let anew = last.is_none() && off < -UNEXPLAINED;
            let what = What::AddedUnknown;
            all.extend(anew.then_some(Event { what, ..*event }));
            let tested = open.filter(|_| !anew).map(|it| it.found_below(bound, sd));
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
            // Over years that straight line leaves out the slowest: what one of seven hundred would still have is a fall.
            let slowest = keeping.per_day * (-UNEXPLAINED * keeping.spread).exp();
            let still_there = known.filter(|_| last.is_some());
            let is_slow = still_there.is_some_and(|it| free_mg_l <= it.on(event.day, slowest).mean);
            let above = off > UNEXPLAINED;
            let anew = rises || falls_short || (above && !is_slow);
            let what = What::AddedUnknown;
            all.extend(anew.then_some(Event { what, ..*event }));
            let test = Known {
                day: event.day,
                mean: free_mg_l,
                variance: sd * sd,
                taking: here.map_or(Taking::NOTHING, |it| it.taking),
            };
            known = Some(
                open.filter(|_| !anew && !above)
                    .map_or(test, |it| it.tested(free_mg_l, sd)),
            );
            last = Some(free_mg_l);
        } else {
            known = open.and_then(|it| it.after(event.what));
            if matches!(event.what, What::Added(_) | What::AddedUnknown) {
                last = None;
            }
        }
        all.push(*event);
    }
    all
}
