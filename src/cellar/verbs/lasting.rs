//! Things that last, and are asked for when they end: wine in the cold, must on its skins, a fining
//! whose second part is to follow. What ends one closes its job.

use super::ahead::day_to_come;
use super::read::full_vessel;
use super::things::done;
use super::{Field, Form, Group, Refusal, Takes, Verb, flag};
use crate::cellar::entry::{Draft, Due, Job, Kind};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Key, Thing};

/// How the job of a second part begins; its agent follows.
pub(super) const SECOND_PART: &str = "fine with ";
/// How long after the first part of a fining the second goes in (common practice: the day after).
const SECOND_PART_DAYS: i64 = 1;

const COLD: Field = flag(
    "until",
    "Until",
    "When to bring it out again, which is asked for then: `21d`, or a date.",
    Takes::Text,
);
const ON_SKINS: Field = flag(
    "until",
    "Until",
    "When to press it off its skins, which is asked for then: `8d`, or a date.",
    Takes::Text,
);
/// The second part of a fining.
pub(super) const THEN: Field = flag(
    "then",
    "Then",
    "The second part, such as chitosan, which is asked for a day later.",
    Takes::Text,
);

pub(super) static CHILL: Verb = Verb {
    name: "chill",
    sentence: "Put a wine in the cold.",
    group: Group::Wine,
    fields: &[super::deeds::PLACE, COLD],
    draft: |form, cellar| {
        let (vessel, mut draft) = of(form, cellar, Kind::Chill)?;
        if let Some(end) = until(form, cellar)? {
            lasts(
                &mut draft,
                vessel,
                "warm",
                "bring it out of the cold",
                end,
                cellar,
            );
        }
        done(
            draft,
            format!("{}: {}.", vessel.name(), Kind::Chill.label()),
        )
    },
};

pub(super) static WARM: Verb = Verb {
    name: "warm",
    sentence: "Bring a wine into the warm.",
    group: Group::Wine,
    fields: &[super::deeds::PLACE],
    draft: |form, cellar| {
        let (vessel, mut draft) = of(form, cellar, Kind::Warm)?;
        draft.closes = lasting(vessel.key, "warm", cellar);
        done(draft, format!("{}: {}.", vessel.name(), Kind::Warm.label()))
    },
};

pub(super) static PUNCH_DOWN: Verb = Verb {
    name: "punch-down",
    sentence: "Punch down the cap.",
    group: Group::Wine,
    fields: &[super::deeds::PLACE, ON_SKINS],
    draft: |form, cellar| {
        let (vessel, mut draft) = of(form, cellar, Kind::PunchDown)?;
        if let Some(end) = until(form, cellar)? {
            lasts(
                &mut draft,
                vessel,
                "press",
                "press off the skins",
                end,
                cellar,
            );
        }
        done(
            draft,
            format!("{}: {}.", vessel.name(), Kind::PunchDown.label()),
        )
    },
};

/// Asks for the second part of a fining, if there is to be one.
pub(super) fn second_part(form: &Form, draft: &mut Draft, vessel: Key, cellar: &Snapshot) {
    let Some(agent) = form.get("then") else {
        return;
    };
    draft.jobs.push(Job {
        key: Key(0),
        subject: vessel,
        title: format!("{SECOND_PART}{agent}"),
        due: Due::On(cellar.now.plus_days(SECOND_PART_DAYS).utc_ms),
        verb: "fine".to_owned(),
    });
}

fn of<'a>(form: &Form, cellar: &'a Snapshot, kind: Kind) -> Result<(&'a Thing, Draft), Refusal> {
    let (vessel, _) = full_vessel(form, "place", cellar)?;
    let mut draft = Draft::new(kind, cellar.now);
    draft.subject = Some(vessel.key);
    Ok((vessel, draft))
}

fn until(form: &Form, cellar: &Snapshot) -> Result<Option<i64>, Refusal> {
    let day = form.get("until").map(|it| day_to_come(it, cellar));
    day.transpose()
}

/// Sets the job that asks for the end, in place of one that was set before.
fn lasts(
    draft: &mut Draft,
    vessel: &Thing,
    verb: &str,
    title: &str,
    end_ms: i64,
    cellar: &Snapshot,
) {
    draft.closes = lasting(vessel.key, verb, cellar);
    draft.jobs.push(Job {
        key: Key(0),
        subject: vessel.key,
        title: title.to_owned(),
        due: Due::On(end_ms),
        verb: verb.to_owned(),
    });
}

/// Jobs of a vessel that ask for that verb.
pub(super) fn lasting(vessel: Key, verb: &str, cellar: &Snapshot) -> Vec<Key> {
    let jobs = cellar.jobs.iter().map(|it| &it.job);
    jobs.filter(|it| it.subject == vessel && it.verb == verb)
        .map(|it| it.key)
        .collect()
}
