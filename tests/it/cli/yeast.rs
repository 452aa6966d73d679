//! Yeast used again, on the demo cellar.

use super::Cellar;

#[test]
fn a_batch_says_whose_yeast_ferments_it() {
    let cellar = Cellar::demo();
    let begun = ["receive", "Tank", "--amount", "20 L", "--batch", "Cider 26"];
    cellar.done(&begun);
    let from_bucket = ["pitch", "Tank", "--from", "Bucket", "--amount", "300 mL"];
    assert_eq!(
        cellar.done(&from_bucket),
        "Entry 200: Pitched 300 mL with yeast of Elder 26 from Bucket into Tank.\n"
    );
    let giver = || cellar.json(&["show", "Cider 26"])["yeast_from"]["name"].clone();
    assert!(
        cellar
            .done(&["show", "Cider 26"])
            .contains("yeast of Elder 26")
    );
    assert_eq!(giver(), "Elder 26");
    // Amended, the same words are told back and only the source is another.
    let of_lees = [
        "amend",
        "200",
        "pitch",
        "Tank",
        "--from",
        "Kit red 26",
        "--yes",
    ];
    cellar.done(&of_lees);
    assert_eq!(giver(), "Kit red 26");
    cellar.done(&["undo", "--yes"]);
    assert_eq!(giver(), "Elder 26");
    cellar.done(&["undo", "--yes"]);
    assert_eq!(giver(), serde_json::Value::Null);
    cellar.done(&["check"]);
    // A wine that was sulfited has no yeast to give.
    let dead = ["pitch", "Tank", "--from", "Carboy A"];
    cellar.check_refused(&dead, 1, "was sulfited since its yeast went in");
}

/// By hand: a packet of 10 g less 5, and less 2.
#[test]
fn yeast_is_taken_from_the_packet_of_its_name() {
    let cellar = Cellar::demo();
    cellar.done(&["buy", "red wine yeast", "--amount", "10 g"]);
    let left = || cellar.json(&["show", "red wine yeast 1"])["supply"]["left_ug"].clone();
    let pitch = ["pitch", "Bucket", "red wine yeast", "--amount", "5 g"];
    cellar.done(&pitch);
    assert_eq!(left(), 5_000_000);
    let from = [
        "pitch",
        "Bucket",
        "--lot",
        "red wine yeast 1",
        "--amount",
        "2 g",
    ];
    cellar.done(&from);
    assert_eq!(left(), 3_000_000);
    cellar.done(&["check"]);
}
