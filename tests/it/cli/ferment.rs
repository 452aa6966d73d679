//! A ferment as a person sees it from day to day, by the command line alone.

use super::Cellar;

impl Cellar {
    /// Pitched on 2 Jan in a bucket that is a quarter air, and read at 18:00 from 3 Jan on.
    fn with_ferment(gravities: &[&str]) -> Cellar {
        let cellar = Cellar::new();
        let vessel = "vessel add Bucket --kind bucket --mark 30L";
        cellar.on("2026-01-02 09:00", vessel);
        let must = "receive Bucket --amount 22L --batch P --wine white --gravity 1.090 --ph 3.4";
        cellar.on("2026-01-02 10:00", must);
        cellar.on("2026-01-02 12:00", "pitch Bucket y --amount 5g");
        cellar.read_from(3, gravities);
        cellar
    }

    /// Gravities of January, one a day.
    fn read_from(&self, first: usize, gravities: &[&str]) {
        for (day, gravity) in (first..).zip(gravities) {
            let day = format!("2026-01-{day:02} 18:00");
            self.on(&day, &format!("measure Bucket --gravity {gravity}"));
        }
    }
}

const STALLED: [&str; 12] = [
    "1.088", "1.080", "1.070", "1.060", "1.051", "1.043", "1.036", "1.030", "1.030", "1.030",
    "1.030", "1.030",
];

/// What is foretold on the evening of a reading is that reading, and no day to be dry beside a fall of nothing.
#[test]
fn what_if_foretells_no_fall_of_a_ferment_that_stands_still() {
    let check = |until: usize, stands: &str, most_fall: f64| {
        let cellar = Cellar::with_ferment(&STALLED[..until - 2]);
        let day = format!("2026-01-{until:02} 18:30");
        let wait = ["what-if", "Bucket", "--wait", "5d", "--today", &day];
        let looked = cellar.json(&wait);
        let place = &looked["places"][0];
        let sg = |when: &str, key: &str| place[when][key].as_f64().unwrap();
        assert!((sg("as_is", "sg") - 1.030).abs() < 0.0005, "{place}");
        assert!(sg("as_is", "sg_low") > 1.028 && sg("as_is", "sg_high") < 1.032);
        assert!(sg("then", "sg_high") > 1.030, "{place}");
        assert!(1.030 - sg("then", "sg") < most_fall, "{place}");
        assert!(place["as_is"]["dry_date"].is_null(), "{place}");
        assert!(cellar.done(&wait).contains(stands), "{until}");
    };
    check(12, "may have stopped at 1.030", 0.002);
    check(14, "stuck at 1.030", 0.0005);
}

/// Readings since the last yeast count: a restarted ferment that falls by 0.003 a day is one, and the air over it counts from
/// its end.
#[test]
fn a_restarted_ferment_is_followed_to_its_end() {
    let cellar = Cellar::with_ferment(&STALLED);
    cellar.on("2026-01-15 12:00", "pitch Bucket y --amount 5g");
    let restarted = [
        "1.029", "1.025", "1.019", "1.012", "1.006", "1.000", "0.997",
    ];
    cellar.read_from(16, &restarted);
    let shown = cellar.on("2026-01-22 18:30", "show Bucket");
    assert!(shown.contains("stage      fermenting"), "{shown}");
    assert!(shown.contains("moving, 0.003 a day, dry ~"), "{shown}");
    assert!(!shown.contains("headspace"), "{shown}");
    cellar.read_from(23, &["0.995", "0.994"]);
    let due = cellar.on("2026-01-24 18:30", "due");
    let air = due
        .lines()
        .find(|it| it.contains("headspace 8.0 L"))
        .unwrap();
    assert!(air.contains("since 22 Jan  "), "{due}");
}

/// Two wines that were both read dry are not called unmeasured once one tops up the other, nor does their sediment grow younger
/// or older by it.
#[test]
fn a_top_up_leaves_what_was_read_of_both_as_an_estimate() {
    let cellar = Cellar::new();
    for (name, amount, said) in [("W", "16L", " --ph 3.2"), ("K", "9L", "")] {
        cellar.on("2026-01-01", &format!("vessel add {name} --mark 20L"));
        let must = format!(
            "receive {name} --amount {amount} --batch {name}1 --wine white --gravity 1.090{said}"
        );
        cellar.on("2026-01-03", &must);
        cellar.on("2026-01-03", &format!("pitch {name} y --amount 5g"));
    }
    cellar.on("2026-02-10", "measure W --gravity 0.994");
    cellar.on("2026-02-12", "measure K --gravity 0.993");
    let lees = "19 days on gross lees";
    assert!(cellar.on("2026-03-01", "show W").contains(lees));
    cellar.on("2026-03-01", "top-up W --from K --amount 3L --yes");
    let shown = cellar.on("2026-03-01", "show W");
    for words in [
        lees,
        "stage      on its gross lees",
        "0.994, estimated from its parts, 10 Feb 2026",
        "gravity ~0.994 by its parts 19 days ago, not measured since other wine went in",
    ] {
        assert!(shown.contains(words), "{words}: {shown}");
    }
    assert!(!shown.contains("never measured"), "{shown}");
    let dose = cellar.on("2026-03-01", "dose W");
    let said = "The pH was not measured since other wine went in on 1 Mar 2026";
    assert!(dose.contains(said), "{dose}");
}

/// Read above its end and forgotten: nothing is said to lie on its lees, and nothing is dosed, before it is measured.
#[test]
fn a_wine_last_read_as_fermenting_is_measured_first() {
    let cellar = Cellar::new();
    cellar.on("2026-01-20", "vessel add M --mark 20L");
    let must = "receive M --amount 19L --batch MB --wine mead --gravity 1.110";
    cellar.on("2026-01-20", must);
    cellar.on("2026-01-20", "pitch M y --amount 5g");
    cellar.on("2026-02-25", "measure M --gravity 1.020");
    let shown = cellar.on("2026-04-20", "show M");
    assert!(
        shown.contains("not known whether it still ferments: measure its gravity again"),
        "{shown}"
    );
    assert!(!shown.contains("gross lees"), "{shown}");
    let refused = "M may still ferment by its last gravity: give none";
    cellar.check_refused(&["dose", "M", "--today", "2026-04-20"], 1, refused);
}
