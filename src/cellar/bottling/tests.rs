use super::*;

/// By hand: 22.4 L less 0.3 is 22.1; 29 × 0.75 is 21.75; 0.35 remains. 29 closures and a twentieth more, at least two.
#[test]
fn what_is_filled_what_remains_and_the_lees_are_the_whole_wine() {
    let (fills, remains) = filled(
        Volume::millilitres(22_100),
        &[(750, None), (375, None)],
        &[],
    );
    assert_eq!(
        fills.iter().map(|it| it.bottles).collect::<Vec<_>>(),
        [29, 0]
    );
    assert_eq!(remains, Volume::millilitres(350));
    assert_eq!(needs::with_spare(29), 31);
    assert_eq!(needs::with_spare(100), 105);
    assert_eq!(needs::with_spare(0), 0);
}

#[test]
fn a_closure_fits_the_mouth_it_was_made_for() {
    let check = |finish: &str, fitting: &[&str]| {
        let finish = Finish::from_word(finish).expect("a finish");
        let takes = Closure::ALL.iter().filter(|it| finish.takes(**it));
        let takes: Vec<&str> = takes.map(|it| it.word()).collect();
        assert_eq!(takes, fitting, "{}", finish.word());
    };
    check(
        "cork",
        &["cork", "technical-cork", "synthetic-cork", "stopper"],
    );
    check("crown-26", &["crown-26", "crown-cap"]);
    check("crown-29", &["crown-29", "crown-cap"]);
    check("screw", &["screw-cap"]);
    check("swing", &["swing-top"]);
    check("tap", &["tap"]);
}

#[test]
fn a_package_has_its_own_closures() {
    let check = |package: Option<&str>,
                 closure: Option<&str>,
                 expected: Result<(&str, Option<&str>), &str>| {
        let found = package_of(package, closure);
        let found = found
            .as_ref()
            .map(|it| (it.0.word(), it.1.map(Closure::word)));
        assert_eq!(found.map_err(String::as_str), expected);
    };
    check(None, None, Ok(("bottle", None)));
    check(None, Some("crown-cap"), Ok(("bottle", Some("crown-cap"))));
    check(None, Some("tap"), Ok(("bag-in-box", Some("tap"))));
    check(None, Some("lid"), Ok(("keg", Some("lid"))));
    check(Some("keg"), None, Ok(("keg", None)));
    check(
        Some("keg"),
        Some("cork"),
        Err("A keg is not closed by a cork; give --closure lid."),
    );
    check(
        Some("jug"),
        Some("crown-29"),
        Err(
            "A jug is not closed by a 29 mm crown; give --closure screw-cap or stopper or cork or swing-top.",
        ),
    );
}

#[test]
fn every_package_holds_its_usual_size_and_says_it_as_people_do() {
    for package in Package::ALL {
        let (least, most) = package.sizes_ml();
        assert!((least..=most).contains(&package.usual_ml()), "{package:?}");
    }
    let check = |package: Package, count: i64, size_ml: i64, expected: &str| {
        assert_eq!(package.times(count, size_ml), expected);
    };
    check(Package::Bottle, 28, 750, "28 × 750 mL");
    check(Package::Keg, 1, 19_000, "1 × 19 L keg");
    check(Package::Keg, 2, 9_500, "2 × 9.5 L kegs");
    check(Package::Bag, 3, 5_000, "3 × 5 L bags");
    check(Package::Jug, 2, 3_785, "2 × 3.785 L jugs");
}

#[test]
fn what_is_drawn_is_washed_only_after_the_clean_ones() {
    let empties = Empties {
        size_ml: 750,
        sanitised: 10,
        clean: 5,
        soaking: 4,
        dirty: 6,
        labels_off: 3,
    };
    let check = |drawn: i64, expected: i64| assert_eq!(empties.to_wash(drawn), expected, "{drawn}");
    check(0, 0);
    check(15, 0);
    check(17, 2);
    check(25, 10);
    check(40, 10);
    assert_eq!(
        empties.words(),
        "25 there: 10 sanitised, 5 clean, 4 soaking, 6 dirty, 3 with the labels off"
    );
}
