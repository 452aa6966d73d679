//! What cannot be is refused whichever verb it is typed with, and what is unlikely wants a yes.

use super::*;

/// A carboy marked 23 L, a bucket with 22 L in it, and a vat whose size nobody wrote down.
fn cellar() -> Cellar {
    let mut cellar = Cellar::new();
    cellar.write("vessel add", &[("name", "Carboy A"), ("mark", "23 L")]);
    cellar.write("vessel add", &[("name", "Vat")]);
    let bucket = [("name", "Bucket"), ("mark", "30 L"), ("amount", "22 L")];
    cellar.write("here", &bucket);
    cellar
}

/// What comes of a line of verb and pairs: refused with these words, asked with `?` before them, or taken.
#[track_caller]
fn check(verb: &str, pairs: &[(&str, &str)], expected: &str) {
    let said = match cellar().prepare(verb, pairs) {
        Err(refusal) => format!("refused: {refusal}"),
        Ok(prepared) => prepared
            .loses
            .map_or_else(|| "taken".to_owned(), |it| format!("asked: {it}")),
    };
    let (outcome, words) = expected.split_once(": ").unwrap_or((expected, ""));
    assert!(
        said.starts_with(outcome) && said.contains(words),
        "{verb} {pairs:?}: {said}"
    );
}

#[test]
fn no_vessel_takes_far_more_than_its_mark() {
    let far = "refused: Carboy A is marked 23.0 L, holds 0.0 L and can't take 4000.0 L";
    check("here", &[("name", "Carboy A"), ("amount", "4000 L")], far);
    check("adjust", &[("place", "Carboy A"), ("level", "4000 L")], far);
    check(
        "receive",
        &[("into", "Carboy A"), ("amount", "4000 L")],
        far,
    );
    check(
        "rack",
        &[("from", "Bucket"), ("to", "Carboy A=4000 L")],
        far,
    );
    let new = [("name", "Jug"), ("mark", "5 L"), ("amount", "50 L")];
    check("here", &new, "refused: Jug is marked 5.0 L");
    check("adjust", &[("place", "Bucket"), ("level", "24 L")], "taken");
    check("adjust", &[("place", "Bucket"), ("level", "2 L")], "taken");
    check("here", &[("name", "Carboy A"), ("amount", "22 L")], "taken");
}

#[test]
fn the_sizes_of_a_vessel_agree_with_each_other_and_with_what_it_holds() {
    let change = |vessel: &str, field: &str, size: &str, expected: &str| {
        check(
            "vessel change",
            &[("vessel", vessel), (field, size)],
            expected,
        );
    };
    change("Carboy A", "brim", "4000 L", "refused: far above the mark");
    change("Carboy A", "brim", "20 L", "refused: is below the mark");
    change("Carboy A", "brim", "23.8 L", "taken");
    change("Carboy A", "mark", "0 L", "refused: is no size of a vessel");
    change("Carboy A", "mark", "5 gal", "taken");
    change("Bucket", "mark", "2 L", "refused: holds 22.0 L by the book");
    change("Vat", "mark", "9000 L", "asked: a winery's");
    change("Vat", "mark", "225 L", "taken");
}

#[test]
fn what_no_household_has_is_asked_about() {
    let receive = |amount| [("into", "Vat"), ("amount", amount), ("batch", "Plum")];
    check(
        "receive",
        &receive("4000 L"),
        "asked: Vat would hold 4000.0 L",
    );
    check("receive", &receive("600 L"), "taken");
    let bottles = |count| [("name", "Elder 24"), ("bottles", count)];
    check("here", &bottles("99999"), "asked: 99999 bottles");
    check("here", &bottles("900"), "taken");
    let buy = |amount| [("substance", "sulfite"), ("amount", amount)];
    check("buy", &buy("9000 kg"), "asked: 9000 kg");
    check("buy", &buy("1 kg"), "taken");
    let fruit = |weight| [("into", "Carboy A"), ("amount", "20 L"), ("fruit", weight)];
    check("receive", &fruit("5000 kg"), "asked: 250000 g/L");
    check("receive", &fruit("25 kg"), "taken");
    let oak = |amount, days| [("place", "Bucket"), ("amount", amount), ("days", days)];
    check("oak in", &oak("5 kg", "14"), "asked: 227 g/L");
    check("oak in", &oak("50 g", "14"), "taken");
    check("oak in", &oak("50 g", "99999"), "refused: longer than any");
}

#[test]
fn what_is_to_come_is_no_deed_and_a_plan_is_named() {
    let note = [("about", "Bucket"), ("note", "hello"), ("at", "2027-11-25")];
    check("note", &note, "refused: leesline plan add");
    let opened = [("substance", "sulfite"), ("opened", "2028-01-01")];
    check("buy", &opened, "refused: leave --opened out");
}
