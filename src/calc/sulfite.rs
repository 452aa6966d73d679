//! Sulfur dioxide in wine: how much of the free part is molecular, and what an addition brings.
//!
//! Plain functions on plain numbers, for use without the registry. Two dissociation constants are in use
//! and must never be mixed: [`PK1_EXTENSION`], the fixed figure behind the extension services' tables, and
//! [`pk1_oiv`], by temperature and alcohol.

/// First dissociation constant of the extension services' tables: water, 18–20 °C, whatever the wine.
/// Source: University of California Cooperative Extension, Enology Briefs I(1), 1982; its table follows from it.
pub const PK1_EXTENSION: f64 = 1.81;

/// Grams of SO2 to the mole, IUPAC abridged atomic masses.
const SO2_G_MOL: f64 = 64.058;

/// Temperatures of the OIV table, °C.
pub const OIV_TEMPERATURE_C: [f64; 5] = [20.0, 25.0, 30.0, 35.0, 40.0];
/// Strengths of the OIV table, % vol.
pub const OIV_ALCOHOL_PCT_VOL: [f64; 5] = [0.0, 5.0, 10.0, 15.0, 20.0];
/// Below the table its 20–25 °C slope is carried on down to this temperature, and no further.
pub const OIV_EXTRAPOLATED_TO_C: f64 = 15.0;

/// Mixed constants pKM at ionic strength 0.038, by alcohol (rows) and temperature (columns).
/// Source: OIV-MA-AS323-04C, Table II, from memory; each column at 20 and 40 °C is confirmed in the tests by
/// the Debye–Hückel term taken from Table I of the same method, which was opened (0–15 % vol).
const OIV_PKM: [[f64; 5]; 5] = [
    [1.723, 1.925, 2.143, 2.257, 2.416],
    [1.819, 2.020, 2.220, 2.317, 2.446],
    [1.916, 2.116, 2.311, 2.405, 2.522],
    [2.014, 2.216, 2.417, 2.520, 2.640],
    [2.114, 2.317, 2.538, 2.663, 2.803],
];

/// Mixed dissociation constant of SO2 by temperature (°C) and alcohol (% vol), bilinear between the OIV's points.
///
/// Holds for 20–40 °C and 0–20 % vol. From 15 to 20 °C the 20–25 °C slope (0.04 per °C) is carried on, which a
/// caller should say. `None` beyond: a cellar at 10 °C would need twice that reach, and an error of 0.1 in the
/// constant is 25 % in the dose. Source: OIV-MA-AS323-04C, section 2 and Table II.
pub fn pk1_oiv(temperature_c: f64, alcohol_pct_vol: f64) -> Option<f64> {
    if !(OIV_EXTRAPOLATED_TO_C..=40.0).contains(&temperature_c)
        || !(0.0..=20.0).contains(&alcohol_pct_vol)
    {
        return None;
    }
    let (row, down) = cell(alcohol_pct_vol, 0.0);
    let (column, across) = cell(temperature_c, 20.0);
    let between = |row: usize| {
        let [left, right] = [OIV_PKM[row][column], OIV_PKM[row][column + 1]];
        left + across * (right - left)
    };
    Some(between(row) + down * (between(row + 1) - between(row)))
}

/// Which interval of a table with steps of five a value lies in, and how far along; below the first, a negative part.
fn cell(value: f64, first: f64) -> (usize, f64) {
    let steps = (value - first) / 5.0;
    let at = steps.floor().clamp(0.0, 3.0);
    (at as usize, steps - at)
}

/// Part of the free SO2 that is molecular, 0–1.
///
/// α = 1 / (1 + 10^(pH − pK1)). Source: OIV-MA-AS323-04C, section 2. The second dissociation (pK2 ≈ 7.2) would
/// change it by less than 0.1 % at pH 4.0 and is left out, as there.
pub fn molecular_fraction(ph: f64, pk1: f64) -> f64 {
    1.0 / (1.0 + 10_f64.powf(ph - pk1))
}

/// Molecular SO2 in mg/L. M = α·F.
pub fn molecular_mg_l(free_mg_l: f64, ph: f64, pk1: f64) -> f64 {
    free_mg_l * molecular_fraction(ph, pk1)
}

/// Free SO2 (mg/L) at which so much (mg/L) is molecular.
///
/// F = M·(1 + 10^(pH − pK1)). Source: as [`molecular_fraction`].
pub fn free_needed_mg_l(molecular_mg_l: f64, ph: f64, pk1: f64) -> f64 {
    molecular_mg_l * (1.0 + 10_f64.powf(ph - pk1))
}

