//! The command line as scripts see it: exit codes, one-line errors, JSON keys.

mod about;
mod answers;
mod asking;
mod bottle_plan;
mod bottles;
mod bottling;
mod bottling_again;
mod bottling_steps;
mod bottling_sum;
mod contract;
mod demo;
mod dose;
mod empties;
mod examples;
mod faults;
mod ferment;
mod ics;
mod kegs;
mod lasting;
mod lots;
mod mixed_sizes;
mod needs;
mod refusals;
mod showing;
mod stock;
mod sulfite;
mod tastings;
mod trouble;
mod typed;
mod what_if;
mod writing;
mod yeast;

use serde_json::Value;

use crate::program::leesline;

/// Runs it, and gives exit code, stdout and stderr.
fn run(arguments: &[&str]) -> (i32, String, String) {
    let output = leesline().args(arguments).output().unwrap();
    (
        output.status.code().unwrap(),
        String::from_utf8(output.stdout).unwrap(),
        String::from_utf8(output.stderr).unwrap(),
    )
}

/// A failure: that exit code, nothing on stdout, one line on stderr with those words in it.
#[track_caller]
fn check_refused(arguments: &[&str], code: i32, words: &str) {
    let (got, out, told) = run(arguments);
    assert_eq!((got, out.as_str()), (code, ""), "{arguments:?}: {told}");
    assert_eq!(told.lines().count(), 1, "{arguments:?}: {told}");
    assert!(told.contains(words), "{arguments:?}: {told}");
}

#[track_caller]
fn json(arguments: &[&str]) -> Value {
    let (code, out, told) = run(arguments);
    assert_eq!(code, 0, "{arguments:?}: {told}");
    serde_json::from_str(&out).unwrap()
}

#[track_caller]
fn check_near(value: &Value, expected: f64, tolerance: f64) {
    let number = value.as_f64().unwrap();
    assert!(
        (number - expected).abs() <= tolerance,
        "{number} is not {expected} ± {tolerance}"
    );
}

/// When the demo is opened in the tests: it names its batches by their years, so that the day of the clock would
/// not do.
const DEMO_DAY: &str = "2026-11-25 18:00";

/// A new cellar in a folder of its own.
struct Cellar {
    folder: tempfile::TempDir,
    /// The moment of what does not say its own; the clock's without it.
    today: Option<&'static str>,
}

impl Cellar {
    fn new() -> Cellar {
        let cellar = Cellar {
            folder: tempfile::tempdir().unwrap(),
            today: None,
        };
        cellar.done(&["init", "--name", "Test"]);
        cellar
    }

    /// The Quarry Row cellar.
    fn demo() -> Cellar {
        let cellar = Cellar {
            folder: tempfile::tempdir().unwrap(),
            today: Some(DEMO_DAY),
        };
        let (code, _, told) = run(&["--today", DEMO_DAY, "demo", "--file", &cellar.file()]);
        assert_eq!(code, 0, "{told}");
        cellar
    }

    fn file(&self) -> String {
        let path = self.folder.path().join("cellar.leesline");
        path.to_str().unwrap().to_owned()
    }

    /// Those arguments, asked of this cellar on its day.
    fn asked(&self, arguments: &[&str]) -> Vec<String> {
        let file = self.file();
        let said = arguments.contains(&"--today");
        let today = self.today.filter(|_| !said).map(|it| ["--today", it]);
        let today = today.iter().flatten().copied();
        let all = ["--cellar", &file].into_iter().chain(today);
        all.chain(arguments.iter().copied())
            .map(str::to_owned)
            .collect()
    }

    /// Runs it, and gives what it printed.
    #[track_caller]
    fn done(&self, arguments: &[&str]) -> String {
        let (code, out, told) = run(&borrowed(&self.asked(arguments)));
        assert_eq!(code, 0, "{arguments:?}: {told}");
        out
    }

    /// Those words, on that day.
    #[track_caller]
    fn on(&self, day: &str, line: &str) -> String {
        let words: Vec<&str> = line.split(' ').collect();
        self.done(&[&words[..], &["--today", day]].concat())
    }

    #[track_caller]
    fn json(&self, arguments: &[&str]) -> Value {
        json(&borrowed(&self.asked(&[arguments, &["--json"]].concat())))
    }

    #[track_caller]
    fn check_refused(&self, arguments: &[&str], code: i32, words: &str) {
        check_refused(&borrowed(&self.asked(arguments)), code, words);
    }

    /// Begins to bottle a wine that was never measured, with more said of it.
    #[track_caller]
    fn bottles(&self, vessel: &str, more: &[&str]) {
        self.done(&start_of(vessel, more));
    }

    /// 22.4 L in a carboy, by the book.
    fn with_damson() -> Cellar {
        let cellar = Cellar::new();
        cellar.done(&[
            "here", "Carboy", "--mark", "23 L", "--holds", "Damson", "--amount", "22.4 L",
            "--wine", "fruit",
        ]);
        cellar
    }

    /// What is left of each lot of supply, by name.
    fn left(&self) -> Vec<(String, i64)> {
        let document = self.json(&["stock"]);
        let lots = document["supplies"].as_array().unwrap().iter();
        let mut lots: Vec<(String, i64)> = lots
            .map(|it| {
                (
                    it["name"].as_str().unwrap().to_owned(),
                    it["left_count"].as_i64().unwrap_or(-1),
                )
            })
            .collect();
        lots.sort();
        lots
    }

    fn with_carboy(self) -> Cellar {
        self.done(&["vessel", "add", "Carboy A", "--mark", "23 L"]);
        self.done(&[
            "receive",
            "Carboy A",
            "--amount",
            "22.7 L",
            "--batch",
            "Riesling",
            "--gravity",
            "1.085",
            "--at",
            "-60d",
        ]);
        self
    }
}

/// The line that begins to bottle a wine that was never measured.
fn start_of<'a>(vessel: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    let start = ["bottle", "start", vessel, "--overrule", "a trial"];
    [&start[..], more].concat()
}

fn borrowed(arguments: &[String]) -> Vec<&str> {
    arguments.iter().map(String::as_str).collect()
}

#[track_caller]
fn check_keys(object: &Value, expected: &[&str]) {
    let object = object.as_object().unwrap();
    for key in expected {
        assert!(object.contains_key(*key), "no {key} in {object:?}");
    }
}
