//! Amounts and counts as people say them: `nearly full`, `20 to 22 L`, `a couple of litres`,
//! `two dozen`, `30?`, `not known`. Each becomes a figure with the span it may lie in, or is not
//! known; the spans are house estimates, wide rather than narrow.

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

/// Bottles in a case: 12 of 75 cL (common practice).
const CASE: f64 = 12.0;

/// How far a word such as "nearly" may lie from the part of a vessel it is said of, and a part said
/// plainly to either side: a vessel seen from the front shows no better (house estimates).
const BESIDE_A_PART: f64 = 0.15;
const AROUND_A_PART: f64 = 0.10;
/// The same for a figure in litres, as a share of it (house estimate).
const BESIDE_A_FIGURE: f64 = 0.07;

/// Which side of the figure the truth lies on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Hedge {
    Plain,
    About,
    Under,
    Over,
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

/// Sizes that have a name, mL (common practice).
const NAMED_SIZES: &[(&str, i64)] = &[
    (" half bottles", 375),
    (" half-bottles", 375),
    (" half bottle", 375),
    (" halves", 375),
    (" magnums", 1500),
    (" magnum", 1500),
];

/// `12 x 750`, `6 × 37.5 cl`, `9 halves`: how many, and the size of each in mL.
pub(super) fn bottles_of_size(text: &str) -> Option<(i64, i64)> {
    let text = plain(text).replace('×', "x");
    for (word, size_ml) in NAMED_SIZES {
        if let Some(many) = text.strip_suffix(word) {
            return Some((whole(&counted(many).0)? as i64, *size_ml));
        }
    }
    let (many, size) = text.split_once('x')?;
    let many = whole(many.trim())?;
    let size = size.trim().trim_end_matches(" bottles");
    let (figure, per) = if let Some(figure) = size.strip_suffix("cl") {
        (figure, 10.0)
    } else if let Some(figure) = size.strip_suffix("ml") {
        (figure, 1.0)
    } else if let Some(figure) = size.strip_suffix('l') {
        (figure, 1000.0)
    } else {
        // Without a unit 75 is centilitres, 750 millilitres, 1.5 litres.
        let number: f64 = size.parse().ok()?;
        let per = match number {
            it if it < 20.0 => 1000.0,
            it if it < 100.0 => 10.0,
            _ => 1.0,
        };
        (size, per)
    };
    let size_ml = figure.trim().parse::<f64>().ok()? * per;
    (20.0..=60_000.0)
        .contains(&size_ml)
        .then_some((many as i64, size_ml.round() as i64))
}

/// Reads a number of bottles.
pub(super) fn bottles(text: &str) -> Option<Loose> {
    let text = plain(text);
    if is_not_known(&text) {
        return Some(Loose::NotKnown);
    }
    let text = text
        .trim_end_matches(" bottles")
        .trim_end_matches(" bottle");
    let number = |it: &str| whole(it);
    // `2 cases and 3`.
    if let Some((lot, more)) = text
        .split_once(" and ")
        .or_else(|| text.split_once(" plus "))
        && names_a_lot(lot)
        && let (Some(Loose::Exactly(lot)), Some(Loose::Exactly(more))) =
            (bottles(lot), bottles(more))
    {
        return Some(Loose::Exactly(lot + more));
    }
    if let Some(span) = range(text, &number) {
        return Some(whole_span(span));
    }
    let (hedge, rest) = hedged(text);
    let rest = rest.trim_end_matches(" left").trim_end_matches(" bottles");
    if let Some(span) = range(rest, &number) {
        return Some(whole_span(span));
    }
    let (counted, width) = counted(rest);
    number(&counted).map(|it| whole_span(around(hedge, it, width.map(|w| w * it))))
}

/// Words for a number at the head, as figures: `half a teaspoon` is `0.5 teaspoon`.
pub(super) fn in_figures(text: &str) -> String {
    counted(&plain(text)).0
}

/// Whether it is said to lack a little, with nothing said of what it lacks.
fn is_a_bit_low(text: &str) -> bool {
    let rest = ["a bit ", "a little ", "slightly ", "somewhat "]
        .iter()
        .find_map(|it| text.strip_prefix(it));
    matches!(rest, Some("low" | "down" | "short" | "under" | "less"))
}

/// Whether the words name a case, whose size is then to be said.
pub(super) fn names_a_case(text: &str) -> bool {
    plain(text)
        .split(' ')
        .any(|it| matches!(it, "case" | "cases"))
}

