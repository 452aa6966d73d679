//! A year in the cellar by the keys of the terminal program, as `year.rs` has it by command lines:
//! what was pressed adds up to the microlitre when the command line is asked.

mod keys;

use serde_json::Value;

use crate::program::leesline;
use crate::terminal::{Terminal, text};
use crate::year::{accounts, named};
use keys::{ENTER, Keys, TAB, in_list};

struct Cellar {
    folder: tempfile::TempDir,
}

impl Cellar {
    fn new() -> Cellar {
        let cellar = Cellar {
            folder: tempfile::tempdir().unwrap(),
        };
        cellar.says("2025-09-01", &["init"]);
        cellar
    }

    fn file(&self) -> String {
        text(&self.folder.path().join("year.leesline")).to_owned()
    }

    /// By command line, on a day.
    fn says(&self, today: &str, arguments: &[&str]) -> String {
        let output = leesline()
            .args(["--today", today, "--cellar", &self.file()])
            .args(arguments)
            .output()
            .unwrap();
        let told = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{arguments:?}: {told}");
        String::from_utf8(output.stdout).unwrap()
    }

    fn json(&self, list: &str) -> Value {
        serde_json::from_str(&self.says("2026-10-10", &["--json", list])).unwrap()
    }

    /// The terminal program, opened on a day.
    fn open(&self, today: &str) -> Keys {
        let file = self.file();
        let arguments = ["--today", today, "--cellar", &file];
        let mut terminal = Terminal::start(120, 40, &arguments, &[]);
        terminal.see("1 Board").see("? help");
        Keys { terminal }
    }
}

#[test]
fn a_year_by_keys_adds_up() {
    let cellar = Cellar::new();
    vintage(cellar.open("2025-10-25"));
    winter(cellar.open("2026-01-12"));
    summer(cellar.open("2026-09-16"));
    bottling(&cellar);
    autumn(cellar.open("2026-10-04"));
    it_adds_up(&cellar);
}

/// Written up on the day of the first racking.
fn vintage(mut keys: Keys) {
    for fields in [
        "Name: Bucket | Kind: bucket | Mark: 30 L",
        "Name: Carboy A | Mark: 23 L | To the brim: 23.4 L",
        "Name: Demijohn 1 | Mark: 4.5 L",
        "Name: Jug | Mark: 2 L",
    ] {
        keys.writes("n", fields, ["Add the vessel", "Added vessel"]);
    }
    let damson = "Name: Damson 25 | Wine: fruit | Made from: fruit | Malolactic: unwanted";
    keys.names(
        "batch add",
        damson,
        [
            "Begin the batch Damson 25.",
            "Began Damson 25, a fruit wine",
        ],
    );
    let must = "Into: Bucket | Amount: 25 L | Batch: Damson 25 | Gravity: 1.088 | When: 2025-09-20";
    keys.writes(
        "i",
        must,
        [
            "Receive 25.0 L",
            "Received 25 L of Damson 25 into Bucket; gravity 1.088",
        ],
    );
    let yeast = "Vessel: Bucket | Yeast: a dry white strain | Amount: 5 g | When: 2025-09-20";
    keys.names(
        "pitch",
        yeast,
        [
            "Add 5 g of yeast to Bucket",
            "Pitched 5 g yeast into Bucket",
        ],
    );
    // The third is a slip of the fingers, found a year later.
    for (gravity, day) in [
        ("1.040", "2025-09-25"),
        ("1.102", "2025-09-29"),
        ("0.995", "2025-10-10"),
        ("0.995", "2025-10-24"),
    ] {
        let read = format!("Vessel: Bucket | Gravity: {gravity} | Temperature: 18 C | When: {day}");
        let said = format!("Bucket: gravity {gravity}");
        keys.writes("m", &read, [&said, &format!("Measured {said}")]);
    }
    let racked = "From: Bucket | Into: Carboy A=23 L; Demijohn 1 | Leaving: 0.6 L";
    keys.writes(
        "r",
        racked,
        [
            "Rack Bucket: 23.0 L into Carboy A, 1.4 L into Demijohn 1",
            "Racked Damson 25 from Bucket: 23 L into Carboy A and 1.4 L into Demijohn 1",
        ],
    );
    keys.leave();
}

