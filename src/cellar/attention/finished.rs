//! Whether a wine is finished: steady, degassed and at its end. Steady above that is stuck.

use super::holding::Holding;
use super::words::{count, gravity, span};
use crate::cellar::entry::{Found, Property};
use crate::cellar::state::{Deed, GRAVITY_SLACK, GravityReading, says_no_gas};

/// The answer, with what it rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct Finish {
    /// Whether it is finished.
    pub finished: Finished,
    /// Whether it was warm enough while its readings were equal; `None` when that is not known.
    pub warm: Option<bool>,
    /// What it rests on, one sentence a line.
    pub evidence: Vec<String>,
}

/// Whether a wine is finished.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Finished {
    /// Equal readings long enough, degassed, and at its end or tested free of sugar.
    Yes,
    /// Equal readings long enough, but above its end: stuck, or sweet.
    Steady,
    /// The readings do not say so yet.
    NotYet,
    /// Too little is known.
    Unknown,
}

/// The newest gravity readings that are equal to one another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Plateau {
    /// How many.
    pub(super) readings: usize,
    /// From the first of them, UTC ms.
    pub(super) since_ms: i64,
    /// To the last, UTC ms.
    pub(super) until_ms: i64,
    /// The last of them.
    pub(super) gravity: f64,
}

impl Plateau {
    /// Of readings in order of time; `None` without any.
    pub(super) fn of(readings: &[GravityReading], tolerance: f64) -> Option<Plateau> {
        let last = readings.last()?;
        let (mut low, mut high) = (last.gravity, last.gravity);
        let allowed = tolerance + GRAVITY_SLACK;
        let equal = readings
            .iter()
            .rev()
            .take_while(|it| {
                low = low.min(it.gravity);
                high = high.max(it.gravity);
                high - low <= allowed
            })
            .count();
        Some(Plateau {
            readings: equal,
            since_ms: readings[readings.len() - equal..]
                .first()
                .map_or(last.at_ms, |it| it.at_ms),
            until_ms: last.at_ms,
            gravity: last.gravity,
        })
    }
}

/// How gas was found in a wine last.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Gas {
    /// Driven out then (UTC ms), and not found since.
    Gone(i64),
    /// Looked for and not found, then (UTC ms).
    NoneFound(i64),
    /// Found in it after it was last driven out, then (UTC ms).
    There(i64),
    /// Never written down.
    Unsaid,
}

