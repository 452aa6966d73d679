//! Wine whose free SO2 was never measured: one reason for all of it, because people without a test
//! kit are answered by the rule of thumb and not by being asked six times.

use super::first_sulfite;
use super::fit::Look;
use super::holding::Holding;
use super::words::{count, span};
use super::{Found, Rank, Reason, ReasonKind, Suggestion, is_silenced};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Deed;
use crate::cellar::thing::CELLAR;

/// One wine whose sulfite nobody has looked at for long. Where free SO2 is not tested at all, only
/// the time since the last sulfite counts.
pub(super) fn rule<'a>(holding: &'a Holding) -> Option<Found<'a>> {
    // Its first sulfite has a day of its own.
    if first_sulfite::due(holding).is_some() {
        return None;
    }
    let since = holding.wine.when(Deed::Sulfited);
    let begun = holding.wine.when(Deed::Begun);
    let days = since.or(begun).map(|it| holding.days(it));
    let wait = holding.policy.sulfite_days;
    if days.is_some_and(|it| (it as f64) < wait) {
        return None;
    }
    let last = match (since, days) {
        (Some(_), Some(days)) => format!("{} since the last sulfite", span(days)),
        _ => "no sulfite written down".to_owned(),
    };
    let sentence = match (since, holding.tests_so2) {
        (_, false) => last,
        (Some(_), true) => format!("SO2 never measured; {last}"),
        (None, true) => format!("SO2 never measured, {last}"),
    };
    let due = since
        .or(begun)
        .map_or(holding.now, |it| holding.now.at(it).plus_days(wait as i64));
    let name = holding.place.name();
    let mut suggestion = if holding.tests_so2 {
        Suggestion::of("measure")
            .with("place", name)
            .asking("free-so2")
    } else {
        Suggestion::of("dose").with("place", name)
    };
    if holding.tests_so2 && holding.ph().is_none() {
        suggestion = suggestion.asking("ph");
    }
    let why = move || {
        let mut lines = vec![
            format!(
                "Without a test, sulfite is looked at every {wait:.0} days or so (common practice)."
            ),
            format!(
                "Rule of thumb: {} g of potassium metabisulfite per litre, 25–30 mg/L of SO2, at each racking (common practice); what stays free then differs widely.",
                holding.policy.next_dose_g_l
            ),
            format!("SO2 added: {}.", holding.wine.sulfite_so_far()),
        ];
        if holding.tests_so2 {
            let first = "Free SO2 was never measured as a number, so nothing can be forecast. Without a test kit, `settings --so2-test no` stops asking for it.";
            lines.insert(0, first.to_owned());
        }
        lines
    };
    Some(
        Reason {
            subject: holding.place.key,
            kind: ReasonKind::Untested,
            due,
            // Of a wine that was here before the book nobody knows how urgent it is.
            rank: if days.is_some() {
                Rank::Soon
            } else {
                Rank::Later
            },
            weight: holding.litres() * holding.policy.loss_untested,
            sentence,
            suggestion,
        }
        .because(why),
    )
}

/// Puts one reason of the whole cellar in place of several of its vessels. It stands where the most
/// pressing of them would, and begins with that vessel's dose.
pub(super) fn as_one(reasons: &mut Vec<Reason>, cellar: &Snapshot) {
    let (several, rest): (Vec<Reason>, Vec<Reason>) = std::mem::take(reasons)
        .into_iter()
        .partition(|it| it.kind == ReasonKind::Untested);
    *reasons = rest;
    let pressing = several
        .iter()
        .min_by(|a, b| a.rank.cmp(&b.rank).then(b.weight.total_cmp(&a.weight)));
    let Some(first) = pressing.filter(|_| several.len() > 1) else {
        reasons.extend(several);
        return;
    };
    let vessels = named(&several, cellar);
    let name = cellar.name(first.subject);
    let sentence = if cellar.settings().tests_so2 {
        format!("SO2 never measured in {vessels}: test, or work out the dose of {name}")
    } else {
        format!("sulfite not looked at for long in {vessels}: work out the dose of {name}")
    };
    let one = Reason {
        subject: CELLAR,
        kind: ReasonKind::Untested,
        due: several.iter().map(|it| it.due).min().unwrap_or(first.due),
        rank: first.rank,
        weight: several.iter().map(|it| it.weight).sum(),
        sentence,
        suggestion: Suggestion::of("dose").with("place", cellar.name(first.subject)),
    };
    if !is_silenced(&one, cellar) {
        reasons.push(one);
    }
}

