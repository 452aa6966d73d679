//! What a working says comes out: each of its sums is reckoned again from the figures it prints.

use leesline_calc::quantity::Units;
use leesline_calc::registry::CALCULATORS;

/// Ends of what a printed figure may stand for: half a unit of its last place either way.
type Ends = (f64, f64);

fn ends(of: &[f64]) -> Ends {
    (
        of.iter().copied().fold(f64::INFINITY, f64::min),
        of.iter().copied().fold(f64::NEG_INFINITY, f64::max),
    )
}

/// The figure a text begins with, what it may stand for, and the rest.
fn figure(text: &str) -> Option<(Ends, &str)> {
    let end = text
        .find(|c: char| !c.is_ascii_digit() && c != '.')
        .unwrap_or(text.len());
    let digits = text[..end].trim_end_matches('.');
    let value: f64 = digits.parse().ok()?;
    let off = match digits.split_once('.') {
        Some((_, decimals)) => 0.5 * 0.1_f64.powi(i32::try_from(decimals.len()).ok()?),
        // Small counts and powers of ten are meant as they stand.
        None if [1.0, 2.0, 3.0, 4.0, 10.0, 100.0, 1000.0].contains(&value) => 0.0,
        None => 0.5,
    };
    Some(((value - off, value + off), &text[digits.len()..]))
}

/// A sum of products of figures, brackets and powers of ten; `None` where anything else stands in it.
struct Sum<'a>(&'a str);

impl Sum<'_> {
    /// Passes over blanks and units, which begin with a letter, `%` or `°` and have no blank in them.
    fn skip(&mut self) {
        self.0 = self.0.trim_start();
        while self
            .0
            .starts_with(|c: char| c.is_ascii_alphabetic() || "µ°%".contains(c))
        {
            let end = self.0.find([' ', ')', '(']).unwrap_or(self.0.len());
            self.0 = self.0[end..].trim_start();
        }
    }

    fn take(&mut self, sign: char) -> bool {
        self.skip();
        self.0
            .strip_prefix(sign)
            .map(|rest| self.0 = rest)
            .is_some()
    }

    fn sum(&mut self) -> Option<Ends> {
        let mut all = self.product()?;
        loop {
            if self.take('+') {
                let (low, high) = self.product()?;
                all = (all.0 + low, all.1 + high);
            } else if self.take('−') {
                let (low, high) = self.product()?;
                all = (all.0 - high, all.1 - low);
            } else {
                return Some(all);
            }
        }
    }

    fn product(&mut self) -> Option<Ends> {
        let mut all = self.factor()?;
        loop {
            let by = if self.take('×') {
                self.factor()?
            } else if self.take('/') {
                let (low, high) = self.factor()?;
                if low <= 0.0 && high >= 0.0 {
                    return None;
                }
                (1.0 / high, 1.0 / low)
            } else {
                return Some(all);
            };
            let corners = [all.0 * by.0, all.0 * by.1, all.1 * by.0, all.1 * by.1];
            all = ends(&corners);
        }
    }

    fn factor(&mut self) -> Option<Ends> {
        if self.take('−') {
            let (low, high) = self.factor()?;
            return Some((-high, -low));
        }
        let base = if self.take('(') {
            let inside = self.sum()?;
            self.take(')').then_some(inside)?
        } else {
            let (ends, rest) = figure(self.0)?;
            self.0 = rest;
            ends
        };
        if self.take('^') {
            let power = self.factor()?;
            if base.0 <= 0.0 {
                return None;
            }
            let corners = [power.0, power.1].map(|power| [base.0.powf(power), base.1.powf(power)]);
            return Some(ends(corners.as_flattened()));
        }
        Some(base)
    }
}

/// Whether two figures may stand for the same.
fn meets(one: Ends, other: Ends) -> bool {
    one.0 <= other.1 + 1e-9 && other.0 <= one.1 + 1e-9
}

/// The sums in a sentence, each with what it says it comes to.
fn sums(sentence: &str) -> Vec<(&str, Ends, Ends)> {
    let mut found = Vec::new();
    let places: Vec<usize> = sentence.match_indices(" = ").map(|(at, _)| at).collect();
    for at in places {
        let before = &sentence[..at];
        let start = [", ", ": ", "; ", " = ", " is ", "and "]
            .iter()
            .filter_map(|joint| before.rfind(joint).map(|at| at + joint.len()))
            .max()
            .unwrap_or(0);
        let mut left = Sum(&before[start..]);
        // Litres and millilitres in one sum, or per cent among the factors, would have to be brought to one unit first.
        let mixed = [" L ", " mL "]
            .iter()
            .all(|unit| format!("{} ", &before[start..]).contains(unit))
            || before[start..]
                .replace("% vol", "")
                .replace("% mass", "")
                .contains('%');
        let Some(ours) = left.sum().filter(|_| !mixed) else {
            continue;
        };
        left.skip();
        let mut right = Sum(&sentence[at + 3..]);
        let minus = right.take('−') || right.take('-');
        right.take('+');
        let (true, Some((low, high))) = (left.0.is_empty(), figure(right.0).map(|it| it.0)) else {
            continue;
        };
        let says = if minus { (-high, -low) } else { (low, high) };
        // A part of one may be said in per cent, which `% vol` is not.
        let after = figure(right.0).map_or("", |it| it.1).trim_start();
        let is_part =
            after.starts_with('%') && !after.starts_with("% vol") && !after.starts_with("% mass");
        let says = if is_part && ours.1 <= 1.0 {
            (says.0 / 100.0, says.1 / 100.0)
        } else {
            says
        };
        if [" + ", " − ", " × ", " / "]
            .iter()
            .any(|sign| before[start..].contains(sign))
        {
            // Where the unit is another than the factors', thousandths or millionths of it may be meant.
            let unit = after.split([' ', ':', ';', ',']).next().unwrap_or_default();
            let same = unit.is_empty() || before[start..].split_whitespace().any(|it| it == unit);
            let scales: &[f64] = if same { &[1.0] } else { &[1.0, 1e3, 1e-3, 1e6] };
            let scale = scales
                .iter()
                .find(|scale| meets(ours, (says.0 / **scale, says.1 / **scale)));
            let scale = scale.unwrap_or(&1.0);
            found.push((&sentence[start..], ours, (says.0 / scale, says.1 / scale)));
        }
    }
    found
}

#[test]
fn the_sums_of_a_working_come_out() {
    let (mut checked, mut of) = (0, 0);
    for calculator in CALCULATORS {
        let answer = calculator
            .ask(calculator.example, &Units::default())
            .expect("an example is answered");
        for step in &answer.working {
            of += step.sentence.matches(" = ").count();
            for (sum, ours, says) in sums(&step.sentence) {
                assert!(
                    meets(ours, says),
                    "{}: {sum}: it is {ours:?}",
                    calculator.name
                );
                checked += 1;
            }
        }
    }
    println!("{checked} sums of {of} reckoned again");
    assert!(checked >= 75, "only {checked} of {of} could be read");
}

#[test]
fn a_sum_that_does_not_come_out_is_seen() {
    let off = |sentence| {
        sums(sentence)
            .iter()
            .any(|(_, ours, says)| !meets(*ours, *says))
    };
    assert!(!off("0.8 × (1 + 10^(3.40 − 1.810)) = 31.9 mg/L"));
    assert!(off("0.8 × (1 + 10^(3.40 − 1.810)) = 36.9 mg/L"));
    assert!(off("23.00 L × 2.00 g/L = 45.00 g"));
}
