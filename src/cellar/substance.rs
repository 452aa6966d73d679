//! What goes into wine besides wine: how it is counted, what it leaves, what it means to the book.

use leesline_calc::sulfite::Metabisulfite;

use super::state::Deed;

/// A substance the book knows more of than its name. Any other name is taken as it is.
#[derive(Debug)]
pub struct Substance {
    /// As stored and typed.
    pub name: &'static str,
    /// How a lot of it is counted: `ug`, `ul`, `count` or `millitablet`.
    pub unit: &'static str,
    /// SO2 it yields by weight when fresh; zero for most.
    pub so2_yield: f64,
    /// The allergen it may leave, by the words of a label; empty for none.
    pub allergen: &'static str,
    /// What it does to the wine, where later questions ask.
    pub deed: Option<Deed>,
}

const fn plain(name: &'static str, unit: &'static str) -> Substance {
    Substance {
        name,
        unit,
        so2_yield: 0.0,
        allergen: "",
        deed: None,
    }
}

const fn fining(name: &'static str, allergen: &'static str) -> Substance {
    Substance {
        name,
        unit: "ug",
        so2_yield: 0.0,
        allergen,
        deed: Some(Deed::Fined),
    }
}

const fn sulfite(name: &'static str, so2_yield: f64) -> Substance {
    Substance {
        name,
        unit: "ug",
        so2_yield,
        allergen: "sulfite",
        deed: Some(Deed::Sulfited),
    }
}

/// Substances with a meaning of their own. Allergens by Regulation (EU) 1169/2011, Annex II (from
/// memory): egg, milk, fish, crustaceans, sulfite above 10 mg/L.
pub static SUBSTANCES: &[Substance] = &[
    sulfite(
        "potassium-metabisulfite",
        Metabisulfite::Potassium.so2_yield(),
    ),
    sulfite("sodium-metabisulfite", Metabisulfite::Sodium.so2_yield()),
    // What a tablet brings differs from maker to maker: its lot says, or nobody knows.
    Substance {
        allergen: "sulfite",
        deed: Some(Deed::Sulfited),
        ..plain("sulfite-tablet", "millitablet")
    },
    Substance {
        deed: Some(Deed::Sorbated),
        ..plain("potassium-sorbate", "ug")
    },
    plain("yeast", "ug"),
    plain("yeast-nutrient", "ug"),
    plain("diammonium-phosphate", "ug"),
    plain("sugar", "ug"),
    plain("tartaric-acid", "ug"),
    plain("malic-acid", "ug"),
    plain("citric-acid", "ug"),
    plain("potassium-bicarbonate", "ug"),
    plain("calcium-carbonate", "ug"),
    plain("tannin", "ug"),
    plain("pectic-enzyme", "ug"),
    plain("oak", "ug"),
    fining("bentonite", ""),
    fining("gelatin", ""),
    Substance {
        deed: Some(Deed::Fined),
        ..plain("silica-sol", "ul")
    },
    fining("isinglass", "fish"),
    fining("egg-white", "egg"),
    fining("casein", "milk"),
    fining("chitosan", "crustacean"),
    plain("bottle", "count"),
    plain("jug", "count"),
    plain("bag-in-box", "count"),
    plain("keg", "count"),
    plain("cork", "count"),
    plain("technical-cork", "count"),
    plain("synthetic-cork", "count"),
    plain("stopper", "count"),
    plain("crown-26", "count"),
    plain("crown-29", "count"),
    plain("crown-cap", "count"),
    plain("gasket", "count"),
    plain("screw-cap", "count"),
    plain("capsule", "count"),
    plain("label", "count"),
];

/// The known substance that is called so, in full, by its everyday name, or in the plural.
pub fn called(typed: &str) -> Option<&'static Substance> {
    let name = typed.trim().to_lowercase().replace(' ', "-");
    let name = name.replace("sulph", "sulf");
    let name = name.trim_end_matches("-powder");
    let everyday = match name {
        "sulfite" | "sulfites" | "sulfur" | "metabisulfite" | "meta" | "k-meta" | "kmbs" => {
            "potassium-metabisulfite"
        }
        // Campden is the trade's word for the tablet.
        "tablet" | "tablets" | "campden" | "campden-tablet" | "campden-tablets" => "sulfite-tablet",
        // A kit's packet of that name is sorbate.
        "sorbate" | "stabiliser" | "stabilizer" => "potassium-sorbate",
        "nutrient" | "nutrients" => "yeast-nutrient",
        "dap" => "diammonium-phosphate",
        // As closures are shown.
        "26-mm-crown" | "26-mm-crowns" | "26mm-crown" | "26mm-crowns" => "crown-26",
        "29-mm-crown" | "29-mm-crowns" | "29mm-crown" | "29mm-crowns" => "crown-29",
        "crown" | "crowns" => "crown-cap",
        name => name,
    };
    known(everyday).or_else(|| known(everyday.strip_suffix('s')?))
}

/// The known substance of that name, if it is one.
pub fn known(name: &str) -> Option<&'static Substance> {
    SUBSTANCES.iter().find(|it| it.name == name)
}
