//! Opening: whose file it is and of what version, before anything in it is touched.

use std::cell::RefCell;
use std::fs::{self, File};
use std::io::{self, ErrorKind, Read};
use std::path::Path;
use std::time::Duration;

use rusqlite::backup::Backup;
use rusqlite::{Connection, OpenFlags, Transaction};
use rusqlite_migration::{M, Migrations};

use super::check::derive_anew;
use super::{Store, StoreError, backup};

/// Pages copied into memory at a time.
const PAGES: i32 = 1_000;

/// `Lees`, as the migration sets it.
const APPLICATION_ID: u32 = 0x4C65_6573;

/// Each step's folder under `migrations/` and its text, oldest first. Never edited once landed.
const STEPS: &[(&str, &str)] = &[
    ("1-book", include_str!("../../migrations/1-book/up.sql")),
    ("2-racks", include_str!("../../migrations/2-racks/up.sql")),
    (
        "3-trouble",
        include_str!("../../migrations/3-trouble/up.sql"),
    ),
    (
        "4-corkers",
        include_str!("../../migrations/4-corkers/up.sql"),
    ),
    (
        "5-findings",
        include_str!("../../migrations/5-findings/up.sql"),
    ),
    ("6-lots", include_str!("../../migrations/6-lots/up.sql")),
    (
        "7-mishaps",
        include_str!("../../migrations/7-mishaps/up.sql"),
    ),
    ("8-sugar", include_str!("../../migrations/8-sugar/up.sql")),
    ("9-slots", include_str!("../../migrations/9-slots/up.sql")),
    ("10-looks", include_str!("../../migrations/10-looks/up.sql")),
    (
        "11-counts",
        include_str!("../../migrations/11-counts/up.sql"),
    ),
    ("12-drawn", include_str!("../../migrations/12-drawn/up.sql")),
    (
        "13-looks-settle",
        include_str!("../../migrations/13-looks-settle/up.sql"),
    ),
    (
        "14-levels",
        include_str!("../../migrations/14-levels/up.sql"),
    ),
    ("15-order", include_str!("../../migrations/15-order/up.sql")),
    (
        "16-first-use",
        include_str!("../../migrations/16-first-use/up.sql"),
    ),
    ("17-falls", include_str!("../../migrations/17-falls/up.sql")),
    (
        "18-halves",
        include_str!("../../migrations/18-halves/up.sql"),
    ),
    (
        "19-punched",
        include_str!("../../migrations/19-punched/up.sql"),
    ),
    (
        "20-counted",
        include_str!("../../migrations/20-counted/up.sql"),
    ),
    (
        "21-racked",
        include_str!("../../migrations/21-racked/up.sql"),
    ),
    (
        "22-strength",
        include_str!("../../migrations/22-strength/up.sql"),
    ),
    ("23-fed", include_str!("../../migrations/23-fed/up.sql")),
    (
        "24-poured",
        include_str!("../../migrations/24-poured/up.sql"),
    ),
    ("25-rung", include_str!("../../migrations/25-rung/up.sql")),
];

/// Every migration, oldest first.
fn migrations() -> Migrations<'static> {
    in_order(STEPS.iter().map(|(_, sql)| *sql))
}

/// What an older program kept of each place may lack what this one reads there, so the last step
/// derives it anew in the same transaction: whoever pulls the plug finds the file as it was, or done.
fn in_order<'a>(steps: impl DoubleEndedIterator<Item = &'a str>) -> Migrations<'a> {
    let mut steps = steps.rev();
    let last = steps
        .next()
        .map(|sql| M::up_with_hook(sql, |it: &Transaction| Ok(derive_anew(it)?)));
    let before: Vec<M> = steps.map(M::up).collect();
    let all = before.into_iter().rev().chain(last);
    Migrations::new(all.map(M::foreign_key_check).collect())
}

impl Store {
    /// Makes a new cellar file, readable by its owner alone, and the folder for it if there is none.
    /// Refused if anything is there already.
    pub fn create(path: &Path) -> Result<Store, StoreError> {
        if path.exists() {
            return Err(StoreError::Exists(path.to_owned()));
        }
        let failed = |why| StoreError::File {
            doing: "making",
            path: path.to_owned(),
            why,
        };
        if let Some(folder) = path.parent() {
            fs::create_dir_all(folder).map_err(failed)?;
        }
        // Made whole beside its place, and only then given its name: whoever pulls the plug finds a cellar there, or nothing.
        let whole = backup::with_end(path, &format!(".{}.part", std::process::id()));
        let mut conn = Connection::open_in_memory()?;
        configure(&conn)?;
        migrate(&mut conn, &migrations())?;
        backup::copy_into(&conn, &whole)?;
        let named = give_name(&whole, path);
        // Ours, and made a moment ago.
        let _ = fs::remove_file(&whole);
        match named {
            Ok(()) => Store::open(path),
            Err(why) if why.kind() == ErrorKind::AlreadyExists => {
                Err(StoreError::Exists(path.to_owned()))
            }
            Err(why) => Err(failed(why)),
        }
    }

