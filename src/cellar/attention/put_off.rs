//! What a person has put off or dismissed, and for how long that holds.

use super::{Policy, Reason, ReasonKind};
use crate::cellar::entry::Property;
use crate::cellar::moment::Moment;
use crate::cellar::snapshot::{PutOff, Snapshot};
use crate::cellar::state::{Deed, Wine};

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

    /// Whether that reason is not to be said because of it. It holds for the state of things in which it was said: not
    /// for the next wine in that vessel, nor once that wine was dosed, tested or worked on anew, nor for a later finding.
    pub(in crate::cellar) fn silences(&self, reason: &Reason, cellar: &Snapshot) -> bool {
        let silence = &self.silence;
        if silence.subject != reason.subject || !reason.goes_by(&silence.reason) {
            return false;
        }
        if silence.until_ms.is_some_and(|it| cellar.now.utc_ms >= it) {
            return false;
        }
        let wine = cellar.wine(reason.subject);
        let changed = wine.and_then(|it| changed(reason.kind, it));
        changed.is_none_or(|it| it <= self.said.utc_ms) && !self.is_older_than(reason, cellar)
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

/// When anything last happened to a wine by which a reason of that kind is another than before, UTC ms.
fn changed(kind: ReasonKind, wine: &Wine) -> Option<i64> {
    use Property::{Corks, FreeSo2, Gravity, Malic, Ph, Temperature};
    use ReasonKind as Of;
    let (deeds, properties): (&[Deed], &[Property]) = match kind {
        Of::SulfiteLow
        | Of::SulfiteHigh
        | Of::SulfiteOld
        | Of::Presumed
        | Of::Untested
        | Of::FirstSulfite => (&[Deed::Sulfited], &[FreeSo2, Ph]),
        Of::Stuck | Of::Sluggish | Of::Unfinished | Of::DryDue | Of::GravityRose => {
            (&[Deed::Pitched, Deed::Sugared], &[Gravity])
        }
        Of::Hot => (&[], &[Temperature]),
        Of::Unstable => (&[Deed::Sweetened], &[Gravity]),
        Of::MaloOpen => (&[Deed::MaloStarted], &[Malic]),
        Of::Lees => (&[Deed::Racked], &[]),
        Of::Topping => (&[Deed::ToppedUp], &[]),
        Of::Cap => (&[Deed::PunchedDown], &[]),
        Of::Refermenting => (&[], &[Corks, Gravity]),
        _ => (&[], &[]),
    };
    let done = deeds.iter().chain(&[Deed::Filled]);
    let done = done.filter_map(|it| wine.when(*it));
    let read = properties.iter().filter_map(|it| wine.known.get(it));
    let marked = wine.troubles.values().copied();
    let marked = marked.filter(|_| kind == Of::Trouble);
    done.chain(read.map(|it| it.at_ms)).chain(marked).max()
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

    /// Free SO2 of 5 mg/L at pH 3.3 is far too little for a white; a person may still know better, until the next dose or test.
    #[test]
    fn a_new_test_or_dose_begins_a_new_reason() {
        let low = |tested: i64, dosed: i64| {
            let mut cellar = Cellar::with_vessel(23.0, 22.8);
            cellar.finished().did(Deed::Sulfited, dosed);
            cellar.knows(Property::Ph, 3.3, 60);
            cellar.knows(Property::FreeSo2, 5.0, tested);
            cellar
        };
        check(ReasonKind::SulfiteLow, CARBOY, 9, &mut low(20, 40), false);
        check(ReasonKind::SulfiteLow, CARBOY, 9, &mut low(5, 40), true);
        let mut marked = Cellar::with_vessel(23.0, 22.8);
        marked
            .wine()
            .troubles
            .insert("egg".to_owned(), days_ago(20));
        check(ReasonKind::Trouble, CARBOY, 9, &mut marked, false);
        marked
            .wine()
            .troubles
            .insert("mould".to_owned(), days_ago(2));
        check(ReasonKind::Trouble, CARBOY, 9, &mut marked, true);
        let lees = |racked: i64| {
            let mut cellar = Cellar::with_vessel(23.0, 22.8);
            cellar
                .finished()
                .did(Deed::Begun, 600)
                .did(Deed::Racked, racked);
            cellar
        };
        check(ReasonKind::Lees, CARBOY, 300, &mut lees(400), false);
        check(ReasonKind::Lees, CARBOY, 300, &mut lees(250), true);
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
