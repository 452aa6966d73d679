//! What is to be minded of a forecast: when to test again, what that would narrow, and what is odd about the tests.

use super::super::sulfite_inputs::red_colour;
use super::series::History;
use super::{CHANCES, words};
use crate::answer::{Answer, CautionKind};
use crate::day::Day;
use crate::decline::next::{Days, narrowed, with_a_test};
use crate::decline::{
    BINDING_DAYS, Decline, Event, Falls, Keeping, What, addition_mg_l, gap_hides, long_gap,
};

pub(super) fn warn(
    answer: &mut Answer,
    found: &Decline,
    history: &History,
    (aim, falls): (f64, &Falls),
) {
    let History { read, events, .. } = *history;
    let from = found.begins();
    let newest = events.iter().map(|it| it.day).fold(from, f64::max);
    if found.chance_below(aim, newest - from) > 0.5 {
        answer.caution(
            CautionKind::State,
            "this forecast",
            format!(
                "By its last test or addition the wine is likely below {aim:.0} mg/L already, {}: test it and add what is missing.",
                words(falls, newest)
            ),
        );
    } else if let Some(early) = falls.low.map(Day) {
        answer.caution(
            CautionKind::Practice,
            "house rule",
            format!(
                "Test again by {early}, the day on which one wine in ten has fallen below: the middle date comes too late \
                 for half of them."
            ),
        );
    } else {
        answer.caution(
            CautionKind::Practice,
            "house rule",
            format!(
                "Of such wines more than one in ten is below {aim:.0} mg/L already: test again now."
            ),
        );
    }
    if read.len() == 1 {
        answer.caution(
            CautionKind::Range,
            "house estimate",
            "One test says where the wine stands and not how fast it falls: the dates rest on the estimate for its keeping. \
             A second test a month later says more.",
        );
    }
    warn_of_the_series(answer, found, history);
    red_colour(answer);
}

/// Says what a test on a day would narrow.
pub(super) fn warn_of_the_next(
    answer: &mut Answer,
    (found, keeping): (&Decline, Keeping),
    history: &History,
    (aim, day): (f64, f64),
) {
    let from = found.begins();
    let free = found.free_at(day - from, CHANCES);
    let events = with_a_test(history.events, day, free[1], history.sd);
    let Some(tested) = Decline::of(keeping, &events) else {
        return;
    };
    let begins = tested.begins();
    let then = tested.free_at(day - begins, CHANCES);
    let wide = |it: &Falls| Some((it.high.floor() - it.low?.floor()) as i64);
    let is = Falls::of(found, history.events, aim);
    let days = Some(is).filter(|it| it.high > day).and_then(|is| {
        let then = Falls::of(&tested, &events, aim);
        Some(Days {
            is: wide(&is)?,
            then: wide(&then)?,
            from_to: [then.low?, then.high].map(|it| Day(it).to_string()),
            is_far: false,
        })
    });
    let when = format!("on {}", Day(day));
    let sentence = narrowed(&when, free, then, days.as_ref());
    answer.caution(CautionKind::Practice, "this forecast", sentence);
}

/// Says that the forecast begins anew with a test, and that an addition is taken only where it lies above the one before.
fn warn_of_a_beginning(answer: &mut Answer, from: f64, read: &[Event], sd: f64) {
    let found = |it: &Event| match it.what {
        What::Test { free_mg_l, .. } => free_mg_l,
        What::Below { bound, .. } => bound,
        _ => 0.0,
    };
    let at = read.partition_point(|it| it.day <= from);
    let rises = at > 1 && found(&read[at - 1]) > found(&read[at - 2]);
    let said = if rises {
        format!(
            "A rise of more than {:.0} mg/L, or above what was added, is taken as an addition, and the forecast begins with the test of {}. An \
             addition takes 2 to 5 days to bind: if that test was sooner, test again. Give it under additions if you know \
             how much it was.",
            addition_mg_l(sd),
            Day(from)
        )
    } else {
        format!(
            "What the tests and additions before it led to is too far from the test of {}: something that is not written down is taken to have \
             happened, and it is foreseen from that test on.",
            Day(from)
        )
    };
    answer.caution(CautionKind::Range, "common practice", said);
}

/// Says what is odd about the series, and what was made of it.
fn warn_of_the_series(answer: &mut Answer, found: &Decline, history: &History) {
    let History {
        read,
        given,
        events,
        sd,
    } = *history;
    let from = found.begins();
    if events.iter().any(|it| it.what == What::AddedUnknown) {
        warn_of_a_beginning(answer, from, read, sd);
    }
    let early = |test: f64| {
        given
            .iter()
            .any(|it| (0.0..BINDING_DAYS).contains(&(test - it.0 - 1e-9)))
    };
    let number = |it: &&Event| matches!(it.what, What::Test { .. });
    if let Some(Event { day, .. }) = read.iter().filter(number).find(|it| early(it.day)) {
        answer.caution(
            CautionKind::Range,
            "common practice",
            format!(
                "The test of {} came within {BINDING_DAYS:.0} days of an addition, which goes on binding for 2 to 5: it counts \
                 half as sure. Test again.",
                Day(*day)
            ),
        );
    }
    if let Some(Event {
        day,
        what: What::Below { bound, .. },
    }) = read
        .iter()
        .rfind(|it| matches!(it.what, What::Below { .. }))
    {
        answer.caution(
            CautionKind::Range,
            "house rule",
            format!(
                "The test of {} found less than {bound:.0} mg/L, and how much less is not known: of the rate it says no more than a figure just below it would.",
                Day(*day)
            ),
        );
    }
    if found.error() > 1.0 {
        answer.caution(
            CautionKind::Range,
            "house rule",
            "The tests go up, or scatter by more than they err, as if something had not been written down: the last of them \
             counts for most, they say less of how fast it goes, and the band is wider than tests that agree would make it.",
        );
    }
    if let Some((from, until)) = long_gap(events) {
        answer.caution(
            CautionKind::Range,
            "house rule",
            format!(
                "Between {} and {} lies most of a year of which nothing is given here: what happened meanwhile is taken as up to \
                 {:.0} mg/L either way in two of three, as much as a racking takes, and it says less of how fast free SO2 goes.",
                Day(from),
                Day(until),
                gap_hides()
            ),
        );
    }
    if let Some((day, free)) = found.strays(read) {
        answer.caution(
            CautionKind::Range,
            "house rule",
            format!(
                "The test of {} ({free:.0} mg/L) lies further off than a test errs: repeat it, and leave it out if it was \
                 wrong; otherwise trust the band less.",
                Day(day)
            ),
        );
    }
}
