//! What grows in a wine: film, mould, mouse, geranium, and other work of bacteria and wild yeast.

use leesline_calc::hazards::{GERANIUM as GERANIUM_TAINT, SULFITE_FUMES};

use super::hazards::{BLEACH, MOULD as MOULD_HAZARD};
use super::{
    Fault, Met, OPEN_ONE, POUR_AWAY, RACK, Rank, Safety, TEST_GRAVITY, TEST_SO2, TOP_UP, clues,
};

pub(super) static FILM: Fault = Fault {
    word: "film",
    name: "film on top",
    signs: &[
        "film", "flor", "skin", "scum", "islands", "powdery", "flowers",
    ],
    notice: "White specks, a dry powdery skin or wrinkled islands lie on the wine: film yeast, which lives on air and alcohol.",
    tell: &[
        "Mould is fuzzy or coloured, green, black, blue or pink: that wine goes, see mould.",
        "Film breaks into flakes when touched; foam of a ferment has bubbles; oil of nuts or cork dust does not grow.",
    ],
    today: &[
        "Fill the vessel gently through a hose that ends below the surface, so that the film floats up and out of the neck; wipe the neck with sulfite water.",
        "Close it full and airtight, sulfite for its pH, somewhere cool. Look again in a week.",
        "Smell it: sherry or vinegar means it has been at work for long.",
    ],
    never: &[
        "Never stir it in or shake it down.",
        "Never rely on sulfite alone: on the surface, with air, it lives on.",
    ],
    saved: "Yes, if found within some weeks. Air is its food: no headspace, no film.",
    safety: Safety::Safe,
    drink: "Film yeast is not harmful. Where you are not sure that it is not mould, do not drink it.",
    rank: Rank::Now,
    hazards: &[&SULFITE_FUMES],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[clues::air_above, clues::sulfite_low, clues::sulfite_unknown],
    ways: &[TOP_UP, TEST_SO2, RACK],
};

pub(super) static MOULD: Fault = Fault {
    word: "mould",
    name: "mould",
    signs: &[
        "mould",
        "mold",
        "fuzzy",
        "furry",
        "hairy",
        "fluffy",
        "green spots",
        "black spots",
        "pink spots",
    ],
    notice: "Fuzzy or coloured patches on the wine, the fruit or the cork's wine side; a smell of cellar wall.",
    tell: &[
        "Film yeast is white, flat and dry, and never hairy.",
        "Mould on the outer end of a cork in a damp cellar is harmless: wipe it off, and look at the wine side.",
        "A musty smell without any growth may be the cork: see cork taint.",
    ],
    today: &[
        "Throw the wine and the fruit away; all of it, not the top.",
        "Clean the vessel with percarbonate or caustic, goggles and gloves on, rinse, then sanitise. Throw away wood, cork and cracked plastic that it touched.",
        "Look at every vessel that shared its hose or cloth.",
    ],
    never: &[
        "Never skim it and go on.",
        "Never give it away, cook with it, or feed it to an animal.",
        "Never bleach together with sulfite, acid or vinegar.",
    ],
    saved: "No.",
    safety: Safety::Unsafe,
    drink: "No: mould can leave poisons that stay when it is skimmed. Whoever drank of it and feels unwell asks a doctor.",
    rank: Rank::Now,
    hazards: &[&MOULD_HAZARD, &BLEACH],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[clues::air_above, clues::dry_cap],
    ways: &[POUR_AWAY],
};

pub(super) static MOUSE: Fault = Fault {
    word: "mouse",
    name: "mouse",
    signs: &[
        "mouse",
        "mousy",
        "cage",
        "popcorn",
        "cracker",
        "aftertaste",
        "lingers",
    ],
    notice: "It smells of nothing wrong; some moments after swallowing a taste of mouse cage, popcorn or stale crackers comes and stays.",
    tell: &[
        "Wine is too sour to let it smell. Rub some into the palm and sniff when it has dried, or stir a pinch of baking soda into a glass, warm it in the hand and sniff: mouse comes out. Do not drink that glass.",
        "One in three or so cannot perceive it: let two others taste as well.",
        "Onion and egg are smelled at once.",
    ],
    today: &[
        "Sulfite for its pH today, and fill the vessel: it does not undo the taste, it stops the bacteria.",
        "Keep its hose, funnel and cloths apart, and sanitise all they touched.",
        "Taste it again in some months: now and then it fades. If not, pour it away.",
    ],
    never: &[
        "Never blend it into a sound wine: a little spoils the whole.",
        "Never bottle it in the hope that it goes.",
    ],
    saved: "Seldom. No fining takes it out.",
    safety: Safety::Spoiled,
    drink: "It is not known to be harmful.",
    rank: Rank::Soon,
    hazards: &[&SULFITE_FUMES],
    sources: &[
        "Snowdon and others, mousy off-flavor, 2006, from memory",
        "common practice",
    ],
    met: Met::Anywhere,
    clues: &[
        clues::sulfite_low,
        clues::sulfite_unknown,
        clues::high_ph,
        clues::malo_open,
    ],
    ways: &[TEST_SO2, TOP_UP, POUR_AWAY],
};

