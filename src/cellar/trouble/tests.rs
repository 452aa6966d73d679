use std::collections::BTreeMap;

use super::*;
use crate::cellar::attention::trial::{BATCH, CARBOY, Cellar, RUN, policy};
use crate::cellar::attention::{Holding, ReasonKind};
use crate::cellar::entry::Property;
use crate::cellar::moment::Moment;
use crate::cellar::state::Deed;
use crate::cellar::thing::{Malo, Value, field};
use crate::cellar::verbs::Need;

/// All that a fault says, in small letters.
fn all_of(fault: &Fault) -> String {
    let sections = fault.sections();
    let sentences = sections.iter().flat_map(|it| &it.1);
    let all: Vec<&str> = sentences.copied().collect();
    all.join(" ").to_lowercase()
}

#[test]
fn every_fault_has_all_parts_and_a_source() {
    for fault in FAULTS {
        let word = fault.word;
        let parts = [
            ("signs", fault.signs.len()),
            ("tell", fault.tell.len()),
            ("today", fault.today.len()),
            ("never", fault.never.len()),
            ("sources", fault.sources.len()),
        ];
        for (part, many) in parts {
            assert!(many > 0, "{word} has no {part}");
        }
        let headings: Vec<&str> = fault.sections().iter().map(|it| it.0).collect();
        assert!(headings.contains(&"Sources"), "{word}");
        for sentence in fault.sections().iter().flat_map(|it| &it.1) {
            let is_source = fault.sources().contains(sentence);
            assert!(!sentence.contains('!'), "{word}: {sentence}");
            assert!(is_source || sentence.ends_with('.'), "{word}: {sentence}");
            assert!(!sentence.contains("  "), "{word}: {sentence}");
        }
        for source in fault.sources() {
            let is_said = [
                "common practice",
                "from memory",
                "CFR",
                "NIOSH",
                "derived",
                "University",
            ];
            assert!(
                is_said.iter().any(|it| source.contains(it)),
                "{word}: {source}"
            );
        }
        assert!(fault.name.is_ascii(), "{word}");
        assert_eq!(find(word).map(|it| it.name), Some(fault.name));
    }
}

#[test]
fn no_two_faults_share_a_word_or_a_sign() {
    let mut taken: BTreeMap<&str, &str> = BTreeMap::new();
    for fault in FAULTS {
        for sign in fault.signs {
            assert_eq!(*sign, sign.to_lowercase());
            let other = taken.insert(sign, fault.word);
            assert_eq!(other, None, "{sign} of {}", fault.word);
        }
    }
    let words: std::collections::BTreeSet<&str> = WORDS.into_iter().collect();
    assert_eq!(words.len(), COUNT);
}

#[track_caller]
fn check_meant(said: &str, expected: &str) {
    assert_eq!(meant(said).map(|it| it.word), Some(expected), "{said}");
}

#[test]
fn each_sign_finds_its_fault_first() {
    for fault in FAULTS {
        check_meant(fault.word, fault.word);
        check_meant(fault.name, fault.word);
        for sign in fault.signs {
            check_meant(sign, fault.word);
        }
    }
}

