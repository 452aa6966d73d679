//! What total SO2 the codes allow in a kind of wine.

use super::sulfite_inputs::GROUP;
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};

/// Sugar (g/L) from which the EU allows more, below which its organic wine has a figure of its own, and from which
/// Australia and New Zealand allow more.
const EU_SWEET_G_L: f64 = 5.0;
const EU_ORGANIC_DRY_G_L: f64 = 2.0;
const AUSTRALIA_SWEET_G_L: f64 = 35.0;

/// Classes whose EU limit depends on nothing else, mg/L.
static EU_CLASSES: [(&str, f64, Standing); 5] = [
    ("late-harvest", 300.0, Standing::Opened),
    ("selected-berries", 350.0, Standing::FromMemory),
    ("noble-rot", 400.0, Standing::FromMemory),
    ("quality-sparkling", 185.0, Standing::FromMemory),
    ("sparkling", 235.0, Standing::FromMemory),
];

const EU_2019_934: Source = Source {
    sentence: "Delegated Regulation (EU) 2019/934, Annex I Part B, A.1 and A.2: red 150, other 200, 50 more from 5 g/L of \
               sugar; 300 for listed sweet wines",
    standing: Standing::Opened,
};
const EU_MEMORY: Source = Source {
    sentence: "Delegated Regulation (EU) 2019/934, Annex I Part B: 350 and 400 for selected sweet wines, liqueur wine 150 \
               and 200, sparkling 235 and 185",
    standing: Standing::FromMemory,
};
const EU_ORGANIC: Source = Source {
    sentence: "A trader's summary of Regulation (EU) 203/2012: below 2 g/L of sugar red 100 and other 150, else 30 less",
    standing: Standing::Opened,
};
const US: Source = Source {
    sentence: "27 CFR 4.22(b)(1): 350 ppm; 27 CFR 4.32(e): \"contains sulfites\" from 10 ppm",
    standing: Standing::Opened,
};
const US_ORGANIC: Source = Source {
    sentence: "Agricultural and Food Economics 2015, table 1 (7 CFR 205.605): 100 ppm where made with organic grapes",
    standing: Standing::Opened,
};
const AUSTRALIA: Source = Source {
    sentence: "Food Standards Australia New Zealand, 4.5.1: 250, and 300 from 35 g/L of sugar",
    standing: Standing::FromMemory,
};
const CANADA: Source = Source {
    sentence: "Canada: 350 in total, beside 70 free as Waterhouse, Sacks and Jeffery print it",
    standing: Standing::FromMemory,
};

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "so2-limits",
    sentence: "What total SO2 the codes of several countries allow in a kind of bottled wine.",
    group: GROUP,
    inputs: &[
        Input::new(
            "wine",
            Quantity::Choice(&["red", "white", "rose"]),
            "colour of the wine",
        )
        .default("white"),
        Input::new(
            "sugar_g_l",
            Quantity::GramsPerLitre,
            "glucose and fructose in it",
        )
        .default("0")
        .allowed(0.0, 500.0, "no wine has more, nor less than none"),
        Input::new(
            "class",
            Quantity::Choice(&[
                "still",
                "late-harvest",
                "selected-berries",
                "noble-rot",
                "liqueur",
                "quality-sparkling",
                "sparkling",
            ]),
            "class of wine; the sweet classes are names the EU lists",
        )
        .default("still"),
        Input::new(
            "total_so2_mg_l",
            Quantity::MassPerVolume,
            "total SO2 by a test, to hold against them",
        )
        .allowed(0.0, 1000.0, "no wine has more, nor less than none"),
    ],
    results: &[
        ResultSpec::new("eu_mg_l", Quantity::MassPerVolume, "total SO2 in the EU"),
        ResultSpec::new(
            "eu_organic_mg_l",
            Quantity::MassPerVolume,
            "in organic wine of the EU, still only",
        ),
        ResultSpec::new("us_mg_l", Quantity::MassPerVolume, "in the US"),
        ResultSpec::new(
            "us_organic_mg_l",
            Quantity::MassPerVolume,
            "in the US where made with organic grapes",
        ),
        ResultSpec::new(
            "australia_mg_l",
            Quantity::MassPerVolume,
            "in Australia and New Zealand",
        ),
        ResultSpec::new("canada_mg_l", Quantity::MassPerVolume, "in Canada"),
        ResultSpec::new(
            "label_from_mg_l",
            Quantity::MassPerVolume,
            "from here on the label says sulfites",
        ),
        ResultSpec::new(
            "eu_room_mg_l",
            Quantity::MassPerVolume,
            "what is left up to the EU's; below nothing it is over",
        ),
    ],
    example: &[("wine", "red"), ("total-so2", "90")],
    solve,
};

