//! What comes before the first bottle, taken back and written anew, and what comes in between.

use super::Cellar;

/// Damson in a carboy, its bottling begun with what comes before the first bottle, and that ticked off.
fn made_ready() -> Cellar {
    let cellar = Cellar::with_damson();
    cellar.bottles("Carboy", &["--chores", "yes"]);
    for _ in 0..4 {
        cellar.done(&["bottle", "ready", "Damson", "--yes"]);
    }
    cellar
}

/// The number of the newest entry that says so.
fn number(cellar: &Cellar, words: &str) -> String {
    let book = cellar.done(&["book"]);
    let line = book.lines().find(|it| it.contains(words));
    let line = line.unwrap_or_else(|| panic!("no {words}: {book}"));
    line.split_whitespace().next().unwrap().to_owned()
}

/// Whether sulfite is in the bottles, by what their page says.
fn sulfited(cellar: &Cellar) -> bool {
    cellar
        .done(&["show", "Damson"])
        .contains("mg/L since the must")
}

#[test]
fn what_bottles_were_counted_after_is_not_undone_so_that_no_dose_gets_into_those_filled_before_it()
{
    let cellar = made_ready();
    cellar.done(&["bottle", "count", "Damson", "5"]);
    let kept = "5 bottles counted since";
    cellar.check_refused(&["undo", "--yes"], 1, kept);
    let ready = number(&cellar, "Bottled 5 bottles");
    cellar.check_refused(&["void", &ready, "--yes"], 1, "take those back first");
    // Taken back they hold it no longer, and what was ticked off before the last holds no bottle.
    cellar.done(&["bottle", "count", "Damson", "-5"]);
    cellar.done(&["undo", "--yes"]);
    cellar.done(&["check"]);
}

/// Counted before all was ticked off: what is ticked off later moves none of them.
#[test]
fn a_bottle_counted_before_the_dose_does_not_get_it() {
    let cellar = made_ready();
    cellar.done(&["undo", "--yes"]);
    cellar.done(&["bottle", "count", "Damson", "5"]);
    cellar.done(&["add", "Carboy", "metabisulfite", "1 g", "--yes"]);
    cellar.done(&["bottle", "ready", "Damson", "--yes"]);
    assert!(!sulfited(&cellar));
    cellar.done(&["check"]);
    // Ticked off before the first bottle, the dose is in all of them.
    let cellar = made_ready();
    cellar.done(&["undo", "--yes"]);
    cellar.done(&["add", "Carboy", "metabisulfite", "1 g", "--yes"]);
    cellar.done(&["bottle", "ready", "Damson", "--yes"]);
    cellar.done(&["bottle", "count", "Damson", "5"]);
    assert!(sulfited(&cellar));
    cellar.done(&["check"]);
}

#[test]
fn what_was_ticked_off_can_be_written_anew() {
    let cellar = made_ready();
    cellar.done(&["bottle", "count", "Damson", "5"]);
    let check = |words: &str, otherwise: &[&str], expected: &str| {
        let number = number(&cellar, words);
        let again = ["amend", &number, "bottle", "ready", "Damson", "--yes"];
        let said = cellar.done(&[&again[..], otherwise].concat());
        assert!(said.contains(expected), "{expected}: {said}");
        cellar.done(&["check"]);
    };
    check(
        "Gathered",
        &["--note", "all there"],
        "Gathered what the bottling of Damson takes (all there).",
    );
    check(
        "Sanitised",
        &["--note", "twice"],
        "Sanitised bottles and gear for Damson",
    );
    check(
        "Bottled 5",
        &["--note", "in the shed"],
        "Bottled 5 bottles of Damson from Carboy, 3.8 L (in the shed).",
    );
    cellar.done(&["bottle", "count", "Damson", "24"]);
    cellar.done(&["bottle", "finish", "Damson", "--left", "drunk", "--yes"]);
    check(
        "Bottled 29",
        &["--note", "in the hall"],
        "Bottled 29 bottles of Damson from Carboy, 21.8 L (in the hall).",
    );
    let stands = cellar.json(&["bottles"]);
    assert_eq!(stands["bottles"][0]["count"], 29);
    // It is still finished, and no step of it is to be done again.
    cellar.check_refused(&["bottle", "ready", "Damson"], 1, "is finished already");
}

