//! When a ferment will be dry, and whether it moves.

mod sugar;

use super::acid_inputs::refused;
use super::dated::{DAYS, readings};
use super::sugar_inputs::GROUP;
use crate::answer::{Answer, CautionKind, FieldValue, Source, Standing};
use crate::day::Day;
use crate::error::CalcError;
use crate::ferment_next::{SoFar, next_reading};
use crate::ferment_readings::{self, Readings};
use crate::ferment_state::{CRITERIA, STATE_WORDS, State, dry, state, wants_watching};
use crate::gravity_curve::{Before, DRY_WITHIN, Ferment, GIVEN_END_SD, USUAL_END, pace};
use crate::hazards::REFERMENTING;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::least_squares::Prior;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

/// A tenth of a normal law lies this many standard deviations or more above its mean.
const TENTH: f64 = 1.281_551_57;
/// A fall of less is none that a hydrometer can follow.
const LEAST_FALL: f64 = 0.020;
/// A gap between readings of more days says little of what went on.
const LONG: f64 = 30.0;
/// Below this a ferment may only sleep, °C (common practice).
const COLD_C: f64 = 15.0;

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "ferment-fit",
    sentence: "When a ferment will be dry, from two gravities or more, and whether it moves, drags or is stuck.",
    group: GROUP,
    inputs: &[
        Input::new(
            "started",
            Quantity::Date,
            "day the yeast went in; the first reading's if left out",
        )
        .allowed(DAYS.0, DAYS.1, "ferments are of 1870 to 2169"),
        Input::new(
            "start_sg",
            Quantity::Gravity,
            "gravity on that day; the first reading if left out",
        )
        .allowed(1.02, 1.2, "less is no must and more does not ferment")
        .sourced(1.04, 1.13, "the curves are of wine and beer"),
        Input::new(
            "readings",
            Quantity::Text,
            "gravities since, gas shaken out, as date:sg with commas between",
        )
        .required(),
        Input::new(
            "sugar",
            Quantity::Text,
            "sugar added meanwhile as date:g/L of must, with commas between; a reading of the same day came before it",
        ),
        Input::new(
            "final_sg",
            Quantity::Gravity,
            "gravity it will end at, if you know; a dry wine's is taken otherwise",
        )
        .allowed(
            0.98,
            1.1,
            "no wine ends lower, and none so sweet is forecast",
        ),
        Input::new(
            "temperature_c",
            Quantity::Temperature,
            "warmth of the must, if you know; a usual one is taken otherwise",
        )
        .allowed(0.0, 45.0, "yeast works at neither")
        .sourced(11.0, 35.0, "rates were studied from 11 to 35 °C"),
    ],
    results: &[
        ResultSpec::new("state", Quantity::Choice(STATE_WORDS), "how it stands"),
        ResultSpec::new(
            "dry_date_low",
            Quantity::Date,
            "one ferment in ten is dry by then",
        ),
        ResultSpec::new("dry_date", Quantity::Date, "half of them are"),
        ResultSpec::new("dry_date_high", Quantity::Date, "nine in ten are"),
        ResultSpec::new("dry_days", Quantity::Number, "days from the start to dry"),
        ResultSpec::new("final_sg", Quantity::Gravity, "gravity it ends at"),
        ResultSpec::new(
            "midpoint_days",
            Quantity::Number,
            "days from the start until half has fallen",
        ),
        ResultSpec::new(
            "width_days",
            Quantity::Number,
            "days it takes from there to fall by nearly a quarter more",
        ),
    ],
    example: &[
        ("started", "2026-10-01"),
        ("start-sg", "1.090"),
        (
            "readings",
            "2026-10-03:1.080, 2026-10-05:1.056, 2026-10-07:1.030",
        ),
    ],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    let all = all_read(inputs)?;
    let (started, begun) = begins(inputs, &all)?;
    let fed = sugar::given(inputs, started)?;
    let (start, all) = sugar::counted(begun, &all, &fed, &mut answer);
    let given = inputs.number("final_sg");
    let end = given.map_or(USUAL_END, |mean| Prior {
        mean,
        sd: GIVEN_END_SD,
    });
    let read = read(&all, (started, start), end.mean)?;
    if start - end.mean < LEAST_FALL {
        return Err(refused(
            if given.is_some() {
                "final_sg"
            } else {
                "start_sg"
            },
            format!(
                "from {start:.3} to {:.3} is too little of a fall to follow: check both and give them again",
                end.mean
            ),
        ));
    }
    let celsius = inputs.number("temperature_c");
    let before = Before {
        start: read.start,
        end,
        pace: celsius.map_or(1.0, pace),
    };
    let since = &read.since;
    let stands = state(read.start.mean, since, end.mean, &CRITERIA);
    let found = if since.len() < 2 || stands == State::NotFallen {
        None
    } else {
        Ferment::of(&before, since)
    };
    let dry = dry(stands, found.as_ref(), since, end.mean);

    answer.result("state", stands.word());
    put_dates(
        &mut answer,
        started,
        dry.map(|days| days.map(|it| it + read.from - started)),
    );
    if let Some(found) = &found {
        put_curve(&mut answer, found);
        work(&mut answer, found, &read, (stands, dry));
    } else {
        for key in ["final_sg", "midpoint_days", "width_days"] {
            answer.result(key, FieldValue::Missing);
        }
        answer.work(
            "fit",
            if since.len() < 2 {
                "two readings after the start are the fewest that a curve goes through"
            } else {
                "no curve falls through readings that have not fallen"
            },
        );
    }
    work_means(&mut answer, &read);
    assume(&mut answer, inputs, begun, end);
    cite(&mut answer);
    warn(
        &mut answer,
        &read,
        stands,
        (
            given.is_none(),
            found.is_some() && dry.is_none(),
            found.as_ref().is_some_and(|it| it.stopped() > 0.5),
        ),
    );
    if let (Some(curve), Some(dry), Some((last, _))) = (&found, dry, since.last()) {
        let so_far = SoFar {
            read: &read,
            before: &before,
            curve,
            state: stands,
            dry,
            criteria: &CRITERIA,
        };
        warn_of_the_next(&mut answer, &so_far, last + 1.0);
    }
    warn_of_readings(&mut answer, &read);
    warn_of_cold(&mut answer, celsius);
    Ok(answer)
}

