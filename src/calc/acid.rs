//! Acids of wine: what a figure is as another acid, what a titration says, and what adding, taking away and the
//! malolactic bacteria do to it.
//!
//! Molar masses from IUPAC abridged atomic masses (H 1.008, C 12.011, O 15.999, S 32.06, K 39.098, Ca 40.078).

/// An acid a titratable acidity may be given as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Acid {
    /// Two protons, 150.09 g/mol; the usual one in English.
    Tartaric,
    /// Two protons, 98.07 g/mol; the usual one in France.
    Sulfuric,
    /// Two protons, 134.09 g/mol.
    Malic,
    /// One proton, 90.08 g/mol.
    Lactic,
    /// Three protons, 192.12 g/mol.
    Citric,
    /// One proton, 60.05 g/mol; the usual one for volatile acidity.
    Acetic,
}

impl Acid {
    /// Grams that give one mole of protons: M/z.
    pub fn equivalent_g(self) -> f64 {
        match self {
            Self::Tartaric => 150.09 / 2.0,
            Self::Sulfuric => 98.07 / 2.0,
            Self::Malic => 134.09 / 2.0,
            Self::Lactic => 90.08,
            Self::Citric => 192.12 / 3.0,
            Self::Acetic => 60.05,
        }
    }

    /// Milliequivalents per litre of so many grams per litre. meq/L = 1000·γ/(M/z).
    pub fn meq_l(self, g_l: f64) -> f64 {
        g_l * 1e3 / self.equivalent_g()
    }

    /// Grams per litre of so many milliequivalents per litre.
    pub fn g_l(self, meq_l: f64) -> f64 {
        meq_l * self.equivalent_g() / 1e3
    }
}

/// Titratable acidity in g/L as tartaric acid.
///
/// TA = V·N·75.04/v, volumes of lye and sample in mL and N in mol/L. Source: OIV-MA-AS313-01 and AOAC 962.12, from memory.
pub fn titratable_g_l(titrant_ml: f64, normality: f64, sample_ml: f64) -> f64 {
    Acid::Tartaric.g_l(titrant_ml * normality * 1e3 / sample_ml)
}

/// What the iodine says of the SO2 that came over with a distillate, and what it is worth in mL of it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct DistilledSulfite {
    /// Iodine for the free SO2, mL.
    pub free_ml: f64,
    /// Iodine for the bound SO2, after borax, mL.
    pub bound_ml: f64,
    /// Strength of the iodine, equivalents per litre: 0.01 for 0.005 mol/L of I2.
    pub normality: f64,
}

/// Volatile acidity in meq/L from the lye a distillate takes up, less the SO2 that came over.
///
/// VA = (n·N − n′·N′ − n″·N′/2)·1000/v, which is 5·(n − 0.1·n′ − 0.05·n″) for 20 mL of wine, 0.1 mol/L lye and 0.005 mol/L
/// iodine: free SO2 counts two protons, bound one. Source: OIV-MA-AS313-02, from memory.
pub fn volatile_meq_l(
    lye_ml: f64,
    lye_normality: f64,
    sample_ml: f64,
    so2: DistilledSulfite,
) -> f64 {
    let sulfite = (so2.free_ml + so2.bound_ml / 2.0) * so2.normality;
    (lye_ml * lye_normality - sulfite) * 1e3 / sample_ml
}

/// Grams of an acid that raise the acidity of so many litres by so much (g/L as tartaric), before any of it drops.
///
/// m = ΔTA·V·E(acid)/E(tartaric).
pub fn addition_g(acid: Acid, rise_g_l: f64, volume_l: f64) -> f64 {
    rise_g_l * volume_l * acid.equivalent_g() / Acid::Tartaric.equivalent_g()
}

/// What takes acid out of wine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Deacidifier {
    /// Calcium carbonate, `CaCO3`.
    CalciumCarbonate,
    /// Potassium bicarbonate, `KHCO3`.
    PotassiumBicarbonate,
    /// Potassium carbonate, `K2CO3`.
    PotassiumCarbonate,
}

/// Grams of an agent for each gram of acidity (as tartaric) to lose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Need {
    /// Where all the potassium drops as cream of tartar and takes a proton more with it.
    pub all_drops: f64,
    /// What is used.
    pub practice: f64,
    /// Where nothing drops.
    pub none_drops: f64,
}

/// Molar mass of carbon dioxide, g/mol.
const CARBON_DIOXIDE: f64 = 44.009;
/// Litres of one mole of gas at 20 °C and 1 atm: R·T/p.
pub const MOLAR_VOLUME_L: f64 = 24.055;

impl Deacidifier {
    /// Molar mass in g/mol and protons taken up by one mole: `CO3²⁻` takes two, `HCO3⁻` one.
    const fn molar(self) -> (f64, f64) {
        match self {
            Self::CalciumCarbonate => (100.09, 2.0),
            Self::PotassiumBicarbonate => (100.11, 1.0),
            Self::PotassiumCarbonate => (138.21, 2.0),
        }
    }

    /// Grams for each gram of acidity.
    ///
    /// None drops: M/z/75.045. With each potassium a hydrogen tartrate drops, whose one proton goes too, so that
    /// half of it does: `H₂T + KHCO₃ → KHT↓`. Calcium tartrate carries none: `H₂T + CaCO₃ → CaT↓`. Reactions as
    /// written by the Australian Wine Research Institute (opened); practice 0.9 for potassium bicarbonate (opened),
    /// 0.62 for potassium carbonate (from memory).
    pub fn need(self) -> Need {
        let (molar, protons) = self.molar();
        let none_drops = molar / protons / Acid::Tartaric.equivalent_g();
        match self {
            Self::CalciumCarbonate => Need {
                all_drops: none_drops,
                practice: none_drops,
                none_drops,
            },
            Self::PotassiumBicarbonate => Need {
                all_drops: none_drops / 2.0,
                practice: 0.9,
                none_drops,
            },
            Self::PotassiumCarbonate => Need {
                all_drops: none_drops / 2.0,
                practice: 0.62,
                none_drops,
            },
        }
    }

    /// Litres of carbon dioxide (20 °C, 1 atm) from a gram, all of it set free: one mole from one mole.
    pub fn carbon_dioxide_l(self) -> f64 {
        MOLAR_VOLUME_L / self.molar().0
    }
}

/// What comes of a gram of malic acid. C₄H₆O₅ → C₃H₆O₃ + CO₂.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Malolactic {
    /// Grams of lactic acid: M(lactic)/M(malic).
    pub lactic_g: f64,
    /// Grams of carbon dioxide.
    pub carbon_dioxide_g: f64,
    /// Grams of acidity lost, as tartaric: one of two protons.
    pub acidity_g: f64,
}

/// What comes of so many grams of malic acid when the bacteria are done with it.
pub fn malolactic(malic_g: f64) -> Malolactic {
    let moles = malic_g / (2.0 * Acid::Malic.equivalent_g());
    Malolactic {
        lactic_g: moles * Acid::Lactic.equivalent_g(),
        carbon_dioxide_g: moles * CARBON_DIOXIDE,
        acidity_g: moles * Acid::Tartaric.equivalent_g(),
    }
}

/// Litres of carbon dioxide gas (20 °C, 1 atm) of so many grams.
pub fn carbon_dioxide_l(grams: f64) -> f64 {
    grams / CARBON_DIOXIDE * MOLAR_VOLUME_L
}
