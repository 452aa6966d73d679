//! Where a wine stands, from what was done to it and its gravity.

use super::finished::Plateau;
use super::holding::Holding;
use crate::cellar::moment;
use crate::cellar::state::{Deed, GRAVITY_SLACK, GravityReading};
use crate::cellar::thing::words;

words! {
    /// Where a wine stands.
    Stage {
        Must "must" "must",
        Fermenting "fermenting" "fermenting",
        Stuck "stuck" "steady above its end",
        Doubtful "doubtful" "may still ferment",
        Malo "malo" "malolactic running",
        OnLees "on-lees" "on its gross lees",
        Ageing "ageing" "ageing",
        Ready "ready" "ready to bottle",
        Bottled "bottled" "in bottle",
        Unsaid "unsaid" "stage not known",
    }
}

impl Stage {
    /// In words; of one that is not known, what would tell.
    pub fn words(self) -> String {
        match self {
            Stage::Unsaid => format!(
                "{}: measure its gravity, or write down its last racking",
                self.label()
            ),
            Stage::Doubtful => {
                "not known whether it still ferments: measure its gravity again".to_owned()
            }
            known => known.label().to_owned(),
        }
    }
}

/// How far the ferment is, as far as anything says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ferment {
    /// Neither yeast nor gravity was written down.
    Unsaid,
    /// Never pitched, and its gravity is a must's.
    Must,
    /// Under way.
    Running,
    /// Steady above its end.
    Stuck,
    /// Read above its end, so long ago or so alone that it may be over or not.
    Doubtful,
    /// Taken as over by time, sulfite or racking; nobody measured it.
    Presumed,
    /// Over by gravity, or by what was done since.
    Over,
}

impl Ferment {
    /// Whether yeast is, or may soon be, at work.
    pub(super) fn is_ahead_or_running(self) -> bool {
        matches!(self, Ferment::Must | Ferment::Running | Ferment::Stuck)
    }

    /// Whether yeast is, or may be, at work, as far as anything was read.
    pub(super) fn may_work(self) -> bool {
        self.is_ahead_or_running() || self == Ferment::Doubtful
    }

    /// Whether it is over, measured or taken so.
    pub(super) fn is_over(self) -> bool {
        matches!(self, Ferment::Over | Ferment::Presumed)
    }
}

