//! What air does: vinegar, nail varnish, sherry and browning.

use leesline_calc::hazards::SULFITE_FUMES;

use super::{Fault, Met, OPEN_ONE, POUR_AWAY, Rank, Safety, TEST_SO2, TOP_UP, clues};

pub(super) static VINEGAR: Fault = Fault {
    word: "vinegar",
    name: "vinegar",
    signs: &["vinegar", "acetic", "volatile", "prickle", "va"],
    notice: "It smells and tastes of vinegar and burns at the back of the throat: acetic bacteria made acid from alcohol, with air.",
    tell: &[
        "Plain sourness has no smell and is felt at the sides of the tongue: see too sour.",
        "Nail varnish is its companion and smells of solvent.",
        "Warm a covered glass in the hand: vinegar rises. A test of volatile acidity settles it: tasted from about 0.6 g/L, plain from 0.9; the US allows a red 1.4 and a white 1.2 g/L.",
    ],
    today: &[
        "Keep it away from every other wine, hose and cloth; the bacteria travel, on flies too.",
        "Fill the vessel up to the neck, close it airtight, sulfite for its pH, and put it somewhere cool.",
        "Slight: taste it again in a month; if it stands still, drink it young, or blend a little into a sound wine that is drunk soon, by a bench trial.",
        "Strong: let it become vinegar on purpose, in another building, or pour it away.",
    ],
    never: &[
        "Never chalk or soda against it: they take the good acids first, and leave the smell.",
        "Never top up a sound wine with it.",
        "Never use its hose, cork or cask again before it was cleaned and sanitised; a wooden cask not at all.",
    ],
    saved: "It can be stopped, not undone.",
    safety: Safety::Spoiled,
    drink: "It is not harmful; it is no pleasure.",
    rank: Rank::Now,
    hazards: &[&SULFITE_FUMES],
    sources: &[
        "27 CFR 4.21(a)(1)(iv) (limits)",
        "thresholds of taste from memory",
        "common practice",
    ],
    met: Met::Anywhere,
    clues: &[
        clues::air_above,
        clues::sulfite_low,
        clues::volatile_high,
        clues::warm,
    ],
    ways: &[TOP_UP, TEST_SO2, POUR_AWAY],
};

pub(super) static NAIL_VARNISH: Fault = Fault {
    word: "nail-varnish",
    name: "nail varnish",
    signs: &[
        "nail", "varnish", "solvent", "glue", "acetone", "paint", "acetate", "polish",
    ],
    notice: "It smells of nail varnish, glue or paint thinner: ethyl acetate, from wild yeast early on or from acetic bacteria later.",
    tell: &[
        "Vinegar is sour in the mouth too; this is mostly in the nose.",
        "A young ferment may smell so for some days and lose it as the gas drives it off.",
        "Pear drops and banana of a cool young white are its fresh cousins and fade by spring.",
    ],
    today: &[
        "Still fermenting: see that the chosen yeast is at work, punch down wet skins, and wait until it is dry.",
        "Ferment over: fill the vessel, close it, sulfite for its pH.",
        "Stir a glass hard for a minute and sniff: what goes, may go at the next racking.",
    ],
    never: &[
        "Never leave a cap of skins dry and in the air.",
        "Never heat wine to drive it off: its vapour burns, and the wine is cooked.",
    ],
    saved: "A little, fresh, often fades. What is plain after a month stays.",
    safety: Safety::Safe,
    drink: "In these amounts it is unpleasant and not harmful.",
    rank: Rank::Soon,
    hazards: &[&SULFITE_FUMES],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[
        clues::ferments,
        clues::air_above,
        clues::sulfite_low,
        clues::volatile_high,
    ],
    ways: &[TOP_UP, TEST_SO2, POUR_AWAY],
};

pub(super) static SHERRY: Fault = Fault {
    word: "sherry",
    name: "sherry or bruised apple",
    signs: &[
        "sherry", "bruised", "apple", "nutty", "oxidised", "oxidized", "stale", "aldehyde",
        "walnut",
    ],
    notice: "It smells of sherry, nuts or an apple cut an hour ago, and its fruit is gone: aldehyde, from air and too little free sulfite.",
    tell: &[
        "Vinegar burns in the throat; this is dull and dry.",
        "Film on top makes the same smell: look at the surface with a light.",
        "Glass test: stir 30 mg/L of SO2 into a glass and leave it covered for a day. Fresher: it is aldehyde, and sulfite binds it. Unchanged: it is age, or something else.",
    ],
    today: &[
        "Fill it up to the neck; measure free SO2; sulfite for its pH, half of the dose first, since much of it will be bound.",
        "Taste after a week. Rack it without splashing, and only if it must be.",
        "Drink it soon, or let it become a wine of that style on purpose.",
    ],
    never: &[
        "Never splash it, and never leave the space above it open.",
        "Never ascorbic acid without free sulfite: it then browns the wine.",
    ],
    saved: "A light case freshens; fruit that is gone does not come back.",
    safety: Safety::Safe,
    drink: "Nothing in it harms.",
    rank: Rank::Soon,
    hazards: &[&SULFITE_FUMES],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[
        clues::air_unguarded,
        clues::sulfite_low,
        clues::sulfite_unknown,
        clues::warm,
    ],
    ways: &[TOP_UP, TEST_SO2, OPEN_ONE],
};

pub(super) static BROWN: Fault = Fault {
    word: "brown",
    name: "browning",
    signs: &["brown", "browning", "amber", "darker", "tawny", "orange"],
    notice: "A white turns amber, a red turns brick at the rim, or a glass browns overnight.",
    tell: &[
        "Leave a glass covered overnight beside one with a little sulfite. Browned only without: it lacks free SO2. Browned in both, with cloudiness: an enzyme of rotten fruit.",
        "A red of many years is brick by right.",
        "Haze that came with a metal tool is another thing: see metal haze.",
    ],
    today: &[
        "Sulfite for its pH, fill it to the neck, keep it dark and cool.",
        "The colour alone troubles you: casein or a like fining by bench trial takes a little out. Casein is milk: write it down.",
    ],
    never: &[
        "Never splash it.",
        "Never fine a whole vessel without a bench trial.",
    ],
    saved: "It can be stopped, and made a little paler; it will not be green again.",
    safety: Safety::Safe,
    drink: "Nothing in it harms; where the fruit was mouldy, see mould.",
    rank: Rank::Soon,
    hazards: &[&SULFITE_FUMES],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[clues::air_above, clues::sulfite_low, clues::sulfite_unknown],
    ways: &[TOP_UP, TEST_SO2, OPEN_ONE],
};
