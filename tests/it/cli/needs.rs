//! Every reason there is can be asked why, and running its command makes it go.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use leesline::cellar::attention::{Look, Policy, ReasonKind, attention};
use leesline::cellar::moment::Moment;
use leesline::cellar::snapshot::Snapshot;
use leesline::store::Store;
use serde_json::Value;

use super::{json, run};
use crate::year::words;

/// The day of both cellars.
const TODAY: &str = "2026-11-25 18:00";

/// A cellar in which everything is amiss, a command a line.
const ALL_AMISS: &str = include_str!("needs.txt");

/// What a person would say where the command leaves something to say: verb, with what it is about or without, flag, value.
/// The first that fits; a verb `*` is any.
const SAID: &[(&str, &str, &str)] = &[
    ("buy bottle", "amount", "100"),
    ("buy cork", "amount", "100"),
    ("buy", "amount", "100 g"),
    // Half of what the wines here lack and more; less would leave them short, and more is too much for a small one.
    ("add Demijohn 1", "amount", "0.15 g"),
    ("add Demijohn 2", "amount", "0.2 g"),
    ("add Muddy", "amount", "0.2 g"),
    ("batch change", "malo", "unwanted"),
    ("add", "amount", "0.8 g"),
    ("stabilise", "sorbate", "2 g"),
    ("top-up", "from", "bought-wine"),
    ("top-up", "amount", "300 mL"),
    ("stabilise", "sulfite", "0.7 g"),
    ("*", "free-so2", "34"),
    ("*", "total-so2", "90"),
    ("*", "ph", "3.4"),
    ("*", "gravity", "0.994"),
    ("*", "sugar", "1"),
    ("*", "malic", "gone"),
    ("*", "temperature", "20C"),
    ("*", "corks", "level"),
    ("*", "bubbles", "none"),
    ("lay-down", "where", "cellar floor"),
    ("note", "about", "Bucket"),
    ("rack", "to", "Bin"),
];

/// Kinds that a single command moves on instead of ending, and to what.
const MOVES_ON: &[(ReasonKind, &str)] = &[
    // One line for all wines without a test: the wine that was dosed is no longer counted in it.
    (ReasonKind::Untested, "in 4 vessels"),
];

struct Cellar {
    folder: tempfile::TempDir,
}

impl Cellar {
    fn demo() -> Cellar {
        let cellar = Cellar {
            folder: tempfile::tempdir().unwrap(),
        };
        let file = cellar.file();
        let made = run(&["--today", TODAY, "demo", "--file", file.to_str().unwrap()]);
        assert_eq!(made.0, 0, "{}", made.2);
        cellar
    }

    fn all_amiss() -> Cellar {
        let cellar = Cellar {
            folder: tempfile::tempdir().unwrap(),
        };
        done(&cellar.file(), &["init".to_owned()]);
        let lines = ALL_AMISS.lines().map(str::trim);
        for line in lines.filter(|it| !it.is_empty() && !it.starts_with('#')) {
            done(&cellar.file(), &words(line));
        }
        cellar
    }

    fn file(&self) -> PathBuf {
        self.folder.path().join("cellar.leesline")
    }

    /// A copy with one command run on it.
    fn with(&self, command: &[String]) -> PathBuf {
        let copy = self.folder.path().join("copy.leesline");
        fs::copy(self.file(), &copy).unwrap();
        let mut command = command.to_vec();
        // A look that takes back what may burst a bottle is answered with yes, and no other.
        let looks = ["Rising", "Too early"].map(|it| ["look", it].map(str::to_owned));
        if looks.iter().any(|it| command.starts_with(it)) {
            command.push("--yes".to_owned());
        }
        done(&copy, &command);
        copy
    }
}

#[track_caller]
fn done(file: &Path, command: &[String]) {
    let mut all = vec!["--today", TODAY, "--cellar", file.to_str().unwrap()];
    all.extend(command.iter().map(String::as_str));
    let (code, _, told) = run(&all);
    assert_eq!(code, 0, "{command:?}: {told}");
}

fn due(file: &Path) -> Vec<Value> {
    let file = file.to_str().unwrap();
    let due = json(&["--today", TODAY, "--cellar", file, "due", "--json"]);
    due["reasons"].as_array().unwrap().clone()
}

fn texts(array: &Value) -> Vec<String> {
    let all = array.as_array().unwrap().iter();
    all.map(|it| it.as_str().unwrap().to_owned()).collect()
}

/// The command of a reason, with what only the person knows.
fn command(reason: &Value) -> Vec<String> {
    let mut words = texts(&reason["command"]);
    assert_eq!(words.remove(0), "leesline");
    let verb = words[0].clone();
    let of_what = words[..2.min(words.len())].join(" ");
    for need in texts(&reason["needs"]) {
        let said = SAID
            .iter()
            .find(|it| [&verb, &of_what, "*"].contains(&it.0) && it.1 == need);
        let said = said.unwrap_or_else(|| panic!("nobody says {need} in {reason:#}"));
        words.extend([format!("--{need}"), said.2.to_owned()]);
    }
    words
}

