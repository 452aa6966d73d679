//! Tastings, each with what was known of the wine then.

use super::*;
use crate::cellar::entry::Tasting;

fn taste(at: i64, place: Key, words: &str) -> Draft {
    let mut draft = Draft::new(Kind::Taste, day(at));
    draft.tastings.push(Tasting {
        place,
        words: words.to_owned(),
        score: None,
        sheet: String::new(),
    });
    draft
}

#[test]
fn a_tasting_stands_beside_what_was_measured_by_then_and_follows_late_entries() {
    let mut cellar = Cellar::new();
    let vessel = cellar.vessel("Carboy");
    cellar.receive(1, vessel, 20.0);
    cellar.append(&measure(2, vessel, Property::FreeSo2, Found::Number(30.0)));
    cellar.append(&taste(3, vessel, "young"));
    cellar.append(&measure(4, vessel, Property::FreeSo2, Found::Number(20.0)));
    let voided = cellar.append(&taste(5, vessel, "spoiled"));
    cellar.append(&taste(6, vessel, "round"));
    cellar.store.void(voided, CLOCK).unwrap();
    // Written late: measured before the first tasting.
    cellar.append(&measure(3, vessel, Property::Ph, Found::Number(3.3)));
    let found: Vec<(String, Option<Found>, Option<i64>)> = cellar
        .store
        .tastings(10)
        .unwrap()
        .into_iter()
        .map(|it| (it.tasting.words, it.free_so2, it.age_days))
        .collect();
    assert_eq!(
        found,
        [
            ("round".to_owned(), Some(Found::Number(20.0)), Some(5)),
            ("young".to_owned(), Some(Found::Number(30.0)), Some(2)),
        ]
    );
    assert_eq!(cellar.store.tastings(1).unwrap().len(), 1);
    let newest = cellar.store.tastings(1).unwrap().remove(0);
    assert_eq!(newest.ph, Some(Found::Number(3.3)));
    assert_eq!(newest.read_by_then(), ["SO2 20"]);
    // What a test could not tell is no figure.
    cellar.append(&measure(6, vessel, Property::FreeSo2, Found::Below(10.0)));
    cellar.append(&taste(7, vessel, "flat"));
    let newest = cellar.store.tastings(1).unwrap().remove(0);
    assert_eq!(newest.read_by_then(), ["SO2 <10"]);
}
