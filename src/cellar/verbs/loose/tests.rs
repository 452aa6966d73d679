//! Amounts and counts as people say them, and what is made of each.

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
    let check = |text: &str, expected: &str| assert_eq!(told(bottles(text)), expected, "{text}");
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
