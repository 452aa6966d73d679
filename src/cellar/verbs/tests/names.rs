//! Names, dates and words that cannot be taken, and what is said of them.

use super::*;

#[test]
fn an_unknown_vessel_is_refused_with_the_nearest_names() {
    let cellar = with_must();
    cellar.check(
        "taste",
        &[("place", "Carbox"), ("words", "plums")],
        "refused: no vessel is called `Carbox`; the nearest are Carboy A, Bucket, Jug.",
    );
}

#[test]
fn a_name_that_cannot_be_said_again_is_refused() {
    let cellar = Cellar::new();
    let check = |name: &str, words: &str| {
        let refused = cellar.prepare("vessel add", &[("name", name)]).unwrap_err();
        assert_eq!(refused.field, Some("name"));
        assert!(refused.sentence.contains(words), "{refused}");
    };
    check("B=1", "parts a vessel from its amount");
    check("B; C", "parts a vessel from its amount");
    check(&"x".repeat(61), "61 characters");
    check("abc\u{202E}cba", "cannot be seen");
    check("two\nlines", "cannot be seen");
    assert!(
        cellar
            .prepare("vessel add", &[("name", "Großes Fass nº 2")])
            .is_ok()
    );
}

#[test]
fn a_date_to_come_is_refused() {
    let cellar = with_must();
    let refused = cellar
        .prepare("degas", &[("place", "Bucket"), ("at", "2026-11-26")])
        .unwrap_err();
    assert_eq!((refused.field, refused.blame), (Some("at"), Blame::Book));
}

#[test]
fn unknown_words_in_a_choice_list_what_there_is() {
    let cellar = with_must();
    cellar.check(
        "lose",
        &[("place", "Bucket"), ("amount", "1 L"), ("how", "vanished")],
        "refused: `vanished` is not one of spilled, evaporated, drunk, given, sold, broken, lees.",
    );
    assert!(matches!(
        cellar.snapshot.states.values().next().map(Arc::as_ref),
        Some(State::Wine(_))
    ));
    assert_eq!(cellar.snapshot.things.len(), 5);
    assert_eq!(Value::from("x"), Value::Text("x".to_owned()));
}