/// Racked again, topped up, dosed.
fn winter(mut keys: Keys) {
    let off = "From: Carboy A | Into: Bucket | Leaving: 0.4 L | When: 2026-01-10 10:00";
    keys.writes(
        "r",
        off,
        [
            "Rack Carboy A: 22.6 L into Bucket",
            "Racked 22.6 L of Damson 25 from Carboy A",
        ],
    );
    let back = "From: Bucket | Into: Carboy A | When: 2026-01-10 10:30";
    keys.writes(
        "r",
        back,
        [
            "Rack Bucket: 22.6 L into Carboy A",
            "Racked 22.6 L of Damson 25 from Bucket",
        ],
    );
    let topped = "Vessel: Carboy A | With: Demijohn 1 | Amount: 0.8 L | When: 2026-01-10 11:00";
    keys.writes(
        "p",
        topped,
        [
            "Top up Carboy A",
            "Topped up Carboy A with 800 mL of Damson 25 from Demijohn 1",
        ],
    );
    let jug = "From: Demijohn 1 | Into: Jug | When: 2026-01-10 11:30";
    keys.writes(
        "r",
        jug,
        [
            "Rack Demijohn 1: 600 mL into Jug",
            "Racked 600 mL of Damson 25 from Demijohn 1 into Jug",
        ],
    );
    let powder = "What: sulfite | Amount: 100 g | Lot: Powder 1 | When: 2026-01-11";
    keys.names(
        "buy",
        powder,
        [
            "100 g of potassium-metabisulfite as Powder 1",
            "Bought 100 g of Powder 1",
        ],
    );
    let lab = "Vessel: Carboy A | pH: 3.42 | Free SO2: 10 | When: 2026-01-11";
    keys.writes(
        "m",
        lab,
        ["Carboy A: pH 3.42", "Measured Carboy A: pH 3.42"],
    );
    dose(&mut keys);
    // Forgotten a month before the second racking: 22.6 L become 22.45 L.
    let sample = "Vessel: Carboy A | Amount: 0.15 L | When: 2025-12-10";
    keys.writes(
        "s",
        sample,
        [
            "Draw 150 mL from Carboy A",
            "Drew a sample of 150 mL from Carboy A",
        ],
    );
    keys.leave();
}

/// By hand, with pK1 1.81 of the extension tables and 0.8 mg/L molecular for a fruit wine: the aim
/// is 0.8 · (1 + 10^(3.42 − 1.81)) = 33.39 mg/L free, so 23.39 are missing in 23.4 L, where nothing
/// of the sample is known yet: 547.3 mg. A third gets bound: / 0.67 = 816.9 mg of SO2, which is
/// / 0.5763 = 1.4175 g of powder, or 14.2 mL of a stock with 10 g in 100 mL: 14 mL by a syringe with steps of 0.5, 1.4 g.
fn dose(keys: &mut Keys) {
    let screen = &mut keys.terminal;
    screen
        .press("2")
        .see("Dose  Carboy A")
        .see("aim 33 mg/L free");
    // Half of it stands first: 7.1 mL, 7 by the syringe. Here all of it goes in.
    screen.see("Half of 14 mL").press("h");
    // A scale of whole grams does not tell 1.42 g, so the spoon stands beside the syringe.
    screen.see("of powder");
    screen.press(ENTER).see("Write it to the book?");
    screen.see("Add 14 mL of a 10 % stock solution");
    screen
        .press(ENTER)
        .miss("Write it to the book?")
        .see("√ Added 1.4 g potassium metabisulfite to Carboy A");
    screen.press("1").see("NEEDS YOU");
}

