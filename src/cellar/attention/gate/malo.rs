//! Whether bacteria would work in the bottle: malolactic finished, not wanted, or kept away.

use super::{Answer, GateItem};
use crate::cellar::attention::Suggestion;
use crate::cellar::attention::holding::Holding;
use crate::cellar::entry::Property;
use crate::cellar::moment::Moment;
use crate::cellar::state::Deed;
use crate::cellar::thing::{Malo, field};

const MALO: &str = "Bacteria at work in the bottle leave gas, haze and off smells.";
const TAINT: &str =
    "Malolactic bacteria turn sorbate into geranium taint, which nothing cures (common practice).";

impl Holding<'_> {
    pub(super) fn ask_malo(&self, day: Moment) -> GateItem {
        let started = self.wine.when(Deed::MaloStarted).is_some();
        let (answer, line, what_to_do) = if self.malo_is_finished() {
            (Answer::Yes, "Malolactic was found finished.", "")
        } else if started {
            (
                Answer::No,
                "Bacteria were added and not yet found finished.",
                "Test malic acid.",
            )
        } else if let Some(sorbated) = self.wine.when(Deed::Sorbated) {
            self.beside_sorbate(sorbated, day)
        } else {
            match self.malo() {
                // A wish keeps no bacteria away.
                Malo::Unwanted if self.has_malic() && !self.is_protected(day) => (
                    Answer::NotKnown,
                    "Malolactic is not wanted, and by its test there is malic acid for bacteria to work on.",
                    "Sulfite that meets its aim keeps them away as a rule; so does sterile filtering.",
                ),
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
                    "Decide whether it is wanted; if it is, test malic acid.",
                ),
            }
        };
        let mut evidence = vec![line.to_owned()];
        let is_sorbated = self.wine.when(Deed::Sorbated).is_some();
        evidence.extend(Some(TAINT.to_owned()).filter(|_| is_sorbated && answer != Answer::Yes));
        evidence.extend(self.malo_course().and_then(|it| it.end_line(self)));
        let question = "Malolactic finished or not wanted?";
        let mut item = self.item(question, answer, evidence, what_to_do, Some("malic"), MALO);
        if answer == Answer::NotKnown {
            item.suggestion = match (self.malo(), self.batch) {
                // What nobody decided is no matter of measuring.
                (Malo::Unknown, Some(batch)) if !is_sorbated => {
                    let decide = Suggestion::of("batch change").with("batch", batch.name());
                    Some(decide.asking("malo"))
                }
                (Malo::Unwanted | Malo::Unknown, _) => {
                    Some(Suggestion::of("dose").with("place", self.place.name()))
                }
                _ => item.suggestion,
            };
        }
        item
    }

    /// What sorbate was given to takes no malolactic any more: whether bacteria are kept from it is a matter of its sulfite.
    fn beside_sorbate(&self, sorbated: i64, day: Moment) -> (Answer, &'static str, &'static str) {
        let sulfited = self.wine.when(Deed::Sulfited);
        let is_beside = |it: i64| self.now.at(it).days_since(self.now.at(sorbated)) >= -1;
        let is_sulfited = sulfited.is_some_and(is_beside);
        let protected = self.ask_protected(day).answer;
        let is_filtered = self.wine.when(Deed::SterileFiltered) >= Some(sorbated);
        let holds = is_filtered
            || protected == Answer::Yes
            || (is_sulfited
                && (self.is_of_a_kit() || (protected != Answer::No && !self.has_malic())));
        if self.malo() == Malo::Wanted {
            let line = "Malolactic is wanted, and sorbate is in it.";
            (
                Answer::No,
                line,
                "Decide against it, and keep bacteria away with sulfite.",
            )
        } else if holds {
            (
                Answer::Yes,
                "Sorbate is in it, and what keeps bacteria away.",
                "",
            )
        } else if is_sulfited {
            let line = "Sorbate is in it, and its sulfite does not surely keep bacteria away.";
            (
                Answer::NotKnown,
                line,
                "Sulfite that meets its aim keeps them away as a rule.",
            )
        } else {
            let line = "Sorbate is in it, and no sulfite was given with it.";
            (
                Answer::NotKnown,
                line,
                "Give sulfite to its aim, which keeps bacteria away as a rule.",
            )
        }
    }

    /// Whether it was tested for malic acid; that it was found gone is asked before.
    fn has_malic(&self) -> bool {
        self.wine.known.contains_key(&Property::Malic)
    }

    fn is_protected(&self, day: Moment) -> bool {
        self.wine.when(Deed::SterileFiltered).is_some()
            || self.ask_protected(day).answer == Answer::Yes
    }

    fn is_of_a_kit(&self) -> bool {
        self.batch.is_some_and(|it| it.text(field::KIND) == "kit")
    }
}
