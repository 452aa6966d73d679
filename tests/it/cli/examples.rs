//! Every example that `--help` of a command prints, copied onto the demo cellar.

use super::{Cellar, borrowed, run};
use leesline::cellar::verbs::VERBS;
use leesline::cli::EXAMPLES;

/// Verbs whose example stands on that of others, which are run before it.
const AFTER: &[(&str, &[&str])] = &[
    ("oak out", &["oak in"]),
    ("stabilise", &["sweeten"]),
    ("blind taste", &["blind start"]),
    ("blind reveal", &["blind start"]),
    ("bottle finish", &["bottle start"]),
    ("back", &["give"]),
    ("shelves retire", &["shelves add"]),
    ("empties wash", &["empties add"]),
    ("empties out", &["empties add"]),
    ("trouble over", &["trouble mark"]),
];

/// Verbs of a bottling in its steps, which begins so; their example stands on this line.
const IN_STEPS: &[&str] = &[
    "bottle ready",
    "bottle size",
    "bottle corks",
    "bottle count",
];

/// Commands whose example rightly asks to be confirmed.
const ASKS: &[&str] = &["discard", "void", "amend"];

/// Commands whose example names a file, which would be written where the tests run.
const OF_FILES: &[&str] = &["backup", "restore"];

/// The words of a verb's example, as `--help` prints them.
fn example(verb: &str) -> Vec<String> {
    let asked: Vec<&str> = verb.split(' ').chain(["--help"]).collect();
    let (code, help, _) = run(&asked);
    assert_eq!(code, 0, "{verb}");
    let example = help.split_once("For example:\n").map(|it| it.1.trim());
    let line = example.and_then(|it| it.lines().next()?.strip_prefix("leesline "));
    let line = line.unwrap_or_else(|| panic!("{verb} prints no example"));
    let mut words = Vec::new();
    for (at, part) in line.split('"').enumerate() {
        if at % 2 == 1 {
            words.push(part.to_owned());
        } else {
            words.extend(part.split_whitespace().map(str::to_owned));
        }
    }
    words
}

#[test]
fn every_example_of_help_is_taken_by_the_demo_cellar() {
    let demo = Cellar::demo();
    let mut refused = Vec::new();
    for verb in VERBS {
        assert!(EXAMPLES.iter().any(|it| it.0 == verb.name), "{}", verb.name);
    }
    for (name, _) in EXAMPLES.iter().filter(|it| !OF_FILES.contains(&it.0)) {
        let cellar = Cellar {
            folder: tempfile::tempdir().unwrap(),
            today: demo.today,
        };
        std::fs::copy(demo.file(), cellar.file()).unwrap();
        let before = AFTER.iter().find(|it| it.0 == *name);
        for verb in before.map_or(&[][..], |it| it.1) {
            cellar.done(&borrowed(&example(verb)));
        }
        if IN_STEPS.contains(name) {
            cellar.done(&["bottle", "start", "Carboy B", "--chores", "yes"]);
        }
        let words = example(name);
        assert!(words.join(" ").starts_with(name), "{words:?}");
        let asked = cellar.asked(&borrowed(&words));
        let (code, _, told) = run(&borrowed(&asked));
        let expected = i32::from(ASKS.contains(name));
        let is_asked = code == 0 || told.ends_with("To do so add --yes.\n");
        if code != expected || !is_asked {
            refused.push(format!("{}: {code} {told}", words.join(" ")));
        }
    }
    assert!(refused.is_empty(), "{}", refused.join(""));
}