/// Looked after until it is ready to bottle.
fn summer(mut keys: Keys) {
    let tasted =
        "Wine: Carboy A | Words: plum skin, still sharp | Sample: 0.1 L | When: 2026-04-01";
    keys.writes(
        "t",
        tasted,
        [
            "Taste Carboy A.",
            "Tasted Carboy A: plum skin, still sharp; drew 100 mL",
        ],
    );
    let warm = "Vessel: Carboy A | Gravity: 0.995 | Temperature: 17 C";
    for more in [
        "Gas: none | When: 2026-09-01",
        "When: 2026-09-08",
        "Free SO2: 38 | Clarity: bright | When: 2026-09-16",
    ] {
        let read = format!("{warm} | {more}");
        keys.writes(
            "m",
            &read,
            [
                "Carboy A: gravity 0.995, temperature 17 C",
                "Measured Carboy A: gravity 0.995, temperature 17 °C",
            ],
        );
    }
    amend(&mut keys);
    keys.leave();
}

/// The slip of the fingers is found in the book and put right.
fn amend(keys: &mut Keys) {
    keys.terminal.press("3").see("gravity 1.102");
    let is_slip = |row: &str| row.contains("gravity 1.102");
    for _ in 0..40 {
        let screen = keys.terminal.screen();
        let before = in_list(&screen);
        if before.is_some_and(is_slip) {
            break;
        }
        let has_moved = |it: &str| in_list(it).is_some_and(|row| Some(row) != before);
        keys.terminal
            .press("j")
            .until("the mark to move", has_moved);
    }
    keys.terminal.press("e");
    keys.fill(
        "Gravity: 1.012",
        ["Bucket: gravity 1.012", "Measured Bucket: gravity 1.012"],
    );
    keys.terminal.see("voided: Measured Bucket: gravity 1.102");
    keys.terminal.press("1").see("NEEDS YOU");
}

/// Bottled by taps and a typed number, with the program killed half way.
fn bottling(cellar: &Cellar) {
    // 23.15 L fill 30 of 750 mL.
    let mut keys = cellar.open("2026-10-01 14:00");
    keys.terminal.press("5").see("▌√ Carboy A");
    keys.terminal.press(ENTER).see("All is answered yes.");
    keys.terminal
        .press(ENTER)
        .see("Bottle Damson 25 from Carboy A.");
    keys.terminal
        .press(TAB)
        .press(TAB)
        .press(TAB)
        .press("D5")
        .see("D5");
    keys.terminal.press(ENTER).see("> Gather");
    keys.terminal.press(ENTER).see("> Wash");
    keys.terminal.press(ENTER).see("> Sanitise");
    // Nobody waits ten minutes here, so it asks.
    keys.terminal.press(ENTER).see("Bottles stay wet until");
    keys.terminal.read().press(ENTER).see("> Dose");
    keys.terminal
        .press(ENTER)
        .see("to go  30 of 750 mL")
        .see("mark D5");
    for to_go in ["29", "28", "27"] {
        keys.tap(" ", &format!("to go  {to_go} of 750 mL"));
    }
    keys.tap("\x7f", "to go  28 of 750 mL");
    keys.terminal.press("#20\r").see("to go  8 of 750 mL");
    keys.terminal.signal("KILL");
    let due = cellar.says("2026-10-01 15:00", &["due"]);
    assert!(due.contains("bottling under way: 22 bottles"), "{due}");

    let mut keys = cellar.open("2026-10-01 16:00");
    keys.terminal.press("5").see("to go  8 of 750 mL");
    keys.terminal.press("#7\r").see("to go  1 of 750 mL");
    keys.tap(" ", "to go  0 of 750 mL");
    keys.terminal.press("s").see("Size, mL").press("375\r");
    keys.terminal.see("to go  1 of 375 mL");
    keys.tap(" ", "to go  0 of 375 mL");
    keys.terminal.see("left   275 mL");
    keys.terminal.press(ENTER).see("What is left");
    keys.terminal.press("d").see("drunk");
    keys.terminal.press(TAB).press("0.2 L").see("0.2 L");
    keys.terminal.see("31 bottles of Damson 25");
    keys.terminal.press(ENTER).see("It adds up.");
    keys.terminal.press(ENTER).see("NEEDS YOU");
    keys.leave();
}

