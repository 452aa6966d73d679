//! The look at bottles that stand after a bottling, and what to do about what it found.

use leesline_calc::hazards::RISING_CORK;

use super::fit::Look;
use super::holding::Holding;
use super::waiting::DANGER;
use super::words::count;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::bottling::{
    Closure, IN_SOME, LOOKED_AT, Package, Sign, carried, sign, sign_words,
};
use crate::cellar::entry::{Posture, Property};
use crate::cellar::racks::Racks;
use crate::cellar::thing::{Thing, field, must_stay_moist};
use crate::cellar::window::filled;

/// Bottles that stand and were not looked at since they were filled. What needs no laying down stands for good, so of that only
/// those are asked about that were bottled here.
pub(super) fn due<'a>(holding: &'a Holding, look: &'a Look) -> Option<Found<'a>> {
    let run = holding.place;
    let closure = run.text(field::CLOSURE);
    // Nothing said counts as cork.
    let is_laid_down = closure.is_empty() || must_stay_moist(closure);
    let was_bottled_here = run.int(field::VESSEL).is_some() && !Package::of(run).keeps_part_full();
    if look.cellar.filling == Some(run.key) || !(is_laid_down || was_bottled_here) {
        return None;
    }
    let lots = holding.wine.bottles.iter();
    let standing = lots.filter(|it| it.posture == Posture::Standing);
    let standing: i64 = standing.map(|it| it.count).sum();
    let filled = filled(holding)?;
    if standing <= 0 || corks_seen(holding).is_some_and(|at| at >= filled.utc_ms) {
        return None;
    }
    let round = holding.wine.looks.get(&Property::Corks);
    let seen = round.filter(|it| it.since_ms >= filled.utc_ms);
    let seen = seen.map_or(0, |_| holding.wine.looked_at(Property::Corks));
    let unseen = standing.min(holding.wine.bottle_count() - seen);
    let due = filled.plus_days(holding.policy.look_days as i64);
    let why = move || {
        let mut lines = vec![
            "A day after bottling is time to see what moves (common practice): corks that rise, wine that seeps, bubbles, haze.".to_owned(),
            RISING_CORK.sentence.to_owned(),
        ];
        lines.extend((seen > 0).then(|| format!("{seen} of this run were looked at since.")));
        lines
    };
    let (which, of_all, suggestion) = if unseen < standing {
        let all = count(standing, "standing bottle");
        let part = Suggestion::of("look").with("count", unseen.to_string());
        (unseen.to_string(), format!(" of {all}"), part)
    } else {
        (
            count(standing, "standing bottle"),
            String::new(),
            Suggestion::of("look"),
        )
    };
    let rank = if due.days_since(holding.now) <= 0 {
        Rank::Soon
    } else {
        Rank::Later
    };
    Some(
        Reason {
            subject: run.key,
            kind: ReasonKind::Look,
            due,
            rank,
            weight: holding.litres() * holding.policy.loss_corks,
            sentence: format!(
                "look at {which}{of_all}: {}, seepage, bubbles, haze",
                closures(run)
            ),
            suggestion: suggestion.with("run", run.name()).asking("corks"),
        }
        .because(why),
    )
}

/// What closes them, as it is looked at.
fn closures(run: &Thing) -> &'static str {
    match Closure::of(run) {
        None | Some(Closure::Cork | Closure::TechnicalCork | Closure::SyntheticCork) => "corks",
        Some(Closure::Stopper) => "stoppers",
        Some(_) => "caps",
    }
}

/// A further look at all that was found amiss.
pub(super) fn look_again(holding: &Holding) -> Suggestion {
    let look = Suggestion::of("look").with("run", holding.place.name());
    let others = signs(holding).into_iter().map(|it| it.0.field);
    others
        .filter(|it| *it != "corks")
        .fold(look.asking("corks"), Suggestion::asking)
}

