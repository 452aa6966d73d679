//! What the sulfite calculators share: inputs, the choice of dissociation constant, sources and cautions.

use crate::answer::{Answer, CautionKind, Fields, Source, Standing};
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::sulfite::{Metabisulfite, OIV_TEMPERATURE_C, PK1_EXTENSION, pk1_oiv};

pub(super) const GROUP: &str = "Sulfite";

pub(super) const VOLUME: Input = Input::new("volume_l", Quantity::Volume, "how much wine there is")
    .allowed(
        0.01,
        1e6,
        "a dose is for wine between a glass and a winery's tank",
    );

pub(super) const PH: Input = Input::new(
    "ph",
    Quantity::Ph,
    "how acid the wine is, by meter or strip",
)
.allowed(2.0, 5.0, "no wine or must lies outside")
.sourced(2.8, 4.2, "the tables for wine end there");

pub(super) const FREE: Input = Input::new(
    "free_so2_mg_l",
    Quantity::MassPerVolume,
    "free SO2 by a test",
)
.allowed(0.0, 500.0, "no drinkable wine has more, nor less than none");

pub(super) const TARGET_MOLECULAR: Input = Input::new(
    "target_molecular_mg_l",
    Quantity::MassPerVolume,
    "molecular SO2 to aim at: 0.5 for red, 0.8 for other wine",
)
.allowed(0.05, 5.0, "less protects nothing and more cannot be drunk")
.sourced(0.3, 2.0, "less is untried and more stings the nose");

pub(super) const CONSTANT: Input = Input::new(
    "constant",
    Quantity::Choice(&["extension", "oiv"]),
    "dissociation constant: the fixed 1.81 of extension tables, or the OIV's by temperature and alcohol",
)
.default("extension");

pub(super) const TEMPERATURE: Input = Input::new(
    "temperature_c",
    Quantity::Temperature,
    "temperature of the wine, for the OIV constant",
)
.default("20")
.allowed(-5.0, 45.0, "wine freezes below and cooks above");

pub(super) const ALCOHOL: Input = Input::new(
    "alcohol_pct_vol",
    Quantity::AlcoholByVolume,
    "strength of the wine, for the OIV constant",
)
.default("12")
.allowed(0.0, 25.0, "no wine is stronger, nor weaker than none");

pub(super) const SALT: Input = Input::new(
    "salt",
    Quantity::Choice(&["potassium", "sodium"]),
    "which metabisulfite the powder or solution is made of",
)
.default("potassium");

pub(super) const POTENCY: Input = Input::new(
    "potency_pct",
    Quantity::Percent,
    "strength left in the powder, beside a fresh lot",
)
.default("100")
.allowed(
    10.0,
    100.0,
    "a weaker powder is not worth weighing and none is stronger than pure",
)
.sourced(
    50.0,
    100.0,
    "a powder that lost half its strength has caked and varies from spoon to spoon",
);

pub(super) const TEASPOON: Input = Input::new(
    "teaspoon_g",
    Quantity::Mass,
    "what a level teaspoon of your powder weighs",
)
.default("6")
.allowed(
    2.0,
    12.0,
    "no powder of metabisulfite packs lighter or denser",
)
.sourced(4.0, 9.0, "level spoons of it weigh 5 to 8 g");

pub(super) const BOUND: Input = Input::new(
    "bound_fraction",
    Quantity::Fraction,
    "the part of the addition that gets bound",
)
.default("0.33")
.allowed(
    0.0,
    0.95,
    "all of it is never bound and a part is a number from 0 to 1",
)
.sourced(0.0, 0.65, "free SO2 is reported as 35 to 75 % of the total");

pub(super) const SOLUTION: Input = Input::new(
    "solution_pct",
    Quantity::Percent,
    "grams of metabisulfite in 100 mL of your stock solution",
)
.default("10")
.allowed(
    0.5,
    40.0,
    "a weaker one is water and more does not dissolve",
)
.sourced(
    1.0,
    20.0,
    "weak stock fades in weeks and strong stock throws crystals when cold",
);

pub(super) const SCALE_STEP: Input = Input::new(
    "scale_step_g",
    Quantity::Mass,
    "the smallest step your scale shows",
)
.default("1")
.allowed(
    0.0001,
    100.0,
    "no scale for a kitchen or a bench is finer or coarser",
);

pub(super) const SYRINGE_STEP: Input = Input::new(
    "syringe_step_ml",
    Quantity::SmallVolume,
    "the smallest mark of your syringe or pipette",
)
.default("0.5")
.allowed(0.001, 100.0, "no syringe is finer or coarser");

/// A form of a dose is good enough when half of it comes out within this part of it.
pub(super) const TOOL_GOOD: f64 = 0.10;
/// No spoon is offered below this, teaspoons.
pub(super) const SMALLEST_SPOON: f64 = 0.125;

/// Level teaspoons weigh from 5 to 8 g by grind and packing (common practice).
pub(super) const TEASPOON_SPREAD_G: (f64, f64) = (5.0, 8.0);
/// A quarter to a half of an addition gets bound; after a first dose nearer a half (common practice).
pub(super) const BOUND_SPREAD: (f64, f64) = (0.25, 0.5);

