//! Sugar, honey and the like that go in.

use super::*;

/// Sugar, honey and the like that go in by themselves are for the yeast; what sweetens is not, and neither is acid.
#[test]
fn sugar_that_is_added_is_written_down_as_such() {
    let check = |kind: Kind, substance: &str, expected: Option<i64>| {
        let mut book = Book::default();
        book.receive(0, CARBOY, 20.0, BATCH).write(3, kind, |it| {
            it.subject = Some(CARBOY);
            it.additions.push(Addition {
                place: CARBOY,
                substance: substance.to_owned(),
                dose: None,
                so2: Mass::ZERO,
                lot: None,
                calculation: String::new(),
            });
        });
        let (ledger, _, _) = book.fold();
        let sugared = wine(&ledger, CARBOY).when(Deed::Sugared);
        assert_eq!(sugared.map(|it| it / 86_400_000), expected, "{substance}");
    };
    check(Kind::Add, "sugar", Some(3));
    check(Kind::Add, "heather-honey", Some(3));
    check(Kind::Add, "tartaric-acid", None);
    check(Kind::Sweeten, "sugar", None);
}

/// 19.07 L at 1.040 weigh 19.797 kg; with 1.5 kg of sugar, which takes 0.93 L, they are 20 L of 21.297 kg, 1.0668 times the weight of
/// as much water, 19.964 kg.
#[test]
fn sugar_is_kept_with_the_gravity_that_it_raised() {
    let raised_by = |substance: &str, doses: &[Option<f64>]| {
        let mut book = Book::default();
        book.receive(0, CARBOY, 20.0, BATCH)
            .write(1, Kind::Measure, |it| {
                it.readings.push(Reading {
                    place: CARBOY,
                    property: Property::Gravity,
                    found: Found::Number(1.040),
                    typed: String::new(),
                    instrument: String::new(),
                    rule: String::new(),
                });
            });
        for grams in doses {
            book.write(2, Kind::Add, |it| {
                it.additions.push(Addition {
                    place: CARBOY,
                    substance: substance.to_owned(),
                    dose: grams.map(|it| Dose::Mass(Mass::grams(it))),
                    so2: Mass::ZERO,
                    lot: None,
                    calculation: String::new(),
                });
            });
        }
        let (ledger, _, _) = book.fold();
        wine(&ledger, CARBOY).gravities[0].fed
    };
    let is_about = |found: Option<f64>, expected: f64| {
        let found = found.unwrap();
        assert!((found - expected).abs() < 1e-4, "{found}");
    };
    let raised = |doses| raised_by("sugar", doses);
    assert_eq!(raised(&[]), None);
    is_about(raised(&[Some(1500.0)]), 0.0268);
    is_about(raised(&[Some(750.0), Some(750.0)]), 0.0268);
    // Once nobody knows how much went in, nobody knows the sum.
    for doses in [
        &[None][..],
        &[None, Some(750.0)],
        &[Some(750.0), None, Some(750.0)],
    ] {
        is_about(raised(doses), 0.0);
    }
    // 1.5 kg of honey are 1.23 kg of sugar in 0.7626 L and 0.27 kg of water in 0.2705 L: 18.9669 L weigh 19.690 kg, and with it 21.190,
    // 1.0614 times the water. Dextrose is 1.3637 kg of sugar and 0.1363 of water, 0.9821 L: 19.743 kg and 21.243, 1.0641 times.
    is_about(raised_by("honey", &[Some(1500.0)]), 0.0214);
    is_about(raised_by("dextrose", &[Some(1500.0)]), 0.0241);
    is_about(raised_by("syrup", &[Some(1500.0)]), 0.0);
}
