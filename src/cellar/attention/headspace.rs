//! Too much headspace: the oxygen in it, and the free SO2 that may cost.

use leesline_calc::oxygen::air_oxygen_mg;

use super::finished::{Gas, Plateau};
use super::fit::Look;
use super::holding::Holding;
use super::stage::Ferment;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::amount::Volume;
use crate::cellar::entry::Property;
use crate::cellar::moment::Moment;
use crate::cellar::state::Deed;
use crate::cellar::telling;
use crate::cellar::thing::field;

/// Above this a figure of free SO2 tells nobody anything: no wine holds so much (mg/L).
const MOST_SAID_MG_L: f64 = 60.0;

/// Air over a wine that no longer ferments. A floating lid follows the wine and leaves none.
pub(super) fn rule<'a>(holding: &'a Holding, look: &'a Look) -> Option<Found<'a>> {
    let policy = holding.policy;
    let ferment = holding.ferment();
    let floats = holding.place.text(field::CLOSURE).contains("float");
    // One that stands still makes no gas to keep the air off.
    let makes_gas = matches!(ferment, Ferment::Must | Ferment::Running);
    if makes_gas || floats || !holding.is_much_air() {
        return None;
    }
    let doubt = Doubt::of(holding);
    // Its own gas keeps the air off.
    if doubt == Some(Doubt::Gassy) {
        return None;
    }
    let air = Air::over(holding)?;
    let due = due(holding, air.low_since);
    // It may be gas for all that is known.
    let is_sure = ferment != Ferment::Doubtful;
    let is_bad =
        air.oxygen_mg_l >= policy.headspace_now_mg_l && !is_kept_off_by_gas(holding) && is_sure;
    let rank = if is_bad && due.days_since(holding.now) <= 0 {
        Rank::Now
    } else {
        Rank::Soon
    };
    let (room, takes_mg_l) = (air.room, air.oxygen_mg_l * policy.so2_per_oxygen);
    let (what, suggestion) = match doubt {
        Some(Doubt::Unread) => first(
            "measure its gravity again, and top up if it ferments no more",
            "gravity",
            holding,
        ),
        Some(Doubt::Unshaken) => first(
            "shake a sample, and top up if no gas is in it",
            "gas",
            holding,
        ),
        Some(Doubt::Gassy | Doubt::Still) | None => remedy(holding, look, room),
    };
    Some(
        Reason {
            subject: holding.place.key,
            kind: ReasonKind::Headspace,
            due,
            rank,
            // The more of the vessel is air, the sooner the wine under it is spoiled.
            weight: holding.litres() * air.share * policy.loss_air,
            sentence: if takes_mg_l > MOST_SAID_MG_L {
                format!("headspace {room}, more air than sulfite can meet: {what}")
            } else {
                format!("headspace {room}, may cost {takes_mg_l:.0} mg/L SO2: {what}")
            },
            suggestion,
        }
        .because(move || {
            let mut lines = air.working(holding);
            lines.extend(doubt.map(|it| it.line().to_owned()));
            lines
        }),
    )
}

/// What is known of a wine of which nobody knows whether it still ferments: topped up it would foam, and its gas may be all that is
/// above it; left alone it may stand under air.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Doubt {
    /// Its gravity was not read lately.
    Unread,
    /// It was, and one reading alone does not say whether it falls.
    Unshaken,
    /// Gas was found in it lately.
    Gassy,
    /// No gas was, or its gravity stood for as long as a reading holds.
    Still,
}

impl Doubt {
    /// `None` where it is known.
    fn of(holding: &Holding) -> Option<Doubt> {
        let holds = holding.policy.unread_days;
        let is_late = |at_ms: i64| (holding.days(at_ms) as f64) < holds;
        match holding.ferment() {
            Ferment::Doubtful => {}
            Ferment::Stuck => {
                return Some(match holding.gas() {
                    Gas::There(at) if is_late(at) => Doubt::Gassy,
                    _ => Doubt::Still,
                });
            }
            _ => return None,
        }
        let level = Plateau::of(holding.readings_since_sugar(), holding.policy.equal_gravity);
        let Some(level) = level.filter(|it| is_late(it.until_ms)) else {
            return Some(Doubt::Unread);
        };
        let stood = holding.days(level.since_ms) - holding.days(level.until_ms);
        Some(match holding.gas() {
            Gas::There(at) if is_late(at) => Doubt::Gassy,
            Gas::Gone(at) | Gas::NoneFound(at) if is_late(at) => Doubt::Still,
            _ if stood as f64 >= holds => Doubt::Still,
            _ => Doubt::Unshaken,
        })
    }

