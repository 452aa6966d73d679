//! Malolactic conversion: finished and unprotected, or wanted and not begun, likely finished by now, or stuck.

use super::fit::Look;
use super::given::Given;
use super::holding::Holding;
use super::malo_course::Stands;
use super::words::span;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::entry::Property;
use crate::cellar::state::Deed;

/// Protection once it is finished; until then what its course asks for.
pub(super) fn rule<'a>(holding: &'a Holding, _: &'a Look) -> Option<Found<'a>> {
    if holding.malo_is_open() {
        open(holding)
    } else {
        unprotected(holding)
    }
}

fn unprotected<'a>(holding: &'a Holding) -> Option<Found<'a>> {
    let finished = holding.wine.when(Deed::MaloFinished)?;
    let sulfited = holding.wine.when(Deed::Sulfited);
    if sulfited.is_some_and(|it| it >= finished) || holding.ferment().is_ahead_or_running() {
        return None;
    }
    if holding.so2_was_read_since(finished) || holding.is_held_by_sulfite() {
        return None;
    }
    let days = holding.days(finished);
    let why = move || {
        vec![
        format!("Malolactic was found finished on {}.", holding.day(finished)),
        "No sulfite was written down since; from now on bacteria and air spoil what they can (common practice).".to_owned(),
    ]
    };
    Some(
        Reason {
            subject: holding.place.key,
            kind: ReasonKind::MaloUnprotected,
            due: holding.now.at(finished),
            rank: Rank::Now,
            weight: holding.litres() * holding.policy.loss_after_malo,
            sentence: match days {
                0 => "malolactic finished, no sulfite yet".to_owned(),
                _ => format!("malolactic finished {} ago, no sulfite since", span(days)),
            },
            suggestion: Suggestion::of("dose").with("place", holding.place.name()),
        }
        .because(why),
    )
}

impl Holding<'_> {
    /// Whether free SO2 meets its aim as far as is known: by its tests, or by what went in since the ferment that no test has seen.
    fn is_held_by_sulfite(&self) -> bool {
        let known = self.forecast().zip(self.free_so2_aim());
        match known {
            Some((forecast, aim)) => forecast.at(self.now)[1] >= aim - self.margin(aim),
            None => Given::of(self).is_some_and(|it| it.protects()),
        }
    }

    /// Whether free SO2 was read since then where an aim is known: what it lacks is said from the reading.
    fn so2_was_read_since(&self, then_ms: i64) -> bool {
        let read = self.wine.known.get(&Property::FreeSo2);
        read.is_some_and(|it| it.at_ms >= then_ms && !it.estimated) && self.free_so2_aim().is_some()
    }
}

/// How it goes, and what to do: begin it, find out why it stands, or look whether it is done.
fn open<'a>(holding: &'a Holding) -> Option<Found<'a>> {
    if !holding.ferment().is_over() {
        return None;
    }
    let course = holding.malo_course()?;
    let policy = holding.policy;
    let looked = course
        .looked
        .map(|it| holding.now.at(it).plus_days(policy.malo_look_days as i64));
    // That it has stopped was seen by the last test, and is no question for another.
    let looked = looked.filter(|_| !course.has_stopped());
    let due = looked.map_or(course.due, |it| it.max(course.due));
    let is_ahead = due.days_since(holding.now) > 0;
    if is_ahead && (looked.is_some() || due.days_since(holding.now) as f64 > policy.horizon_days) {
        return None;
    }
    let place = holding.place.name();
    let test = || {
        Suggestion::of("measure")
            .with("place", place)
            .asking("malic")
    };
    let begin = || Suggestion::of("start-malo").with("place", place);
    let suggestion = match (course.stands, course.hindered.first()) {
        (Stands::NotBegun, None) => begin(),
        // More bacteria begin it anew.
        (_, None) if course.has_stopped() => begin(),
        (Stands::NotBegun | Stands::Stuck, Some(first)) if first.is_cold => {
            Suggestion::of("measure")
                .with("place", place)
                .asking("temperature")
                .asking("malic")
        }
        _ => test(),
    };
    let sentence = course.sentence(holding);
    let rank = if is_ahead || course.stands == Stands::NotBegun {
        Rank::Later
    } else {
        Rank::Soon
    };
    let why = move || course.working(holding);
    Some(
        Reason {
            subject: holding.place.key,
            kind: ReasonKind::MaloOpen,
            due,
            rank,
            weight: holding.litres() * policy.loss_malo_open,
            sentence,
            suggestion,
        }
        .because(why),
    )
}

