//! Files that are not what they should be: one plain sentence, and nothing touched.

use std::fs;
use std::path::{Path, PathBuf};

use rusqlite::Connection;

use super::*;

fn folder_with(name: &str) -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join(name);
    (folder, path)
}

/// Opening that file is refused in one sentence that holds `said`, and leaves it as it is.
fn check(path: &Path, said: &str) {
    let before = fs::read(path).ok();
    let sentence = refusal(Store::open(path));
    assert!(sentence.contains(said), "{sentence}");
    assert!(
        sentence.ends_with('.') && !sentence.contains('\n'),
        "{sentence}"
    );
    assert_eq!(fs::read(path).ok(), before);
    let beside = path.parent().unwrap().read_dir().unwrap().count();
    assert_eq!(
        beside,
        usize::from(path.exists()),
        "something was left beside it"
    );
}

#[test]
fn a_missing_file_is_not_made() {
    let (_folder, path) = folder_with("home.leesline");
    check(&path, "there is no cellar at");
}

#[test]
fn a_folder_is_no_cellar() {
    let (_folder, path) = folder_with("home");
    fs::create_dir(&path).unwrap();
    check(&path, "is a folder");
}

#[test]
fn other_files_are_left_alone() {
    let (_folder, path) = folder_with("home.leesline");
    for bytes in [Vec::new(), b"shopping list".to_vec(), vec![0_u8; 8_192]] {
        fs::write(&path, bytes).unwrap();
        check(&path, "is not a cellar of Leesline");
    }
}

#[test]
fn somebody_elses_sqlite_file_is_left_alone() {
    let (_folder, path) = folder_with("home.leesline");
    let conn = Connection::open(&path).unwrap();
    conn.execute_batch("CREATE TABLE recipe (name TEXT);")
        .unwrap();
    drop(conn);
    check(&path, "is not a cellar of Leesline");
}

#[test]
fn a_newer_file_is_refused_before_anything_is_touched() {
    let (_folder, path) = folder_with("home.leesline");
    drop(Store::create(&path).unwrap());
    let conn = Connection::open(&path).unwrap();
    let knows: i64 = conn
        .pragma_query_value(None, "user_version", |row| row.get(0))
        .unwrap();
    conn.pragma_update(None, "user_version", 99).unwrap();
    drop(conn);
    check(
        &path,
        &format!("was written by a newer Leesline (file version 99, this program knows {knows})"),
    );
}

#[test]
fn a_cellar_is_never_made_over_a_file() {
    let (_folder, path) = folder_with("home.leesline");
    fs::write(&path, "mine").unwrap();
    let said = refusal(Store::create(&path));
    assert!(said.contains("is already there"), "{said}");
    assert_eq!(fs::read(&path).unwrap(), b"mine");
}

#[test]
fn a_cellar_cannot_be_made_inside_a_file() {
    let (_folder, path) = folder_with("file");
    fs::write(&path, "mine").unwrap();
    let said = refusal(Store::create(&path.join("home.leesline")));
    assert!(said.starts_with("making "), "{said}");
}

#[test]
fn a_second_writer_waits_and_is_then_told() {
    let (_folder, path) = folder_with("home.leesline");
    let mut cellar = Cellar {
        store: Store::create(&path).unwrap(),
    };
    let vessel = cellar.vessel("Carboy A");
    cellar
        .store
        .conn
        .busy_timeout(std::time::Duration::from_millis(20))
        .unwrap();
    let other = Connection::open(&path).unwrap();
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    let said = refusal(cellar.store.append(&receive(1, vessel, 5.0), CLOCK));
    assert!(
        said.starts_with("another program has been writing"),
        "{said}"
    );
    // Reading goes on meanwhile.
    assert_eq!(cellar.holds(2, vessel), Volume::ZERO);
    other.execute_batch("COMMIT").unwrap();
    cellar.receive(1, vessel, 5.0);
    cellar.sound();
}

#[test]
fn a_read_only_file_can_be_read_and_is_not_written() {
    let (_folder, path) = folder_with("home.leesline");
    let mut cellar = Cellar {
        store: Store::create(&path).unwrap(),
    };
    let vessel = cellar.vessel("Carboy A");
    cellar.receive(1, vessel, 5.0);
    // A file mode would not stop a test that runs as root.
    cellar
        .store
        .conn
        .pragma_update(None, "query_only", true)
        .unwrap();
    let said = refusal(cellar.store.append(&sample(2, vessel, 1.0), CLOCK));
    assert!(said.starts_with("the cellar file is read-only"), "{said}");
    assert_eq!(cellar.holds(2, vessel), Volume::litres(5.0));
}

#[test]
fn a_full_disk_loses_nothing() {
    let (_folder, path) = folder_with("home.leesline");
    let mut cellar = Cellar {
        store: Store::create(&path).unwrap(),
    };
    let vessel = cellar.vessel("Carboy A");
    cellar.receive(1, vessel, 5.0);
    let pages: i64 = cellar
        .store
        .conn
        .pragma_query_value(None, "page_count", |row| row.get(0))
        .unwrap();
    cellar
        .store
        .conn
        .pragma_update(None, "max_page_count", pages)
        .unwrap();
    let mut long = sample(2, vessel, 1.0);
    long.note = "x".repeat(100_000);
    let said = refusal(cellar.store.append(&long, CLOCK));
    assert!(said.starts_with("the disk is full"), "{said}");
    assert_eq!(cellar.holds(3, vessel), Volume::litres(5.0));
    cellar.append(&sample(2, vessel, 1.0));
    cellar.sound();
}

#[test]
fn a_damaged_file_is_said_to_be_damaged() {
    let (_folder, path) = folder_with("home.leesline");
    let mut cellar = Cellar {
        store: Store::create(&path).unwrap(),
    };
    let vessel = cellar.vessel("Carboy A");
    for at in 1..200 {
        cellar.receive(at, vessel, 1.0);
    }
    drop(cellar);
    let mut bytes = fs::read(&path).unwrap();
    let half = bytes.len() / 2;
    bytes[half..].fill(0x5A);
    fs::write(&path, bytes).unwrap();
    let said = match Store::open(&path).and_then(|it| it.check()) {
        Ok(findings) => findings.join(" "),
        Err(error) => error.to_string(),
    };
    assert!(said.contains("damaged"), "{said}");
}

/// A copy brought back, or a newer file from a synced folder: the program that is open holds on to one that has no name.
#[test]
fn a_file_that_was_replaced_under_the_open_program_is_told_so() {
    let (_folder, path) = folder_with("home.leesline");
    let mut store = Store::create(&path).unwrap();
    let newer = path.with_extension("newer");
    drop(Store::create(&newer).unwrap());
    fs::rename(&newer, &path).unwrap();
    let clock = Clock {
        now_ms: 1_795_600_000_000,
    };
    let mut draft = Draft::new(
        Kind::Jot,
        Moment {
            utc_ms: clock.now_ms,
            offset_min: 0,
        },
    );
    draft.note = "the lid is cracked".to_owned();
    let why = store.append(&draft, clock).unwrap_err();
    assert!(matches!(why, StoreError::Replaced), "{why}");
    assert!(why.to_string().contains("open the file anew"), "{why}");
}

#[test]
fn a_new_cellar_has_nothing_half_made_beside_it() {
    let (_folder, path) = folder_with("home.leesline");
    drop(Store::create(&path).unwrap());
    assert!(matches!(Store::create(&path), Err(StoreError::Exists(_))));
    assert_eq!(path.parent().unwrap().read_dir().unwrap().count(), 1);
}
