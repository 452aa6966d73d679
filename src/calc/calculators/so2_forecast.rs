//! When a wine's free SO2 falls below what it needs.

mod minding;
mod series;

use super::dated::{DAYS, readings};
use super::sulfite_inputs::{
    ALCOHOL, CONSTANT, Constants, GROUP, PH, TARGET_MOLECULAR, TEMPERATURE,
};
use crate::answer::{Answer, FieldValue, Source, Standing};
use crate::day::Day;
use crate::decline::{
    Decline, Falls, KEEPING_WORDS, KEEPINGS, Keeping, STAYS_FREE, What, find, with_unwritten,
};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};
use crate::sulfite::free_needed_mg_l;
use minding::{warn, warn_of_the_next};
use series::{History, MG_L, events, tests};

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "so2-forecast",
    sentence: "When a wine's free SO2 falls below what it needs, from your own readings and how it is kept.",
    group: GROUP,
    inputs: &[
        Input::new(
            "readings",
            Quantity::Text,
            "tests of free SO2 as date:mg/L, with commas between; one that found no more than its limit as date:<10",
        )
        .required(),
        Input::new(
            "additions",
            Quantity::Text,
            "sulfite added meanwhile as date:mg/L, with commas between; a test of the same day came before it",
        ),
        PH,
        TARGET_MOLECULAR.default("0.8"),
        Input::new(
            "target_free_so2_mg_l",
            Quantity::MassPerVolume,
            "free SO2 it should not fall below, instead of a molecular aim",
        )
        .allowed(1.0, 300.0, "less protects nothing and no wine is kept at more")
        .sourced(1.0, 130.0, "the extension tables end at 125"),
        Input::new(
            "keeping",
            Quantity::Choice(KEEPING_WORDS),
            "what the wine is kept in",
        )
        .default("carboy-airlock"),
        Input::new(
            "on",
            Quantity::Date,
            "a day to say the free SO2 of; the last test's if left out",
        )
        .allowed(DAYS.0, DAYS.1, "wine is of 1870 to 2169"),
        Input::new(
            "test_error_mg_l",
            Quantity::MassPerVolume,
            "how far a test is off as a rule (standard deviation): 2.5 with your own kit, 1.5 in a laboratory",
        )
        .default("2.5")
        .allowed(0.5, 20.0, "no test is surer and a worse one says nothing")
        .sourced(1.0, 4.0, "tests in use lie there"),
        CONSTANT,
        TEMPERATURE,
        ALCOHOL,
    ],
    results: &[
        ResultSpec::new(
            "date_low",
            Quantity::Date,
            "one wine in ten has fallen below its aim by then; missing where it may have before anything was read",
        ),
        ResultSpec::new(
            "date",
            Quantity::Date,
            "half of them have; missing where it is below already and nobody knows since when",
        ),
        ResultSpec::new("date_high", Quantity::Date, "nine in ten have"),
        ResultSpec::new("days", Quantity::Number, "days to that from the first test, or the first after an addition"),
        ResultSpec::new(
            "target_free_so2_mg_l",
            Quantity::MassPerVolume,
            "free SO2 it should not fall below",
        ),
        ResultSpec::new("rate_per_day", Quantity::PerDay, "part of it lost in a day"),
        ResultSpec::new(
            "free_so2_mg_l",
            Quantity::MassPerVolume,
            "free SO2 on the day asked for",
        ),
        ResultSpec::new(
            "chance_below_pct",
            Quantity::Percent,
            "chance that it is below its aim on that day",
        ),
    ],
    example: &[
        ("readings", "2026-01-10:35, 2026-02-09:29, 2026-03-11:27"),
        ("ph", "3.4"),
        ("target-molecular", "0.5"),
    ],
    solve,
};

