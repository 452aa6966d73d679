//! Faults of bottles: gas, rising corks, leaks, cork taint, and the shock of bottling.

use leesline_calc::hazards::{REFERMENTING, RISING_CORK, WET_GLASS};

use super::{Fault, LOOK, Met, OPEN_ONE, Rank, Safety, TEST_GRAVITY, UNBOTTLE, clues};

const SPARE: &str =
    "Warn all who have bottles of it, today: cold, standing, not touched, not in the living room.";

pub(super) static FIZZ: Fault = Fault {
    word: "fizz",
    name: "fizz in a still wine",
    signs: &[
        "fizz",
        "fizzy",
        "sparkling",
        "spritz",
        "bubbles",
        "pop",
        "popped",
        "hiss",
    ],
    notice: "Bubbles rise in the glass or in the bottle, it prickles on the tongue, a cork pops.",
    tell: &[
        "Gas left from the ferment: a little, fading in the glass, no haze, gravity as it was at bottling, corks level.",
        "Refermenting: it grows from week to week, haze or fresh sediment, a sweeter wine turned drier, corks rise.",
        "Malolactic in the bottle: gas and a smell of milk, gravity as it was.",
    ],
    today: &[
        "Bottles: goggles, gloves and a towel; chill them before you touch them, in a closed box or a cold shed.",
        "Open one outdoors, pointing away from anyone. It spurts or foams: keep all cold, open all of them so, one by one, and pour the wine back under an airlock until it is finished.",
        "Only a prickle: test its sugar. Below 2 g/L and corks level: it is leftover gas; look every week.",
        SPARE,
    ],
    never: &[
        "Never handle a warm bottle that may be under pressure, and never shake it.",
        "Never put still wine that ferments into other still bottles.",
        "Never sorbate to stop it: it does not stop a running ferment.",
    ],
    saved: "Yes, from the bottles back into a vessel, if they can be opened safely. Where they cannot, leave them cold and ask for help.",
    safety: Safety::NotYet,
    drink: "The wine is not harmful. The glass is: 4 g/L of sugar adds about 1 bar.",
    rank: Rank::Now,
    hazards: &[&RISING_CORK, &REFERMENTING],
    sources: &[
        "4 g/L: 0.489 g of gas from each gram of sugar, 1.69 g/L for each bar at 20 °C, derived",
        "common practice",
    ],
    met: Met::Anywhere,
    clues: &[
        clues::may_burst,
        clues::gas_in_bottles,
        clues::malo_open,
        clues::not_degassed,
        clues::ferments,
    ],
    ways: &[OPEN_ONE, UNBOTTLE, LOOK, TEST_GRAVITY],
};

pub(super) static RISING_CORKS: Fault = Fault {
    word: "corks-rising",
    name: "corks rising",
    signs: &[
        "corks",
        "rising",
        "pushed",
        "lifts",
        "domed",
        "bulging",
        "cap lifts",
    ],
    notice: "Corks stand above the glass, caps dome, a cork was found beside its bottle.",
    tell: &[
        "Warmth alone: all rose a little after a warm day, no bubbles when one is opened cold. A bottle filled too full, or corks put in wet.",
        "Gas: bubbles, haze, more each week. See fizz.",
        "A day after corking a few millimetres are trapped air; more is not.",
    ],
    today: &[
        "Goggles, gloves and a towel on. Chill the bottles before you touch them.",
        "Open one outdoors, pointing away from anyone. Foam or a spurt: pour all of them back, one by one, cold.",
        "No gas: push new corks into those that rose, leave 15 mm below the cork, keep them cool.",
        SPARE,
    ],
    never: &[
        "Never push a cork back while it may stand on gas, nor wire it down.",
        "Never take one warm into your hands.",
    ],
    saved: "Yes, from the bottles back into a vessel, if they can be opened safely.",
    safety: Safety::NotYet,
    drink: "The wine is not harmful. The glass may be.",
    rank: Rank::Now,
    hazards: &[&RISING_CORK, &WET_GLASS],
    sources: &["common practice"],
    met: Met::Bottles,
    clues: &[
        clues::corks_found,
        clues::may_burst,
        clues::gas_in_bottles,
        clues::warm,
    ],
    ways: &[OPEN_ONE, UNBOTTLE, LOOK],
};

