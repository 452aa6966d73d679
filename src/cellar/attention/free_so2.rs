//! Free SO2 expected now: the last reading, run down by how the wine is kept, with its band.

use std::fmt;

use leesline_calc::sulfite::free_needed_mg_l;

use super::holding::Holding;
use crate::cellar::entry::{Found, Property};
use crate::cellar::moment::Moment;
use crate::cellar::state::{Deed, Known};
use crate::cellar::thing::{Thing, VesselKind, Wine as WineKind, field, words};

/// Free SO2 as expected, mg/L.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// One in ten is below.
    pub low: f64,
    /// With the usual loss, from the reading as it stands.
    pub mid: f64,
    /// One in ten is above.
    pub high: f64,
    /// What it should be for its pH and kind; `None` while the pH is not known.
    pub aim: Option<f64>,
    /// A test that found nothing above this, and nothing went in since: no more is known.
    pub below: Option<f64>,
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

words! {
    /// How a wine is kept, as far as it loses free SO2; the words of the `so2-forecast` calculator.
    Keeping {
        Bung "carboy-bung" "under a solid bung",
        Airlock "carboy-airlock" "under an airlock",
        Ullage "tank" "with headspace",
        Barrel "barrel" "in a barrel",
        Bottle "bottle" "in bottle",
    }
}

/// Standard normal deviate that one in ten exceeds.
const ONE_IN_TEN: f64 = 1.281_552;
const DAY_MS: f64 = 86_400_000.0;

/// The last reading with what was added since, and how both run down.
#[derive(Clone, Copy, Debug)]
pub(super) struct Decline {
    /// As read, mg/L; the middle of what a test that found `<10` leaves open.
    pub(super) read: f64,
    /// The tenths below and above it.
    read_tenths: [f64; 2],
    /// What a test found no more than, and nothing went in since.
    below: Option<f64>,
    /// When it was read, UTC ms.
    pub(super) read_ms: i64,
    /// Added since it was read, mg/L.
    pub(super) added: f64,
    /// When, UTC ms: the last dose, as if all had gone in with it.
    pub(super) added_ms: i64,
    /// Usual share lost a day.
    pub(super) per_day: f64,
    /// Standard deviation of its logarithm.
    spread: f64,
    bound: [f64; 3],
}

impl Decline {
    /// What the start, the loss and the bound part give then, mg/L. First order: F = F0·e^(−k·t).
    fn at(&self, when_ms: i64, start: f64, per_day: f64, bound: f64) -> f64 {
        let days = |from: i64, to: i64| (to - from).max(0) as f64 / DAY_MS;
        let to_dose = days(self.read_ms, self.added_ms);
        let since = days(self.added_ms, when_ms);
        (start * (-per_day * to_dose).exp() + self.added * (1.0 - bound)) * (-per_day * since).exp()
    }

    /// The 10–90 % band then. The reading's error, the loss and the bound part are independent, so
    /// their tenths are taken one by one and added as squares on either side.
    fn band(&self, when_ms: i64) -> (f64, f64, f64) {
        let [bound_low, bound, bound_high] = self.bound;
        let factor = (ONE_IN_TEN * self.spread).exp();
        let [least, most] = self.read_tenths;
        let mid = self.at(when_ms, self.read, self.per_day, bound);
        let away = |cases: [(f64, f64, f64); 3]| {
            let squares =
                cases.map(|(start, k, bound)| (self.at(when_ms, start, k, bound) - mid).powi(2));
            squares.iter().sum::<f64>().sqrt()
        };
        let down = away([
            (least, self.per_day, bound),
            (self.read, self.per_day * factor, bound),
            (self.read, self.per_day, bound_high),
        ]);
        let up = away([
            (most, self.per_day, bound),
            (self.read, self.per_day / factor, bound),
            (self.read, self.per_day, bound_low),
        ]);
        ((mid - down).max(0.0), mid, mid + up)
    }

