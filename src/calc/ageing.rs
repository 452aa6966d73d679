//! When a bottled wine is to be drunk. No standard and no data set says so: the table of styles and the factors on it
//! are house estimates, said to be so wherever they are shown. Only the law of temperature is a published one.

use crate::spread::Spread;
use crate::warmth::times_as_fast;

/// A style of wine, with the years in a cellar of 13 °C after which it opens and closes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Style {
    /// As typed: `tannic-red`.
    pub word: &'static str,
    /// As shown.
    pub label: &'static str,
    /// It opens after so many years.
    pub opens: f64,
    /// It closes after so many years.
    pub closes: f64,
    /// Sweet or fortified: what sugar does for it is in its years already.
    pub sweet: bool,
}

const fn style(word: &'static str, label: &'static str, (opens, closes): (f64, f64)) -> Style {
    Style {
        word,
        label,
        opens,
        closes,
        sweet: false,
    }
}

/// Every style; years are house estimates.
pub static STYLES: &[Style] = &[
    style("kit-white", "white from a kit", (0.3, 1.5)),
    style("kit-red", "red from a kit", (0.5, 3.0)),
    style("white", "light white", (0.3, 2.0)),
    style("rose", "rosé", (0.3, 2.0)),
    style("full-white", "full or oaked white", (0.5, 4.0)),
    style("fruit", "fruit wine", (0.5, 3.0)),
    style("red", "light red", (0.5, 3.0)),
    style("tannic-red", "tannic red", (1.5, 8.0)),
    SWEET,
    Style {
        sweet: true,
        ..style("fortified", "fortified wine", (1.0, 12.0))
    },
];

const SWEET: Style = Style {
    sweet: true,
    ..style("sweet", "sweet wine", (1.0, 12.0))
};

/// The words of the styles, in their order.
pub const STYLE_WORDS: &[&str] = &[
    "kit-white",
    "kit-red",
    "white",
    "rose",
    "full-white",
    "fruit",
    "red",
    "tannic-red",
    "sweet",
    "fortified",
];

/// What closes a bottle, by how much air it lets in.
pub const CLOSURE_WORDS: &[&str] = &[
    "cork",
    "technical-cork",
    "synthetic",
    "screw-cap",
    "crown-cap",
    "stopper",
    "swing-top",
    BAG,
    "keg",
];

/// A bag with a tap, which lets air in.
const BAG: &str = "bag-in-box";
/// Years a bag keeps any wine at 13 °C: a house estimate within the six to twelve months of common practice.
const BAG_YEARS: f64 = 0.75;

/// Temperature that the years of the styles are for, °C.
pub const CELLAR_C: f64 = 13.0;
/// Above this wine is cooked rather than aged, °C.
pub const HOTTEST_C: f64 = 28.0;
/// Sugar above which a wine keeps as a sweet one, g/L.
const SWEET_G_L: f64 = 45.0;
/// Sugar from which a wine keeps somewhat longer, g/L.
const OFF_DRY_G_L: f64 = 12.0;
/// No home wine is promised more or less, years.
const SHORTEST: f64 = 0.3;
const LONGEST: f64 = 15.0;
/// The end of a window is never known better than this factor either way.
const DOUBT: f64 = 1.5;
/// Activation energy of ageing, J/mol: low, middle, high.
pub const ENERGY: (f64, f64, f64) = (35e3, 50e3, 80e3);

/// A window with the steps that lead to it. Factors are on its end alone, and 1 where nothing is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// The style whose years were taken; the sweet one where there is so much sugar.
    pub style: Style,
    /// For sugar.
    pub sugar: f64,
    /// For acidity.
    pub acid: f64,
    /// For the closure.
    pub closure: f64,
    /// How much faster than at 13 °C it ages.
    pub pace: Spread,
    /// It opens after so many years.
    pub opens: f64,
    /// It closes after so many years.
    pub closes: Spread,
}

/// The style of that word.
pub fn find(word: &str) -> Option<Style> {
    STYLES.iter().copied().find(|it| it.word == word)
}

/// How much faster than at 13 °C a wine ages: q = exp\[(Ea/R)·(1/286.15 − 1/T)\], the law of Arrhenius.
pub fn pace(storage_c: f64, energy: f64) -> f64 {
    times_as_fast(energy, CELLAR_C, storage_c)
}

