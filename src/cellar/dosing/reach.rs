//! How far an answer may be off by what the book could only reckon: a forecast of free SO2, a powder's strength by its age.

use leesline_calc::Answer;
use leesline_calc::answer::{Assumption, FieldValue};
use leesline_calc::quantity::Units;
use leesline_calc::registry::Calculator;

/// The answer with one figure at its low end and at its high end, everything else as it was told; an end that
/// the calculator refuses says nothing.
#[derive(Debug)]
pub struct Reach(Vec<[Option<Answer>; 2]>);

impl Reach {
    /// For what was told, with each of those inputs at its ends.
    pub fn of<'a>(
        calculator: &Calculator,
        told: &[(&str, &str)],
        reckoned: impl IntoIterator<Item = (&'a str, (f64, f64))>,
        units: Units,
    ) -> Reach {
        let ends = reckoned.into_iter().map(|(key, (low, high))| {
            [low, high].map(|end| {
                let end = end.to_string();
                let told = told
                    .iter()
                    .map(|(it, text)| (*it, if *it == key { end.as_str() } else { *text }));
                calculator.ask(&told.collect::<Vec<_>>(), &units).ok()
            })
        });
        Reach(ends.collect())
    }

    /// For what was taken of the book and has a spread.
    pub fn of_taken(
        calculator: &Calculator,
        told: &[(&str, &str)],
        taken: &[Assumption],
        units: Units,
    ) -> Reach {
        let reckoned = taken
            .iter()
            .filter_map(|it| Some((it.key, (it.low?, it.high?))));
        Reach::of(calculator, told, reckoned, units)
    }

    /// Low and high of a result; `None` where nothing is open.
    ///
    /// The calculator's own spread and that of each figure are independent, so that the differences are added as squares on
    /// either side (textbook propagation of error).
    pub fn band(&self, answer: &Answer, key: &str) -> Option<(f64, f64)> {
        let value = answer.number(key)?;
        let own = |end: &str| answer.number(&format!("{key}_{end}")).unwrap_or(value);
        let mut down = (value - own("low")).powi(2);
        let mut up = (own("high") - value).powi(2);
        for ends in &self.0 {
            let at = |end: &Option<Answer>| end.as_ref().and_then(|it| it.number(key));
            let off = ends.each_ref().map(|it| at(it).unwrap_or(value) - value);
            down += off.iter().copied().fold(0.0, f64::min).powi(2);
            up += off.iter().copied().fold(0.0, f64::max).powi(2);
        }
        let (low, high) = ((value - down.sqrt()).max(0.0), value + up.sqrt());
        (high > low).then_some((low, high))
    }

    /// Widens the bands that the answer has.
    pub fn widen(&self, answer: &mut Answer) {
        let keys = answer.results.iter().filter_map(|(key, it)| match it {
            FieldValue::Number(_) => key.strip_suffix("_low").map(str::to_owned),
            _ => None,
        });
        // What is open above has no band.
        let bands = keys.filter_map(|key| {
            answer.number(&format!("{key}_high"))?;
            let (low, high) = self.band(answer, &key)?;
            Some((key, low, high))
        });
        for (key, low, high) in bands.collect::<Vec<_>>() {
            answer.result(&format!("{key}_low"), low);
            answer.result(&format!("{key}_high"), high);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use leesline_calc::registry::find;

    /// The band of the dose for 22.7 L at 12 mg/L that are to have 26, as shares of the dose.
    fn check(reckoned: &[(&str, (f64, f64))], expected: (f64, f64)) {
        let told = [
            ("volume_l", "22.7"),
            ("free_so2_mg_l", "12"),
            ("target_free_so2_mg_l", "26"),
            ("potency_pct", "80"),
            ("bound_fraction", "0.3333"),
        ];
        let (calculator, units) = (find("sulfite-dose").unwrap(), Units::default());
        let answer = calculator.ask(&told, &units).unwrap();
        let reach = Reach::of(calculator, &told, reckoned.iter().copied(), units);
        let value = answer.number("metabisulfite_g").unwrap();
        let share = |it: f64| (it / value * 1e4).round() / 1e4;
        let (low, high) = reach.band(&answer, "metabisulfite_g").unwrap();
        assert_eq!((share(low), share(high)), expected);
    }

    // A dose goes as what is missing: of 14 mg/L, 10 where 16 are there and 18 where 8 are.
    // And it goes as one over the strength: at 80 %, eight tenths of it at 100 and eight sevenths at 70.
    #[test]
    fn what_is_reckoned_widens_the_dose_as_squares_add_up() {
        let free = ("free_so2_mg_l", (8.0, 16.0));
        let strength = ("potency_pct", (70.0, 100.0));
        let (down, up) = (4.0_f64 / 14.0, 4.0_f64 / 14.0);
        let round = |it: f64| (it * 1e4).round() / 1e4;
        check(&[free], (round(1.0 - down), round(1.0 + up)));
        check(&[strength], (0.8, round(8.0 / 7.0)));
        let (down, up) = (down.hypot(0.2), up.hypot(1.0 / 7.0));
        check(&[free, strength], (round(1.0 - down), round(1.0 + up)));
    }
}
