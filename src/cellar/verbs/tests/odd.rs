//! Odd amounts: nothing, far too much, a number without a unit, an amount where a name belongs.

use super::*;

#[track_caller]
fn check_refused(verb: &str, pairs: &[(&str, &str)], words: &str) {
    let refused = with_must().prepare(verb, pairs).unwrap_err();
    assert_eq!(refused.blame, Blame::Input, "{refused}");
    assert!(refused.sentence.contains(words), "{refused}");
}

#[track_caller]
fn check_asked(verb: &str, pairs: &[(&str, &str)], words: &str) {
    let asked = with_must().prepare(verb, pairs).unwrap().loses;
    let asked = asked.unwrap_or_default();
    assert!(
        asked.contains(words) && asked.is_empty() == words.is_empty(),
        "{asked}"
    );
}

#[test]
fn nothing_is_neither_added_nor_bought_nor_moved() {
    let tannin = [("place", "Bucket"), ("substance", "tannin")];
    let amount = |it| [tannin[0], tannin[1], ("amount", it)];
    check_refused("add", &amount("0"), "nothing at all");
    check_refused("add", &amount("0.00000001 g"), "nothing at all");
    let sugar = [("substance", "sugar"), ("amount", "0 g")];
    check_refused("buy", &sugar, "nothing at all");
    let drop = [("place", "Bucket"), ("amount", "0.0000001 L")];
    check_refused("draw", &drop, "less than a drop");
    check_refused(
        "sanitise",
        &[("gear", "hoses"), ("make", "0")],
        "more than nothing",
    );
    check_refused(
        "sanitise",
        &[("gear", "hoses"), ("amount", "0")],
        "more than nothing",
    );
}

#[test]
fn a_number_without_a_unit_or_beyond_all_measure_is_refused() {
    let buy = |it| check_refused("buy", &[("substance", it)], "no unit");
    buy("bentonite 1e308");
    buy("sugar 1e308g");
    let much = [("substance", "sugar"), ("amount", "1e308 g")];
    check_refused("buy", &much, "more than any cellar");
    let score = [("place", "Bucket"), ("score", "900")];
    check_refused("taste", &score, "outside 0 to 100");
    // Strains of yeast have numbers.
    assert!(
        with_must()
            .prepare("buy", &[("substance", "yeast 1118")])
            .is_ok()
    );
}

#[test]
fn an_amount_names_nothing() {
    check_refused("here", &[("name", "5 kg")], "is an amount and no name");
    check_refused("buy", &[("substance", "5 kg")], "say of what");
    let nameless = [("place", "Bucket"), ("substance", "5 g")];
    check_refused("add", &nameless, "say of what");
}

#[test]
fn words_that_name_no_agent_and_sugar_for_a_syrup_are_asked_about() {
    let fine = |agent| [("place", "Bucket"), ("agent", agent)];
    check_asked("fine", &fine("the moon"), "no fining agent");
    check_asked("fine", &fine("bentonite"), "");
    check_asked("fine", &fine("pea protein"), "");
    let sanitise = |it| [("gear", "hoses"), ("sanitizer", it)];
    check_asked("sanitise", &sanitise("moonlight"), "no sanitizer");
    check_asked("sanitise", &sanitise("percarbonate"), "");
    // 25 L: 5 kg is 200 g/L, 1 kg is 40 g/L.
    let sweeten = |it| [("place", "Bucket"), ("amount", it)];
    check_asked("sweeten", &sweeten("5 kg"), "200 g/L");
    check_asked("sweeten", &sweeten("1 kg"), "");
}
