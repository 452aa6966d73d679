//! What bears on free SO2, and by how much.

use super::{Keeping, ONE_IN_TEN};
use crate::oxygen::{FILLING_MG_L, RACKING_MG_L, SO2_PER_OXYGEN, SO2_PER_OXYGEN_LOW};

/// Something that bears on the free SO2 of a wine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Event {
    /// The day, from any beginning that is the same for all.
    pub day: f64,
    /// What.
    pub what: What,
}

impl Event {
    /// Whether it is a test, and changes nothing.
    pub const fn is_test(&self) -> bool {
        matches!(self.what, What::Test { .. } | What::Below { .. })
    }
}

/// What bears on free SO2.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum What {
    /// A test found so much, off by so much (standard deviation); mg/L.
    Test {
        /// What it found.
        free_mg_l: f64,
        /// Its error.
        sd: f64,
    },
    /// A test that reads nothing below a limit found less than that, with the error such a test has (standard deviation); mg/L.
    Below {
        /// Its limit.
        bound: f64,
        /// Its error.
        sd: f64,
    },
    /// So much SO2 was added, mg/L of the wine; part of it gets bound.
    Added(f64),
    /// SO2 was added by an amount nobody knows: only a later test says what there is.
    AddedUnknown,
    /// Its vessel was opened: topped up, drawn from.
    Aired,
    /// All of it was poured, as at a racking.
    Racked,
    /// Until then it was kept so, and in another way since. What air it met by that is told beside it.
    Moved(Keeping),
    /// Air met on that day takes so much in all, off by so much (standard deviation), mg/L: evenly over so many days from then. The
    /// last of such airs stands.
    Takes {
        /// All of it.
        mg_l: f64,
        /// Its error.
        sd: f64,
        /// Over how many days, above 0.
        days: f64,
    },
    /// Something nobody wrote down took some or brought some, or a powder was weaker or stronger than it was taken to be: off by so
    /// much (standard deviation), mg/L.
    Unexplained(f64),
}

/// The part of an addition that stays free, and its standard deviation: a third gets bound, as every dose is reckoned, and 0.25 to
/// 0.5 in four of five (common practice); it leans to one side, and is taken to lie as widely on either.
pub const STAYS_FREE: (f64, f64) = (2.0 / 3.0, 0.25 / (2.0 * ONE_IN_TEN));
/// A test within so many days of an addition still counts as bound what will be: it errs twice as much (common practice: an
/// addition takes two to five days to bind).
pub const BINDING_DAYS: f64 = 3.0;
pub(super) const EARLY_ERROR: f64 = 2.0;
/// Free SO2 lost once at each opening, mg/L: in four of five. House estimate.
pub const OPENING_MG_L: [f64; 2] = [0.5, 2.0];
/// Its mean and standard deviation.
pub(super) const OPENING: (f64, f64) = four_of_five(OPENING_MG_L);
/// Over so many days the air met at filling takes free SO2 (a trade hand-out: some 10 to 15 mg/L in the first two months).
pub const FILLING_DAYS: f64 = 60.0;
/// Over so many days the oxygen above a wine in a full vessel goes into it. House estimate: what topping up is due at, 4 mg per litre of
/// wine, takes 4 to 40 at a tenth to one milligram a day ([`super::keeping::HALF_EMPTY`]), longer under a narrow neck.
pub const HEADSPACE_DAYS: f64 = 28.0;
/// Of the oxygen above a wine it takes up none, all, or any part, as likely: mean and mean square of that part. House estimate.
const TAKEN_UP: (f64, f64) = (0.5, 1.0 / 3.0);

/// Free SO2 that the oxygen in a headspace (mg per litre of wine) takes in all, mg/L, and its standard deviation: 2.5 mg for each mg
/// that is taken up, 1 to 4 in four of five ([`crate::oxygen`]).
pub fn headspace_takes(oxygen_mg_l: f64) -> (f64, f64) {
    let per_sd = (SO2_PER_OXYGEN - SO2_PER_OXYGEN_LOW) / ONE_IN_TEN;
    let mean = SO2_PER_OXYGEN * TAKEN_UP.0;
    let variance = (SO2_PER_OXYGEN.powi(2) + per_sd.powi(2)) * TAKEN_UP.1 - mean * mean;
    (mean * oxygen_mg_l, variance.sqrt() * oxygen_mg_l)
}

/// Free SO2 that the oxygen met at filling takes in all, mg/L, and its standard deviation.
pub fn filling_takes() -> (f64, f64) {
    oxygen_takes(FILLING_MG_L)
}

/// Free SO2 that the oxygen met at a racking takes, mg/L, and its standard deviation.
pub fn racking_takes() -> (f64, f64) {
    oxygen_takes(RACKING_MG_L)
}

/// What goes on unseen over a long gap (standard deviation, mg/L): as much as a racking takes, more or less than is written down; an
/// opening or two and a small dose are within it, and a larger dose is seen. House rule.
pub fn gap_hides() -> f64 {
    let (takes, sd) = racking_takes();
    takes.hypot(sd)
}

/// Mean and standard deviation of a figure that lies between these in four of five.
const fn four_of_five([low, high]: [f64; 2]) -> (f64, f64) {
    (f64::midpoint(low, high), (high - low) / 2.0 / ONE_IN_TEN)
}

/// Free SO2 that so much oxygen (mg/L, in four of five) takes, mg/L, and its standard deviation: 1 to 4 mg for each mg of it in four
/// of five ([`crate::oxygen`]; two independent figures multiplied).
fn oxygen_takes(oxygen_mg_l: [f64; 2]) -> (f64, f64) {
    let (oxygen, oxygen_sd) = four_of_five(oxygen_mg_l);
    let per_sd = (SO2_PER_OXYGEN - SO2_PER_OXYGEN_LOW) / ONE_IN_TEN;
    let variance = (oxygen * per_sd).powi(2)
        + (SO2_PER_OXYGEN * oxygen_sd).powi(2)
        + (per_sd * oxygen_sd).powi(2);
    (SO2_PER_OXYGEN * oxygen, variance.sqrt())
}