/// Rank, a due day, a sentence, and a working with a number or a source in it.
fn check_says_why(reason: &Value) {
    let rank = reason["rank"].as_str().unwrap();
    assert!(["now", "soon", "later"].contains(&rank), "{reason:#}");
    chrono::DateTime::parse_from_rfc3339(reason["due"].as_str().unwrap()).unwrap();
    assert!(!reason["sentence"].as_str().unwrap().is_empty());
    let why = reason["why"].as_array().unwrap().iter();
    let why: Vec<&str> = why.map(|it| it["sentence"].as_str().unwrap()).collect();
    let shows = |it: &&str| {
        let is_sourced = ["common practice", "house estimate", "from memory"];
        it.contains(|it: char| it.is_ascii_digit()) || is_sourced.iter().any(|by| it.contains(by))
    };
    assert!(why.iter().any(shows), "{reason:#}");
}

fn check(cellar: &Cellar) -> BTreeSet<String> {
    let reasons = due(&cellar.file());
    for reason in &reasons {
        check_says_why(reason);
        let is_it = |it: &&Value| {
            (&it["subject"], &it["identity"]) == (&reason["subject"], &reason["identity"])
        };
        let after = due(&cellar.with(&command(reason)));
        let Some(still) = after.iter().find(is_it) else {
            continue;
        };
        let kind = reason["kind"].as_str().unwrap();
        let moves_on = MOVES_ON.iter().find(|it| it.0.word() == kind);
        let (_, to) = moves_on.unwrap_or_else(|| panic!("{reason:#}\nis still {still:#}"));
        assert!(
            still["sentence"].as_str().unwrap().contains(to),
            "{still:#}"
        );
        assert!(still["due"].as_str() > reason["due"].as_str(), "{still:#}");
    }
    let kinds = reasons.iter().map(|it| it["kind"].as_str().unwrap());
    kinds.map(str::to_owned).collect()
}

#[test]
fn in_the_demo_every_command_makes_its_reason_go() {
    let kinds = check(&Cellar::demo());
    assert!(kinds.len() >= 9, "{kinds:?}");
}

#[test]
fn every_kind_of_reason_is_raised_and_goes_by_its_command() {
    let kinds = check(&Cellar::all_amiss());
    let all: BTreeSet<String> = ReasonKind::WORDS
        .iter()
        .map(|it| (*it).to_owned())
        .collect();
    assert_eq!(kinds, all);
}

/// All that is said by kind of reason under a policy.
fn said(cellar: &Snapshot, policy: &Policy) -> BTreeMap<&'static str, Vec<String>> {
    let look = Look::at(cellar, policy);
    let mut said: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    let mut reasons = attention(cellar, policy);
    reasons.sort_by_key(|it| it.subject);
    for it in reasons {
        let how = format!("{:?} {:?} {:?}", it.subject, it.rank, it.due);
        let all = said.entry(it.kind.word()).or_default();
        all.extend([how, it.sentence.clone()]);
        all.extend(look.working(&it));
    }
    said
}

#[test]
fn a_reason_names_every_threshold_that_changes_it() {
    // 18:00 UTC on the day of both cellars.
    let now = Moment {
        utc_ms: 1_795_629_600_000,
        offset_min: 0,
    };
    let usual = Policy::default();
    let mut moved = BTreeSet::new();
    for cellar in [Cellar::demo(), Cellar::all_amiss()] {
        let cellar = Store::open(&cellar.file()).unwrap().snapshot(now).unwrap();
        let before = said(&cellar, &usual);
        for it in usual.thresholds() {
            for factor in [0.5, 0.99, 1.01, 2.0] {
                let mut other = usual.clone();
                *other.threshold_mut(it.name).unwrap() *= factor;
                let after = said(&cellar, &other);
                for kind in ReasonKind::ALL {
                    if before.get(kind.word()) != after.get(kind.word()) {
                        moved.insert(it.name);
                        assert!(
                            it.kinds.contains(kind),
                            "{} × {factor} moves {}: {:?} to {:?}",
                            it.name,
                            kind.word(),
                            before.get(kind.word()),
                            after.get(kind.word())
                        );
                    }
                }
            }
        }
    }
    let named = usual
        .thresholds()
        .iter()
        .filter(|it| !it.kinds.is_empty())
        .count();
    assert!(
        moved.len() * 10 >= named * 6,
        "{} of {named}: {moved:?}",
        moved.len()
    );
}