    fn line(self) -> &'static str {
        match self {
            Doubt::Unread | Doubt::Unshaken | Doubt::Gassy => {
                "It may still ferment: then its own gas keeps the air off, and topped up it would foam over. So that is looked for first."
            }
            Doubt::Still => {
                "It stands above a dry wine's gravity and may ferment again: top it up under an airlock, and leave room to rise."
            }
        }
    }
}

/// What is looked for before anything is done.
fn first(what: &str, field: &'static str, holding: &Holding) -> (String, Suggestion) {
    let measure = Suggestion::of("measure").with("place", holding.place.name());
    (what.to_owned(), measure.asking(field))
}

/// The air over a wine.
struct Air {
    room: Volume,
    /// Its part of the vessel, 0–1.
    share: f64,
    oxygen_mg: f64,
    /// The same per litre of wine.
    oxygen_mg_l: f64,
    /// Since when there is too much of it, UTC ms; `None` if there was as the vessel was filled.
    low_since: Option<i64>,
}

impl Air {
    /// `None` while the headspace is not known.
    fn over(holding: &Holding) -> Option<Air> {
        let oxygen_mg = holding.headspace_oxygen_mg()?;
        Some(Air {
            room: holding.headspace()?,
            share: holding.headspace_share().unwrap_or(0.0),
            oxygen_mg,
            oxygen_mg_l: oxygen_mg / holding.litres(),
            low_since: holding.wine.low_since(|it| holding.is_much_air_over(it)),
        })
    }

    fn working(&self, holding: &Holding) -> Vec<String> {
        let (policy, celsius) = (holding.policy, holding.air_c());
        let mut lines = vec![
            format!(
                "Headspace {}, {:.0} % of the vessel: {} − {}.",
                self.room,
                self.share * 100.0,
                holding.place.capacity().unwrap_or_default(),
                holding.wine.volume
            ),
            format!(
                "Oxygen in it {:.0} mg ({:.4} mg/mL of air at {celsius:.0} °C, gas law), {:.1} mg per litre of wine.",
                self.oxygen_mg,
                air_oxygen_mg(1.0, celsius),
                self.oxygen_mg_l
            ),
            format!(
                "If the wine takes it all up, {:.0} mg/L of free SO2 at {} mg per mg (Pascal, Diéval and Vidal), {:.0} at worst (stoichiometry); and again each time the air is renewed.",
                self.oxygen_mg_l * policy.so2_per_oxygen,
                policy.so2_per_oxygen,
                self.oxygen_mg_l * policy.so2_per_oxygen_worst
            ),
            format!(
                "Due from {:.0} mg of oxygen per litre, pressing from {:.0} (house estimate).",
                policy.headspace_soon_mg_l, policy.headspace_now_mg_l
            ),
        ];
        let read = holding.known_between(Property::FreeSo2, 0.0, 1e3);
        if let Some((_, known)) = read {
            let day = holding.day(known.at_ms);
            let free = telling::found(Property::FreeSo2, &known.found);
            lines.push(format!("Free SO2 in it was last read at {free}, on {day}."));
        }
        if holding.place.brim().is_none() {
            lines.push(
                "By its mark; above that the neck holds a little more. Measure the brim once."
                    .to_owned(),
            );
        }
        if let Some(since) = self.low_since {
            lines.push(format!(
                "Less air stood over it until its level fell on {}.",
                holding.day(since)
            ));
        }
        if holding.wine.about {
            lines.push("The volume was said as about, so look before you top up.".to_owned());
        }
        lines
    }
}

