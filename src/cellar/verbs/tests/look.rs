//! Bottles looked at: what is marked, what is taken back, and what is asked before they are touched.

use super::Cellar;
use super::keeping::shifted;
use crate::cellar::attention::{Holding, Look, Policy, ReasonKind, attention, pressure};
use crate::cellar::entry::{Found, Property};
use crate::cellar::thing::Sort;

#[test]
fn a_look_writes_down_what_was_seen_and_no_more() {
    let check =
        |look: &[(&str, &str)], expected: &str| looked_at(&[]).check("look", look, expected);
    check(
        &[("run", "Plum")],
        "refused: What was seen? Give --corks level, rising or sunken, --seepage, --bubbles or --haze, or --well if all is well.",
    );
    check(
        &[("run", "Plum"), ("well", "yes")],
        "Look at Plum: all well.",
    );
    check(
        &[("run", "Plum"), ("well", "yes"), ("corks", "rising")],
        "refused: All well and corks rising? Leave one of them out.",
    );
    let seen = |look: &[(&str, &str)], expected: &[Property]| {
        let draft = looked_at(&[]).prepare("look", look).unwrap().draft;
        let seen: Vec<Property> = draft.readings.iter().map(|it| it.property).collect();
        assert_eq!(seen, expected);
    };
    let all = [
        Property::Corks,
        Property::Seepage,
        Property::Gas,
        Property::Clarity,
    ];
    seen(&[("run", "Plum"), ("well", "yes")], &all);
    seen(&[("run", "Plum"), ("corks", "level")], &all[..1]);
    seen(&[("run", "Plum"), ("bubbles", "none")], &all[2..3]);
}

#[test]
fn what_a_bottle_carries_goes_only_by_a_look_at_just_that() {
    let rises: &[(&str, &str)] = &[("run", "Rack A/A2"), ("corks", "rising"), ("haze", "hazy")];
    let check = |look: &[(&str, &str)], expected: &str| {
        let expected = [(expected, "Rack A/A2", 1)];
        let expected = if expected[0].0.is_empty() {
            &[][..]
        } else {
            &expected
        };
        check_found(&[rises, look], expected);
    };
    for run in ["Rack A/A2", "Plum"] {
        check(
            &[("run", run), ("bubbles", "none")],
            "corks rising, wine hazy",
        );
        check(&[("run", run), ("corks", "level")], "wine hazy");
        check(&[("run", run), ("well", "yes")], "");
    }
    // Which of all of them it is now is not known, but it was that one.
    check(
        &[("run", "Plum"), ("corks", "rising"), ("haze", "clear")],
        "corks rising",
    );
    check(
        &[
            ("run", "Rack A/A2"),
            ("bubbles", "some"),
            ("corks", "level"),
        ],
        "some gas, wine hazy",
    );
}

/// Rack A holds five of Plum after a look at some of them.
fn looked_at(looks: &[&[(&str, &str)]]) -> Cellar {
    let mut cellar = shifted(&[["Plum", "Rack A", "5"]]);
    for look in looks {
        cellar.write("look", look);
    }
    cellar
}

/// Bottles of Plum by what was found amiss with them.
fn check_found(looks: &[&[(&str, &str)]], expected: &[(&str, &str, i64)]) {
    let cellar = looked_at(looks);
    let snapshot = cellar.snapshot;
    let plum = snapshot.find(Sort::Run, "Plum").unwrap().key;
    let lots = &snapshot.wine(plum).unwrap().bottles;
    assert_eq!(lots.iter().map(|it| it.count).sum::<i64>(), 8);
    let found: Vec<(&str, &str, i64)> = lots
        .iter()
        .filter(|it| !it.found.is_empty())
        .map(|it| (it.found.as_str(), it.at.as_str(), it.count))
        .collect();
    assert_eq!(found, expected);
}

