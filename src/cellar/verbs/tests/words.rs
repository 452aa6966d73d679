//! What people type, taken as they mean it.

use super::*;
use crate::cellar::entry::{Dose, Due};

#[test]
fn a_reading_in_words_is_a_bound_or_a_span() {
    let cellar = with_must();
    let check = |field: &str, text: &str, expected: Found| {
        let pairs = [("place", "Bucket"), (field, text)];
        let reading = cellar.prepare("measure", &pairs).unwrap().draft.readings[0].clone();
        assert_eq!(reading.found, expected, "{text}");
        assert_eq!(reading.typed, text);
    };
    check("free-so2", "less than 10", Found::Below(10.0));
    check("free-so2", "under 10", Found::Below(10.0));
    check("free-so2", "over 50", Found::Above(50.0));
    check("ph", "3.4 to 3.8", Found::Between(3.4, 3.8));
    check("ph", "between 3.4 and 3.8", Found::Between(3.4, 3.8));
    // What is said as "about" is not dosed as exact.
    check("ph", "about 3.5", Found::Between(3.4, 3.6));
    check("ph", "3.5 by strip", Found::Between(3.3, 3.7));
    check("free-so2", "about 20", Found::Between(16.0, 24.0));
    check("ph", "3.5", Found::Number(3.5));
    check("ph", "3.52 by meter", Found::Number(3.52));
    check("gravity", "1.012 by hydrometer", Found::Number(1.012));
}

#[test]
fn what_a_figure_was_read_with_is_kept() {
    let cellar = with_must();
    let instrument = |text: &str| {
        let pairs = [("place", "Bucket"), ("ph", text)];
        cellar.prepare("measure", &pairs).unwrap().draft.readings[0]
            .instrument
            .clone()
    };
    assert_eq!(instrument("3.5 by strip"), "strip");
    assert_eq!(instrument("3.5 with a meter"), "meter");
    assert_eq!(instrument("3.5"), "");
}

#[test]
fn a_substance_goes_by_its_everyday_and_its_british_name() {
    let check = |typed: &str, expected: &str| {
        assert_eq!(
            super::super::additions::substance_named(typed),
            expected,
            "{typed}"
        );
    };
    check("sulphite powder", "potassium-metabisulfite");
    check("sulphite", "potassium-metabisulfite");
    check("Sulphur", "potassium-metabisulfite");
    check("potassium metabisulphite", "potassium-metabisulfite");
    check("sodium metabisulphite", "sodium-metabisulfite");
    check("sulphite tablets", "sulfite-tablet");
    check("Campden tablets", "sulfite-tablet");
    check("stabiliser", "potassium-sorbate");
    check("corks", "cork");
    check("labels", "label");
    check("elderflowers", "elderflowers");
}

#[test]
fn an_amount_goes_by_the_words_of_the_kitchen() {
    let cellar = with_must();
    let check = |verb: &str, substance: &str, amount: &str, dose: Option<Dose>, note: &str| {
        let key = if verb == "pitch" {
            "yeast"
        } else {
            "substance"
        };
        let pairs = [("place", "Bucket"), (key, substance), ("amount", amount)];
        let prepared = cellar.prepare(verb, &pairs).unwrap();
        assert_eq!(prepared.draft.additions[0].dose, dose, "{amount}");
        assert!(
            prepared.draft.note.contains(note),
            "{amount}: {}",
            prepared.draft.note
        );
    };
    let grams = |it: f64| Some(Dose::Mass(crate::cellar::amount::Mass::grams(it)));
    check("add", "sulfite", "a teaspoon", grams(6.0), "a teaspoon");
    check(
        "add",
        "sulfite",
        "half a level teaspoon",
        grams(3.0),
        "half a level teaspoon",
    );
    check(
        "add",
        "sulfite",
        "half a Campden tablet",
        Some(Dose::Tablets(500)),
        "",
    );
    check(
        "add",
        "sulfite",
        "two tablets",
        Some(Dose::Tablets(2000)),
        "",
    );
    check(
        "add",
        "sorbate",
        "the kit's packet",
        None,
        "the kit's packet",
    );
    check("pitch", "a red yeast", "3 sachets", None, "3 sachets");
    check("add", "tannin", "two grams", grams(2.0), "");
}

