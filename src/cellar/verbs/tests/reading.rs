//! Readings, and tastings with their sheets.

use super::*;

#[test]
fn readings_are_numbers_ranges_bounds_and_words() {
    let cellar = with_must();
    let found = |field: &str, text: &str| {
        let prepared = cellar.prepare("measure", &[("place", "Bucket"), (field, text)]);
        prepared
            .map(|it| it.draft.readings[0].found.clone())
            .map_err(|it| it.sentence)
    };
    assert_eq!(found("gravity", "1.012"), Ok(Found::Number(1.012)));
    assert_eq!(found("ph", "3.2-3.6"), Ok(Found::Between(3.2, 3.6)));
    assert_eq!(found("free-so2", "<10"), Ok(Found::Below(10.0)));
    assert_eq!(found("malic", "faint"), Ok(Found::Word("faint".to_owned())));
    assert_eq!(found("temperature", "-2 C"), Ok(Found::Number(-2.0)));
    let word = |it: &str| Ok(Found::Word(it.to_owned()));
    assert_eq!(found("clarity", "nearly clear"), word("hazy"));
    assert_eq!(found("clarity", "A bit cloudy"), word("hazy"));
    assert_eq!(found("clarity", "murky"), word("cloudy"));
    assert_eq!(found("gas", "a little"), word("some"));
    assert_eq!(
        found("clarity", "pink"),
        Err("`pink` is no word for clarity; write one of cloudy, hazy, clear, bright.".to_owned())
    );
    assert_eq!(
        found("ph", "9"),
        Err("`9` is outside 2 to 5; check the number and its unit.".to_owned())
    );
}

#[test]
fn a_gravity_read_warm_is_corrected_and_kept_as_typed() {
    let cellar = with_must();
    let typed = [("place", "Bucket"), ("gravity", "1.060 at 30 C")];
    let reading = cellar.prepare("measure", &typed).unwrap().draft.readings[0].clone();
    assert_eq!(reading.typed, "1.060 at 30 C");
    assert_eq!(reading.rule, "hydrometer of 20 °C read at 30.0 °C, as must");
    // Water alone thins by 0.0025 from 20 to 30 °C (998.21 to 995.65 kg/m³, CIPM 2001) and the
    // glass gives back 0.00025: a must is to be raised by a little more than that.
    let gravity = reading.found.number().unwrap();
    assert!((1.0623..1.0635).contains(&gravity), "{gravity}");
}

#[test]
fn a_gravity_with_its_temperature_is_a_reading_of_both() {
    let cellar = with_must();
    let readings = |pairs: &[(&str, &str)]| -> Vec<(Property, String)> {
        let all = [&[("place", "Bucket")], pairs].concat();
        let draft = cellar.prepare("measure", &all).unwrap().draft;
        let readings = draft.readings.into_iter();
        readings.map(|it| (it.property, it.typed)).collect()
    };
    let both = |gravity: &str, temperature: &str| {
        vec![
            (Property::Gravity, gravity.to_owned()),
            (Property::Temperature, temperature.to_owned()),
        ]
    };
    assert_eq!(
        readings(&[("gravity", "0.995 at 68 F")]),
        both("0.995 at 68 F", "68 F")
    );
    // One that is given beside it stands.
    assert_eq!(
        readings(&[("gravity", "0.995 at 68 F"), ("temperature", "19 C")]),
        both("0.995 at 68 F", "19 C")
    );
}

/// Written anew as a plain one it would lose its points, or say which wine the letter is.
#[test]
fn a_tasting_is_told_back_by_its_sheet_or_its_letter() {
    let mut cellar = with_must();
    let to = [("to", "Carboy A=20 L"), ("to", "Demijohn 1=4 L")];
    cellar.write("rack", &[("from", "Bucket"), to[0], to[1]]);
    let oiv = ("points", "5 8 6 8 14 6 7 8 19 10");
    let carboy = ("place", "Carboy A");
    cellar.check_again("taste", &[carboy, ("words", "plum"), ("score", "14")]);
    cellar.check_again("taste", &[carboy, ("words", "flat"), ("act", "top up")]);
    cellar.check_again("taste", &[carboy, ("sheet", "oiv-2009"), oiv]);
    let wines = [("wines", "Carboy A; Demijohn 1")];
    cellar.check_again("blind start", &wines);
    let own = Thing {
        key: CELLAR,
        uid: Uuid::nil(),
        sort: Sort::Cellar,
        attributes: Attributes::default(),
    };
    cellar.snapshot.things.insert(CELLAR, own.into());
    cellar.write("blind start", &wines);
    cellar.check_again("blind taste", &[("letter", "B"), ("words", "plum")]);
    cellar.check_again(
        "blind taste",
        &[("letter", "B"), ("sheet", "oiv-2009"), oiv],
    );
    cellar.check_again("blind reveal", &[]);
}