#[test]
fn a_look_at_one_bottle_marks_it_and_it_stays_marked_where_it_goes() {
    let rises: &[(&str, &str)] = &[("run", "Rack A/A2"), ("corks", "rising")];
    looked_at(&[]).check(
        "look",
        rises,
        "Look at 1 of Plum in Rack A/A2: corks rising.",
    );
    check_found(&[rises], &[("corks rising", "Rack A/A2", 1)]);
    let moved = {
        let mut cellar = looked_at(&[rises]);
        cellar.write("shift", &[("run", "Rack A/A2"), ("to", "Rack A/B3")]);
        cellar.snapshot
    };
    let plum = moved.find(Sort::Run, "Plum").unwrap().key;
    let lots = &moved.wine(plum).unwrap().bottles;
    let marked = lots.iter().find(|it| !it.found.is_empty()).unwrap();
    assert_eq!(
        (marked.found.as_str(), marked.at.as_str()),
        ("corks rising", "Rack A/B3")
    );
    // Two on the shelf seep; which of them is not known, and of a look at all that says nothing.
    let seep: &[(&str, &str)] = &[
        ("run", "Plum"),
        ("from", "shelf 1"),
        ("count", "2"),
        ("seepage", "some"),
    ];
    check_found(&[seep], &[("some seepage", "shelf 1", 2)]);
    check_found(&[&[("run", "Plum"), ("corks", "rising")]], &[]);
}

#[test]
fn a_look_that_finds_them_well_takes_the_mark_away() {
    let rises: &[(&str, &str)] = &[("run", "Rack A/A2"), ("corks", "rising")];
    check_found(&[rises, &[("run", "Rack A/A2"), ("well", "yes")]], &[]);
    check_found(
        &[rises, &[("run", "Rack A/A1"), ("well", "yes")]],
        &[("corks rising", "Rack A/A2", 1)],
    );
    check_found(&[rises, &[("run", "Plum"), ("well", "yes")]], &[]);
}

#[test]
fn what_one_bottle_shows_is_a_warning_about_its_run_and_its_being_well_is_none_of_the_others() {
    let check = |look: &[(&str, &str)], expected: Option<&str>| {
        let snapshot = looked_at(&[look]).snapshot;
        let plum = snapshot.find(Sort::Run, "Plum").unwrap().key;
        let known = &snapshot.wine(plum).unwrap().known;
        let corks = known.get(&Property::Corks).map(|it| it.found.clone());
        assert_eq!(corks, expected.map(|it| Found::Word(it.to_owned())));
    };
    check(
        &[("run", "Rack A/A2"), ("corks", "rising")],
        Some("rising in some"),
    );
    check(&[("run", "Plum"), ("corks", "rising")], Some("rising"));
    check(&[("run", "Rack A/A2"), ("well", "yes")], None);
    check(&[("run", "Plum"), ("well", "yes")], Some("level"));
    check(&[("run", "Plum"), ("bubbles", "none")], None);
}

#[test]
fn bottles_that_may_burst_are_asked_about_before_they_are_touched() {
    let check = |looks: &[&[(&str, &str)]], asked: bool| {
        let mut cellar = looked_at(looks);
        cellar.write("vessel add", &[("name", "Jug"), ("mark", "5 L")]);
        // Of any bottle of the run, in whichever slot it was found.
        for (verb, pairs) in [
            ("open", &[("run", "Plum"), ("count", "1")][..]),
            ("give", &[("run", "Plum"), ("count", "1"), ("to", "Ines")]),
            ("shift", &[("run", "Rack A/A1"), ("to", "shelf 3")]),
            (
                "unbottle",
                &[("run", "Plum"), ("count", "1"), ("into", "Jug")],
            ),
        ] {
            let asks = cellar.prepare(verb, pairs).unwrap().loses;
            let asks = asks.is_some_and(|it| it.contains("Goggles"));
            assert_eq!(asks, asked, "{verb} after {looks:?}");
        }
    };
    let level: &[(&str, &str)] = &[("run", "Plum"), ("corks", "level")];
    let hazy: &[(&str, &str)] = &[("run", "Rack A/A2"), ("haze", "hazy")];
    check(&[], false);
    check(&[level], false);
    check(&[hazy], false);
    for found in [
        ("corks", "rising"),
        ("bubbles", "some"),
        ("bubbles", "much"),
    ] {
        check(&[&[("run", "Plum"), found]], true);
        let of_one: &[(&str, &str)] = &[("run", "Rack A/A2"), found];
        check(&[of_one], true);
        // All are found well afterwards, that one among them.
        check(
            &[
                of_one,
                &[("run", "Plum"), ("corks", "level"), ("bubbles", "none")],
            ],
            false,
        );
    }
}