#[test]
fn people_say_it_in_sentences() {
    check_meant("smells of rotten eggs after stirring", "egg");
    check_meant("it tastes of vinegar", "vinegar");
    check_meant("like nail varnish remover", "nail-varnish");
    check_meant("white film on top", "film");
    check_meant("green mould", "mould");
    check_meant("mousy aftertaste", "mouse");
    check_meant("the corks are coming up, corks rising", "corks-rising");
    check_meant("bottle is leaking", "leak");
    check_meant("fizzy", "fizz");
    check_meant("won't clear", "wont-clear");
    check_meant("fermentation stuck at 1.010", "stuck");
    check_meant("Geraniums", "geranium");
    check_meant("a bruised apple, like sherry", "sherry");
    check_meant("turning brown", "brown");
    check_meant("Struck match", "match");
    check_meant("wet dog, musty", "corked");
    assert!(meant("qwertz").is_none());
    // A haze is of many kinds.
    let hazes = fits("haze", None);
    let hazes: Vec<&str> = hazes.iter().map(|it| it.fault.word).collect();
    assert!(
        ["protein", "pectin", "starch", "metal-haze"]
            .iter()
            .all(|it| hazes.contains(it)),
        "{hazes:?}"
    );
    // Words of any sentence are a sign of nothing, and the colour of a wine is none of mould.
    for said in [
        "wine is pink",
        "smells like bananas",
        "smells of banana",
        "smells odd",
        "tastes salty",
        "will it blend",
        "too hot",
        "when is it ready",
        "the wine smells and tastes of fruit",
    ] {
        assert_eq!(meant(said).map(|it| it.word), None, "{said}");
    }
    assert!(meant("it is").is_none());
}

#[track_caller]
fn check_says(word: &str, part: fn(&Fault) -> Vec<&'static str>, expected: &str) {
    let fault = find(word).unwrap();
    let said = part(fault).join(" ").to_lowercase();
    assert!(said.contains(expected), "{word}: {said}");
}

fn never(fault: &Fault) -> Vec<&'static str> {
    fault.never.to_vec()
}

fn cautions(fault: &Fault) -> Vec<&'static str> {
    fault.hazards.iter().map(|it| it.sentence).collect()
}

fn drink(fault: &Fault) -> Vec<&'static str> {
    vec![fault.drink]
}

fn tell(fault: &Fault) -> Vec<&'static str> {
    fault.tell.to_vec()
}

#[test]
fn what_must_never_be_done_is_said_where_it_belongs() {
    for word in ["stuck", "yeast-haze", "fizz"] {
        check_says(word, never, "sorbate");
        check_says(word, never, "running ferment");
    }
    check_says(
        "geranium",
        never,
        "never sorbate where malolactic bacteria live",
    );
    check_says("egg", never, "never copper by guess");
    check_says("onion", never, "never copper by guess");
    check_says("metallic", never, "never dose copper by guess");
    check_says(
        "mould",
        never,
        "never bleach together with sulfite, acid or vinegar",
    );
    check_says("mould", never, "never skim it");
    check_says("cleaner", cautions, "bleach");
    check_says(
        "corks-rising",
        cautions,
        "chill the bottles before touching",
    );
    check_says("fizz", cautions, "goggles");
    check_says("almond", never, "never crush or boil the stones");
    check_says("stuck", never, "never bottle it");
}

#[test]
fn a_bench_test_tells_doubles_apart() {
    check_says("egg", tell, "clean in the third alone: disulfide");
    check_says("onion", tell, "ascorbic acid");
    check_says("mouse", tell, "baking soda");
    check_says("match", tell, "swirl a glass");
    check_says("protein", tell, "heat test");
    check_says("pectin", tell, "spirit");
    check_says("protein", tell, "see whether it settles");
}

#[test]
fn copper_is_never_named_without_its_caution() {
    for fault in FAULTS
        .iter()
        .filter(|it| all_of(it).contains("copper sulfate"))
    {
        check_says(fault.word, cautions, "weighed amount");
        check_says(
            fault.word,
            cautions,
            "1 mg/l is allowed in the eu and 0.5 mg/l in the us",
        );
    }
    assert!(
        FAULTS
            .iter()
            .any(|it| all_of(it).contains("copper sulfate"))
    );
}

#[test]
fn a_dose_of_sulfite_brings_its_caution() {
    for fault in FAULTS {
        let asks = fault
            .today
            .iter()
            .any(|it| it.to_lowercase().contains("sulfite for its ph"));
        let warned = cautions(fault).iter().any(|it| it.contains("asthma"));
        let sends_elsewhere = matches!(fault.word, "airlock" | "flies");
        assert!(!asks || warned || sends_elsewhere, "{}", fault.word);
    }
}

