//! What the forecast of free SO2 rests on and leads to, in sentences: the working of every reason that uses it.

use leesline_calc::decline::next::{Days, narrowed};
use leesline_calc::decline::{
    BINDING_DAYS, FILLING_DAYS, HEADSPACE_DAYS, OPENING_MG_L, STAYS_FREE, filling_takes, gap_hides,
    headspace_takes, racking_takes,
};
use leesline_calc::oxygen::{FILLING_MG_L, RACKING_MG_L};

use super::ferment::Fermentation;
use super::free_so2::{Falls, Forecast};
use super::holding::Holding;
use super::words::{count, due};
use crate::cellar::entry::{Found, Property};
use crate::cellar::moment::Moment;
use crate::cellar::state::{Air, So2Change, So2Event};
use crate::cellar::telling;

/// A month, as rates are said.
const MONTH_DAYS: f64 = 30.0;
/// Nobody plans further ahead than this many days.
const FAR_DAYS: i64 = 5 * 365;

/// The part lost in a month, %, by that lost in a day.
fn month(per_day: f64) -> f64 {
    (1.0 - (-per_day * MONTH_DAYS).exp()) * 100.0
}

/// That it was racked, and that it was opened, by what happened since a test, and what each is taken to cost.
fn air_lines<'a>(since: impl Iterator<Item = &'a So2Event>) -> Vec<String> {
    let airs: Vec<Air> = since.filter_map(|it| it.what.air()).collect();
    let times = |air: Air| match airs.iter().filter(|it| **it == air).count() {
        0 => None,
        1 => Some("once".to_owned()),
        2 => Some("twice".to_owned()),
        count => Some(format!("{count} times")),
    };
    let racked = times(Air::Racked).map(|times| {
        let (takes, sd) = racking_takes();
        let [low, high] = RACKING_MG_L;
        format!(
            "Racked {times} since, at {takes:.0} ± {sd:.0} mg/L of free SO2 each: it meets {low:.0} to {high:.0} mg/L of oxygen by siphon (common practice; any step in a cellar 0.5 to 8, vinlab)."
        )
    });
    let opened = times(Air::Opened).map(|times| {
        let [low, high] = OPENING_MG_L;
        format!("Opened {times} since, at {low}–{high} mg/L of free SO2 each (house estimate).")
    });
    racked.into_iter().chain(opened).collect()
}

