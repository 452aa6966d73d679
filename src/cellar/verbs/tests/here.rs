//! What is in the cellar already, with as little as is known of it.

use super::*;

#[test]
fn what_the_cellar_holds_already_needs_a_name_and_about_how_much() {
    let mut cellar = Cellar::new();
    cellar.check(
        "here",
        &[
            ("name", "Carboy B"),
            ("holds", "Solaris 25"),
            ("amount", "about 22 L"),
        ],
        "Carboy B is here and holds about 22.0 L of Solaris 25.",
    );
    cellar.write(
        "here",
        &[
            ("name", "Carboy B"),
            ("holds", "Solaris 25"),
            ("amount", "about 22 L"),
        ],
    );
    cellar.holds(&[("Carboy B", 22.0)]);
    let carboy = cellar.snapshot.find(Sort::Vessel, "Carboy B").unwrap();
    assert_eq!(carboy.vessel_kind().word(), "carboy");
    assert!(cellar.snapshot.wine(carboy.key).unwrap().about);
    cellar.check(
        "here",
        &[
            ("name", "Plum 25"),
            ("bottles", "about 40"),
            ("where", "shelf 2"),
        ],
        "About 40 bottles of Plum 25 are here.",
    );
}

#[test]
fn how_much_a_vessel_holds_is_taken_in_any_words() {
    let cellar = Cellar::new();
    let check = |mark: &str, amount: &str, expected: &str| {
        let pairs = [
            ("name", "A"),
            ("holds", "Damson"),
            ("mark", mark),
            ("amount", amount),
        ];
        cellar.check("here", &pairs, &format!("A is here and holds {expected}"));
    };
    check("20 L", "", "about 20.0 L of Damson.");
    check("20 L", "full", "about 20.0 L (19.0 L to 20.0 L) of Damson.");
    check(
        "20 L",
        "nearly full",
        "about 18.5 L (17.0 L to 20.0 L) of Damson.",
    );
    check("20 L", "half", "about 10.0 L (8.0 L to 12.0 L) of Damson.");
    check(
        "20 L",
        "a bit over half",
        "about 11.5 L (10.0 L to 13.0 L) of Damson.",
    );
    check(
        "",
        "20 to 22 L",
        "about 21.0 L (20.0 L to 22.0 L) of Damson.",
    );
    check(
        "",
        "a couple of litres",
        "about 2.0 L (1.5 L to 2.5 L) of Damson.",
    );
    let later = "Damson, amount not known; `adjust` sets it.";
    check("20 L", "?", later);
    check("", "not known", later);
    check("", "", later);
    check("", "half", later);
    cellar.check_asks(
        "here",
        &[("name", "A"), ("holds", "Damson"), ("amount", "half")],
        &["`half` of a vessel whose size the book does not know is no amount; give its --mark, or litres such as `about 12 L`."],
    );
    cellar.check(
        "here",
        &[("name", "A"), ("holds", "Damson"), ("amount", "blue")],
        "refused: `blue` is no volume: write it in L, mL, gal, qt, pt, fl oz, tbsp or tsp; `about 12 L`, `20 to 22 L`, `half full`, `nearly full` or `?` will do.",
    );
    cellar.check(
        "here",
        &[("name", "A"), ("amount", "empty")],
        "A is here, empty.",
    );
}

#[test]
fn bottles_are_taken_in_any_words() {
    let cellar = Cellar::new();
    let check = |bottles: &str, expected: &str| {
        cellar.check("here", &[("name", "Plum"), ("bottles", bottles)], expected);
    };
    check("40", "40 bottles of Plum are here.");
    check("a dozen or so", "About 12 bottles of Plum are here.");
    check("20-25", "About 23 (20 to 25) bottles of Plum are here.");
    check("30?", "About 30 bottles of Plum are here.");
    check("1 case", "12 bottles of Plum are here.");
    check("some", "Bottles of Plum are here, not counted.");
    check(
        "blue",
        "refused: `blue` is not a whole number from 1 on; `about 40`, `20 to 25` and `two dozen` will do too.",
    );
}

#[test]
fn a_wine_of_any_name_is_taken_and_what_follows_is_said() {
    let cellar = Cellar::new();
    let check = |wine: &str, word: &str, said: &str| {
        let prepared = cellar
            .prepare("batch add", &[("name", "B"), ("wine", wine)])
            .unwrap();
        let set = prepared
            .draft
            .changes
            .iter()
            .find(|it| it.field == field::WINE);
        assert_eq!(set.unwrap().value, Some(Value::from(word)), "{wine}");
        assert_eq!(prepared.asks.join(" "), said);
    };
    check("red", "red", "");
    check("Dry white", "white", "");
    check("rosé", "rose", "");
    check("red wine", "red", "");
    check("fr", "fruit", "");
    check(
        "mead",
        "mead",
        "No kind is assumed for mead: its sulfite goes by what holds for wine in general.",
    );
    check(
        "rice wine",
        "rice wine",
        "No kind is assumed for rice wine: its sulfite goes by what holds for wine in general.",
    );
}

#[test]
fn wine_nobody_measured_is_there_and_is_found_as_it_leaves() {
    let mut cellar = Cellar::new();
    cellar
        .write(
            "here",
            &[("name", "A"), ("holds", "Damson"), ("amount", "?")],
        )
        .write("vessel add", &[("name", "B"), ("mark", "23 L")])
        .write("measure", &[("place", "A"), ("ph", "3.4")])
        .write("draw", &[("place", "A"), ("amount", "0.1 L")]);
    let amount = |cellar: &Cellar, name: &str| {
        let place = cellar.snapshot.find(Sort::Vessel, name).unwrap().key;
        let wine = cellar.snapshot.wine(place);
        wine.map_or_else(
            || "empty".to_owned(),
            crate::cellar::state::Wine::amount_words,
        )
    };
    assert_eq!(amount(&cellar, "A"), "amount not known");
    cellar.write("rack", &[("from", "A"), ("to", "B")]);
    assert_eq!(amount(&cellar, "A"), "empty");
    assert_eq!(amount(&cellar, "B"), "amount not known");
    cellar.write("adjust", &[("place", "B"), ("level", "about 21 L")]);
    assert_eq!(amount(&cellar, "B"), "about 21.0 L");
    cellar.check(
        "here",
        &[("name", "B"), ("amount", "22 L")],
        "refused: B holds about 21.0 L by the book already; `leesline adjust \"B\" --level \"about 20 L\"` corrects how much.",
    );
}

#[test]
fn bottles_nobody_counted_can_be_opened() {
    let mut cellar = Cellar::new();
    cellar
        .write("here", &[("name", "Plum"), ("bottles", "some")])
        .write("open", &[("run", "Plum"), ("count", "2")]);
    let run = cellar.snapshot.find(Sort::Run, "Plum").unwrap().key;
    let words = cellar.snapshot.wine(run).unwrap().count_words("bottle");
    assert_eq!(words, "bottles not counted");
}