#[test]
fn two_wines_are_in_one_run_only_where_they_met_before_its_first_bottle() {
    let cellar = Cellar::with_damson();
    cellar.done(&[
        "here", "Jug", "--mark", "3.8 L", "--holds", "Sloe", "--amount", "0.5 L",
    ]);
    cellar.bottles("Carboy", &[]);
    let from_jug = ["bottle", "start", "Jug"];
    let blend = "or to have both wines in one run let them meet now: `leesline blend \"Carboy\" --from \"Jug\"`.";
    cellar.check_refused(&from_jug, 1, blend);
    cellar.done(&["blend", "Carboy", "--from", "Jug", "--yes"]);
    cellar.done(&["bottle", "count", "Damson", "29"]);
    cellar.done(&["bottle", "finish", "Damson", "--left", "drunk", "--yes"]);
    let shares = cellar.done(&["show", "Damson"]);
    assert!(shares.contains("Sloe"), "{shares}");
    cellar.done(&["check"]);
    // From one that does not hold both: the first empty one that does is named.
    let cellar = Cellar::with_damson();
    cellar.done(&["vessel", "add", "Vat", "--mark", "60 L"]);
    cellar.done(&[
        "here", "Jug", "--mark", "3.8 L", "--holds", "Sloe", "--amount", "3.5 L",
    ]);
    cellar.bottles("Jug", &[]);
    let vat = "void its start and let them meet now: `leesline blend \"Vat\" --from \"Jug\" --from \"Carboy\"`.";
    cellar.check_refused(&["bottle", "start", "Carboy"], 1, vat);
    cellar.done(&["bottle", "count", "Sloe", "1"]);
    let after = "bottle Carboy after it, for two wines are in one run only where they met before its first bottle.";
    cellar.check_refused(&["bottle", "start", "Carboy"], 1, after);
}

/// 40 empties and 50 corks: 10 of each are used as 30 and 40 are counted, one cork less than by the book; 10 more are used until the
/// end. 20 and 29 are left. None is counted twice, and the carboy holds 22.4 L less 20 × 0.75.
#[test]
fn empties_and_corks_counted_while_bottles_are_filled_are_not_taken_twice() {
    let cellar = Cellar::with_damson();
    cellar.done(&["empties", "add", "40", "--size", "750"]);
    cellar.done(&["buy", "corks", "50", "--size", "38x24"]);
    cellar.bottles("Carboy", &[]);
    cellar.done(&["bottle", "count", "Damson", "10"]);
    let counted = ["stock", "take", "750 mL=30", "cork 1=39"];
    let said = cellar.done(&counted);
    assert!(said.contains("what was filled by then off it"), "{said}");
    let left = |empties: i64, corks: i64| {
        let expected = [("750 mL", empties), ("cork 1", corks)];
        assert_eq!(cellar.left(), expected.map(|it| (it.0.to_owned(), it.1)));
    };
    left(30, 39);
    // Counted once more as it is: nothing is off twice.
    cellar.done(&["stock", "take", "750 mL=30"]);
    left(30, 39);
    cellar.done(&["bottle", "count", "Damson", "10"]);
    cellar.done(&["bottle", "finish", "Damson", "--yes"]);
    left(20, 29);
    let shown = cellar.done(&["show", "Carboy"]);
    assert!(shown.contains("7.4 L of 23.0 L"), "{shown}");
    cellar.done(&["check"]);
    // The finish taken back takes no more back than it took.
    cellar.done(&["undo", "--yes"]);
    left(30, 39);
    // Written anew, the first count says the same.
    let first = number(
        &cellar,
        "Took stock of 750 mL: 30 left and cork 1: 39 left, what was filled by then off it",
    );
    cellar.done(&[
        "amend",
        &first,
        "stock",
        "take",
        "750 mL=31",
        "cork 1=39",
        "--yes",
    ]);
    cellar.done(&["bottle", "finish", "Damson", "--yes"]);
    left(20, 29);
    cellar.done(&["check"]);
}