/// The salt that brings the sulfite.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Metabisulfite {
    /// Potassium metabisulfite, `K2S2O5`, E 224.
    Potassium,
    /// Sodium metabisulfite, `Na2S2O5`, E 223.
    Sodium,
}

impl Metabisulfite {
    /// Grams of SO2 from a gram of the pure salt. y = 2·M(SO2)/M(salt), IUPAC abridged atomic masses:
    /// 128.116/222.31 and 128.116/190.10.
    pub const fn so2_yield(self) -> f64 {
        match self {
            Self::Potassium => 0.5763,
            Self::Sodium => 0.6740,
        }
    }
}

/// SO2 to add (mg/L) for the free part to rise by so much (mg/L), when `bound_fraction` (0–1) of it is bound.
///
/// ΔT = ΔF / (1 − b). The whole of it counts toward the total: what is bound is still in the wine.
pub fn addition_mg_l(rise_mg_l: f64, bound_fraction: f64) -> f64 {
    rise_mg_l / (1.0 - bound_fraction)
}

/// Something in wine that binds sulfite.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Binder {
    /// Grams to the mole.
    pub molar_g: f64,
    /// Dissociation constant of what it forms with bisulfite, mol/L, at pH 3 to 4.
    pub dissociation: f64,
}

/// Ethanal, which a ferment leaves and oxygen makes; it holds sulfite for good. Ribéreau-Gayon et al., Handbook of Enology 1,
/// chapter 8, from memory, as the next three.
pub const ACETALDEHYDE: Binder = Binder {
    molar_g: 44.05,
    dissociation: 2e-6,
};
/// Pyruvic acid; printed as 1 to 3·10⁻⁴, here the middle.
pub const PYRUVIC_ACID: Binder = Binder {
    molar_g: 88.06,
    dissociation: 2e-4,
};
/// 2-Oxoglutaric acid.
pub const KETOGLUTARIC_ACID: Binder = Binder {
    molar_g: 146.10,
    dissociation: 5e-4,
};
/// Glucose, of which only much binds much.
pub const GLUCOSE: Binder = Binder {
    molar_g: 180.16,
    dissociation: 0.64,
};

/// SO2 (mg/L) that so much of a binder (g/L) holds beside so much bisulfite, given as SO2 (mg/L).
///
/// B = C·A/(K + A) with C and A in mol/L: the law of mass action for one to one.
pub fn held_mg_l(binder: Binder, binder_g_l: f64, bisulfite_mg_l: f64) -> f64 {
    let bisulfite = bisulfite_mg_l / 1e3 / SO2_G_MOL;
    let held = binder_g_l / binder.molar_g * bisulfite / (binder.dissociation + bisulfite);
    held * SO2_G_MOL * 1e3
}

/// Grams of metabisulfite that bring so much SO2 (mg), at a part `potency` (0–1) of the salt's yield.
///
/// m = ΔT·V / (1000·y·p).
pub fn metabisulfite_g(so2_mg: f64, salt: Metabisulfite, potency: f64) -> f64 {
    so2_mg / (1000.0 * salt.so2_yield() * potency)
}

/// SO2 (mg) in so many grams of metabisulfite, at a part `potency` (0–1) of the salt's yield.
pub fn so2_mg(metabisulfite_g: f64, salt: Metabisulfite, potency: f64) -> f64 {
    metabisulfite_g * 1000.0 * salt.so2_yield() * potency
}

/// Free SO2 (mg/L) above which it is tasted (common practice).
pub const TASTED_FREE_MG_L: f64 = 50.0;
/// Most SO2 that goes in at once without a question, mg/L in all (common practice); a must of rotten fruit is given up to twice that.
pub const MOST_AT_ONCE_MG_L: f64 = 50.0;

/// What is said of so much SO2 at once (mg/L), of which so much stays free, and what is asked; `None` where it is not too much.
pub fn too_much_at_once(added_mg_l: f64, stays_free_mg_l: f64) -> Option<(String, String)> {
    let brings = much_at_once(added_mg_l, stays_free_mg_l)?;
    Some((
        format!("This brings {brings}: check pH, free SO2 and volume, and give half first."),
        format!("Add {added_mg_l:.0} mg/L at once?"),
    ))
}