/// The EU's limit for a class, and how far it was checked.
fn eu(class: &str, red: bool, sugar: f64) -> (f64, Standing) {
    if let Some((_, limit, standing)) = EU_CLASSES.iter().find(|(name, ..)| *name == class) {
        return (*limit, *standing);
    }
    let sweet = if sugar >= EU_SWEET_G_L { 50.0 } else { 0.0 };
    match class {
        "liqueur" => (150.0 + sweet, Standing::FromMemory),
        _ => (if red { 150.0 } else { 200.0 } + sweet, Standing::Opened),
    }
}

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let sugar = inputs.require("sugar_g_l")?;
    let (class, red) = (inputs.word("class"), inputs.word("wine") == "red");
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    let (eu, standing) = eu(class, red, sugar);
    let organic = (class == "still").then_some(match (sugar < EU_ORGANIC_DRY_G_L, red) {
        (true, true) => 100.0,
        (true, false) => 150.0,
        (false, _) => eu - 30.0,
    });
    let (us, australia) = (
        350.0,
        if sugar < AUSTRALIA_SWEET_G_L {
            250.0
        } else {
            300.0
        },
    );
    answer.result("eu_mg_l", eu);
    answer.result("eu_organic_mg_l", organic);
    answer.result("us_mg_l", us);
    answer.result("us_organic_mg_l", 100.0);
    answer.result("australia_mg_l", australia);
    answer.result("canada_mg_l", 350.0);
    answer.result("label_from_mg_l", 10.0);
    let total = inputs.number("total_so2_mg_l");
    answer.result("eu_room_mg_l", total.map(|total| eu - total));
    answer.work(
        "EU",
        format!(
            "{class}, {}, {sugar:.1} g/L of sugar: {eu:.0} mg/L",
            inputs.word("wine")
        ),
    );
    answer.source(if standing == Standing::Opened {
        EU_2019_934
    } else {
        EU_MEMORY
    });
    for source in [EU_ORGANIC, US, US_ORGANIC, AUSTRALIA, CANADA] {
        answer.source(source);
    }
    if let Some(total) = total {
        answer.work(
            "room",
            format!("{eu:.0} − {total:.0} = {:.0} mg/L in the EU", eu - total),
        );
        for (limit, name) in [
            (eu, "the EU"),
            (us, "the US"),
            (australia, "Australia and New Zealand"),
        ] {
            if total > limit {
                answer.caution(
                    CautionKind::Limit,
                    "the codes named among the sources",
                    format!("{total:.0} mg/L is over the {limit:.0} of {name}: add no more, and do not sell it there."),
                );
            }
        }
        if total >= 10.0 {
            answer.caution(
                CautionKind::Hazard,
                "27 CFR 4.32(e)",
                "Sulfite can bring on an asthma attack in someone sensitive: write \"contains sulfites\" on the label, and \
                 say so when you give it away.",
            );
        }
    }
    answer.caution(
        CautionKind::Limit,
        "common practice",
        "These are for bottled wine that is sold, and codes change: read the one that holds where you are.",
    );
    Ok(answer)
}