/// What a look since the bottling found amiss, whatever closes the bottles.
pub(super) fn amiss<'a>(holding: &'a Holding, look: &'a Look) -> Option<Found<'a>> {
    let bottles = holding.wine.bottle_count();
    let seen = signs(holding);
    let since = seen.iter().map(|it| it.1).max().filter(|_| bottles > 0)?;
    let bursts = seen.iter().any(|it| it.0.bursts);
    let words = sign_words(seen.iter().map(|it| it.0));
    let (rank, to_do) = if bursts {
        (
            Rank::Now,
            "they may burst; goggles, gloves, chill before touching",
        )
    } else {
        (Rank::Soon, "look again: it may be gas, or a bad cork")
    };
    let run = holding.place;
    let suggestion = look_again(holding);
    let found_on = holding.day(since);
    let so_far = looked_at_since(holding, &seen);
    let so_far = so_far.map_or(String::new(), |it| format!(", only {it} looked at since"));
    let why = move || {
        vec![
            format!("Found on {found_on}. A further look that finds them well ends this."),
            format!("{} ({})", RISING_CORK.sentence, RISING_CORK.source),
        ]
        .into_iter()
        .chain(looked_at_since(holding, &seen).map(|it| {
            let left = holding.wine.bottle_count();
            format!("{it} of the {left} that are left were looked at since; once all were found well, this ends.")
        }))
        .chain(holding.those_given().filter(|_| bursts))
        .collect()
    };
    Some(
        Reason {
            subject: run.key,
            kind: ReasonKind::Amiss,
            due: holding.now.at(since),
            rank,
            weight: if bursts {
                DANGER + holding.litres()
            } else {
                holding.litres() * holding.policy.loss_corks
            },
            sentence: format!("{words} in {}{so_far}: {to_do}", those(holding, look)),
            suggestion,
        }
        .because(why),
    )
}

