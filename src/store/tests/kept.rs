//! What the file says agrees with what the program says; checking, rebuilding, copies.

use std::path::PathBuf;

use super::*;
use crate::cellar::thing::CELLAR;

fn column(store: &Store, sql: &str) -> Vec<String> {
    let mut select = store.conn.prepare(sql).unwrap();
    let rows = select.query_map([], |row| row.get(0)).unwrap();
    rows.map(|it| it.unwrap()).collect()
}

/// A cellar in a folder of its own, with wine in it.
fn in_a_folder() -> (tempfile::TempDir, PathBuf, Cellar, Key) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("home.leesline");
    let mut cellar = Cellar {
        store: Store::create(&path).unwrap(),
    };
    let vessel = cellar.vessel("Carboy A");
    cellar.receive(1, vessel, 20.0);
    (folder, path, cellar, vessel)
}

#[test]
fn the_table_of_kinds_has_every_kind() {
    let store = Store::in_memory().unwrap();
    let mut words = Kind::WORDS.to_vec();
    words.sort_unstable();
    assert_eq!(column(&store, "SELECT word FROM kind ORDER BY word"), words);
}

#[test]
fn the_file_has_every_account_and_the_cellar() {
    let store = Store::in_memory().unwrap();
    let rows = column(&store, "SELECT key || ' ' || sort FROM thing ORDER BY key");
    let accounts = Account::ALL
        .iter()
        .map(|it| format!("{} account", it.key().0));
    let cellar = format!("{} cellar", CELLAR.0);
    assert_eq!(rows, accounts.chain([cellar]).collect::<Vec<_>>());
}

#[test]
fn what_happened_is_never_rewritten() {
    let (_folder, _, cellar, _) = in_a_folder();
    for sql in [
        "UPDATE entry SET note = 'x'",
        "DELETE FROM entry",
        "UPDATE movement SET amount_ul = 1",
        "DELETE FROM movement",
        "UPDATE thing SET sort = 'batch'",
        "DELETE FROM begun",
        "UPDATE change SET value = 1",
    ] {
        let said = cellar.store.conn.execute(sql, []).unwrap_err().to_string();
        assert_eq!(said, "the book is append-only", "{sql}");
    }
}

#[test]
fn every_table_of_the_book_is_guarded_and_none_that_is_derived() {
    let store = Store::in_memory().unwrap();
    let guarded = column(
        &store,
        "SELECT DISTINCT tbl_name FROM sqlite_schema AS two WHERE type = 'trigger'
         AND 2 = (SELECT count(*) FROM sqlite_schema WHERE type = 'trigger'
                  AND tbl_name = two.tbl_name) ORDER BY 1",
    );
    let mut tables = column(
        &store,
        "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%'
         ORDER BY 1",
    );
    // Which timers rang is no part of the book.
    tables.retain(|it| {
        !["kind", "rung"].contains(&it.as_str())
            && !super::super::check::DERIVED.contains(&it.as_str())
    });
    assert_eq!(guarded, tables);
}

#[test]
fn a_projection_that_differs_from_the_book_is_found_and_mended() {
    for (spoil, said) in [
        ("UPDATE standing SET state = NULL", "Contents of places"),
        ("DELETE FROM standing", "Contents of places"),
        (
            "UPDATE standing SET when_ms = when_ms - 1",
            "Contents of places",
        ),
        (
            "UPDATE standing SET stands = stands - 1",
            "Contents of places",
        ),
        ("INSERT INTO open_job VALUES (1)", "Open jobs"),
        ("INSERT INTO open_jot VALUES (1)", "Open jobs"),
        ("UPDATE latest SET state = NULL", "Contents of places"),
        ("DELETE FROM latest", "Contents of places"),
        (
            "INSERT INTO standing SELECT place, when_ms + 1, stands, entry, state FROM standing",
            "Contents of places",
        ),
        ("UPDATE flow SET volume_ul = 1", "Movements"),
        ("DELETE FROM flow", "Movements"),
        ("DELETE FROM mention", "Histories"),
        (
            "UPDATE present SET attributes = '{\"name\":\"B\"}'",
            "Attributes",
        ),
        ("DELETE FROM present", "Attributes"),
        (
            "INSERT INTO finding SELECT key, 0, 101, 'empty', 0, 0 FROM entry",
            "Movements",
        ),
    ] {
        let (_folder, path, cellar, vessel) = in_a_folder();
        cellar.store.conn.execute(spoil, []).unwrap();
        drop(cellar);
        let mut store = Store::open(&path).unwrap();
        let found = store.check().unwrap();
        assert!(found[0].starts_with(said), "{spoil}: {found:?}");
        store.rebuild().unwrap();
        let cellar = Cellar { store };
        cellar.sound();
        assert_eq!(cellar.holds(2, vessel), Volume::litres(20.0));
    }
}

#[test]
fn a_copy_is_whole_private_and_never_over_another_file() {
    let (folder, _, cellar, vessel) = in_a_folder();
    let to = folder.path().join("copies/today.leesline");
    cellar.store.backup(&to).unwrap();
    let copy = Cellar {
        store: Store::open(&to).unwrap(),
    };
    assert_eq!(copy.holds(2, vessel), Volume::litres(20.0));
    copy.sound();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = |path: &std::path::Path| path.metadata().unwrap().permissions().mode() & 0o777;
        assert_eq!(mode(&to), 0o600);
        assert_eq!(mode(to.parent().unwrap()), 0o700);
    }
    let said = refusal(cellar.store.backup(&to));
    assert!(said.contains("is already there"), "{said}");
    let beside: Vec<_> = std::fs::read_dir(to.parent().unwrap()).unwrap().collect();
    assert_eq!(beside.len(), 1, "{beside:?}");
}

