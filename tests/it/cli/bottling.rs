//! A bottling by the command line: what is asked as it begins, and what it took of what was on hand.

use super::{Cellar, borrowed, run, start_of};

/// The question that a start brings up, on a carboy and these empties; it goes on.
fn asked(empties: &[&str], start: &[&str]) -> String {
    let cellar = Cellar::with_damson();
    cellar.done(&[&["empties", "add", "40"], empties].concat());
    let begin = cellar.asked(&start_of("Carboy", start));
    let (code, out, told) = run(&borrowed(&begin));
    assert_eq!(code, 0, "{out}{told}");
    told
}

/// Carboy B of the demo answers every question with yes, until it is found hazy.
#[test]
fn a_no_that_bursts_nothing_takes_a_reason_that_the_book_keeps_too() {
    let cellar = Cellar::demo();
    cellar.done(&["measure", "Carboy B", "--clarity", "hazy"]);
    let start = ["bottle", "start", "Carboy B", "--yes"];
    let why = "Wait, chill, or fine it by a bench trial, or give --overrule 'why'. Clear?";
    cellar.check_refused(&start, 1, why);
    cellar.check_refused(&start, 1, "goes into the bottles and stays there");
    let overruled = ["--overrule", "for the still", "--filled", "3"];
    cellar.done(&[&start[..], &overruled].concat());
    let book = cellar.done(&["book"]);
    let why = "bottled all the same: for the still";
    assert!(book.contains(why), "{book}");
    cellar.done(&["check"]);
}