pub(super) const UCCE: Source = Source {
    sentence: "University of California Cooperative Extension, Enology Briefs I(1), 1982: free and \
     molecular SO2 by pH, pK1 = 1.81",
    standing: Standing::Opened,
};
const OIV_FORM: Source = Source {
    sentence: "OIV-MA-AS323-04C, Sulfur dioxide (molecular method), section 2 and Table I",
    standing: Standing::Opened,
};
const OIV_TABLE: Source = Source {
    sentence: "OIV-MA-AS323-04C, Table II: mixed constant by temperature and alcohol",
    standing: Standing::FromMemory,
};
pub(super) const YIELD: Source = Source {
    sentence: "SO2 in metabisulfite: 0.5763 (potassium), 0.6740 (sodium), from IUPAC atomic masses",
    standing: Standing::Derived,
};
const SPOON: Source = Source {
    sentence: "A level teaspoon of potassium metabisulfite weighs 5 to 8 g, 6 as a rule",
    standing: Standing::CommonPractice,
};
pub(super) const BINDING: Source = Source {
    sentence: "A quarter to a half of an addition gets bound, a third as a rule",
    standing: Standing::CommonPractice,
};

/// Both constants of a question: the one chosen and the other, which is `None` where its table does not reach.
pub(super) struct Constants {
    pub(super) chosen: (&'static str, f64),
    pub(super) other: (&'static str, Option<f64>),
    temperature_c: f64,
    alcohol_pct_vol: f64,
}

impl Constants {
    /// Refuses the OIV constant where its table does not reach, rather than stretch it.
    pub(super) fn read(inputs: &Inputs) -> Result<Self, CalcError> {
        let temperature_c = inputs.require("temperature_c")?;
        let alcohol_pct_vol = inputs.require("alcohol_pct_vol")?;
        let oiv = pk1_oiv(temperature_c, alcohol_pct_vol);
        let (chosen, other) = match (inputs.word("constant"), oiv) {
            ("oiv", Some(pk1)) => (("oiv", pk1), ("extension", Some(PK1_EXTENSION))),
            ("oiv", None) => return Err(beyond_oiv(temperature_c, alcohol_pct_vol)),
            _ => (("extension", PK1_EXTENSION), ("oiv", oiv)),
        };
        Ok(Self {
            chosen,
            other,
            temperature_c,
            alcohol_pct_vol,
        })
    }

    pub(super) const fn pk1(&self) -> f64 {
        self.chosen.1
    }

    /// Names the constant in the working, cites it, and warns where the OIV's is extrapolated.
    pub(super) fn explain(&self, answer: &mut Answer) {
        let (name, pk1) = self.chosen;
        let Self {
            temperature_c,
            alcohol_pct_vol,
            ..
        } = self;
        answer.work(
            "constant",
            match name {
                "oiv" => format!(
                    "pK1 = {pk1:.3}, the OIV's for {temperature_c:.1} °C and {alcohol_pct_vol:.1} % vol"
                ),
                _ => format!("pK1 = {pk1:.2}, the fixed figure of the extension tables"),
            },
        );
        answer.source(if name == "oiv" { OIV_TABLE } else { UCCE });
        answer.source(OIV_FORM);
        let oiv_shown = name == "oiv" || self.other.1.is_some();
        if oiv_shown && name != "oiv" {
            answer.source(OIV_TABLE);
        }
        if oiv_shown && *temperature_c < OIV_TEMPERATURE_C[0] {
            answer.caution(
                CautionKind::Range,
                "OIV-MA-AS323-04C, Table II",
                format!(
                    "The OIV table begins at 20 °C; its figure for {temperature_c:.1} °C is \
                     extrapolated: take it as a rough one."
                ),
            );
        }
    }

    /// The other constant's figures: `with(pk1)` puts them; where its table does not reach, a sentence says so.
    pub(super) fn other_fields(&self, with: impl FnOnce(f64, &mut Fields)) -> Fields {
        let mut fields = Fields::default();
        fields.put("constant", self.other.0);
        fields.put("pk1", self.other.1);
        match self.other.1 {
            Some(pk1) => with(pk1, &mut fields),
            None => fields.put(
                "sentence",
                "The OIV table reaches from 20 to 40 °C (15 °C extrapolated) and to 20 % vol, so it has \
                 no figure here.",
            ),
        }
        fields
    }
}

fn beyond_oiv(temperature_c: f64, alcohol_pct_vol: f64) -> CalcError {
    let (key, given) = if alcohol_pct_vol > 20.0 {
        ("alcohol_pct_vol", format!("{alcohol_pct_vol:.1} % vol"))
    } else {
        ("temperature_c", format!("{temperature_c:.1} °C"))
    };
    CalcError::Refused {
        key,
        sentence: format!(
            "{given} is outside the OIV table, which holds for 15 to 40 °C and 0 to 20 % vol, and a \
             guess beyond it is off by a quarter: choose the extension constant"
        ),
    }
}

/// The salt and the part of its yield that is left.
pub(super) fn product(inputs: &Inputs) -> Result<(Metabisulfite, f64), CalcError> {
    let salt = match inputs.word("salt") {
        "sodium" => Metabisulfite::Sodium,
        _ => Metabisulfite::Potassium,
    };
    Ok((salt, inputs.require("potency_pct")? / 100.0))
}

/// Says what a level teaspoon is taken to weigh, and which teaspoon.
pub(super) fn assume_teaspoon(inputs: &Inputs, answer: &mut Answer, teaspoon_g: f64) {
    answer.source(SPOON);
    answer.assume(
        "teaspoon_g",
        teaspoon_g,
        TEASPOON_SPREAD_G,
        format!(
            "A level teaspoon of {:.2} mL is taken as {teaspoon_g} g of powder; by grind and packing it is \
             5 to 8. Weigh one of yours, once.",
            inputs.units().gallon.teaspoon_l() * 1e3
        ),
    );
}

/// A red wine's test reads sulfite that its colour holds.
pub(super) fn red_colour(answer: &mut Answer) {
    answer.caution(
        CautionKind::Range,
        "Coelho, Howe and Sacks, AJEV 66:257 (2015), from memory",
        "In a young red wine the test counts sulfite that its colour holds, so less is molecular than reckoned: \
         test more often rather than dose more.",
    );
}
