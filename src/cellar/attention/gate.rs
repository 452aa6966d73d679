//! The gate before bottling: seven questions, each answered from the book.

use super::Suggestion;
use super::finished::{Finished, Gas};
use super::holding::Holding;
use super::words::span;
use crate::cellar::entry::Property;
use crate::cellar::moment::Moment;
use crate::cellar::state::Deed;
use crate::cellar::thing::{Malo, field};

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
    /// Whether going on regardless may burst a bottle; that takes a reason, and the rest a question.
    pub fn risks_bursting(&self) -> bool {
        self.answer != Answer::Yes && self.hazard == BURST
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
const MALO: &str = "Bacteria at work in the bottle leave gas, haze and off smells.";

/// The questions in order, each asked of a wine and the day it is to be bottled on.
const QUESTIONS: [fn(&Holding, Moment) -> GateItem; 7] = [
    |it, _| it.ask_finished(),
    |it, _| it.ask_degassed(),
    |it, _| it.ask_stable(),
    |it, _| it.ask_clear(),
    |it, day| it.ask_settled(day),
    |it, day| it.ask_protected(day),
    |it, _| it.ask_malo(),
];

impl Holding<'_> {
    /// The questions to answer before bottling now, in order.
    pub fn gate(&self) -> Vec<GateItem> {
        self.gate_on(self.now)
    }

    /// The same before bottling on that day: it goes on resting until then, and whether it is
    /// protected is asked of what is expected then.
    pub fn gate_on(&self, day: Moment) -> Vec<GateItem> {
        QUESTIONS.iter().map(|ask| ask(self, day)).collect()
    }

    /// Whether it may be bottled now: every question is answered with yes. It stops at the first that is not.
    pub fn is_ready(&self) -> bool {
        let yes = |it: GateItem| it.answer == Answer::Yes;
        QUESTIONS.iter().all(|ask| yes(ask(self, self.now)))
    }

    fn ask_finished(&self) -> GateItem {
        let found = self.finished();
        let wait = self.what_to_wait_for(found.warm);
        let mut evidence = found.evidence;
        let (answer, what_to_do, ask) = match found.finished {
            Finished::Yes if self.is_tested_dry() || found.warm == Some(true) => {
                (Answer::Yes, "", None)
            }
            Finished::Yes => (
                Answer::NotKnown,
                "Was it at 15 °C or warmer all the while? Write that down as `>15`, or measure it: readings of a cold wine prove little.",
                Some("temperature"),
            ),
            Finished::Steady => match self.stopped_by() {
                Some(line) => {
                    let is_certain = !line.contains("sorbate");
                    evidence.push(line);
                    let answer = if is_certain {
                        Answer::Yes
                    } else {
                        Answer::NotKnown
                    };
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
        let (answer, line, what_to_do) = match self.wine.when(Deed::Racked) {
            Some(at) => {
                let line = format!(
                    "Racked on {}; {wait:.0} days of rest are asked (common practice).",
                    self.day(at)
                );
                let rested = self.now.at(at).plus_days(wait.ceil() as i64);
                if day.days_since(rested) >= 0 {
                    (Answer::Yes, line, String::new())
                } else {
                    let until = rested.day_words();
                    (Answer::No, line, format!("Wait until {until}."))
                }
            }
            None => (
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

    fn ask_protected(&self, day: Moment) -> GateItem {
        if let Some(said) = self.too_much_so2() {
            let what = "Give no more, and bottle none before total SO2 was tested.";
            let evidence = vec![format!("More than enough went in: {said}.")];
            return self.item(
                "Protected?",
                Answer::No,
                evidence,
                what,
                Some("total-so2"),
                AIR,
            );
        }
        let Some(band) = self.expected_free_so2_at(day) else {
            let line = match self.days_since(Deed::Sulfited) {
                Some(days) => format!(
                    "Free SO2 was {}; sulfite was last added {} ago.",
                    self.unread(),
                    span(days)
                ),
                None => format!(
                    "Free SO2 was {}, and no sulfite is written down.",
                    self.unread()
                ),
            };
            if !self.tests_so2 {
                return self.protected_by_thumb(line);
            }
            let what = "Measure free SO2 and pH, or sulfite by the rule of thumb.";
            return self.item(
                "Protected?",
                Answer::NotKnown,
                vec![line],
                what,
                Some("free-so2"),
                AIR,
            );
        };
        let mut evidence = vec![match day.days_since(self.now) {
            1.. => format!("Free SO2 expected on {}: {band} mg/L.", day.day_words()),
            _ => format!("Free SO2 expected now: {band} mg/L."),
        }];
        let (answer, what_to_do, ask) = match band.aim {
            None => (
                Answer::NotKnown,
                "Measure its pH: the aim follows from it.",
                "ph",
            ),
            Some(aim) => {
                evidence.push(self.aim_line(aim));
                if band.mid < aim - self.margin(aim) {
                    (
                        Answer::No,
                        "Dose it to its aim a day or two before bottling.",
                        "free-so2",
                    )
                } else if band.low < aim - self.margin(aim) && self.reading_is_old() {
                    (
                        Answer::NotKnown,
                        "Measure free SO2: the forecast is old.",
                        "free-so2",
                    )
                } else {
                    if band.mid < aim {
                        evidence.push(format!(
                            "It may be {:.0} mg/L short of it, less than a home test can tell.",
                            aim - band.mid
                        ));
                    }
                    (Answer::Yes, "", "free-so2")
                }
            }
        };
        let mut item = self.item("Protected?", answer, evidence, what_to_do, Some(ask), AIR);
        if answer == Answer::No {
            item.suggestion = Some(Suggestion::of("dose").with("place", self.place.name()));
        }
        item
    }

    /// Who has no test goes by what was added lately.
    fn protected_by_thumb(&self, line: String) -> GateItem {
        let days = self.days_since(Deed::Sulfited);
        let lately = days.is_some_and(|it| (it as f64) < self.policy.sulfite_days);
        let answer = if lately {
            Answer::Yes
        } else {
            Answer::NotKnown
        };
        let what = "Sulfite it by the rule of thumb a day or two before bottling.";
        let mut item = self.item("Protected?", answer, vec![line], what, None, AIR);
        if !lately {
            item.suggestion = Some(Suggestion::of("dose").with("place", self.place.name()));
        }
        item
    }

    fn ask_malo(&self) -> GateItem {
        let started = self.wine.when(Deed::MaloStarted).is_some();
        let (answer, line, what_to_do) = if self.malo_is_finished() {
            (Answer::Yes, "Malolactic was found finished.", "")
        } else if started {
            (
                Answer::No,
                "Bacteria were added and not yet found finished.",
                "Test malic acid.",
            )
        } else {
            match self.malo() {
                Malo::Unwanted => (Answer::Yes, "Malolactic is not wanted.", ""),
                // Juice of a kit is made up and sulfited so that no bacteria work in it.
                Malo::Unknown if self.is_of_a_kit() => {
                    (Answer::Yes, "A kit's juice takes no malolactic.", "")
                }
                Malo::Wanted => (
                    Answer::No,
                    "Malolactic is wanted and was not found finished.",
                    "Test malic acid, or decide against it.",
                ),
                Malo::Unknown => (
                    Answer::NotKnown,
                    "Whether malolactic is wanted was not decided.",
                    "Test malic acid, or decide against it.",
                ),
            }
        };
        let mut evidence = vec![line.to_owned()];
        evidence.extend(self.malo_course().and_then(|it| it.end_line(self)));
        self.item(
            "Malolactic finished or not wanted?",
            answer,
            evidence,
            what_to_do,
            Some("malic"),
            MALO,
        )
    }

    fn is_of_a_kit(&self) -> bool {
        self.batch.is_some_and(|it| it.text(field::KIND) == "kit")
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
mod tests {
    use super::super::trial::{BATCH, Cellar, NOW, policy};
    use super::*;

    fn check(question: &str, build: impl Fn(&mut Cellar), answer: Answer, evidence: &str) {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.finished();
        build(&mut cellar);
        let gate = cellar.holding(&policy()).gate();
        let item = gate.iter().find(|it| it.question == question).unwrap();
        assert_eq!(item.answer, answer, "{item:#?}");
        assert!(item.evidence.iter().any(|it| it == evidence), "{item:#?}");
        assert_eq!(item.what_to_do.is_empty(), answer == Answer::Yes);
        assert!(!item.hazard.is_empty());
        if let Some(suggestion) = &item.suggestion {
            cellar.can_do(suggestion);
        }
    }

    /// What decides whether bottles may burst is said by the person, and never filled in beforehand.
    #[test]
    fn the_warmth_that_is_asked_is_not_filled_in() {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.finished();
        for property in [Property::Temperature, Property::Sugar] {
            cellar.wine().known.remove(&property);
        }
        let gate = cellar.holding(&policy()).gate();
        let suggestion = gate[0].suggestion.as_ref().unwrap();
        assert_eq!(suggestion.needs, ["temperature"]);
        assert!(suggestion.values.iter().all(|it| it.0 == "place"));
    }

    #[test]
    fn finished_needs_a_temperature_or_a_sugar_test() {
        let ask = "Finished?";
        let gravity = "Gravity 0.995, 3 equal readings over 18 days to 24 Sep 2026; 3 equal readings over 14 days are asked (common practice).";
        check(ask, |_| (), Answer::Yes, gravity);
        let unknown = |it: &mut Cellar| _ = it.wine().known.remove(&Property::Temperature);
        check(ask, unknown, Answer::NotKnown, gravity);
        let tested = |it: &mut Cellar| {
            unknown(it);
            it.knows(Property::Sugar, 1.0, 5);
        };
        check(ask, tested, Answer::Yes, gravity);
        // Sweetened since: the temperature that counts is that of the dry readings before.
        let sweetened = |it: &mut Cellar| {
            it.did(Deed::Sweetened, 30);
            it.gravities(&[
                (80, 0.995),
                (70, 0.995),
                (62, 0.995),
                (29, 1.005),
                (5, 1.005),
            ]);
        };
        check(ask, sweetened, Answer::Yes, gravity);
        let none = |it: &mut Cellar| it.gravities(&[]);
        check(ask, none, Answer::NotKnown, "No gravity was measured.");
    }

    #[test]
    fn steady_above_the_end_is_no_unless_something_stopped_it() {
        let stuck = |it: &mut Cellar| it.gravities(&[(40, 1.010), (30, 1.010), (20, 1.010)]);
        let line = "1.010 is above 0.996 and sugar was not tested below 2 g/L: steady there is stuck, not finished.";
        check("Finished?", stuck, Answer::No, line);
        let filtered = move |it: &mut Cellar| {
            stuck(it);
            it.did(Deed::SterileFiltered, 20);
            it.knows(Property::Temperature, 18.0, 20);
        };
        check(
            "Finished?",
            filtered,
            Answer::Yes,
            "Filtered sterile on 5 Nov 2026.",
        );
        let sorbated = move |it: &mut Cellar| {
            stuck(it);
            it.did(Deed::Sorbated, 20).did(Deed::Sulfited, 20);
            it.knows(Property::Temperature, 18.0, 20);
        };
        let line = "Stabilised with sorbate and sulfite on 5 Nov 2026.";
        check("Finished?", sorbated, Answer::NotKnown, line);
    }

    #[test]
    fn degassed_clear_and_settled_are_asked() {
        check("Degassed?", |_| (), Answer::Yes, "Degassed, 26 Sep 2026.");
        check(
            "Degassed?",
            |it| _ = it.never(Deed::Degassed),
            Answer::NotKnown,
            "Whether it was degassed is not written down.",
        );
        check(
            "Clear?",
            |it| _ = it.says(Property::Clarity, "Hazy", 3),
            Answer::No,
            "Found hazy on 22 Nov 2026.",
        );
        check(
            "Clear?",
            |_| (),
            Answer::NotKnown,
            "How clear it is was not written down.",
        );
        check(
            "Settled since the last racking?",
            |it| _ = it.did(Deed::Racked, 5),
            Answer::No,
            "Racked on 20 Nov 2026; 14 days of rest are asked (common practice).",
        );
    }

    #[test]
    fn protected_compares_the_forecast_with_the_aim() {
        let ask = "Protected?";
        let at = |free, days| {
            move |it: &mut Cellar| {
                it.knows(Property::Ph, 3.3, 2)
                    .knows(Property::FreeSo2, free, days);
            }
        };
        check(
            ask,
            at(26.0, 0),
            Answer::Yes,
            "Free SO2 expected now: ~26 (23–29) mg/L.",
        );
        check(
            ask,
            at(15.0, 0),
            Answer::No,
            "Free SO2 expected now: ~15 (12–18) mg/L.",
        );
        check(
            ask,
            |_| (),
            Answer::NotKnown,
            "Free SO2 was never measured; sulfite was last added 60 days ago.",
        );
    }

    #[test]
    fn malolactic_is_finished_or_not_wanted() {
        let ask = "Malolactic finished or not wanted?";
        check(ask, |_| (), Answer::Yes, "Malolactic is not wanted.");
        let started = |it: &mut Cellar| _ = it.did(Deed::MaloStarted, 20);
        check(
            ask,
            started,
            Answer::No,
            "Bacteria were added and not yet found finished.",
        );
        let gone = move |it: &mut Cellar| {
            started(it);
            it.did(Deed::MaloFinished, 2);
        };
        check(ask, gone, Answer::Yes, "Malolactic was found finished.");
        let undecided = |it: &mut Cellar| _ = it.set(BATCH, field::MALO, "");
        check(
            ask,
            undecided,
            Answer::NotKnown,
            "Whether malolactic is wanted was not decided.",
        );
        let kit = move |it: &mut Cellar| {
            undecided(it);
            it.set(BATCH, field::KIND, "kit");
        };
        check(ask, kit, Answer::Yes, "A kit's juice takes no malolactic.");
    }

    /// 30 mg/L now are enough at pH 3.3, whose aim is 26; 90 days at 0.4 a day in a hundred leave 21.
    #[test]
    fn whether_it_is_protected_is_asked_of_the_day_it_is_bottled() {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.finished().knows(Property::Ph, 3.3, 0);
        cellar.knows(Property::FreeSo2, 30.0, 0);
        let policy = policy();
        let holding = cellar.holding(&policy);
        let protected = |days: i64| {
            let gate = holding.gate_on(NOW.plus_days(days));
            let item = gate.into_iter().find(|it| it.question == "Protected?");
            item.unwrap()
        };
        assert_eq!(protected(0).answer, Answer::Yes);
        let late = protected(90);
        assert_eq!(late.answer, Answer::No);
        assert!(late.evidence[0].starts_with("Free SO2 expected on 23 Feb 2027: ~21 ("));
    }
}
