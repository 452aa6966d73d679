//! What lasts is a reason until it ends: oak, cold, skins, the second part of a fining.

use super::Cellar;

/// The wine of the tests, in a carboy that was received 60 days ago.
fn check(begins: &[&str], day: u64, title: &str, ends: &[&str]) {
    let cellar = Cellar::new().with_carboy();
    cellar.done(&[
        "vessel", "add", "Carboy B", "--mark", "23 L", "--at", "-60d",
    ]);
    cellar.done(begins);
    let titles = |day: &str| -> Vec<String> {
        let due = cellar.json(&["due", "--today", day]);
        let jobs = due["reasons"].as_array().unwrap().iter();
        jobs.filter(|it| it["kind"] == "job" && it["rank"] == "soon")
            .map(|it| it["sentence"].as_str().unwrap().to_owned())
            .collect()
    };
    let on = |days: u64| (chrono::Utc::now().date_naive() + chrono::Days::new(days)).to_string();
    // Jobs are to be done from the day before on.
    if let Some(before) = day.checked_sub(3) {
        assert_eq!(titles(&on(before)), [""; 0], "{begins:?}");
    }
    assert_eq!(titles(&on(day)), [title], "{begins:?}");
    cellar.done(ends);
    assert_eq!(titles(&on(day)), [""; 0], "{ends:?}");
}

#[test]
fn oak_is_looked_at_until_it_is_out() {
    check(
        &["oak", "in", "Carboy A", "--amount", "30 g", "--days", "21"],
        21,
        "taste, and take the oak out when it is enough",
        &["oak", "out", "Carboy A"],
    );
}

#[test]
fn wine_in_the_cold_is_brought_out() {
    check(
        &["chill", "Carboy A", "--until", "14d"],
        14,
        "bring it out of the cold",
        &["warm", "Carboy A"],
    );
}

#[test]
fn must_on_its_skins_is_pressed() {
    check(
        &["punch-down", "Carboy A", "--until", "8d"],
        8,
        "press off the skins",
        &["press", "Carboy A", "--to", "Carboy B"],
    );
}

#[test]
fn the_second_part_of_a_fining_follows_the_day_after() {
    check(
        &[
            "fine",
            "Carboy A",
            "kieselsol",
            "--amount",
            "20 mL",
            "--then",
            "chitosan",
            "--at",
            "-1d",
        ],
        0,
        "fine with chitosan",
        &["fine", "Carboy A", "chitosan", "--amount", "20 mL"],
    );
}

#[test]
fn the_last_word_on_when_it_ends_holds() {
    let cellar = Cellar::new().with_carboy();
    cellar.done(&["punch-down", "Carboy A", "--until", "8d"]);
    cellar.done(&["punch-down", "Carboy A"]);
    cellar.done(&["punch-down", "Carboy A", "--until", "10d"]);
    let due = cellar.json(&["due"]);
    let jobs = due["reasons"].as_array().unwrap().iter();
    assert_eq!(jobs.filter(|it| it["kind"] == "job").count(), 1);
    cellar.check_refused(
        &["chill", "Carboy A", "--until", "soon"],
        2,
        "no day to come",
    );
}

/// The jobs that fall due on 26 Nov 2026: about what, and the sentence.
fn jobs(cellar: &Cellar) -> Vec<(String, String)> {
    let due = cellar.json(&["due", "--today", "2026-11-26"]);
    let reasons = due["reasons"].as_array().unwrap().iter();
    let jobs = reasons.filter(|it| it["kind"] == "job");
    let text = |it: &serde_json::Value| it.as_str().unwrap().to_owned();
    jobs.map(|it| (text(&it["subject"]["name"]), text(&it["sentence"])))
        .collect()
}

/// Blended, racked together with more of its own, or racked on, the wine has its second part before it all the same, until it is
/// fined.
#[test]
fn the_second_part_of_a_fining_follows_the_wine() {
    let check = |commands: &[&str], about: &str| {
        let cellar = Cellar::new();
        for command in [
            "vessel add C --mark 10L",
            "vessel add D --mark 20L",
            "vessel add E --mark 20L",
            "receive C --amount 8L --batch V",
            "receive D --amount 10L --batch W",
        ] {
            cellar.on("2026-11-01", command);
        }
        cellar.on("2026-11-20", "fine C kieselsol --amount 5g --then chitosan");
        for command in commands {
            cellar.on("2026-11-21", command);
        }
        let second = (about.to_owned(), "fine with chitosan".to_owned());
        assert_eq!(jobs(&cellar), [second], "{commands:?}");
        let vessel = if about == "V" { "E" } else { about };
        let second = format!("fine {vessel} chitosan --amount 5g");
        cellar.on("2026-11-22", &second);
        assert_eq!(jobs(&cellar), [], "{commands:?}");
    };
    check(&["rack C --to E=8L"], "V");
    check(&["rack C --to D=8L --yes"], "D");
    check(&["rack C --to D=8L --yes", "rack D --to E=18L"], "E");
    check(
        &["receive E --amount 9L --batch V", "rack C --to E=8L"],
        "V",
    );
}

/// The second part goes into the wine, wherever it is now; oak and cold stay behind with the vessel, and are nothing to the
/// must that comes into it next.
#[test]
fn what_was_asked_for_about_a_wine_falls_on_no_other() {
    let cellar = Cellar::new();
    for (day, command) in [
        ("2026-11-01", "vessel add C --mark 10L"),
        ("2026-11-01", "vessel add D --mark 10L"),
        ("2026-11-01", "receive C --amount 10L --batch V"),
        ("2026-11-10", "oak in C --amount 30g --days 3"),
        ("2026-11-20", "fine C kieselsol --amount 5g --then chitosan"),
        ("2026-11-20", "chill C --until 2d"),
        ("2026-11-26", "rack C --to D=10L"),
    ] {
        cellar.on(day, command);
    }
    let second = [("V".to_owned(), "fine with chitosan".to_owned())];
    assert_eq!(jobs(&cellar), second);
    cellar.on("2026-11-26", "receive C --amount 9L --batch NEW");
    assert_eq!(jobs(&cellar), second);
    let shown = cellar.on("2026-11-26", "show D");
    assert!(shown.contains("fine with chitosan"), "{shown}");
    let bought = cellar.on("2026-11-26", "stock --to-buy");
    assert!(!bought.contains("oak"), "{bought}");
}