impl Holding<'_> {
    /// Whether it is finished, by three equal gravity readings over 14 days at 15 °C or warmer,
    /// degassed, and at or below 0.996 or with sugar tested below 2 g/L (common practice). Sugar put
    /// in later is set aside: the readings before it count, and those after it must not fall.
    pub fn finished(&self) -> Finish {
        let (before, after) = self.readings_about_sweetening();
        let warm_enough = self.not_cold(before);
        let cold = before.len() - warm_enough.len();
        // Where all were cold it is said of them.
        let counted = if warm_enough.is_empty() {
            before
        } else {
            &warm_enough
        };
        let Some(plateau) = Plateau::of(counted, self.policy.equal_gravity) else {
            return Finish {
                finished: Finished::Unknown,
                warm: None,
                evidence: vec![match self.wine.when(Deed::Sugared) {
                    Some(at) => format!(
                        "No gravity was measured since sugar was added on {}.",
                        self.day(at)
                    ),
                    None => "No gravity was measured.".to_owned(),
                }],
            };
        };
        let mut evidence = vec![self.plateau_line(&plateau)];
        evidence.extend((cold > 0 && cold < before.len()).then(|| {
            let warm = self.policy.warm_c;
            format!(
                "{} taken below {warm:.0} °C, where a ferment may only sleep: not counted.",
                count(cold as i64, "reading")
            )
        }));
        evidence.extend(self.sweetened_line());
        if let Some(line) = self.falls_after_sweetening(after) {
            evidence.push(line);
            return Finish {
                finished: Finished::NotYet,
                warm: None,
                evidence,
            };
        }
        let long_enough = self.is_steady(&plateau);
        let (warm, line) = self.warmth_during(&plateau, counted);
        evidence.push(line);
        let at_end = self.is_at_its_end(plateau.gravity);
        // A must that was read warm once and cold since is not stuck.
        evidence.extend((at_end || long_enough).then(|| self.end_line(plateau.gravity)));
        let gas = self.gas();
        evidence.push(self.gas_line(gas));
        let lifted = self.lifted_line(gas);
        let is_lifted = lifted.is_some();
        evidence.extend(lifted);
        let finished = if !long_enough || warm == Some(false) || is_lifted {
            Finished::NotYet
        } else if !at_end {
            Finished::Steady
        } else {
            match gas {
                Gas::Gone(_) | Gas::NoneFound(_) => Finished::Yes,
                Gas::There(_) => Finished::NotYet,
                Gas::Unsaid => Finished::Unknown,
            }
        };
        Finish {
            finished,
            warm,
            evidence,
        }
    }

    /// What would show that a wine is finished, and from when on.
    pub(super) fn what_to_wait_for(&self, warm: Option<bool>) -> String {
        let (before, after) = self.readings_about_sweetening();
        // What ferments sugar that was put in is told by the readings since.
        let falls = self.falls_after_sweetening(after).is_some();
        let told = self.not_cold(if falls { after } else { before });
        let (readings, days) = (self.policy.steady_readings, self.policy.steady_days);
        let plateau = Plateau::of(&told, self.policy.equal_gravity);
        let Some(plateau) = plateau.filter(|_| warm != Some(false)) else {
            return format!(
                "Keep it at 15 °C or warmer, and measure gravity {readings:.0} times over {}.",
                span(days as i64)
            );
        };
        if self.is_steady(&plateau) {
            return match self.gas() {
                Gas::Gone(_) | Gas::NoneFound(_) => {
                    "Measure its gravity again, now that the gas is out.".to_owned()
                }
                _ => "Wait until no gas is left in it, then measure gravity again.".to_owned(),
            };
        }
        let more = (readings as usize).saturating_sub(plateau.readings).max(1);
        let last = self.now.at(plateau.since_ms).plus_days(days.ceil() as i64);
        let last = last.max(self.now).day_words();
        match more {
            1 => format!(
                "Measure gravity on {last} or later, at 15 °C or warmer: if it is the same, it is steady."
            ),
            _ => format!(
                "Wait for {more} more equal readings of gravity at 15 °C or warmer, the last on {last} or later."
            ),
        }
    }

    /// Whether equal readings are as many, and over as many days, as the policy asks.
    pub(super) fn is_steady(&self, plateau: &Plateau) -> bool {
        let from = self.now.at(plateau.since_ms);
        let days = self.now.at(plateau.until_ms).days_since(from);
        plateau.readings as f64 >= self.policy.steady_readings
            && days as f64 >= self.policy.steady_days
    }

    /// Whether that gravity is a dry wine's, or sugar was tested below what can ferment.
    pub(super) fn is_at_its_end(&self, last: f64) -> bool {
        last <= self.policy.dry_gravity + GRAVITY_SLACK || self.fermented_out().is_some()
    }

    /// Whether sugar was tested below 2 g/L, and none put in since.
    pub(super) fn is_tested_dry(&self) -> bool {
        let sweetened = self.wine.when(Deed::Sweetened);
        self.fermented_out().is_some_and(|it| sweetened < Some(it))
    }

    /// When a test found its ferment without sugar, UTC ms; what sweetened the wine later is set aside.
    pub(super) fn fermented_out(&self) -> Option<i64> {
        let known = self.wine.known.get(&Property::Sugar)?;
        let sugared = self.wine.when(Deed::Sugared);
        if known.estimated || sugared.is_some_and(|it| it >= known.at_ms) {
            return None;
        }
        let limit = self.policy.dry_sugar_g_l;
        let is_dry = match known.found {
            Found::Number(value) => value < limit,
            Found::Between(_, high) => high < limit,
            Found::Below(bound) => bound <= limit,
            Found::Above(_) | Found::Word(_) => false,
        };
        is_dry.then_some(known.at_ms)
    }

    /// How gas was found last.
    pub(super) fn gas(&self) -> Gas {
        let degassed = self.wine.when(Deed::Degassed);
        match self.word(Property::Gas) {
            // Finding none counts as degassed from that moment on, and is no more than that it was looked for.
            Some((word, at)) if says_no_gas(&word) && degassed.is_none_or(|it| it <= at) => {
                Gas::NoneFound(at)
            }
            Some((_, at)) if degassed.is_none_or(|it| it < at) => Gas::There(at),
            _ => degassed.map_or(Gas::Unsaid, Gas::Gone),
        }
    }

    /// Those that were not taken of a wine found too cold to ferment.
    fn not_cold(&self, readings: &[GravityReading]) -> Vec<GravityReading> {
        let warm = self.policy.warm_c;
        let is_warm = |it: &&GravityReading| it.celsius.is_none_or(|it| it >= warm);
        readings.iter().filter(is_warm).copied().collect()
    }

    /// Whether it was warm enough while those readings were equal, if that is known, and the sentence. It was where as many of
    /// them as are asked were read warm, or where someone says so of all that time; one warmth says nothing of the other days.
    fn warmth_during(
        &self,
        plateau: &Plateau,
        counted: &[GravityReading],
    ) -> (Option<bool>, String) {
        let warm = self.policy.warm_c;
        let equal = &counted[counted.len() - plateau.readings..];
        let is_warm = |it: &&GravityReading| it.celsius.is_some_and(|it| it >= warm);
        let told: Vec<GravityReading> = equal.iter().filter(is_warm).copied().collect();
        let is_shown =
            Plateau::of(&told, self.policy.equal_gravity).is_some_and(|it| self.is_steady(&it));
        let coldest = told.iter().filter_map(|it| it.celsius).reduce(f64::min);
        if let Some(coldest) = coldest.filter(|_| is_shown) {
            let line = format!("It was read at {coldest:.1} °C or warmer, warm enough.");
            return (Some(true), line);
        }
        let measured = self.known_between(Property::Temperature, -20.0, 60.0);
        let since = measured.filter(|it| it.1.at_ms >= plateau.since_ms);
        match since.map(|(celsius, known)| (celsius, &known.found, known.at_ms)) {
            Some((bound, Found::Above(_), at)) if bound >= warm && at >= plateau.until_ms => {
                let line = format!("It was at {bound:.0} °C or warmer, warm enough.");
                return (Some(true), line);
            }
            Some((bound, Found::Below(_), _)) if bound <= warm => {
                let line = format!("It was below {bound:.0} °C: there a ferment may only sleep.");
                return (Some(false), line);
            }
            Some((celsius, found, _)) if celsius < warm && !matches!(found, Found::Above(_)) => {
                let line = format!(
                    "It was at {celsius:.1} °C: below {warm:.0} °C a ferment may only sleep."
                );
                return (Some(false), line);
            }
            _ => {}
        }
        let known = match (told.len(), self.usual_c) {
            (0, None) => "Its temperature then is not known".to_owned(),
            (0, Some(usual)) => {
                format!(
                    "Its temperature then is not known (the cellar is usually at {usual:.1} °C)"
                )
            }
            (some, _) => format!(
                "Its temperature is known with {some} of those {} readings",
                equal.len()
            ),
        };
        (
            None,
            format!("{known}; the readings count at {warm:.0} °C or warmer."),
        )
    }

    /// Gravity readings since sugar was last added to be fermented: those before it are of another must.
    pub(super) fn readings_since_sugar(&self) -> &[GravityReading] {
        let all = self.wine.gravities.as_slice();
        let from = self.wine.when(Deed::Sugared);
        from.map_or(all, |at| &all[all.partition_point(|it| it.at_ms <= at)..])
    }

    /// Those before and after the wine was last sweetened.
    fn readings_about_sweetening(&self) -> (&[GravityReading], &[GravityReading]) {
        let all = self.readings_since_sugar();
        match self.wine.when(Deed::Sweetened) {
            Some(at) => all.split_at(all.partition_point(|it| it.at_ms <= at)),
            None => (all, &[]),
        }
    }

    fn falls_after_sweetening(&self, after: &[GravityReading]) -> Option<String> {
        let highest = after.iter().map(|it| it.gravity).reduce(f64::max)?;
        let last = after.last()?.gravity;
        (highest - last > self.policy.equal_gravity + GRAVITY_SLACK).then(|| {
            format!(
                "Since it was sweetened its gravity fell from {} to {}: it ferments again.",
                gravity(highest),
                gravity(last)
            )
        })
    }

    fn plateau_line(&self, plateau: &Plateau) -> String {
        let from = self.now.at(plateau.since_ms);
        let days = self.now.at(plateau.until_ms).days_since(from);
        let rule = format!(
            "{:.0} equal readings over {:.0} days are asked",
            self.policy.steady_readings, self.policy.steady_days
        );
        match plateau.readings {
            1 => format!(
                "Gravity {} on {}, once at that level; {rule} (common practice).",
                gravity(plateau.gravity),
                self.day(plateau.until_ms)
            ),
            readings => format!(
                "Gravity {}, {readings} equal readings over {} to {}; {rule} (common practice).",
                gravity(plateau.gravity),
                span(days),
                self.day(plateau.until_ms)
            ),
        }
    }

    fn end_line(&self, last: f64) -> String {
        let dry = self.policy.dry_gravity;
        if last <= dry + GRAVITY_SLACK {
            format!(
                "{} is at or below {}: dry by gravity.",
                gravity(last),
                gravity(dry)
            )
        } else if let Some(at) = self.fermented_out() {
            let (limit, day) = (self.policy.dry_sugar_g_l, self.day(at));
            format!("Sugar was tested below {limit:.0} g/L on {day}.")
        } else {
            format!(
                "{} is above {} and sugar was not tested below {:.0} g/L: steady there is stuck, not finished.",
                gravity(last),
                gravity(dry),
                self.policy.dry_sugar_g_l
            )
        }
    }

    /// That gas was found in it, is out, and gravity was not measured since; `None` where it is not so.
    fn lifted_line(&self, gas: Gas) -> Option<String> {
        let found = self.wine.when(Deed::GasFound)?;
        let out = match gas {
            Gas::Gone(at) | Gas::NoneFound(at) => at,
            Gas::There(_) | Gas::Unsaid => return None,
        };
        let degassed = self.wine.when(Deed::Degassed).filter(|it| *it >= found);
        let last = self.wine.gravities.last()?.at_ms;
        let is_lifted = found < out && last < degassed.unwrap_or(out);
        is_lifted.then(|| {
            format!(
                "Gas was found in it on {}, which lifts a hydrometer, and gravity was not measured since it is out.",
                self.day(found)
            )
        })
    }

    pub(super) fn gas_line(&self, gas: Gas) -> String {
        match gas {
            Gas::Gone(at) => format!("Degassed, {}.", self.day(at)),
            Gas::NoneFound(at) => format!("No gas was felt or seen on {}.", self.day(at)),
            Gas::There(at) => format!(
                "Gas was found in it on {}: it lifts a hydrometer, so the wine may be further on than it reads.",
                self.day(at)
            ),
            Gas::Unsaid => "Whether it was degassed is not written down.".to_owned(),
        }
    }
}

#[cfg(test)]
mod tests;
