//! Nitrogen that yeast can live on, what brings it, and the yeast itself.

/// Nitrogen in diammonium phosphate, g/g: 28.014/132.06, IUPAC abridged atomic masses.
pub const DAP_NITROGEN: f64 = 28.014 / 132.06;
/// Nitrogen in ammonia, g/g: 14.007/17.031.
pub const AMMONIA_NITROGEN: f64 = 14.007 / 17.031;
/// Nitrogen in ammonium, g/g: 14.007/18.039.
pub const AMMONIUM_NITROGEN: f64 = 14.007 / 18.039;
/// Cells in a gram of active dry yeast. Source: Australian Wine Research Institute, Yeast rehydration (opened).
pub const CELLS_PER_G: f64 = 2e10;

/// Nitrogen (mg/L) by formol titration: N = V·c·f·(1000/v)·14.007, with the lye V in mL of c mol/L, the aliquot v in
/// mL and f for the juice made up before it was taken. Source: Virginia Tech, reduced-volume formol method (opened).
pub fn formol_mg_l(titrant_ml: f64, normality: f64, aliquot_ml: f64, made_up: f64) -> f64 {
    titrant_ml * normality * made_up * (1000.0 / aliquot_ml) * 14.007
}

/// Grams of diammonium phosphate that bring so much nitrogen (mg/L) to so many litres. m = ΔN·V/(1000·0.2121).
pub fn dap_g(nitrogen_mg_l: f64, volume_l: f64) -> f64 {
    nitrogen_mg_l * volume_l / (1e3 * DAP_NITROGEN)
}

/// Nitrogen (mg/L) that so much diammonium phosphate (g/L) brings.
pub fn dap_nitrogen_mg_l(dap_g_l: f64) -> f64 {
    dap_g_l * 1e3 * DAP_NITROGEN
}

/// How much a yeast asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Demand {
    /// Low.
    Low,
    /// Medium.
    Medium,
    /// High.
    High,
}

/// °Brix, and nitrogen (mg/L) for low, medium and high demand. Medium from 21 °Brix: Bisson and Butzke, AJEV 51:168
/// (2000), from memory. The rest is scaled from it and rounded: a planning band, no standard.
const TARGETS: [(f64, [f64; 3]); 5] = [
    (19.0, [140.0, 170.0, 220.0]),
    (21.0, [160.0, 200.0, 250.0]),
    (23.0, [190.0, 250.0, 310.0]),
    (25.0, [220.0, 300.0, 375.0]),
    (27.0, [260.0, 350.0, 440.0]),
];

/// Nitrogen to plan for (mg/L), linear between the table's points; `None` outside 19 to 27 °Brix.
pub fn target_mg_l(brix: f64, demand: Demand) -> Option<f64> {
    TARGETS.windows(2).find_map(|pair| {
        let ((low, from), (high, to)) = (pair[0], pair[1]);
        let at = demand as usize;
        (low..=high)
            .contains(&brix)
            .then(|| from[at] + (brix - low) / (high - low) * (to[at] - from[at]))
    })
}