/// The window of a wine: years at 13 °C by style, its end times the factors for sugar, acid and closure, both over the
/// pace. pH 2 to 5, sugar in g/L, storage 0 to 28 °C; what is not known changes nothing. In a bag no wine ages: it is to
/// be drunk from the first day on, and within months whatever its style.
pub fn window(
    style: Style,
    ph: Option<f64>,
    sugar_g_l: Option<f64>,
    closure: &str,
    storage_c: f64,
) -> Window {
    let sweet = sugar_g_l.is_some_and(|it| it > SWEET_G_L);
    let mut style = if sweet && !style.sweet { SWEET } else { style };
    if closure == BAG {
        (style.opens, style.closes) = (0.0, style.closes.min(BAG_YEARS));
    }
    let sugar = match sugar_g_l {
        Some(sugar) if !style.sweet && sugar >= OFF_DRY_G_L => 1.2,
        _ => 1.0,
    };
    let acid = match ph {
        Some(..=3.3) => 1.2,
        Some(ph) if ph > 3.6 => 0.75,
        _ => 1.0,
    };
    let (closure, doubt) = match closure {
        // A keg is tight as long as its seals are.
        "screw-cap" | "crown-cap" | "technical-cork" | "keg" => (1.1, 1.0),
        "synthetic" | "stopper" | "swing-top" => (0.6, 1.0),
        BAG => (1.0, 1.0),
        // Corks differ from one to the next.
        _ => (1.0, DOUBT),
    };
    let around = |value: f64, doubt: f64| Spread::new(value / doubt, value, value * doubt);
    let of = |energy| pace(storage_c, energy);
    let (slow, fast) = (
        of(ENERGY.0).min(of(ENERGY.2)),
        of(ENERGY.0).max(of(ENERGY.2)),
    );
    let pace = Spread::new(slow, of(ENERGY.1), fast);
    let lasts = Spread::new(1.0 / pace.high, 1.0 / pace.value, 1.0 / pace.low);
    let years = style.closes * sugar * acid * closure;
    let closes = around(years, DOUBT).times(around(1.0, doubt)).times(lasts);
    let kept = |years: f64| years.clamp(SHORTEST, LONGEST);
    Window {
        style,
        sugar,
        acid,
        closure,
        pace,
        opens: style.opens / pace.value,
        closes: Spread::new(kept(closes.low), kept(closes.value), kept(closes.high)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_and_styles_are_the_same_list() {
        let words: Vec<&str> = STYLES.iter().map(|it| it.word).collect();
        assert_eq!(words, STYLE_WORDS);
    }

    #[test]
    fn a_window_never_closes_before_it_opens() {
        for style in STYLES {
            for closure in CLOSURE_WORDS {
                for ph in [None, Some(3.1), Some(3.9)] {
                    for sugar in [None, Some(1.0), Some(20.0), Some(80.0)] {
                        for storage in 0..=28 {
                            let it = window(*style, ph, sugar, closure, f64::from(storage));
                            assert!(it.opens < it.closes.value, "{it:?}");
                            assert!(it.closes.low <= it.closes.value, "{it:?}");
                            assert!(it.closes.value <= it.closes.high, "{it:?}");
                        }
                    }
                }
            }
        }
    }

    fn check_longer(one: Window, other: Window) {
        assert!(one.closes.value > other.closes.value, "{one:?} {other:?}");
    }

    #[test]
    fn cool_sour_sweet_and_tight_keep_longer() {
        let red = find("red").unwrap();
        let of = |ph, sugar, closure, storage| window(red, ph, sugar, closure, storage);
        let plain = of(Some(3.45), Some(1.0), "cork", 13.0);
        check_longer(of(Some(3.45), Some(1.0), "cork", 10.0), plain);
        check_longer(plain, of(Some(3.45), Some(1.0), "cork", 18.0));
        check_longer(of(Some(3.2), Some(1.0), "cork", 13.0), plain);
        check_longer(plain, of(Some(3.7), Some(1.0), "cork", 13.0));
        check_longer(of(Some(3.45), Some(20.0), "cork", 13.0), plain);
        check_longer(of(Some(3.45), Some(1.0), "screw-cap", 13.0), plain);
        check_longer(plain, of(Some(3.45), Some(1.0), "synthetic", 13.0));
        check_longer(of(Some(3.45), Some(1.0), "keg", 13.0), plain);
    }

    // Common practice: a filled bag keeps six to twelve months. The band is wider by the doubt that every end has.
    #[test]
    fn a_bag_keeps_any_wine_for_months_and_ages_none() {
        for style in STYLES {
            let found = window(*style, Some(3.2), Some(1.0), BAG, CELLAR_C);
            assert!((0.5..=1.0).contains(&found.closes.value), "{found:?}");
            assert!(found.opens.abs() < f64::EPSILON);
        }
    }
}
