//! The crate's page lists the calculators as the registry has them.

use std::fmt::Write;
use std::fs;
use std::path::Path;

use leesline_calc::registry::{CALCULATORS, Calculator, Input, Need};

const START: &str = "<!-- calculators -->\n";
const END: &str = "<!-- end -->";

/// An input as the table shows it: `volume_l`, `[salt = potassium]`, `brix | sg`.
fn asked(input: &Input) -> String {
    match (input.need, input.default) {
        (Need::Optional, Some(default)) => format!("[{} = {default}]", input.key),
        (Need::Optional, None) => format!("[{}]", input.key),
        _ => input.key.to_owned(),
    }
}

fn inputs(calculator: &Calculator) -> String {
    let mut all = String::new();
    let mut before = None;
    for input in calculator.inputs {
        let joint = match (input.need, before) {
            (_, None) => "",
            (Need::OneOf(group), Some(Need::OneOf(other))) if group == other => " or ",
            _ => ", ",
        };
        all += joint;
        all += &asked(input);
        before = Some(input.need);
    }
    all
}

fn table() -> String {
    let mut page = String::new();
    let mut groups: Vec<&str> = Vec::new();
    for calculator in CALCULATORS {
        if !groups.contains(&calculator.group) {
            groups.push(calculator.group);
        }
    }
    for group in groups {
        let _ = write!(
            page,
            "\n## {group}\n\n| calculator | answers | asks | gives |\n|---|---|---|---|\n"
        );
        for calculator in CALCULATORS.iter().filter(|it| it.group == group) {
            let results: Vec<&str> = calculator.results.iter().map(|result| result.key).collect();
            let _ = writeln!(
                page,
                "| `{}` | {} | `{}` | `{}` |",
                calculator.name,
                calculator.sentence,
                inputs(calculator),
                results.join(", ")
            );
        }
    }
    page.push('\n');
    page
}

#[test]
fn the_page_lists_every_calculator_as_it_is() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let page = fs::read_to_string(&path).expect("the page is beside the crate");
    let (before, rest) = page
        .split_once(START)
        .expect("the page has a place for the table");
    let (kept, after) = rest.split_once(END).expect("and an end to it");
    if std::env::var("INSTA_UPDATE").is_ok_and(|it| it == "always") {
        fs::write(&path, format!("{before}{START}{}{END}{after}", table()))
            .expect("it can be written");
        return;
    }
    let table = table();
    let stale = table
        .lines()
        .find(|line| !kept.lines().any(|it| it == *line));
    assert!(
        kept == table,
        "INSTA_UPDATE=always cargo test -p leesline-calc writes it anew; missing: {}",
        stale.unwrap_or("nothing, but there is too much")
    );
}