/// The vessels by name where they are few, else how many.
fn named(several: &[Reason], cellar: &Snapshot) -> String {
    match several {
        [one, other] => format!(
            "{} and {}",
            cellar.name(one.subject),
            cellar.name(other.subject)
        ),
        several => count(several.len() as i64, "vessel"),
    }
}

/// The working of the one reason: each vessel with its own.
pub(super) fn working(reason: &Reason, look: &Look) -> Option<Vec<String>> {
    if (reason.subject, reason.kind) != (CELLAR, ReasonKind::Untested) {
        return None;
    }
    let (mut lines, mut rules) = (Vec::new(), Vec::new());
    for place in look.places() {
        look.find_about(place, |found| {
            let it = &found.reason;
            if it.kind == ReasonKind::Untested && !is_silenced(it, look.cellar) {
                lines.push(format!(
                    "{}: {}.",
                    look.cellar.name(it.subject),
                    it.sentence
                ));
                rules = (found.why)();
            }
        });
    }
    // The last line of each is of its own wine; what stands before it holds for all.
    rules.pop();
    lines.extend(rules);
    Some(lines)
}

#[cfg(test)]
mod tests {
    use super::super::trial::{CARBOY, Cellar, policy};
    use super::super::{Answer, attention};
    use super::*;
    use crate::cellar::thing::{Key, Sort, field};

    /// That many vessels with finished wine, last sulfited 70 days ago and never tested.
    fn untested(vessels: i64) -> Cellar {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.finished().did(Deed::Sulfited, 70);
        let wine = cellar.0.states[&CARBOY].clone();
        for at in 1..vessels {
            cellar.spare(600 + at, &format!("Jug {at}"), "carboy", 23.0);
            cellar.0.states.insert(Key(600 + at), wine.clone());
        }
        cellar
    }

    fn found(cellar: &Cellar) -> Vec<(Key, &'static str, String)> {
        let all = attention(&cellar.0, &policy()).into_iter();
        all.filter(|it| it.kind == ReasonKind::Untested)
            .map(|it| (it.subject, it.suggestion.verb, it.sentence))
            .collect()
    }

    #[test]
    fn several_vessels_are_one_reason_that_points_to_the_dose() {
        let one = "SO2 never measured; 70 days since the last sulfite";
        assert_eq!(found(&untested(1)), [(CARBOY, "measure", one.to_owned())]);
        let two =
            "SO2 never measured in Carboy A and Jug 1: test, or work out the dose of Carboy A";
        assert_eq!(found(&untested(2)), [(CELLAR, "dose", two.to_owned())]);
        let six = "SO2 never measured in 6 vessels: test, or work out the dose of Carboy A";
        let cellar = untested(6);
        assert_eq!(found(&cellar), [(CELLAR, "dose", six.to_owned())]);
        let policy = policy();
        let look = Look::at(&cellar.0, &policy);
        let all = attention(&cellar.0, &policy);
        let reason = all.iter().find(|it| it.kind == ReasonKind::Untested);
        let lines = look.working(reason.unwrap());
        assert!(
            lines[0].ends_with(": SO2 never measured; 70 days since the last sulfite."),
            "{lines:#?}"
        );
        assert!(
            lines.iter().any(|it| it.starts_with("Rule of thumb")),
            "{lines:#?}"
        );
    }

    #[test]
    fn one_put_off_is_counted_no_more_and_all_can_be_put_off_at_once() {
        let word = ReasonKind::Untested.word();
        let mut cellar = untested(6);
        cellar.put_off(CARBOY, word, None, 0);
        assert!(found(&cellar)[0].2.contains("in 5 vessels"));
        cellar.put_off(CELLAR, word, None, 0);
        assert_eq!(found(&cellar), []);
    }

    #[test]
    fn who_has_no_test_is_not_asked_for_one() {
        let mut cellar = untested(1);
        cellar.thing(CELLAR, Sort::Cellar, "Home");
        cellar.set(CELLAR, field::SO2_TEST, "no");
        let said = "70 days since the last sulfite".to_owned();
        assert_eq!(found(&cellar), [(CARBOY, "dose", said)]);
        let policy = policy();
        let gate = cellar.holding(&policy).gate();
        let item = gate.iter().find(|it| it.question == "Protected?").unwrap();
        assert_eq!(item.answer, Answer::NotKnown);
        assert_eq!(item.suggestion.as_ref().unwrap().verb, "dose");
        cellar.did(Deed::Sulfited, 5);
        let gate = cellar.holding(&policy).gate();
        let item = gate.iter().find(|it| it.question == "Protected?").unwrap();
        assert_eq!(item.answer, Answer::Yes, "{:?}", item.evidence);
    }
}