/// Whether gas still rising from its lees keeps the air off for a while. From a wine that stood at one gravity for two weeks, or
/// was found without gas since, none rises.
fn is_kept_off_by_gas(holding: &Holding) -> bool {
    let Some(over) = holding.measured_over_ms() else {
        return false;
    };
    let level = Plateau::of(holding.readings_since_sugar(), holding.policy.equal_gravity);
    let is_still = level.is_some_and(|it| holding.is_steady(&it));
    let is_out = matches!(holding.gas(), Gas::Gone(at) | Gas::NoneFound(at) if at >= over);
    let is_fresh = holding.days(over) as f64 <= holding.policy.gross_lees_days;
    is_fresh && !is_still && !is_out && holding.is_on_gross_lees()
}

/// By when it is to be mended; a vessel that is largely air is not left for a week, whenever it came to be so.
fn due(holding: &Holding, low_since: Option<i64>) -> Moment {
    let policy = holding.policy;
    let given = |low_since: Option<i64>, days: f64| {
        let since = counted_from(holding, low_since);
        since.map_or(holding.now, |it| holding.now.at(it).plus_days(days as i64))
    };
    let due = given(low_since, policy.headspace_days);
    if !holding.is_under_air() {
        return due;
    }
    let holds = holding.place.capacity().unwrap_or_default().in_litres();
    let is_largely_air = |it: Volume| 1.0 - it.in_litres() / holds >= policy.under_air_share;
    due.min(given(holding.wine.low_since(is_largely_air), 0.0))
}

impl Holding<'_> {
    /// How warm the air above it is taken to be, °C.
    fn air_c(&self) -> f64 {
        let celsius = self.usual_c.filter(|it| (0.0..=40.0).contains(it));
        celsius.unwrap_or(self.policy.air_c)
    }

    /// Whether there is by the book more air above it than it should have.
    pub(super) fn is_much_air(&self) -> bool {
        self.wine.unmeasured.is_none() && self.is_much_air_over(self.wine.volume)
    }

    /// The same above so much wine.
    fn is_much_air_over(&self, volume: Volume) -> bool {
        let room = self.room_over(volume).filter(|_| volume > Volume::ZERO);
        room.is_some_and(|it| {
            self.oxygen_mg(it) / volume.in_litres() >= self.policy.headspace_soon_mg_l
        })
    }

    /// Oxygen in the air above it, mg; `None` while the headspace is not known.
    pub fn headspace_oxygen_mg(&self) -> Option<f64> {
        Some(self.oxygen_mg(self.headspace()?))
    }

    fn oxygen_mg(&self, room: Volume) -> f64 {
        air_oxygen_mg(room.in_litres() * 1e3, self.air_c())
    }
}

/// More of the same wine, or a vessel that it fills better.
fn remedy(holding: &Holding, look: &Look, room: Volume) -> (String, Suggestion) {
    let name = holding.place.name();
    let top_up = || Suggestion::of("top-up").with("into", name);
    if let Some(other) = look.to_top_up(holding, room) {
        // How much is left out: the verb takes what fits, to the microlitre.
        let suggestion = top_up().with("from", other.name());
        return (format!("top up from {}", other.name()), suggestion);
    }
    let most = Volume::litres(holding.policy.top_up_most_l);
    let better = look
        .to_keep(holding.wine.volume)
        .filter(|it| it.air < Volume(room.0 / 2));
    match better {
        Some(home) => (
            format!("rack into {}", home.words()),
            Suggestion::of("rack")
                .with("from", name)
                .with("to", home.typed()),
        ),
        None if room > most.min(holding.wine.volume) => (
            "move it to a smaller vessel, or bottle it once it is ready".to_owned(),
            Suggestion::of("rack").with("from", name).asking("to"),
        ),
        None => ("top up".to_owned(), top_up().asking("from")),
    }
}

/// From when its air counts, UTC ms: since its level fell so low, or the vessel was filled or topped up, or the gas of its ferment
/// ceased to keep the air off, whichever came last.
fn counted_from(holding: &Holding, low_since: Option<i64>) -> Option<i64> {
    let moved = [Deed::Filled, Deed::Racked, Deed::ToppedUp, Deed::Pressed];
    let moved = moved.into_iter().filter_map(|it| holding.wine.when(it));
    let moved = moved.chain(low_since).max()?;
    Some(holding.over_since().map_or(moved, |it| it.max(moved)))
}

