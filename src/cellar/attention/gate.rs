//! The gate before bottling: seven questions, each answered from the book, and before them what it is marked with.

mod malo;
mod protected;
mod sound;

use super::Suggestion;
use super::finished::{Finished, Gas};
use super::holding::Holding;
use super::words::span;
use crate::cellar::entry::Property;
use crate::cellar::moment::Moment;
use crate::cellar::state::Deed;
use crate::cellar::trouble;

/// One question of the gate.
#[derive(Clone, Debug, PartialEq)]
pub struct GateItem {
    /// The question.
    pub question: &'static str,
    /// Its answer, from the book.
    pub answer: Answer,
    /// What the answer rests on, one sentence a line.
    pub evidence: Vec<String>,
    /// What to do about it; empty when the answer is yes.
    pub what_to_do: String,
    /// The verb that does it, where one does.
    pub suggestion: Option<Suggestion>,
    /// What going on regardless risks.
    pub hazard: &'static str,
}

impl GateItem {
    /// Whether going on regardless may burst a bottle.
    pub fn risks_bursting(&self) -> bool {
        self.answer != Answer::Yes && self.hazard == BURST
    }

    /// Whether going on regardless takes a reason: a no does, and what is not known where it may burst a bottle. What is missing of
    /// sulfite is given in the session itself, and asked about there.
    pub fn wants_reason(&self) -> bool {
        let is_no = self.answer == Answer::No && self.hazard != AIR;
        is_no || self.risks_bursting()
    }
}

/// Answer to a question of the gate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// Yes.
    Yes,
    /// No.
    No,
    /// The book does not say.
    NotKnown,
}

/// Refermentation in bottle, as the cautions of the program say it.
pub(super) const BURST: &str = "Sugar that ferments in a closed bottle can burst it: 4 g/L adds about 1 bar. \
Do not bottle yet; bottles already filled are chilled before they are touched, then opened outdoors \
with goggles, gloves and a towel.";
const HAZE: &str = "What has not settled goes into the bottles and stays there.";
const AIR: &str = "Wine without free SO2 browns and spoils in the bottle.";

/// The questions in order, each asked of a wine and the day it is to be bottled on.
const QUESTIONS: [fn(&Holding, Moment) -> GateItem; 7] = [
    |it, _| it.ask_finished(),
    |it, _| it.ask_degassed(),
    |it, _| it.ask_stable(),
    |it, _| it.ask_clear(),
    |it, day| it.ask_settled(day),
    |it, day| it.ask_protected(day),
    |it, day| it.ask_malo(day),
];

