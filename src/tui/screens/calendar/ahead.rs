//! All that falls due, in order: what needs someone now and what will, ends of rests, and reasons
//! put off until a day.

use crate::cellar::attention::{self, Policy, Rank, Reason, ReasonKind, words};
use crate::cellar::moment::Moment;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Key, Sort, field};
use crate::tui::message::Facts;

/// How far ahead the calendar looks, days: half a year, as far as a forecast of free SO2 says
/// anything at all.
const HORIZON: f64 = 180.0;

/// Something that falls due.
#[derive(Clone, Debug)]
pub(super) struct Item {
    pub(super) due: Moment,
    pub(super) subject: Key,
    pub(super) sentence: String,
    /// What needs someone then; nothing for a mere date.
    pub(super) reason: Option<Reason>,
}

impl Item {
    pub(super) fn rank(&self) -> Rank {
        self.reason.as_ref().map_or(Rank::Later, |it| it.rank)
    }
}

/// Everything, the longest due first; of one day the most pressing first.
pub(super) fn items(facts: &Facts) -> Vec<Item> {
    let mut items: Vec<Item> = facts.reasons.iter().cloned().map(needs).collect();
    items.extend(later(facts));
    items.extend(rests(&facts.cellar));
    items.extend(put_off(&facts.cellar));
    items.sort_by_key(|it| (it.due.date(), it.rank(), it.due));
    items
}

fn needs(reason: Reason) -> Item {
    Item {
        due: reason.due,
        subject: reason.subject,
        sentence: reason.sentence.clone(),
        reason: Some(reason),
    }
}

/// What the same rules say further ahead than the board looks.
fn later(facts: &Facts) -> Vec<Item> {
    let policy = Policy {
        horizon_days: HORIZON,
        ..facts.policy.clone()
    };
    let known = |it: &Reason| {
        let same = |other: &Reason| {
            (other.subject, other.kind) == (it.subject, it.kind)
                && (it.kind != ReasonKind::Job || other.sentence == it.sentence)
        };
        facts.reasons.iter().any(same)
    };
    let ahead = attention::attention(&facts.cellar, &policy);
    ahead
        .into_iter()
        .filter(|it| it.due > facts.cellar.now && !known(it))
        .map(needs)
        .collect()
}

fn rests(cellar: &Snapshot) -> Vec<Item> {
    let ends = cellar.open(Sort::Run).filter_map(|run| {
        let until = cellar.now.at(run.int(field::REST_UNTIL)?);
        let count = cellar.wine(run.key)?.bottle_count();
        (until > cellar.now && count > 0).then(|| Item {
            due: until,
            subject: run.key,
            sentence: format!("rest ends, {}", words::count(count, "bottle")),
            reason: None,
        })
    });
    ends.collect()
}

fn put_off(cellar: &Snapshot) -> Vec<Item> {
    let ends = cellar.silences.iter().filter_map(|it| {
        let kind = ReasonKind::from_word(&it.reason).map_or("a reason", ReasonKind::label);
        Some(Item {
            due: cellar.now.at(it.until_ms?),
            subject: it.subject,
            sentence: format!("put off until then: {kind}"),
            reason: None,
        })
    });
    ends.collect()
}
