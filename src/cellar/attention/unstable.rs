//! Sweetened wine that nothing keeps from fermenting again.

use super::fit::Look;
use super::holding::Holding;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::state::Deed;

/// From the sugar on, until it is stabilised, tested dry, or seen to ferment, which is asked about otherwise.
pub(super) fn rule<'a>(holding: &'a Holding, _: &'a Look) -> Option<Found<'a>> {
    let sweetened = holding.wine.when(Deed::Sweetened)?;
    if holding.ferment().may_work() || holding.is_kept_still() {
        return None;
    }
    let why = move || {
        let mut lines = vec![format!(
            "Sweetened on {}, and yeast lives on in clear wine for months (common practice).",
            holding.day(sweetened)
        )];
        let item = holding.ask_stable();
        lines.extend(item.evidence);
        lines.push(
            "Under an airlock gas gets out; a solid bung is driven out, and closed bottles burst."
                .to_owned(),
        );
        lines.push(item.what_to_do);
        lines
    };
    Some(
        Reason {
            subject: holding.place.key,
            kind: ReasonKind::Unstable,
            due: holding.now.at(sweetened),
            rank: Rank::Soon,
            weight: holding.litres() * holding.policy.loss_unstable,
            sentence: "sweetened, may ferment again: airlock, no bung".to_owned(),
            suggestion: Suggestion::of("stabilise")
                .with("place", holding.place.name())
                .asking("sorbate")
                .asking("sulfite"),
        }
        .because(why),
    )
}

#[cfg(test)]
mod tests {
    use super::super::trial::Cellar;
    use super::*;
    use crate::cellar::amount::Mass;
    use crate::cellar::entry::Property;

    fn check(build: impl FnOnce(&mut Cellar), expected: &str) {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.finished();
        build(&mut cellar);
        assert_eq!(cellar.says_why(ReasonKind::Unstable), expected);
    }

    #[test]
    fn sugar_that_nothing_keeps_from_fermenting_is_said() {
        let said = "› sweetened, may ferment again: airlock, no bung";
        let sweetened = |it: &mut Cellar| _ = it.did(Deed::Sweetened, 5);
        check(|_| (), "");
        check(sweetened, said);
        // Sorbate without sulfite, and a filtration before the sugar, keep nothing from it.
        check(
            |it| _ = it.did(Deed::Sweetened, 5).did(Deed::Sorbated, 5),
            said,
        );
        check(
            |it| _ = it.did(Deed::SterileFiltered, 9).did(Deed::Sweetened, 5),
            said,
        );
        check(
            |it| _ = it.did(Deed::Sweetened, 5).did(Deed::SterileFiltered, 1),
            "",
        );
        // By the table 180 mg/L at pH 3.3 and 11 % vol, which is 4.1 g (T. Underhill), beside 45 mg/L of SO2.
        let stabilised = |it: &mut Cellar| {
            it.knows(Property::Ph, 3.3, 2);
            it.knows(Property::Alcohol, 11.0, 2);
            it.wine().weighed.sorbate = Mass::grams(4.13);
            it.did(Deed::Sorbated, 5).sulfited(45.0, 5);
            it.did(Deed::Sweetened, 5);
        };
        check(stabilised, "");
        // What it ferments down again is asked about as a ferment.
        let falls = |it: &mut Cellar| {
            it.did(Deed::Sweetened, 9);
            it.gravities(&[(40, 0.995), (30, 0.995), (8, 1.012), (1, 1.006)]);
        };
        check(falls, "");
    }
}