#[test]
fn a_look_that_takes_pressure_back_is_asked_about_and_says_what_it_contradicts() {
    let check = |looks: &[&[(&str, &str)]], look: &[(&str, &str)], expected: &str| {
        let asks = looked_at(looks).prepare("look", look).unwrap().loses;
        let asks = asks.unwrap_or_default();
        assert_eq!(asks.is_empty(), expected.is_empty(), "{asks}");
        assert!(asks.contains(expected), "{asks}");
    };
    let rises: &[(&str, &str)] = &[("run", "Rack A/A2"), ("corks", "rising")];
    let all_rise: &[(&str, &str)] = &[("run", "Plum"), ("corks", "rising")];
    let well: &[(&str, &str)] = &[("run", "Plum"), ("well", "yes")];
    check(&[], well, "");
    check(&[rises], well, "this was found: corks rising;");
    check(&[all_rise], well, "looked again at every bottle");
    let that_one: &[(&str, &str)] = &[("run", "Rack A/A2"), ("corks", "level")];
    check(&[rises], that_one, "at those it was found with");
    // These say nothing of it, or nothing new.
    check(&[rises], &[("run", "Plum"), ("bubbles", "none")], "");
    check(&[rises], &[("run", "Rack A/A1"), ("well", "yes")], "");
    check(&[rises], all_rise, "");
}

#[test]
fn bottles_with_something_amiss_are_taken_out_by_that_and_the_finding_goes_with_them() {
    let of_one: &[(&str, &str)] = &[
        ("run", "Plum"),
        ("from", "shelf 1"),
        ("count", "1"),
        ("corks", "rising"),
    ];
    let may_burst = |verb: &str, pairs: &[(&str, &str)]| {
        let mut cellar = looked_at(&[of_one]);
        cellar.write(verb, pairs);
        let plum = cellar.snapshot.find(Sort::Run, "Plum").unwrap().key;
        let wine = cellar.snapshot.wine(plum).unwrap();
        assert_eq!(wine.bottle_count(), 7);
        let amiss = wine.bottles.iter().filter(|it| !it.found.is_empty());
        amiss.map(|it| it.count).sum::<i64>()
    };
    for verb in ["open", "give", "break"] {
        assert_eq!(may_burst(verb, &[("run", "Plum"), ("amiss", "yes")]), 0);
        // Unasked, one that is well is taken first.
        assert_eq!(may_burst(verb, &[("run", "Plum")]), 1);
    }
    looked_at(&[]).check(
        "open",
        &[("run", "Plum"), ("amiss", "yes")],
        "refused: 0 of Plum are marked with something amiss, not 1; `look` marks those it is found with.",
    );
}

