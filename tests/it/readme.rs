//! The README's commands, as a person would paste them one after the other into an empty cellar.

use std::path::Path;
use std::process::Command;

/// Every command printed in the README, in its order: in a fence, lines that go on joined, or within a
/// sentence, where it is complete: no word in capitals stands for another, and it opens no screen.
fn commands() -> Vec<String> {
    let readme = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let text = std::fs::read_to_string(readme)
        .unwrap()
        .replace("\\\n", " ");
    let parts = text.split("```").enumerate();
    let printed = parts.flat_map(|(at, part)| -> Vec<&str> {
        if at % 2 == 1 {
            part.lines().collect()
        } else {
            part.split('`').skip(1).step_by(2).collect()
        }
    });
    let is_complete = |it: &&str| {
        !["FILE", "NAME", "VERB"]
            .iter()
            .any(|word| it.contains(word))
    };
    printed
        .filter(|it| it.starts_with("leesline "))
        .filter(is_complete)
        .map(str::to_owned)
        .collect()
}

#[test]
fn every_command_of_the_readme_works_as_printed() {
    let folder = tempfile::tempdir().unwrap();
    let binary = assert_cmd::cargo::cargo_bin("leesline");
    let binaries = binary.parent().unwrap().to_str().unwrap();
    let path = format!("{binaries}:{}", std::env::var("PATH").unwrap());
    let commands = commands();
    assert!(commands.len() >= 12, "the walk is gone: {commands:?}");
    let is_within_a_sentence = |it: &String| it.starts_with("leesline stock take ");
    assert!(commands.iter().any(is_within_a_sentence), "{commands:?}");
    for line in commands {
        let output = Command::new("sh")
            .args(["-c", &line])
            .current_dir(folder.path())
            .env_remove("LEESLINE_CELLAR")
            .env("HOME", folder.path())
            .env("XDG_DATA_HOME", folder.path())
            .env("PATH", &path)
            .output()
            .unwrap();
        let told = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{line}\n{told}");
        assert!(!output.stdout.is_empty(), "{line} says nothing");
    }
}