/// How far the looks at the rest have come that would settle what was found: how many were looked at since. `None` where none
/// was, or what was found is with bottles that carry it.
fn looked_at_since(holding: &Holding, found: &[(&'static Sign, i64)]) -> Option<i64> {
    let wine = holding.wine;
    let (sign, at) = found.iter().find(|it| wine.carrying(it.0.property) == 0)?;
    let seen = wine.looked_at_since(sign.property, *at);
    Some(seen).filter(|it| (1..wine.bottle_count()).contains(it))
}

/// The bottles that it was found with: `29 bottles`, or `1 of 29 bottles, Stair rack/A7`.
fn those(holding: &Holding, look: &Look) -> String {
    let all = count(holding.wine.bottle_count(), "bottle");
    let lots = holding.wine.bottles.iter();
    let marked: Vec<_> = lots.filter(|it| !it.found.is_empty()).collect();
    let number: i64 = marked.iter().map(|it| it.count).sum();
    if number == 0 {
        let of_gone = signs(holding).iter().any(|it| is_of_some(holding, it.0));
        let gone = if of_gone {
            "bottles that are gone, "
        } else {
            ""
        };
        let left = if of_gone { " left" } else { "" };
        return format!("{gone}{all}{left}");
    }
    let racks = Racks::of(&look.cellar.things);
    let places = marked.iter().map(|it| it.at.as_str());
    match racks.together(places.filter(|it| !it.is_empty())).as_str() {
        "" => format!("{number} of {all}"),
        places => format!("{number} of {all}, {places}"),
    }
}

/// What was found amiss since the bottles were filled, and when (UTC ms): of the run by its last look,
/// and of any bottle that carries it still.
fn signs(holding: &Holding) -> Vec<(&'static Sign, i64)> {
    // Haze before the bottling is the vessel's affair.
    let filled_ms = filled(holding).map_or(i64::MIN, |it| it.utc_ms);
    let last = |property: Property| {
        let known = holding.wine.known.get(&property)?;
        Some(known.at_ms).filter(|it| *it >= filled_ms)
    };
    let of_run = LOOKED_AT.into_iter().filter_map(|property| {
        let (word, _) = holding.word(property)?;
        let sign = sign(property, &word)?;
        // What was found with some goes with them, but for pressure: one wine is in all of them, until the
        // others were looked at too.
        let looks = holding.wine.looks.get(&property);
        let is_feared = sign.bursts || !word.ends_with(IN_SOME);
        let is_feared = is_feared && !looks.is_some_and(|it| it.settled);
        let is_there = is_feared || holding.wine.carrying(property) > 0;
        Some((sign, last(property).filter(|_| is_there)?))
    });
    let mut signs: Vec<(&Sign, i64)> = of_run.collect();
    for lot in holding
        .wine
        .bottles
        .iter()
        .filter(|it| !it.found.is_empty())
    {
        for sign in carried(&lot.found) {
            if !signs.iter().any(|it| it.0 == sign) {
                // When that bottle was looked at the run does not say; not after its last look.
                let at = last(sign.property).or(last(Property::Corks));
                signs.push((sign, at.unwrap_or(holding.now.utc_ms)));
            }
        }
    }
    signs
}

/// Whether that was found with some of the bottles only.
fn is_of_some(holding: &Holding, sign: &Sign) -> bool {
    let found = holding.word(sign.property);
    found.is_some_and(|it| it.0.ends_with(IN_SOME))
}

/// When a look at the corks of all bottles last began (UTC ms), at once or some at a time; a look at some
/// is none at the others.
pub(super) fn corks_seen(holding: &Holding) -> Option<i64> {
    holding.wine.looks.get(&Property::Corks)?.all_ms
}

/// What a look found that may burst a bottle, and when (UTC ms).
pub(in crate::cellar) fn pressure(holding: &Holding) -> Vec<(&'static Sign, i64)> {
    let mut found = signs(holding);
    found.retain(|it| it.0.bursts);
    found
}

/// Whether a look found what may burst a bottle, of the run or of any of its bottles: nobody should
/// handle it before it is chilled.
pub(in crate::cellar) fn may_burst(holding: &Holding) -> bool {
    !pressure(holding).is_empty()
}

#[cfg(test)]
mod tests {
    use super::super::trial::{Cellar, RUN, days_ago};
    use super::*;
    use crate::cellar::looks::Looks;
    use crate::cellar::thing::Value;

    fn check_due(days: i64, change: impl FnOnce(&mut Cellar), expected: &str) {
        let mut cellar = Cellar::with_bottles(29, days);
        change(&mut cellar);
        assert_eq!(cellar.says_why(ReasonKind::Look), expected);
    }

    #[test]
    fn standing_corks_are_looked_at_a_day_after() {
        let look = "look at 29 standing bottles: corks, seepage, bubbles, haze";
        check_due(0, |_| {}, &format!("  {look}"));
        check_due(1, |_| {}, &format!("› {look}"));
        check_due(9, |_| {}, &format!("› {look}"));
        check_due(9, |it| _ = it.says(Property::Corks, "level", 8), "");
        // A look at one of them is none at the others.
        let one = |it: &mut Cellar| _ = it.says(Property::Corks, "rising in some", 8);
        check_due(9, one, &format!("› {look}"));
        // A look before they were filled was at another wine's corks.
        let old = |it: &mut Cellar| _ = it.says(Property::Corks, "level", 12);
        check_due(9, old, &format!("› {look}"));
        check_due(9, |it| it.wine().bottles[0].posture = Posture::Lying, "");
    }

    #[test]
    fn only_those_are_asked_for_that_nobody_looked_at() {
        let seen = |count: i64, days: i64| {
            move |it: &mut Cellar| {
                let looks = Looks {
                    all_ms: (count == 29).then(|| days_ago(days)),
                    ..Looks::at_all(count, days_ago(days))
                };
                it.wine().looks.insert(Property::Corks, looks);
            }
        };
        let some = |count: i64, of: &str| {
            format!("› look at {count} of {of}: corks, seepage, bubbles, haze")
        };
        check_due(9, seen(28, 8), &some(1, "29 standing bottles"));
        check_due(9, seen(29, 8), "");
        // Filled since, or lying: those that stand may be the ones.
        let all = "› look at 29 standing bottles: corks, seepage, bubbles, haze";
        check_due(9, seen(28, 12), all);
        let mut cellar = Cellar::with_bottles(29, 9);
        seen(20, 8)(&mut cellar);
        let mut laid = cellar.wine().bottles[0].clone();
        cellar.wine().bottles[0].count = 12;
        (laid.count, laid.posture) = (17, Posture::Lying);
        cellar.wine().bottles.push(laid);
        assert_eq!(
            cellar.says_why(ReasonKind::Look),
            some(9, "12 standing bottles")
        );
    }

    #[test]
    fn caps_are_looked_at_once_where_the_bottles_were_filled_here() {
        for (closure, word) in [
            ("screw-cap", "caps"),
            ("crown-26", "caps"),
            ("swing-top", "caps"),
            ("stopper", "stoppers"),
            ("synthetic-cork", "corks"),
        ] {
            let closed = |it: &mut Cellar| _ = it.set(RUN, field::CLOSURE, closure);
            check_due(2, closed, "");
            let here = |it: &mut Cellar| {
                closed(it);
                it.set(RUN, field::VESSEL, Value::Int(1));
            };
            let look = format!("› look at 29 standing bottles: {word}, seepage, bubbles, haze");
            check_due(2, here, &look);
            let seen = |it: &mut Cellar| {
                here(it);
                it.says(Property::Corks, "level", 1);
            };
            check_due(2, seen, "");
        }
        let keg = |it: &mut Cellar| {
            it.set(RUN, field::VESSEL, Value::Int(1));
            it.set(RUN, field::CLOSURE, "lid");
            it.set(RUN, field::PACKAGE, "keg");
        };
        check_due(2, keg, "");
    }

    fn check_amiss(change: impl FnOnce(&mut Cellar), expected: &str) {
        let mut cellar = Cellar::with_bottles(29, 9);
        change(&mut cellar);
        assert_eq!(cellar.says_why(ReasonKind::Amiss), expected);
        if expected.starts_with('!') {
            let working = cellar.working(ReasonKind::Amiss).join(" ");
            assert!(working.contains("chill"), "{working}");
        }
    }

    #[test]
    fn a_rising_cork_or_gas_brings_the_caution_whatever_the_closure() {
        let burst = "they may burst; goggles, gloves, chill before touching";
        check_amiss(|_| {}, "");
        check_amiss(|it| _ = it.says(Property::Corks, "level", 1), "");
        check_amiss(
            |it| _ = it.says(Property::Corks, "rising", 1),
            &format!("! corks rising in 29 bottles: {burst}"),
        );
        check_amiss(
            |it| {
                it.set(RUN, field::CLOSURE, "crown-cap");
                it.says(Property::Gas, "some", 1);
            },
            &format!("! some gas in 29 bottles: {burst}"),
        );
        check_amiss(
            |it| {
                it.says(Property::Corks, "rising", 1);
                it.says(Property::Clarity, "hazy", 1);
            },
            &format!("! corks rising, wine hazy in 29 bottles: {burst}"),
        );
    }

    #[test]
    fn where_it_was_found_with_some_they_are_named() {
        check_amiss(
            |it| {
                it.says(Property::Corks, "rising", 1);
                let mut one = it.wine().bottles[0].clone();
                it.wine().bottles[0].count = 28;
                one.count = 1;
                one.at = "pantry".to_owned();
                one.found = "corks rising".to_owned();
                it.wine().bottles.push(one);
            },
            "! corks rising in 1 of 29 bottles, pantry: they may burst; goggles, gloves, chill before touching",
        );
    }

    /// One bottle carries what was found of it, whatever a look at the run says since.
    #[test]
    fn a_bottle_that_carries_its_finding_counts_as_the_run_does() {
        let carries = |found: &'static str| {
            move |it: &mut Cellar| {
                it.says(Property::Corks, "level", 1);
                let mut one = it.wine().bottles[0].clone();
                it.wine().bottles[0].count = 28;
                one.count = 1;
                one.at = "pantry".to_owned();
                one.found = found.to_owned();
                it.wine().bottles.push(one);
            }
        };
        let burst = "they may burst; goggles, gloves, chill before touching";
        check_amiss(
            carries("some gas"),
            &format!("! some gas in 1 of 29 bottles, pantry: {burst}"),
        );
        check_amiss(
            carries("some seepage, corks rising"),
            &format!("! some seepage, corks rising in 1 of 29 bottles, pantry: {burst}"),
        );
        check_amiss(
            carries("wine hazy"),
            "› wine hazy in 1 of 29 bottles, pantry: look again: it may be gas, or a bad cork",
        );
    }

    #[test]
    fn what_was_found_with_some_goes_with_them() {
        let some = |it: &mut Cellar| _ = it.says(Property::Seepage, "some in some", 1);
        check_amiss(some, "");
    }

    /// The same wine is in the others, and nobody looked at them.
    #[test]
    fn pressure_found_with_some_is_feared_of_the_rest_until_all_are_looked_at() {
        let some = |it: &mut Cellar| _ = it.says(Property::Corks, "rising in some", 2);
        check_amiss(
            some,
            "! corks rising in bottles that are gone, 29 bottles left: they may burst; goggles, gloves, chill before touching",
        );
        check_amiss(
            |it| {
                some(it);
                it.says(Property::Corks, "level", 1);
            },
            "",
        );
        check_amiss(
            |it| {
                some(it);
                it.wine().bottles[0].found = "corks rising".to_owned();
            },
            "! corks rising in 29 of 29 bottles: they may burst; goggles, gloves, chill before touching",
        );
    }

    /// A look at two that finds them well ends nothing, and the line says how far it has come.
    #[test]
    fn a_look_at_some_says_how_many_are_left() {
        check_amiss(
            |it| {
                it.says(Property::Corks, "rising", 3);
                let looks = Looks {
                    all_ms: None,
                    ..Looks::at_all(2, days_ago(1))
                };
                it.wine().looks.insert(Property::Corks, looks);
            },
            "! corks rising in 29 bottles, only 2 looked at since: they may burst; goggles, gloves, chill before touching",
        );
    }

    #[test]
    fn nobody_is_sent_to_lay_down_what_may_burst() {
        let mut cellar = Cellar::with_bottles(29, 9);
        cellar.says(Property::Corks, "level", 1);
        assert_ne!(cellar.says_why(ReasonKind::LayDown), "");
        cellar.says(Property::Corks, "rising", 0);
        assert_eq!(cellar.says_why(ReasonKind::LayDown), "");
    }

    #[test]
    fn seepage_and_haze_ask_for_another_look() {
        let again = "look again: it may be gas, or a bad cork";
        check_amiss(
            |it| _ = it.says(Property::Seepage, "some", 1),
            &format!("› some seepage in 29 bottles: {again}"),
        );
        // Haze before the bottling is the vessel's affair.
        check_amiss(|it| _ = it.says(Property::Clarity, "hazy", 12), "");
    }
}