/// What was not given, and is taken as usual.
fn assume(answer: &mut Answer, inputs: &Inputs, begun: f64, end: Prior) {
    if inputs.number("start_sg").is_none() {
        answer.assume(
            "start_sg",
            begun,
            (begun, begun + LEAST_FALL),
            format!("It is taken to have begun at the first reading, {begun:.3}; what it fell before is not known."),
        );
    }
    if inputs.number("final_sg").is_none() {
        answer.assume(
            "final_sg",
            end.mean,
            (end.mean - TENTH * end.sd, end.mean + TENTH * end.sd),
            "A dry wine is taken to end at 0.994, nineteen of twenty end between 0.990 and 0.998; a sweet or stopped one does not.",
        );
    }
}

/// All readings given, in any order.
fn all_read(inputs: &Inputs) -> Result<Vec<(f64, f64)>, CalcError> {
    readings(
        inputs,
        "readings",
        Quantity::Gravity,
        (0.97, 1.2),
        "date:sg, such as 2026-10-05:1.056",
    )
}

/// The day it began and the gravity then, as given or else by the first reading.
fn begins(inputs: &Inputs, all: &[(f64, f64)]) -> Result<(f64, f64), CalcError> {
    let first = all.iter().min_by(|one, other| one.0.total_cmp(&other.0));
    let (day, sg) =
        first.ok_or_else(|| refused("readings", "there is none: give two or more".to_owned()))?;
    let given = |key: &str| inputs.number(key);
    Ok((
        given("started").unwrap_or(*day),
        given("start_sg").unwrap_or(*sg),
    ))
}

/// Readings of the ferment, from its start, or from where it begins anew.
fn read(
    read: &[(f64, f64)],
    (started, start): (f64, f64),
    end_sg: f64,
) -> Result<Readings, CalcError> {
    if let Some((day, _)) = read.iter().find(|it| it.0 < started) {
        return Err(refused(
            "readings",
            format!(
                "{} is before the start of {}: check both days",
                Day(*day),
                Day(started)
            ),
        ));
    }
    Ok(ferment_readings::readings(
        started,
        Some(start),
        read,
        end_sg,
        &CRITERIA,
    ))
}

fn put_dates(answer: &mut Answer, started: f64, dry: Option<[f64; 3]>) {
    let keys = ["dry_date_low", "dry_date", "dry_date_high"];
    if let Some(days) = dry {
        for (key, day) in keys.into_iter().zip(days) {
            answer.result(key, Day(started + day).to_string());
        }
        answer.band("dry_days", days[0], days[1], days[2]);
    } else {
        for key in keys.into_iter().chain(["dry_days"]) {
            answer.result(key, FieldValue::Missing);
        }
    }
}

