//! The README's commands, as a person would paste them one after the other into an empty cellar.

use std::path::Path;
use std::process::Command;

/// Every command printed in a fence of the README, lines that go on joined.
fn commands() -> Vec<String> {
    let readme = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let text = std::fs::read_to_string(readme)
        .unwrap()
        .replace("\\\n", " ");
    let fences = text.split("```").skip(1).step_by(2);
    let lines = fences.flat_map(str::lines);
    lines
        .filter(|it| it.starts_with("leesline "))
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
