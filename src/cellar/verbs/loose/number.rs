//! Words for numbers as figures: `two dozen`, `half a litre`, `a couple`.

use super::plain;

/// Bottles in a case: 12 of 75 cL (common practice).
const CASE: f64 = 12.0;

/// Words for a number at the head, as figures: `half a teaspoon` is `0.5 teaspoon`.
pub(in crate::cellar::verbs) fn in_figures(text: &str) -> String {
    counted(&plain(text)).0
}

/// Words for numbers at the head, as figures; and how far "a couple" or "a few" may be off, as a
/// share of the figure.
pub(super) fn counted(text: &str) -> (String, Option<f64>) {
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
