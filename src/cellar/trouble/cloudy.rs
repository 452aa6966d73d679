//! Haze and what falls out: protein, pectin, starch, yeast, bacteria, metal, and crystals.

use leesline_calc::hazards::{REFERMENTING, SULFITE_FUMES};

use super::hazards::{COPPER, SPIRIT};
use super::{Fault, Met, OPEN_ONE, RACK, Rank, Safety, TEST_GRAVITY, Way, clues};

/// Fined by what its trial showed.
const FINE: Way = Way {
    verb: "fine",
    what: "write down a fining",
    met: Met::Vessel,
    values: &[],
    needs: &["agent", "amount"],
};

const SETTLES: &str = "First see whether it settles: a glass jar of it, closed, a week in the cold and dark. \
    Clear from the top down: it only needs time. Even all through: go on with the tests.";

pub(super) static PROTEIN: Fault = Fault {
    word: "protein",
    name: "protein haze",
    signs: &[
        "haze",
        "hazy",
        "protein",
        "warmed",
        "cloudy when warm",
        "milky",
    ],
    notice: "An even, thin, milky haze, often in a white or pale wine, often after a warm day.",
    tell: &[
        SETTLES,
        "Heat test: a clear, filtered sample 2 hours at 80 °C in water, then cooled for some hours. Haze or flakes: protein.",
        "Pectin makes jelly in spirit; starch turns blue with iodine; yeast has bubbles and a fallen gravity.",
    ],
    today: &[
        "Bench trial with bentonite slurry from a weighed stock: 0, 25, 50, 75, 100 g/hL in five jars. Take the least that passes the heat test.",
        "Fine the vessel with that, rack after one to two weeks, test again.",
        "It is in bottles already: drink it as it is, or pour it back, fine and fill again.",
    ],
    never: &[
        "Never fine by guess: too much bentonite takes taste and colour.",
        "Never heat the test in a closed glass.",
    ],
    saved: "Yes, with bentonite.",
    safety: Safety::Safe,
    drink: "It is only to look at.",
    rank: Rank::Later,
    hazards: &[],
    sources: &[
        "heat test after Pocock and Waters, from memory",
        "common practice",
    ],
    met: Met::Anywhere,
    clues: &[clues::hazy, clues::never_fined, clues::is_white],
    ways: &[FINE, OPEN_ONE],
};

pub(super) static PECTIN: Fault = Fault {
    word: "pectin",
    name: "pectin haze",
    signs: &["pectin", "jelly", "gel", "lumps", "pulp", "fruit haze"],
    notice: "A stubborn even haze in a wine of stone fruit, apples, berries or boiled fruit; sometimes lumps of jelly.",
    tell: &[
        SETTLES,
        "Spirit test: one part of wine shaken with four parts of strong spirit, an hour's wait. Strings or clots of jelly: pectin.",
        "Protein flakes in the heat test; starch turns blue with iodine.",
    ],
    today: &[
        "Pectic enzyme at its packet's full dose, stirred in cool water first, in wine at 18 to 25 °C; four days to two weeks.",
        "Strong wine and sulfite slow it: then twice the time, or half as much again.",
        "Repeat the spirit test; when it stays clear, let it settle, fine if you must, rack.",
    ],
    never: &[
        "Never bentonite before the enzyme: it takes the enzyme out.",
        "Never filter it first: pectin clogs every pad.",
        "Never boil fruit for wine without the enzyme after it has cooled.",
    ],
    saved: "Yes, nearly always.",
    safety: Safety::Safe,
    drink: "It is only to look at.",
    rank: Rank::Later,
    hazards: &[&SPIRIT],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[clues::hazy, clues::is_fruit],
    ways: &[
        Way {
            verb: "add",
            what: "write down the enzyme",
            met: Met::Vessel,
            values: &[("substance", "pectic-enzyme")],
            needs: &["amount"],
        },
        RACK,
    ],
};

