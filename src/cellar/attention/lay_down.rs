//! Bottles standing under cork, to be laid down.

use super::fit::Look;
use super::holding::Holding;
use super::look::may_burst;
use super::refermenting::is_unseen;
use super::withheld::is_marked_undrinkable;
use super::words::{count, span};
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::entry::Posture;
use crate::cellar::state::Deed;
use crate::cellar::thing::{field, must_stay_moist};

/// Corked bottles that have stood long enough for their corks to spring back.
pub(super) fn rule<'a>(holding: &'a Holding, look: &'a Look) -> Option<Found<'a>> {
    let run = holding.place;
    let closure = run.text(field::CLOSURE);
    // Nothing said counts as cork.
    if look.cellar.filling == Some(run.key) || !(closure.is_empty() || must_stay_moist(closure)) {
        return None;
    }
    let lots = holding.wine.bottles.iter();
    let standing: i64 = lots
        .filter(|it| it.posture == Posture::Standing)
        .map(|it| it.count)
        .sum();
    if standing <= 0 || may_burst(holding) || is_unseen(holding) || is_marked_undrinkable(holding) {
        return None;
    }
    let filled = holding
        .wine
        .when(Deed::Bottled)
        .or(run.int(field::FINISHED))
        .or(holding.wine.when(Deed::Begun));
    let due = filled.map_or(holding.now, |it| {
        holding
            .now
            .at(it)
            .plus_days(holding.policy.stand_days as i64)
    });
    let stood = filled.map_or("how long is not known".to_owned(), |it| {
        format!("standing {}", span(holding.days(it)))
    });
    let since = filled.map_or(String::new(), |it| {
        format!("Filled on {}. ", holding.day(it))
    });
    let if_corked = if closure.is_empty() {
        ", if corked"
    } else {
        ""
    };
    let why = move || {
        vec![
        format!(
            "{since}A cork springs back within a day; bottles stand one to three days, two hours at least (cork makers), and are laid down so that the cork stays moist."
        ),
        "Look at each cork as you turn its bottle: one that has risen stands for gas or warmth.".to_owned(),
    ]
    };
    Some(
        Reason {
            subject: run.key,
            kind: ReasonKind::LayDown,
            due,
            rank: if due.days_since(holding.now) <= 1 {
                Rank::Soon
            } else {
                Rank::Later
            },
            weight: holding.litres() * holding.policy.loss_standing,
            sentence: format!("lay down {}: {stood}{if_corked}", count(standing, "bottle")),
            suggestion: Suggestion::of("lay-down")
                .with("run", run.name())
                .asking("where"),
        }
        .because(why),
    )
}

#[cfg(test)]
mod tests {
    use super::super::trial::{Cellar, RUN};
    use super::*;

    fn check(days: i64, closure: &str, expected: &str) {
        let mut cellar = Cellar::with_bottles(29, days);
        cellar.set(RUN, field::CLOSURE, closure);
        assert_eq!(cellar.says_why(ReasonKind::LayDown), expected);
    }

    #[test]
    fn corked_bottles_stand_one_to_three_days() {
        check(0, "cork", "  lay down 29 bottles: standing 0 days");
        check(2, "cork", "› lay down 29 bottles: standing 2 days");
        check(9, "natural cork", "› lay down 29 bottles: standing 9 days");
        check(2, "", "› lay down 29 bottles: standing 2 days, if corked");
    }

    #[test]
    fn it_falls_due_on_the_third_day() {
        let cellar = Cellar::with_bottles(29, 2);
        let reason = cellar.reason(ReasonKind::LayDown).unwrap();
        assert_eq!(reason.due.days_since(cellar.0.now), 1);
    }

    #[test]
    fn caps_need_no_laying_down() {
        check(9, "screw-cap", "");
        check(9, "crown-cap", "");
        check(9, "stopper", "");
        check(9, "synthetic cork", "");
    }

    #[test]
    fn bottles_that_lie_or_are_still_being_filled_are_left_alone() {
        let mut cellar = Cellar::with_bottles(29, 2);
        cellar.wine().bottles[0].posture = Posture::Lying;
        assert_eq!(cellar.says_why(ReasonKind::LayDown), "");
        let mut cellar = Cellar::with_bottles(29, 2);
        cellar.0.filling = Some(RUN);
        assert_eq!(cellar.says_why(ReasonKind::LayDown), "");
    }
}
