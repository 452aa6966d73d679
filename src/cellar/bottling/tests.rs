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
    let check = |finish: &str, closure: &str, expected: bool| {
        let finish = Finish::from_word(finish).expect("a finish");
        assert_eq!(
            finish.takes(closure),
            expected,
            "{closure} on {}",
            finish.word()
        );
    };
    check("cork", "cork", true);
    check("cork", "stopper", true);
    check("cork", "crown-cap", false);
    check("crown-26", "crown-cap", true);
    check("crown-29", "crown-cap", true);
    check("crown-29", "cork", false);
    check("screw", "cork", false);
    check("screw", "screw-cap", true);
    check("swing", "swing-top", true);
    check("tap", "tap", true);
}