#[test]
fn a_look_at_some_asks_only_for_those_that_nobody_looked_at() {
    let check = |looks: &[&[(&str, &str)]], expected: &str| {
        let cellar = looked_at(looks).snapshot;
        let plum = cellar.find(Sort::Run, "Plum").unwrap().key;
        let left = 8 - cellar.wine(plum).unwrap().looked_at(Property::Corks);
        assert_eq!(left.to_string(), expected, "{looks:?}");
    };
    let shelf: &[(&str, &str)] = &[("run", "Plum"), ("from", "shelf 1"), ("well", "yes")];
    let one: &[(&str, &str)] = &[("run", "Rack A/A2"), ("corks", "rising")];
    check(&[], "8");
    check(&[shelf], "5");
    check(&[shelf, one], "4");
    // The same one once more, as it carries what was found of it.
    check(&[shelf, one, one], "4");
    // Bubbles say nothing of the corks; a look at all leaves none to look at.
    check(&[&[("run", "Rack A/A2"), ("bubbles", "none")]], "8");
    check(&[shelf, &[("run", "Plum"), ("corks", "level")]], "0");
    looked_at(&[]).check(
        "look",
        &[("run", "Plum"), ("from", "the attic"), ("well", "yes")],
        "refused: no bottle of Plum is at the attic by the book: opened, given or moved already; `leesline bottles` lists where they are.",
    );
}

/// One wine is in all bottles: what was found with one is feared of the rest, until it is known better.
#[test]
fn pressure_found_with_some_ends_as_soon_as_all_were_looked_at_and_no_sooner() {
    type Step<'a> = (i64, &'a str, &'a [(&'a str, &'a str)]);
    let check = |steps: &[Step], caution: bool| {
        let mut cellar = looked_at(&[]);
        let first = cellar.snapshot.now;
        for (day, verb, pairs) in steps {
            cellar.snapshot.now = first.plus_days(*day);
            cellar.write(verb, pairs);
        }
        let plum = cellar.snapshot.find(Sort::Run, "Plum").unwrap().key;
        let policy = Policy::of(&cellar.snapshot);
        let holding = Holding::of(&cellar.snapshot, plum, &policy).unwrap();
        assert_eq!(!pressure(&holding).is_empty(), caution, "{steps:?}");
    };
    let one = &[("run", "Rack A/A2"), ("corks", "rising")];
    let rises: Step = (30, "look", one);
    check(&[rises], true);
    // That one, looked at again, is well.
    let amiss_well = &[("run", "Plum"), ("amiss", "yes"), ("corks", "level")];
    let well: Step = (31, "look", amiss_well);
    check(&[rises, well], false);
    let drunk: Step = (31, "open", &[("run", "Plum"), ("amiss", "yes")]);
    check(&[rises, drunk], true);
    // The rest: four in the rack, three on the shelf.
    let in_rack: &[&[(&str, &str)]] = &[
        &[("run", "Rack A/A1"), ("corks", "level")],
        &[("run", "Rack A/A3"), ("corks", "level")],
        &[("run", "Rack A/B1"), ("corks", "level")],
        &[("run", "Rack A/B2"), ("corks", "level")],
    ];
    let on_shelf = &[("run", "Plum"), ("from", "shelf 1"), ("corks", "level")];
    let shelf = |day: i64| -> Step { (day, "look", on_shelf) };
    let rack = |day: i64| in_rack.iter().map(move |it| -> Step { (day, "look", it) });
    let in_turn = |parts: &[&[Step]], caution: bool| check(&parts.concat(), caution);
    let (rack_before, rack_after): (Vec<_>, Vec<_>) = (rack(30).collect(), rack(33).collect());
    in_turn(&[&[rises], &rack_before, &[shelf(30)]], true);
    in_turn(&[&[rises], &rack_before, &[shelf(30), drunk]], false);
    in_turn(&[&rack_before, &[shelf(30), rises, drunk]], false);
    in_turn(&[&[rises, drunk], &rack_after], true);
    in_turn(&[&[rises, drunk], &rack_after, &[shelf(33)]], false);
    // A month ago says nothing of now.
    in_turn(&[&[shelf(0)], &rack_before, &[rises, drunk]], true);
    let all_well = &[("run", "Plum"), ("well", "yes")];
    check(&[(0, "look", all_well), rises, drunk], true);
    check(&[(30, "look", all_well), rises, drunk], false);
    // The first is gone: that another one is well after all says nothing of that.
    let other: Step = (33, "look", &[("run", "Rack A/A3"), ("corks", "rising")]);
    check(&[rises, drunk, other, (34, "look", amiss_well)], true);
    // What was found of all ends some at a time too.
    let all_rise: Step = (30, "look", &[("run", "Plum"), ("corks", "rising")]);
    let whole_rack = &[("run", "Plum"), ("from", "Rack A"), ("corks", "level")];
    check(&[all_rise, (33, "look", whole_rack)], true);
    check(&[all_rise, (33, "look", whole_rack), shelf(34)], false);
    check(&[all_rise, shelf(33), (34, "look", one)], true);
}

