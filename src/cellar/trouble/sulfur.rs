//! Sulfur: egg, what egg turns into, and too much sulfite.

use leesline_calc::hazards::SULFITE_FUMES;

use super::hazards::COPPER;
use super::{FEED, Fault, Met, OPEN_ONE, RACK_WHEN_OVER, Rank, Safety, TEST_SO2, clues};

const BENCH: &str = "Bench test: three glasses of 50 mL. Leave one. Into the second goes one drop of a 1 % copper sulfate solution. \
    Into the third a knife tip of ascorbic acid, an hour's wait under a lid, then the same drop. Stir and only sniff. \
    Clean in the second: egg or mercaptan. Clean in the third alone: disulfide. Clean in neither: something else.";

pub(super) static EGG: Fault = Fault {
    word: "egg",
    name: "rotten egg",
    signs: &["egg", "rotten", "drain", "sewer", "sulfide", "stink"],
    notice: "It smells of rotten eggs or a drain, most when stirred or just poured: hydrogen sulfide, from yeast that was hungry, hot, or left lying on its dead.",
    tell: &[
        "A struck match stings in the nose and fades in an open glass: that is sulfite.",
        "Onion, garlic, rubber or cabbage is what egg becomes when it waits.",
        BENCH,
    ],
    today: &[
        "Still fermenting: splash or stir it, cool it if it is above 25 °C, and feed it if less than half of its sugar is gone.",
        "Ferment over: rack it off its lees today, splashing, into a clean vessel; then sulfite for its pH, and close it full.",
        "Sniff a glass after an hour in the air and the vessel again after three days. What air takes away is cured.",
        "Still there after a week: copper sulfate by bench trial, or a shop that does it for you.",
    ],
    never: &[
        "Never copper by guess: no coins, pipes or scouring pads.",
        "Never leave it on its gross lees to see whether it goes.",
        "Never bottle it: it grows worse without air.",
    ],
    saved: "Nearly always in the first weeks. After months it has turned into onion, which air no longer takes out.",
    safety: Safety::Safe,
    drink: "It is unpleasant and not harmful: the nose finds it far below what could hurt.",
    rank: Rank::Now,
    hazards: &[&COPPER, &SULFITE_FUMES],
    sources: &[
        "Zoecklein and others, Wine Analysis and Production, from memory (bench test)",
        "common practice",
    ],
    met: Met::Anywhere,
    clues: &[clues::on_gross_lees, clues::ferments, clues::not_fed],
    ways: &[FEED, RACK_WHEN_OVER, OPEN_ONE],
};

pub(super) static ONION: Fault = Fault {
    word: "onion",
    name: "onion, garlic or rubber",
    signs: &[
        "onion",
        "garlic",
        "rubber",
        "cabbage",
        "skunk",
        "mercaptan",
        "disulfide",
        "leek",
    ],
    notice: "It smells of onion, garlic, burnt rubber or boiled cabbage: mercaptans and disulfides, made from egg that was left alone.",
    tell: &[
        "Egg is fresher and blows off in an open glass; this stays.",
        "Mouse has no smell at all and comes after swallowing.",
        BENCH,
    ],
    today: &[
        "Make the bench test, since the cure hangs on it.",
        "Clean with copper alone: copper sulfate by bench trial, rack after some days, test the copper.",
        "Clean only after ascorbic acid: the same dose of it in free SO2 of 20 mg/L or more, closed for some weeks, then the copper. Taste at each step.",
        "No test at hand: rack it quietly, sulfite for its pH, close it full, and ask a wine laboratory.",
    ],
    never: &[
        "Never splash it: air turns mercaptan into disulfide, which copper does not take out.",
        "Never copper by guess: no coins, pipes or scouring pads.",
        "Never ascorbic acid without free sulfite: it then browns the wine.",
    ],
    saved: "Often, with the bench test and patience; a strong, old smell of cabbage seldom.",
    safety: Safety::Safe,
    drink: "It is unpleasant and not harmful.",
    rank: Rank::Soon,
    hazards: &[&COPPER, &SULFITE_FUMES],
    sources: &[
        "Zoecklein and others, Wine Analysis and Production, from memory",
        "common practice",
    ],
    met: Met::Anywhere,
    clues: &[clues::long_on_gross_lees],
    ways: &[RACK_WHEN_OVER, OPEN_ONE],
};

pub(super) static MATCH: Fault = Fault {
    word: "match",
    name: "struck match",
    signs: &[
        "match", "matches", "struck", "sulfur", "stings", "sneeze", "pungent", "sulfite",
    ],
    notice: "It stings in the nose like a match just struck, and may make you sneeze: more free sulfite than the wine needs.",
    tell: &[
        "Egg smells of a drain and does not sting.",
        "Swirl a glass for some minutes: sulfite fades, a disulfide stays.",
        "Measure free SO2: that settles it.",
    ],
    today: &[
        "Nothing, if sulfite went in within two weeks: part of it is still to be bound.",
        "Measure free SO2. Over its aim, wait, and give none at the next racking.",
        "In a bottle: pour it into a jug an hour before drinking.",
    ],
    never: &[
        "Never hydrogen peroxide by guess: a little too much ruins the wine at once.",
        "Never give a second dose because the first cannot be tasted.",
    ],
    saved: "Yes: it falls by itself, some mg/L a month, faster at a racking.",
    safety: Safety::NotYet,
    drink: "Someone with asthma, or whom sulfite troubles, should not drink it. For others it is unpleasant until it has faded.",
    rank: Rank::Later,
    hazards: &[&SULFITE_FUMES],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[clues::just_sulfited, clues::much_sulfite],
    ways: &[TEST_SO2, OPEN_ONE],
};