#[test]
fn half_a_tablet_stabilises_and_says_what_is_not_known() {
    let cellar = with_must();
    let pairs = [
        ("place", "Bucket"),
        ("sorbate", "the kit's packet"),
        ("sulfite", "half a Campden tablet"),
    ];
    let prepared = cellar.prepare("stabilise", &pairs).unwrap();
    assert_eq!(prepared.draft.additions[1].substance, "sulfite-tablet");
    assert_eq!(prepared.draft.additions[1].dose, Some(Dose::Tablets(500)));
    assert!(
        prepared
            .asks
            .iter()
            .any(|it| it.contains("SO2 a tablet gives is not known"))
    );
}

#[test]
fn corks_are_bought_by_number_and_yeast_by_the_sachet() {
    let cellar = Cellar::new();
    let bought = |what, amount| {
        let draft = cellar
            .prepare("buy", &[("substance", what), ("amount", amount)])
            .unwrap()
            .draft;
        (draft.supplies[0].change, draft.note)
    };
    let by = |it| crate::cellar::entry::SupplyChange::By(it);
    assert_eq!(
        bought("corks", "100"),
        (by(Dose::Count(100)), String::new())
    );
    let packets = (by(Dose::Packets(3)), String::new());
    assert_eq!(bought("yeast", "3 sachets"), packets);
    assert_eq!(bought("yeast", "three packets"), packets);
    let half = crate::cellar::entry::SupplyChange::Unknown;
    assert_eq!(
        bought("yeast", "half a packet"),
        (half, "half a packet".to_owned())
    );
}

#[test]
fn half_bottles_are_of_their_size() {
    let cellar = Cellar::new();
    let here = [("name", "Plum 24"), ("bottles", "9 halves")];
    let lot = cellar.prepare("here", &here).unwrap().draft.bottles[0].clone();
    assert_eq!((lot.count, lot.size_ml), (9, 375));
    let here = [("name", "Plum 24"), ("bottles", "9")];
    assert_eq!(
        cellar.prepare("here", &here).unwrap().draft.bottles[0].size_ml,
        750
    );
}

#[test]
fn wine_is_not_held_since_a_day_to_come() {
    let cellar = Cellar::new();
    for since in ["tomorrow", "next week", "2027-01-01"] {
        let refused = cellar.prepare(
            "here",
            &[("name", "B"), ("holds", "Plum"), ("since", since)],
        );
        assert!(
            refused.unwrap_err().sentence.contains("is after now"),
            "{since}"
        );
    }
    assert!(
        cellar
            .prepare(
                "here",
                &[("name", "B"), ("holds", "Plum"), ("since", "the old house")]
            )
            .is_ok()
    );
}

#[test]
fn a_plan_may_speak_of_weeks_and_of_spans_of_days() {
    let mut cellar = with_must();
    let steps = "day 7 to 10 or below 1.010: rack; week 2: stir; day 7-10: look";
    cellar.write("plan add", &[("name", "Kit"), ("step", steps)]);
    let start = [("plan", "Kit"), ("place", "Bucket")];
    let draft = cellar.prepare("plan start", &start).unwrap().draft;
    let now = cellar.snapshot.now;
    let day = |it: i64| now.plus_days(it - 1).utc_ms;
    let due: Vec<Due> = draft.jobs.iter().map(|it| it.due).collect();
    assert_eq!(
        due[0],
        Due::AtGravity {
            gravity: 1.010,
            latest_ms: Some(day(10))
        }
    );
    assert_eq!(due[1], Due::On(day(8)));
    assert_eq!(due[2], Due::On(day(7)));
}

#[test]
fn a_tasting_takes_the_note_as_its_words() {
    let cellar = with_must();
    let draft = cellar
        .prepare("taste", &[("place", "Bucket"), ("note", "thin")])
        .unwrap()
        .draft;
    assert_eq!(draft.tastings[0].words, "thin");
    assert_eq!(draft.note, "");
    let both = [
        ("place", "Bucket"),
        ("words", "plums"),
        ("note", "warm day"),
    ];
    let draft = cellar.prepare("taste", &both).unwrap().draft;
    assert_eq!(
        (draft.tastings[0].words.as_str(), draft.note.as_str()),
        ("plums", "warm day")
    );
}