#[cfg(test)]
mod tests {
    use super::super::trial::{BATCH, Cellar};
    use super::*;
    use crate::cellar::thing::field;

    fn check(kind: ReasonKind, build: impl Fn(&mut Cellar), expected: &str) {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.finished();
        build(&mut cellar);
        assert_eq!(cellar.says_why(kind), expected);
    }

    #[test]
    fn finished_without_sulfite_since_is_now() {
        let kind = ReasonKind::MaloUnprotected;
        check(
            kind,
            |it| _ = it.did(Deed::MaloFinished, 8),
            "! malolactic finished 8 days ago, no sulfite since",
        );
        let read = |it: &mut Cellar| {
            it.did(Deed::MaloFinished, 8).knows(Property::Ph, 3.4, 9);
            it.knows(Property::FreeSo2, 39.0, 2);
        };
        check(kind, read, "");
        check(
            kind,
            |it| _ = it.did(Deed::MaloFinished, 0),
            "! malolactic finished, no sulfite yet",
        );
        check(
            kind,
            |it| _ = it.did(Deed::MaloFinished, 8).did(Deed::Sulfited, 7),
            "",
        );
    }

    /// 28 mg/L of the day before meet an aim of 0.8 × (1 + 10^(3.3 − 1.81)) = 26 (extension table); 9 do not.
    #[test]
    fn finished_in_a_wine_that_has_its_sulfite_is_no_alarm() {
        let read = |free: f64| {
            move |it: &mut Cellar| {
                it.did(Deed::Sulfited, 14).did(Deed::MaloFinished, 8);
                it.knows(Property::Ph, 3.3, 14);
                it.knows(Property::FreeSo2, free, 9);
            }
        };
        let kind = ReasonKind::MaloUnprotected;
        check(kind, read(28.0), "");
        check(
            kind,
            read(9.0),
            "! malolactic finished 8 days ago, no sulfite since",
        );
        // 40 mg/L that nobody tested since.
        let given = |it: &mut Cellar| {
            it.did(Deed::MaloFinished, 8);
            it.sulfited(40.0, 14);
        };
        check(kind, given, "");
    }

    const OPEN: ReasonKind = ReasonKind::MaloOpen;

    /// Wanted, with bacteria so many days ago, at 20 °C and nothing in their way.
    fn begun(days: i64) -> impl Fn(&mut Cellar) {
        move |it| {
            it.set(BATCH, field::MALO, "wanted");
            it.never(Deed::Sulfited).did(Deed::MaloStarted, days);
            it.knows(Property::Temperature, 20.0, 5);
        }
    }

    /// That, and something more.
    fn and(days: i64, more: impl Fn(&mut Cellar)) -> impl Fn(&mut Cellar) {
        move |it| {
            begun(days)(it);
            more(it);
        }
    }

    #[test]
    fn wanted_without_bacteria_is_not_begun() {
        let wanted = |it: &mut Cellar| _ = it.set(BATCH, field::MALO, "wanted");
        check(OPEN, wanted, "  malolactic wanted, not begun");
        check(OPEN, |_| (), "");
        // A strip that fades says that it began by itself.
        check(
            OPEN,
            |it| {
                wanted(it);
                it.says(Property::Malic, "faint", 10);
            },
            "",
        );
        check(
            OPEN,
            |it| {
                wanted(it);
                it.knows(Property::TotalSo2, 60.0, 5);
            },
            "  malolactic wanted, not begun: total SO2 60 mg/L, over 30",
        );
    }

    /// By the usual time at 20 °C: one in ten is finished by day 18, half by day 35, nine in ten by day 66.
    #[test]
    fn begun_it_is_looked_at_when_it_is_likely_finished() {
        check(OPEN, begun(2), "");
        check(
            OPEN,
            begun(10),
            "  malolactic likely finished 4 Dec–20 Jan: test malic",
        );
        check(
            OPEN,
            begun(19),
            "› malolactic may be finished (25 Nov–11 Jan): test malic",
        );
        check(
            OPEN,
            begun(100),
            "› malolactic not seen to finish, 3 months on: test malic",
        );
        // A look is not asked for again at once.
        check(
            OPEN,
            and(40, |it| _ = it.says(Property::Malic, "faint", 13)),
            "",
        );
    }