#[test]
fn a_threshold_may_be_set_within_its_range_and_says_whose_it_is() {
    let cellar = Cellar::demo();
    let file = cellar.file();
    let set = |text: &str| {
        let file = file.to_str().unwrap();
        let (code, _, told) = run(&["--cellar", file, "settings", "--threshold", text]);
        (code, told)
    };
    let round = || {
        let file = file.to_str().unwrap();
        let all = json(&["--cellar", file, "policy", "round", "--json"]);
        let all = all["thresholds"].as_array().unwrap().clone();
        let it = all
            .into_iter()
            .find(|it| it["name"] == "round_days")
            .unwrap();
        (
            it["value"].as_f64().unwrap(),
            it["is_own"].as_bool().unwrap(),
        )
    };
    let raised = || due(&file).iter().any(|it| it["kind"] == "round");
    assert_eq!((round(), raised()), ((7.0, false), false));
    // The last round was five days ago.
    assert_eq!(set("round days=4").0, 0);
    assert_eq!((round(), raised()), ((4.0, true), true));
    let (code, told) = set("round days=100");
    assert!(code == 2 && told.contains("1 to 31"), "{told}");
    let (code, told) = set("warm=5");
    assert!(
        code == 2 && told.contains("guards the wine or its maker"),
        "{told}"
    );
    let (code, told) = set("warmth=5");
    assert!(
        code == 2 && told.contains("no threshold is called"),
        "{told}"
    );
    assert_eq!(set("round_days=usual").0, 0);
    assert_eq!((round(), raised()), ((7.0, false), false));
}

#[test]
fn what_was_put_off_is_listed_with_its_why_and_taken_back_by_its_number() {
    let cellar = Cellar::all_amiss();
    let file = cellar.file();
    let told = |line: &str| {
        let words = words(line);
        let mut all = vec!["--today", TODAY, "--cellar", file.to_str().unwrap()];
        all.extend(words.iter().map(String::as_str));
        run(&all)
    };
    let listed = || -> Value { serde_json::from_str(&told("due --put-off --json").1).unwrap() };
    let raised = |subject: &str, kind: &str| {
        due(&file)
            .iter()
            .any(|it| it["subject"]["name"] == subject && it["kind"] == kind)
    };
    let (code, _, why) = told("dismiss Half --reason headspace");
    assert!(code == 2 && why.contains("Why?"), "{why}");
    assert_eq!(
        told("dismiss Half --reason headspace --note 'for vinegar'").0,
        0
    );
    assert_eq!(
        told("snooze Muddy --reason lees --until 5d --note 'on purpose'").0,
        0
    );
    // What is not there can't be put off or dismissed; what is there is named.
    let (code, _, why) = told("snooze Half --reason round --until 5d");
    assert_eq!(code, 2);
    assert!(
        why.contains(
            "Half has no such reason as the cellar round; there are: free SO2 low for its pH."
        ),
        "{why}"
    );
    let (code, _, why) = told("dismiss cellar --reason headspace --note no");
    assert_eq!(code, 2);
    assert!(
        why.contains("cellar has no such reason as too much headspace; there are: "),
        "{why}"
    );
    // One job put off leaves the other of the same wine.
    assert_eq!(told("snooze Muddy --reason job --job fine").0, 0);
    assert!(!raised("Half", "headspace") && !raised("Muddy", "lees"));
    assert!(raised("Muddy 1", "job") && raised("Muddy", "unfinished"));
    let all = listed()["put_off"].as_array().unwrap().clone();
    let said: Vec<(&str, &str, &str)> = all
        .iter()
        .map(|it| {
            (
                it["subject"]["name"].as_str().unwrap(),
                it["until"].as_str().map_or("", |it| &it[..10]),
                it["why"].as_str().unwrap(),
            )
        })
        .collect();
    assert_eq!(
        said,
        [
            ("Half", "", "for vinegar"),
            ("Muddy", "2026-11-30", "on purpose"),
            ("Muddy 1", "2026-12-02", ""),
        ]
    );
    // What has ended is held back no more.
    let topped = cellar.with(&words("rack Half --to Bin"));
    let after = topped.to_str().unwrap();
    let after = json(&[
        "--today",
        TODAY,
        "--cellar",
        after,
        "due",
        "--put-off",
        "--json",
    ]);
    let after = after["put_off"].as_array().unwrap().iter();
    let after: Vec<&str> = after
        .map(|it| it["subject"]["name"].as_str().unwrap())
        .collect();
    assert_eq!(after, ["Muddy", "Muddy 1"]);
    for it in &all {
        let command = texts(&it["command"]);
        let line = format!("{} --yes", command[1..].join(" "));
        assert_eq!(told(&line).0, 0, "{line}");
    }
    assert!(raised("Half", "headspace") && raised("Muddy", "lees"));
    assert_eq!(listed()["put_off"], serde_json::json!([]));
}

#[test]
fn a_barrel_that_was_found_full_is_asked_for_no_more() {
    let cellar = Cellar {
        folder: tempfile::tempdir().unwrap(),
    };
    let file = cellar.file();
    for line in [
        "init",
        "vessel add Oak --mark 30L --kind barrel --at -90d",
        "here Oak --amount 30L --wine red --at -60d",
    ] {
        done(&file, &words(line));
    }
    let raised = |file: &Path| due(file).iter().any(|it| it["kind"] == "topping");
    assert!(raised(&file));
    assert!(!raised(&cellar.with(&words("adjust Oak --level full"))));
    // Neither is one that was topped up over what the book has room for, and it is full as before.
    let topped = cellar.with(&words("top-up Oak --from bought-wine --amount 300mL"));
    assert!(!raised(&topped));
    done(&topped, &words("check"));
}