pub(super) static GERANIUM: Fault = Fault {
    word: "geranium",
    name: "geranium",
    signs: &["geranium", "geraniums", "pelargonium", "leaves"],
    notice: "It smells of crushed geranium leaves, green and strong: lactic bacteria at work on sorbate.",
    tell: &[
        "Crush a geranium leaf beside the glass: there is nothing else like it.",
        "Grassy or peppery fruit smells so from the harvest on; this begins after sorbate.",
    ],
    today: &[
        "Sulfite for its pH, so that the bacteria stop and it grows no worse.",
        "Look up which other wines had sorbate with little sulfite, and test those.",
        "Slight: drink it up or cook with it. Plain: pour it away.",
    ],
    never: &[
        "Never sorbate where malolactic bacteria live or will, and never without sulfite.",
        "Never sorbate to stop a running ferment: it does not.",
        "Never blend it away: it is found in the smallest part.",
    ],
    saved: "No: nothing takes it out, and it grows.",
    safety: Safety::Spoiled,
    drink: "It is unpleasant and not harmful.",
    rank: Rank::Soon,
    hazards: &[&GERANIUM_TAINT, &SULFITE_FUMES],
    sources: &[
        "University of Minnesota Enology, sorbate",
        "common practice",
    ],
    met: Met::Anywhere,
    clues: &[clues::sorbate_and_bacteria, clues::no_sorbate],
    ways: &[TEST_SO2, POUR_AWAY],
};

pub(super) static SAUERKRAUT: Fault = Fault {
    word: "sauerkraut",
    name: "sauerkraut or sour milk",
    signs: &[
        "sauerkraut",
        "milk",
        "butter",
        "rancid",
        "cheese",
        "yoghurt",
        "lactic",
        "buttery",
    ],
    notice: "It smells of sour milk, sauerkraut or heavy butter: lactic bacteria, where none were wanted or for too long.",
    tell: &[
        "A touch of butter after a wanted malolactic conversion is no fault, and fades on the lees.",
        "Vinegar stings; this is dull and milky.",
        "Test malic acid: gone or going says that bacteria are at work.",
    ],
    today: &[
        "Unwanted, or over: sulfite for its pH, then rack after some days.",
        "Wanted and running: keep it at 18 to 22 °C until malic acid is gone, then sulfite at once.",
        "Sugar left and bacteria in it: sulfite now, since they make vinegar from sugar.",
    ],
    never: &[
        "Never sorbate against it: it becomes geranium.",
        "Never leave it warm and without sulfite once malic acid is gone.",
    ],
    saved: "Butter mostly fades; sour milk and sauerkraut stay.",
    safety: Safety::Safe,
    drink: "It is unpleasant and not harmful.",
    rank: Rank::Soon,
    hazards: &[&GERANIUM_TAINT, &SULFITE_FUMES],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[clues::malo_open, clues::sulfite_low, clues::high_ph],
    ways: &[TEST_SO2, RACK],
};

pub(super) static ROPY: Fault = Fault {
    word: "ropy",
    name: "ropy or oily",
    signs: &[
        "ropy", "oily", "slimy", "threads", "thick", "syrupy", "strings", "viscous",
    ],
    notice: "It pours without a sound, thick as oil or in threads: lactic bacteria that spin slime.",
    tell: &[
        "Jelly that hangs in lumps is pectin: see pectin haze.",
        "A very sweet wine is thick and clings, but breaks into drops.",
        "Dip a spoon and lift it: threads are ropiness.",
    ],
    today: &[
        "Sulfite for its pH, then beat or splash it hard to break the threads; let it settle, fine with bentonite by a bench trial, rack.",
        "Taste: mostly the taste is sound.",
        "Sanitise all that it touched.",
    ],
    never: &[
        "Never bottle it before it is thin again and its sulfite holds.",
        "Never sorbate against it: it becomes geranium.",
    ],
    saved: "Mostly yes.",
    safety: Safety::Safe,
    drink: "Not harmful, if it smells sound.",
    rank: Rank::Soon,
    hazards: &[&SULFITE_FUMES],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[
        clues::sulfite_low,
        clues::sulfite_unknown,
        clues::high_ph,
        clues::malo_open,
    ],
    ways: &[TEST_SO2, RACK, TEST_GRAVITY],
};

pub(super) static STABLE: Fault = Fault {
    word: "stable",
    name: "stable or sticking plaster",
    signs: &[
        "stable", "horse", "barnyard", "sweaty", "saddle", "brett", "leather",
    ],
    notice: "A red smells of horse, stable, sweat or smoked bacon: the yeast Brettanomyces, at home in casks and at high pH.",
    tell: &[
        "Hospital and plaster from the first day on come from chlorine: see plaster.",
        "Egg and onion go with copper in the bench test; this does not.",
    ],
    today: &[
        "Sulfite to 0.6 to 0.8 mg/L molecular for its pH in one dose, fill it, cool it below 15 °C.",
        "Measure its gravity or sugar: it lives on the last gram.",
        "Keep the cask for nothing else; plastic and hose go too.",
    ],
    never: &[
        "Never small doses of sulfite again and again: it learns to live with them.",
        "Never bottle it with sugar left: it goes on in the bottle, with gas.",
    ],
    saved: "It can be stopped. A little is liked by some; much stays.",
    safety: Safety::Safe,
    drink: "It is not harmful.",
    rank: Rank::Soon,
    hazards: &[&SULFITE_FUMES],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[
        clues::high_ph,
        clues::sulfite_low,
        clues::sulfite_unknown,
        clues::in_wood,
    ],
    ways: &[TEST_SO2, TEST_GRAVITY, OPEN_ONE],
};