/// A page in one line, without its indents.
fn flowing(page: &str) -> String {
    page.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// By hand: 45 mm of cork and 15 mm of air (cork makers); 2.08 L with 100 mg/L of SO2 take 0.36 g of powder.
#[test]
fn a_plan_says_how_high_to_fill_and_how_its_powder_is_measured() {
    let cellar = Cellar::with_damson();
    let plan = || cellar.json(&["bottle", "plan", "Carboy"]);
    assert!(plan()["fill_below_lip_mm"].is_null());
    cellar.done(&["buy", "cork", "--amount", "100", "--size", "45"]);
    assert_eq!(plan()["fill_below_lip_mm"], 60);
    let page = cellar.done(&["bottle", "plan", "Carboy", "--lees", "0.3 L"]);
    let page = flowing(&page);
    assert!(
        page.contains("Fill to 60 mm below the lip at 20 °C"),
        "{page}"
    );
    assert!(
        page.contains("stock solution of metabisulfite (0.36 g of powder)"),
        "{page}"
    );
    assert!(
        page.contains("The stock is 10 g of powder in cool water, made up to 100 mL."),
        "{page}"
    );
    let screw = cellar.json(&["bottle", "plan", "Carboy", "--closure", "screw-cap"]);
    assert_eq!(screw["fill_below_lip_mm"], 30);
}

/// 22.4 L are there; 3 × 0.75 L leave 20.15 of them.
#[test]
fn a_plan_takes_no_more_lees_than_there_is_wine_and_calls_no_carboy_a_glass() {
    let cellar = Cellar::with_damson();
    let lees = ["bottle", "plan", "Carboy", "--lees", "30L"];
    cellar.check_refused(
        &lees,
        1,
        "30.0 L of lees is more than the 22.4 L in Carboy; give less.",
    );
    let page = cellar.done(&["bottle", "plan", "Carboy", "--sizes", "3x750"]);
    let page = flowing(&page);
    assert!(!page.contains("drink soon"), "{page}");
    assert!(
        page.contains("rack it into a vessel that it fills"),
        "{page}"
    );
    let page = flowing(&cellar.done(&["bottle", "plan", "Carboy", "--sizes", "750"]));
    assert!(page.contains("to drink soon"), "{page}");
}

#[test]
fn a_cork_for_a_crown_s_bottle_is_spoken_of() {
    let told = asked(&["--finish", "crown-29"], &[]);
    assert!(
        told.contains("for 29 mm crowns, where a cork does not hold"),
        "{told}"
    );
}

/// By hand: two bottles of 0.75 are 1.5 L.
#[test]
fn bottles_go_back_into_a_vessel_and_a_void_brings_them_back() {
    let cellar = Cellar::with_damson();
    cellar.done(&["vessel", "add", "Jug", "--mark", "5 L"]);
    cellar.done(&["here", "Merlot 23", "--bottles", "12"]);
    cellar.done(&["unbottle", "Merlot 23", "--count", "2", "--into", "Jug"]);
    let litres = |cellar: &Cellar| {
        let board = cellar.json(&["board"]);
        let vessels = board["vessels"].as_array().unwrap();
        let jug = vessels.iter().find(|it| it["name"] == "Jug").unwrap();
        jug["holds"]["volume_ul"].as_i64()
    };
    assert_eq!(litres(&cellar), Some(1_500_000));
    cellar.done(&["check"]);
    // 1.5 L is in it, and five bottles are 3.75 L more, a quarter of a litre over what it holds.
    cellar.check_refused(
        &["unbottle", "Merlot 23", "5", "--into", "Jug", "--yes"],
        1,
        "Jug has room for 3.5 L by the book (5.0 L when full) and 3.8 L would run over",
    );
    cellar.done(&["undo", "--yes"]);
    assert_eq!(litres(&cellar), None);
    cellar.done(&["check"]);
}

/// 22.4 − 24 × 0.75 = 4.4 L do not go into a jug of 3.8 L, but into one of 5 L they do.
#[test]
fn what_is_left_of_a_bottling_fits_into_the_vessel_it_is_poured_into() {
    let cellar = Cellar::with_damson();
    cellar.done(&["vessel", "add", "Jug", "--mark", "3.8 L"]);
    cellar.done(&["vessel", "add", "Big jug", "--mark", "5 L"]);
    cellar.bottles("Carboy", &["--filled", "24", "--mark", "K6", "--yes"]);
    // The mark names the bottles as their name does.
    let finish = ["bottle", "finish", "k6", "--yes", "--into"];
    let into = |vessel| [&finish[..], &[vessel]].concat();
    cellar.check_refused(
        &into("Jug"),
        1,
        "Jug has room for 3.8 L by the book (3.8 L when full) and 4.4 L would run over",
    );
    cellar.done(&into("Big jug"));
    cellar.done(&["give", "K6", "1", "--to", "a neighbour", "--yes"]);
    cellar.done(&["back", "K6"]);
    cellar.done(&["check"]);
}

#[test]
fn bottles_of_a_wine_never_measured_are_watched_until_looks_over_weeks_find_nothing() {
    let cellar = Cellar::with_damson();
    cellar.bottles("Carboy", &["--filled", "29"]);
    cellar.done(&["bottle", "finish", "Damson"]);
    let says = |today: &str| cellar.done(&["--today", today, "due"]);
    let later = |days: u64| {
        let today = chrono::Utc::now().date_naive();
        (today + chrono::Days::new(days)).to_string()
    };
    // Until then none is ready, whatever its rest says, and none is given away unasked.
    let bottles = |today: &str| cellar.json(&["--today", today, "bottles"])["bottles"][0].clone();
    assert_eq!(bottles(&later(35))["drinkable_count"], 0);
    assert_eq!(bottles(&later(35))["withheld"], "to-be-watched");
    assert!(!says(&later(60)).contains("rest ended"));
    let give = ["give", "Damson", "--to", "a friend"];
    cellar.check_refused(&give, 1, "may still burst");
    let watched = "29 bottles may ferment again and burst";
    let now = cellar.done(&["due"]);
    let line = now.lines().find(|it| it.contains(watched));
    assert!(line.is_some_and(|it| it.contains("goggles")), "{now}");
    assert!(now.find(watched) < now.find("standing"), "{now}");
    assert!(says(&later(30)).contains(watched));
    cellar.done(&["--today", &later(43), "look", "Damson", "--corks", "level"]);
    assert!(!says(&later(43)).contains(watched));
    assert_eq!(bottles(&later(43))["drinkable_count"], 29);
    assert!(says(&later(60)).contains("rest ended, 29 bottles"));
    cellar.done(&[&["--today", &later(43)], &give[..]].concat());
}

/// The one whose cork rises is taken out; one wine is in all, so that the rest is feared for until it is looked at.
#[test]
fn the_bottles_beside_one_that_was_taken_out_with_a_rising_cork_are_looked_at_first() {
    let cellar = Cellar::with_damson();
    cellar.bottles("Carboy", &["--filled", "29"]);
    cellar.done(&["bottle", "finish", "Damson"]);
    cellar.done(&["look", "Damson", "--corks", "rising", "--count", "1"]);
    cellar.done(&["open", "Damson", "--amiss", "--yes"]);
    let feared = "corks rising in bottles that are gone, 28 bottles left: they may burst";
    let due = cellar.done(&["due"]);
    assert!(due.contains(feared), "{due}");
    cellar.check_refused(&["lay-down", "Damson", "--where", "shelf"], 1, "chill");
    cellar.check_refused(&["shift", "Damson", "--to", "shelf"], 1, "chill");
    cellar.done(&["look", "Damson", "--corks", "level", "--yes"]);
    assert!(!cellar.done(&["due"]).contains("corks rising"));
    cellar.done(&["lay-down", "Damson", "--where", "shelf"]);
}

#[test]
fn a_crown_is_held_to_the_mouth_of_its_size() {
    let says = "The 750 mL bottles on hand are for 29 mm crowns, where a 26 mm crown does not hold: close them with \
                29 mm crowns, or take others.";
    let on_29 = |closure: &str| asked(&["--finish", "crown-29"], &["--closure", closure]);
    assert!(on_29("crown-26").contains(says), "{}", on_29("crown-26"));
    for fitting in ["crown-29", "crown-cap"] {
        assert!(!on_29(fitting).contains("does not hold"), "{fitting}");
    }
    let cellar = Cellar::with_damson();
    cellar.done(&["empties", "add", "40", "--finish", "crown-29"]);
    let plan = cellar.json(&[
        "bottle",
        "plan",
        "Carboy",
        "--sizes",
        "750",
        "--closure",
        "crown-26",
    ]);
    assert_eq!(plan["does_not_fit"][0], says);
}

#[test]
fn a_cork_is_not_driven_into_a_screw_neck_without_a_yes() {
    let cellar = Cellar::with_damson();
    cellar.done(&["empties", "add", "40", "--finish", "screw"]);
    let start = start_of("Carboy", &[]);
    cellar.check_refused(&start, 1, "A screw-top neck can break in a corker");
    cellar.done(&[&start[..], &["--yes"]].concat());
}

/// Two corkers, one set for 38 and for 44 mm; of the corks on hand an opened packet is used first.
#[test]
fn a_corker_is_set_for_the_corks_on_hand() {
    let cellar = Cellar::with_damson();
    let says = |words: &str| {
        let plan = cellar.json(&["bottle", "plan", "Carboy"]);
        let closing = plan["closing"].as_str().unwrap();
        assert!(closing.contains(words), "{words}: {closing}");
    };
    says(
        "Corks dry, or rinsed briefly, never boiled; set the corker, and look at two before the rest.",
    );
    cellar.done(&["settings", "--corker", "bench at 3"]);
    says("set the corker (bench at 3),");
    cellar.done(&["corker", "Bench", "--setting", "3", "--cork", "38"]);
    cellar.done(&["corker", "Bench", "--setting", "5", "--cork", "44"]);
    cellar.done(&[
        "buy", "cork", "--amount", "100", "--size", "44x24", "--name", "Long",
    ]);
    says("set Bench to 5 for corks of 44 mm,");
    let opened = [
        "--size",
        "38 × 24 mm",
        "--opened",
        "2026-01-03",
        "--name",
        "Short",
    ];
    cellar.done(&[&["buy", "corks", "--amount", "100"], &opened[..]].concat());
    says("set Bench to 3 for corks of 38 mm,");
    let page = cellar.done(&["bottle", "plan", "Carboy"]);
    assert!(
        page.contains("100 there, 38 × 24 mm") || page.contains("200 there, 38 × 24 mm"),
        "{page}"
    );
    cellar.done(&["corker", "Hand", "--setting", "2 mm", "--size", "750"]);
    says("set Bench to 3 for corks of 38 mm, or Hand to 2 mm in bottles of 750 mL,");
    cellar.check_refused(
        &["settings", "--corker", "x"],
        2,
        "your corkers have names of their own; set one with",
    );
    cellar.done(&["corker", "Hand", "--retire"]);
    says("set Bench to 3 for corks of 38 mm,");
    let book = cellar.done(&["book"]);
    for said in ["Set Bench to 3 for corks of 38 mm", "Retired Hand"] {
        assert!(book.contains(said), "{said}: {book}");
    }
    cellar.check_refused(
        &["buy", "crown-26", "--size", "38"],
        2,
        "is a size of corks, and these are none",
    );
    cellar.check_refused(
        &["buy", "cork", "--size", "thick"],
        2,
        "write its length by its diameter in mm, such as 38x24.",
    );
}

#[test]
fn two_corks_that_sit_well_are_written_down_and_kept() {
    let cellar = Cellar::with_damson();
    cellar.done(&["corker", "Bench", "--setting", "3"]);
    cellar.bottles("Carboy", &["--corker", "Bench", "--filled", "2"]);
    cellar.done(&["bottle", "corks", "Damson"]);
    assert!(
        cellar
            .done(&["book"])
            .contains("Looked at two corks of Damson: they sit well")
    );
    cellar.done(&["bottle", "finish", "Damson"]);
    cellar.bottles("Carboy", &["--closure", "crown-26"]);
    cellar.check_refused(
        &["bottle", "corks", "Damson 2"],
        1,
        "Damson 2 has no corks; it is closed by 26 mm crown.",
    );
    cellar.done(&["check"]);
}

/// 10 bottles closed, 2 corks refused, 1 bottle broken: 9 stand, and 12 corks and 10 bottles are gone.
#[test]
fn what_went_amiss_at_the_spout_is_taken_back_and_what_did_is_gone_from_the_stock() {
    let cellar = Cellar::with_damson();
    cellar.done(&["empties", "add", "20", "--name", "Old"]);
    cellar.done(&["buy", "cork", "--amount", "30", "--name", "Corks"]);
    let start = ["bottle", "start", "Carboy", "--overrule", "a trial"];
    cellar.done(&[&start[..], &["--mark", "W1"]].concat());
    let counts = |number: &str, event: &str| {
        cellar.done(&["bottle", "count", "Damson", number, "--event", event])
    };
    cellar.done(&["bottle", "count", "w1", "10"]);
    assert_eq!(counts("2", "broken"), "Damson: 8 bottles.\n");
    assert_eq!(counts("-1", "broken"), "Damson: 9 bottles.\n");
    counts("3", "refused");
    assert_eq!(counts("-1", "refused"), "Damson: 9 bottles.\n");
    // 100 is no 100 bottles: what is spilled or drawn is a volume.
    for event in ["spilled", "drawn"] {
        let spill = |how_much| {
            [
                "bottle", "count", "Damson", "--event", event, "--", how_much,
            ]
        };
        cellar.check_refused(&spill("100"), 2, "such as \"100 mL\"");
        assert_eq!(counts("250 mL", event), "Damson: 9 bottles.\n");
        cellar.done(&spill("-250 mL"));
        let word = format!("Nothing of 250 mL is {event}");
        cellar.check_refused(&spill("-250 mL"), 1, &word);
    }
    let lees = ["bottle", "finish", "Damson", "--leaving", "16 L"];
    cellar.check_refused(&lees, 1, "more than the 14.9 L that is left");
    cellar.done(&["bottle", "finish", "Damson"]);
    let stock = cellar.done(&["stock"]);
    let left = |what: &str| {
        let line = stock.lines().find(|it| it.contains(what));
        line.unwrap_or_else(|| panic!("{stock}")).to_owned()
    };
    assert!(left("Old").contains("10"), "{stock}");
    assert!(left("Corks").contains("18"), "{stock}");
    let book = cellar.done(&["book"]);
    assert!(
        book.contains("Bottled 9 bottles of Damson from Carboy, 6.8 L"),
        "{book}"
    );
    cellar.done(&["check"]);
}

/// A dose that was not given is asked about once; one that was given is not.
#[test]
fn a_dose_not_given_is_asked_about_as_it_is_ticked_off() {
    let at_dose = || {
        let cellar = Cellar::demo();
        let begun = ["--chores", "yes", "--name", "Test"];
        cellar.bottles("Carboy A", &begun);
        for _ in 0..3 {
            cellar.done(&["bottle", "ready", "Test", "--yes"]);
        }
        cellar
    };
    let cellar = at_dose();
    let ready = ["bottle", "ready", "Test"];
    cellar.check_refused(
        &ready,
        1,
        "The wine is still short of sulfite by the book: 7.5 mL",
    );
    cellar.done(&["bottle", "ready", "Test", "--yes"]);

    let cellar = at_dose();
    cellar.done(&["add", "Carboy A", "sulfite", "1 g", "--yes"]);
    cellar.done(&ready);
}

/// What is said of the wine as its bottling begins is said of the bottles, as a reading before it is.
#[test]
fn warm_said_as_it_is_begun_is_known_of_the_bottles() {
    let cellar = Cellar::new();
    let here = [
        "here", "Carboy", "--mark", "23 L", "--holds", "Damson", "--amount", "22.4 L",
    ];
    cellar.done(&[&here[..], &["--wine", "fruit", "--at", "-60d"]].concat());
    for days in ["-30d", "-22d", "-14d"] {
        cellar.done(&[
            "measure",
            "Carboy",
            "--gravity",
            "0.994",
            "--gas",
            "none",
            "--at",
            days,
        ]);
    }
    let start = [
        "bottle", "start", "Carboy", "--warm", "yes", "--filled", "29", "--yes",
    ];
    cellar.done(&start);
    cellar.done(&["bottle", "finish", "Damson", "--yes"]);
    let bottles = &cellar.json(&["bottles"])["bottles"][0];
    assert!(bottles["withheld"].is_null(), "{bottles:#}");
    assert!(!cellar.done(&["due"]).contains("burst"));
}

/// Too much is not protected.
#[test]
fn a_wine_over_its_ceiling_is_no_yes_at_the_gate() {
    let cellar = Cellar::with_damson();
    cellar.done(&["measure", "Carboy", "--free-so2", "30", "--ph", "3.3"]);
    cellar.done(&["add", "Carboy", "sulfite", "50 g", "--yes"]);
    let plan = cellar.json(&["bottle", "plan", "Carboy"]);
    let questions = plan["questions"].as_array().unwrap().iter();
    let mut protected = questions.filter(|it| it["question"] == "Protected?");
    let protected = protected.next().unwrap();
    assert_eq!(protected["answer"], "no", "{protected:#}");
}

/// A bottling under way is called so, wherever its bottles or its vessel are listed.
#[test]
fn bottles_of_a_bottling_under_way_are_being_bottled() {
    let cellar = Cellar::with_damson();
    cellar.bottles("Carboy", &["--mark", "D1", "--yes"]);
    let bottles = || cellar.done(&["bottles"]);
    assert!(bottles().contains("being bottled, none filled yet"));
    cellar.done(&["bottle", "count", "D1", "8"]);
    let under_way = bottles();
    assert!(!under_way.contains("to drink"), "{under_way}");
    let board = cellar.done(&["board"]);
    let vessel = board
        .lines()
        .find(|it| it.starts_with("  Carboy ") && it.contains("16.4 L"));
    assert!(
        vessel.is_some_and(|it| it.contains("being bottled")),
        "{board}"
    );
    cellar.check_refused(
        &["bottle", "ready", "D1"],
        1,
        "ticked off where it was begun with `bottle start --chores yes`",
    );
    let finish = ["bottle", "finish", "D1", "--yes", "--rest"];
    let longest = [&finish[..], &["99999"]].concat();
    cellar.check_refused(&longest, 2, "more than ten years");
    cellar.done(&[&finish[..], &["42"]].concat());
    cellar.check_refused(
        &["reserve", "D1", "1", "--for", "1999"],
        2,
        "1999 is past, so nothing can be kept for it",
    );
    cellar.check_refused(
        &["open", "D1", "--at", "-30d", "--yes"],
        1,
        "Damson was bottled only on",
    );
    cellar.done(&["check"]);
}

/// By hand: 24 × 0.75 + 0.375 = 18.375 L of about 20 L; less 0.3 L of lees 1.325 L stay.
#[test]
fn counted_bottles_are_not_about_and_what_stays_in_the_vessel_is_named() {
    let cellar = Cellar::new();
    let here = [
        "here",
        "Carboy",
        "--mark",
        "23L",
        "--amount",
        "about 20 L",
        "--holds",
        "White",
    ];
    cellar.done(&here);
    let filled = [
        "bottle",
        "start",
        "Carboy",
        "--filled",
        "24x750 1x375",
        "--overrule",
        "x",
        "--yes",
    ];
    cellar.done(&filled);
    let left = cellar.done(&["bottles"]);
    assert!(
        left.contains("1 × 375 mL") && !left.contains("about"),
        "{left}"
    );
    let finish = ["bottle", "finish", "White", "--leaving", "0.3L"];
    let (code, _, told) = run(&borrowed(&cellar.asked(&finish)));
    assert_eq!(code, 0, "{told}");
    assert!(told.contains("1.3 L stays in Carboy"), "{told}");
    cellar.done(&["here", "Plum", "--bottles", "6"]);
    cellar.check_refused(
        &["open", "Plum", "--at", "-30d"],
        1,
        "if it was there before, `leesline amend` its entry with an earlier `--at`",
    );
}

/// By hand: filled on 5 Sep and finished on 7 Sep, a fruit wine rests its 42 days until 17 Oct; the finish
/// written anew leaves that as it was.
#[test]
fn bottles_typed_once_stand_and_rest_from_when_they_were_filled() {
    let cellar = Cellar::new();
    let day = |day: &'static str, line: &str| cellar.on(day, line);
    day(
        "2026-08-01",
        "here Carboy --mark 23L --holds Damson --amount 22.4L --wine fruit",
    );
    let start = "--today 2026-09-05 bottle start Carboy --filled 28 --overrule trial";
    let start: Vec<&str> = start.split(' ').collect();
    let (code, _, told) = run(&borrowed(&cellar.asked(&start)));
    assert_eq!(code, 0, "{told}");
    assert!(told.contains("`bottle finish \"Damson\"`"), "{told}");
    day("2026-09-07", "bottle finish Damson --yes");
    let says = || {
        let shown = day("2026-09-08", "show Damson");
        let says = |heading: &str, day: &str| {
            let line = shown.lines().find(|it| it.trim().starts_with(heading));
            assert!(line.is_some_and(|it| it.contains(day)), "{shown}");
        };
        says("bottled", "5 Sep");
        says("rest until", "17 Oct");
    };
    says();
    let book = cellar.json(&["--today", "2026-09-08", "book"]);
    let entries = book["entries"].as_array().unwrap().iter();
    let mut entries = entries.filter(|it| it["when"].as_str().unwrap().starts_with("2026-09-07"));
    let number = &entries.next().unwrap()["number"];
    day(
        "2026-09-08",
        &format!("amend {number} bottle finish Damson --rest 42 --yes"),
    );
    says();
}

/// 6 of the bottles are of 375 mL, and no more are counted where that is what was seen.
#[test]
fn bottles_of_the_size_seen_are_counted() {
    let cellar = Cellar::with_damson();
    cellar.bottles("Carboy", &["--filled", "20x750 6x375", "--yes"]);
    cellar.done(&["bottle", "finish", "Damson", "--yes"]);
    let seen = cellar.done(&["which", "--size", "375"]);
    assert!(seen.contains("6 bottles") && !seen.contains("26"), "{seen}");
}

/// So long a number is no count, and is refused by what it would mean all the same.
#[test]
fn a_rest_of_more_than_ten_years_is_refused_as_that() {
    let cellar = Cellar::with_damson();
    cellar.bottles("Carboy", &["--filled", "29"]);
    for days in ["3654", "99999999", "99999999999999999999999"] {
        let finish = ["bottle", "finish", "Damson", "--rest", days];
        let why = format!("{days} days of rest are more than ten years; give days, such as 42.");
        cellar.check_refused(&finish, 2, &why);
    }
    let word = ["bottle", "finish", "Damson", "--rest", "long"];
    cellar.check_refused(&word, 2, "`long` is not a whole number");
    cellar.done(&["bottle", "finish", "Damson", "--rest", "3653"]);
}

/// Whoever starts without it hears of it; who said either way, or has filled already, does not.
#[test]
fn a_start_names_what_can_be_ticked_off_before() {
    let check = |more: &[&str], expected: bool| {
        let cellar = Cellar::with_damson();
        let start = cellar.asked(&start_of("Carboy", more));
        let (code, _, told) = run(&borrowed(&start));
        assert_eq!(
            (code, told.contains("`--chores yes`")),
            (0, expected),
            "{told}"
        );
    };
    check(&[], true);
    check(&["--chores", "yes"], false);
    check(&["--chores", "no"], false);
    check(&["--filled", "29"], false);
}

/// P5 is Plum 25's, of which 19 bottles are there.
#[test]
fn a_mark_by_which_other_bottles_are_told_is_refused() {
    let cellar = Cellar::demo();
    let start = [
        "bottle", "start", "Carboy B", "--filled", "25", "--yes", "--mark",
    ];
    let with = |mark| [&start[..], &[mark]].concat();
    let refused = "marks the bottles of Plum 25 already";
    cellar.check_refused(&with("P5"), 1, refused);
    cellar.check_refused(&with("p5"), 1, refused);
    cellar.done(&with("S5"));
    cellar.check_refused(
        &["bottles", "describe", "Plum 25", "--mark", "S5"],
        1,
        "marks the bottles of",
    );
    cellar.done(&["bottles", "describe", "Plum 25", "--mark", "P5"]);
}
