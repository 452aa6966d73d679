//! Yeast used again.

use super::*;

/// Must in a demijohn beside damson that ferments in a bucket, and yeast on the shelf.
fn two_wines() -> Cellar {
    let mut cellar = with_must();
    let must = [
        ("into", "Demijohn 1"),
        ("amount", "4 L"),
        ("batch", "Cider 26"),
    ];
    cellar
        .write("buy", &[("substance", "yeast"), ("amount", "10 g")])
        .write("pitch", &[("place", "Bucket"), ("yeast", "a red yeast")])
        .write("receive", &must);
    cellar
}

#[test]
fn yeast_used_again_draws_no_lot_moves_its_wine_and_keeps_its_name() {
    let mut cellar = two_wines();
    let pitch = [
        ("place", "Demijohn 1"),
        ("from", "Bucket"),
        ("amount", "200 mL"),
    ];
    cellar.check(
        "pitch",
        &pitch,
        "Pitch yeast of Damson 26 into Demijohn 1, 200 mL of it; no packet is taken.",
    );
    let draft = cellar.prepare("pitch", &pitch).unwrap().draft;
    assert!(draft.supplies.is_empty() && draft.additions[0].lot.is_none());
    cellar.write("pitch", &pitch);
    cellar.holds(&[("Bucket", 24.8), ("Demijohn 1", 4.2)]);
    let batch = |name: &str| cellar.snapshot.find(Sort::Batch, name).unwrap();
    let giver = batch("Cider 26").int(field::YEAST_FROM).map(Key);
    assert_eq!(giver, Some(batch("Damson 26").key));
}

#[test]
fn lees_of_a_batch_that_left_its_vessel_bring_their_own_wine() {
    let mut cellar = two_wines();
    let pitch = |more: &[(&'static str, &'static str)]| {
        [&[("place", "Demijohn 1"), ("from", "Damson 26")], more].concat()
    };
    cellar.write("pitch", &pitch(&[]));
    cellar.holds(&[("Bucket", 25.0), ("Demijohn 1", 4.0)]);
    cellar.write("pitch", &pitch(&[("amount", "100 mL")]));
    cellar.holds(&[("Bucket", 25.0), ("Demijohn 1", 4.1)]);
}

#[test]
fn yeast_that_cannot_be_used_again_is_refused_or_asked_about() {
    let mut cellar = two_wines();
    let check = |cellar: &Cellar, from: &str, expected: &str| {
        cellar.check(
            "pitch",
            &[("place", "Demijohn 1"), ("from", from)],
            expected,
        );
    };
    check(
        &cellar,
        "Demijohn 1",
        "refused: Demijohn 1 can't be pitched from itself; name the batch whose lees they are, such as `--from 'Kit red'`.",
    );
    check(
        &cellar,
        "Jug",
        "refused: Jug is empty by the book; name the batch whose lees they are, such as `--from 'Kit red'`.",
    );
    let of_lot = [
        ("place", "Demijohn 1"),
        ("from", "Bucket"),
        ("lot", "yeast 1"),
    ];
    let refused = "refused: yeast used again comes from no lot; leave out --lot, or --from.";
    cellar.check("pitch", &of_lot, refused);
    let asks = |cellar: &Cellar, expected: Option<&str>| {
        let pitch = [("place", "Demijohn 1"), ("from", "Bucket")];
        let asked = cellar.prepare("pitch", &pitch).unwrap().loses;
        assert_eq!(asked.as_deref(), expected);
    };
    asks(&cellar, None);
    let marked = [("place", "Bucket"), ("fault", "vinegar")];
    cellar.write("trouble mark", &marked);
    asks(
        &cellar,
        Some(
            "Bucket is marked with vinegar, which goes with it: take yeast from a sound, young ferment, or a packet.",
        ),
    );
}

#[test]
fn yeast_used_again_is_told_back_as_it_was_typed() {
    let check = |pitch: &[(&str, &str)]| {
        let all = [&[("place", "Demijohn 1")], pitch].concat();
        two_wines().check_again("pitch", &all);
    };
    check(&[("from", "Bucket"), ("amount", "200 mL")]);
    check(&[("from", "Damson 26"), ("amount", "about 100 mL")]);
    check(&[("from", "Damson 26"), ("yeast", "a red yeast")]);
    check(&[("yeast", "a white yeast"), ("amount", "5 g")]);
}