fn put_curve(answer: &mut Answer, found: &Ferment) {
    let (end, sd) = found.end_sg();
    answer.band("final_sg", end - TENTH * sd, end, end + TENTH * sd);
    for (key, (time, sd)) in [
        ("midpoint_days", found.midpoint_days()),
        ("width_days", found.width_days()),
    ] {
        let factor = (TENTH * sd).exp();
        answer.band(key, time / factor, time, time * factor);
    }
}

fn work(
    answer: &mut Answer,
    found: &Ferment,
    read: &Readings,
    (stands, dry): (State, Option<[f64; 3]>),
) {
    let start = read.start.mean;
    let (end, (middle, _), (width, _)) =
        (found.end_sg().0, found.midpoint_days(), found.width_days());
    answer.work(
        "curve",
        format!(
            "{end:.4} + ({start:.3} − {end:.4}) / (1 + e^((t − {middle:.2}) / {width:.2})), t in days: the logistic nearest to \
             {} readings and to what is taken before them",
            read.since.len()
        ),
    );
    match (stands, dry) {
        (State::Dry, Some([low, day, _])) => answer.work(
            "dry",
            format!(
                "read within {DRY_WITHIN} of its end on day {day:.0} for the first time, so between day {low:.0} and then"
            ),
        ),
        (_, Some([low, day, high])) => answer.work(
            "dry",
            format!(
                "within {DRY_WITHIN} of its end after {day:.1} days, {low:.1} to {high:.1} in at least four of five: the \
                 mixture of three curves of equal weight, given that it was not dry at the last reading"
            ),
        ),
        (_, None) => {}
    }
}

/// Readings of one day that are taken as one.
fn work_means(answer: &mut Answer, read: &Readings) {
    for (day, count, mean) in &read.means {
        answer.work(
            "readings",
            format!(
                "{count} readings of {} differ and are taken as one, their mean: {mean:.4}",
                Day(read.from + day)
            ),
        );
    }
}

fn cite(answer: &mut Answer) {
    for (sentence, standing) in [
        (
            "Logistic in gravity, the form of ASBC Yeast-14: Predicting Fermentation Rates in Ale, Lager and Whisky, \
             Fermentation 7(1):13 (2021); Speers, Rogers and Smith, J. Inst. Brew. 109:229 (2003), abstract",
            Standing::Opened,
        ),
        (
            "Modified Gompertz curve: Zwietering et al. (1990)",
            Standing::FromMemory,
        ),
        (
            "Michaelis decline, dS/dt = −v·S/(K + S), a textbook law of rates",
            Standing::Derived,
        ),
        (
            "Equal weights, and a twentieth of the days as the least spread: by simulated ferments of four kinds, of which at \
             least four in five were dry within the band",
            Standing::Derived,
        ),
        (
            "What the times, the end and a reading are taken to be off by, and the numbers for stuck and sluggish: house \
             estimates",
            Standing::CommonPractice,
        ),
        (
            "Two to three weeks are normal, and more than 0.2 % of sugar can ferment again: Bisson, Stuck and sluggish \
             fermentations, author abstract",
            Standing::Opened,
        ),
    ] {
        answer.source(Source { sentence, standing });
    }
}

