//! Too much headspace: the oxygen in it, and the free SO2 that may cost.

use leesline_calc::ferment_state::State;
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
    let runs = matches!(ferment, Ferment::Must | Ferment::Running);
    let makes_gas = runs && stood_still(holding).is_none();
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
    let is_sure = ferment != Ferment::Doubtful && doubt != Some(Doubt::Unread);
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
            Ferment::Running
                if !holding
                    .wine
                    .gravities
                    .last()
                    .is_some_and(|it| is_late(it.at_ms)) =>
            {
                return Some(Doubt::Unread);
            }
            Ferment::Stuck | Ferment::Running => {
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

/// From when on no gas is looked for from a ferment that stands still by its readings, though not yet for as long as would show it
/// stuck, UTC ms: once it has stood for as long as one reading holds. One slow day is no alarm.
fn stood_still(holding: &Holding) -> Option<i64> {
    if holding.ferment() != Ferment::Running {
        return None;
    }
    let policy = holding.policy;
    let goes = holding.fermentation()?;
    let still = Plateau::of(holding.readings_since_sugar(), policy.stuck_fall)?;
    let from = holding.now.at(still.since_ms);
    let from = from.plus_days(policy.unread_days as i64);
    (goes.state == State::Stuck && from <= holding.now).then_some(from.utc_ms)
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
    let over = stood_still(holding).or_else(|| holding.over_since());
    Some(over.map_or(moved, |it| it.max(moved)))
}

#[cfg(test)]
mod tests;