#[test]
fn what_poisons_is_not_called_safe() {
    for word in ["mould", "cleaner", "splinters"] {
        assert_eq!(find(word).unwrap().safety, Safety::Unsafe, "{word}");
        check_says(word, drink, "no");
    }
    for word in [
        "almond",
        "metallic",
        "metal-haze",
        "fizz",
        "corks-rising",
        "plaster",
    ] {
        assert_eq!(find(word).unwrap().safety, Safety::NotYet, "{word}");
    }
}

#[test]
fn every_answer_is_a_verb_with_its_fields() {
    for fault in FAULTS {
        for way in fault.ways {
            let verb = verbs::find(way.verb).unwrap();
            assert_eq!(verb.fields[0].need, Need::Required, "{}", way.verb);
            let named = way
                .values
                .iter()
                .map(|it| it.0)
                .chain(way.needs.iter().copied());
            for key in named {
                let known = verb.fields.iter().any(|it| it.key == key);
                assert!(known, "{} has no {key}", way.verb);
            }
        }
    }
    let has = |word: &str, verb: &str| {
        let ways = find(word).unwrap().ways;
        assert!(ways.iter().any(|it| it.verb == verb), "{word}: {verb}");
    };
    has("mould", "discard");
    has("fizz", "unbottle");
    has("corks-rising", "unbottle");
}

/// The first fault that the book makes likely without a word, and why.
#[track_caller]
fn check_likely(build: impl FnOnce(&mut Cellar), said: &str, expected: &str, why: &str) {
    let mut cellar = Cellar::with_vessel(23.0, 22.8);
    build(&mut cellar);
    check_fits(&cellar, CARBOY, said, expected, why);
}

#[track_caller]
fn check_fits(
    cellar: &Cellar,
    place: crate::cellar::thing::Key,
    said: &str,
    expected: &str,
    why: &str,
) {
    let policy = policy();
    let holding = Holding::of(&cellar.0, place, &policy).unwrap();
    let found = fits(said, Some(&holding));
    let best = &found[0];
    let sentence = best.sentence().unwrap_or_default();
    assert_eq!(best.fault.word, expected, "{sentence}");
    assert!(sentence.contains(why), "{expected}: {sentence}");
    assert!(
        sentence.is_empty() || sentence.contains(" by the book"),
        "{sentence}"
    );
}

#[test]
fn low_sulfite_and_air_make_oxidation_more_likely() {
    let airy = |it: &mut Cellar| {
        it.wine().volume = crate::cellar::amount::Volume::litres(18.0);
        it.did(Deed::Begun, 200).did(Deed::Racked, 100);
        it.knows(Property::FreeSo2, 5.0, 1)
            .knows(Property::Ph, 3.5, 1);
    };
    check_likely(airy, "sherry", "sherry", "5.0 L of air stands over it");
    check_likely(airy, "sherry", "sherry", "too little to guard it");
    let full = |it: &mut Cellar| {
        it.did(Deed::Begun, 200).did(Deed::Racked, 100);
        it.knows(Property::FreeSo2, 40.0, 1)
            .knows(Property::Ph, 3.3, 1);
    };
    check_likely(
        full,
        "sherry",
        "sherry",
        "Less likely by the book: its vessel is full",
    );
}

#[test]
fn gross_lees_make_egg_more_likely() {
    let on_lees = |it: &mut Cellar| {
        it.did(Deed::Begun, 70).did(Deed::Pitched, 69);
        it.gravities(&[(60, 1.050), (34, 0.996), (20, 0.995), (2, 0.995)]);
    };
    check_likely(on_lees, "egg", "egg", "34 days on its gross lees");
}

/// The faults that the book has a sign of, unasked.
fn likely(cellar: &Cellar) -> Vec<&'static str> {
    let policy = policy();
    let holding = Holding::of(&cellar.0, CARBOY, &policy).unwrap();
    let likely = fits("", Some(&holding)).into_iter().filter(Fit::is_likely);
    likely.map(|it| it.fault.word).collect()
}

