//! A ferment that will not begin, stops too early, or comes out of its vessel.

use leesline_calc::hazards::{GAS_IN_A_ROOM, REFERMENTING, SULFITE_FUMES};

use super::hazards::STOPPED_UP;
use super::{Fault, Met, RACK, Rank, Safety, TEST_GRAVITY, Way, clues};
use crate::cellar::attention::{REMEDIES, STANDS_STILL};

/// Fresh yeast.
const PITCH: Way = Way {
    verb: "pitch",
    what: "write down fresh yeast",
    met: Met::Vessel,
    values: &[],
    needs: &["yeast"],
};

pub(super) static NO_START: Fault = Fault {
    word: "no-start",
    name: "does not start",
    signs: &[
        "start",
        "starting",
        "begin",
        "dead",
        "nothing happens",
        "no bubbles",
    ],
    notice: "A day or two after the yeast went in there are no bubbles, no foam and no fall in gravity.",
    tell: &[
        "A lid that leaks gives no bubbles in the airlock though it ferments: measure gravity twice, a day apart.",
        "Look at the surface with a light: a ring of fine bubbles is a beginning.",
        "Above 50 mg/L of free SO2, below 15 °C or pH 3.0, yeast may not begin.",
    ],
    today: &[
        "Measure gravity, temperature and pH. Bring it to 18 to 22 °C.",
        "Sulfite went in less than a day ago: wait a day with the lid loose, stir air in.",
        "Fresh yeast: wake it in water at the temperature its packet says, add must spoon by spoon until both are within 10 °C, then pitch.",
        "Within three days at the latest it must run; until then keep it cool, covered and stirred twice a day.",
    ],
    never: &[
        "Never yeast straight into cold must, nor into water hotter than its packet says.",
        "Never more sulfite to be safe while you wait for yeast.",
        "Above pH 4.0 acid before yeast; above pH 4.6 not at all.",
    ],
    saved: "Nearly always, if it starts before wild yeast or mould do.",
    safety: Safety::NotYet,
    drink: "It is must; watch it for film and mould. Fuzzy or coloured growth: throw it away.",
    rank: Rank::Now,
    hazards: &[&GAS_IN_A_ROOM],
    sources: &["common practice"],
    met: Met::Vessel,
    clues: &[
        clues::has_not_fallen,
        clues::is_must,
        clues::just_sulfited,
        clues::is_over,
    ],
    ways: &[TEST_GRAVITY, PITCH],
};

pub(super) static STUCK: Fault = Fault {
    word: "stuck",
    name: "stuck ferment",
    signs: &[
        "stuck",
        "stopped",
        "stops",
        "sluggish",
        "stalled",
        "too sweet",
        "sweet",
    ],
    notice: "Gravity stands still above its end, and the wine is sweeter than it was to be.",
    tell: &[
        STANDS_STILL,
        "Finished is another matter, and asks for three equal readings over two weeks at 15 °C or warmer.",
        "A refractometer shows too much once there is alcohol; take a hydrometer or correct it.",
        "Sugar tested below 2 g/L: it is finished, whatever the hydrometer says.",
    ],
    today: &[
        REMEDIES[0],
        REMEDIES[1],
        REMEDIES[2],
        REMEDIES[3],
        REMEDIES[4],
        "Sweet on purpose: sorbate with sulfite in the clear, racked wine, or sterile filtration, and two weeks' wait.",
    ],
    never: &[
        "Never sorbate to stop a running ferment: it does not, and it blocks the restart.",
        "Never bottle it: steady above its end is stuck, not finished, and bottles burst.",
        "Never pour dry yeast onto a strong wine.",
    ],
    saved: "Mostly, with a good starter; sooner is easier.",
    safety: Safety::Safe,
    drink: "Sweet wine with live yeast is not harmful in a glass. In a closed bottle it is dangerous.",
    rank: Rank::Now,
    hazards: &[&REFERMENTING, &SULFITE_FUMES],
    sources: &["common practice"],
    met: Met::Vessel,
    clues: &[clues::is_stuck, clues::is_sweet, clues::cold, clues::falls],
    ways: &[TEST_GRAVITY, PITCH, RACK],
};

pub(super) static OVERFLOW: Fault = Fault {
    word: "overflow",
    name: "foams over",
    signs: &[
        "foam", "foams", "overflow", "froth", "blocked", "erupts", "volcano", "boils",
    ],
    notice: "Foam climbs into the airlock or out of the vessel.",
    tell: &[
        "In the first days it is a lively ferment with too little room. Weeks later it is gas coming out of a warmed or stirred wine.",
        "A hiss and no bubbles: the airlock is blocked.",
    ],
    today: &[
        "Loosen the bung slowly under a towel, face away. Take the airlock off and put a wide hose from the bung into a jar of water.",
        "Draw some into a clean jug with room, under an airlock; it goes back when the foam falls.",
        "Wipe up, wash the airlock, cool the room.",
        "Before degassing or a powder: work a small part first, then go on slowly.",
    ],
    never: &[
        "Never press the bung down or tape it.",
        "Never leave a blocked airlock for the night.",
    ],
    saved: "Yes: what is lost is a little must.",
    safety: Safety::Safe,
    drink: "Nothing is wrong with it.",
    rank: Rank::Now,
    hazards: &[&STOPPED_UP],
    sources: &["common practice"],
    met: Met::Vessel,
    clues: &[clues::ferments, clues::too_full],
    ways: &[
        Way {
            verb: "lose",
            what: "write down what was lost",
            met: Met::Vessel,
            values: &[("how", "spilled")],
            needs: &["amount"],
        },
        RACK,
    ],
};
