//! The words around a figure that say how far, and to which side, the truth lies from it.

use super::Loose;

/// How far a word such as "nearly" may lie from a figure, as a share of it (house estimate).
const BESIDE_A_FIGURE: f64 = 0.07;

/// Which side of the figure the truth lies on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Hedge {
    Plain,
    About,
    Under,
    Over,
}

/// The words around the figure, and the figure without them.
pub(super) fn hedged(text: &str) -> (Hedge, String) {
    let mut hedge = Hedge::Plain;
    let mut rest = text.to_owned();
    loop {
        let before = BEFORE
            .iter()
            .find_map(|(word, it)| Some((*it, rest.strip_prefix(word)?.to_owned())));
        let behind = || {
            BEHIND
                .iter()
                .find_map(|(word, it)| Some((*it, rest.strip_suffix(word)?.trim_end().to_owned())))
        };
        // `22-ish L`, `20+ L`: the word stands between the figure and its unit.
        let between = || {
            ["-ish ", "ish ", "-odd ", " odd ", "+ ", "? "]
                .iter()
                .find_map(|word| {
                    let (figure, unit) = rest.split_once(word)?;
                    let is_figure = figure.ends_with(|c: char| c.is_ascii_digit());
                    let it = if *word == "+ " {
                        Hedge::Over
                    } else {
                        Hedge::About
                    };
                    is_figure.then(|| (it, format!("{figure} {unit}")))
                })
        };
        let Some((found, shorter)) = before.or_else(behind).or_else(between) else {
            return (hedge, rest);
        };
        // The first that says a side stands: `about nearly full` is nearly full.
        if matches!(hedge, Hedge::Plain | Hedge::About) {
            hedge = found;
        }
        rest = shorter;
    }
}

pub(super) fn around(hedge: Hedge, figure: f64, width: Option<f64>) -> Loose {
    let beside = figure * BESIDE_A_FIGURE;
    match (hedge, width) {
        (_, Some(width)) => Loose::About(figure, Some((figure - width, figure + width))),
        (Hedge::Plain, None) => Loose::Exactly(figure),
        (Hedge::About, None) => Loose::About(figure, None),
        (Hedge::Under, None) => {
            Loose::About(figure - beside / 2.0, Some((figure - beside, figure)))
        }
        (Hedge::Over, None) => Loose::About(figure + beside / 2.0, Some((figure, figure + beside))),
    }
}

const BEFORE: &[(&str, Hedge)] = &[
    ("a bit less than ", Hedge::Under),
    ("a little less than ", Hedge::Under),
    ("slightly less than ", Hedge::Under),
    ("a bit under ", Hedge::Under),
    ("a bit below ", Hedge::Under),
    ("a little under ", Hedge::Under),
    ("slightly under ", Hedge::Under),
    ("just under ", Hedge::Under),
    ("just below ", Hedge::Under),
    ("less than ", Hedge::Under),
    ("not quite ", Hedge::Under),
    ("nearly ", Hedge::Under),
    ("almost ", Hedge::Under),
    ("under ", Hedge::Under),
    ("a bit more than ", Hedge::Over),
    ("a little more than ", Hedge::Over),
    ("slightly more than ", Hedge::Over),
    ("a bit over ", Hedge::Over),
    ("a bit above ", Hedge::Over),
    ("a little over ", Hedge::Over),
    ("slightly over ", Hedge::Over),
    ("just over ", Hedge::Over),
    ("just above ", Hedge::Over),
    ("more than ", Hedge::Over),
    ("at least ", Hedge::Over),
    ("a good ", Hedge::Over),
    ("over ", Hedge::Over),
    ("approximately ", Hedge::About),
    ("somewhere around ", Hedge::About),
    ("something like ", Hedge::About),
    ("more or less ", Hedge::About),
    ("probably ", Hedge::About),
    ("close to ", Hedge::About),
    ("perhaps ", Hedge::About),
    ("roughly ", Hedge::About),
    ("approx. ", Hedge::About),
    ("approx ", Hedge::About),
    ("around ", Hedge::About),
    ("about ", Hedge::About),
    ("circa ", Hedge::About),
    ("maybe ", Hedge::About),
    ("some ", Hedge::About),
    ("say ", Hedge::About),
    ("ca. ", Hedge::About),
    ("ca ", Hedge::About),
    ("c. ", Hedge::About),
    ("~", Hedge::About),
    ("≈", Hedge::About),
];

const BEHIND: &[(&str, Hedge)] = &[
    (" or thereabouts", Hedge::About),
    (" give or take", Hedge::About),
    (", i think", Hedge::About),
    (" i think", Hedge::About),
    (" approx", Hedge::About),
    (" roughly", Hedge::About),
    (" maybe", Hedge::About),
    (" or so", Hedge::About),
    ("-ish", Hedge::About),
    (" ish", Hedge::About),
    ("ish", Hedge::About),
    ("-odd", Hedge::About),
    (" odd", Hedge::About),
    (" plus", Hedge::Over),
    ("+", Hedge::Over),
    ("?", Hedge::About),
];
