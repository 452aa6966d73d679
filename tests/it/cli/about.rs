//! What the program says about itself.

use super::{check_refused, json, run};

#[track_caller]
fn check_says(arguments: &[&str], words: &[&str]) {
    let (code, out, told) = run(arguments);
    assert_eq!(code, 0, "{arguments:?}: {told}");
    for word in words {
        assert!(out.contains(word), "{arguments:?} does not say {word}");
    }
}

#[test]
fn completions_know_verbs_words_and_calculators() {
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        check_says(&["completions", shell], &["rack", "so2-need"]);
    }
    // The other two shells complete no values.
    for shell in ["bash", "zsh", "fish"] {
        check_says(&["completions", shell], &["demijohn"]);
    }
    check_refused(&["completions", "fishy"], 2, "choose one of bash");
}

#[test]
fn a_manual_page_can_be_had_of_the_whole_and_of_a_verb() {
    check_says(&["man"], &[".TH leesline", "lay\\-down"]);
    check_says(
        &["man", "vessel", "add"],
        &[".TH leesline-vessel-add", "brim"],
    );
    check_refused(&["man", "rakk"], 2, "no verb `rakk`");
}

#[test]
fn the_keys_are_those_of_the_command_table() {
    let keys = json(&["keys", "--json"]);
    let rows = leesline::tui::commands::COMMANDS.len();
    assert_eq!(keys["keys"].as_array().unwrap().len(), rows);
}

#[test]
fn help_says_what_a_verb_asks() {
    check_says(&["help", "rack"], &["--leaving"]);
    check_says(&["rack", "--help"], &["--leaving", "--at", "Everywhere"]);
}
