//! What got in that does not belong there.

use leesline_calc::hazards::WET_GLASS;

use super::hazards::BLEACH;
use super::{Fault, Met, POUR_AWAY, RACK, Rank, Safety, TEST_SO2, clues};

pub(super) static CLEANER: Fault = Fault {
    word: "cleaner",
    name: "cleaner in the wine",
    signs: &[
        "cleaner",
        "bleach",
        "detergent",
        "caustic",
        "rinsed",
        "chemical",
        "poured in",
    ],
    notice: "A cleaner, bleach, caustic or an unknown powder got in, or a vessel may not have been rinsed.",
    tell: &[
        "Sulfite water or citric acid left in by a splash is no cleaner: reckon it into the sulfite.",
        "What was in the dish, how much, when: write it down now, with the label's words.",
    ],
    today: &[
        "Do not taste it. Mark it so that nobody else does.",
        "Pour it away with much water and the window open; the label's advice first. Bleach and wine give off gas.",
        "Somebody swallowed some: call the poison line now, label in hand.",
    ],
    never: &[
        "Never try to rinse, boil or fine it out.",
        "Never neutralise one cleaner with another.",
        "Never keep a cleaner or stock in a drinks bottle.",
    ],
    saved: "No.",
    safety: Safety::Unsafe,
    drink: "No.",
    rank: Rank::Now,
    hazards: &[&BLEACH],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[],
    ways: &[POUR_AWAY],
};

pub(super) static GLASS: Fault = Fault {
    word: "splinters",
    name: "splinters of glass",
    signs: &[
        "splinters",
        "splinter",
        "chip",
        "chipped",
        "shards",
        "cracked",
        "broken glass",
        "glass",
    ],
    notice: "A neck chipped in the corker or at opening, a thermometer or hydrometer broke in it, glass lies at the bottom.",
    tell: &[
        "Crystals dissolve in hot water, glass does not.",
        "A thermometer: was its filling red or blue spirit, or silver mercury. Shot and mercury are poison.",
    ],
    today: &[
        "One bottle: throw it away, cloth and all.",
        "A hydrometer or thermometer with shot, or with mercury: throw the wine away; mercury goes to the waste office, window open, nothing swept.",
        "A vessel with a few plain splinters: where it is worth it, let it stand a day, siphon from well above the bottom through a fine filter, and look at the filter; in doubt pour it away.",
    ],
    never: &[
        "Never strain it through a kitchen sieve and drink it.",
        "Never reach into it with bare hands.",
    ],
    saved: "Only a vessel with plain glass, and only through a fine filter.",
    safety: Safety::Unsafe,
    drink: "No, as it is.",
    rank: Rank::Now,
    hazards: &[&WET_GLASS],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[],
    ways: &[POUR_AWAY],
};

pub(super) static AIRLOCK: Fault = Fault {
    word: "airlock",
    name: "airlock drawn in or dry",
    signs: &["airlock", "sucked", "drawn in", "dry lock", "blubber"],
    notice: "The liquid of the airlock was drawn into the wine, or the airlock is dry.",
    tell: &[
        "A wine that cools or is emptied through a tap draws its airlock in; that is no ferment.",
        "Dry for a day or for a month: look for film, smell for sherry.",
    ],
    today: &[
        "Water, sulfite water or spirit: a spoonful changes nothing. Fill it again, with sulfite water or spirit.",
        "Flies, slime or an unknown liquid were in it: sulfite for its pH, look every week.",
        "Antifreeze, glycol or a cleaner was in it: pour the wine away.",
        "Before chilling or drawing from a tap: take the airlock off, loosen the bung.",
    ],
    never: &["Never fill an airlock with what you would not drink."],
    saved: "Yes, unless what was in it is a poison.",
    safety: Safety::Safe,
    drink: "Yes, if the airlock held water, sulfite water or spirit. Otherwise no.",
    rank: Rank::Soon,
    hazards: &[],
    sources: &["common practice"],
    met: Met::Vessel,
    clues: &[clues::under_airlock],
    ways: &[TEST_SO2, RACK],
};

pub(super) static FLIES: Fault = Fault {
    word: "flies",
    name: "flies or insects",
    signs: &[
        "flies",
        "fly",
        "insects",
        "wasps",
        "vinegar flies",
        "maggots",
        "bugs",
    ],
    notice: "Fruit flies in the airlock, the must or the neck.",
    tell: &[
        "A fly in the airlock did no harm yet. Flies in the wine carry vinegar bacteria.",
        "Smell it: vinegar or nail varnish says that they have been at work.",
    ],
    today: &[
        "Take them out, wash the airlock, fill it with sulfite water, cover what stands open with a cloth.",
        "Ferment over: sulfite for its pH and fill it to the neck.",
        "Clear away fruit, pomace and wet cloths; a trap of vinegar with a drop of soap, away from the wine.",
    ],
    never: &["Never insect spray near open wine or must."],
    saved: "Yes, if vinegar has not begun.",
    safety: Safety::Safe,
    drink: "Yes, once they are out; maggots in the must: pour it away.",
    rank: Rank::Soon,
    hazards: &[],
    sources: &["common practice"],
    met: Met::Vessel,
    clues: &[clues::ferments, clues::warm],
    ways: &[TEST_SO2],
};