/// One wine in ten, half of them, nine in ten.
const CHANCES: [f64; 3] = [0.1, 0.5, 0.9];
/// The results that are days, by those chances.
const DATES: [&str; 3] = ["date_low", "date", "date_high"];

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let sd = inputs.require("test_error_mg_l")?;
    let form = "date:mg/L, such as 2026-01-10:35";
    let read = tests(inputs, form, sd)?;
    let given = match inputs.text("additions") {
        Some(_) => readings(inputs, "additions", Quantity::MassPerVolume, MG_L, form)?,
        None => Vec::new(),
    };
    let keeping: Keeping = find(inputs.word("keeping")).unwrap_or(KEEPINGS[0]);
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    let aim = aim(inputs, &mut answer)?;
    let events = with_unwritten(keeping, &events(&read, &given));
    let Some(found) = Decline::of(keeping, &events) else {
        return Err(CalcError::Refused {
            key: "readings",
            sentence: "there is no test among them: give one as date:mg/L".to_owned(),
        });
    };
    let from = found.begins();
    let last = events.iter().map(|it| it.day).fold(from, f64::max);
    let on = inputs.number("on").unwrap_or(last);
    if on < from {
        let by_test = events.iter().any(|it| it.day >= from && it.is_test());
        let begun = if by_test { "test" } else { "addition" };
        return Err(CalcError::Refused {
            key: "on",
            sentence: format!(
                "{} is before the {begun} of {} that the forecast begins with: give a day from then on",
                Day(on),
                Day(from)
            ),
        });
    }
    answer.inputs.put("on", Day(on).to_string());

    let falls = Falls::of(&found, &events, aim.free_mg_l);
    for (key, date) in DATES.iter().zip(dates(&falls)) {
        answer.result(key, date);
    }
    if let Falls {
        low: Some(low),
        mid: Some(mid),
        high,
    } = falls
    {
        answer.band("days", low - from, mid - from, high - from);
    } else {
        answer.result("days", FieldValue::Missing);
    }
    answer.result("target_free_so2_mg_l", aim.free_mg_l);
    let rate = CHANCES.map(|chance| found.rate(chance));
    answer.band("rate_per_day", rate[0], rate[1], rate[2]);
    let left = found.free_at(on - from, CHANCES);
    answer.band("free_so2_mg_l", left[0], left[1], left[2]);
    answer.result(
        "chance_below_pct",
        100.0 * found.chance_below(aim.free_mg_l, on - from),
    );
    if let Some((target, ph, constants)) = &aim.molecular {
        answer.other_constant = Some(constants.other_fields(|pk1, fields| {
            let free = free_needed_mg_l(*target, *ph, pk1);
            fields.put("target_free_so2_mg_l", free);
            for (key, date) in DATES.iter().zip(dates(&Falls::of(&found, &events, free))) {
                fields.put(key, date);
            }
        }));
    }

    assume(inputs, &mut answer, keeping, sd);
    let history = History {
        read: &read,
        given: &given,
        events: &events,
        sd,
    };
    work(&mut answer, &history, rate, &words(&falls, last));
    cite(&mut answer);
    warn(&mut answer, &found, &history, (aim.free_mg_l, &falls));
    // Without a day asked for it is the one by which the next test is due.
    let next = if inputs.is_given("on") {
        on
    } else {
        last.max(falls.low.map_or(last, f64::floor))
    };
    warn_of_the_next(
        &mut answer,
        (&found, keeping),
        &history,
        (aim.free_mg_l, next),
    );
    Ok(answer)
}

/// What the wine should not fall below: mg/L free, and the constants and molecular aim it was reckoned from, if it was.
struct Aim {
    free_mg_l: f64,
    molecular: Option<(f64, f64, Constants)>,
}

fn aim(inputs: &Inputs, answer: &mut Answer) -> Result<Aim, CalcError> {
    if let Some(free_mg_l) = inputs.number("target_free_so2_mg_l") {
        answer.work("aim", format!("{free_mg_l:.1} mg/L free, as given"));
        return Ok(Aim {
            free_mg_l,
            molecular: None,
        });
    }
    let Some(ph) = inputs.number("ph") else {
        return Err(CalcError::Refused {
            key: "ph",
            sentence: "it is missing, and so is target_free_so2_mg_l, and what the wine needs hangs on one of them: \
                       give either"
                .to_owned(),
        });
    };
    let target = inputs.require("target_molecular_mg_l")?;
    let constants = Constants::read(inputs)?;
    constants.explain(answer);
    let free_mg_l = free_needed_mg_l(target, ph, constants.pk1());
    answer.work(
        "aim",
        format!(
            "{target} × (1 + 10^({ph:.2} − {:.3})) = {free_mg_l:.1} mg/L free",
            constants.pk1()
        ),
    );
    Ok(Aim {
        free_mg_l,
        molecular: Some((target, ph, constants)),
    })
}

fn dates(falls: &Falls) -> [FieldValue; 3] {
    [falls.low, falls.mid, Some(falls.high)]
        .map(|day| day.map_or(FieldValue::Missing, |it| Day(it).to_string().into()))
}

