//! Things that last, and are asked for when they end: wine in the cold, must on its skins, a fining
//! whose second part is to follow. What ends one closes its job.

use super::ahead::day_to_come;
use super::read::full_vessel;
use super::things::done;
use super::{Field, Form, Group, Refusal, Takes, Verb, flag};
use crate::cellar::entry::{Draft, Due, Job, Kind};
use crate::cellar::plan;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Deed;
use crate::cellar::thing::{Key, Thing};

/// How the job of a second part begins; its agent follows.
pub(super) const SECOND_PART: &str = "fine with ";
/// How long after the first part of a fining the second goes in (common practice: the day after).
const SECOND_PART_DAYS: i64 = 1;
/// Fined so lately, what goes in now is the second part and asks for none.
const PAIR_DAYS: i64 = 3;

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
    "The second part, such as chitosan, which is asked for a day later; `none` if silica or part A is to stay alone.",
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

/// The second part that the name of a fining says itself: silica sol is only half of one, and so is what a kit calls part A
/// (common practice); chitosan as a rule, and gelatin does as well, so that any fining ends what is asked. Gelatin before the silica is
/// the same pair the other way about: what was fined lately is complete.
fn said_by_name(agent: &str) -> Option<&'static str> {
    let agent = agent.trim().to_lowercase().replace('-', " ");
    let is_silica = ["kieselsol", "silica", "silicasol"]
        .iter()
        .any(|it| agent.starts_with(it));
    let is_part_a = ["part a", "pack a", "packet a", "finings a", "fining a"];
    match agent.as_str() {
        _ if is_silica => Some("chitosan"),
        _ if is_part_a.iter().any(|it| agent.ends_with(it)) => Some("part B"),
        _ => None,
    }
}

/// Asks for the second part of a fining, if there is to be one: as it was said, else as the name of the first says.
pub(super) fn second_part(form: &Form, draft: &mut Draft, vessel: Key, cellar: &Snapshot) {
    let fined = cellar.wine(vessel).and_then(|it| it.when(Deed::Fined));
    let is_second = fined.is_some_and(|it| cellar.now.days_since(cellar.now.at(it)) <= PAIR_DAYS);
    let by_name = || said_by_name(form.get("agent")?).filter(|_| !is_second);
    let agent = match form.get("then") {
        Some(none) if ["none", "nothing", "no"].contains(&none.trim()) => return,
        said => said.or_else(by_name),
    };
    let Some(agent) = agent else {
        return;
    };
    draft.jobs.push(Job {
        key: Key(0),
        subject: plan::of_the_wine_in(vessel, cellar),
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

#[cfg(test)]
mod tests {
    use crate::cellar::attention::trial::{Cellar, NOW};
    use crate::cellar::moment::Zone;
    use crate::cellar::state::Deed;
    use crate::cellar::verbs::{self, Form};

    /// The job that a fining leaves behind.
    fn check(typed: &[(&str, &str)], build: impl Fn(&mut Cellar), expected: Option<&str>) {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.finished();
        build(&mut cellar);
        let typed = [&[("place", "Carboy A"), ("amount", "10 mL")], typed].concat();
        let form = Form::of(typed);
        let now = verbs::when(&form, NOW, Zone::Fixed(60)).unwrap();
        let prepared = verbs::prepare(verbs::find("fine").unwrap(), &form, &cellar.0, &now);
        let jobs = prepared.unwrap().draft.jobs;
        assert_eq!(jobs.first().map(|it| it.title.as_str()), expected);
    }

    #[test]
    fn a_fining_of_two_parts_asks_for_its_second_by_its_own_name() {
        let second = Some("fine with chitosan");
        check(&[("agent", "kieselsol")], |_| (), second);
        check(&[("agent", "silica-sol")], |_| (), second);
        check(
            &[("agent", "finings part A")],
            |_| (),
            Some("fine with part B"),
        );
        check(&[("agent", "bentonite")], |_| (), None);
        let said = [("agent", "kieselsol"), ("then", "isinglass")];
        check(&said, |_| (), Some("fine with isinglass"));
        check(&[("agent", "kieselsol"), ("then", "none")], |_| (), None);
        // After the gelatin of yesterday it is the second part itself.
        check(
            &[("agent", "kieselsol")],
            |it| _ = it.did(Deed::Fined, 1),
            None,
        );
    }
}
