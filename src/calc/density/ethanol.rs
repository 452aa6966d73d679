//! Ethanol and water.

use super::{bisect, polynomial};

/// Density of ethanol and water in kg/m³; mass fraction of ethanol 0–1, temperature −20 to 40 °C.
///
/// ρ(p,t) = A1 + Σ Ak·p^(k−1) + Σ Bk·(t−20)^k + Σi Σk Ci,k·p^k·(t−20)^i. Source: OIML R 22 (1975), printed in
/// Directive 76/766/EEC, Annex §4 (opened to A5 and B4); the further coefficients read in open transcriptions and
/// confirmed by published spot values.
pub fn ethanol_density(mass_fraction: f64, temperature_c: f64) -> f64 {
    let t = temperature_c - 20.0;
    let mixed = [
        polynomial(&C1, mass_fraction),
        polynomial(&C2, mass_fraction),
        polynomial(&C3, mass_fraction),
        polynomial(&C4, mass_fraction),
        polynomial(&C5, mass_fraction),
    ];
    polynomial(&A, mass_fraction) + t * (polynomial(&B, t) + mass_fraction * polynomial(&mixed, t))
}

/// [`ethanol_density`] at 20 °C.
pub fn ethanol_density_20(mass_fraction: f64) -> f64 {
    polynomial(&A, mass_fraction)
}

/// Pure ethanol at 20 °C in kg/m³.
pub fn pure_ethanol_20() -> f64 {
    ethanol_density_20(1.0)
}

/// Water at 20 °C in kg/m³ as this formula has it: the one to refer a wine's gravity to.
pub const WATER_20: f64 = 998.201_23;

/// Strength by volume at 20 °C (% vol) of a water–ethanol mixture of this strength by mass (% mass, 0–100).
///
/// q = p·ρ(p,20)/ρ(1,20). Source: OIML R 22 (1975).
pub fn alcohol_by_volume(pct_mass: f64) -> f64 {
    pct_mass * ethanol_density_20(pct_mass / 100.0) / pure_ethanol_20()
}

/// Strength by mass (% mass) of a water–ethanol mixture of this strength by volume at 20 °C (% vol, 0–100).
pub fn alcohol_by_mass(pct_vol: f64) -> f64 {
    bisect(0.0, 100.0, |mass| alcohol_by_volume(mass) - pct_vol)
}

const A: [f64; 12] = [
    9.982_012_3e2,
    -1.929_769_495e2,
    3.891_238_958e2,
    -1.668_103_923e3,
    1.352_215_441e4,
    -8.829_278_388e4,
    3.062_874_042e5,
    -6.138_381_234e5,
    7.470_172_998e5,
    -5.478_461_354e5,
    2.234_460_334e5,
    -3.903_285_426e4,
];
const B: [f64; 6] = [
    -2.061_851_3e-1,
    -5.268_254_2e-3,
    3.613_001_3e-5,
    -3.895_770_2e-7,
    7.169_354e-9,
    -9.973_923_1e-11,
];
const C1: [f64; 11] = [
    1.693_443_461_530_087e-1,
    -1.046_914_743_455_169e1,
    7.196_353_469_546_523e1,
    -7.047_478_054_272_792e2,
    3.924_090_430_035_045e3,
    -1.210_164_659_068_747e4,
    2.248_646_550_400_788e4,
    -2.605_562_982_188_164e4,
    1.852_373_922_069_467e4,
    -7.420_201_433_430_137e3,
    1.285_617_841_998_974e3,
];
const C2: [f64; 10] = [
    -1.193_013_005_057_01e-2,
    2.517_399_633_803_461e-1,
    -2.170_575_700_536_993,
    1.353_034_988_843_029e1,
    -5.029_988_758_547_014e1,
    1.096_355_666_577_57e2,
    -1.422_753_946_421_155e2,
    1.080_435_942_856_23e2,
    -4.414_153_236_817_392e1,
    7.442_971_530_188_783,
];
const C3: [f64; 9] = [
    -6.802_995_733_503_803e-4,
    1.876_837_790_289_664e-2,
    -2.002_561_813_734_156e-1,
    1.022_992_966_719_22,
    -2.895_696_483_903_638,
    4.810_060_584_300_675,
    -4.672_147_440_794_683,
    2.458_043_105_903_461,
    -5.411_227_621_436_812e-1,
];
const C4: [f64; 4] = [
    4.075_376_675_622_027e-6,
    -8.763_058_573_471_11e-6,
    6.515_031_360_099_368e-6,
    -1.515_784_836_987_21e-6,
];
const C5: [f64; 2] = [-2.788_074_354_782_409e-8, 1.345_612_883_493_354e-8];