/// Since or from when, in words; nothing was read or given after that day.
fn words(falls: &Falls, read_until: f64) -> String {
    let high = Day(falls.high);
    match (falls.low.map(Day), falls.mid.map(Day)) {
        (Some(low), Some(mid)) => format!("about {mid}, {low} to {high} in four of five"),
        (None, Some(mid)) => {
            format!(
                "about {mid}, by {high} in nine of ten, and in one of ten before anything was read"
            )
        }
        (Some(low), None) => {
            format!("on some day between {low} and {high}, and which is not known")
        }
        (None, None) if falls.high > read_until => {
            format!("by {high} in nine of ten, and in most since before anything was read")
        }
        (None, None) => format!("since {high} or before, and since when is not known"),
    }
}

/// Says what was taken of the rate and of the tests before any of them was looked at.
fn assume(inputs: &Inputs, answer: &mut Answer, keeping: Keeping, sd: f64) {
    let factor = (1.281_551_57 * keeping.spread).exp();
    let (low, high) = (keeping.per_day / factor, keeping.per_day * factor);
    let taken = if inputs.is_given("keeping") {
        ""
    } else {
        ", which is taken since keeping was not given,"
    };
    answer.assume(
        "keeping",
        keeping.per_day,
        (low, high),
        format!(
            "In {}{taken} a wine is taken to lose {:.2} % of its free SO2 a day, in one of ten less than {:.2} and in one \
             of ten more than {:.2}: a house estimate, which your own tests correct.",
            keeping.label,
            100.0 * keeping.per_day,
            100.0 * low,
            100.0 * high
        ),
    );
    if !inputs.is_given("test_error_mg_l") {
        answer.assume(
            "test_error_mg_l",
            sd,
            (1.5, 4.0),
            format!(
                "A test is taken to be off by {sd} mg/L as a rule; a laboratory's by 1.5, a titration of red wine by up to 4."
            ),
        );
    }
}

fn work(answer: &mut Answer, history: &History, rate: [f64; 3], falls: &str) {
    let read = history.read;
    let tests = match read.len() {
        1 => "one test".to_owned(),
        count => format!("{count} tests"),
    };
    if !history.given.is_empty() {
        let sum: f64 = history.given.iter().map(|it| it.1).sum();
        answer.work(
            "additions",
            format!(
                "{sum:.0} mg/L added; of each {:.0} % ± {:.0} stays free, and the rest gets bound",
                100.0 * STAYS_FREE.0,
                100.0 * STAYS_FREE.1
            ),
        );
    }
    answer.work(
        "rate",
        format!(
            "the estimate for the keeping and {tests} together give {:.3} % a day, {:.3} to {:.3} in four of five",
            100.0 * rate[1],
            100.0 * rate[0],
            100.0 * rate[2]
        ),
    );
    let last = read.last().map_or(String::new(), |it| found_words(it.what));
    answer.work(
        "falls",
        format!(
            "F(t) = F₀·e^(−k·t) over all k and F₀ that go with the tests (the last one {last} mg/L): below the aim \
             {falls}"
        ),
    );
}

/// What a test found, in mg/L.
fn found_words(what: What) -> String {
    match what {
        What::Test { free_mg_l, .. } => format!("{free_mg_l:.1}"),
        What::Below { bound, .. } => format!("below {bound:.0}"),
        _ => String::new(),
    }
}

fn cite(answer: &mut Answer) {
    for (sentence, standing) in [
        (
            "Rates by keeping and their spread: house estimates; no paper gives them in this form",
            Standing::CommonPractice,
        ),
        (
            "Pascal, Diéval and Vidal, 100 bottled wines over two years, abstract: 2.5 mg of free SO2 lost per mg of oxygen",
            Standing::Opened,
        ),
        (
            "Error of a test: five within 5 mg/L of each other are called fair practice, so 2.15 (range over 2.326)",
            Standing::Derived,
        ),
        (
            "Error by method, 1–2 mg/L by aeration and 2–4 by titration with iodine: Zoecklein et al., Wine Analysis and \
             Production",
            Standing::FromMemory,
        ),
        (
            "Bayes' law on a grid of rates, with the textbook mean of readings of known error for the start",
            Standing::Derived,
        ),
    ] {
        answer.source(Source { sentence, standing });
    }
}