/// Young, white, warm, in plastic under an airlock, with the free SO2 and the pH of many a wine: all that may lead to a fault, and
/// a sign of none.
#[test]
fn a_sound_wine_has_no_sign_of_a_fault() {
    let none: [&str; 0] = [];
    let mut cellar = Cellar::with_vessel(23.0, 22.9);
    cellar.finished().did(Deed::Begun, 121);
    cellar.set(CARBOY, field::MATERIAL, "plastic");
    cellar.set(CARBOY, field::CLOSURE, "airlock");
    assert_eq!(likely(&cellar), none);
    cellar.knows(Property::Temperature, 24.0, 1);
    cellar.knows(Property::FreeSo2, 8.0, 1);
    cellar.knows(Property::Ph, 3.7, 1);
    assert_eq!(likely(&cellar), none);
    // Air over it as well is what oxidises a wine, and acid of vinegar is vinegar.
    cellar.wine().volume = crate::cellar::amount::Volume::litres(18.0);
    assert_eq!(likely(&cellar), ["sherry"]);
    cellar.knows(Property::Volatile, 1.1, 1);
    assert_eq!(likely(&cellar), ["vinegar", "nail-varnish", "sherry"]);
}

#[test]
fn a_stuck_ferment_is_told_as_stuck_and_not_as_fermenting() {
    let mut cellar = Cellar::with_vessel(23.0, 20.0);
    cellar.did(Deed::Pitched, 10).did(Deed::Begun, 10);
    let falls = [(10, 1.090), (6, 1.050), (3, 1.030), (1, 1.021)];
    cellar.gravities(&falls);
    let none: [&str; 0] = [];
    assert_eq!(likely(&cellar), none);
    let said = |cellar: &Cellar| {
        let policy = policy();
        let all = fits("", Some(&cellar.holding(&policy)));
        let said = all.iter().filter_map(Fit::sentence);
        said.collect::<Vec<_>>().join(" ")
    };
    assert!(said(&cellar).contains("still ferments"));
    cellar.gravities(&[(10, 1.090), (6, 1.050), (3, 1.021), (1, 1.021), (0, 1.020)]);
    assert_eq!(likely(&cellar), ["stuck"]);
    check_fits(
        &cellar,
        CARBOY,
        "",
        "stuck",
        "gravity stands at 1.020, above its end",
    );
    assert!(!said(&cellar).contains("still ferments"));
    // One that has not begun is another matter.
    cellar.gravities(&[(10, 1.090), (5, 1.091), (0, 1.090)]);
    assert_eq!(likely(&cellar), ["no-start"]);
}

#[test]
fn sorbate_with_bacteria_makes_geranium_more_likely() {
    let sorbated = |it: &mut Cellar| {
        it.set(BATCH, field::MALO, Malo::Wanted.word());
        it.did(Deed::Begun, 200)
            .did(Deed::Racked, 100)
            .did(Deed::MaloStarted, 90);
        it.did(Deed::Sorbated, 20);
    };
    check_likely(
        sorbated,
        "leaves",
        "geranium",
        "malolactic bacteria have been at work",
    );
    let none = |it: &mut Cellar| _ = it.did(Deed::Begun, 200).did(Deed::Racked, 100);
    check_likely(
        none,
        "leaves",
        "geranium",
        "Less likely by the book: no sorbate",
    );
}

#[test]
fn bottles_of_a_wine_not_shown_finished_may_be_refermenting() {
    let mut cellar = Cellar::with_bottles(29, 9);
    cellar.set(RUN, field::VESSEL, Value::Int(201));
    cellar.says(Property::Corks, "rising", 1);
    check_fits(
        &cellar,
        RUN,
        "bubbles",
        "fizz",
        "without being shown finished",
    );
    // Nobody has to say a word: what a look found speaks first.
    check_fits(&cellar, RUN, "", "corks-rising", "corks were found rising");
}