#[test]
fn it_is_said_how_many_of_the_rest_were_looked_at() {
    let mut cellar = looked_at(&[&[("run", "Rack A/A2"), ("corks", "rising")]]);
    cellar.write("open", &[("run", "Plum"), ("amiss", "yes")]);
    let shelf = [("run", "Plum"), ("from", "shelf 1"), ("corks", "level")];
    cellar.write("look", &shelf);
    let policy = Policy::of(&cellar.snapshot);
    let look = Look::at(&cellar.snapshot, &policy);
    let reasons = attention(&cellar.snapshot, &policy);
    let amiss = reasons.iter().find(|it| it.kind == ReasonKind::Amiss);
    let why = look.working(amiss.unwrap()).join(" ");
    assert!(
        why.contains("3 of the 7 that are left were looked at since"),
        "{why}"
    );
}

#[test]
fn a_look_at_some_says_that_what_was_found_stands() {
    let rising = [("run", "Plum"), ("corks", "rising")];
    let asked = |found: &[(&str, &str)], look: &[(&str, &str)]| {
        let mut cellar = looked_at(&[]);
        cellar.write("look", found);
        cellar.prepare("look", look).unwrap().asks.join(" ")
    };
    let shelf = [("run", "Plum"), ("from", "shelf 1"), ("corks", "level")];
    let said = asked(&rising, &shelf);
    assert!(
        said.starts_with("Corks rising on ")
            && said.ends_with(": that stands until all bottles were looked at and found well."),
        "{said}"
    );
    assert_eq!(asked(&[("run", "Plum"), ("corks", "level")], &shelf), "");
    let seepage = [("run", "Plum"), ("from", "shelf 1"), ("seepage", "none")];
    assert_eq!(asked(&rising, &seepage), "");
}

/// Looked at a day after they were filled, they are not asked for again because one is amiss months later.
#[test]
fn what_is_amiss_later_takes_no_look_back() {
    let mut cellar = looked_at(&[&[("run", "Plum"), ("well", "yes")]]);
    let plum = cellar.snapshot.find(Sort::Run, "Plum").unwrap().key;
    let all_seen = |cellar: &Cellar| {
        let looks = cellar.snapshot.wine(plum).unwrap().looks[&Property::Corks];
        looks.all_ms
    };
    let seen = cellar.snapshot.now;
    cellar.snapshot.now = seen.plus_days(60);
    cellar.write("look", &[("run", "Rack A/A2"), ("corks", "rising")]);
    assert_eq!(all_seen(&cellar), Some(seen.utc_ms));
    cellar.write("look", &[("run", "Plum"), ("corks", "level")]);
    assert_eq!(all_seen(&cellar), Some(cellar.snapshot.now.utc_ms));
}

/// The last of them, one by one, would end the caution.
#[test]
fn the_look_that_ends_a_caution_asks_first() {
    let check = |looks: &[&[(&str, &str)]], count: &str, asked: bool| {
        let mut cellar = looked_at(looks);
        cellar.write("open", &[("run", "Plum"), ("amiss", "yes")]);
        let look = &[("run", "Plum"), ("count", count), ("corks", "level")];
        let asks = cellar.prepare("look", look).unwrap().loses;
        assert_eq!(asks.is_some_and(|it| it.contains("every bottle")), asked);
    };
    let one: &[(&str, &str)] = &[("run", "Rack A/A2"), ("corks", "rising")];
    let shelf: &[(&str, &str)] = &[("run", "Plum"), ("from", "shelf 1"), ("corks", "level")];
    check(&[one], "4", false);
    check(&[one, shelf], "3", false);
    check(&[one, shelf], "4", true);
    check(&[one], "7", true);
}