#[test]
fn a_copy_is_made_once_a_day_and_a_fortnight_is_kept() {
    let (_folder, _, cellar, _) = in_a_folder();
    let first = chrono::NaiveDate::from_ymd_opt(2026, 11, 1).unwrap();
    let copies: Vec<PathBuf> = (0..20)
        .filter_map(|it| {
            cellar
                .store
                .daily_backup(first + chrono::Days::new(it))
                .unwrap()
        })
        .collect();
    assert_eq!(copies.len(), 20);
    assert_eq!(
        cellar
            .store
            .daily_backup(first + chrono::Days::new(19))
            .unwrap(),
        None
    );
    let there: Vec<bool> = copies.iter().map(|it| it.exists()).collect();
    assert_eq!(there, [vec![false; 6], vec![true; 14]].concat());
}

#[test]
fn no_copy_is_made_in_the_middle_of_a_bottling() {
    let (_folder, _, mut cellar, vessel) = in_a_folder();
    let mut draft = Draft::new(Kind::Bottle, day(2));
    let run = draft.begin(Sort::Run, "red 2024");
    draft.set(run, field::VESSEL, Value::Int(vessel.0));
    cellar.append(&draft);
    let today = chrono::NaiveDate::from_ymd_opt(2026, 11, 1).unwrap();
    assert_eq!(cellar.store.daily_backup(today).unwrap(), None);
}

#[test]
fn a_copy_put_back_keeps_what_was_there() {
    let (folder, path, mut cellar, vessel) = in_a_folder();
    let copy = folder.path().join("copy.leesline");
    cellar.store.backup(&copy).unwrap();
    cellar.append(&sample(2, vessel, 5.0));
    drop(cellar);
    let before = std::fs::read(&copy).unwrap();
    let aside = Store::restore(&copy, &path).unwrap().unwrap();
    assert_eq!(std::fs::read(&copy).unwrap(), before);
    let open = |path| Cellar {
        store: Store::open(path).unwrap(),
    };
    assert_eq!(open(&path).holds(3, vessel), Volume::litres(20.0));
    assert_eq!(open(&aside).holds(3, vessel), Volume::litres(15.0));
    let left: usize = std::fs::read_dir(folder.path()).unwrap().count();
    assert_eq!(left, 3, "the cellar, its copies, and the copy");
}

#[test]
fn a_cellar_that_is_gone_is_brought_back() {
    let (folder, path, cellar, vessel) = in_a_folder();
    let copy = folder.path().join("copy.leesline");
    cellar.store.backup(&copy).unwrap();
    drop(cellar);
    std::fs::remove_file(&path).unwrap();
    assert_eq!(Store::restore(&copy, &path).unwrap(), None);
    let cellar = Cellar {
        store: Store::open(&path).unwrap(),
    };
    assert_eq!(cellar.holds(3, vessel), Volume::litres(20.0));
}

#[test]
fn a_copy_that_is_not_sound_is_not_put_back() {
    let (folder, path, cellar, vessel) = in_a_folder();
    let copy = folder.path().join("copy.leesline");
    cellar.store.backup(&copy).unwrap();
    drop(cellar);
    let spoiled = Store::open(&copy).unwrap();
    spoiled.conn.execute("DELETE FROM flow", []).unwrap();
    drop(spoiled);
    let said = refusal(Store::restore(&copy, &path));
    assert!(said.contains("is not a sound copy"), "{said}");
    let cellar = Cellar {
        store: Store::open(&path).unwrap(),
    };
    assert_eq!(cellar.holds(3, vessel), Volume::litres(20.0));
}

#[test]
fn what_is_remembered_is_what_the_file_says() {
    let (_folder, path, mut cellar, vessel) = in_a_folder();
    let anew = || {
        let store = Store::open(&path).unwrap();
        format!("{:?}", store.snapshot(day(900)).unwrap())
    };
    let remembered = |cellar: &Cellar| format!("{:?}", cellar.store.snapshot(day(900)).unwrap());
    let second = cellar.vessel("Carboy B");
    assert_eq!(remembered(&cellar), anew());
    let racked = cellar.rack(5, vessel, second, 1.0);
    assert_eq!(remembered(&cellar), anew());
    refusal(cellar.store.append(&sample(6, vessel, 1.0), CLOCK));
    assert_eq!(remembered(&cellar), anew());
    cellar.store.preview_void(racked, CLOCK).unwrap();
    assert_eq!(remembered(&cellar), anew());
    cellar.store.void(racked, CLOCK).unwrap();
    assert_eq!(remembered(&cellar), anew());
    let mut bottling = Draft::new(Kind::Bottle, day(7));
    let run = bottling.begin(Sort::Run, "red");
    bottling.set(run, field::VESSEL, Value::Int(vessel.0));
    let run = cellar.store.append(&bottling, CLOCK).unwrap().entries[0].things[0];
    let filled = crate::cellar::entry::FillEvent::Filled;
    cellar
        .store
        .fill(run, filled, 750, 1, day(7).utc_ms)
        .unwrap();
    assert_eq!(remembered(&cellar), anew());
}

#[test]
fn what_another_program_wrote_is_seen() {
    let (_folder, path, cellar, vessel) = in_a_folder();
    let before = cellar.store.data_version().unwrap();
    cellar.store.snapshot(day(2)).unwrap();
    let mut other = Cellar {
        store: Store::open(&path).unwrap(),
    };
    let second = other.vessel("Carboy B");
    assert_ne!(cellar.store.data_version().unwrap(), before);
    let mut cellar = cellar;
    assert_eq!(
        cellar.store.snapshot(day(2)).unwrap().name(second),
        "Carboy B"
    );
    cellar.rack(3, vessel, second, 0.0);
    assert_eq!(other.holds(4, second), Volume::litres(20.0));
    other.sound();
}