    /// Opens a cellar file. Refused without touching it if it is missing, a folder, not a cellar, or
    /// of a newer version. One of an older version is copied first, then brought up to date.
    pub fn open(path: &Path) -> Result<Store, StoreError> {
        open_with(path, &migrations(), STEPS.len())
    }

    /// A cellar that lives in memory and is gone when dropped.
    pub fn in_memory() -> Result<Store, StoreError> {
        let mut conn = Connection::open_in_memory()?;
        configure(&conn)?;
        migrate(&mut conn, &migrations())?;
        Store::over(conn, Path::new(":memory:"))
    }

    /// Whether the file may be read and not written to.
    pub fn is_read_only(&self) -> Result<bool, StoreError> {
        let query_only = "SELECT query_only FROM pragma_query_only";
        let may_query_only: bool = self.conn.query_row(query_only, [], |row| row.get(0))?;
        Ok(may_query_only || self.conn.is_readonly("main")?)
    }

    fn over(conn: Connection, path: &Path) -> Result<Store, StoreError> {
        conn.set_prepared_statement_cache_capacity(128);
        conn.pragma_update(None, "foreign_keys", true)?;
        Ok(Store {
            conn,
            path: path.to_owned(),
            memory: RefCell::new(None),
        })
    }
}

/// A connection to a cellar file that is left in the version it has.
pub(super) fn as_it_is(path: &Path) -> Result<Connection, StoreError> {
    not_newer(path, STEPS.len() as i64)?;
    connect(path)
}

/// Opens a file that is a copy itself, so that none is made before it is brought up to date.
pub(super) fn brought_up_to_date(path: &Path) -> Result<Store, StoreError> {
    let mut conn = as_it_is(path)?;
    migrate(&mut conn, &migrations())?;
    Store::over(conn, path)
}

/// The file's version, if this program knows it.
fn not_newer(path: &Path, known: i64) -> Result<i64, StoreError> {
    let found = version_of(path)?;
    if found > known {
        return Err(StoreError::Newer {
            path: path.to_owned(),
            found,
            known,
        });
    }
    Ok(found)
}

fn open_with(path: &Path, steps: &Migrations, known: usize) -> Result<Store, StoreError> {
    let known = known as i64;
    let version = not_newer(path, known)?;
    let mut conn = connect(path)?;
    if version < known {
        let label = format!("before-version-{known}");
        let updated = backup::copy_once(&conn, path, &label);
        match updated.and_then(|()| migrate(&mut conn, steps)) {
            Err(why) if why.is_read_only() => return to_read(&conn, path, steps),
            updated => updated?,
        }
    }
    Store::over(conn, path)
}

/// An older file that may not be written to is read all the same: brought up to date in memory, and
/// nothing is written there.
fn to_read(conn: &Connection, path: &Path, steps: &Migrations) -> Result<Store, StoreError> {
    let mut memory = Connection::open_in_memory()?;
    Backup::new(conn, &mut memory)?.run_to_completion(PAGES, Duration::ZERO, None)?;
    migrate(&mut memory, steps)?;
    memory.pragma_update(None, "query_only", true)?;
    Store::over(memory, path)
}

/// The version of a cellar file, read from its header alone: SQLite would first replay a journal.
pub(super) fn version_of(path: &Path) -> Result<i64, StoreError> {
    if path.is_dir() {
        return Err(StoreError::Folder(path.to_owned()));
    }
    // A pipe or a device would be waited for without end.
    if path.exists() && !path.is_file() {
        return Err(StoreError::NotACellar(path.to_owned()));
    }
    let mut header = [0_u8; 100];
    let read = File::open(path).and_then(|mut file| file.read_exact(&mut header));
    if let Err(why) = read {
        return Err(match why.kind() {
            std::io::ErrorKind::NotFound => StoreError::Missing(path.to_owned()),
            std::io::ErrorKind::UnexpectedEof => StoreError::NotACellar(path.to_owned()),
            _ => StoreError::File {
                doing: "opening",
                path: path.to_owned(),
                why,
            },
        });
    }
    // Offsets 60 and 68: user version and application id (SQLite file format, section 1.3).
    let number = |at: usize| {
        u32::from_be_bytes([header[at], header[at + 1], header[at + 2], header[at + 3]])
    };
    if !header.starts_with(b"SQLite format 3\0") || number(68) != APPLICATION_ID {
        return Err(StoreError::NotACellar(path.to_owned()));
    }
    Ok(i64::from(number(60)))
}

fn connect(path: &Path) -> Result<Connection, StoreError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let conn = Connection::open_with_flags(path, flags)?;
    configure(&conn)?;
    Ok(conn)
}

