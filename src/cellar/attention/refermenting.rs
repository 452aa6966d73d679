//! Bottles that may ferment again and burst: filled though the wine was not shown finished.

use super::fit::Look;
use super::gate::{Answer, BURST, GateItem};
use super::holding::Holding;
use super::look;
use super::waiting::DANGER;
use super::words::{gravity, span};
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::bottling::Package;
use crate::cellar::entry::Posture;
use crate::cellar::moment::Moment;
use crate::cellar::state::{Deed, GRAVITY_SLACK};
use crate::cellar::thing::field;

/// Bottles to keep an eye on.
struct Watch {
    /// When they were filled, UTC ms.
    filled: i64,
    /// What the gate still holds against them.
    open: Vec<GateItem>,
    /// When they were last looked at since, UTC ms.
    last: Option<i64>,
    /// Whether a look found what may burst them.
    is_amiss: bool,
    /// Whether they were filled with sugar that nothing keeps from fermenting.
    is_sweet: bool,
}

impl Watch {
    /// From the first bottle on, until they were looked at some weeks later, or a bottle's sugar was
    /// tested. Bottles that were never filled from a vessel of the book are not judged.
    fn of(holding: &Holding) -> Option<Watch> {
        let run = holding.place;
        if holding.wine.bottle_count() <= 0 || run.int(field::VESSEL).is_none() {
            return None;
        }
        // From the first bottle on: one that was filled and never finished stands as long.
        let filled = holding
            .wine
            .when(Deed::Bottled)
            .or(run.int(field::FINISHED))?;
        let open = holding.may_burst();
        if open.is_empty() {
            return None;
        }
        // What was found then speaks for itself, and louder.
        let is_amiss = look::may_burst(holding);
        let now = holding.now;
        let last = look::corks_seen(holding).filter(|it| *it > filled);
        let watched = last.map_or(0, |it| now.at(it).days_since(now.at(filled)));
        // What was found unfinished has its sugar still, however well the bottles look; only a test or the vessel takes that away.
        let last_read = holding.wine.gravities.last();
        let is_sweet = open.iter().any(|it| it.answer == Answer::No)
            && last_read.is_some_and(|it| it.gravity > holding.policy.dry_gravity + GRAVITY_SLACK);
        let is_over = watched as f64 >= holding.policy.watch_days && !is_amiss && !is_sweet;
        (!is_over).then_some(Watch {
            filled,
            open,
            last,
            is_amiss,
            is_sweet,
        })
    }
}

/// Whether they may, and nobody has looked at them since they were filled.
pub(in crate::cellar) fn is_unseen(holding: &Holding) -> bool {
    Watch::of(holding).is_some_and(|it| it.last.is_none())
}

/// Whether bottles may ferment again, as far as anyone knows.
pub(in crate::cellar) fn is_watched(holding: &Holding) -> bool {
    watched(holding).is_some()
}

/// Where bottles are to be watched, whether they were found unfinished as they were filled, or nobody knew.
pub(super) fn watched(holding: &Holding) -> Option<Answer> {
    let watch = Watch::of(holding)?;
    let is_found = watch.open.iter().any(|it| it.answer == Answer::No);
    Some(if is_found {
        Answer::No
    } else {
        Answer::NotKnown
    })
}

/// While they are to be watched; those of a bottling that is under way from the day after on.
pub(super) fn rule<'a>(holding: &'a Holding, look: &'a Look) -> Option<Found<'a>> {
    let run = holding.place;
    let watch = Watch::of(holding)?;
    let now = holding.now;
    if look.cellar.filling == Some(run.key) && now.days_since(now.at(watch.filled)) < 1 {
        return None;
    }
    let package = Package::of(run);
    let to_do = match package {
        Package::Bottle | Package::Jug => {
            "burst: look for leaks and rising corks, goggles on, chill before touching"
        }
        Package::Bag => "burst: look whether it swells, and let gas off by the tap, outdoors",
        Package::Keg => "press above its rating: look at the gauge, and let gas off by the valve",
    };
    let bottles = package.count(holding.wine.bottle_count());
    let due = watch.due(holding);
    Some(
        Reason {
            subject: run.key,
            kind: ReasonKind::Refermenting,
            due,
            rank: watch.rank(due, holding),
            weight: DANGER + holding.litres(),
            sentence: format!("{bottles} may ferment again and {to_do}"),
            suggestion: if watch.is_sweet && !watch.is_amiss {
                Suggestion::of("look")
                    .with("run", run.name())
                    .asking("sugar")
            } else {
                look::look_again(holding)
            },
        }
        .because(move || watch.working(holding)),
    )
}

impl Watch {
    /// When they are to be looked at next; at once where nobody did yet, or a look found something.
    fn due(&self, holding: &Holding) -> Moment {
        let now = holding.now;
        let seen = self.last.filter(|_| !self.is_amiss);
        seen.map_or(now.at(self.filled), |it| {
            now.at(it).plus_days(holding.policy.watch_every_days as i64)
        })
    }

    fn rank(&self, due: Moment, holding: &Holding) -> Rank {
        let mut lots = holding.wine.bottles.iter();
        let stands = lots.any(|it| it.posture == Posture::Standing);
        match due.days_since(holding.now) {
            _ if self.is_amiss || self.last.is_none() => Rank::Now,
            ..=0 if stands => Rank::Now,
            ..=0 => Rank::Soon,
            _ => Rank::Later,
        }
    }

