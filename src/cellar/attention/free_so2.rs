//! Free SO2 expected now and later, from the wine's own tests, doses and rackings and from how it is kept, with its band.

use std::fmt;

use leesline_calc::decline::falls::between;
use leesline_calc::decline::next::with_a_test;
use leesline_calc::decline::{
    self, Decline, Event, FILLING_DAYS, HEADSPACE_DAYS, Keeping, Quick, STAYS_FREE, What,
    filling_takes, headspace_takes, keeping, long_gap, with_unwritten,
};
use leesline_calc::oxygen::air_oxygen_mg;
use leesline_calc::sulfite::free_needed_mg_l;

use super::holding::Holding;
use super::warmth::Clock;
use crate::cellar::bottling::Package;
use crate::cellar::entry::{Found, Property};
use crate::cellar::moment::{self, Moment};
use crate::cellar::state::{Air, KeptUntil, Known, So2Change, So2Event};
use crate::cellar::thing::{Sort, Thing, VesselKind, Wine as WineKind, field};

/// Free SO2 as expected, mg/L.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// One in ten is below.
    pub low: f64,
    /// As many are below as above.
    pub mid: f64,
    /// One in ten is above.
    pub high: f64,
    /// What it should be for its pH and kind; `None` while the pH is not known.
    pub aim: Option<f64>,
    /// A test that found nothing above this, and nothing went in since: no more is known.
    pub below: Option<f64>,
}

impl Band {
    /// Whether what a test found is its middle, as whole numbers.
    pub fn agrees(&self, found: f64) -> bool {
        (self.mid - found).abs() < 1.0
    }
}

/// `~15 (12–19)`; `<10` after a test that found no more.
impl fmt::Display for Band {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.below {
            Some(below) => write!(f, "<{below:.0}"),
            None => write!(f, "~{:.0} ({:.0}–{:.0})", self.mid, self.low, self.high),
        }
    }
}

/// Free SO2 of one wine as its own series has it, seen from now.
#[derive(Clone, Debug)]
pub(super) struct Forecast {
    /// What bears on it, in days from now as the wine counts them.
    events: Vec<Event>,
    quick: Quick,
    /// The day of the last test before which an addition was supposed that the book does not have.
    anew: Option<f64>,
    /// The last days between which nothing is written down for most of a year.
    gap: Option<(f64, f64)>,
    keeping: Keeping,
    now: Moment,
    clock: Clock,
}

/// The days on which free SO2 falls below something.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Falls {
    /// One wine in ten has fallen below by then: the day by which to test. `None` where it may have before anything was read.
    pub low: Option<Moment>,
    /// Half of them; `None` where it is below already and nobody knows since when.
    pub mid: Option<Moment>,
    /// Nine in ten.
    pub high: Moment,
}

const TENTHS: [f64; 3] = [0.1, 0.5, 0.9];
const DAY_MS: f64 = moment::DAY_MS as f64;
/// Standard normal deviate that one in ten exceeds.
pub(in crate::cellar) const ONE_IN_TEN: f64 = 1.281_552;
/// An estimate made of the parts of a blend errs by so many times as much as a test.
const ESTIMATE_ERROR: f64 = 2.0;

impl Forecast {
    fn days(&self, then: Moment) -> f64 {
        let days = self
            .clock
            .counted((then.utc_ms - self.now.utc_ms) as f64 / DAY_MS);
        // A test of later today, or dated ahead, stands for now.
        (days - self.quick.begins()).max(0.0)
    }

    /// The chance that there is less than that then.
    pub(super) fn chance_below(&self, free_mg_l: f64, then: Moment) -> f64 {
        self.quick.chance_below(free_mg_l, self.days(then))
    }

    /// The tenths and the middle then, mg/L.
    pub(super) fn at(&self, then: Moment) -> [f64; 3] {
        self.quick.free_at(self.days(then), TENTHS)
    }

    /// The share lost a day: tenths and middle.
    pub(super) fn rates(&self) -> [f64; 3] {
        TENTHS.map(|it| self.quick.rate(it))
    }

    /// How many times as much as they say its tests err, by how they scatter.
    pub(super) fn error(&self) -> f64 {
        self.quick.error()
    }