/// `84 mg/L of SO2 at once, of which 56 stay free; more than 50 free is tasted and cannot be taken out again`; `None` where it is not
/// too much.
pub(crate) fn much_at_once(added_mg_l: f64, stays_free_mg_l: f64) -> Option<String> {
    // By the whole figures that are said: 2 g in 23 L bring 50.1.
    let over = |mg_l: f64, most: f64| mg_l.round() > most;
    let why = if over(stays_free_mg_l, TASTED_FREE_MG_L) {
        format!("more than {TASTED_FREE_MG_L:.0} free is tasted and cannot be taken out again")
    } else {
        "what is too much cannot be taken out again".to_owned()
    };
    over(added_mg_l, MOST_AT_ONCE_MG_L).then(|| {
        format!(
            "{added_mg_l:.0} mg/L of SO2 at once, of which {stays_free_mg_l:.0} stay free; {why}"
        )
    })
}

/// Total SO2 (mg/L) that no wine may go over in the US: 27 CFR 4.22(b)(1) (opened).
pub const US_CEILING_MG_L: f64 = 350.0;
/// Total SO2 (mg/L) that bottled wine of this kind (`red`, `sweet`, another) may hold: Delegated Regulation (EU)
/// 2019/934, Annex I Part B (opened), the stricter beside 27 CFR 4.22(b)(1).
pub fn ceiling_mg_l(wine: &str) -> f64 {
    match wine {
        "red" => 150.0,
        "sweet" => 250.0,
        _ => 200.0,
    }
}

/// Above this pH an honest aim costs more sulfite than a wine carries well (common practice).
pub const HIGH_PH: f64 = 3.7;

/// Free SO2 (mg/L) by titration: γ = V·c·32.029·1000/v, with V mL of titrant of c eq/L in v mL of wine.
///
/// SO₂ + I₂ + 2 H₂O → H₂SO₄ + 2 HI gives up two electrons, and the acid that aeration catches has two protons, so an
/// equivalent is 64.058/2 g for iodine and lye alike.
pub fn titrated_mg_l(titrant_ml: f64, normality: f64, sample_ml: f64) -> f64 {
    titrant_ml * normality * (SO2_G_MOL / 2.0) * 1e3 / sample_ml
}

/// What so much ascorbic acid (mg/L) reads as SO2 (mg/L) in an iodine titration: two electrons each, 64.058/176.12.
pub fn ascorbic_as_so2_mg_l(ascorbic_mg_l: f64) -> f64 {
    ascorbic_mg_l * SO2_G_MOL / 176.12
}

/// What metabisulfite loses of its strength in a year once opened, a part: low, middle, high. 10 to 20 % (from memory:
/// Zoecklein et al., Wine Analysis and Production). Kept damp or badly closed it may lose more, and nobody can say how much.
pub const POWDER_LOSS_PER_YEAR: (f64, f64, f64) = (0.10, 0.15, 0.20);

/// Part of its strength (0–1) a powder has left when it loses so much (0–1) a year once opened. (1 − r)^(m/12).
pub fn powder_left(loss_per_year: f64, months_opened: f64) -> f64 {
    (1.0 - loss_per_year).powf(months_opened / 12.0)
}

/// How far off (standard deviation) the part of its strength is that a powder is said to have left: what is left goes by how long it
/// has been open, and how fast it went in that time is known from slow to fast ([`POWDER_LOSS_PER_YEAR`]; four of five). Past two
/// years nothing is known, and all of it may be gone.
pub fn powder_left_sd(left: f64) -> f64 {
    let (slow, usual, fast) = POWDER_LOSS_PER_YEAR;
    let months = 12.0 * left.clamp(0.01, 1.0).ln() / (1.0 - usual).ln();
    let least = if months > POWDER_KNOWN_MONTHS {
        0.0
    } else {
        powder_left(fast, months)
    };
    (powder_left(slow, months) - least) / (2.0 * ONE_IN_TEN)
}

/// Past so many months nothing is known of the strength of an open powder (house estimate).
const POWDER_KNOWN_MONTHS: f64 = 24.0;
/// Standard normal deviate that one in ten exceeds.
const ONE_IN_TEN: f64 = 1.281_551_57;

/// SO2 (ppm, 20 °C, 1 atm) in the air of a room if so much (mg) were all set free. c = m/V/2.66 mg/m³.
pub fn air_ppm(so2_mg: f64, room_m3: f64) -> f64 {
    so2_mg / room_m3 / (SO2_G_MOL / 24.055)
}
