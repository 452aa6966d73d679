//! A bottling run, and what must be known before it.

use super::*;

#[test]
fn bottles_are_typed_once_or_counted_and_what_is_left_is_said() {
    let mut cellar = with_must();
    cellar.write(
        "rack",
        &[
            ("from", "Bucket"),
            ("to", "Carboy A=23 L"),
            ("leaving", "0.4 L"),
        ],
    );
    let start = [
        ("from", "Carboy A"),
        ("filled", "29x750 1x375"),
        ("overrule", "only a test"),
    ];
    let fillings = cellar
        .prepare("bottle start", &start)
        .unwrap()
        .draft
        .fillings;
    assert_eq!(
        fillings
            .iter()
            .map(|it| (it.count, it.size_ml))
            .collect::<Vec<_>>(),
        [(29, 750), (1, 375)]
    );
    cellar.write("bottle start", &start);
    // 23 − 29 · 0.75 − 0.375 = 0.875 L left.
    cellar.holds(&[("Carboy A", 0.875)]);
    cellar.check(
        "bottle finish",
        &[
            ("run", "Damson 26"),
            ("left", "drunk"),
            ("leaving", "0.3 L"),
        ],
        "30 bottles of Damson 26, 575 mL drunk.",
    );
    cellar
        .write(
            "bottle finish",
            &[
                ("run", "Damson 26"),
                ("left", "drunk"),
                ("leaving", "0.3 L"),
            ],
        )
        .holds(&[("Carboy A", 0.0)]);
    cellar.check(
        "lay-down",
        &[("run", "Damson 26"), ("where", "rack 2")],
        "Lay down 30 of Damson 26 in rack 2.",
    );
    cellar.check("open", &[("run", "Damson 26"), ("count", "40")], "refused: 30 of Damson 26 are there, not 40; if you find more, write them down with `here` by a name of their own.");
}

#[test]
fn bottling_what_was_never_measured_takes_a_reason_and_says_the_hazard() {
    let cellar = with_must();
    let refused = cellar
        .prepare("bottle start", &[("from", "Bucket")])
        .unwrap_err();
    assert_eq!(
        (refused.field, refused.blame),
        (Some("overrule"), Blame::Book)
    );
    let begin = "Wait for 2 more equal readings of gravity at 15 °C or warmer, the last on 9 Dec 2026 or later, or give --overrule 'why'. Finished? ";
    assert!(refused.sentence.starts_with(begin), "{refused}");
    let end = " 6 more questions are open: `bottle plan 'Bucket'` lists them.";
    assert!(refused.sentence.ends_with(end), "{refused}");
    assert!(refused.sentence.contains("burst"), "{refused}");
    let overruled = [("from", "Bucket"), ("overrule", "known dry")];
    let prepared = cellar.prepare("bottle start", &overruled).unwrap();
    assert_eq!(prepared.draft.note, "overruled: known dry");
    assert!(prepared.asks.iter().any(|it| it.contains("burst")));
}

#[test]
fn whether_it_was_warm_is_said_on_the_spot_and_kept() {
    let mut cellar = with_must();
    let now = cellar.snapshot.now;
    for days in [24, 17, 5] {
        cellar.snapshot.now = now.plus_days(-days);
        let read = [("place", "Bucket"), ("gravity", "0.994"), ("gas", "none")];
        cellar.write("measure", &read);
    }
    cellar.snapshot.now = now;
    let start = [("from", "Bucket")];
    let refused = cellar.prepare("bottle start", &start).unwrap_err().sentence;
    assert!(
        refused.starts_with("Say --warm yes if it was at 15 °C or warmer"),
        "{refused}"
    );
    let warm = [("from", "Bucket"), ("warm", "yes")];
    let prepared = cellar.prepare("bottle start", &warm).unwrap();
    assert_eq!(prepared.draft.readings[0].found, Found::Above(15.0));
    assert!(
        !prepared.asks.iter().any(|it| it.contains("burst")),
        "{:?}",
        prepared.asks
    );
    let cold = [("from", "Bucket"), ("warm", "no")];
    let refused = cellar.prepare("bottle start", &cold).unwrap_err().sentence;
    assert!(
        refused.starts_with("Keep it at 15 °C or warmer, and measure gravity 3 times"),
        "{refused}"
    );
}