    /// When half of such wines have fallen below that; as long ago as its last change at most, and as its tests found it.
    pub(super) fn reaches(&self, free_mg_l: f64) -> Moment {
        let begins = self.quick.begins();
        let days = self.quick.days_to(free_mg_l, 0.5);
        let day = days.map_or(begins, |it| it + begins);
        let (from, until) = between(&self.events, free_mg_l);
        let day = day.min(until.unwrap_or(f64::MAX));
        self.day(day.max(from.unwrap_or(f64::MIN)))
    }

    /// The day of a test of which the account explains so little that it begins anew: something went in that nobody wrote down.
    pub(super) fn begun_anew(&self) -> Option<Moment> {
        let days = self.anew?;
        Some(self.day(days))
    }

    /// The last days between which nothing is written down for most of a year.
    pub(super) fn long_gap(&self) -> Option<[Moment; 2]> {
        let (from, until) = self.gap?;
        Some([from, until].map(|it| self.day(it)))
    }

    fn day(&self, counted: f64) -> Moment {
        self.now.after(self.clock.by_calendar(counted))
    }

    /// When it falls below that, at full grain, and as its tests found it.
    pub(super) fn falls_below(&self, free_mg_l: f64) -> Option<Falls> {
        let fine = Decline::of(self.keeping, &self.events)?;
        let falls = decline::Falls::of(&fine, &self.events, free_mg_l);
        Some(Falls {
            low: falls.low.map(|it| self.day(it)),
            mid: falls.mid.map(|it| self.day(it)),
            high: self.day(falls.high),
        })
    }

    /// The same with one more test today, off by so much, that finds the middle of what is expected.
    pub(super) fn with_a_test(&self, sd: f64) -> Option<Forecast> {
        let [_, free_mg_l, _] = self.at(self.now);
        let events = with_a_test(&self.events, self.clock.counted(0.0), free_mg_l, sd);
        Some(Forecast {
            quick: Quick::of(self.keeping, &events)?,
            events,
            ..*self
        })
    }
}