    fn working(&self, holding: &Holding) -> Vec<String> {
        let mut lines = vec![format!(
            "Filled on {} though it was not shown finished.",
            holding.day(self.filled)
        )];
        lines.extend(self.open.iter().flat_map(|it| it.evidence.clone()));
        // Two questions may have the same evidence.
        lines.dedup();
        let last_read = holding.wine.gravities.last();
        lines.extend(last_read.map(|it| format!("Its last gravity was {}.", gravity(it.gravity))));
        lines.push(match self.last {
            None => "Nobody has written down a look at them yet.".to_owned(),
            Some(at) => format!("Last looked at {} ago.", span(holding.days(at))),
        });
        lines.push(if self.is_sweet {
            "There was sugar left as they were filled, and looks do not take it away: pour them back into a vessel, cold, or keep them cold and drink them soon. A bottle's sugar tested below 2 g/L ends this.".to_owned()
        } else {
            format!(
                "Look at them every week; the reason ends with a look {:.0} days or more after bottling that finds nothing, or with a bottle's sugar tested below 2 g/L (house estimate). Warm days wake a yeast that slept.",
                holding.policy.watch_days
            )
        });
        lines.extend(holding.those_given());
        lines.push(BURST.to_owned());
        lines
    }
}

impl Holding<'_> {
    /// What the gate would still hold against it that may burst a bottle.
    fn may_burst(&self) -> Vec<GateItem> {
        if self.is_tested_dry() {
            return Vec::new();
        }
        let mut open = self.gate();
        open.retain(|it| it.risks_bursting() && it.answer != Answer::Yes);
        open
    }
}

#[cfg(test)]
mod tests {
    use super::super::trial::{Cellar, RUN, days_ago};
    use super::*;
    use crate::cellar::entry::Property;
    use crate::cellar::thing::Value;

    /// Bottles filled so many days ago from a vessel of the book.
    fn check(days: i64, build: impl Fn(&mut Cellar), expected: &str) {
        let mut cellar = Cellar::with_bottles(29, days);
        cellar.set(RUN, field::VESSEL, Value::Int(201));
        cellar.set(RUN, field::FINISHED, Value::Int(days_ago(days)));
        build(&mut cellar);
        assert_eq!(cellar.says_why(ReasonKind::Refermenting), expected);
    }

    const MAY: &str = "29 bottles may ferment again and burst: look for leaks and rising corks, goggles on, chill before touching";

    fn lying(it: &mut Cellar) {
        it.wine().bottles[0].posture = Posture::Lying;
    }

    #[test]
    fn bottles_of_a_wine_never_measured_are_pressing_while_they_stand() {
        check(0, |_| (), &format!("! {MAY}"));
        check(30, |_| (), &format!("! {MAY}"));
        // Looked at and found well, they wait for the next look.
        let seen = |days| move |it: &mut Cellar| _ = it.says(Property::Corks, "level", days);
        check(10, seen(1), &format!("  {MAY}"));
        check(10, seen(7), &format!("! {MAY}"));
    }

    #[test]
    fn laid_down_they_are_looked_at_every_week_until_six_weeks_are_over() {
        let seen = |days| {
            move |it: &mut Cellar| {
                lying(it);
                it.says(Property::Corks, "level", days);
            }
        };
        check(30, lying, &format!("! {MAY}"));
        check(30, seen(2), &format!("  {MAY}"));
        check(30, seen(7), &format!("› {MAY}"));
        check(50, seen(9), &format!("› {MAY}"));
        check(51, seen(9), "");
        // Sugar stays however well they look.
        let sweet = |it: &mut Cellar| {
            seen(9)(it);
            it.gravities(&[(80, 1.030), (70, 1.021), (62, 1.012)]);
        };
        check(51, sweet, &format!("› {MAY}"));
    }

    #[test]
    fn a_finding_speaks_either_way() {
        let rising = |it: &mut Cellar| {
            lying(it);
            it.says(Property::Corks, "rising", 1);
        };
        check(60, rising, &format!("! {MAY}"));
        // Of one bottle: the others were not looked at, so it waits for no day.
        let in_one = |it: &mut Cellar| {
            lying(it);
            it.says(Property::Corks, "rising in some", 1);
            it.wine().bottles[0].found = "corks rising".to_owned();
        };
        check(30, in_one, &format!("! {MAY}"));
        check(5, |it| _ = it.knows(Property::Sugar, 1.0, 1), "");
    }

    #[test]
    fn a_wine_shown_finished_needs_no_watch() {
        check(5, |it| _ = it.finished(), "");
        let at = |gravity| {
            move |it: &mut Cellar| {
                it.finished();
                it.gravities(&[(80, gravity), (70, gravity), (62, gravity)]);
            }
        };
        check(5, at(0.996), "");
        check(5, at(0.997), &format!("! {MAY}"));
    }

    #[test]
    fn bottles_that_came_from_elsewhere_are_not_judged() {
        let mut cellar = Cellar::with_bottles(29, 3);
        assert_eq!(cellar.says_why(ReasonKind::Refermenting), "");
        cellar.set(RUN, field::VESSEL, Value::Int(201));
        cellar.0.filling = Some(RUN);
        // A bottling never finished: the bottles stand there all the same.
        assert_eq!(
            cellar.says_why(ReasonKind::Refermenting),
            format!("! {MAY}")
        );
        let mut cellar = Cellar::with_bottles(29, 0);
        cellar.set(RUN, field::VESSEL, Value::Int(201));
        cellar.0.filling = Some(RUN);
        assert_eq!(cellar.says_why(ReasonKind::Refermenting), "");
    }
}
