//! What is amiss in the mouth though nothing grew in it.

use leesline_calc::hazards::SULFITE_FUMES;

use super::hazards::BLEACH;
use super::{Fault, Met, OPEN_ONE, POUR_AWAY, RACK, Rank, Safety, Way, clues};

/// Fined by what its trial showed.
const FINE: Way = Way {
    verb: "fine",
    what: "write down a fining",
    met: Met::Vessel,
    values: &[],
    needs: &["agent", "amount"],
};

/// How acid it is.
const TEST_ACID: Way = Way {
    verb: "measure",
    what: "write down its acid and pH",
    met: Met::Vessel,
    values: &[],
    needs: &["ta"],
};

pub(super) static BITTER: Fault = Fault {
    word: "bitter",
    name: "bitter or harsh",
    signs: &[
        "bitter",
        "harsh",
        "astringent",
        "tannic",
        "stems",
        "pips",
        "puckering",
        "rough",
    ],
    notice: "Bitter at the back of the tongue, or it dries the mouth like strong tea.",
    tell: &[
        "Drying is tannin, from skins, pips, stems or oak: it softens with time.",
        "Bitter without drying: pith, crushed pips, too long on the skins, or too much oak.",
        "Bitter that came months later in a red without sulfite: bacteria; it stays.",
    ],
    today: &[
        "Young: wait half a year before you judge.",
        "Bench trial of egg white, gelatine or casein, each with the least dose that softens. They are allergens: write them down.",
        "Sweetness hides it: a bench trial, and then stabilise.",
    ],
    never: &[
        "Never fine by guess: too much takes the body.",
        "Never crush stones or pips next time.",
    ],
    saved: "Mostly, with time or a fining.",
    safety: Safety::Safe,
    drink: "Yes. Bitter almond of stone fruit is another thing: see bitter almond.",
    rank: Rank::Later,
    hazards: &[],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[clues::young, clues::oak_in],
    ways: &[FINE, OPEN_ONE],
};

pub(super) static SOUR: Fault = Fault {
    word: "sour",
    name: "too sour",
    signs: &["sour", "sharp", "tart", "acidic", "acid", "lemon"],
    notice: "It is sharp at the sides of the tongue and makes the mouth water, without any smell of vinegar.",
    tell: &[
        "Vinegar is smelled; this is not. Measure TA and pH.",
        "Gas makes a wine seem sharper: shake it out of a sample and taste again.",
    ],
    today: &[
        "Degas a sample and taste again. Then a cold month: crystals take some acid out.",
        "Malic acid still there and pH below 3.5: malolactic conversion softens it, before any sorbate.",
        "Potassium bicarbonate by a bench trial, half of the dose first, with room for foam; watch the pH.",
        "Or a blend, or sugar and stabilising, each tried in a glass.",
    ],
    never: &[
        "Never more than 2 g/L of acid off in one go, and never by guess.",
        "Never washing soda or baking soda: they leave a salty taste.",
    ],
    saved: "Yes.",
    safety: Safety::Safe,
    drink: "Yes.",
    rank: Rank::Later,
    hazards: &[],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[clues::low_ph, clues::not_degassed],
    ways: &[TEST_ACID, OPEN_ONE],
};

pub(super) static FLAT: Fault = Fault {
    word: "flat",
    name: "flat and flabby",
    signs: &[
        "flat", "flabby", "insipid", "watery", "thin", "bland", "soapy",
    ],
    notice: "It tastes of little, soft and without an end; a red looks bluish.",
    tell: &[
        "Measure pH and TA: above 3.7 it lacks acid, and keeps badly.",
        "Thin and sharp lacks body, not acid. Muted just after bottling is shock.",
    ],
    today: &[
        "Tartaric acid by a bench trial in four glasses, the least that wakes it; then measure pH and reckon the sulfite anew.",
        "Thin: a blend, or a little glycerine or sugar with stabilising, each in a glass first.",
    ],
    never: &[
        "Never acid by guess into the whole vessel.",
        "Never citric acid where malolactic bacteria live: they make vinegar of it.",
    ],
    saved: "Yes.",
    safety: Safety::Safe,
    drink: "Yes.",
    rank: Rank::Later,
    hazards: &[],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[clues::high_ph],
    ways: &[TEST_ACID, OPEN_ONE],
};

