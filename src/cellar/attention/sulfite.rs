//! Free SO2 low for the wine's pH, or not measured for long.

use leesline_calc::decline::STAYS_FREE;
use leesline_calc::sulfite::{TASTED_FREE_MG_L, free_needed_mg_l};

use super::fit::Look;
use super::free_so2::Forecast;
use super::holding::Holding;
use super::stage::Ferment;
use super::words::span;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use super::{presumed, untested};
use crate::cellar::state::{Deed, Known, So2Change};

/// What to say of the wine's free SO2. Nothing while yeast or bacteria are, or shall be, at work.
pub(super) fn rule<'a>(holding: &'a Holding, _: &'a Look) -> Option<Found<'a>> {
    let ferment = holding.ferment();
    if ferment.may_work() || holding.malo_is_open() || holding.just_dosed_enough() {
        return None;
    }
    let Some(forecast) = holding.forecast() else {
        return presumed::rule(holding).or_else(|| untested::rule(holding));
    };
    match holding.low(forecast, ferment) {
        Some(found) => Some(found),
        None if holding.tests_so2 => holding.old_reading(forecast),
        None => untested::rule(holding),
    }
}

impl Holding<'_> {
    /// How far below its aim free SO2 must be to be pressing, mg/L.
    pub(super) fn margin(&self, aim: f64) -> f64 {
        (aim * self.policy.margin_share).max(self.policy.margin_mg_l)
    }

    /// Whether free SO2 was last read too long ago to say much.
    pub(super) fn reading_is_old(&self) -> bool {
        self.last_so2_test()
            .is_some_and(|(at_ms, _)| self.days(at_ms) as f64 > self.policy.sulfite_days)
    }

    pub(super) fn aim_line(&self, aim: f64) -> String {
        let molecular = self.molecular_aim();
        let ph = self.ph().map_or(String::new(), |(ph, known)| {
            let estimated = if known.estimated {
                ", estimated from its parts"
            } else {
                ""
            };
            let before = if self.ph_is_later(known) {
                ", used for the days before too"
            } else {
                ""
            };
            format!(
                " at pH {ph:.2} of {}{estimated}{before}",
                self.day(known.at_ms)
            )
        });
        format!(
            "Aim {aim:.0} mg/L: {molecular:.1} × (1 + 10^(pH − {:.2})){ph}; extension table.",
            self.policy.pk1
        )
    }

    /// Whether its pH was read after the day from which free SO2 is told, so that its aim was taken for days on which nobody knew it.
    fn ph_is_later(&self, ph: &Known) -> bool {
        let told = self.last_so2_test().map(|it| it.0);
        told.is_some_and(|at_ms| self.now.at(ph.at_ms).days_since(self.now.at(at_ms)) > 0)
    }

    /// What is said of a pH that is taken for days before it was read; `None` where it is not.
    pub(super) fn ph_before_line(&self) -> Option<String> {
        let (ph, known) = self.ph().filter(|(_, known)| self.ph_is_later(known))?;
        Some(format!(
            "pH {ph:.2} of {}, used for the days before too.",
            self.day(known.at_ms)
        ))
    }

    /// Sulfite added since the last reading by an amount that nobody wrote down, UTC ms.
    pub fn dose_of_unknown_weight(&self) -> Option<i64> {
        self.wine.when(Deed::UnweighedUntested)
    }

    /// Whether a dose is still binding that brought what was asked, as far as anyone can tell. Half of what is lacking is asked first,
    /// the rest after a test; a spoon gives it within a tenth.
    fn just_dosed_enough(&self) -> bool {
        let is_just = |days: i64| (days as f64) < self.policy.binding_days;
        if !self.days_since(Deed::Sulfited).is_some_and(is_just) {
            return false;
        }
        let brought = self
            .wine
            .so2
            .iter()
            .filter(|it| is_just(self.days(it.at_ms)));
        let brought: f64 = brought
            .filter_map(|it| match it.what {
                So2Change::Added(ug_l, _) => Some(ug_l as f64 / 1e3 * STAYS_FREE.0),
                _ => None,
            })
            .sum();
        let known = self.free_so2_aim().zip(self.forecast());
        let known = known.filter(|_| brought > 0.0 && self.dose_of_unknown_weight().is_none());
        known.is_none_or(|(aim, forecast)| {
            let lacks = aim - forecast.at(self.now)[1];
            lacks <= (brought * 1.2).max(self.margin(aim))
        })
    }

    /// Below its aim now, or within the horizon. The chances alone are asked first: most wines need no more.
    fn low(&self, forecast: &Forecast, ferment: Ferment) -> Option<Found<'_>> {
        let aim = self.free_so2_aim()?;
        let pressing = aim - self.margin(aim);
        let unweighed = self.dose_of_unknown_weight();
        let is_sure = ferment == Ferment::Over && unweighed.is_none();
        let (rank, due, says) = if forecast.chance_below(pressing, self.now) > 0.5 {
            let rank = if is_sure { Rank::Now } else { Rank::Soon };
            (rank, forecast.reaches(pressing), "below it now")
        } else {
            // The next look is dated at the tenth that falls fastest, not at the middle.
            let horizon = self.policy.horizon_days as i64;
            let may = |day: i64| forecast.chance_below(pressing, self.now.plus_days(day)) > 0.1;
            if !may(horizon) {
                return None;
            }
            // It only falls, so that the first such day lies where halving leads.
            let (mut before, mut day) = (-1, horizon);
            while day - before > 1 {
                let middle = i64::midpoint(before, day);
                if may(middle) {
                    day = middle;
                } else {
                    before = middle;
                }
            }
            let is_likely = forecast.chance_below(aim, self.now) > 0.5;
            let says = if is_likely {
                "likely a little below it"
            } else {
                "may fall below"
            };
            (Rank::Later, self.now.plus_days(day), says)
        };
        let band = self.band(forecast, self.now);
        let why = move || {
            let mut lines = self.forecast_lines();
            lines.push(self.aim_line(aim));
            lines.extend(self.ahead_lines());
            lines.extend(self.on_its_day(due));
            let presses = if due < self.now && rank != Rank::Later {
                format!("Pressing since {}, below", self.day(due.utc_ms))
            } else {
                "Pressing only below".to_owned()
            };
            lines.push(format!(
                "{presses} {pressing:.0} mg/L: a home test cannot tell less than {:.0} mg/L.",
                self.margin(aim)
            ));
            if aim > TASTED_FREE_MG_L {
                lines.push("At this pH the aim is high: acid, or a lower aim, costs less than so much sulfite.".to_owned());
            }
            if let Some(at) = unweighed {
                lines.push(self.unweighed_line(at));
            }
            if ferment != Ferment::Over {
                lines.push("No reading shows that its ferment is over.".to_owned());
            }
            lines
        };
        Some(
            Reason {
                subject: self.place.key,
                kind: ReasonKind::SulfiteLow,
                due,
                rank,
                weight: self.litres()
                    * ((aim - band.mid) / aim).clamp(0.0, 1.0)
                    * self.policy.loss_unprotected,
                sentence: format!("free SO2 {band} mg/L, aim {aim:.0}: {says}"),
                suggestion: Suggestion::of("dose").with("place", self.place.name()),
            }
            .because(why),
        )
    }

    /// A reading that has grown old, or has no pH beside it to be judged by.
    fn old_reading(&self, forecast: &Forecast) -> Option<Found<'_>> {
        let (read_ms, _) = self.last_so2_test()?;
        let days = self.days(read_ms);
        let aim = self.free_so2_aim();
        let (rank, due, sentence, field) = if aim.is_none() {
            let band = self.band(forecast, self.now);
            let least =
                free_needed_mg_l(self.molecular_aim(), self.policy.lowest_ph, self.policy.pk1);
            let low = band.mid < self.policy.least_free_mg_l.max(least);
            let rank = if low { Rank::Soon } else { Rank::Later };
            (
                rank,
                self.now,
                format!("free SO2 {band} mg/L, pH {}", self.unread()),
                "ph",
            )
        } else if days as f64 > self.policy.reading_days {
            let due = self
                .now
                .at(read_ms)
                .plus_days(self.policy.reading_days as i64);
            (
                Rank::Soon,
                due,
                format!("free SO2 last measured {} ago", span(days)),
                "free-so2",
            )
        } else {
            return None;
        };
        let why = move || {
            let mut lines = self.forecast_lines();
            match aim {
                Some(aim) => lines.push(self.aim_line(aim)),
                None => lines.push("How much is enough follows from the pH: red at 3.4 needs 20 mg/L, white 32; at 3.7, 39 and 63 (extension table).".to_owned()),
            }
            lines.extend(self.ahead_lines());
            lines
        };
        Some(
            Reason {
                subject: self.place.key,
                kind: ReasonKind::SulfiteOld,
                due,
                rank,
                weight: self.litres() * self.policy.loss_unread,
                sentence,
                suggestion: Suggestion::of("measure")
                    .with("place", self.place.name())
                    .asking(field),
            }
            .because(why),
        )
    }
}

#[cfg(test)]
mod tests;
