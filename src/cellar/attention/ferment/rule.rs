//! A ferment that stands still, drags, should be dry by now, or that nobody has measured as finished.

use leesline_calc::ferment_state::{self, State};

use super::Fermentation;
use super::said::RESTART_C;
use crate::cellar::attention::finished::{Finished, Plateau};
use crate::cellar::attention::fit::Look;
use crate::cellar::attention::holding::Holding;
use crate::cellar::attention::stage::Ferment;
use crate::cellar::attention::words::{gravity, span};
use crate::cellar::attention::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::entry::Property;
use crate::cellar::moment::Moment;
use crate::cellar::state::{Deed, GravityReading, Known};

/// A reason before its subject and command are put to it.
struct Said {
    kind: ReasonKind,
    due: Moment,
    rank: Rank,
    /// Share of the wine that a week of waiting may cost.
    weight: f64,
    sentence: String,
    deals: (&'static str, &'static str),
}

/// What deals with one whose gravity is not known: the verb, and what it asks for.
const MEASURE: (&str, &str) = ("measure", "gravity");

/// Stuck first, then slow, then dry by now, then a gravity that was not measured for long.
pub(in crate::cellar::attention) fn rule<'a>(
    holding: &'a Holding,
    _: &'a Look,
) -> Option<Found<'a>> {
    let ferment = holding.ferment();
    if matches!(ferment, Ferment::Unsaid | Ferment::Must) {
        return None;
    }
    let goes = holding.fermentation().or_else(|| holding.stood_still());
    let of_its_course = goes.as_ref().and_then(|it| stands(holding, it));
    let is_ahead = of_its_course
        .as_ref()
        .is_some_and(|it| it.due > holding.now);
    let said = if is_ahead {
        unmeasured(holding, ferment).or(of_its_course)?
    } else {
        of_its_course.or_else(|| unmeasured(holding, ferment))?
    };
    let kind = said.kind;
    let why = move || working(holding, goes.as_ref(), kind);
    Some(
        Reason {
            subject: holding.place.key,
            kind,
            due: said.due,
            rank: said.rank,
            weight: holding.litres() * said.weight,
            sentence: said.sentence,
            suggestion: Suggestion::of(said.deals.0)
                .with("place", holding.place.name())
                .asking(said.deals.1),
        }
        .because(why),
    )
}

fn working(holding: &Holding, goes: Option<&Fermentation>, kind: ReasonKind) -> Vec<String> {
    let mut lines = goes.map_or_else(Vec::new, |it| it.evidence(holding));
    match (kind, goes) {
        (ReasonKind::Stuck | ReasonKind::Sluggish, Some(goes)) => {
            lines.extend(goes.remedies(holding));
        }
        (ReasonKind::Unfinished, _) => lines.extend(holding.finished().evidence),
        _ => {}
    }
    if let Some(pitched) = holding.wine.when(Deed::Pitched) {
        lines.push(format!(
            "Pitched on {}; a normal ferment takes two to three weeks (Bisson, Stuck and sluggish fermentations).",
            holding.day(pitched)
        ));
    }
    lines
}

/// What its readings say of a ferment that runs.
fn stands(holding: &Holding, goes: &Fermentation) -> Option<Said> {
    let at = holding.now.at(goes.last().0);
    let unread = goes.days_unread(holding);
    let steady = Plateau::of(&holding.wine.gravities, holding.policy.equal_gravity)
        .filter(|it| holding.is_steady(it));
    // What was read long ago says nothing of today, unless it stood still for weeks then.
    let is_recent = unread as f64 <= holding.policy.ferment_days;
    match goes.state {
        State::Stuck => {
            let (sentence, deals) = if is_recent || steady.is_some() {
                stuck(holding, goes, steady)
            } else {
                let (last, ago) = (goes.last_gravity(), span(unread));
                (
                    format!("stood still at {last} {ago} ago and not read since: measure it"),
                    MEASURE,
                )
            };
            Some(Said {
                kind: ReasonKind::Stuck,
                due: at,
                rank: Rank::Now,
                weight: holding.policy.loss_stuck,
                sentence,
                deals,
            })
        }
        State::Sluggish | State::NotFallen if is_recent && goes.is_slow(holding) => Some(Said {
            kind: ReasonKind::Sluggish,
            due: at,
            rank: Rank::Soon,
            weight: holding.policy.loss_stalled,
            sentence: slow(holding, goes),
            deals: MEASURE,
        }),
        State::Moving | State::Steady => dry(holding, goes, unread),
        State::Sluggish | State::NotFallen | State::Dry => None,
    }
}

