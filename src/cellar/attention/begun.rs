//! A jug, bag or keg begun so long ago that its wine may not keep.

use super::fit::Look;
use super::holding::Holding;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::bottling::Package;
use crate::cellar::thing::field;

/// Until somebody says that it is empty.
pub(super) fn rule<'a>(holding: &'a Holding, _: &'a Look) -> Option<Found<'a>> {
    let run = holding.place;
    let package = Package::of(run);
    let keeps = match package {
        Package::Bottle => return None,
        Package::Jug => holding.policy.begun_jug_days,
        Package::Bag => holding.policy.begun_bag_days,
        Package::Keg => holding.policy.begun_keg_days,
    };
    let begun = Package::begun(run, holding.wine);
    let since = holding.now.at(run.int(field::BEGUN_SINCE)?);
    let due = since.plus_days(keeps as i64);
    if begun <= 0 || due > holding.now {
        return None;
    }
    let why = move || {
        vec![
            format!("The last was begun on {}.", since.day_words()),
            package.keeps_begun().to_owned(),
            "Smell and taste it first: air turns wine flat, then to vinegar. Say when it is empty."
                .to_owned(),
        ]
    };
    let part = begun as f64 / holding.wine.bottle_count() as f64;
    Some(
        Reason {
            subject: run.key,
            kind: ReasonKind::Begun,
            due,
            rank: Rank::Soon,
            weight: holding.litres() * part * holding.policy.loss_begun,
            sentence: format!(
                "{} begun on {}: taste it, and drink it up",
                package.count(begun),
                since.day_words()
            ),
            suggestion: Suggestion::of("open")
                .with("run", run.name())
                .with("empty", "yes"),
        }
        .because(why),
    )
}

#[cfg(test)]
mod tests {
    use super::super::trial::{Cellar, RUN, days_ago};
    use super::*;
    use crate::cellar::thing::Value;

    #[test]
    fn what_was_begun_is_asked_for_once_it_may_not_keep() {
        let check = |package: &str, days: i64, expected: bool| {
            let mut cellar = Cellar::with_bottles(2, 200);
            cellar.set(RUN, field::PACKAGE, package);
            cellar.set(RUN, field::BEGUN, Value::Int(1));
            cellar.set(RUN, field::BEGUN_SINCE, Value::Int(days_ago(days)));
            let says = cellar.says_why(ReasonKind::Begun);
            assert_eq!(!says.is_empty(), expected, "{package} {days}: {says}");
        };
        // Common practice: days in a jug, four to six weeks in a bag, weeks to months in a keg.
        check("jug", 4, false);
        check("jug", 5, true);
        check("bag-in-box", 41, false);
        check("bag-in-box", 42, true);
        check("keg", 89, false);
        check("keg", 90, true);
        check("bottle", 300, false);
    }

    #[test]
    fn none_begun_is_none_to_ask_for() {
        let mut cellar = Cellar::with_bottles(2, 200);
        cellar.set(RUN, field::PACKAGE, "keg");
        cellar.set(RUN, field::BEGUN, Value::Int(0));
        cellar.set(RUN, field::BEGUN_SINCE, Value::Int(days_ago(150)));
        assert_eq!(cellar.says_why(ReasonKind::Begun), "");
    }
}
