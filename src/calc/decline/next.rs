//! What one more test of free SO2 would narrow.

use super::rises::unseen;
use super::{Event, What};

/// The events with one more test on a day, off by so much, that finds so much, in order of days.
pub fn with_a_test(events: &[Event], day: f64, free_mg_l: f64, sd: f64) -> Vec<Event> {
    let mut events = events.to_vec();
    let at = events.partition_point(|it| it.day <= day);
    let what = What::Test { free_mg_l, sd };
    let test = Event { day, what };
    let unseen = unseen(&events[..at], test);
    events.splice(at..at, unseen.into_iter().chain([test]));
    events
}

/// The days from early to late on which it falls below its aim, now and with one more test.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Days {
    /// How many there are now.
    pub is: i64,
    /// How many there would be.
    pub then: i64,
    /// From which to which day it then would be, in words.
    pub from_to: [String; 2],
    /// So far away that nobody counts them.
    pub is_far: bool,
}

/// What a test on a day (`when` says it, such as `today`) would narrow: free SO2 on that day as expected and with the test, in
/// tenths and middle, mg/L, and the days on which it falls below its aim if those are ahead.
pub fn narrowed(when: &str, free: [f64; 3], tested: [f64; 3], days: Option<&Days>) -> String {
    let ([low, mid, high], [test_low, _, test_high]) = (free, tested);
    let days = days.map_or(String::new(), |it| {
        let [from, to] = &it.from_to;
        let Days { is, then, .. } = *it;
        if it.is_far {
            format!(", and the days to {from} to {to}")
        } else if then < is {
            format!(", and the {is} days from early to late to {then}: {from} to {to}")
        } else {
            format!("; the {is} days from early to late would stay as they are")
        }
    });
    format!(
        "A test {when} that finds {mid:.0} would narrow {low:.1}–{high:.1} mg/L to {test_low:.1}–{test_high:.1}{days}."
    )
}