/// Whether the words count by the case or dozen.
fn names_a_lot(text: &str) -> bool {
    text.split(' ')
        .any(|it| matches!(it, "case" | "cases" | "dozen" | "doz"))
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

/// The words around the figure, and the figure without them.
fn hedged(text: &str) -> (Hedge, String) {
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

/// Words for numbers at the head, as figures; and how far "a couple" or "a few" may be off, as a
/// share of the figure.
fn counted(text: &str) -> (String, Option<f64>) {
    if matches!(text, "a couple" | "couple") {
        return ("2".to_owned(), Some(0.25));
    }
    for (words, figure, width) in [
        ("a couple of ", "2 ", Some(0.25)),
        ("a couple ", "2 ", Some(0.25)),
        ("couple of ", "2 ", Some(0.25)),
        ("a few ", "3 ", Some(1.0 / 3.0)),
        ("half a ", "0.5 ", None),
        ("half an ", "0.5 ", None),
        ("one and a half ", "1.5 ", None),
        ("two and a half ", "2.5 ", None),
    ] {
        if let Some(rest) = text.strip_prefix(words) {
            let (rest, inner) = counted(&singular(rest, figure));
            return (rest, width.or(inner));
        }
    }
    if let Some((whole, unit)) = text.split_once(" and a half ")
        && let Some(number) = number_word(whole).or_else(|| whole.parse().ok())
    {
        return (format!("{} {unit}", number + 0.5), None);
    }
    let (head, tail) = text.split_once(' ').unwrap_or((text, ""));
    if let Some((number, more)) = number_word(head).map(|it| (it, tail)) {
        let (next, rest) = more.split_once(' ').unwrap_or((more, ""));
        if let Some(small) = number_word(next).filter(|it| number >= 20.0 && *it < 10.0) {
            return (singular(rest, &format!("{} ", number + small)), None);
        }
        // `a case and a half`.
        if let Some(unit) = more.strip_suffix(" and a half") {
            return (singular(unit, &format!("{} ", number + 0.5)), None);
        }
        return (singular(more, &format!("{number} ")), None);
    }
    (singular(text, ""), None)
}

/// Dozens and cases become their number; a unit stays as it is.
fn singular(rest: &str, figure: &str) -> String {
    let whole = format!("{figure}{rest}");
    let mut parts = whole.split(' ');
    let (Some(number), Some(unit), None) = (parts.next(), parts.next(), parts.next()) else {
        return whole.trim().to_owned();
    };
    let each = match unit {
        "dozen" | "dozens" | "doz" => 12.0,
        "case" | "cases" => CASE,
        "pair" | "pairs" => 2.0,
        _ => return whole.trim().to_owned(),
    };
    let number = if number == "½" {
        Some(0.5)
    } else {
        number.parse::<f64>().ok()
    };
    number.map_or_else(|| whole.clone(), |it| format!("{}", it * each))
}

fn number_word(word: &str) -> Option<f64> {
    const WORDS: &[(&str, f64)] = &[
        ("a", 1.0),
        ("an", 1.0),
        ("one", 1.0),
        ("two", 2.0),
        ("three", 3.0),
        ("four", 4.0),
        ("five", 5.0),
        ("six", 6.0),
        ("seven", 7.0),
        ("eight", 8.0),
        ("nine", 9.0),
        ("ten", 10.0),
        ("eleven", 11.0),
        ("twelve", 12.0),
        ("fifteen", 15.0),
        ("eighteen", 18.0),
        ("twenty", 20.0),
        ("thirty", 30.0),
        ("forty", 40.0),
        ("fifty", 50.0),
        ("sixty", 60.0),
        ("hundred", 100.0),
        ("dozen", 12.0),
        ("case", CASE),
    ];
    if let Some((_, number)) = WORDS.iter().find(|it| it.0 == word) {
        return Some(*number);
    }
    let (tens, ones) = word.split_once('-')?;
    let (tens, ones) = (number_word(tens)?, number_word(ones)?);
    (tens >= 20.0 && ones < 10.0).then_some(tens + ones)
}

fn around(hedge: Hedge, figure: f64, width: Option<f64>) -> Loose {
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

fn whole(text: &str) -> Option<f64> {
    let number: f64 = text.parse().ok()?;
    ((1.0..=1e6).contains(&number) && number.fract() == 0.0).then_some(number)
}

/// Bottles are whole; a middle between two is rounded up.
fn whole_span(loose: Loose) -> Loose {
    match loose {
        Loose::About(middle, span) => Loose::About(
            (middle + 0.5).floor(),
            span.map(|(low, high)| (low.floor(), high.ceil())),
        ),
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use leesline_calc::quantity::{Quantity, Units, parse};

    fn told(loose: Option<Loose>) -> String {
        let n = |it: f64| format!("{}", (it * 100.0).round() / 100.0);
        match loose {
            None => "not understood".to_owned(),
            Some(Loose::NotKnown) => "not known".to_owned(),
            Some(Loose::Exactly(it)) => n(it),
            Some(Loose::About(it, None)) => format!("about {}", n(it)),
            Some(Loose::About(it, Some((low, high)))) => {
                format!("about {} ({}-{})", n(it), n(low), n(high))
            }
            Some(Loose::Part(it, (low, high))) => {
                format!("{} of it ({}-{})", n(it), n(low), n(high))
            }
        }
    }

    #[test]
    fn a_volume_is_taken_as_people_say_it() {
        let units = Units::default();
        let check = |text: &str, expected: &str| {
            let said = volume(text, |it| parse(Quantity::Volume, it, &units).ok());
            assert_eq!(told(said), expected, "{text}");
        };
        check("22 L", "22");
        check("about 22 L", "about 22");
        check("~22", "about 22");
        check("22-ish", "about 22");
        check("22ish litres", "about 22");
        check("22 L or so", "about 22");
        check("roughly 22 litres", "about 22");
        check("22 L?", "about 22");
        check("20 to 22 L", "about 21 (20-22)");
        check("20-22 L", "about 21 (20-22)");
        check("20–22", "about 21 (20-22)");
        check("between 20 and 22 litres", "about 21 (20-22)");
        check("nearly 20 L", "about 19.3 (18.6-20)");
        check("just over 20 L", "about 20.7 (20-21.4)");
        check("20+ L", "about 20.7 (20-21.4)");
        check("a couple of litres", "about 2 (1.5-2.5)");
        check("a few litres", "about 3 (2-4)");
        check("a litre", "1");
        check("half a litre", "0.5");
        check("twenty litres", "20");
        check("twenty-two litres", "22");
        check("about five litres", "about 5");
        check("a litre and a half", "1.5");
        check("maybe 4 and a half litres", "about 4.5");
        check("all of it", "1 of it (0.95-1)");
        check("most of it", "0.8 of it (0.7-0.9)");
        check("full", "1 of it (0.95-1)");
        check("full to the bung", "1 of it (0.95-1)");
        check("brim full", "1 of it (0.95-1)");
        check("full to the brim", "1 of it (0.95-1)");
        check("a bit low", "0.93 of it (0.85-1)");
        check("a little down", "0.93 of it (0.85-1)");
        check("up to the neck", "1 of it (0.95-1)");
        check("nearly full", "0.93 of it (0.85-1)");
        check("almost full", "0.93 of it (0.85-1)");
        check("Nearly full.", "0.93 of it (0.85-1)");
        check("half", "0.5 of it (0.4-0.6)");
        check("half full", "0.5 of it (0.4-0.6)");
        check("about half", "0.5 of it (0.4-0.6)");
        check("a bit over half", "0.57 of it (0.5-0.65)");
        check("a bit less than half full", "0.43 of it (0.35-0.5)");
        check("three quarters", "0.75 of it (0.65-0.85)");
        check("3/4 full", "0.75 of it (0.65-0.85)");
        check("about two thirds", "0.67 of it (0.57-0.77)");
        check("a third", "0.33 of it (0.23-0.43)");
        check("80 %", "0.8 of it (0.7-0.9)");
        check("not known", "not known");
        check("?", "not known");
        check("no idea", "not known");
        check("blue", "not understood");
        check("20ltr", "20");
        check("about 20 ltrs", "about 20");
        check("a glass", "about 0.15 (0.1-0.2)");
        check("two glasses", "about 0.3 (0.2-0.4)");
        check("half a glass", "about 0.08 (0.05-0.1)");
        check("a bottle", "about 0.75");
        check("half a bottle", "about 0.38");
        check("2 bottles", "about 1.5");
        check("22 stone", "not understood");
        check("22 to 20 L", "not understood");
    }

    #[test]
    fn bottles_are_counted_as_people_count_them() {
        let check =
            |text: &str, expected: &str| assert_eq!(told(bottles(text)), expected, "{text}");
        check("40", "40");
        check("about 40", "about 40");
        check("40 bottles", "40");
        check("40-odd", "about 40");
        check("30?", "about 30");
        check("30ish", "about 30");
        check("30 or so", "about 30");
        check("a dozen", "12");
        check("a dozen or so", "about 12");
        check("two dozen", "24");
        check("3 dozen", "36");
        check("half a dozen", "6");
        check("about a dozen", "about 12");
        check("20-25", "about 23 (20-25)");
        check("20 to 25", "about 23 (20-25)");
        check("twenty", "20");
        check("1 case", "12");
        check("two cases", "24");
        check("a case and a half", "18");
        check("half a case", "6");
        check("2 cases and 3", "27");
        check("a dozen and two", "14");
        check("2 cases and some", "not understood");
        check("a couple", "about 2 (1-3)");
        check("about 20 left", "about 20");
        check("loads", "not known");
        check("some", "not known");
        check("a few", "not known");
        check("not counted", "not known");
        check("?", "not known");
        check("0", "not understood");
        check("2.5", "not understood");
        check("-3", "not understood");
    }

    #[test]
    fn a_count_may_say_the_size_of_each() {
        let check = |text: &str, expected| assert_eq!(bottles_of_size(text), expected, "{text}");
        check("12 x 750", Some((12, 750)));
        check("12x75cl", Some((12, 750)));
        check("6 × 37.5 cl", Some((6, 375)));
        check("3 x 1.5 L", Some((3, 1500)));
        check("3 x 1.5", Some((3, 1500)));
        check("6 x 75", Some((6, 750)));
        check("12", None);
        check("x 750", None);
        check("12 x 3 mL", None);
        check("9 halves", Some((9, 375)));
        check("two half bottles", Some((2, 375)));
        check("3 magnums", Some((3, 1500)));
        check("half a dozen", None);
        check("about 9 halves", None);
    }

    #[test]
    fn a_case_is_noticed() {
        assert!(names_a_case("1 case") && names_a_case("Two cases") && !names_a_case("12"));
    }
}