#[test]
fn a_screw_cap_speaks_against_cork_taint() {
    let mut cellar = Cellar::with_bottles(29, 400);
    cellar.set(RUN, field::CLOSURE, "screw-cap");
    check_fits(
        &cellar,
        RUN,
        "musty",
        "corked",
        "Less likely by the book: its 29 bottles are closed with screw cap",
    );
}

#[test]
fn what_is_met_elsewhere_is_not_offered_unasked() {
    let cellar = Cellar::with_vessel(23.0, 22.8);
    let policy = policy();
    let holding = Holding::of(&cellar.0, CARBOY, &policy).unwrap();
    let words: Vec<&str> = fits("", Some(&holding))
        .iter()
        .map(|it| it.fault.word)
        .collect();
    assert!(!words.contains(&"corks-rising"));
    assert!(words.contains(&"egg"));
    assert_eq!(fits("", None).len(), COUNT);
}

#[test]
fn a_mark_is_a_reason_until_it_is_lifted() {
    let mut cellar = Cellar::with_vessel(23.0, 22.8);
    assert_eq!(cellar.says_why(ReasonKind::Trouble), "");
    let since = Moment {
        utc_ms: cellar.0.now.utc_ms,
        offset_min: 60,
    }
    .plus_days(-3)
    .utc_ms;
    cellar.wine().troubles.insert("egg".to_owned(), since);
    assert_eq!(
        cellar.says_why(ReasonKind::Trouble),
        "! marked with rotten egg"
    );
    cellar.wine().troubles.insert("mould".to_owned(), since);
    assert_eq!(
        cellar.says_why(ReasonKind::Trouble),
        "! marked with rotten egg, mould; do not drink it"
    );
    let answer = |cellar: &Cellar| {
        cellar
            .reason(ReasonKind::Trouble)
            .map(|it| it.suggestion.verb)
    };
    assert_eq!(answer(&cellar), Some("discard"));
    let working = cellar.working(ReasonKind::Trouble).join(" ");
    assert!(
        working.contains("Never skim it") && working.contains("Sources:"),
        "{working}"
    );
    cellar.wine().troubles.clear();
    cellar.wine().troubles.insert("flat".to_owned(), since);
    assert_eq!(answer(&cellar), Some("trouble over"));
    assert_eq!(
        cellar.says_why(ReasonKind::Trouble),
        "  marked with flat and flabby"
    );
}

#[test]
fn what_a_look_found_comes_first() {
    let mut cellar = Cellar::with_bottles(29, 9);
    cellar.says(Property::Corks, "rising in some", 1);
    check_fits(&cellar, RUN, "", "corks-rising", "corks were found rising");
}

/// A ferment is left on its yeast and fed; only one that is over is racked. Juice of a kit has no skins.
#[test]
fn egg_in_a_kit_at_work_wants_no_racking() {
    let mut cellar = Cellar::with_vessel(23.0, 20.0);
    cellar.did(Deed::Pitched, 5).did(Deed::Begun, 5);
    cellar.gravities(&[(5, 1.085), (1, 1.050)]);
    cellar.set(BATCH, field::WINE, "red");
    let verbs = |cellar: &Cellar| {
        let place = cellar.0.thing(CARBOY).unwrap();
        let answers = find("egg").unwrap().answers(place, &cellar.0);
        answers.iter().map(|it| it.1.verb).collect::<Vec<_>>()
    };
    assert_eq!(verbs(&cellar), ["feed"]);
    let policy = policy();
    assert!(clues::dry_cap(&cellar.holding(&policy)).is_some());
    cellar.set(BATCH, field::KIND, "kit");
    assert_eq!(clues::dry_cap(&cellar.holding(&policy)), None);
    cellar.finished();
    assert_eq!(verbs(&cellar), ["rack"]);
}
