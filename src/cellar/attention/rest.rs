//! Rest ended: bottles that may be drunk from now on.

use super::fit::Look;
use super::holding::Holding;
use super::withheld::withheld;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::bottling::Package;
use crate::cellar::state::Deed;
use crate::cellar::thing::field;
use crate::cellar::window::window;

/// News for a month after the rest has ended, or until a bottle of it was opened.
pub(super) fn rule<'a>(holding: &'a Holding, _: &'a Look) -> Option<Found<'a>> {
    let until = holding.now.at(holding.place.int(field::REST_UNTIL)?);
    let days = holding.now.days_since(until);
    let bottles = holding.wine.bottle_count();
    if bottles <= 0
        || withheld(holding).is_some()
        || days < 0
        || days as f64 > holding.policy.rest_shown_days
    {
        return None;
    }
    if holding.wine.when(Deed::Opened) >= Some(until.utc_ms) {
        return None;
    }
    let why = move || {
        vec![
        format!("Its rest was set to end on {}.", until.day_words()),
        "Wine tastes flat for some weeks after bottling (common practice, nothing measured); how long is a matter of taste.".to_owned(),
    ]
    };
    Some(
        Reason {
            subject: holding.place.key,
            kind: ReasonKind::RestEnded,
            due: until,
            rank: Rank::Later,
            weight: 0.0,
            sentence: said(holding),
            suggestion: Suggestion::of("open")
                .with("run", holding.place.name())
                .with("count", "1"),
        }
        .because(why),
    )
}

/// What is rested, and whether its time has come.
fn said(holding: &Holding) -> String {
    let bottles = Package::of(holding.place).count(holding.wine.bottle_count());
    let opens = window(holding).map(|it| it.opens);
    match opens.filter(|it| it.days_since(holding.now) > 0) {
        Some(opens) => format!(
            "rest ended, {bottles}: taste one to see; best from {}",
            opens.day_words()
        ),
        None => format!("rest ended, {bottles} ready: open one"),
    }
}

#[cfg(test)]
mod tests {
    use super::super::trial::{Cellar, RUN, days_ago};
    use super::*;
    use crate::cellar::entry::Property;
    use crate::cellar::thing::Value;

    fn check(ended_days_ago: i64, expected: &str) {
        check_window(ended_days_ago, -10, expected);
    }

    /// Bottles whose window opens in so many days.
    fn check_window(ended_days_ago: i64, opens: i64, expected: &str) {
        let mut cellar = Cellar::with_bottles(23, 60);
        cellar.set(RUN, field::WINDOW_OPENS, Value::Int(days_ago(-opens)));
        cellar.set(RUN, field::WINDOW_CLOSES, Value::Int(days_ago(-900)));
        let until = Value::Int(days_ago(ended_days_ago));
        cellar.set(RUN, field::REST_UNTIL, until);
        assert_eq!(cellar.says_why(ReasonKind::RestEnded), expected);
    }

    #[test]
    fn nothing_is_ready_while_it_may_burst() {
        let mut cellar = Cellar::with_bottles(23, 60);
        cellar.set(RUN, field::REST_UNTIL, Value::Int(days_ago(1)));
        cellar.says(Property::Corks, "rising", 1);
        assert_eq!(cellar.says_why(ReasonKind::RestEnded), "");
    }

    #[test]
    fn it_is_said_from_the_day_on_for_a_month() {
        check(-1, "");
        check(0, "  rest ended, 23 bottles ready: open one");
        check(30, "  rest ended, 23 bottles ready: open one");
        check(31, "");
    }

    #[test]
    fn what_is_rested_before_its_window_is_not_called_ready() {
        let opens = super::super::trial::NOW.plus_days(90).day_words();
        let sentence = format!("  rest ended, 23 bottles: taste one to see; best from {opens}");
        check_window(3, 90, &sentence);
    }
}
