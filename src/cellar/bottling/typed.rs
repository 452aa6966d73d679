//! What is typed of wine that goes past the bottles, read alike at the spout and on the command line.

use leesline_calc::quantity::{Quantity, Units, parse};

/// The most that is taken for one spill or one sample, mL: a slip of unit is larger.
const MOST_ML: f64 = 1e6;

/// A volume as typed, in whole mL; a bare number is mL, and one below nought is taken back.
pub fn millilitres(text: &str, units: &Units) -> Result<i64, String> {
    let ml = parse(Quantity::SmallVolume, text.trim(), units).map_err(|it| format!("{it}."))?;
    let ml = ml.round();
    if !(1.0..=MOST_ML).contains(&ml.abs()) {
        return Err(format!(
            "`{}` is outside 1 mL to 1000 L; check the number and its unit.",
            text.trim()
        ));
    }
    Ok(ml as i64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_volume_is_read_with_its_unit_and_a_bare_number_is_millilitres() {
        let check = |text: &str, expected: i64| {
            assert_eq!(millilitres(text, &Units::default()), Ok(expected), "{text}");
        };
        check("100", 100);
        check("0.2 L", 200);
        check("0,2l", 200);
        check("150 mL", 150);
        check(" -250 mL ", -250);
        check("2 cL", 20);
    }

    #[test]
    fn what_is_no_volume_is_refused() {
        let check = |text: &str, words: &str| {
            let said = millilitres(text, &Units::default()).unwrap_err();
            assert!(said.contains(words), "{text}: {said}");
        };
        check("0", "outside 1 mL to 1000 L");
        check("2000 L", "outside 1 mL to 1000 L");
        check("a glass", "a glass");
        check("0.2 kg", "0.2 kg");
        check("", "");
    }
}