impl Holding<'_> {
    /// Free SO2 expected now; `None` when it was never measured as a number.
    pub fn expected_free_so2(&self) -> Option<Band> {
        self.expected_free_so2_at(self.now)
    }

    /// Free SO2 expected then, if nothing is done before.
    pub fn expected_free_so2_at(&self, then: Moment) -> Option<Band> {
        Some(self.band(self.forecast()?, then))
    }

    pub(super) fn band(&self, forecast: &Forecast, then: Moment) -> Band {
        let [low, mid, high] = forecast.at(then);
        let below = self.found_no_more_than();
        // What a test errs may put it above the limit that it was found to be under, and no dose is reckoned on that.
        let most = below.unwrap_or(f64::MAX);
        Band {
            low: low.min(most),
            mid: mid.min(most),
            high: high.min(most),
            aim: self.free_so2_aim(),
            below,
        }
    }

    /// When free SO2 falls below its aim; `None` without a test, or a pH for the aim.
    pub fn falls_below_aim(&self) -> Option<Falls> {
        self.forecast()?.falls_below(self.free_so2_aim()?)
    }

    /// The last test of free SO2 that found a number, or the estimate that stands for it.
    pub(super) fn last_so2_test(&self) -> Option<(i64, &Found)> {
        let mut tests = self.wine.so2.iter().rev();
        tests.find_map(|it| Some((it.at_ms, it.what.found()?)))
    }

    /// What a test of today found, if nothing went in since, mg/L.
    pub fn free_so2_of_today(&self) -> Option<f64> {
        let read = self.wine.known.get(&Property::FreeSo2)?;
        let stands = !read.estimated && self.wine.so2_since_reading.0 == 0;
        let is_new = stands && self.days(read.at_ms) == 0;
        read.found.number().filter(|_| is_new)
    }

    /// What a test found no more than, if nothing went in since.
    pub(super) fn found_no_more_than(&self) -> Option<f64> {
        let adds = |it: &&So2Event| it.what.adds();
        let is_test = |it: &&So2Event| it.what.found().is_some();
        let last = self.wine.so2.iter().rfind(|it| adds(it) || is_test(it))?;
        match last.what.found()? {
            Found::Below(bound) => Some(*bound),
            _ => None,
        }
    }

    /// Free SO2 to aim at for its pH and kind, mg/L: F = M·(1 + 10^(pH − 1.81)). `None` while the pH
    /// is not known, or is no wine's (2–5).
    pub fn free_so2_aim(&self) -> Option<f64> {
        let (ph, _) = self.ph()?;
        Some(free_needed_mg_l(self.molecular_aim(), ph, self.policy.pk1))
    }

    /// Molecular SO2 to aim at, mg/L: the batch's own, else by its kind.
    pub fn molecular_aim(&self) -> f64 {
        let own = self.batch.and_then(|it| it.real(field::AIM));
        match (own, self.batch.map(Thing::wine)) {
            (Some(aim), _) if aim > 0.0 && aim.is_finite() => aim,
            (_, Some(WineKind::Red)) => self.policy.aim_red_mg_l,
            _ => self.policy.aim_mg_l,
        }
    }

    /// Its pH as last measured.
    pub(super) fn ph(&self) -> Option<(f64, &Known)> {
        self.known_between(Property::Ph, 2.0, 5.0)
    }

    /// How it is kept, from the vessel, what closes it, and its headspace.
    pub fn keeping(&self) -> Keeping {
        let air = self.headspace_share().filter(|_| self.litres() > 0.0);
        self.kept_in(self.place, air.unwrap_or(0.0))
    }

    /// How wine is kept in a place of which so much is empty (0–1). A floating lid leaves no air.
    fn kept_in(&self, place: &Thing, air: f64) -> Keeping {
        let closure = place.text(field::CLOSURE).to_lowercase();
        let is_run = place.sort == Sort::Run;
        let floats = closure.contains("float");
        let has_air = air > self.policy.ullage_share;
        match place.vessel_kind() {
            _ if is_run && Package::of(place) == Package::Bag => keeping::BAG,
            _ if is_run => keeping::BOTTLE,
            _ if air >= self.policy.under_air_share && !floats => keeping::under_air(1.0 - air),
            VesselKind::Barrel if has_air => Keeping {
                label: "a barrel with air above the wine",
                ..keeping::BARREL
            },
            VesselKind::Barrel => keeping::BARREL,
            VesselKind::Tank | VesselKind::Bucket => keeping::TANK,
            _ if has_air && floats => keeping::TANK,
            _ if has_air => Keeping {
                label: "a vessel with air above the wine",
                ..keeping::TANK
            },
            _ if place.text(field::MATERIAL) == "plastic" => keeping::PLASTIC,
            _ if closure.contains("bung") || closure.contains("stopper") => keeping::BUNG,
            _ => keeping::AIRLOCK,
        }
    }

    /// How it was kept until it was moved; where that is gone from the book, in any way.
    pub(super) fn kept_until(&self, before: KeptUntil) -> Keeping {
        let place = self.things.get(&before.place);
        place.map_or(keeping::ANY, |it| {
            self.kept_in(it, before.empty as f64 / 1_000.0)
        })
    }

    /// Where among its changes it had been kept in another way until then, and how. What it passed through within a day, as the
    /// bucket that a racking goes by, kept it in no way of its own.
    pub(super) fn stays(&self) -> Vec<(usize, Keeping)> {
        let mut since = i64::MIN;
        let mut stays = Vec::new();
        for (at, it) in self.wine.so2.iter().enumerate() {
            if let So2Change::MetAir(_, Some(before)) = it.what {
                if it.at_ms.saturating_sub(since) >= moment::DAY_MS {
                    stays.push((at, self.kept_until(before)));
                }
                since = it.at_ms;
            }
        }
        let next = stays.iter().skip(1).map(|it| it.1);
        let next = next.chain([self.keeping()]);
        let stays = stays.iter().zip(next);
        stays
            .filter(|(stay, next)| stay.1 != *next)
            .map(|(stay, _)| *stay)
            .collect()
    }

    /// Whether it stands under so much air that this is how it is kept. A floating lid leaves none.
    pub(super) fn is_under_air(&self) -> bool {
        let air = self.headspace_share().filter(|_| self.litres() > 0.0);
        let floats = self.place.text(field::CLOSURE).contains("float");
        let air = air.filter(|_| !floats && !self.is_bottled());
        air.is_some_and(|it| it >= self.policy.under_air_share)
    }

    /// What its own series says of its free SO2. What went in since the last test by an amount nobody wrote down is left out.
    pub(super) fn forecast(&self) -> Option<&Forecast> {
        let reckoned = || self.reckoned().map(Box::new);
        self.forecast.get_or_init(reckoned).as_deref()
    }

    fn reckoned(&self) -> Option<Forecast> {
        let tested = self
            .wine
            .so2
            .iter()
            .rposition(|it| it.what.found().is_some())?;
        let stays = self.stays();
        let events = self.wine.so2.iter().enumerate().flat_map(|(at, it)| {
            let day = (it.at_ms - self.now.utc_ms) as f64 / DAY_MS;
            let what = match &it.what {
                So2Change::Tested(found) => [self.test(found, 1.0), None],
                So2Change::Estimated(found) => [self.test(found, ESTIMATE_ERROR), None],
                So2Change::Added(ug_l, sd_ug_l) => {
                    let [mg_l, sd] = [*ug_l, *sd_ug_l].map(|it| it as f64 / 1e3);
                    let powder = What::Unexplained(sd * STAYS_FREE.0);
                    [Some(What::Added(mg_l)), (sd > 0.0).then_some(powder)]
                }
                So2Change::AddedUnknown | So2Change::AddedToUnmeasured(..) => {
                    [(at <= tested).then_some(What::AddedUnknown), None]
                }
                So2Change::MetAir(air, _) => {
                    let kept = stays.iter().find(|it| it.0 == at);
                    let met = match air {
                        Air::Opened => What::Aired,
                        Air::Racked => What::Racked,
                        Air::Bottled => filling(),
                    };
                    [kept.map(|it| What::Moved(it.1)), Some(met)]
                }
            };
            what.into_iter()
                .flatten()
                .map(move |what| Event { day, what })
        });
        let keeping = self.keeping();
        let clock = self.so2_clock();
        let events = events.chain(self.under_air()).map(|it| Event {
            day: clock.counted(it.day),
            ..it
        });
        let mut events: Vec<Event> = events.collect();
        events.sort_by(|one, other| one.day.total_cmp(&other.day));
        let written = events;
        let events = with_unwritten(keeping, &written);
        let is_new = |it: &&Event| it.what == What::AddedUnknown && !written.contains(it);
        Some(Forecast {
            quick: Quick::of(keeping, &events)?,
            anew: events.iter().rfind(is_new).map(|it| it.day),
            gap: long_gap(&events),
            events,
            keeping,
            now: self.now,
            clock,
        })
    }

    /// What the air above it takes, from when it last met any.
    pub(super) fn under_air(&self) -> Option<Event> {
        let last = self.wine.so2.iter().rfind(|it| it.what.air().is_some())?;
        let day = (last.at_ms - self.now.utc_ms) as f64 / DAY_MS;
        let oxygen = self.headspace_oxygen_mg_l();
        let (mg_l, sd) = headspace_takes(oxygen);
        let days = HEADSPACE_DAYS;
        let what = What::Takes { mg_l, sd, days };
        (oxygen > 0.0).then_some(Event { day, what })
    }

    /// A test as a number and its error: where no more than a bound is known, anything down to nothing is as likely.
    fn test(&self, found: &Found, errs: f64) -> Option<What> {
        let error = errs * self.policy.reading_sd_mg_l;
        let is_one = |free_mg_l: f64| (0.0..=1_000.0).contains(&free_mg_l);
        let (free_mg_l, sd) = match found {
            Found::Below(bound) => {
                let what = What::Below {
                    bound: *bound,
                    sd: error,
                };
                return (is_one(*bound) && *bound > 0.0 && error > 0.0).then_some(what);
            }
            Found::Between(low, high) => {
                let half = (high - low).abs() / 2.0 / ONE_IN_TEN;
                (f64::midpoint(*low, *high), error.max(half))
            }
            _ => (found.number()?, error),
        };
        (is_one(free_mg_l) && sd > 0.0).then_some(What::Test { free_mg_l, sd })
    }

    /// Oxygen in the air above a wine in a full carboy, mg per litre. With more air, or in wood, in a tank or in bottles, the
    /// share lost a day is taken to have it in.
    pub(super) fn headspace_oxygen_mg_l(&self) -> f64 {
        let full = [keeping::AIRLOCK, keeping::BUNG, keeping::PLASTIC].contains(&self.keeping());
        match self.headspace() {
            Some(air) if full && self.litres() > 0.0 => {
                air_oxygen_mg(air.in_litres() * 1e3, self.policy.air_c) / self.litres()
            }
            _ => 0.0,
        }
    }
}

/// What the air met at filling takes, be it opened or poured for that.
fn filling() -> What {
    let (mg_l, sd) = filling_takes();
    let days = FILLING_DAYS;
    What::Takes { mg_l, sd, days }
}

#[cfg(test)]
mod tests;
