//! How a wine goes on where it is supposed to be kept warmer or colder than it is: the days from then on count for more or
//! less, and what was learned of it so far stands.

use leesline_calc::decline::WARMTH_C;
use leesline_calc::gravity_curve::pace;
use leesline_calc::warmth::times_as_fast;

use super::holding::Holding;
use crate::cellar::entry::Property;
use crate::cellar::moment;
use crate::cellar::snapshot::Kept;

/// Below and above this no wine is taken to have been measured, °C.
const MEASURED_C: (f64, f64) = (-5.0, 45.0);

/// Days as something in the wine counts them, from the same beginning as by the calendar: faster or slower from one of them on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Clock {
    since: f64,
    times: f64,
}

impl Clock {
    /// Days counted from an instant (UTC ms), so many times as fast since another warmth is supposed.
    fn of(kept: Option<(Kept, f64)>, from_ms: f64) -> Clock {
        let (since, times) = kept.map_or((0.0, 1.0), |(kept, times)| {
            let since = kept.since.utc_ms as f64 - from_ms;
            (since / moment::DAY_MS as f64, times)
        });
        Clock { since, times }
    }

    /// A day by the calendar, as the wine counts it.
    pub(super) fn counted(self, day: f64) -> f64 {
        day.min(self.since) + (day - self.since).max(0.0) * self.times
    }

    /// A day as the wine counts it, by the calendar.
    pub(super) fn by_calendar(self, counted: f64) -> f64 {
        counted.min(self.since) + (counted - self.since).max(0.0) / self.times
    }
}

impl Holding<'_> {
    /// How its free SO2 counts days, from now.
    pub(super) fn so2_clock(&self) -> Clock {
        let times = |kept| (kept, self.so2_times(kept));
        Clock::of(self.kept.map(times), self.now.utc_ms as f64)
    }

    /// How its ferment counts days, from an instant (UTC ms).
    pub(super) fn ferment_clock(&self, from_ms: f64) -> Clock {
        let times = |kept| (kept, self.ferment_times(kept));
        Clock::of(self.kept.map(times), from_ms)
    }

    /// How many times as fast its ferment goes where it is supposed to be kept.
    fn ferment_times(&self, kept: Kept) -> f64 {
        let (from_c, _) = self.warm_before(kept);
        pace(from_c) / pace(kept.celsius)
    }

    /// How many times as fast free SO2 goes where it is supposed to be kept.
    fn so2_times(&self, kept: Kept) -> f64 {
        let within = |celsius: f64| celsius.clamp(WARMTH_C.0, WARMTH_C.1);
        let (from_c, _) = self.warm_before(kept);
        let energy = self.policy.so2_energy * 1e3;
        times_as_fast(energy, within(from_c), within(kept.celsius))
    }

    /// How warm it was before another warmth was supposed, °C, and where that comes from.
    fn warm_before(&self, kept: Kept) -> (f64, String) {
        let measured = self.known_between(Property::Temperature, MEASURED_C.0, MEASURED_C.1);
        let measured = measured.filter(|(_, known)| {
            let days = kept.since.days_since(self.now.at(known.at_ms));
            days as f64 <= self.policy.warmth_days
        });
        match (measured, kept.usual_c) {
            (Some((celsius, known)), _) => {
                let day = self.day(known.at_ms);
                (celsius, format!("measured {day}"))
            }
            (None, Some(usual)) => (usual, "set for the cellar".to_owned()),
            (None, None) => (
                self.policy.air_c,
                "taken, as neither wine nor cellar was measured".to_owned(),
            ),
        }
    }

    /// What is taken of its ferment at the warmth supposed; `None` where none is.
    pub(super) fn ferment_warmth_line(&self) -> Option<String> {
        let kept = self.kept?;
        let (from_c, source) = self.warm_before(kept);
        let cold = if kept.celsius < self.policy.warm_c {
            format!(
                " Below {:.0} °C it may only sleep (common practice).",
                self.policy.warm_c
            )
        } else {
            String::new()
        };
        Some(format!(
            "A ferment goes {:.2} times as fast at {} as at {} ({source}): twice as fast for 9 °C more, from 8 to 32 °C (house estimate).{cold}",
            self.ferment_times(kept),
            degrees(kept.celsius),
            degrees(from_c)
        ))
    }

    /// What is taken of free SO2 at the warmth supposed; `None` where none is.
    pub(super) fn so2_warmth_line(&self) -> Option<String> {
        let kept = self.kept?;
        let (from_c, source) = self.warm_before(kept);
        let (from, to) = (degrees(from_c), degrees(kept.celsius));
        if (from_c - kept.celsius).abs() < 0.05 {
            return Some(format!(
                "It is kept at {to} already ({source}), so its free SO2 goes as before."
            ));
        }
        let (least, most) = WARMTH_C;
        let is_outside = |celsius: f64| !(least..=most).contains(&celsius);
        let goes = format!(
            "Free SO2 goes {:.2} times as fast at {to} as at {from} ({source}): {} kJ/mol by Arrhenius, from memory; its doubt is not in the band.",
            self.so2_times(kept),
            self.policy.so2_energy
        );
        let outside = (is_outside(kept.celsius) || is_outside(from_c)).then(|| {
            format!(
                "That holds from {least:.0} to {most:.0} °C; a temperature outside is reckoned as the nearer of the two."
            )
        });
        let hot = (kept.celsius > most).then(|| {
            format!(
                "Above {most:.0} °C heat spoils a wine, whatever its sulfite (common practice): keep it cooler."
            )
        });
        let said: Vec<String> = [Some(goes), outside, hot].into_iter().flatten().collect();
        Some(said.join(" "))
    }
}

/// A temperature to a tenth of a degree.
fn degrees(celsius: f64) -> String {
    format!("{} °C", (celsius * 10.0).round() / 10.0)
}
