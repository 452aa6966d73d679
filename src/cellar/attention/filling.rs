//! A bottling under way.

use super::fit::Look;
use super::waiting::FIRST_OF_ALL;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::bottling::Package;
use crate::cellar::state::{Deed, Wine};
use crate::cellar::thing::{Key, field};

/// First of all: the session goes on where it stopped.
pub(super) fn rule<'a>(look: &'a Look) -> Vec<Found<'a>> {
    let cellar = look.cellar;
    let Some(run) = cellar.filling.and_then(|it| cellar.thing(it)) else {
        return Vec::new();
    };
    let filled = cellar.wine(run.key).map_or(0, Wine::bottle_count);
    let left = run
        .int(field::VESSEL)
        .and_then(|it| cellar.wine(Key(it)))
        .map(|it| it.volume);
    let left_said = left.map_or(String::new(), |it| format!(", {it} left"));
    let go_on = Suggestion::of("bottle count").with("run", run.name());
    // Once some are counted it may as well be finished as it stands.
    let suggestion = if filled > 0 {
        go_on
    } else {
        go_on.asking("filled")
    };
    let bottled = cellar.wine(run.key).and_then(|it| it.when(Deed::Bottled));
    let begun = bottled.or(run.int(field::CHORE_SINCE));
    let begun = begun.map_or(String::new(), |it| {
        format!(" on {}", cellar.now.at(it).day_words())
    });
    let why = move || {
        vec![
            format!(
                "Begun{begun} and not finished: {} so far, every one in the book.",
                Package::of(run).count(filled)
            ),
            "Wine in a vessel that is half emptied stands under air, and a bottle not yet corked beside it (common practice).".to_owned(),
        ]
    };
    vec![
        Reason {
            subject: run.key,
            kind: ReasonKind::Filling,
            due: cellar.now,
            rank: Rank::Now,
            // Wine stands open beside bottles not yet corked.
            weight: FIRST_OF_ALL,
            sentence: format!(
                "bottling under way: {} filled{left_said}",
                Package::of(run).count(filled)
            ),
            suggestion,
        }
        .because(why),
    ]
}

#[cfg(test)]
mod tests {
    use super::super::trial::{CARBOY, Cellar, RUN};
    use super::super::{attention, trial::policy};
    use super::*;
    use crate::cellar::thing::Value;

    #[test]
    fn it_comes_first_and_says_where_it_stopped() {
        let mut cellar = Cellar::with_bottles(12, 0);
        cellar.0.filling = Some(RUN);
        cellar.set(RUN, field::VESSEL, Value::Int(CARBOY.0));
        cellar.thing(CARBOY, crate::cellar::thing::Sort::Vessel, "Carboy A");
        cellar.fill(CARBOY, 7.6);
        assert_eq!(
            cellar.says_why(ReasonKind::Filling),
            "! bottling under way: 12 bottles filled, 7.6 L left"
        );
        assert_eq!(attention(&cellar.0, &policy())[0].kind, ReasonKind::Filling);
    }

    #[test]
    fn without_one_nothing_is_said() {
        assert_eq!(
            Cellar::with_bottles(12, 0).says_why(ReasonKind::Filling),
            ""
        );
    }
}