impl Holding<'_> {
    /// Where it stands.
    pub fn stage(&self) -> Stage {
        if self.is_bottled() {
            return Stage::Bottled;
        }
        match self.ferment() {
            Ferment::Must => Stage::Must,
            Ferment::Running => Stage::Fermenting,
            Ferment::Stuck => Stage::Stuck,
            Ferment::Unsaid => Stage::Unsaid,
            Ferment::Doubtful => Stage::Doubtful,
            Ferment::Presumed | Ferment::Over if self.malo_runs() => Stage::Malo,
            Ferment::Presumed | Ferment::Over if self.is_on_gross_lees() => Stage::OnLees,
            Ferment::Presumed | Ferment::Over => {
                if self.is_ready() {
                    Stage::Ready
                } else {
                    Stage::Ageing
                }
            }
        }
    }

    /// How far the ferment is. Readings speak before deeds, deeds before the calendar.
    pub(super) fn ferment(&self) -> Ferment {
        let wine = self.wine;
        // Sugar sets the yeast to work again.
        let sugared = wine.when(Deed::Sugared);
        let pitched = wine.when(Deed::Pitched).or_else(|| {
            // Yeast that nobody pitched is at work since the reading that its gravity fell from.
            GravityReading::fell_from(self.readings_since_sugar()).map(|it| it.at_ms)
        });
        let pitched = pitched.map(|it| it.max(sugared.unwrap_or(it)));
        if self.is_bottled() {
            return Ferment::Over;
        }
        let plateau = Plateau::of(self.readings_since_sugar(), self.policy.equal_gravity);
        let since_yeast = plateau.filter(|it| pitched.is_none_or(|at| it.until_ms >= at));
        if let Some(plateau) = since_yeast {
            let is_near_its_end = plateau.gravity <= self.policy.over_gravity + GRAVITY_SLACK;
            if self.is_tested_dry() || (is_near_its_end && !self.is_working(&plateau)) {
                return Ferment::Over;
            }
            // Sweetened, sorbated or filtered: while it falls it ferments all the same.
            if self.is_falling() {
                return Ferment::Running;
            }
        }
        if self.ended_by(pitched).is_some() {
            return Ferment::Over;
        }
        if let Some(plateau) = since_yeast {
            let below_must = plateau.gravity < self.policy.must_gravity;
            if self.is_steady(&plateau) && (pitched.is_some() || below_must) {
                return Ferment::Stuck;
            }
            if pitched.is_none() && !below_must {
                return Ferment::Must;
            }
        }
        if self
            .dry_by_parts()
            .is_some_and(|at| pitched.is_none_or(|pitched| at >= pitched))
        {
            return Ferment::Presumed;
        }
        // Neither sulfite nor a racking stops a ferment: one that was read above its end goes on, or stands there with its sugar.
        let is_sweet =
            since_yeast.is_some_and(|it| it.gravity > self.policy.over_gravity + GRAVITY_SLACK);
        match pitched {
            Some(_) if self.malo_is_finished() => Ferment::Presumed,
            Some(at) if !is_sweet && self.was_sulfited_as_over(at) => Ferment::Presumed,
            Some(at) if self.is_long_ago(at) => match since_yeast {
                None => Ferment::Presumed,
                Some(read) => {
                    let is_racked_since = wine.when(Deed::Racked) > Some(read.until_ms);
                    let is_unread = self.days(read.until_ms) as f64 > self.policy.ferment_days;
                    match is_sweet {
                        // Whoever racked it since, near its end, took it as over.
                        false if is_racked_since => Ferment::Presumed,
                        _ if is_racked_since || is_unread => Ferment::Doubtful,
                        _ => Ferment::Running,
                    }
                }
            },
            Some(_) => Ferment::Running,
            None if is_sweet => Ferment::Doubtful,
            None if self.is_fresh_must() => Ferment::Must,
            None if wine.when(Deed::Racked).is_some() || self.is_sulfited_later() => {
                Ferment::Presumed
            }
            None => Ferment::Unsaid,
        }
    }

    /// Whether it is must, ferments, or may do so as far as anything was read.
    pub fn may_ferment(&self) -> bool {
        self.ferment().may_work()
    }

    /// Whether it is must, or ferments: no air above it does harm yet.
    pub fn is_fermenting(&self) -> bool {
        matches!(self.ferment(), Ferment::Must | Ferment::Running)
    }

    /// The part of the vessel (0–1) that is left for foam, and the part that is asked while it is must or its ferment vigorous;
    /// `None` where it does not ferment.
    pub fn room_for_foam(&self) -> Option<(f64, Option<f64>)> {
        let foams = self.ferment() == Ferment::Must || self.is_vigorous();
        let share = self.headspace_share().filter(|_| self.is_fermenting())?;
        Some((share, foams.then_some(self.policy.foam_share)))
    }

    /// Whether the ferment is vigorous: in the first third of its sugar, or in its first days.
    pub(super) fn is_vigorous(&self) -> bool {
        if self.ferment() != Ferment::Running {
            return false;
        }
        let fresh = self
            .wine
            .gravities
            .last()
            .filter(|it| self.days(it.at_ms) as f64 <= self.policy.vigorous_days);
        let begun = self
            .days_since(Deed::Pitched)
            .is_some_and(|it| it as f64 <= self.policy.vigorous_days);
        match fresh {
            None => begun,
            Some(last) => {
                let start = self.wine.gravities.iter().map(|it| it.gravity);
                let start = start.fold(last.gravity, f64::max);
                let third = (start - self.policy.end_gravity) / 3.0;
                // One reading is its own start; a wine well under way is then not called vigorous.
                last.gravity > start - third && (self.wine.gravities.len() > 1 || begun)
            }
        }
    }

    /// Whether it has not left its sediment since the ferment. A racking while it still worked, out
    /// of the first vessel, does not count: what fell later is gross lees too.
    pub(in crate::cellar) fn is_on_gross_lees(&self) -> bool {
        let Some(pitched) = self.wine.when(Deed::Pitched) else {
            return false;
        };
        let two_weeks = (self.policy.ferment_days * 2.0 / 3.0) as i64;
        let by_time = self.now.at(pitched).plus_days(two_weeks).utc_ms;
        let over = self
            .measured_over_ms()
            .map_or(by_time, |it| it.min(by_time));
        self.left_sediment().is_none_or(|it| it < over)
    }

    /// When it last left its sediment behind, UTC ms: at a racking, or as its bottles were filled, or poured into an empty vessel.
    pub(super) fn left_sediment(&self) -> Option<i64> {
        let was_bottled = self.wine.when(Deed::Bottled).is_some();
        let poured = self.wine.when(Deed::Filled).filter(|_| was_bottled);
        self.wine.when(Deed::Racked).max(poured)
    }

    /// The first reading near its end since the yeast, UTC ms.
    pub(super) fn measured_over_ms(&self) -> Option<i64> {
        let pitched = self.wine.when(Deed::Pitched);
        let near_end = |it: &&GravityReading| {
            pitched.is_none_or(|pitched| it.at_ms >= pitched)
                && it.gravity <= self.policy.over_gravity + GRAVITY_SLACK
        };
        self.wine.gravities.iter().find(near_end).map(|it| it.at_ms)
    }

    /// Received as must not long ago, and no yeast written down. A wine that was here before the book
    /// was never received.
    fn is_fresh_must(&self) -> bool {
        self.days_since(Deed::Begun)
            .is_some_and(|it| it as f64 <= self.policy.ferment_days)
    }

    /// Whether sulfite went in so long after the must came that it was not given to the must. Of wine that
    /// was here before the book, sulfite alone says nothing of where it stands.
    fn is_sulfited_later(&self) -> bool {
        let begun = self.wine.when(Deed::Begun).map(|it| self.now.at(it));
        let sulfited = self.wine.when(Deed::Sulfited).map(|it| self.now.at(it));
        begun.zip(sulfited).is_some_and(|(begun, sulfited)| {
            sulfited.days_since(begun) as f64 >= self.policy.sulfited_over_days
        })
    }

    fn malo_runs(&self) -> bool {
        self.malo_is_open() && self.wine.when(Deed::MaloStarted).is_some()
    }

    /// Whether it was read above a dry wine's gravity within the last days, and falling by so much a day that it works.
    fn is_working(&self, last: &Plateau) -> bool {
        let is_fresh = |it: &GravityReading| self.days(it.at_ms) as f64 <= self.policy.tells_days;
        match self.readings_since_sugar() {
            [.., earlier, now] => {
                let days = (now.at_ms - earlier.at_ms) as f64 / moment::DAY_MS as f64;
                let fall = earlier.gravity - now.gravity;
                last.gravity > self.policy.dry_gravity + GRAVITY_SLACK
                    && is_fresh(now)
                    && days <= self.policy.tells_days
                    && fall >= self.policy.real_fall - GRAVITY_SLACK
                    && fall >= days * self.policy.real_fall - GRAVITY_SLACK
            }
            _ => false,
        }
    }

    /// Whether the last two readings fall by more than their own error, lately.
    fn is_falling(&self) -> bool {
        match self.wine.gravities.as_slice() {
            [.., earlier, last] => {
                earlier.gravity - last.gravity >= self.policy.real_fall - GRAVITY_SLACK
                    && self.days(last.at_ms) as f64 <= self.policy.ferment_days
            }
            _ => false,
        }
    }

    /// Whether a ferment pitched then is taken as over by time, if it was not measured since.
    fn is_long_ago(&self, pitched_ms: i64) -> bool {
        self.days(pitched_ms) as f64 > self.policy.presumed_over_days
    }

    /// Whether sulfite given since says that a ferment pitched then is over.
    fn was_sulfited_as_over(&self, pitched_ms: i64) -> bool {
        let sulfited = self.wine.when(Deed::Sulfited).map(|it| self.now.at(it));
        sulfited.is_some_and(|it| {
            it.days_since(self.now.at(pitched_ms)) as f64 >= self.policy.sulfited_over_days
        })
    }

    /// The first of what is done only to a wine that ferments no more, after the yeast, UTC ms. Too little sorbate ends nothing.
    pub(super) fn ended_by(&self, pitched_ms: Option<i64>) -> Option<i64> {
        let sorbate = (!self.is_sorbated_in_vain()).then_some(Deed::Sorbated);
        let ended_by = [Deed::Sweetened, Deed::SterileFiltered];
        let ended_by = ended_by.into_iter().chain(sorbate);
        let ended_by = ended_by.filter_map(|it| self.wine.when(it));
        let ended_by = ended_by.filter(|it| pitched_ms.is_none_or(|pitched| *it > pitched));
        ended_by.min()
    }
}

#[cfg(test)]
mod tests;