#[cfg(test)]
mod tests {
    use super::super::trial::{CARBOY, Cellar, days_ago};
    use super::*;
    use crate::cellar::thing::Key;

    fn check(litres: f64, build: impl Fn(&mut Cellar), expected: &str) {
        let mut cellar = Cellar::with_vessel(23.0, litres);
        cellar.finished();
        build(&mut cellar);
        assert_eq!(cellar.says_why(ReasonKind::Headspace), expected);
    }

    #[test]
    fn air_that_may_cost_much_sulfite_is_now() {
        check(
            22.0,
            |_| (),
            "! headspace 1.0 L, may cost 32 mg/L SO2: top up",
        );
        check(
            22.5,
            |_| (),
            "› headspace 500 mL, may cost 15 mg/L SO2: top up",
        );
        check(22.8, |_| (), "");
        // Oxygen per litre of wine: 8.10, 7.46, 4.31 and 3.68 mg.
        let says = |litres| {
            let mut cellar = Cellar::with_vessel(23.0, litres);
            let found = cellar.finished().reason(ReasonKind::Headspace);
            found.map(|it| (it.rank, it.due.days_since(cellar.0.now)))
        };
        // Racked 60 days ago, and given a week.
        assert_eq!(says(22.35), Some((Rank::Now, -53)));
        assert_eq!(says(22.40), Some((Rank::Soon, -53)));
        assert_eq!(says(22.65), Some((Rank::Soon, -53)));
        assert_eq!(says(22.70), None);
    }

    // Derived: 1 L of air at 20 °C is 278.6 mg of oxygen; over 23 L of wine 12.11 mg/L, which may cost
    // 30.3 mg/L at 2.5 and 48.5 at 4.004.
    #[test]
    fn a_litre_of_air_over_23_litres_costs_30_mg_per_litre_or_more() {
        let mut cellar = Cellar::with_vessel(24.0, 23.0);
        cellar.finished();
        assert_eq!(
            cellar.working(ReasonKind::Headspace)[1..3],
            [
                "Oxygen in it 279 mg (0.2786 mg/mL of air at 20 °C, gas law), 12.1 mg per litre of wine.",
                "If the wine takes it all up, 30 mg/L of free SO2 at 2.5 mg per mg (Pascal, Diéval and Vidal), 49 at worst (stoichiometry); and again each time the air is renewed.",
            ]
        );
    }

    #[test]
    fn the_way_out_is_named_when_the_cellar_has_it() {
        check(
            22.0,
            |it| _ = it.spare(1, "Jug", "jug", 3.8).fill(Key(1), 2.0),
            "! headspace 1.0 L, may cost 32 mg/L SO2: top up from Jug",
        );
        check(
            4.9,
            |it| _ = it.spare(1, "Demijohn 2", "demijohn", 5.0),
            "! headspace 18.1 L, more air than sulfite can meet: rack into Demijohn 2",
        );
    }

    #[test]
    fn a_cellar_without_another_vessel_is_not_told_to_top_up_by_the_bucket() {
        check(
            4.9,
            |_| (),
            "! headspace 18.1 L, more air than sulfite can meet: move it to a smaller vessel, or bottle it once it is ready",
        );
        // Nor by more than there is of it: 2.0 L in a demijohn that the rest of a bottling went into.
        let mut cellar = Cellar::with_vessel(5.0, 2.0);
        cellar.finished();
        let says = "! headspace 3.0 L, more air than sulfite can meet: move it to a smaller vessel, or bottle it once it is ready";
        assert_eq!(cellar.says_why(ReasonKind::Headspace), says);
        // 2.0 L of 5.0 L fit no jug of 1.5 L: nothing is named that holds less than the wine.
        check(
            2.0,
            |it| _ = it.spare(1, "Jug", "jug", 1.5),
            "! headspace 21.0 L, more air than sulfite can meet: move it to a smaller vessel, or bottle it once it is ready",
        );
    }

    #[test]
    fn the_more_of_a_vessel_is_air_the_more_it_presses_known_or_about() {
        let weigh = |size: f64, litres: f64, about: bool| {
            let mut cellar = Cellar::with_vessel(size, litres);
            cellar.finished();
            cellar.wine().about = about;
            let reason = cellar.reason(ReasonKind::Headspace).unwrap();
            assert_eq!(reason.rank, Rank::Now);
            reason.weight
        };
        let order = [
            weigh(50.0, 33.0, true),
            weigh(19.0, 6.0, true),
            weigh(54.0, 52.0, false),
        ];
        assert!(order.is_sorted_by(|one, other| one > other), "{order:?}");
    }