/// Gives a file its name, unless there is one of that name; where no two names may be of one file, as nearly so as can be.
fn give_name(file: &Path, name: &Path) -> io::Result<()> {
    match fs::hard_link(file, name) {
        Err(why) if why.kind() != ErrorKind::AlreadyExists && !name.exists() => {
            fs::rename(file, name)
        }
        named => named,
    }
}

/// Deletes the journal and syncs the folder after each commit: a file that people copy about and
/// keep in synced folders is then whole by itself, and a power cut costs nothing.
fn configure(conn: &Connection) -> Result<(), StoreError> {
    conn.busy_timeout(Duration::from_secs(5))?;
    conn.pragma_update(None, "journal_mode", "DELETE")?;
    conn.pragma_update(None, "synchronous", "EXTRA")?;
    // KiB: enough for what a key reads and writes; the board is remembered above it.
    conn.pragma_update(None, "cache_size", -2_000)?;
    Ok(())
}

/// Foreign keys are off meanwhile, because a step may rebuild a table that others refer to; each
/// step ends with a check of them.
fn migrate(conn: &mut Connection, steps: &Migrations) -> Result<(), StoreError> {
    conn.pragma_update(None, "foreign_keys", false)?;
    steps.to_latest(conn).map_err(|it| match it {
        rusqlite_migration::Error::RusqliteError { err, .. } => StoreError::from(err),
        other => StoreError::Damaged(other.to_string()),
    })
}

#[cfg(test)]
mod tests {
    use std::path::PathBuf;

    use super::*;
    use crate::cellar::amount::Volume;
    use crate::cellar::entry::{Amount, Draft, Due, Job, Kind, Movement};
    use crate::cellar::moment::Moment;
    use crate::cellar::plan;
    use crate::cellar::thing::{Account, CELLAR, Key, Sort};
    use crate::store::{Clock, open_ends};

    const NOW: Moment = Moment {
        utc_ms: 1_795_608_000_000,
        offset_min: 0,
    };
    const CLOCK: Clock = Clock { now_ms: NOW.utc_ms };