impl Holding<'_> {
    /// The questions to answer before bottling now, in order.
    pub fn gate(&self) -> Vec<GateItem> {
        self.gate_on(self.now)
    }

    /// The same before bottling on that day: it goes on resting until then, and whether it is
    /// protected is asked of what is expected then.
    pub fn gate_on(&self, day: Moment) -> Vec<GateItem> {
        let asked = QUESTIONS.iter().map(|ask| ask(self, day));
        self.unsound().into_iter().chain(asked).collect()
    }

    /// Whether it may be bottled now: every question is answered with yes. It stops at the first that is not.
    pub fn is_ready(&self) -> bool {
        let yes = |it: GateItem| it.answer == Answer::Yes;
        trouble::worst(self.wine).is_none() && QUESTIONS.iter().all(|ask| yes(ask(self, self.now)))
    }

    fn ask_finished(&self) -> GateItem {
        let found = self.finished();
        let wait = self.what_to_wait_for(found.warm);
        let mut evidence = found.evidence;
        let (answer, what_to_do, ask) = match found.finished {
            Finished::Yes if self.fermented_out().is_some() || found.warm == Some(true) => {
                (Answer::Yes, "", None)
            }
            Finished::Yes => (
                Answer::NotKnown,
                "Was it at 15 °C or warmer all the while? Write that down as `>15`, or measure it: readings of a cold wine prove little.",
                Some("temperature"),
            ),
            Finished::Steady => match self.stopped_by() {
                Some(barrier) => {
                    let answer = if barrier.is_sorbate {
                        Answer::NotKnown
                    } else {
                        Answer::Yes
                    };
                    evidence.extend(barrier.evidence);
                    (
                        answer,
                        "Steady but sweet: go on only if it was meant so.",
                        Some("gravity"),
                    )
                }
                None => (
                    Answer::No,
                    "It is stuck or sweet: test its sugar; below 2 g/L it is finished.",
                    Some("sugar"),
                ),
            },
            Finished::NotYet => (Answer::No, wait.as_str(), Some("gravity")),
            Finished::Unknown if self.wine.gravities.is_empty() => (
                Answer::NotKnown,
                "Measure its gravity three times over two weeks.",
                Some("gravity"),
            ),
            Finished::Unknown => (
                Answer::NotKnown,
                "Degas it, or shake a sample and look for bubbles, then measure gravity again.",
                Some("gas"),
            ),
        };
        self.item("Finished?", answer, evidence, what_to_do, ask, BURST)
    }

    fn ask_degassed(&self) -> GateItem {
        let gas = self.gas();
        let (answer, what_to_do) = match gas {
            Gas::Gone(_) | Gas::NoneFound(_) => (Answer::Yes, ""),
            Gas::There(_) => (Answer::No, "Degas it, then look again."),
            Gas::Unsaid => (
                Answer::NotKnown,
                "Shake a sample under the thumb and feel for gas.",
            ),
        };
        let evidence = vec![self.gas_line(gas)];
        self.item(
            "Degassed?",
            answer,
            evidence,
            what_to_do,
            Some("gas"),
            BURST,
        )
    }

    fn ask_clear(&self) -> GateItem {
        let (answer, line, what_to_do) = match self.word(Property::Clarity) {
            Some((word, at)) => {
                let line = format!("Found {word} on {}.", self.day(at));
                if matches!(word.as_str(), "clear" | "bright" | "brilliant") {
                    (Answer::Yes, line, "")
                } else if self.days(at) as f64 > self.policy.haze_days {
                    let line = format!("{line} That was {} ago.", span(self.days(at)));
                    (
                        Answer::NotKnown,
                        line,
                        "Look again: hold a glass before a light and write down what you see.",
                    )
                } else {
                    (
                        Answer::No,
                        line,
                        "Wait, chill, or fine it by a bench trial.",
                    )
                }
            }
            None => (
                Answer::NotKnown,
                "How clear it is was not written down.".to_owned(),
                "Hold a glass before a light and write down what you see.",
            ),
        };
        self.item(
            "Clear?",
            answer,
            vec![line],
            what_to_do,
            Some("clarity"),
            HAZE,
        )
    }

    fn ask_settled(&self, day: Moment) -> GateItem {
        let wait = self.policy.settle_days;
        let racked = self.wine.when(Deed::Racked);
        let fined = self.wine.when(Deed::Fined).filter(|it| Some(*it) > racked);
        let rest = format!("{} of rest are asked (common practice)", span(wait as i64));
        let (answer, line, what_to_do) = match (fined, racked) {
            (Some(at), _) => (
                Answer::No,
                format!("Fined on {}, and not racked off it since.", self.day(at)),
                format!("Rack it off the finings; {rest}."),
            ),
            (None, Some(racked)) => {
                let line = format!("Racked on {}; {rest}.", self.day(racked));
                let rested = self.now.at(racked).plus_days(wait.ceil() as i64);
                if day.days_since(rested) >= 0 {
                    (Answer::Yes, line, String::new())
                } else if let Some(since) = self.settled_before(racked, day) {
                    let (racked, since) = (self.day(racked), self.day(since));
                    let line = format!(
                        "Racked on {racked} for the bottling, and before it rested since {since}; {rest}."
                    );
                    (Answer::Yes, line, String::new())
                } else {
                    let until = rested.day_words();
                    (Answer::No, line, format!("Wait until {until}."))
                }
            }
            (None, None) => (
                Answer::NotKnown,
                "No racking is written down.".to_owned(),
                format!(
                    "Rack it off its sediment and let it rest {}.",
                    span(wait as i64)
                ),
            ),
        };
        self.item(
            "Settled since the last racking?",
            answer,
            vec![line],
            &what_to_do,
            None,
            HAZE,
        )
    }

    /// Since when it rested before it was racked for a bottling on that day or the day after, if that was long enough and it was
    /// not fined meanwhile.
    fn settled_before(&self, racked: i64, day: Moment) -> Option<i64> {
        let racked = self.now.at(racked);
        let fined = self.wine.when(Deed::Fined);
        let since = self
            .wine
            .when(Deed::RackedBefore)
            .filter(|it| fined < Some(*it))?;
        let rest = racked.days_since(self.now.at(since)) as f64;
        let is_for_it = day.days_since(racked) <= 1;
        (is_for_it && rest >= self.policy.settle_days).then_some(since)
    }

    /// Puts an item together; `ask` is the field of `measure` that would tell.
    pub(super) fn item(
        &self,
        question: &'static str,
        answer: Answer,
        evidence: Vec<String>,
        what_to_do: &str,
        ask: Option<&'static str>,
        hazard: &'static str,
    ) -> GateItem {
        let measure = |field| {
            Suggestion::of("measure")
                .with("place", self.place.name())
                .asking(field)
        };
        let is_open = answer != Answer::Yes;
        GateItem {
            question,
            answer,
            evidence,
            what_to_do: if is_open {
                what_to_do.to_owned()
            } else {
                String::new()
            },
            suggestion: ask.filter(|_| is_open).map(measure),
            hazard,
        }
    }
}

#[cfg(test)]
mod tests;