/// What is next of what to do about one that stands still: a test of its sugar, then warmth, then a restart. What was measured
/// since it stood still is done.
fn stuck(
    holding: &Holding,
    goes: &Fermentation,
    steady: Option<Plateau>,
) -> (String, (&'static str, &'static str)) {
    let last = goes.last_gravity();
    let still = Plateau::of(&holding.wine.gravities, holding.policy.stuck_fall);
    let since = still.map_or(goes.last().0, |it| it.since_ms);
    let is_since = |it: &(f64, &Known)| it.1.at_ms >= since;
    let sugar = holding.known_between(Property::Sugar, 0.0, 1e3);
    let sugar = sugar.filter(is_since).map(|it| it.0);
    let celsius = holding.living_c().filter(is_since).map(|it| it.0);
    if let Some(sugar) = sugar {
        let has = format!("stuck at {last} with {sugar:.0} g/L of sugar");
        return match celsius {
            Some(celsius) if celsius >= RESTART_C => (
                format!("{has}, {celsius:.0} °C: rouse it, then restart it with new yeast"),
                ("pitch", "yeast"),
            ),
            Some(celsius) => (
                format!("{has} and {celsius:.0} °C: warm it to {RESTART_C:.0}–24 °C"),
                ("measure", "temperature"),
            ),
            None => (
                format!("{has}: warm it to {RESTART_C:.0}–24 °C, and measure how warm it is"),
                ("measure", "temperature"),
            ),
        };
    }
    let sentence = match (steady, goes.celsius) {
        (Some(steady), _) => format!(
            "steady at {} for {}, not finished: stuck, test its sugar",
            gravity(steady.gravity),
            span(holding.days(steady.since_ms))
        ),
        (None, Some(celsius)) if goes.is_cold(holding) => {
            format!("stands still at {last} and {celsius:.0} °C: test its sugar, then warm it")
        }
        _ => format!("stands still at {last}: stuck, test its sugar"),
    };
    (sentence, ("measure", "sugar"))
}

impl Fermentation {
    /// Whether it has not begun though it should have.
    pub fn is_late(&self, holding: &Holding) -> bool {
        let criteria = holding.policy.ferment_criteria();
        self.state == State::NotFallen && ferment_state::is_late(&self.read.since, &criteria)
    }

    /// Whether it falls too slowly, or should fall.
    fn is_slow(&self, holding: &Holding) -> bool {
        self.state == State::Sluggish || self.is_late(holding)
    }
}

fn slow(holding: &Holding, goes: &Fermentation) -> String {
    let last = goes.last_gravity();
    let cold = match goes.celsius {
        Some(celsius) if goes.is_cold(holding) => format!(" at {celsius:.0} °C"),
        _ => String::new(),
    };
    if goes.state == State::NotFallen {
        let days = span(goes.days_so_far());
        return format!("hardly begun{cold}, {days} on: {last}");
    }
    if goes.may_have_stopped() {
        return format!("slow{cold}: may have stopped at {last}");
    }
    let fall = goes.fall_per_day.unwrap_or_default();
    format!("slow{cold}: {last}, falls {:.4} a day", fall.max(0.0))
}

/// The day on which it will be dry: worth knowing while ahead, a reading once it has passed.
fn dry(holding: &Holding, goes: &Fermentation, unread: i64) -> Option<Said> {
    let dry = goes.dry?;
    let (now, last) = (holding.now, goes.last_gravity());
    let due = dry.mid;
    if due.days_since(now) as f64 > holding.policy.horizon_days {
        return None;
    }
    let is_over = due.date() <= now.date();
    if is_over && unread == 0 {
        return None;
    }
    Some(Said {
        kind: ReasonKind::DryDue,
        due,
        rank: if is_over { Rank::Soon } else { Rank::Later },
        weight: holding.policy.loss_unmeasured,
        sentence: if is_over {
            format!("dry by forecast {}, last read {last}", dry.words())
        } else {
            format!("ferments, dry {}", dry.words())
        },
        deals: MEASURE,
    })
}