pub(super) static LEAK: Fault = Fault {
    word: "leak",
    name: "leaking",
    signs: &[
        "leak", "leaks", "leaking", "seeps", "seepage", "weeping", "sticky", "dripping", "drips",
    ],
    notice: "Wine at the cork, a sticky neck, a drip, a level that sinks, fruit flies about one bottle or vessel.",
    tell: &[
        "Several bottles at once, or a cork that rises: it may be gas; take it as fizz until you know better.",
        "One alone: a creased, short or dry cork, or a chip in the mouth.",
        "A vessel: dry it, put paper under it, see where it is wet. A hairline crack sounds dull when tapped.",
    ],
    today: &[
        "Goggles and gloves until you know that there is no gas. Stand the bottle up, chill it, open it soon and drink it.",
        "Many of one packet of corks: cork them again, and set the jaws of the corker right.",
        "A cracked vessel: siphon into another now, low, from above; gloves, no lifting, towels around.",
    ],
    never: &[
        "Never lift a full cracked carboy.",
        "Never wax over a leak to hide it.",
    ],
    saved: "A bottle just found, yes. One that leaked for months tastes of air.",
    safety: Safety::Safe,
    drink: "If it smells sound. Not from a chipped or cracked glass: see splinters.",
    rank: Rank::Now,
    hazards: &[&RISING_CORK, &WET_GLASS],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[clues::seepage_found, clues::may_burst, clues::warm],
    ways: &[OPEN_ONE, LOOK, super::RACK],
};

pub(super) static CORKED: Fault = Fault {
    word: "corked",
    name: "cork taint",
    signs: &[
        "corked",
        "musty",
        "cardboard",
        "cellar",
        "damp",
        "tca",
        "newspaper",
        "dog",
    ],
    notice: "It smells of wet cardboard, damp cellar or wet dog, and its fruit is gone; one bottle, and not the next.",
    tell: &[
        "Open a second bottle. Sound: it was that cork. The same: think of the vessel, a chlorine cleaner, or mould.",
        "It grows in the glass over minutes; staleness of a first pour fades.",
        "Screw and crown caps can have it too, from the air of a cellar with chlorine or wood preservative.",
    ],
    today: &[
        "Pour that bottle away and write it down.",
        "Many of them: return the packet of corks; open bottles before guests come.",
        "All of them: look for chlorine in what you clean with, and for damp wood.",
    ],
    never: &[
        "Never clean corks, wood or the cellar with bleach: chlorine and mould make this taint.",
        "Never boil corks.",
    ],
    saved: "That bottle, no.",
    safety: Safety::Safe,
    drink: "It is not harmful.",
    rank: Rank::Later,
    hazards: &[],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[clues::under_cork, clues::in_vessel],
    ways: &[OPEN_ONE],
};

pub(super) static SHOCK: Fault = Fault {
    word: "shock",
    name: "bottle shock",
    signs: &[
        "shock",
        "muted",
        "closed",
        "tasteless",
        "disjointed",
        "dumb",
    ],
    notice: "In the first weeks after bottling it tastes of little, or rough and out of joint.",
    tell: &[
        "It tasted good on bottling day and is clear, without gas and without off smells.",
        "Getting worse from month to month is air or a fault.",
    ],
    today: &["Nothing. Leave it a month or two, lying if under cork, cool, and open another."],
    never: &["Never judge a batch by a bottle opened in its first weeks."],
    saved: "It is no fault.",
    safety: Safety::Safe,
    drink: "Nothing is wrong with it.",
    rank: Rank::Later,
    hazards: &[],
    sources: &["common practice"],
    met: Met::Bottles,
    clues: &[clues::just_bottled],
    ways: &[OPEN_ONE],
};