fn warn(
    answer: &mut Answer,
    Readings { since, rose, .. }: &Readings,
    stands: State,
    (end_assumed, no_date, stopped): (bool, bool, bool),
) {
    match stands {
        State::Dry => {
            answer.hazard(REFERMENTING);
            answer.caution(
                CautionKind::State,
                "density of sugar solutions: 0.001 is 2.6 g/L",
                "A hydrometer cannot prove a wine dry, since its step is 2.6 g/L of sugar: test the sugar before bottling.",
            );
        }
        State::Stuck => answer.caution(
            CautionKind::State,
            "house estimate",
            "It has not moved by more than 0.001 in three days and is not at its end: make sure that the gas was out and the \
             must as warm each time, then warm it, stir it up and see to its yeast. No day is given for a stuck ferment.",
        ),
        State::Sluggish => answer.caution(
            CautionKind::State,
            "house estimate",
            format!(
                "It falls by less than 0.002 a day: check its warmth and its nutrient now, while it still moves.{}",
                if no_date { "" } else { " The day holds only if it goes on." }
            ),
        ),
        State::Steady => answer.caution(
            CautionKind::State,
            "Bisson, Stuck and sluggish fermentations, author abstract: more than 0.2 % of sugar can ferment again",
            "Its last readings are equal: it is at its end, or stopped before it. Test its sugar; below 2 g/L it is dry.",
        ),
        State::NotFallen if rose.is_some() => answer.caution(
            CautionKind::State,
            "house estimate; gas lifts a hydrometer (common practice)",
            "By its readings it has not fallen by 0.003 since it rose, so no day is given. Shake the gas out and read it again \
             tomorrow.",
        ),
        State::NotFallen => answer.caution(
            CautionKind::State,
            "house estimate; gas lifts a hydrometer (common practice)",
            "By its readings it has not fallen by 0.003 yet, so no day is given: it has not begun, or a reading is wrong. Shake \
             the gas out and read it again tomorrow; one that has not begun in three days wants warmth, or fresh yeast.",
        ),
        State::Moving if wants_watching(since) => answer.caution(
            CautionKind::State,
            "Pambianchi, Modern Home Winemaking, Stuck alcoholic fermentation",
            "It falls slower than 0.005 a day above 1.005, or 0.002 below: read it daily, since ferments that stop begin so.",
        ),
        State::Moving => {}
    }
    if no_date && stopped && stands != State::Stuck {
        answer.caution(
            CautionKind::Range,
            "this forecast; that one ferment in ten stops before its end: house estimate",
            "Its last readings fall so little that it has more likely stopped than not, so no day is given: read again \
             tomorrow, with the gas shaken out.",
        );
    } else if no_date && stands != State::Stuck {
        answer.caution(
            CautionKind::Range,
            "this forecast",
            "By its curve it should be dry, and it is not: it has slowed down, or will end higher than was taken. Read again, \
             test the sugar, and give final_sg if you know it.",
        );
    }
    if since.len() < 2 && stands != State::NotFallen {
        answer.caution(
            CautionKind::Range,
            "this forecast",
            "One reading since its start gives no day: read again in a day or two, and give both.",
        );
    }
    let is_foretold = !matches!(stands, State::Dry | State::NotFallen);
    if since.len() == 2 && is_foretold {
        answer.caution(
            CautionKind::Range,
            "simulated ferments",
            "Two readings say little: the day rests mostly on what a ferment usually takes, and may move by a week with the \
             third. Read again before you plan by it.",
        );
    }
    if end_assumed && is_foretold {
        answer.caution(
            CautionKind::Range,
            "simulated ferments",
            "The end is assumed and not foretold: readings say nothing of it until the ferment is past its middle by twice \
             its width. One that runs at full speed to the end is dry sooner than the band says.",
        );
    }
}

/// What a reading on a day from its beginning would narrow.
fn warn_of_the_next(answer: &mut Answer, so_far: &SoFar<'_>, day: f64) {
    let when = format!("on {}", Day(so_far.read.from + day));
    if let Some(sentence) = next_reading(so_far, day, &when) {
        answer.caution(CautionKind::Practice, "this forecast", sentence);
    }
}

/// What is odd about the readings, and what was made of it.
fn warn_of_readings(answer: &mut Answer, read: &Readings) {
    if let Some((before, after)) = read.rose {
        answer.caution(
            CautionKind::Range,
            "this forecast",
            format!(
                "Gravity rose from {before:.3} to {after:.3} on {}, which no ferment does: sugar went in, or a reading is wrong. \
                 The forecast begins anew on that day.",
                Day(read.from)
            ),
        );
    }
    if read.stood {
        answer.caution(
            CautionKind::Range,
            "this forecast",
            format!(
                "It stood still at {:.3} until {} and falls again: the forecast begins anew on that day, with what was read since.",
                read.start.mean,
                Day(read.from)
            ),
        );
    }
    if read.wavers > 0 {
        answer.caution(
            CautionKind::Range,
            "density of sugar solutions; gas lifts a hydrometer (common practice)",
            "It was read a little higher than before: shake the gas out, and read at the same warmth. What no curve comes near \
             widens the band.",
        );
    }
    let days = |pair: &[(f64, f64)]| pair[1].0 - pair[0].0;
    if read.since.windows(2).any(|it| days(it) > LONG) {
        answer.caution(
            CautionKind::Range,
            "this forecast",
            "More than a month lies between two readings: what went on meanwhile nobody knows. Read again in a few days.",
        );
    }
}

/// What cold does.
fn warn_of_cold(answer: &mut Answer, celsius: Option<f64>) {
    if celsius.is_some_and(|it| it < COLD_C) {
        answer.caution(
            CautionKind::State,
            "common practice; that rates rise strongly with warmth: Coleman, Fish and Block (2007), abstract",
            "Below 15 °C a ferment is slow, and one that stands still may only sleep: warm it before it is called stuck.",
        );
    }
}