    /// A new cellar in a folder of its own.
    fn made() -> (tempfile::TempDir, PathBuf, Store) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("cellar.leesline");
        let store = Store::create(&path).unwrap();
        (folder, path, store)
    }

    /// This program's migrations and one more.
    fn and_then(sql: &'static str) -> Migrations<'static> {
        let known: Vec<&str> = STEPS.iter().map(|(_, sql)| *sql).collect();
        in_order(known.into_iter().chain([sql]))
    }

    #[test]
    fn the_migrations_are_valid() {
        migrations().validate().unwrap();
    }

    #[test]
    fn the_list_and_the_folder_agree() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("migrations");
        let mut found: Vec<String> = fs::read_dir(folder)
            .unwrap()
            .map(|it| it.unwrap().file_name().into_string().unwrap())
            .collect();
        found.sort_by_key(|it| it.split('-').next().unwrap().parse::<u32>().unwrap());
        let listed: Vec<&str> = STEPS.iter().map(|(name, _)| *name).collect();
        assert_eq!(found, listed);
    }

    #[test]
    fn each_migration_starts_by_saying_why() {
        for (name, sql) in STEPS {
            assert!(sql.starts_with("-- "), "{name}");
        }
    }

    /// A file of the first version, as it is in people's hands, is read by this program.
    #[test]
    fn a_file_of_the_first_version_is_brought_up_to_date() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("cellar.leesline");
        let first = Migrations::new(vec![M::up(STEPS[0].1)]);
        migrate(&mut Connection::open(&path).unwrap(), &first).unwrap();
        assert_eq!(version_of(&path).unwrap(), 1);
        let store = Store::open(&path).unwrap();
        assert_eq!(store.check().unwrap(), Vec::<String>::new());
        assert_eq!(version_of(&path).unwrap(), STEPS.len() as i64);
    }

    #[test]
    fn what_an_older_program_derived_is_derived_anew() {
        let (_folder, path, mut store) = made();
        let mut bought = Draft::new(Kind::Vessel, NOW);
        bought.begin(Sort::Vessel, "Carboy");
        let written = store.append(&bought, CLOCK).unwrap();
        let vessel = written.entries[0].things[0];
        let mut received = Draft::new(Kind::Receive, NOW);
        received.movements.push(Movement {
            from: Account::Must.key(),
            to: vessel,
            amount: Amount::Exactly(Volume::litres(20.0)),
            about: false,
            batch: None,
        });
        store.append(&received, CLOCK).unwrap();
        let older = "UPDATE standing SET state = json_remove(state, '$.wine.d')";
        assert!(store.conn.execute(older, []).unwrap() > 0);
        assert_ne!(store.check().unwrap(), Vec::<String>::new());
        drop(store);
        let newer = and_then("-- The fold keeps more.");
        let store = open_with(&path, &newer, STEPS.len() + 1).unwrap();
        assert_eq!(store.check().unwrap(), Vec::<String>::new());
    }

    /// What asked for the rest of a dose by its title alone asks for it by its verb, and the book can be changed by nobody after.
    #[test]
    fn the_rest_of_a_dose_of_an_older_file_is_known_by_its_verb() {
        let (_folder, path, mut store) = made();
        let mut added = Draft::new(Kind::Add, NOW);
        for title in ["test free SO2, then give the rest", "measure gravity"] {
            added.jobs.push(Job {
                key: Key(0),
                subject: CELLAR,
                title: title.to_owned(),
                due: Due::On(NOW.utc_ms),
                verb: "measure".to_owned(),
            });
        }
        store.append(&added, CLOCK).unwrap();
        // As it was of that version.
        store.conn.execute("DROP TABLE rung", []).unwrap();
        store.conn.pragma_update(None, "user_version", 17).unwrap();
        drop(store);
        let store = Store::open(&path).unwrap();
        let jobs = open_ends::jobs(&store.conn, NOW.utc_ms).unwrap();
        let verbs: Vec<&str> = jobs.iter().map(|it| it.job.verb.as_str()).collect();
        assert_eq!(verbs, [plan::SECOND_HALF_VERB, "measure"]);
        let changed = store.conn.execute("UPDATE job SET verb = 'add'", []);
        assert!(changed.is_err());
    }

    #[test]
    fn an_older_file_is_copied_before_it_is_brought_up_to_date() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("cellar.leesline");
        drop(Store::create(&path).unwrap());
        let newer = and_then("CREATE TABLE extra (key INTEGER PRIMARY KEY) STRICT;");
        let version = STEPS.len() as i64;
        let store = open_with(&path, &newer, STEPS.len() + 1).unwrap();
        store
            .conn
            .execute("INSERT INTO extra VALUES (1)", [])
            .unwrap();
        let copy = backup::named(&path, &format!("before-version-{}", version + 1));
        assert_eq!(version_of(&copy).unwrap(), version);
        assert_eq!(version_of(&path).unwrap(), version + 1);
        Store::open(&copy).unwrap();
    }

    /// So that a file on a disc that may not be written to, or beside which no copy may be made, is read.
    #[test]
    fn an_older_file_that_may_not_be_written_to_is_read_as_it_is() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("cellar.leesline");
        let first = Migrations::new(vec![M::up(STEPS[0].1)]);
        migrate(&mut Connection::open(&path).unwrap(), &first).unwrap();
        let mut store = to_read(&as_it_is(&path).unwrap(), &path, &migrations()).unwrap();
        assert!(store.is_read_only().unwrap());
        assert_eq!(store.check().unwrap(), Vec::<String>::new());
        let now = Moment {
            utc_ms: 1_795_608_000_000,
            offset_min: 0,
        };
        let clock = Clock { now_ms: now.utc_ms };
        let mut bought = Draft::new(Kind::Vessel, NOW);
        bought.begin(Sort::Vessel, "Carboy");
        let refused = store.append(&bought, clock).unwrap_err();
        assert!(refused.is_read_only(), "{refused}");
        assert_eq!(version_of(&path).unwrap(), 1);
        assert!(!Store::open(&path).unwrap().is_read_only().unwrap());
    }

    /// A program that was killed while it brought a file up to date, or failed at it, has left its copy
    /// behind, or half of one. An older program may have gone on with the file since.
    #[test]
    fn what_an_interrupted_upgrade_left_is_in_nobodys_way() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("cellar.leesline");
        let first = Migrations::new(vec![M::up(STEPS[0].1)]);
        migrate(&mut Connection::open(&path).unwrap(), &first).unwrap();
        let label = format!("before-version-{}", STEPS.len());
        let copy = backup::named(&path, &label);
        let broken = and_then("CREATE TABLE entry (key INTEGER);");
        assert!(open_with(&path, &broken, STEPS.len()).is_err());
        assert_eq!(
            (version_of(&path).unwrap(), version_of(&copy).unwrap()),
            (1, 1)
        );
        let copies = || fs::read_dir(copy.parent().unwrap()).unwrap().count();
        assert!(open_with(&path, &broken, STEPS.len()).is_err());
        assert_eq!(copies(), 1);
        fs::create_dir(copy.with_extension("leesline.part")).unwrap();
        let later = std::time::SystemTime::now() + std::time::Duration::from_mins(1);
        File::options()
            .write(true)
            .open(&path)
            .unwrap()
            .set_modified(later)
            .unwrap();
        Store::open(&path).unwrap();
        assert!(backup::named(&path, &format!("{label}-2")).exists());
    }
}
