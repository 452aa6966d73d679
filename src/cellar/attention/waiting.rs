//! What waiting costs, on the one scale by which reasons of a rank are ordered: litres of wine that
//! one more week is expected to cost, which is the litres at stake times the share of them that a
//! week costs (`loss_…` of the policy, all house estimates). What may hurt someone comes before any
//! wine, and a bottling under way before everything.

use super::Reason;

/// Added where glass may burst: more than any cellar holds, litres.
pub(super) const DANGER: f64 = 1e9;

/// A bottling under way.
pub(super) const FIRST_OF_ALL: f64 = 1e12;

/// Less than this nobody is told of, litres: a glass.
const LEAST_SAID: f64 = 0.1;

impl Reason {
    /// Litres that a week of waiting may cost, if it is wine that is lost, and worth a word.
    pub fn loss_in_a_week(&self) -> Option<f64> {
        (LEAST_SAID..DANGER)
            .contains(&self.weight)
            .then_some(self.weight)
    }

    /// The same as a line of its working.
    pub(super) fn waiting(&self) -> Option<String> {
        let litres = self.loss_in_a_week()?;
        Some(format!(
            "Left for a week it may cost about {litres:.1} L of wine (house estimate); what may cost more comes before it."
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::super::trial::{CARBOY, Cellar, RUN, policy};
    use super::super::{Rank, Reason, ReasonKind, attention};
    use crate::cellar::entry::Property;
    use crate::cellar::state::Deed;
    use crate::cellar::thing::{Value, field};

    fn of(kind: ReasonKind, cellar: &Cellar) -> Reason {
        let all = attention(&cellar.0, &policy());
        let found = all.iter().find(|it| it.kind == kind);
        found
            .unwrap_or_else(|| panic!("no {kind:?}: {all:#?}"))
            .clone()
    }

    /// A finished wine of so many litres in a vessel that holds so many, changed by what is amiss.
    fn wine(kind: ReasonKind, holds: f64, litres: f64, change: impl Fn(&mut Cellar)) -> Reason {
        let mut cellar = Cellar::with_vessel(holds, litres);
        cellar.finished();
        change(&mut cellar);
        of(kind, &cellar)
    }

    fn bottles(kind: ReasonKind, days: i64, change: impl Fn(&mut Cellar)) -> Reason {
        let mut cellar = Cellar::with_bottles(6, days);
        change(&mut cellar);
        of(kind, &cellar)
    }

    #[track_caller]
    fn check(first: &Reason, then: &Reason) {
        let key = |it: &Reason| (it.rank, -it.weight);
        assert!(
            key(first) < key(then),
            "{first:#?}\nis not before\n{then:#?}"
        );
    }

    #[test]
    fn what_costs_more_by_waiting_comes_first() {
        use ReasonKind::*;
        let open = wine(Headspace, 23.0, 18.0, |_| ());
        let a_litre = wine(Headspace, 23.0, 22.0, |_| ());
        let low = |litres: f64, free| {
            wine(SulfiteLow, litres + 0.1, litres, move |it| {
                it.knows(Property::Ph, 3.4, 5)
                    .knows(Property::FreeSo2, free, 5);
            })
        };
        let unprotected = wine(MaloUnprotected, 23.0, 22.9, |it| {
            _ = it.did(Deed::MaloFinished, 8);
        });
        let lees = wine(Lees, 23.0, 22.9, |it| {
            it.never(Deed::Racked)
                .gravities(&[(80, 1.085), (40, 0.996)]);
        });
        let stuck = wine(Stuck, 10.0, 9.9, |it| {
            it.never(Deed::Racked).never(Deed::Sulfited);
            it.gravities(&[(40, 1.010), (30, 1.010), (20, 1.010)]);
        });
        let rising = bottles(Amiss, 9, |it| _ = it.says(Property::Corks, "rising", 1));
        let look = bottles(Look, 3, |_| ());
        let lay_down = bottles(LayDown, 5, |it| _ = it.says(Property::Corks, "level", 1));
        let jot = {
            let mut cellar = Cellar::empty();
            let entry = (
                crate::cellar::thing::Key(7),
                cellar.0.now,
                "label".to_owned(),
            );
            cellar.0.jots.push(entry);
            of(Jot, &cellar)
        };
        let round = wine(Round, 23.0, 22.9, |it| it.0.last_round_ms = None);
        let late = wine(Lees, 23.0, 22.9, |it| _ = it.did(Deed::Racked, 100));
        let untopped = wine(Topping, 23.0, 22.9, |it| {
            it.set(CARBOY, field::KIND, "barrel");
        });
        let unmeasured = wine(Unfinished, 23.0, 22.9, |it| {
            it.gravities(&[(80, 1.085), (40, 0.995)]);
        });

        // Hurt comes before any wine, and an open vessel before all that is slow.
        check(&rising, &open);
        check(&open, &low(23.0, 2.0));
        check(&open, &a_litre);
        check(&open, &stuck);
        check(&open, &lees);
        check(&open, &jot);
        check(&open, &round);
        // Nothing left of the sulfite after malolactic, over a carboy that wants a little.
        check(&unprotected, &low(23.0, 20.0));
        check(&unprotected, &lees);
        // More wine before less, of the same trouble; lower before low.
        check(&low(23.0, 10.0), &low(5.0, 10.0));
        check(&low(23.0, 2.0), &low(23.0, 15.0));
        check(&low(23.0, 2.0), &lees);
        check(&stuck, &lees);
        // Bottles to look at before bottles to lay down, and both before what is only to know.
        check(&look, &lay_down);
        check(&lay_down, &jot);
        check(&late, &lay_down);
        check(&round, &lay_down);
        check(&lees, &late);
        check(&late, &unmeasured);
        // Air that is known before air that is supposed, and that before an odd reading.
        check(&a_litre, &untopped);
        check(&lees, &untopped);
        check(&untopped, &unmeasured);
        assert_eq!(jot.rank, Rank::Later);
    }

    #[test]
    fn a_loss_worth_a_glass_is_said() {
        // 18 L under 5 L of air of 23: 18 × 5/23 × 0.25 = 0.98 L a week.
        let open = wine(ReasonKind::Headspace, 23.0, 18.0, |_| ());
        let loss = open.loss_in_a_week().unwrap();
        assert!((loss - 18.0 * 5.0 / 23.0 * 0.25).abs() < 1e-9, "{loss}");
        assert!(open.waiting().unwrap().contains("about 1.0 L"));
        // Six bottles a few days too long upright: 4.5 × 0.002, a sip.
        let lay_down = bottles(ReasonKind::LayDown, 5, |it| {
            _ = it.says(Property::Corks, "level", 1);
        });
        assert_eq!(lay_down.loss_in_a_week(), None);
        // Danger is not counted in wine.
        let rising = bottles(ReasonKind::Amiss, 9, |it| {
            _ = it.says(Property::Corks, "rising", 1);
        });
        assert_eq!(rising.loss_in_a_week(), None);
    }

    #[test]
    fn a_bottling_under_way_comes_before_bottles_that_may_burst() {
        let mut cellar = Cellar::with_bottles(6, 9);
        cellar.says(Property::Corks, "rising", 1);
        let under_way = crate::cellar::thing::Key(402);
        cellar.thing(under_way, crate::cellar::thing::Sort::Run, "Under way");
        cellar.set(under_way, field::VESSEL, Value::Int(CARBOY.0));
        cellar.0.filling = Some(under_way);
        let all = attention(&cellar.0, &policy());
        let subjects: Vec<_> = all.iter().map(|it| it.subject).take(2).collect();
        assert_eq!(subjects, [under_way, RUN]);
    }
}
