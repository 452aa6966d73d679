//! Bottles that nobody should open as they are, whatever the calendar says of them.

use super::gate::Answer;
use super::holding::Holding;
use super::look::may_burst;
use super::refermenting::watched;
use crate::cellar::trouble::{self, Safety};

/// What keeps bottles from being drunk, in words that follow their number: a look found pressure, they were filled unfinished
/// or nobody knew whether they were finished, and not yet watched for long enough, or they are marked with what may not be
/// drunk or is spoiled. `None` where nothing does.
pub fn withheld(holding: &Holding) -> Option<&'static str> {
    if may_burst(holding) {
        return Some("may burst");
    }
    match watched(holding) {
        Some(Answer::No) => return Some("may burst"),
        Some(_) => return Some("to be watched"),
        None => {}
    }
    match marked(holding)? {
        Safety::Unsafe => Some("not to be drunk"),
        Safety::NotYet => Some("not to be drunk yet"),
        Safety::Spoiled => Some("spoiled"),
        Safety::Safe => None,
    }
}

/// Whether it is marked with what keeps it from being drunk as it is.
pub fn is_marked_undrinkable(holding: &Holding) -> bool {
    marked(holding).is_some_and(|it| it != Safety::Safe)
}

impl Holding<'_> {
    /// Who was given some of these bottles and must know, if the book has anyone.
    pub(super) fn those_given(&self) -> Option<String> {
        let given = &self.wine.astray.as_ref()?.given;
        let each: Vec<String> = given
            .iter()
            .map(|(whom, count)| match whom.as_str() {
                "" => format!("someone ({count})"),
                whom => format!("{whom} ({count})"),
            })
            .collect();
        (!each.is_empty()).then(|| format!("Some were given away; tell {}.", each.join(", ")))
    }
}

/// The worst of what it is marked with.
fn marked(holding: &Holding) -> Option<Safety> {
    trouble::worst(holding.wine).map(|it| it.0.safety)
}

#[cfg(test)]
mod tests {
    use super::super::ReasonKind;
    use super::super::trial::{Cellar, RUN, days_ago, policy};
    use super::*;
    use crate::cellar::entry::Property;
    use crate::cellar::thing::{Value, field};

    /// Bottles that stand and whose rest is over, with a mark; what they are said to be, and whether anyone is sent to open or
    /// to lay down some.
    fn check(build: impl FnOnce(&mut Cellar), expected: Option<&str>) {
        let mut cellar = Cellar::with_bottles(12, 60);
        cellar.set(RUN, field::REST_UNTIL, Value::Int(days_ago(1)));
        build(&mut cellar);
        let policy = policy();
        let holding = Holding::of(&cellar.0, RUN, &policy).unwrap();
        assert_eq!(withheld(&holding), expected);
        let goes_on = expected.is_none();
        for kind in [ReasonKind::RestEnded, ReasonKind::LayDown] {
            assert_eq!(cellar.says_why(kind).is_empty(), !goes_on, "{kind:?}");
        }
    }

    #[test]
    fn nobody_is_sent_to_open_or_turn_what_is_marked_undrinkable() {
        let marked = |word: &'static str| {
            move |it: &mut Cellar| {
                it.wine().troubles.insert(word.to_owned(), days_ago(2));
            }
        };
        check(|_| (), None);
        check(marked("egg"), None);
        check(marked("vinegar"), Some("spoiled"));
        check(marked("splinters"), Some("not to be drunk"));
        check(marked("fizz"), Some("not to be drunk yet"));
        check(
            |it| _ = it.says(Property::Corks, "rising", 1),
            Some("may burst"),
        );
    }

    #[test]
    fn whoever_was_given_some_that_may_burst_is_named() {
        let mut cellar = Cellar::with_bottles(12, 60);
        cellar.says(Property::Corks, "rising", 1);
        let astray = cellar.wine().astray.get_or_insert_default();
        astray.given.insert("Ines".to_owned(), 2);
        let working = cellar.working(ReasonKind::Amiss).join(" ");
        assert!(
            working.contains("Some were given away; tell Ines (2)."),
            "{working}"
        );
    }
}