    /// Filled sixty days ago, and fallen from so many litres on those days.
    fn due(litres: f64, falls: &[(i64, f64)]) -> i64 {
        let mut cellar = Cellar::with_vessel(23.0, litres);
        cellar.finished();
        cellar.wine().falls = falls
            .iter()
            .map(|(days, from)| (days_ago(*days), Volume::litres(*from)).into())
            .collect();
        let reason = cellar.reason(ReasonKind::Headspace).unwrap();
        reason.due.days_since(cellar.0.now)
    }

    #[test]
    fn air_counts_from_the_draw_that_left_it() {
        // Given a week after it, but not under as much air as a quarter of the vessel.
        assert_eq!(due(20.2, &[(9, 22.9)]), -2);
        assert_eq!(due(10.2, &[(9, 22.9)]), -9);
        // A glass drawn later does not make it younger, nor does one drawn before, while it was full.
        assert_eq!(due(22.3, &[(30, 22.9), (9, 22.4)]), -23);
        assert_eq!(due(22.3, &[(30, 22.95), (9, 22.9)]), -2);
        assert_eq!(due(22.3, &[(9, 22.4)]), -53);
        // From a litre of air to nearly all of it.
        assert_eq!(due(10.2, &[(12, 22.9), (9, 22.0)]), -9);
        assert_eq!(due(10.2, &[(30, 22.9), (9, 22.0)]), -23);
    }

    #[test]
    fn air_counts_from_the_end_of_the_ferment_whose_gas_kept_it_off() {
        let due_after = |gravities: &[(i64, f64)], pitched: i64| {
            let mut cellar = Cellar::with_vessel(30.0, 22.0);
            cellar
                .did(Deed::Filled, pitched)
                .did(Deed::Pitched, pitched);
            cellar.gravities(gravities);
            let reason = cellar.reason(ReasonKind::Headspace).unwrap();
            reason.due.days_since(cellar.0.now)
        };
        let read = [(40, 1.090), (20, 1.010), (9, 0.997), (5, 0.994)];
        assert_eq!(due_after(&read, 40), -9);
        // Of one that nobody measured, three weeks after the yeast.
        assert_eq!(due_after(&[], 90), -69);
    }

    /// A litre under 22 is pressing on the day it comes to be so, before wine that wants a label or a racking some day.
    #[test]
    fn what_stands_under_much_air_is_urgent_at_once() {
        let rank = |litres: f64| {
            let mut cellar = Cellar::with_vessel(23.0, litres);
            cellar.finished().did(Deed::Racked, 0).did(Deed::Filled, 0);
            cellar.reason(ReasonKind::Headspace).map(|it| it.rank)
        };
        assert_eq!(rank(1.1), Some(Rank::Now));
        assert_eq!(rank(20.0), Some(Rank::Soon));
    }

    #[test]
    fn gas_from_the_lees_of_a_fresh_wine_keeps_air_off_for_a_while() {
        let over_since = |days: i64| {
            move |it: &mut Cellar| {
                it.never(Deed::Racked).never(Deed::Sulfited);
                it.gravities(&[(days + 20, 1.090), (days, 0.996)]);
            }
        };
        let says = "headspace 1.0 L, may cost 32 mg/L SO2: top up";
        check(22.0, over_since(10), &format!("› {says}"));
        check(22.0, over_since(40), &format!("! {says}"));
        // Three equal readings over three weeks, or a look that found none: no gas rises.
        let steady = |it: &mut Cellar| {
            over_since(21)(it);
            it.gravities(&[(41, 1.090), (21, 0.998), (11, 0.998), (0, 0.998)]);
        };
        check(22.0, steady, &format!("! {says}"));
        let without = |it: &mut Cellar| {
            over_since(10)(it);
            it.says(Property::Gas, "none", 9);
        };
        check(22.0, without, &format!("! {says}"));
    }

