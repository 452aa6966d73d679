//! Hazards that more than one calculation, step or reason carries: said in full once, then short.

/// What can hurt someone, and what to do about it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Hazard {
    /// The hazard, then what to do.
    pub sentence: &'static str,
    /// The same in a few words, once it has been shown in full.
    pub short: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

/// Handling metabisulfite.
pub const SULFITE_FUMES: Hazard = Hazard {
    sentence: "Sulfite fumes sting and can bring on an asthma attack. If you have asthma, let someone else do it: window \
               open, dissolve in a little cool water, never in acid or near bleach, pour in slowly, stir through, face \
               away.",
    short: "Sulfite fumes: window open, cool water, face away; not with asthma.",
    source: "NIOSH, sulfur dioxide: 5 ppm at most for 15 minutes; common practice",
};

/// More sulfite in a wine than it should have.
pub const TOO_MUCH_SULFITE: Hazard = Hazard {
    sentence: "Wine with far too much sulfite stings, and in someone with asthma or sensitive to sulfite it can bring on an \
               attack: give it to nobody until a test of total SO2 shows what is in it.",
    short: "Far too much sulfite can bring on an asthma attack: test total SO2 before anyone drinks it.",
    source: "27 CFR 4.32(e), declaration of sulfites; common practice",
};

/// A sweet or unfinished wine in bottles.
pub const REFERMENTING: Hazard = Hazard {
    sentence: "Sugar left in a bottle can ferment again, and the bottle bursts. Finished means three equal readings over 14 \
               days at 15 °C or warmer and the expected end, or sugar tested below 2 g/L; a sweet wine needs sorbate with \
               sulfite, sterile filtration or 18 % vol, and two weeks' wait before bottling.",
    short: "Sweet or unfinished wine bursts bottles: stabilise it, or let it finish.",
    source: "common practice",
};

/// Gas used to keep air from wine.
pub const GAS_IN_A_ROOM: Hazard = Hazard {
    sentence: "Nitrogen, argon and carbon dioxide drive the air from a room as well as from a vessel. Keep a window open, \
               never breathe at the bung, go out if light-headed, and never close a vessel on dry ice.",
    short: "Gas drives out the air you breathe: window open, never dry ice in a closed vessel.",
    source: "common practice",
};

/// Full bottles in wet hands.
pub const WET_GLASS: Hazard = Hazard {
    sentence: "Wet glass slips and cuts: carry full bottles in a carrier, never by the neck, and put no hot water into \
               cold glass. Chipped, crazed or mould-stained bottles are out. A screw-top neck can break in a corker.",
    short: "Wet glass: a carrier, never the neck.",
    source: "common practice",
};

/// A neck that a corker was not made for.
pub const SCREW_NECK: Hazard = Hazard {
    sentence: "A screw-top neck can break in a corker and cut deep: gloves on, and take bottles with a mouth for corks.",
    short: "A screw-top neck can break in a corker: take bottles with a mouth for corks.",
    source: "common practice",
};

/// Glass and bags under pressure.
pub const NO_PRESSURE: Hazard = Hazard {
    sentence: "Never put glass or a bag under pressure: glass bursts into splinters. A wine with gas goes into a keg, within \
               its rating, and a sparkling one only into bottles made for it.",
    short: "Never put glass or a bag under pressure.",
    source: "common practice",
};

/// Wine in a keg.
pub const KEG: Hazard = Hazard {
    sentence: "A keg above its rating can burst, and one opened under pressure throws its parts: keep within the rating \
               printed on it, with a regulator and a working relief valve, and let all gas off before it is opened. \
               Carbon dioxide that leaks fills low rooms: window open, go out if light-headed. Never pressurise glass.",
    short: "Keg: within its rating, gas off before opening. CO2 fills low rooms: go out if light-headed.",
    source: "common practice",
};

/// Wine in a bag with a tap.
pub const BAG: Hazard = Hazard {
    sentence: "Gas swells a bag until it bursts: only wine that is finished and degassed goes in, never under pressure. A bag \
               lets air in, so that it keeps months and not years: squeeze the air out before the tap goes on, test free \
               SO2, and drink it within weeks once it is tapped.",
    short: "Bag: no gas, air squeezed out; keeps months, not years.",
    source: "common practice",
};

/// Bottles that were filled though something spoke against it.
pub const OVERRULED: Hazard = Hazard {
    sentence: "These bottles may ferment again and burst. Where one leaks or its cork rises: goggles, gloves and a towel, \
               chill before touching, open outdoors.",
    short: "Overruled: if one leaks or its cork rises, goggles and gloves, chill before touching.",
    source: "common practice",
};

/// A bottle that shows gas.
pub const RISING_CORK: Hazard = Hazard {
    sentence: "A rising cork and bubbles stand for gas: the wine may be fermenting again, and glass under \
               pressure bursts. Goggles, gloves and a towel on; chill the bottles before touching them; open one \
               outdoors, pointing away from anyone. If it spurts or foams, keep all cold, open them so one by one, and \
               put the wine back under an airlock until it is finished. A cork pushed by warmth alone has no gas under it.",
    short: "Rising cork: goggles, gloves, chill before touching, open one outdoors.",
    source: "common practice",
};

/// Sulfite made sour on purpose, to clean with.
pub const SOUR_SULFITE: Hazard = Hazard {
    sentence: "Sour sulfite gives off a gas that stings and can bring on an asthma attack: with asthma let someone else do \
               it. Dissolve the sulfite in all of the cool water first and the citric acid last, window open, face away; \
               never in hot water, and never with bleach or another chlorine cleaner, since that sets chlorine free.",
    short: "Sour sulfite fumes: window open, cool water, never with chlorine; not with asthma.",
    source: "NIOSH, sulfur dioxide: 5 ppm at most for 15 minutes; Fugelsang and Edwards, Wine Microbiology",
};

/// Sorbate where lactic bacteria live.
pub const GERANIUM: Hazard = Hazard {
    sentence: "Lactic bacteria turn sorbic acid into a smell of geraniums that nothing takes out again. Never give sorbate \
               where malolactic fermentation runs, is wanted or ended without sulfite: keep 0.5 to 0.8 mg/L molecular SO2 \
               with it.",
    short: "Sorbate and lactic bacteria make geranium taint: sulfite with it, never with malo.",
    source: "University of Minnesota Enology, sorbate; common practice",
};
