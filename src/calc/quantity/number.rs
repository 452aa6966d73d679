//! The number at the head of what was typed: `1.5`, `0,5`, `1/4`, `1 1/2`, `½`, `-2`.

use super::Problem;

/// Splits typed text into its number and the unit behind it (lower case, without blanks).
///
/// A comma is a decimal comma. Where it could as well part thousands (`1,250`), `either_way` must say
/// that both readings come to the same, else the text is refused, since guessing wrong is a factor of 1000.
pub(super) fn split(text: &str, either_way: bool) -> Result<(f64, String), Problem> {
    let text = text.trim();
    if text.is_empty() {
        return Err(Problem::Empty);
    }
    let (sign, rest) = match text.strip_prefix(['-', '−', '+']) {
        Some(rest) if text.starts_with('+') => (1.0, rest),
        Some(rest) => (-1.0, rest),
        None => (1.0, text),
    };
    let (head, rest) = take_term(rest, either_way)?;
    let (more, rest) = take_fraction_after(head, rest)?;
    let unit: String = rest.chars().filter(|c| !c.is_whitespace()).collect();
    // Nought below nought is nought.
    let value = sign * (head.value + more) + 0.0;
    if !value.is_finite() {
        return Err(Problem::NotANumber);
    }
    Ok((value, unit.to_lowercase()))
}

#[derive(Clone, Copy)]
struct Term {
    value: f64,
    whole: bool,
}

/// One decimal number, fraction or vulgar fraction sign.
fn take_term(text: &str, either_way: bool) -> Result<(Term, &str), Problem> {
    if let Some((value, rest)) = take_vulgar(text) {
        return Ok((
            Term {
                value,
                whole: false,
            },
            rest,
        ));
    }
    let end = number_end(text);
    let (number, rest) = text.split_at(end);
    let whole = !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit());
    let value = decimal(number, either_way)?;
    match rest.trim_start().strip_prefix('/') {
        Some(after) if whole && after.trim_start().starts_with(|c: char| c.is_ascii_digit()) => {
            let after = after.trim_start();
            let end = after
                .find(|c: char| !c.is_ascii_digit())
                .unwrap_or(after.len());
            let (below, rest) = after.split_at(end);
            let below: f64 = below.parse().map_err(|_| Problem::NotANumber)?;
            if below == 0.0 {
                return Err(Problem::NotANumber);
            }
            Ok((
                Term {
                    value: value / below,
                    whole: false,
                },
                rest,
            ))
        }
        _ => Ok((Term { value, whole }, rest)),
    }
}

/// The fraction of a mixed number: the `1/2` of `1 1/2`, the `½` of `1½`.
fn take_fraction_after(head: Term, rest: &str) -> Result<(f64, &str), Problem> {
    let trimmed = rest.trim_start();
    if !head.whole {
        return Ok((0.0, rest));
    }
    if let Some((value, rest)) = take_vulgar(trimmed) {
        return Ok((value, rest));
    }
    if !trimmed.starts_with(|c: char| c.is_ascii_digit()) {
        return Ok((0.0, rest));
    }
    let (term, rest) = take_term(trimmed, false)?;
    if term.whole || term.value >= 1.0 {
        return Err(Problem::NotANumber);
    }
    Ok((term.value, rest))
}

fn take_vulgar(text: &str) -> Option<(f64, &str)> {
    let first = text.chars().next()?;
    let value = match first {
        '⅛' => 0.125,
        '¼' => 0.25,
        '⅓' => 1.0 / 3.0,
        '⅜' => 0.375,
        '½' => 0.5,
        '⅝' => 0.625,
        '⅔' => 2.0 / 3.0,
        '¾' => 0.75,
        '⅞' => 0.875,
        _ => return None,
    };
    Some((value, &text[first.len_utf8()..]))
}

/// Where the digits, points and commas end; `e` counts only inside an exponent such as `1e-3`.
fn number_end(text: &str) -> usize {
    let bytes = text.as_bytes();
    let mut end = 0;
    while end < bytes.len() {
        match bytes[end] {
            b'0'..=b'9' | b'.' | b',' => end += 1,
            b'e' | b'E' if end > 0 => {
                let sign = usize::from(matches!(bytes.get(end + 1), Some(b'-' | b'+')));
                let digits = bytes[end + 1 + sign..]
                    .iter()
                    .take_while(|b| b.is_ascii_digit())
                    .count();
                return if digits == 0 {
                    end
                } else {
                    end + 1 + sign + digits
                };
            }
            _ => break,
        }
    }
    end
}

fn decimal(number: &str, either_way: bool) -> Result<f64, Problem> {
    let commas = number.matches(',').count();
    if commas > 1 || (commas == 1 && number.contains('.')) {
        return Err(Problem::TwoSeparators);
    }
    if let Some((before, after)) = number.split_once(',') {
        let thousands = after.len() == 3 && (1..=3).contains(&before.len()) && before != "0";
        if thousands && !either_way {
            return Err(Problem::CommaEitherWay);
        }
    }
    let plain = number.replace(',', ".");
    match plain.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value),
        _ => Err(Problem::NotANumber),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(text: &str, expected: Result<(f64, &str), Problem>) {
        let read = split(text, false);
        assert_eq!(
            read,
            expected.map(|(value, unit)| (value, unit.to_owned())),
            "{text}"
        );
    }

    #[test]
    fn numbers_are_read_as_people_write_them() {
        check("5 gal", Ok((5.0, "gal")));
        check("750ml", Ok((750.0, "ml")));
        check("0,5 g", Ok((0.5, "g")));
        check("0,125", Ok((0.125, "")));
        check(".5", Ok((0.5, "")));
        check("5.", Ok((5.0, "")));
        check("1/4 tsp", Ok((0.25, "tsp")));
        check("1 1/2 tsp", Ok((1.5, "tsp")));
        check("½ tsp", Ok((0.5, "tsp")));
        check("1½tsp", Ok((1.5, "tsp")));
        check("-2C", Ok((-2.0, "c")));
        check("−2 °C", Ok((-2.0, "°c")));
        assert!(split("-0", false).is_ok_and(|it| it.0.is_sign_positive()));
        check("+3", Ok((3.0, "")));
        check("1e-3 g", Ok((1e-3, "g")));
        check("35 mg/L", Ok((35.0, "mg/l")));
        check("10 % mass", Ok((10.0, "%mass")));
    }

    #[test]
    fn what_is_no_number_is_refused() {
        check("", Err(Problem::Empty));
        check("   ", Err(Problem::Empty));
        check("NaN", Err(Problem::NotANumber));
        check("inf", Err(Problem::NotANumber));
        check("1e999", Err(Problem::NotANumber));
        check("1/0", Err(Problem::NotANumber));
        check("1.2.3", Err(Problem::NotANumber));
        check("--2", Err(Problem::NotANumber));
        check("1 2", Err(Problem::NotANumber));
        check("1,000.5", Err(Problem::TwoSeparators));
        check("1,250 g", Err(Problem::CommaEitherWay));
        assert_eq!(split("1,090", true), Ok((1.090, String::new())));
    }
}