/// Old enough to be over, or known to run, not measured as finished, and not measured lately.
fn unmeasured(holding: &Holding, ferment: Ferment) -> Option<Said> {
    let policy = holding.policy;
    let pitched = holding.wine.when(Deed::Pitched);
    let last = holding.wine.gravities.last();
    let age = holding.days(pitched.or(last.map(|it| it.at_ms))?);
    // One that runs by its readings, or was read and never pitched, is measured as it goes.
    let runs_as_read = ferment == Ferment::Running && last.is_some();
    if pitched.is_some() && (age as f64) < policy.ferment_days && !runs_as_read {
        return None;
    }
    let finish = holding.finished().finished;
    if finish == Finished::Yes || (finish == Finished::Unknown && last.is_some()) {
        // Equal and dry, with only the gas unsaid: that is asked at the gate.
        return None;
    }
    if finish == Finished::Steady
        && let Some(said) = stands_near_its_end(holding)
    {
        return Some(said);
    }
    let wait = if ferment == Ferment::Running {
        policy.unread_days
    } else {
        policy.steady_days
    };
    let (from_ms, wait, rank, sentence) = match (last, holding.gravity_by_parts()) {
        (Some(last), _) => {
            let rank = if ferment == Ferment::Over {
                Rank::Later
            } else {
                Rank::Soon
            };
            (
                last.at_ms,
                wait,
                rank,
                read_long_ago(holding, last, ferment),
            )
        }
        (None, Some((sg, at_ms))) => {
            let sentence = format!(
                "gravity ~{} by its parts {} ago, not measured since other wine went in",
                gravity(sg),
                span(holding.days(at_ms))
            );
            (at_ms, wait, Rank::Soon, sentence)
        }
        (None, None) => {
            let sentence = format!(
                "{} since the yeast, gravity {}",
                span(age),
                holding.unread()
            );
            (pitched?, policy.ferment_days, Rank::Soon, sentence)
        }
    };
    if (holding.days(from_ms) as f64) < wait {
        return None;
    }
    Some(Said {
        kind: ReasonKind::Unfinished,
        due: holding.now.at(from_ms).plus_days(wait as i64),
        rank,
        weight: holding.policy.loss_unmeasured,
        sentence,
        deals: MEASURE,
    })
}

/// Steady, but above a dry wine's gravity: only a test of its sugar tells whether it is finished. One that was tested since, or that
/// something keeps still, is not asked about.
fn stands_near_its_end(holding: &Holding) -> Option<Said> {
    let level = Plateau::of(holding.readings_since_sugar(), holding.policy.equal_gravity);
    let level = level.filter(|it| holding.is_steady(it))?;
    let sugar = holding.wine.known.get(&Property::Sugar);
    let is_tested = sugar.is_some_and(|it| it.at_ms >= level.since_ms);
    let is_sweetened = holding.wine.when(Deed::Sweetened).is_some();
    (!is_tested && !is_sweetened && !holding.is_kept_still()).then(|| Said {
        kind: ReasonKind::Unfinished,
        due: holding.now.at(level.until_ms),
        rank: Rank::Soon,
        weight: holding.policy.loss_unmeasured,
        sentence: format!(
            "steady at {} for {}, not shown dry: test its sugar",
            gravity(level.gravity),
            span(holding.days(level.since_ms))
        ),
        deals: ("measure", "sugar"),
    })
}

fn read_long_ago(holding: &Holding, last: &GravityReading, ferment: Ferment) -> String {
    let lacks = if ferment == Ferment::Doubtful {
        "not known whether it still ferments: measure"
    } else {
        "not yet shown finished"
    };
    format!(
        "gravity {} {} ago, {lacks}",
        gravity(last.gravity),
        span(holding.days(last.at_ms))
    )
}
