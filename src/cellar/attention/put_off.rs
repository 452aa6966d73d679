//! What a person has put off or dismissed, and for how long that holds.

use super::{Policy, Reason, ReasonKind};
use crate::cellar::moment::Moment;
use crate::cellar::snapshot::{PutOff, Snapshot};
use crate::cellar::state::Deed;

impl PutOff {
    /// What was put off, in words: `too much headspace`, `oak out`.
    pub fn what(&self) -> &str {
        let kind = ReasonKind::from_word(&self.silence.reason).map(ReasonKind::label);
        kind.or(self.silence.job()).unwrap_or("a reason")
    }

    /// `until 2 Dec 2026`, or `dismissed`.
    pub fn until(&self, now: Moment) -> String {
        match self.silence.until_ms {
            Some(until) => format!("until {}", now.at(until).day_words()),
            None => "dismissed".to_owned(),
        }
    }

    /// Whether that reason is not to be said because of it. What was said of one wine does not hold
    /// for the next in that vessel, nor of one finding for a later one.
    pub(super) fn silences(&self, reason: &Reason, cellar: &Snapshot) -> bool {
        let silence = &self.silence;
        if silence.subject != reason.subject || !reason.goes_by(&silence.reason) {
            return false;
        }
        if silence.until_ms.is_some_and(|it| cellar.now.utc_ms >= it) {
            return false;
        }
        let filled = cellar
            .wine(reason.subject)
            .and_then(|it| it.when(Deed::Filled));
        filled.is_none_or(|it| it <= self.said.utc_ms) && !self.is_older_than(reason, cellar)
    }

    /// Whether what the reason tells of came about after it was put off: bottles found amiss once more,
    /// a level that fell again.
    fn is_older_than(&self, reason: &Reason, cellar: &Snapshot) -> bool {
        let arose = match reason.kind {
            ReasonKind::Amiss | ReasonKind::MaloUnprotected | ReasonKind::Filling => reason.due,
            ReasonKind::Headspace => {
                let allowed = Policy::of(cellar).headspace_days;
                reason.due.plus_days(-(allowed as i64))
            }
            _ => return false,
        };
        arose > self.said
    }
}

#[cfg(test)]
mod tests {
    use super::super::trial::{CARBOY, Cellar, NOW, days_ago};
    use super::*;
    use crate::cellar::entry::Property;
    use crate::cellar::thing::Key;

    fn check(
        kind: ReasonKind,
        subject: Key,
        said_days_ago: i64,
        cellar: &mut Cellar,
        is_said: bool,
    ) {
        cellar.put_off(subject, kind.word(), None, said_days_ago);
        assert_eq!(cellar.reason(kind).is_some(), is_said, "{kind:?}");
    }

    #[test]
    fn what_was_dismissed_for_one_wine_is_said_of_the_next_in_its_vessel() {
        let filled = |days| {
            let mut cellar = Cellar::with_vessel(23.0, 18.0);
            cellar.finished().did(Deed::Filled, days);
            cellar
        };
        check(ReasonKind::Headspace, CARBOY, 9, &mut filled(60), false);
        check(ReasonKind::Headspace, CARBOY, 9, &mut filled(5), true);
    }

    #[test]
    fn a_level_that_fell_again_is_said_again() {
        // Racked 60 days ago, and topped up, or its level else changed, since.
        let moved = |days| {
            let mut cellar = Cellar::with_vessel(23.0, 18.0);
            cellar.finished().did(Deed::ToppedUp, days);
            cellar
        };
        check(ReasonKind::Headspace, CARBOY, 20, &mut moved(30), false);
        check(ReasonKind::Headspace, CARBOY, 20, &mut moved(10), true);
    }

    #[test]
    fn a_later_finding_is_said_whatever_was_dismissed() {
        let rising = |days| {
            let mut cellar = Cellar::with_bottles(6, 30);
            cellar.says(Property::Corks, "rising", days);
            cellar
        };
        let run = super::super::trial::RUN;
        check(ReasonKind::Amiss, run, 5, &mut rising(9), false);
        check(ReasonKind::Amiss, run, 5, &mut rising(1), true);
    }

    #[test]
    fn it_says_what_and_until_when() {
        let mut cellar = Cellar::with_vessel(23.0, 18.0);
        cellar.put_off(CARBOY, "headspace", Some(days_ago(-7)), 0);
        cellar.put_off(CARBOY, "job: oak out, 2026-11-30", None, 0);
        let said: Vec<(&str, String)> = cellar
            .0
            .silences
            .iter()
            .map(|it| (it.what(), it.until(NOW)))
            .collect();
        let expected = [
            ("too much headspace", "until 2 Dec 2026".to_owned()),
            ("oak out", "dismissed".to_owned()),
        ];
        assert_eq!(said, expected);
    }
}
