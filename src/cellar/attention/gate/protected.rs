//! Whether a wine has the sulfite that it needs on the day it is bottled, and not too much.

use super::super::Suggestion;
use super::super::holding::Holding;
use super::super::words::span;
use super::{AIR, Answer, GateItem};
use crate::cellar::moment::Moment;
use crate::cellar::state::Deed;

impl Holding<'_> {
    pub(super) fn ask_protected(&self, day: Moment) -> GateItem {
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
}