pub(super) static STARCH: Fault = Fault {
    word: "starch",
    name: "starch haze",
    signs: &[
        "starch",
        "iodine",
        "grain",
        "potato",
        "banana haze",
        "unripe",
    ],
    notice: "A haze that stays in a wine of grain, potato, banana or unripe apples.",
    tell: &[
        "Iodine test: a drop of household iodine in half a glass. Blue or black: starch. Pour the glass away.",
        "Pectin makes jelly in spirit; protein flakes in the heat test.",
    ],
    today: &[
        "Amylase at its packet's dose, at the temperature it names, one to two weeks; test again.",
        "Then let it settle, fine by a bench trial, and rack.",
    ],
    never: &["Never taste the iodine test."],
    saved: "Yes, nearly always.",
    safety: Safety::Safe,
    drink: "It is only to look at.",
    rank: Rank::Later,
    hazards: &[],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[clues::is_fruit],
    ways: &[FINE],
};

pub(super) static YEAST: Fault = Fault {
    word: "yeast-haze",
    name: "yeast in suspension",
    signs: &[
        "yeast", "yeasty", "bread", "bready", "dough", "cloudy", "muddy", "beery",
    ],
    notice: "Cloudy, with a smell of bread or beer, and perhaps small bubbles: yeast that still works or has not fallen.",
    tell: &[
        SETTLES,
        "Gravity falls or gas comes out when it is shaken: it still ferments.",
        "At the bottom: a pale, soft layer that swirls up is yeast that has fallen, and no fault; grains that stay hard are crystals.",
        "Chill a jar of it: yeast falls in days, protein and pectin do not.",
    ],
    today: &[
        "Measure gravity twice, some days apart. Falling: let it finish, warm.",
        "Finished: drive the gas out, since bubbles carry yeast up; keep it cold two weeks; rack.",
        "Then a fining by bench trial, if it still hangs.",
    ],
    never: &[
        "Never sorbate or filter to stop a running ferment.",
        "Never bottle it: it may ferment in the bottle.",
    ],
    saved: "Yes, with time.",
    safety: Safety::Safe,
    drink: "It is not harmful; some have an upset stomach from much live yeast.",
    rank: Rank::Later,
    hazards: &[&REFERMENTING],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[
        clues::ferments,
        clues::on_gross_lees,
        clues::gas_found,
        clues::hazy,
    ],
    ways: &[TEST_GRAVITY, RACK, FINE],
};

pub(super) static MALO: Fault = Fault {
    word: "malo-haze",
    name: "malolactic at work",
    signs: &[
        "malolactic",
        "malo",
        "bacteria",
        "silky",
        "sheen",
        "shimmer",
    ],
    notice: "A silky sheen when the glass is swirled, a prickle of gas, gravity steady: lactic bacteria at work.",
    tell: &[
        "Gravity falls: it is yeast. Gravity stands and malic acid falls on the paper: it is malolactic.",
        "Ropiness pours like oil; sauerkraut smells.",
    ],
    today: &[
        "Wanted: keep it at 18 to 22 °C, full, without sulfite, test malic acid every two weeks; sulfite when it is gone.",
        "Unwanted: sulfite for its pH now, and keep it cool.",
        "In bottles: keep them cold, look at the corks; it makes gas, though less than sugar does.",
    ],
    never: &[
        "Never sorbate: it becomes geranium.",
        "Never bottle before it is over or suppressed.",
    ],
    saved: "Yes: it clears when they are done.",
    safety: Safety::Safe,
    drink: "It is not harmful.",
    rank: Rank::Later,
    hazards: &[&SULFITE_FUMES],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[clues::malo_open, clues::gas_found, clues::hazy],
    ways: &[
        Way {
            verb: "measure",
            what: "write down its malic acid",
            met: Met::Vessel,
            values: &[],
            needs: &["malic"],
        },
        OPEN_ONE,
    ],
};