pub(super) static ALMOND: Fault = Fault {
    word: "almond",
    name: "bitter almond",
    signs: &["almond", "marzipan", "cyanide", "stones", "kernel"],
    notice: "A strong smell and a bitter taste of almond in a wine of plums, cherries, damsons, apricots or their stones.",
    tell: &[
        "A light breath of almond from whole stones, not bitter, is usual in such wines.",
        "Stones were crushed, boiled or lay in it for months: take it seriously.",
        "Nut with staleness and no fruit is air: see sherry.",
    ],
    today: &[
        "Strain all stones out now, and rack it off the pulp.",
        "Plainly bitter, or many stones were cracked: do not drink it; a laboratory can test for cyanide, or pour it away.",
        "Whoever drank of it and has headache, dizziness or sickness calls a doctor or the poison line at once.",
    ],
    never: &[
        "Never crush or boil the stones of plum, damson, cherry, apricot or peach.",
        "Never give it away untested.",
    ],
    saved: "A light case fades once the stones are out. A bitter one, no.",
    safety: Safety::NotYet,
    drink: "Not if it is bitter or stones were crushed: the stones hold what becomes cyanide.",
    rank: Rank::Now,
    hazards: &[],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[clues::is_fruit],
    ways: &[RACK, POUR_AWAY],
};

pub(super) static PLASTER: Fault = Fault {
    word: "plaster",
    name: "plaster or hospital",
    signs: &[
        "plaster",
        "medicinal",
        "hospital",
        "disinfectant",
        "antiseptic",
        "chlorine",
        "plastic",
        "tcp",
    ],
    notice: "It smells of sticking plaster, hospital, swimming bath or plastic: chlorine met fruit, or ware that is not for food.",
    tell: &[
        "There from the first days: chlorine in tap water or a cleaner, or new plastic.",
        "It came after a year in cask: see stable.",
        "One bottle alone, damp and dusty: see cork taint.",
    ],
    today: &[
        "Find the source: what was it cleaned with, what water, which hose. Was it meant for food.",
        "Cleaner may have been left in it: treat it as cleaner in the wine, and do not drink it.",
        "Else air it in a glass; a bench trial with activated carbon may take some out, with taste and colour.",
    ],
    never: &[
        "Never chlorine cleaners on what fruit or wine touches without long rinsing and sulfite water only after that.",
        "Never paint pails, bin bags or garden hose for wine.",
    ],
    saved: "Seldom.",
    safety: Safety::NotYet,
    drink: "Not while a cleaner or ware unfit for food may be the cause.",
    rank: Rank::Soon,
    hazards: &[&BLEACH],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[clues::in_plastic],
    ways: &[POUR_AWAY, FINE],
};

pub(super) static TINNY: Fault = Fault {
    word: "metallic",
    name: "metallic",
    signs: &["metallic", "tinny", "blood", "coin", "penny", "metal"],
    notice: "It tastes of tin, blood or a coin, perhaps with a haze or an ink-dark edge.",
    tell: &[
        "It touched iron, brass, zinc, copper or worn enamel: take it seriously.",
        "It came with a copper treatment: the dose was too large.",
        "Acid with gas can seem metallic: shake a sample and taste again.",
    ],
    today: &[
        "Stop drinking it. Find the metal and take it away.",
        "Have it tested for copper, iron, zinc and lead.",
    ],
    never: &[
        "Never brass, galvanised or lead-glazed ware; sour wine takes the metal up.",
        "Never dose copper by guess.",
    ],
    saved: "Only with a laboratory's help.",
    safety: Safety::NotYet,
    drink: "Not until it was tested. Where lead or zinc is possible, throw it away.",
    rank: Rank::Now,
    hazards: &[&super::hazards::COPPER, &SULFITE_FUMES],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[],
    ways: &[POUR_AWAY],
};