impl Holding<'_> {
    /// The data and the model behind what is expected now.
    pub(super) fn forecast_lines(&self) -> Vec<String> {
        let (Some(forecast), Some((at_ms, found))) = (self.forecast(), self.last_so2_test()) else {
            return Vec::new();
        };
        let mut lines = vec![self.test_line(at_ms, found)];
        lines.extend(self.since_lines(at_ms));
        lines.extend(self.anew_line(forecast));
        lines.extend(self.gap_line(forecast));
        if forecast.error() > 1.0 {
            lines.push(
                "Its tests rise, or scatter by more than their error, as if something had not been written down: the last of them \
                 counts for most, and they say less about how fast it goes."
                    .to_owned(),
            );
        }
        let loss = self.loss(forecast);
        let band = self.band(forecast, self.now);
        lines.push(format!(
            "{loss}, so {band} mg/L now by F = F₀·e^(−k·t); one in ten is outside on either side."
        ));
        lines.extend(self.so2_warmth_line());
        lines
    }

    /// What the forecast takes without having been told: what another warmth is supposed to do, what a test left open, a dose
    /// nobody weighed, and the loss that is usual. Nothing where nothing is forecast.
    fn so2_assumed(&self) -> Vec<String> {
        let (Some(forecast), Some((at_ms, found))) = (self.forecast(), self.last_so2_test()) else {
            return Vec::new();
        };
        let mut lines: Vec<String> = self.so2_warmth_line().into_iter().collect();
        if let Found::Below(_) | Found::Above(_) = found {
            lines.push(self.test_line(at_ms, found));
        }
        if let Some(at) = self.dose_of_unknown_weight() {
            lines.push(self.unweighed_line(at));
        }
        lines.extend(self.ph_before_line());
        let since = self.wine.so2.iter().skip_while(|it| it.at_ms < at_ms);
        lines.extend(air_lines(since));
        lines.extend(self.headspace_line(at_ms));
        lines.extend(self.filling_line());
        lines.extend(self.anew_line(forecast));
        lines.extend(self.gap_line(forecast));
        lines.push(format!("{}.", self.loss(forecast)));
        lines
    }

    /// What is taken without having been told for all that is foreseen of it.
    pub fn assumed(&self, ferment: Option<&Fermentation>) -> Vec<String> {
        let warmth = ferment.and_then(|_| self.ferment_warmth_line());
        warmth.into_iter().chain(self.so2_assumed()).collect()
    }

    /// Why no free SO2 is foreseen of it, or not the day on which it is short of its aim; `None` where both are.
    pub fn so2_unforeseen(&self) -> Option<String> {
        if self.presumed_free_so2_at(self.now).is_some() {
            let why = "No test has seen its free SO2: it is reckoned from what went in and what usually becomes of it.";
            return Some(why.to_owned());
        }
        if self.forecast().is_none() {
            let why = if self.is_fermenting() {
                "it ferments".to_owned()
            } else {
                self.unread()
            };
            return Some(format!("Free SO2 is not foreseen: {why}."));
        }
        let no_ph = self.free_so2_aim().is_none();
        no_ph.then(|| {
            "When free SO2 is short of its aim is not foreseen: its pH was never measured."
                .to_owned()
        })
    }

    /// What free SO2 usually loses where it is kept, and what its own tests there make of that.
    fn loss(&self, forecast: &Forecast) -> String {
        let keeping = self.keeping();
        // What was learned elsewhere says nothing of the rate here.
        let series = &self.wine.so2;
        let moved = self.stays().last().map_or(0, |it| it.0);
        let here = series[moved..].iter();
        let tests: Vec<i64> = here
            .filter(|it| it.what.found().is_some())
            .map(|it| it.at_ms)
            .collect();
        let learned = if let [first, _, ..] = tests[..] {
            let [low, mid, high] = forecast.rates().map(month);
            let since = self.day(first);
            let count = tests.len();
            format!("; with its {count} tests since {since} {mid:.1} %, {low:.1}–{high:.1}")
        } else {
            String::new()
        };
        format!(
            "Kept in {}: {:.1} % a month is usual (house estimate){learned}",
            keeping.label,
            month(keeping.per_day)
        )
    }

    /// That a dose nobody weighed is left out.
    pub(super) fn unweighed_line(&self, at_ms: i64) -> String {
        format!(
            "The sulfite of {} went in by an amount not written down, and is not counted.",
            self.day(at_ms)
        )
    }

    fn test_line(&self, at_ms: i64, found: &Found) -> String {
        let read = telling::found(Property::FreeSo2, found);
        let sd = self.policy.reading_sd_mg_l;
        let last = self.wine.so2.iter().rfind(|it| it.what.found().is_some());
        let off = match (found, last.map(|it| &it.what)) {
            (Found::Below(below), _) => {
                format!("anything from 0 to {below:.0}")
            }
            (Found::Above(above), _) => {
                format!("taken as {above:.0}, so that it may last longer than is foreseen")
            }
            (_, Some(So2Change::Estimated(_))) => {
                format!("estimated from its parts, ± {:.1} mg/L", 2.0 * sd)
            }
            _ => format!("± {sd:.1} mg/L"),
        };
        let age = due(self.now.at(at_ms), self.now);
        format!("Read {read} on {}, {age} ({off}).", self.day(at_ms))
    }

    /// That something was supposed to have gone in that the book does not have, or a dose not to have done what it should.
    fn anew_line(&self, forecast: &Forecast) -> Option<String> {
        let at = forecast.begun_anew()?;
        Some(format!(
            "The test of {} is too far from what the tests and doses before it led to: something is taken to have happened that is not written down, and the forecast begins anew at that test.",
            self.day(at.utc_ms)
        ))
    }

    /// That nobody knows what went on while nothing was written down.
    fn gap_line(&self, forecast: &Forecast) -> Option<String> {
        let [from, until] = forecast.long_gap()?.map(|it| self.day(it.utc_ms));
        Some(format!(
            "Between {from} and {until} lies most of a year of which nothing is written down: what happened meanwhile is taken as up to {:.0} mg/L either way in two of three, as much as a racking takes (house rule), and it says less of how fast free SO2 goes.",
            gap_hides()
        ))
    }

    /// What happened since the last test, or just before it.
    fn since_lines(&self, tested_ms: i64) -> Vec<String> {
        let mut lines = Vec::new();
        let since = self.wine.so2.iter().skip_while(|it| it.at_ms < tested_ms);
        let since = since.skip_while(|it| it.what.found().is_none());
        let doses = since.clone().filter_map(|it| match it.what {
            So2Change::Added(ug_l, _) => Some(ug_l as f64 / 1e3),
            _ => None,
        });
        let added: f64 = doses.sum();
        let dosed_before = self.wine.so2.iter().any(|it| {
            let hours = (tested_ms - it.at_ms) as f64 / 3_600_000.0;
            it.what.adds() && hours > 0.0 && hours < BINDING_DAYS * 24.0
        });
        if dosed_before {
            lines.push(format!(
                "That was within {BINDING_DAYS:.0} days of a dose, which goes on binding for two to five: it counts half as sure."
            ));
        }
        if added > 0.0 {
            lines.push(format!(
                "Added {added:.0} mg/L since; {:.0} % of it taken as bound, 25–50 % (common practice).",
                (1.0 - STAYS_FREE.0) * 100.0
            ));
        }
        lines.extend(air_lines(since));
        lines.extend(self.headspace_line(tested_ms));
        if let Some((at, kept)) = self.stays().last() {
            let until = self.day(self.wine.so2[*at].at_ms);
            let there = kept.label;
            lines.push(if self.is_bottled() {
                format!(
                    "Filled on {until}: what was left in {there} is carried over, less what the air met at filling took; how fast it went there says nothing of how fast it goes here."
                )
            } else {
                format!(
                    "Kept in another way until {until}, in {there}: what that left is carried over; how fast it went there says nothing of how fast it goes here."
                )
            });
        }
        lines.extend(self.filling_line());
        lines
    }

    /// What the air above it is taken to take while it does, or has taken since a test.
    fn headspace_line(&self, tested_ms: i64) -> Option<String> {
        let (under, air) = self.under_air().zip(self.headspace())?;
        let oxygen = self.headspace_oxygen_mg_l();
        let (takes, sd) = headspace_takes(oxygen);
        let since = self.now.after(under.day);
        let until = self.now.after(under.day + HEADSPACE_DAYS);
        (until.utc_ms > tested_ms).then(|| {
            format!(
                "{air} of air stands above it, {oxygen:.1} mg of oxygen a litre: taken as {takes:.0} ± {sd:.0} mg/L of free SO2 over {HEADSPACE_DAYS:.0} days from {} (house estimate).",
                self.day(since.utc_ms)
            )
        })
    }

    /// What the air met at filling is taken to take of bottles while it does, or since a test before it.
    fn filling_line(&self) -> Option<String> {
        let mut series = self.wine.so2.iter();
        let filled = series.rfind(|it| it.what.air() == Some(Air::Bottled))?;
        let (takes, sd) = filling_takes();
        let [low, high] = FILLING_MG_L;
        self.is_bottled().then(|| {
            format!(
                "Filling on {} met {low:.0} to {high:.0} mg/L of oxygen, as without gas or vacuum (vinlab): taken as {takes:.0} ± {sd:.0} mg/L of free SO2 over the first {FILLING_DAYS:.0} days.",
                self.day(filled.at_ms)
            )
        })
    }

    /// When it falls below its aim, when to test, and what that test would be worth.
    pub(super) fn ahead_lines(&self) -> Vec<String> {
        let (Some(forecast), Some(aim)) = (self.forecast(), self.free_so2_aim()) else {
            return Vec::new();
        };
        let Some(falls) = forecast.falls_below(aim) else {
            return Vec::new();
        };
        let is_likely = forecast.chance_below(aim, self.now) > 0.5;
        let mut lines = vec![self.falls_line(falls, aim, is_likely)];
        lines.extend(self.narrowed_line(forecast, Some((aim, falls))));
        lines
    }

    /// What is expected of a day to come, named with that day.
    pub(super) fn on_its_day(&self, day: Moment) -> Option<String> {
        let forecast = self.forecast().filter(|_| day > self.now)?;
        let (read_ms, _) = self.last_so2_test()?;
        let days = count(day.days_since(self.now.at(read_ms)), "day");
        let band = self.band(forecast, day);
        let day = self.day(day.utc_ms);
        Some(format!(
            "On {day}, {days} after the reading, {band} mg/L is expected."
        ))
    }

    fn falls_line(&self, falls: Falls, aim: f64, is_likely: bool) -> String {
        let day = |it: Moment| self.far_day(it);
        let high = day(falls.high);
        let then = if self.test_tells_no_more() {
            "Dose now."
        } else {
            "Test now, or dose."
        };
        let (low, mid) = match (falls.low.map(day), falls.mid) {
            (low, Some(mid)) => (low, mid),
            (_, None) if falls.high > self.now => {
                return format!(
                    "Likely below {aim:.0} mg/L already, since when is not known, and in nine of ten by {high}. {then}"
                );
            }
            (Some(low), None) if low != high => {
                return format!(
                    "Below {aim:.0} mg/L since some day between {low} and {high}; which day is not known. {then}"
                );
            }
            _ => return format!("Below {aim:.0} mg/L since {high} or before. {then}"),
        };
        // The reason's own sentence goes by the same chance; the day may be off by one of its steps.
        let mid = day(if is_likely { mid.min(self.now) } else { mid });
        let about = low.as_ref().map_or_else(
            || format!("{mid}, by {high} in nine of ten"),
            |low| format!("{mid}, {low} to {high} in four of five"),
        );
        match low.filter(|_| falls.low > Some(self.now)) {
            _ if is_likely => format!("Likely below {aim:.0} mg/L since about {about}. {then}"),
            None => format!("Falls below {aim:.0} mg/L about {about}. Test now."),
            Some(low) => format!(
                "Falls below {aim:.0} mg/L about {about}. Test by {low}, when one wine in ten has."
            ),
        }
    }

    /// Whether one more test today would tell next to nothing: one of today is there, or the last could not read so little.
    fn test_tells_no_more(&self) -> bool {
        self.free_so2_of_today().is_some() || self.found_no_more_than().is_some()
    }

    /// What one more test of free SO2 today would narrow; `None` without a test before it.
    pub(in crate::cellar) fn next_so2_test(&self) -> Option<String> {
        let forecast = self.forecast()?;
        let aim = self.free_so2_aim();
        let falls = aim.and_then(|aim| Some((aim, forecast.falls_below(aim)?)));
        self.narrowed_line(forecast, falls)
    }

    /// What one more test today would narrow, as far as can be said before it is made.
    fn narrowed_line(&self, forecast: &Forecast, falls: Option<(f64, Falls)>) -> Option<String> {
        if self.test_tells_no_more() {
            return None;
        }
        let tested = forecast.with_a_test(self.policy.reading_sd_mg_l)?;
        let days = match falls {
            Some((aim, falls)) if falls.high > self.now => {
                let after = tested.falls_below(aim)?;
                let wide = |it: Falls| Some(it.high.days_since(it.low?));
                wide(falls)
                    .zip(wide(after))
                    .zip(after.low)
                    .map(|((is, then), low)| Days {
                        is,
                        then,
                        from_to: [low, after.high].map(|it| self.far_day(it)),
                        is_far: falls.high.days_since(self.now) > FAR_DAYS,
                    })
            }
            _ => None,
        };
        let (is, then) = (forecast.at(self.now), tested.at(self.now));
        Some(narrowed("today", is, then, days.as_ref()))
    }

    fn far_day(&self, day: Moment) -> String {
        if day.days_since(self.now) > FAR_DAYS {
            format!("after {}", self.now.plus_days(FAR_DAYS).date().format("%Y"))
        } else {
            self.day(day.utc_ms)
        }
    }
}