pub(super) static METAL: Fault = Fault {
    word: "metal-haze",
    name: "metal haze",
    signs: &[
        "casse",
        "metal haze",
        "rusty",
        "iron",
        "bluish",
        "grey",
        "gray",
    ],
    notice: "A white, grey, bluish or rusty haze some days after the wine met iron, brass, zinc or copper, or a copper dose.",
    tell: &[
        "A pinch of citric acid in a glass clears it in some hours: iron.",
        "It comes in closed bottles and light and goes with air: copper.",
        "Neither: think of protein.",
    ],
    today: &[
        "Find the metal: a brass tap, a galvanised pail, a worn enamel pot, a screw in the press. Out with it.",
        "Have the wine tested for iron and copper before anyone drinks much of it.",
        "Iron alone: citric acid by a bench trial, where the wine is sulfited and malolactic is over.",
    ],
    never: &[
        "Never brass, galvanised or lead-glazed ware for wine or must.",
        "Never try to take metal out with household means.",
    ],
    saved: "Iron mostly; copper and zinc only with a laboratory's help.",
    safety: Safety::NotYet,
    drink: "Not until it was tested, if zinc, lead, brass or much copper may be in it. Where lead is possible: throw it away.",
    rank: Rank::Soon,
    hazards: &[&COPPER],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[clues::hazy],
    ways: &[super::POUR_AWAY, OPEN_ONE],
};

pub(super) static WONT_CLEAR: Fault = Fault {
    word: "wont-clear",
    name: "will not clear",
    signs: &[
        "clear", "clearing", "opaque", "murky", "settle", "settles", "dull",
    ],
    notice: "Weeks after the ferment it is still cloudy, and no one thing says why.",
    tell: &[
        SETTLES,
        "Shake a sample under the thumb: gas keeps things up. Degas first.",
        "Then in this order: gravity (yeast), malic acid (bacteria), spirit test (pectin), iodine (starch), heat test (protein).",
    ],
    today: &[
        "Degas it, top it up, put it where it is cold and does not warm by day, and leave it two to four weeks.",
        "Rack it off what has fallen. Repeat the jar.",
        "Then a bench trial: a positive fining such as chitosan, a negative one such as bentonite or silica, and both in turn, each with the least dose that clears.",
    ],
    never: &[
        "Never add one fining after another by guess.",
        "Never filter what has not settled.",
        "Chitosan is of crustaceans, isinglass of fish, casein of milk, albumin of egg: never without writing it down for those who react to them.",
    ],
    saved: "Nearly always; time does most of it.",
    safety: Safety::Safe,
    drink: "It is only to look at, if it smells and tastes sound.",
    rank: Rank::Later,
    hazards: &[&SPIRIT],
    sources: &["common practice"],
    met: Met::Vessel,
    clues: &[clues::stays_hazy, clues::not_degassed, clues::warm],
    ways: &[
        RACK,
        FINE,
        Way {
            verb: "degas",
            what: "drive the gas out",
            met: Met::Vessel,
            values: &[],
            needs: &[],
        },
    ],
};

pub(super) static CRYSTALS: Fault = Fault {
    word: "crystals",
    name: "crystals",
    signs: &[
        "crystals",
        "crystal",
        "sand",
        "grit",
        "tartrate",
        "glitter",
        "sugar grains",
        "sediment",
        "deposit",
    ],
    notice: "Glittering grains at the bottom or on the cork, like sugar or fine glass: potassium bitartrate, from cold.",
    tell: &[
        "They crunch between the teeth, taste sour and dissolve in hot water. Glass does neither: never test by biting; drop some into hot water.",
        "A pale, soft layer that swirls up is yeast that has fallen, no fault either: rack the wine off it; a soft, brown or purple one in a red is colour and tannin.",
    ],
    today: &[
        "Nothing is wrong. Stand the bottle up for a day and pour carefully.",
        "In a vessel: keep it near freezing for two weeks and rack it cold, so that they stay behind.",
    ],
    never: &["Never drink grit before you know that it is no glass."],
    saved: "It is no fault.",
    safety: Safety::Safe,
    drink: "They are harmless, once you know that it is no glass.",
    rank: Rank::Later,
    hazards: &[],
    sources: &["common practice"],
    met: Met::Anywhere,
    clues: &[clues::cold],
    ways: &[RACK, OPEN_ONE],
};
