//! All that falls due, in order: what needs someone now and what will, ends of rests, and reasons
//! put off until a day. The calendar screen and the calendar file both read it.

use super::attention::{self, Policy, Rank, Reason, ReasonKind};
use super::bottling::Package;
use super::moment::Moment;
use super::snapshot::{PutOff, Snapshot};
use super::supplies::to_buy::many;
use super::thing::{Key, Sort, field};

/// How far ahead is looked, days: half a year, as far as a forecast of free SO2 says anything at all.
pub const HORIZON_DAYS: f64 = 180.0;

/// Further ahead than any job is planned, days.
const ANY_DAYS: f64 = 36_500.0;

/// Something that falls due.
#[derive(Clone, Debug)]
pub struct Item {
    /// When; in the past when overdue.
    pub due: Moment,
    /// Vessel, run, batch, supply, or the cellar itself.
    pub subject: Key,
    /// What tells it from the other things that fall due for its subject: the same from day to day,
    /// whatever the date and the numbers in the sentence.
    pub mark: String,
    /// What it is, without numbers that change from day to day: `sediment since the last racking`.
    pub title: String,
    /// What it is, as seen now.
    pub sentence: String,
    /// What needs someone then; nothing for a mere date.
    pub reason: Option<Reason>,
}

impl Item {
    /// How pressing it is.
    pub fn rank(&self) -> Rank {
        self.reason.as_ref().map_or(Rank::Later, |it| it.rank)
    }

    fn of(reason: Reason) -> Item {
        let (mark, title) = match reason.kind {
            // A job that is put on another day is the same job.
            ReasonKind::Job => {
                let job = reason.suggested("job");
                (format!("job: {job}"), job.to_owned())
            }
            ReasonKind::SupplyShort => {
                let what = many(reason.suggested("substance"));
                (reason.identity(), format!("short of {what}"))
            }
            kind => (reason.identity(), kind.label().to_owned()),
        };
        Item {
            due: reason.due,
            subject: reason.subject,
            mark,
            title,
            sentence: reason.sentence.clone(),
            reason: Some(reason),
        }
    }
}

/// A policy that looks as far ahead as the calendar does.
pub fn far_sighted(policy: &Policy) -> Policy {
    seeing(policy, HORIZON_DAYS)
}

/// A policy that looks so many days ahead.
pub fn seeing(policy: &Policy, days: f64) -> Policy {
    Policy {
        horizon_days: days,
        ..policy.clone()
    }
}

/// Everything, the longest due first; of one day the most pressing first. `reasons` are what needs
/// someone now by that policy.
pub fn ahead(cellar: &Snapshot, policy: &Policy, reasons: &[Reason]) -> Vec<Item> {
    let mut items: Vec<Item> = reasons.iter().cloned().map(Item::of).collect();
    let later = later(cellar, policy, reasons, HORIZON_DAYS);
    items.extend(later.into_iter().map(Item::of));
    items.extend(rests(cellar));
    items.extend(put_off(cellar, policy));
    items.sort_by_key(|it| (it.due.date(), it.rank(), it.due));
    items
}

/// What the same rules say so many days ahead beside what needs someone now, the soonest first. It is told as of today, like
/// all else: so many days since the racking, and what is expected of a day is said with that day.
pub fn later(cellar: &Snapshot, policy: &Policy, reasons: &[Reason], days: f64) -> Vec<Reason> {
    let known = |it: &Reason| {
        let same =
            |other: &Reason| other.subject == it.subject && other.identity() == it.identity();
        reasons.iter().any(same)
    };
    let mut ahead = attention::attention(cellar, &seeing(policy, days));
    ahead.retain(|it| {
        let is_within = it.due.days_since(cellar.now) as f64 <= days;
        it.due > cellar.now && is_within && !known(it)
    });
    ahead.sort_by_key(|it| it.due);
    ahead
}

fn rests(cellar: &Snapshot) -> Vec<Item> {
    let ends = cellar.open(Sort::Run).filter_map(|run| {
        let until = cellar.now.at(run.int(field::REST_UNTIL)?);
        let count = cellar.wine(run.key)?.bottle_count();
        // The same mark as the reason that it becomes on that day.
        (until > cellar.now && count > 0).then(|| Item {
            due: until,
            subject: run.key,
            mark: ReasonKind::RestEnded.word().to_owned(),
            title: "rest ends".to_owned(),
            sentence: format!("rest ends, {}", Package::of(run).count(count)),
            reason: None,
        })
    });
    ends.collect()
}

