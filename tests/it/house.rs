//! The house keeps its arrows: who may use whom, read from the sources themselves.

use std::fs;
use std::path::{Path, PathBuf};

/// A folder of `src`, and what no line of its code may say.
const RULES: &[(&str, &[&str])] = &[
    (
        "calc",
        &[
            "leesline::",
            "rusqlite",
            "chrono",
            "ratatui",
            "std::fs",
            "std::env",
            "SystemTime",
            "Instant::now",
        ],
    ),
    (
        "cellar",
        &[
            "crate::store",
            "crate::exchange",
            "crate::cli",
            "crate::tui",
            "rusqlite",
            "ratatui",
            "crossterm",
            "std::fs",
            "std::env",
            "SystemTime",
            "Instant::now",
            "Local::now",
            "Utc::now",
        ],
    ),
    (
        "store",
        &[
            "crate::exchange",
            "crate::cli",
            "crate::tui",
            "ratatui",
            "crossterm",
        ],
    ),
    (
        "exchange",
        &[
            "crate::cli",
            "crate::tui",
            "rusqlite",
            "ratatui",
            "crossterm",
            "SystemTime",
            "Local::now",
        ],
    ),
    ("cli", &["rusqlite", "ratatui", "crossterm"]),
    ("tui", &["crate::cli", "rusqlite"]),
    (".", &["std::net", "TcpStream", "UdpSocket"]),
];

/// Files that keep a stricter rule than their folder.
const STRICTER: &[(&str, &[&str])] = &[
    (
        "tui/update.rs",
        &[
            "crate::store",
            "SystemTime",
            "Instant::now",
            "Local::now",
            "execute!",
        ],
    ),
    (
        "tui/view.rs",
        &["crate::store", "SystemTime", "Instant::now", "Local::now"],
    ),
    (
        "tui/screens",
        &["crate::store", "SystemTime", "Instant::now", "Local::now"],
    ),
    (
        "tui/widgets",
        &["crate::store", "SystemTime", "Instant::now", "Local::now"],
    ),
];

#[test]
fn no_folder_uses_one_it_may_not() {
    let mut read = 0;
    for (folder, forbidden) in RULES.iter().chain(STRICTER) {
        for file in sources(
            &Path::new(env!("CARGO_MANIFEST_DIR"))
                .join("src")
                .join(folder),
        ) {
            read += 1;
            let text = fs::read_to_string(&file).unwrap();
            for (at, line) in text.lines().enumerate() {
                let code = line.split("//").next().unwrap_or_default();
                for word in *forbidden {
                    assert!(
                        !code.contains(word),
                        "{}:{}: {word} has no place here: {line}",
                        file.display(),
                        at + 1
                    );
                }
            }
        }
    }
    assert!(read > 50, "only {read} files were read");
}

#[test]
fn sql_is_spoken_in_the_store_alone() {
    for file in sources(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src")) {
        if file.components().any(|it| it.as_os_str() == "store") {
            continue;
        }
        let text = fs::read_to_string(&file).unwrap();
        for word in ["SELECT ", "INSERT INTO", "DELETE FROM", "PRAGMA "] {
            let said = text
                .lines()
                .find(|it| !it.trim_start().starts_with("//") && it.contains(word));
            assert!(said.is_none(), "{}: {said:?}", file.display());
        }
    }
}

#[test]
fn nothing_else_stands_at_the_top_level() {
    let known = [
        "Cargo.lock",
        "Cargo.toml",
        "DEVELOPERS.md",
        "LICENSE",
        "README.md",
        "assets",
        "migrations",
        "src",
        "target",
        "tests",
    ];
    for entry in fs::read_dir(env!("CARGO_MANIFEST_DIR")).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(
            name.starts_with('.') || known.contains(&name.as_str()),
            "{name} has no place at the top level"
        );
    }
}

fn sources(at: &Path) -> Vec<PathBuf> {
    if at.is_file() {
        return vec![at.to_owned()];
    }
    let Ok(entries) = fs::read_dir(at) else {
        return Vec::new();
    };
    let mut files: Vec<PathBuf> = entries
        .flat_map(|it| {
            let path = it.unwrap().path();
            if path.ends_with("calc/benches") || path.ends_with("calc/tests") {
                // They keep time and read tables by their nature, and are no part of the crate.
                Vec::new()
            } else if path.is_dir() {
                sources(&path)
            } else {
                vec![path]
            }
        })
        .filter(|it| it.extension().is_some_and(|it| it == "rs"))
        .collect();
    files.sort();
    files
}

#[test]
fn the_keys_in_the_readme_are_the_program_s() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let readme = fs::read_to_string(&path).unwrap();
    let (before, after) = readme.split_once("equal -->\n").unwrap();
    let (table, rest) = after.split_once("<!-- end of keys -->").unwrap();
    let keys = leesline::tui::commands::keys_table();
    if std::env::var("INSTA_UPDATE").is_ok_and(|it| it == "always") {
        fs::write(
            &path,
            format!("{before}equal -->\n{keys}<!-- end of keys -->{rest}"),
        )
        .unwrap();
        return;
    }
    assert_eq!(
        table, keys,
        "INSTA_UPDATE=always cargo test --test it writes it anew"
    );
}
