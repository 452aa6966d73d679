//! Amounts and counts as people say them: `nearly full`, `20 to 22 L`, `a couple of litres`,
//! `two dozen`, `30?`, `not known`. Each becomes a figure with the span it may lie in, or is not
//! known; the spans are house estimates, wide rather than narrow.

mod count;
mod hedge;
mod number;
#[cfg(test)]
mod tests;

use hedge::{Hedge, around, hedged};
use number::counted;

pub(super) use count::{bottles, bottles_of_size, names_a_case};
pub(super) use number::in_figures;

/// What was said, as far as it is a figure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Loose {
    /// Exactly that.
    Exactly(f64),
    /// About that, with the span it may lie in where the words say more than "about".
    About(f64, Option<(f64, f64)>),
    /// That much of the whole, 0–1: the middle and the span.
    Part(f64, (f64, f64)),
    /// Said to be not known.
    NotKnown,
}

/// Reads a volume in litres. `litres` reads a plain figure with its unit, such as `22 L`.
pub(super) fn volume(text: &str, litres: impl Fn(&str) -> Option<f64>) -> Option<Loose> {
    let text = with_usual_unit(&plain(text));
    if is_not_known(&text) {
        return Some(Loose::NotKnown);
    }
    if is_a_bit_low(&text) {
        return part(Hedge::Under, "full");
    }
    if let Some(vessel) = drinking_measure(&text) {
        return Some(vessel);
    }
    // Before litres: `3/4` of a carboy is no cup.
    if let Some(part) = part(Hedge::Plain, &text) {
        return Some(part);
    }
    if let Some(exact) = litres(&text) {
        return Some(Loose::Exactly(exact));
    }
    if let Some(span) = range(&text, &litres) {
        return Some(span);
    }
    let (hedge, rest) = hedged(&text);
    if let Some(part) = part(hedge, &rest) {
        return Some(part);
    }
    if let Some(span) = range(&rest, &litres) {
        return Some(span);
    }
    let (counted, width) = counted(&rest);
    litres(&counted).map(|it| around(hedge, it, width.map(|w| w * it)))
}

/// A glass and a bottle as so many litres: a glass poured at home is 100 to 200 mL (house estimate),
/// a bottle is 75 cL (common practice).
fn drinking_measure(text: &str) -> Option<Loose> {
    const GLASS: (f64, f64) = (0.1, 0.2);
    const BOTTLE: f64 = 0.75;
    let (hedge, rest) = hedged(text);
    let halved = ["half a ", "half ", "½ "]
        .iter()
        .find_map(|it| rest.strip_prefix(it));
    let (many, what) = if let Some(what) = halved {
        (0.5, what.to_owned())
    } else {
        let (counted, _) = counted(&rest);
        let (many, what) = counted.split_once(' ')?;
        (many.parse::<f64>().ok()?, what.to_owned())
    };
    let many = (many > 0.0).then_some(many)?;
    match what.as_str() {
        "glass" | "glasses" | "wine glass" | "wine glasses" | "glassful" => {
            let span = (many * GLASS.0, many * GLASS.1);
            Some(Loose::About(
                many * f64::midpoint(GLASS.0, GLASS.1),
                Some(span),
            ))
        }
        "bottle" | "bottles" => match around(hedge, many * BOTTLE, None) {
            Loose::Exactly(litres) => Some(Loose::About(litres, None)),
            loose => Some(loose),
        },
        _ => None,
    }
}

/// Ways to write litres that no measure's table has: `20ltr`, `20 lts`.
fn with_usual_unit(text: &str) -> String {
    for unit in ["ltrs", "ltr", "lts", "lt"] {
        let figure = text.strip_suffix(unit).map(str::trim_end);
        if let Some(figure) =
            figure.filter(|it| it.ends_with(|c: char| c.is_ascii_digit() || c == 'h'))
        {
            return format!("{figure} L");
        }
    }
    text.to_owned()
}

/// How far a word such as "nearly" may lie from the part of a vessel it is said of, and a part said
/// plainly to either side: a vessel seen from the front shows no better (house estimates).
const BESIDE_A_PART: f64 = 0.15;
const AROUND_A_PART: f64 = 0.10;