/// 45 corks, 10 filled as 35 are counted, 8 filled after: 27 are left. Without the count the finish, which took 8, would leave 37.
#[test]
fn corks_counted_while_bottles_were_filled_are_not_taken_back_from_under_the_finish() {
    let cellar = Cellar::with_damson();
    cellar.done(&[
        "buy",
        "corks",
        "45",
        "--size",
        "38x24",
        "--at",
        "2026-08-01",
    ]);
    cellar.bottles("Carboy", &[]);
    cellar.done(&["bottle", "count", "Damson", "10"]);
    cellar.done(&["stock", "take", "cork 1=35"]);
    let take = number(&cellar, "Took stock of cork 1");
    cellar.done(&["bottle", "count", "Damson", "8"]);
    cellar.done(&["bottle", "finish", "Damson", "--left", "drunk", "--yes"]);
    let finish = number(&cellar, "Finished bottling Damson");
    let left = |corks: i64| assert_eq!(cellar.left(), [("cork 1".to_owned(), corks)]);
    left(27);
    let held = format!("while entry {finish} of");
    cellar.check_refused(&["void", &take, "--yes"], 1, &held);
    let again = [
        "amend",
        &take,
        "stock",
        "take",
        "cork 1=35",
        "--yes",
        "--at",
    ];
    let earlier = [&again[..], &["2026-08-02"]].concat();
    cellar.check_refused(&earlier, 1, "keeps its moment");
    left(27);
    // The finish voided, so may the count be.
    cellar.done(&["void", &finish, "--yes"]);
    cellar.done(&["void", &take, "--yes"]);
    cellar.done(&["bottle", "finish", "Damson", "--left", "drunk", "--yes"]);
    left(27);
    cellar.check_refused(&["void", &take, "--yes"], 1, "is voided already");
    cellar.done(&["check"]);
}

/// 18 of 45 corks are used until the finish. A count written up for a moment before it is less all of them, so that it is asked for.
#[test]
fn a_count_written_up_for_a_bottling_that_is_finished_since_asks_what_it_counted() {
    let cellar = Cellar::new();
    cellar.done(&[
        "here", "Carboy", "--mark", "23 L", "--holds", "Damson", "--amount", "22.4 L", "--wine",
        "fruit", "--at", "-9d",
    ]);
    cellar.done(&["buy", "corks", "45", "--size", "38x24", "--at", "-9d"]);
    cellar.done(&[
        "buy", "sulfite", "100 g", "--name", "Sulfite", "--at", "-9d",
    ]);
    cellar.bottles("Carboy", &["--filled", "18", "--at", "-3d"]);
    cellar.done(&["bottle", "finish", "Damson", "--left", "drunk", "--yes"]);
    let take = |words: &[&str]| {
        let stock = [&["stock", "take"], words].concat();
        super::run(&super::borrowed(&cellar.asked(&stock)))
    };
    let (code, _, told) = take(&["cork 1=45", "--at", "-1d"]);
    let asked =
        "Damson was being filled then, and its finish takes all it used of cork 1 after this count";
    assert!(code == 1 && told.contains(asked), "{code}: {told}");
    // Of what it uses none of, and of what is there now, nothing is to be asked.
    for words in [&["Sulfite=90 g", "--at", "-1d"][..], &["cork 1=27"]] {
        let (code, _, told) = take(words);
        assert!(
            code == 0 && !told.contains("being filled"),
            "{code}: {told}"
        );
    }
}

#[test]
fn what_comes_before_filling_is_not_ticked_off_before_it_was_begun() {
    let cellar = Cellar::with_damson();
    cellar.bottles("Carboy", &["--chores", "yes"]);
    let early = ["bottle", "ready", "Damson", "--yes", "--at", "-1d"];
    cellar.check_refused(&early, 1, "Gather was begun for Damson only on");
    cellar.done(&["bottle", "ready", "Damson", "--yes"]);
    assert!(cellar.done(&["book"]).contains("Gathered"));
}
