//! Whether a wine has the sulfite that it needs on the day it is bottled, and not too much.

use super::super::Suggestion;
use super::super::free_so2::Band;
use super::super::given::PRESUMED_BY;
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
            return self.protected(Answer::No, evidence, what, Some("total-so2"));
        }
        match self.expected_free_so2_at(day) {
            Some(band) => self.protected_by_forecast(&band, day),
            None => self.protected_by_what_went_in(day),
        }
    }

    fn protected_by_forecast(&self, band: &Band, day: Moment) -> GateItem {
        let mut evidence = vec![match day.days_since(self.now) {
            1.. => format!("Free SO2 expected on {}: {band} mg/L.", day.day_words()),
            _ => format!("Free SO2 expected now: {band} mg/L."),
        }];
        let Some(aim) = band.aim else {
            let what = "Measure its pH: the aim follows from it.";
            return self.protected(Answer::NotKnown, evidence, what, Some("ph"));
        };
        evidence.push(self.aim_line(aim));
        let least = aim - self.margin(aim);
        if band.mid < least {
            let what = "Dose it to its aim a day or two before bottling.";
            let item = self.protected(Answer::No, evidence, what, Some("free-so2"));
            return self.to_dose(item);
        }
        if band.low < least && self.reading_is_old() {
            let what = "Measure free SO2: the forecast is old.";
            return self.protected(Answer::NotKnown, evidence, what, Some("free-so2"));
        }
        if band.mid < aim {
            evidence.push(format!(
                "It may be {:.0} mg/L short of it, less than a home test can tell.",
                aim - band.mid
            ));
        }
        self.protected(Answer::Yes, evidence, "", Some("free-so2"))
    }

    /// What is presumed of a wine without a test is told, and answers nothing: it is no measurement.
    fn protected_by_what_went_in(&self, day: Moment) -> GateItem {
        let unread = self.unread();
        let line = match self.days_since(Deed::Sulfited) {
            Some(days) => format!(
                "Free SO2 was {unread}; sulfite was last added {} ago.",
                span(days)
            ),
            None => format!("Free SO2 was {unread}, and no sulfite is written down."),
        };
        let presumed = self.presumed_free_so2_at(day);
        let mut evidence = vec![line];
        if let Some(band) = presumed {
            evidence.push(match day.days_since(self.now) {
                1.. => format!(
                    "Free SO2 presumed on {}: {band} mg/L, {PRESUMED_BY}.",
                    day.day_words()
                ),
                _ => format!("Free SO2 presumed now: {band} mg/L, {PRESUMED_BY}."),
            });
            evidence.extend(band.aim.map(|it| self.aim_line(it)));
        }
        if !self.tests_so2 {
            let is_short = presumed.is_some_and(|it| self.is_short(&it));
            return self.protected_by_thumb(evidence, is_short);
        }
        let what = "Measure free SO2 and pH, or sulfite by the rule of thumb.";
        self.protected(Answer::NotKnown, evidence, what, Some("free-so2"))
    }

    /// Who has no test goes by what was added lately, unless it is presumed to be too little.
    fn protected_by_thumb(&self, evidence: Vec<String>, is_short: bool) -> GateItem {
        let days = self.days_since(Deed::Sulfited);
        let lately = days.is_some_and(|it| (it as f64) < self.policy.sulfite_days) && !is_short;
        let answer = if lately {
            Answer::Yes
        } else {
            Answer::NotKnown
        };
        let what = "Sulfite it by the rule of thumb a day or two before bottling.";
        let item = self.protected(answer, evidence, what, None);
        if lately { item } else { self.to_dose(item) }
    }

    fn protected(
        &self,
        answer: Answer,
        evidence: Vec<String>,
        what_to_do: &'static str,
        ask: Option<&'static str>,
    ) -> GateItem {
        self.item("Protected?", answer, evidence, what_to_do, ask, AIR)
    }

    /// The same, put right by a dose in place of a measurement.
    fn to_dose(&self, item: GateItem) -> GateItem {
        let dose = Suggestion::of("dose").with("place", self.place.name());
        GateItem {
            suggestion: Some(dose),
            ..item
        }
    }
}
