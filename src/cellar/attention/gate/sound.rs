//! A wine that is marked as troubled is not bottled until that is over.

use super::super::holding::Holding;
use super::{Answer, GateItem};
use crate::cellar::trouble;

const UNSOUND: &str = "What is wrong with the wine is then in every bottle, and goes along with those that are given away.";

impl Holding<'_> {
    /// The worst that it is marked with; nothing where nobody marked it, and then nothing is asked.
    pub(super) fn unsound(&self) -> Option<GateItem> {
        let (fault, since) = trouble::worst(self.wine)?;
        let mut evidence = vec![format!(
            "Marked with {} on {}. Safe to drink? {}",
            fault.name,
            self.day(since),
            fault.drink
        )];
        let others = self.wine.troubles.len() - 1;
        evidence.extend((others > 0).then(|| format!("It is marked with {others} more.")));
        Some(GateItem {
            question: "Sound?",
            answer: Answer::No,
            evidence,
            what_to_do: fault.never.first().map_or_else(
                || "Do not bottle it until that is over.".to_owned(),
                |never| format!("{never} Do not bottle it until that is over."),
            ),
            suggestion: Some(super::super::trouble::answer(
                self,
                fault.word,
                Some(fault.safety),
            )),
            hazard: UNSOUND,
        })
    }
}
