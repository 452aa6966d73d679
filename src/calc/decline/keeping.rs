//! How a wine is kept, and how fast free SO2 is taken to go before anything was read.
//!
//! No paper gives the rates in this form: they are house estimates, anchored in 2.5 mg of free SO2 lost per mg of oxygen in
//! bottled wine (Pascal, Diéval and Vidal, abstract) and in barrels taking up 20–40 mg/L of oxygen a year (common practice).

/// How a wine is kept, and how fast free SO2 is taken to go before anything was read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Keeping {
    /// As typed: `carboy-airlock`.
    pub word: &'static str,
    /// As shown, behind "in".
    pub label: &'static str,
    /// The part of free SO2 lost in a day, the middle of the estimate.
    pub per_day: f64,
    /// Standard deviation of its natural logarithm.
    pub spread: f64,
}

const fn keeping(
    word: &'static str,
    label: &'static str,
    (per_day, spread): (f64, f64),
) -> Keeping {
    Keeping {
        word,
        label,
        per_day,
        spread,
    }
}

/// A full carboy or demijohn under an airlock.
pub const AIRLOCK: Keeping = keeping(
    "carboy-airlock",
    "a full carboy under an airlock",
    (0.004, 0.6),
);
/// The same under a solid bung.
pub const BUNG: Keeping = keeping(
    "carboy-bung",
    "a full carboy under a solid bung",
    (0.0025, 0.6),
);
/// The same of plastic, whose wall lets more air through than any bung. By diffusion J = P·A·Δp/L a carboy of 23 L, 0.45 m², loses
/// 1.7 mg/L of free SO2 more in a month in PET (0.6 mm, 0.035 barrer) and 6.5 in polyethylene (1.8 mm, 0.40 barrer; Polymer Handbook,
/// from memory), of 30 mg/L 0.002 and 0.007 a day: 0.006 to 0.011 with what glass loses. House estimate.
pub const PLASTIC: Keeping = keeping("carboy-plastic", "a full plastic carboy", (0.008, 0.7));
/// A tank, or anything else with air above the wine.
pub const TANK: Keeping = keeping(
    "tank",
    "a tank with air above or a floating lid",
    (0.008, 0.7),
);
/// A barrel.
pub const BARREL: Keeping = keeping("barrel", "a barrel kept topped", (0.009, 0.5));
/// A bottle.
pub const BOTTLE: Keeping = keeping("bottle", "a closed bottle", (0.0007, 0.7));

/// Half a vessel of wine and half of air. Wine takes up a tenth to one milligram of oxygen a day and litre through its open
/// surface, and each takes 2.5 mg of free SO2: of 30 mg/L a hundredth to a tenth a day. House estimate; a vessel treated as open
/// loses 5–20 mg/L and more a month (house estimate of the same reference).
pub const HALF_EMPTY: Keeping = keeping(
    "half-empty",
    "a vessel with much air above the wine",
    (0.025, 0.9),
);

/// The same in a vessel of which so much is full (above 0, to 1): the surface is as wide, and the air is renewed, so that half as
/// much wine loses twice the share. Less than a twentieth is taken as that: then the wine's own pace holds it up.
pub fn under_air(full: f64) -> Keeping {
    Keeping {
        per_day: HALF_EMPTY.per_day * 0.5 / full.clamp(0.05, 1.0),
        ..HALF_EMPTY
    }
}

/// A bag with a tap: its film lets air through. It keeps wine for six months to a year (common practice), which
/// is free SO2 of 40 mg/L falling to 15 in about nine.
pub const BAG: Keeping = keeping("bag", "a bag with a tap", (0.0036, 0.7));

/// Every keeping; house estimates all.
pub static KEEPINGS: &[Keeping] = &[
    AIRLOCK, BUNG, PLASTIC, TANK, HALF_EMPTY, BARREL, BOTTLE, BAG,
];

/// The words of the keepings, in their order.
pub const KEEPING_WORDS: &[&str] = &[
    "carboy-airlock",
    "carboy-bung",
    "carboy-plastic",
    "tank",
    "half-empty",
    "barrel",
    "bottle",
    "bag",
];

/// The keeping of that word.
pub fn find(word: &str) -> Option<Keeping> {
    KEEPINGS.iter().copied().find(|it| it.word == word)
}

/// Another keeping than now, of which no more is known: between a tight bung and a barrel in four of five.
pub const ANY: Keeping = keeping("", "another vessel", (0.004, 1.0));