/// Corks watched, bottles laid down.
fn autumn(mut keys: Keys) {
    let lying = "Bottles: Damson 25 | Where: rack 1";
    keys.names(
        "lay-down",
        lying,
        [
            "Lay down 31 of Damson 25 in rack 1.",
            "Laid down 30 bottles and a 375 mL bottle of Damson 25 in rack 1",
        ],
    );
    keys.leave();
}

/// By hand: 25 L came in.
///
/// | when | went | stays |
/// |---|---|---|
/// | first racking | 0.6 to lees | 23.0 in the carboy, 25 − 23 − 0.6 = 1.4 in the demijohn |
/// | sample | 0.15 | 22.85 in the carboy |
/// | second racking | 0.4 to lees | 22.45 in the carboy |
/// | topped up | 0.8 over from the demijohn | 23.25 and 0.6, which goes to the jug |
/// | tasted | 0.1 | 23.15 in the carboy |
/// | bottled | 30 · 0.75 + 0.375 = 22.875 | 0.275 in the carboy |
/// | finished | 0.2 to lees, 0.075 drunk | nothing |
fn it_adds_up(cellar: &Cellar) {
    let book = cellar.json("book");
    let (left, came) = accounts(&book);
    assert_eq!(left["must"], 25_000_000);
    assert_eq!(came["lees"], 600_000 + 400_000 + 200_000);
    assert_eq!(came["samples"], 150_000 + 100_000);
    assert_eq!(came["drunk"], 75_000);

    let board = cellar.json("board");
    let balance = |name: &str| came.get(name).unwrap_or(&0) - left.get(name).unwrap_or(&0);
    for (vessel, by_hand) in [
        ("Bucket", None),
        ("Carboy A", None),
        ("Demijohn 1", None),
        ("Jug", Some(600_000)),
    ] {
        let holds = &named(&board["vessels"], vessel)["holds"];
        assert_eq!(holds["volume_ul"].as_i64(), by_hand, "{vessel}");
        assert_eq!(balance(vessel), by_hand.unwrap_or(0), "{vessel}");
    }
    let run = named(&board["bottles"], "Damson 25");
    assert_eq!(run["count"], 31);
    assert_eq!(run["holds"]["volume_ul"], 22_875_000);
    assert_eq!(balance("Damson 25"), 22_875_000);

    // The slip stays in the book, voided; what was meant stands beside it on the same day.
    let entries = book["entries"].as_array().unwrap();
    let read = |gravity: &str| {
        let has = |it: &&Value| {
            it["readings"]
                .as_array()
                .unwrap()
                .iter()
                .any(|it| it["typed"] == gravity)
        };
        entries.iter().find(has).unwrap()
    };
    assert!(!read("1.102")["voided_by"].is_null());
    assert!(read("1.012")["voided_by"].is_null());
    assert_eq!(read("1.012")["when"], read("1.102")["when"]);

    // Of 100 g, 14 mL with 10 g in 100 mL are gone, and what sanitising 30 bottles took: 1.5 + 30 · 0.02 =
    // 2.1 L with 100 mg/L of SO2, 0.36 g of powder (0.5762 of it is SO2), weighed as 0.4.
    let stock = cellar.json("stock");
    assert_eq!(named(&stock["supplies"], "Powder 1")["left_ug"], 98_200_000);

    let due = cellar.json("due");
    assert_eq!(due["reasons"], board["reasons"]);
    let mut reasons = due["reasons"].as_array().unwrap().iter();
    let of_jug = |it: &Value| it["subject"]["name"] == "Jug" && it["kind"] == "headspace";
    assert!(reasons.any(of_jug), "{due:#}");
    cellar.says("2026-10-10", &["check"]);
}
