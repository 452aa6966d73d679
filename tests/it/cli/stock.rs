//! `stock`: what there is, what the work ahead takes, how long it lasts.

use serde_json::Value;

use super::{Cellar, check_near};

fn substance<'a>(stock: &'a Value, name: &str) -> &'a Value {
    let all = stock["substances"].as_array().unwrap();
    all.iter().find(|it| it["substance"] == name).unwrap()
}

#[test]
fn what_is_planned_and_what_remains_is_what_is_left() {
    let cellar = Cellar::demo();
    let stock = cellar.json(&["stock"]);
    let powder = substance(&stock, "potassium-metabisulfite");
    let number = |key: &str| powder[key].as_i64().unwrap();
    assert_eq!(
        number("planned_ug") + number("remains_ug"),
        number("left_ug")
    );
    let needs = powder["needs"].as_array().unwrap();
    let sum: i64 = needs
        .iter()
        .map(|it| it["amount_ug"].as_i64().unwrap())
        .sum();
    assert_eq!(sum, number("planned_ug"));
    // Opened 234 days ago at 97 %: 0.97 · 0.85^(234/365.25) (from memory: Zoecklein and others, 10 to 20 % a year).
    let strength = 97.0 * 0.85_f64.powf(234.0 / 365.25);
    check_near(&stock["sulfite"]["strength_now_pct"], strength, 0.1);
    assert_eq!(
        stock["supplies"][0]["strength_now_pct"],
        stock["sulfite"]["strength_now_pct"]
    );
}

#[test]
fn what_the_next_bottling_lacks_is_to_be_bought() {
    let cellar = Cellar::demo();
    let wanted = cellar.done(&["stock", "--to-buy"]);
    assert!(
        wanted.contains("empty bottles") && wanted.contains("the bottling of Carboy B"),
        "{wanted}"
    );
    cellar.done(&["empties", "add", "40"]);
    let wanted = cellar.done(&["stock", "--to-buy"]);
    assert!(!wanted.contains("empty bottles"), "{wanted}");
}
