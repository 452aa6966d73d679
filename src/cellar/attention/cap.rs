//! Skins that rise in a ferment and are pushed under every day until it is pressed.

use super::fit::Look;
use super::holding::Holding;
use super::stage::Ferment;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::state::Deed;
use crate::cellar::thing::{VesselKind, Wine, field};

/// Once a day until the next is written down.
pub(super) fn rule<'a>(holding: &'a Holding, _: &'a Look) -> Option<Found<'a>> {
    if !holding.is_on_skins() || holding.ferment() != Ferment::Running {
        return None;
    }
    let last = holding.wine.when(Deed::PunchedDown);
    let since = last.or_else(|| holding.wine.when(Deed::Pitched))?;
    let policy = holding.policy;
    let due = holding
        .now
        .at(since)
        .plus_days(policy.cap_days.ceil() as i64);
    if due.days_since(holding.now) > 0 {
        return None;
    }
    let so_far = match last {
        Some(at) => format!("last written down on {}", holding.day(at)),
        None => "never written down yet".to_owned(),
    };
    let why = move || {
        vec![
            format!("Must on its skins that ferments, and no pressing is in the book; pushing under was {so_far}."),
            "Skins are pushed under twice a day until they are pressed (common practice): it draws colour, lets heat out, and keeps the cap wet.".to_owned(),
            "A cap that dries grows mould and vinegar. Carbon dioxide lies over it: lean over no vat in a closed room, and air the room first.".to_owned(),
        ]
    };
    Some(
        Reason {
            subject: holding.place.key,
            kind: ReasonKind::Cap,
            due,
            rank: Rank::Soon,
            weight: holding.litres() * policy.loss_cap,
            sentence: "on its skins: push the cap under, twice a day until it is pressed"
                .to_owned(),
            suggestion: Suggestion::of("punch-down").with("place", holding.place.name()),
        }
        .because(why),
    )
}

impl Holding<'_> {
    /// Whether it stands on skins as far as the book tells: red or of fruit, in a vessel that skins go into, and not pressed. Juice
    /// and kits have none; who never said what it was made from is taken to have grapes or fruit.
    fn is_on_skins(&self) -> bool {
        let wide = matches!(
            self.place.vessel_kind(),
            VesselKind::Bucket | VesselKind::Tank
        );
        let came_off = [Deed::Pressed, Deed::Racked];
        wide && came_off.iter().all(|it| self.wine.when(*it).is_none())
            && self.batch.is_some_and(|it| {
                matches!(it.wine(), Wine::Red | Wine::Fruit)
                    && matches!(it.text(field::KIND), "" | "grapes" | "fruit")
            })
    }
}

#[cfg(test)]
mod tests {
    use super::super::trial::{BATCH, CARBOY, Cellar};
    use super::*;

    fn check(build: impl FnOnce(&mut Cellar), says: bool) {
        let mut cellar = Cellar::with_vessel(30.0, 20.0);
        cellar.set(CARBOY, field::KIND, "bucket");
        cellar.set(BATCH, field::WINE, "red");
        cellar.did(Deed::Begun, 4).did(Deed::Pitched, 3);
        build(&mut cellar);
        let expected = "› on its skins: push the cap under, twice a day until it is pressed";
        let expected = if says { expected } else { "" };
        assert_eq!(cellar.says_why(ReasonKind::Cap), expected);
    }

    #[test]
    fn a_cap_is_asked_for_once_a_day_until_it_is_pressed() {
        check(|_| (), true);
        check(|it| _ = it.did(Deed::PunchedDown, 1), true);
        check(|it| _ = it.did(Deed::PunchedDown, 0), false);
        check(|it| _ = it.did(Deed::Pressed, 0), false);
    }

    #[test]
    fn juice_and_white_must_have_no_cap() {
        check(|it| _ = it.set(BATCH, field::KIND, "juice"), false);
        check(|it| _ = it.set(BATCH, field::KIND, "grapes"), true);
        check(|it| _ = it.set(BATCH, field::WINE, "white"), false);
        check(|it| _ = it.set(BATCH, field::WINE, "fruit"), true);
        check(|it| _ = it.set(CARBOY, field::KIND, "carboy"), false);
    }
}