/// A part of the vessel: `half full`, `up to the neck`, `two thirds`, `80 %`.
fn part(hedge: Hedge, text: &str) -> Option<Loose> {
    let bare = text
        .trim_end_matches(" of it")
        .trim_end_matches(" left")
        .trim_end_matches(" full")
        .trim_start_matches("a ");
    let percent = || {
        let figure = bare
            .strip_suffix('%')
            .or_else(|| bare.strip_suffix(" percent"))?;
        let number: f64 = figure.trim().parse().ok()?;
        (0.0..=100.0).contains(&number).then_some(number / 100.0)
    };
    let part = match bare {
        "full" | "all" | "brim" | "chock" | "brimming" | "full up" | "full to the bung"
        | "full to the neck" | "full to the top" | "to the bung" | "up to the bung"
        | "full to the brim" | "to the brim" | "to the neck" | "up to the neck"
        | "up to the brim" | "to the top" | "up to the top" | "to the shoulder"
        | "up to the shoulder" | "brim-full" | "brimful" | "topped up" | "to the mark"
        | "up to the mark" | "quite" | "all of it" | "into the neck" | "filled" => 1.0,
        "most" => 0.8,
        "half" | "one half" | "1/2" | "½" | "halfway" | "half way" => 0.5,
        "third" | "one third" | "1/3" => 1.0 / 3.0,
        "two thirds" | "two-thirds" | "2/3" => 2.0 / 3.0,
        "quarter" | "one quarter" | "1/4" | "¼" => 0.25,
        "three quarters" | "three-quarters" | "three quarter" | "3/4" | "¾" => 0.75,
        _ => percent()?,
    };
    let (middle, low, high) = match (hedge, part) {
        (Hedge::Under, _) => (part - BESIDE_A_PART / 2.0, part - BESIDE_A_PART, part),
        (Hedge::Over, _) if part < 1.0 => (part + BESIDE_A_PART / 2.0, part, part + BESIDE_A_PART),
        (_, 1.0) => (1.0, 0.95, 1.0),
        _ => (part, part - AROUND_A_PART, part + AROUND_A_PART),
    };
    let within = |it: f64| it.clamp(0.0, 1.0);
    Some(Loose::Part(within(middle), (within(low), within(high))))
}

/// Whether it is said to lack a little, with nothing said of what it lacks.
fn is_a_bit_low(text: &str) -> bool {
    let rest = ["a bit ", "a little ", "slightly ", "somewhat "]
        .iter()
        .find_map(|it| text.strip_prefix(it));
    matches!(rest, Some("low" | "down" | "short" | "under" | "less"))
}

/// Two figures with something between them; the first borrows the unit of the second.
fn range(text: &str, read: &impl Fn(&str) -> Option<f64>) -> Option<Loose> {
    let text = text.strip_prefix("between ").unwrap_or(text);
    let text = text.strip_prefix("from ").unwrap_or(text);
    [" to ", " and ", " or ", " - ", "-", "–", ".."]
        .iter()
        .find_map(|between| {
            let (low, high) = text.split_once(between)?;
            let (low, high) = (low.trim(), high.trim());
            let unit =
                high.trim_start_matches(|c: char| c.is_ascii_digit() || ".,/ ½¼¾".contains(c));
            let high = read(high)?;
            let bare = low.ends_with(|c: char| c.is_ascii_digit());
            let low = if bare {
                read(format!("{low} {unit}").trim())?
            } else {
                read(low)?
            };
            (0.0 <= low && low < high)
                .then(|| Loose::About(f64::midpoint(low, high), Some((low, high))))
        })
}

/// Small letters, single blanks, no full stop.
fn plain(text: &str) -> String {
    let lower = text.to_lowercase().replace('’', "'");
    let words: Vec<&str> = lower.split_whitespace().collect();
    words.join(" ").trim_end_matches('.').to_owned()
}

fn is_not_known(text: &str) -> bool {
    matches!(
        text,
        "?" | "??"
            | "???"
            | "not known"
            | "unknown"
            | "not measured"
            | "not counted"
            | "uncounted"
            | "no idea"
            | "dunno"
            | "don't know"
            | "dont know"
            | "do not know"
            | "not sure"
            | "unsure"
            | "some"
            | "a few"
            | "a lot"
            | "lots"
            | "many"
            | "several"
            | "some bottles"
            | "a few bottles"
            | "not known yet"
            | "loads"
            | "plenty"
            | "tons"
            | "who knows"
            | "i don't know"
    )
}