    /// The day on which it usually reaches that, UTC ms; the last dose if it began below.
    pub(super) fn reaches(&self, free: f64) -> i64 {
        let start = self.at(self.added_ms, self.read, self.per_day, self.bound[1]);
        if start <= free || free <= 0.0 {
            return self.added_ms;
        }
        let days = (start / free).ln() / self.per_day;
        self.added_ms + (days * DAY_MS) as i64
    }
}

impl Holding<'_> {
    /// Free SO2 expected now; `None` when it was never measured as a number.
    pub fn expected_free_so2(&self) -> Option<Band> {
        self.expected_free_so2_at(self.now)
    }

    /// Free SO2 expected then, if nothing is done before.
    pub fn expected_free_so2_at(&self, then: Moment) -> Option<Band> {
        let decline = self.decline()?;
        let (low, mid, high) = decline.band(then.utc_ms);
        Some(Band {
            low,
            mid,
            high,
            aim: self.free_so2_aim(),
            below: decline.below,
        })
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
        let closure = self.place.text(field::CLOSURE).to_lowercase();
        let is_full = self
            .headspace_share()
            .is_none_or(|it| it <= self.policy.ullage_share);
        match self.place.vessel_kind() {
            _ if self.is_bottled() => Keeping::Bottle,
            VesselKind::Barrel => Keeping::Barrel,
            VesselKind::Tank | VesselKind::Bucket => Keeping::Ullage,
            _ if !is_full => Keeping::Ullage,
            _ if closure.contains("bung") || closure.contains("stopper") => Keeping::Bung,
            _ => Keeping::Airlock,
        }
    }

    pub(super) fn decline(&self) -> Option<Decline> {
        let policy = self.policy;
        let (read, known) = self.known_between(Property::FreeSo2, 0.0, 1_000.0)?;
        let (per_day, spread) = match self.keeping() {
            Keeping::Bung => (policy.bung_per_day, policy.bung_spread),
            Keeping::Airlock => (policy.airlock_per_day, policy.airlock_spread),
            Keeping::Ullage => (policy.ullage_per_day, policy.ullage_spread),
            Keeping::Barrel => (policy.barrel_per_day, policy.barrel_spread),
            Keeping::Bottle => (policy.bottle_per_day, policy.bottle_spread),
        };
        let added = if self.wine.volume.0 > 0 {
            // Micrograms over microlitres are grams per litre.
            (self.wine.so2_since_reading.0.max(0) as f64) * 1e3 / self.wine.volume.0 as f64
        } else {
            0.0
        };
        let dosed = self.wine.when(Deed::Sulfited).filter(|_| added > 0.0);
        let error = ONE_IN_TEN * policy.reading_sd_mg_l;
        // Where nothing but a bound is known, anything down to nothing is as likely.
        let (read, read_tenths) = match known.found {
            Found::Below(bound) => (bound / 2.0, [0.0, bound]),
            Found::Between(low, high) => (read, [low.min(read - error), high.max(read + error)]),
            _ => (read, [read - error, read + error]),
        };
        let below = match known.found {
            Found::Below(bound) if added <= 0.0 => Some(bound),
            _ => None,
        };
        Some(Decline {
            read,
            read_tenths,
            below,
            read_ms: known.at_ms,
            added,
            added_ms: dosed.unwrap_or(known.at_ms).max(known.at_ms),
            per_day,
            spread,
            bound: [
                policy.bound_share_low,
                policy.bound_share,
                policy.bound_share_high,
            ],
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::trial::{BATCH, CARBOY, Cellar, NOW, RUN, policy};
    use super::*;
    use crate::cellar::amount::Mass;

    fn near(found: f64, expected: f64, tolerance: f64) {
        assert!(
            (found - expected).abs() <= tolerance,
            "{found} is not {expected} ± {tolerance}"
        );
    }

    fn read_35() -> Cellar {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.knows(Property::FreeSo2, 35.0, 0);
        cellar
    }

    // Reference page, derived (no published series): airlock prior, F0 35 ± 2.5, no further reading,
    // F(120) 12.30 / 21.49 / 28.35 at 10 / 50 / 90 %, to be met within 0.15. The middle here is the
    // usual loss from the reading as it stands, 35·e^(−0.004·120), not the median of the mixture.
    #[test]
    fn the_band_after_120_days_is_the_reference_pages() {
        let cellar = read_35();
        let policy = policy();
        let then = cellar
            .holding(&policy)
            .expected_free_so2_at(NOW.plus_days(120))
            .unwrap();
        near(then.low, 12.30, 0.15);
        near(then.high, 28.35, 0.15);
        near(then.mid, 35.0 * (-0.48f64).exp(), 0.01);
    }

    // Reference page, derived: its own series, 35 on the first day, then 29, 27 and 22 a month apart.
    // Each held-back reading lies in the band run down from the one before it.
    #[test]
    fn each_held_back_reading_lies_in_the_band_from_the_one_before() {
        for (read, held_back) in [(35.0, 29.0), (29.0, 27.0), (27.0, 22.0)] {
            let mut cellar = Cellar::with_vessel(23.0, 22.9);
            cellar.knows(Property::FreeSo2, read, 30);
            let band = cellar.holding(&policy()).expected_free_so2().unwrap();
            assert!(band.low <= held_back && held_back <= band.high, "{band}");
        }
    }

    // Reference page: the 10–90 % band of the loss a day by how the wine is kept (house estimates),
    // from a grid whose quantiles step by 1.5 %; the page asks for agreement within 2 %.
    #[test]
    fn the_loss_a_day_spreads_as_the_reference_page_says() {
        let policy = policy();
        let spreads = |holding: Holding, low: f64, high: f64| {
            let decline = holding.decline().unwrap();
            let factor = (ONE_IN_TEN * decline.spread).exp();
            near(decline.per_day / factor / low, 1.0, 0.02);
            near(decline.per_day * factor / high, 1.0, 0.02);
        };
        let check = |closure: &str, kind: &str, litres: f64, low: f64, high: f64| {
            let mut cellar = Cellar::with_vessel(23.0, litres);
            cellar.set(CARBOY, field::CLOSURE, closure);
            cellar.set(CARBOY, field::KIND, kind);
            cellar.knows(Property::FreeSo2, 35.0, 0);
            spreads(cellar.holding(&policy), low, high);
        };
        check("bung", "carboy", 22.9, 0.00116, 0.00537);
        check("airlock", "carboy", 22.9, 0.00186, 0.00860);
        // 4.8 and 5.2 % of headspace.
        check("airlock", "carboy", 21.9, 0.00186, 0.00860);
        check("airlock", "carboy", 21.8, 0.00328, 0.01953);
        check("lid", "tank", 22.9, 0.00328, 0.01953);
        check("bung", "barrel", 22.9, 0.00476, 0.01703);
        let mut bottles = Cellar::with_bottles(29, 30);
        bottles.knows(Property::FreeSo2, 35.0, 0);
        let run = Holding::of(&bottles.0, RUN, &policy).unwrap();
        spreads(run, 0.00029, 0.00171);
    }

    // Reference page, derived: days until F0 35 reaches 20 with the usual loss.
    #[test]
    fn the_day_it_reaches_twenty_follows_the_keeping() {
        let reached = |closure: &str, kind: &str| {
            let mut cellar = read_35();
            cellar.set(CARBOY, field::CLOSURE, closure);
            cellar.set(CARBOY, field::KIND, kind);
            let decline = cellar.holding(&policy()).decline().unwrap().reaches(20.0);
            (decline - NOW.utc_ms) as f64 / DAY_MS
        };
        // ln(35/20) / k; the page's table gives 221, 138, 69 and 61 for the medians of the mixture.
        near(reached("bung", "carboy"), 221.0, 3.0);
        near(reached("airlock", "carboy"), 138.0, 3.0);
        near(reached("lid", "tank"), 69.0, 3.0);
        near(reached("bung", "barrel"), 61.0, 3.0);
    }

    // Univ. of California Coop. Extension, Enology Briefs I(1), 1982: free SO2 for 0.5 and 0.8 mg/L
    // molecular, printed as whole numbers.
    #[test]
    fn the_aim_is_the_extension_tables() {
        let aim = |wine: &str, ph: f64| {
            let mut cellar = Cellar::with_vessel(23.0, 22.9);
            cellar
                .set(BATCH, field::WINE, wine)
                .knows(Property::Ph, ph, 5);
            cellar.holding(&policy()).free_so2_aim().unwrap()
        };
        near(aim("red", 3.3), 16.0, 1.0);
        near(aim("red", 3.6), 31.0, 1.0);
        near(aim("white", 3.0), 13.0, 1.0);
        near(aim("white", 3.3), 26.0, 1.0);
        near(aim("fruit", 3.5), 40.0, 1.0);
        near(aim("sweet", 3.7), 63.0, 1.0);
    }

    #[test]
    fn the_batchs_own_aim_comes_first() {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.set(BATCH, field::AIM, Value::Real(0.6));
        near(cellar.holding(&policy()).molecular_aim(), 0.6, 0.0);
    }

    // A third of what was added is bound, 25–50 % (common practice).
    #[test]
    fn what_was_added_since_counts_without_its_bound_part() {
        let mut cellar = read_35();
        cellar.did(Deed::Sulfited, 0);
        cellar.wine().so2_since_reading = Mass::grams(0.030 * 22.9);
        let found = cellar.holding(&policy()).expected_free_so2().unwrap();
        near(found.mid, 55.0, 0.01);
        // 30 mg/L more bound or freed: −5.0 / +2.5, with 3.2 of the reading's error.
        near(found.low, 55.0 - 5.0f64.hypot(3.204), 0.02);
        near(found.high, 55.0 + 2.5f64.hypot(3.204), 0.02);
    }

    // A test that finds `<10` says 0 to 10 and nothing more; the loss runs it down.
    #[test]
    fn a_bound_is_anything_below_it_and_is_shown_as_read() {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.found(Property::FreeSo2, Found::Below(10.0), 0);
        let band = cellar.holding(&policy()).expected_free_so2().unwrap();
        assert_eq!((band.low, band.mid, band.high), (0.0, 5.0, 10.0));
        assert_eq!(band.to_string(), "<10");
        // 30 mg/L given since: 20 of them free, 15 to 22.5.
        cellar.did(Deed::Sulfited, 0);
        cellar.wine().so2_since_reading = Mass::grams(0.030 * 22.9);
        let given = cellar.holding(&policy()).expected_free_so2().unwrap();
        near(given.mid, 25.0, 0.01);
        near(given.low, 25.0 - 5.0f64.hypot(5.0), 0.02);
        assert_eq!(given.below, None);
    }

    #[test]
    fn a_wine_never_tested_has_no_band() {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        assert_eq!(cellar.holding(&policy()).expected_free_so2(), None);
        cellar.says(Property::FreeSo2, "pale", 3);
        assert_eq!(cellar.holding(&policy()).expected_free_so2(), None);
    }

    #[test]
    fn a_reading_dated_ahead_or_a_volume_below_zero_breaks_nothing() {
        let mut cellar = read_35();
        cellar.knows(Property::FreeSo2, 35.0, -3);
        cellar.wine().volume = crate::cellar::amount::Volume(-5);
        cellar.wine().so2_since_reading = Mass(-7);
        let band = cellar.holding(&policy()).expected_free_so2().unwrap();
        near(band.mid, 35.0, 0.0);
    }

    use crate::cellar::thing::Value;
}