    #[test]
    fn what_bacteria_cannot_bear_is_said_and_undone() {
        check(
            OPEN,
            and(40, |it| _ = it.knows(Property::Temperature, 14.0, 5)),
            "› malolactic likely stuck: 14 °C, under 18",
        );
        check(
            OPEN,
            and(40, |it| _ = it.knows(Property::Ph, 3.1, 5)),
            "› malolactic likely stuck: pH 3.10, under 3.2",
        );
        check(
            OPEN,
            and(40, |it| {
                it.knows(Property::Ph, 3.1, 5)
                    .knows(Property::TotalSo2, 45.0, 5);
            }),
            "› malolactic likely stuck: total SO2 45 mg/L, over 30; pH 3.10, under 3.2",
        );
        check(
            OPEN,
            and(150, |it| _ = it.says(Property::Malic, "strong", 15)),
            "› malolactic stuck: malic acid still there 4 months after the bacteria",
        );
        let reason = |build: &dyn Fn(&mut Cellar)| {
            let mut cellar = Cellar::with_vessel(23.0, 22.9);
            cellar.finished();
            build(&mut cellar);
            cellar.reason(OPEN).map(|it| it.suggestion.needs)
        };
        let cold = and(40, |it| _ = it.knows(Property::Temperature, 14.0, 5));
        assert_eq!(reason(&cold), Some(vec!["temperature", "malic"]));
        assert_eq!(reason(&begun(40)), Some(vec!["malic"]));
    }

    /// Two tests differ by more than they err, a tenth of a gram or a seventh part each (house estimate), or they do not.
    #[test]
    fn two_tests_of_malic_acid_say_whether_it_goes() {
        let tested = |days: i64, tests: &'static [(f64, i64)]| {
            and(days, move |it| {
                for (malic, days) in tests {
                    it.knows(Property::Malic, *malic, *days);
                }
            })
        };
        let mut going = Cellar::with_vessel(23.0, 22.9);
        tested(60, &[(2.4, 35), (1.1, 15)])(going.finished());
        let says =
            "› malolactic going (malic 2.4 g/L, then 1.1 g/L 20 days later), may be finished";
        assert!(going.says_why(OPEN).starts_with(says));
        check(
            OPEN,
            tested(60, &[(1.2, 20), (1.1, 2)]),
            "› malolactic stopped: malic 1.2 g/L, then 1.1 g/L 18 days later",
        );
        // Ten days are too few to call it stopped, and a strip that says strong twice hides a fall.
        check(OPEN, tested(60, &[(1.2, 12), (1.1, 2)]), "");
        let strips = and(40, |it| {
            it.says(Property::Malic, "strong", 36);
            it.says(Property::Malic, "strong", 15);
        });
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        strips(cellar.finished());
        assert!(!cellar.says_why(OPEN).contains("stopped"));
        // What falls goes, whatever is said of the cold.
        let cold = and(60, |it| {
            it.knows(Property::Temperature, 16.0, 5);
            it.knows(Property::Malic, 2.4, 35)
                .knows(Property::Malic, 1.1, 15);
        });
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cold(cellar.finished());
        assert!(cellar.says_why(OPEN).contains("malolactic going"));
        // More bacteria begin it anew.
        let mut again = Cellar::with_vessel(23.0, 22.9);
        tested(60, &[(1.2, 20), (1.1, 2)])(again.finished());
        let reason = again.reason(OPEN).unwrap();
        assert_eq!(reason.suggestion.verb, "start-malo");
        again.did(Deed::MaloStarted, 0);
        assert!(!again.says_why(OPEN).contains("stopped"));
    }

    #[test]
    fn its_why_names_the_limits_and_their_source() {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.finished();
        and(40, |it| _ = it.knows(Property::Ph, 3.1, 5))(&mut cellar);
        let why = cellar.working(OPEN).join("\n");
        for said in ["pH 3.10", "3.2", "from memory", "no sulfite"] {
            assert!(why.contains(said), "{said}: {why}");
        }
    }

    /// Sulfite would stop the bacteria that are asked for.
    #[test]
    fn free_so2_is_not_asked_for_while_it_is_open() {
        let asks = |kind| {
            let mut cellar = Cellar::with_vessel(23.0, 22.9);
            cellar.finished();
            begun(40)(&mut cellar);
            cellar
                .knows(Property::FreeSo2, 2.0, 30)
                .knows(Property::Ph, 3.5, 30);
            cellar.says_why(kind)
        };
        for kind in [
            ReasonKind::SulfiteLow,
            ReasonKind::SulfiteOld,
            ReasonKind::Untested,
        ] {
            assert_eq!(asks(kind), "", "{kind:?}");
        }
    }
}