    #[test]
    fn a_ferment_a_floating_lid_and_a_vessel_of_unknown_size_are_left_alone() {
        let ferment = |it: &mut Cellar| {
            it.did(Deed::Pitched, 5).never(Deed::Sulfited);
            it.gravities(&[(5, 1.090), (1, 1.040)]);
        };
        check(18.0, ferment, "");
        check(
            18.0,
            |it| _ = it.set(CARBOY, field::CLOSURE, "floating lid"),
            "",
        );
        check(
            18.0,
            |it| _ = it.thing(CARBOY, crate::cellar::thing::Sort::Vessel, "Odd"),
            "",
        );
        check(-1.0, |_| (), "");
        check(24.0, |_| (), "");
    }

    /// Half a carboy of air over a ferment that stood at 1.020 for weeks: no gas is made any more that would keep it off.
    #[test]
    fn air_over_a_stuck_ferment_is_told_too() {
        let stuck = |gas: Option<&'static str>| {
            move |it: &mut Cellar| {
                it.did(Deed::Pitched, 100).never(Deed::Sulfited);
                it.gravities(&[(100, 1.090), (60, 1.020), (40, 1.020), (20, 1.020)]);
                if let Some(word) = gas {
                    it.says(Property::Gas, word, 2);
                }
            }
        };
        let said = "! headspace 11.0 L, more air than sulfite can meet: ";
        for gas in [None, Some("none")] {
            let mut cellar = Cellar::with_vessel(23.0, 12.0);
            stuck(gas)(&mut cellar);
            let found = cellar.says_why(ReasonKind::Headspace);
            assert!(found.starts_with(said), "{found}");
        }
        check(12.0, stuck(Some("much")), "");
    }

    /// Read at 1.012 forty days ago: gas may keep the air off, and topping up a ferment makes it foam.
    #[test]
    fn a_wine_that_may_ferment_is_measured_before_it_is_topped_up() {
        let mut cellar = Cellar::with_vessel(23.0, 22.0);
        cellar.did(Deed::Pitched, 120);
        cellar.gravities(&[(120, 1.090), (40, 1.012)]);
        let reason = cellar.reason(ReasonKind::Headspace).unwrap();
        let first = "measure its gravity again, and top up if it ferments no more";
        assert!(reason.sentence.ends_with(first), "{}", reason.sentence);
        assert_eq!(reason.suggestion.verb, "measure");
    }

    /// A bought wine at 1.012, whose yeast nobody pitched: what is asked next, and in which words.
    #[test]
    fn one_reading_alone_is_not_asked_for_again_on_the_same_day() {
        let asks = |build: &dyn Fn(&mut Cellar)| {
            let mut cellar = Cellar::with_vessel(23.0, 22.0);
            build(&mut cellar);
            let found = cellar.reason(ReasonKind::Headspace);
            found.map(|it| {
                let what = it.sentence.rsplit(": ").next().unwrap_or_default();
                (what.to_owned(), it.suggestion.verb, it.suggestion.needs)
            })
        };
        let told = |what: &str, verb, needs: &[&'static str]| {
            Some((what.to_owned(), verb, needs.to_vec()))
        };
        let gravity = "measure its gravity again, and top up if it ferments no more";
        let gravity = told(gravity, "measure", &["gravity"]);
        let sample = "shake a sample, and top up if no gas is in it";
        let sample = told(sample, "measure", &["gas"]);
        let top_up = told("top up", "top-up", &["from"]);
        let read = |it: &mut Cellar, at: &[i64]| {
            let all: Vec<(i64, f64)> = at.iter().map(|days| (*days, 1.012)).collect();
            it.gravities(&all);
        };
        assert_eq!(asks(&|it| read(it, &[7])), gravity);
        assert_eq!(asks(&|it| read(it, &[0])), sample);
        assert_eq!(asks(&|it| read(it, &[3, 0])), sample);
        assert_eq!(asks(&|it| read(it, &[7, 0])), top_up);
        let shaken = |word: &'static str| {
            move |it: &mut Cellar| {
                read(it, &[0]);
                it.says(Property::Gas, word, 0);
            }
        };
        assert_eq!(asks(&shaken("none")), top_up);
        assert_eq!(asks(&shaken("much")), None);
    }
}