/// What was put off or dismissed and is still held back by that: the reason is there, or the calendar has it on a day to come.
pub fn held_back<'a>(cellar: &'a Snapshot, policy: &Policy) -> Vec<&'a PutOff> {
    if cellar.silences.is_empty() {
        return Vec::new();
    }
    let bare = cellar.without_silences();
    // A job may be put off however far ahead it falls due, and nothing else further than the calendar shows.
    let mut all = attention::attention(&bare, &seeing(policy, ANY_DAYS));
    all.retain(|it| it.kind == ReasonKind::Job);
    let far = far_sighted(policy);
    all.extend(attention::attention(&bare, &far));
    let is_held = |it: &&PutOff| {
        // What is said once for several wines can be put off for one of them.
        let its = || attention::reasons_of(it.silence.subject, &bare, &far);
        let holds = |reason: &Reason| it.silences(reason, cellar);
        all.iter().any(holds) || its().iter().any(holds)
    };
    cellar.silences.iter().filter(is_held).collect()
}

fn put_off(cellar: &Snapshot, policy: &Policy) -> Vec<Item> {
    let ends = held_back(cellar, policy).into_iter().filter_map(|it| {
        let sentence = format!("put off until then: {}", it.what());
        let it = &it.silence;
        Some(Item {
            due: cellar.now.at(it.until_ms?),
            subject: it.subject,
            mark: format!("put-off: {}", it.reason),
            title: sentence.clone(),
            sentence,
            reason: None,
        })
    });
    ends.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cellar::attention::Look;
    use crate::cellar::attention::trial::{CARBOY, Cellar};
    use crate::cellar::state::Deed;

    #[test]
    fn a_day_far_ahead_is_told_as_of_today() {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.finished().did(Deed::Racked, 3);
        let policy = Policy::default();
        let items = ahead(&cellar.0, &policy, &[]);
        let lees = items.iter().find(|it| it.mark == ReasonKind::Lees.word());
        let lees = lees.unwrap();
        // Racked 3 days ago, asked for every 90.
        assert_eq!(lees.due.days_since(cellar.0.now), 87);
        let said = "3 days since the last racking";
        assert!(lees.sentence.starts_with(said), "{}", lees.sentence);
        let far = far_sighted(&policy);
        let why = Look::at(&cellar.0, &far).working(lees.reason.as_ref().unwrap());
        assert!(why[0].starts_with(said), "{why:?}");
    }

    /// A headspace of 1 L was put off and then topped up; sediment that falls due on a day to come is held back until then.
    #[test]
    fn what_has_ended_is_no_longer_among_what_was_put_off() {
        let held = |litres: f64, reason: ReasonKind| {
            let mut cellar = Cellar::with_vessel(23.0, litres);
            cellar.finished().put_off(CARBOY, reason.word(), None, 0);
            let policy = Policy::default();
            held_back(&cellar.0, &policy).len()
        };
        assert_eq!(held(22.0, ReasonKind::Headspace), 1);
        assert_eq!(held(22.9, ReasonKind::Headspace), 0);
        assert_eq!(held(22.9, ReasonKind::Lees), 1);
    }

    /// Two wines that nobody tested are one reason, and either may be put off.
    #[test]
    fn one_of_several_that_are_said_at_once_is_held_back() {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.finished().did(Deed::Sulfited, 70);
        let other = Key(600);
        cellar.spare(other.0, "Jug", "carboy", 23.0);
        let wine = cellar.0.states[&CARBOY].clone();
        cellar.0.states.insert(other, wine);
        let word = ReasonKind::Untested.word();
        cellar.put_off(CARBOY, word, None, 0);
        assert_eq!(held_back(&cellar.0, &Policy::default()).len(), 1);
        cellar.did(Deed::Sulfited, 5);
        assert_eq!(held_back(&cellar.0, &Policy::default()).len(), 0);
    }

    #[test]
    fn all_that_is_ahead_says_why() {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.finished().did(Deed::Racked, 60);
        let policy = Policy::default();
        let items = ahead(&cellar.0, &policy, &[]);
        let reasons: Vec<Reason> = items.into_iter().filter_map(|it| it.reason).collect();
        assert!(!reasons.is_empty());
        let far = far_sighted(&policy);
        for reason in reasons {
            let why = Look::at(&cellar.0, &far).working(&reason);
            assert!(!why.is_empty(), "{reason:?}");
        }
    }
}
