//! Hazards of putting a faulty wine right that no calculation carries.

use leesline_calc::hazards::Hazard;

/// Copper sulfate in wine.
pub(super) const COPPER: Hazard = Hazard {
    sentence: "Copper sulfate is a poison. Use it only by a bench trial with a stock solution made from a weighed \
               amount, the least dose that cleans the glass, and have the copper that remains tested: at most 1 mg/L \
               is allowed in the EU and 0.5 mg/L in the US. Gloves; never taste a glass with a test dose in it.",
    short: "Copper only by bench trial and weighed stock; test what remains.",
    source: "Delegated Regulation (EU) 2019/934, Annex I, and 27 CFR 24.246, both from memory",
};

/// Mould and what it leaves.
pub(super) const MOULD: Hazard = Hazard {
    sentence: "Mould can leave poisons in the wine that no skimming, sulfite or heat takes out, and its dust harms the \
               lungs. Do not sniff at it; throw it away and clean the vessel with gloves on.",
    short: "Mould: thrown away, not skimmed.",
    source: "common practice",
};

/// Bleach and what it meets.
pub(super) const BLEACH: Hazard = Hazard {
    sentence: "Bleach sets poisonous gas free with acid, vinegar, sulfite or wine. Never in one dish, sink or drain at the \
               same time; rinse with much water between, window open.",
    short: "Bleach never with acid, vinegar, sulfite or wine.",
    source: "common practice",
};

/// The alcohol of a bench test.
pub(super) const SPIRIT: Hazard = Hazard {
    sentence: "The spirit of the test burns and may be denatured with poison: no flame near, never taste the test, pour it \
               away with much water, and keep it out of drinks bottles.",
    short: "Test spirit: no flame, never taste it.",
    source: "common practice",
};

/// A vessel that foams or is stopped up.
pub(super) const STOPPED_UP: Hazard = Hazard {
    sentence: "A blocked airlock lets pressure grow until the bung flies or the glass breaks. Face away, loosen the bung \
               slowly with a towel over it, and open a window: the gas of a ferment fills low rooms. Go out if light-headed.",
    short: "Blocked airlock: towel, face away, window open.",
    source: "common practice",
};