#[test]
fn of_a_run_with_several_sizes_those_of_one_are_looked_at() {
    let mut cellar = looked_at(&[]);
    let small = &[
        ("run", "Plum"),
        ("count", "3"),
        ("size", "375"),
        ("full", "yes"),
    ];
    cellar.write("give", &[("run", "Plum"), ("count", "3")]);
    cellar.write("back", small);
    let small = &[("run", "Plum"), ("size", "375"), ("well", "yes")];
    cellar.check("look", small, "Look at 3 of Plum in 375 mL: all well.");
    cellar.check_again("look", small);
    cellar.check(
        "look",
        &[("run", "Plum"), ("size", "500"), ("well", "yes")],
        "refused: 0 of Plum in 500 mL are there, not 1; if you find more, write them down with `here` by a name of their own.",
    );
}

/// A look told back after another is that very look, and no measurement of a vessel.
#[test]
fn a_look_is_told_back_as_the_look_it_was() {
    let before: &[(&str, &str)] = &[("run", "Rack A/A2"), ("corks", "rising")];
    let check = |look: &[(&str, &str)]| looked_at(&[before]).check_again("look", look);
    check(&[("run", "Plum"), ("well", "yes")]);
    check(&[("run", "Plum"), ("corks", "level"), ("haze", "hazy")]);
    check(&[("run", "Plum"), ("bubbles", "much"), ("seepage", "some")]);
    check(&[("run", "Rack A/A2"), ("well", "yes")]);
    check(&[
        ("run", "Rack A/A3"),
        ("corks", "sunken"),
        ("bubbles", "none"),
    ]);
    check(&[
        ("run", "Plum"),
        ("from", "shelf 1"),
        ("count", "2"),
        ("haze", "hazy"),
    ]);
}

/// Rack A holds five of the eight bottles of Plum, three are loose.
#[test]
fn a_second_look_with_the_same_finding_says_that_it_counts_other_bottles_and_never_more_than_there_are()
 {
    let seeps: &[(&str, &str)] = &[("run", "Plum"), ("count", "2"), ("seepage", "some")];
    let carrying = |looks: &[&[(&str, &str)]]| {
        let snapshot = looked_at(looks).snapshot;
        let plum = snapshot.find(Sort::Run, "Plum").unwrap().key;
        snapshot.wine(plum).unwrap().carrying(Property::Seepage)
    };
    let cellar = looked_at(&[]);
    assert_eq!(cellar.prepare("look", seeps).unwrap().asks, [""; 0]);
    looked_at(&[seeps]).check_asks(
        "look",
        seeps,
        &["2 of them are marked with some seepage already, and these are taken to be others; with --amiss they are the same ones."],
    );
    assert_eq!(carrying(&[seeps, seeps]), 4);
    let same: &[(&str, &str)] = &[&seeps[0], &seeps[1], &seeps[2], &("amiss", "yes")].map(|it| *it);
    looked_at(&[seeps]).check_asks("look", same, &[]);
    assert_eq!(carrying(&[seeps, same]), 2);
    let most: &[(&str, &str)] = &[("run", "Plum"), ("count", "7"), ("seepage", "some")];
    assert_eq!(carrying(&[most, most]), 8);
    looked_at(&[most]).check(
        "look",
        &[("run", "Plum"), ("count", "9"), ("seepage", "some")],
        "refused: 8 of Plum are there, not 9; if you find more, write them down with `here` by a name of their own.",
    );
}
