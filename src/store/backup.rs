//! Copies: made whole in a private folder, then given their name.

use std::fs;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use rusqlite::Connection;

use super::{Store, StoreError, open};

/// Daily copies kept; older ones go.
const DAYS_KEPT: usize = 14;

impl Store {
    /// Writes a copy of the cellar to a file that is not there yet, readable by its owner alone.
    pub fn backup(&self, to: &Path) -> Result<(), StoreError> {
        copy_into(&self.conn, to)
    }

    /// The copy of the day, made on leaving: once a day, beside the cellar, the last fourteen kept.
    /// Gives the copy's name if one was made; none while a bottling is open, so that leaving in the
    /// middle of one is instant.
    pub fn daily_backup(&self, today: NaiveDate) -> Result<Option<PathBuf>, StoreError> {
        let memory = self.recall()?;
        let bottling = memory.things.values().any(|it| it.is_filling());
        let copy = named(&self.path, &today.format("%Y-%m-%d").to_string());
        if bottling || self.path == Path::new(":memory:") || copy.exists() {
            return Ok(None);
        }
        copy_into(&self.conn, &copy)?;
        self.prune()?;
        Ok(Some(copy))
    }

    /// Removes daily copies beyond the last fourteen. Other copies in the folder are left alone.
    fn prune(&self) -> Result<(), StoreError> {
        let Some(folder) = named(&self.path, "").parent().map(Path::to_owned) else {
            return Ok(());
        };
        let mut daily: Vec<PathBuf> = fs::read_dir(&folder)
            .map_err(|why| failed("reading", &folder, why))?
            .filter_map(|it| Some(it.ok()?.path()))
            .filter(|it| is_daily(&self.path, it))
            .collect();
        daily.sort();
        let surplus = daily.len().saturating_sub(DAYS_KEPT);
        for old in &daily[..surplus] {
            fs::remove_file(old).map_err(|why| failed("removing", old, why))?;
        }
        Ok(())
    }

    /// The folder beside a cellar file in which copies of it are kept.
    pub fn folder_of_copies(cellar: &Path) -> PathBuf {
        let stem = cellar.file_stem().unwrap_or_default().to_string_lossy();
        cellar.with_file_name(format!("{stem}-copies"))
    }

    /// Puts a copy in the cellar's place. The copy is checked first and stays as it is; what was
    /// there before is kept beside the cellar under another name, which comes back.
    pub fn restore(copy: &Path, cellar: &Path) -> Result<Option<PathBuf>, StoreError> {
        // A link to the cellar stays one.
        let target = fs::canonicalize(cellar);
        let cellar = target.as_deref().unwrap_or(cellar);
        let staged = with_end(cellar, ".new");
        if staged.exists() {
            return Err(StoreError::Exists(staged));
        }
        copy_into(&open::as_it_is(copy)?, &staged)?;
        let restored = put_in_place(copy, &staged, cellar);
        if restored.is_err() && staged.exists() {
            // Ours, made a moment ago, and of no use to anyone.
            let _ = fs::remove_file(&staged);
        }
        restored
    }
}

fn put_in_place(copy: &Path, staged: &Path, cellar: &Path) -> Result<Option<PathBuf>, StoreError> {
    let wrong = open::brought_up_to_date(staged)?.check()?;
    if let Some(wrong) = wrong.first() {
        return Err(StoreError::Refused(format!(
            "{} is not a sound copy and was not used: {wrong}",
            copy.display()
        )));
    }
    let aside = cellar.exists().then(|| {
        let now = super::append::real_clock();
        named(cellar, &format!("before-restore-{now}"))
    });
    if let Some(aside) = &aside {
        make_folder(aside)?;
        // A journal left by a crash belongs to the old file, and would spoil the new one.
        for end in ["", "-journal"] {
            let (from, to) = (with_end(cellar, end), with_end(aside, end));
            if from.exists() {
                fs::rename(&from, &to).map_err(|why| failed("keeping", &to, why))?;
            }
        }
    }
    fs::rename(staged, cellar).map_err(|why| failed("bringing back", cellar, why))?;
    Ok(aside)
}

/// A copy's name: in the cellar's own folder of copies, `cellar-copies/cellar-LABEL.leesline`.
pub(super) fn named(cellar: &Path, label: &str) -> PathBuf {
    let stem = cellar.file_stem().unwrap_or_default().to_string_lossy();
    Store::folder_of_copies(cellar).join(format!("{stem}-{label}.leesline"))
}

/// Whether a file in the folder of copies is a copy of the day.
fn is_daily(cellar: &Path, file: &Path) -> bool {
    let stem = cellar.file_stem().unwrap_or_default().to_string_lossy();
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    let label = name
        .strip_prefix(&format!("{stem}-"))
        .and_then(|it| it.strip_suffix(".leesline"));
    label.is_some_and(|it| NaiveDate::parse_from_str(it, "%Y-%m-%d").is_ok())
}

/// Copies a cellar before it is changed, in its own folder of copies. A copy that an interrupted
/// attempt left serves, unless the cellar was written to since.
pub(super) fn copy_once(conn: &Connection, cellar: &Path, label: &str) -> Result<(), StoreError> {
    let modified = |path: &Path| fs::metadata(path).and_then(|it| it.modified()).ok();
    let numbered = (2..).map(|it| format!("{label}-{it}"));
    let mut names = std::iter::once(label.to_owned())
        .chain(numbered)
        .map(|it| named(cellar, &it));
    let free = names.find(|it| !it.exists() || modified(it) >= modified(cellar));
    match free {
        Some(copy) if !copy.exists() => copy_into(conn, &copy),
        _ => Ok(()),
    }
}

/// Copies a whole cellar into a file that is not there yet. It is written in a private folder beside
/// its place and only then given its name, so that half a copy never has one.
pub(super) fn copy_into(conn: &Connection, to: &Path) -> Result<(), StoreError> {
    if to.exists() {
        return Err(StoreError::Exists(to.to_owned()));
    }
    make_folder(to)?;
    let private = with_end(to, ".part");
    // Left by a program that was killed while it copied.
    let _ = fs::remove_dir_all(&private);
    fs::create_dir(&private).map_err(|why| failed("making", &private, why))?;
    let made = copy_by_way_of(conn, &private, to);
    // Whatever became of it, nothing half-made stays behind.
    let _ = fs::remove_dir_all(&private);
    made
}

fn copy_by_way_of(conn: &Connection, private: &Path, to: &Path) -> Result<(), StoreError> {
    only_for_owner(private, 0o700).map_err(|why| failed("closing", private, why))?;
    let draft = private.join("copy");
    let name = draft.to_str().ok_or_else(|| {
        StoreError::Input(format!(
            "{} is not a name that SQLite can write to; give one in plain letters.",
            to.display()
        ))
    })?;
    conn.execute("VACUUM INTO ?1", [name])?;
    only_for_owner(&draft, 0o600).map_err(|why| failed("closing", &draft, why))?;
    if open::version_of(&draft)? < 1 {
        return Err(StoreError::Damaged("its copy is empty".to_owned()));
    }
    fs::rename(&draft, to).map_err(|why| failed("copying to", to, why))
}

fn make_folder(file: &Path) -> Result<(), StoreError> {
    let Some(folder) = file.parent().filter(|it| !it.as_os_str().is_empty()) else {
        return Ok(());
    };
    if folder.exists() {
        return Ok(());
    }
    fs::create_dir_all(folder).map_err(|why| failed("making", folder, why))?;
    only_for_owner(folder, 0o700).map_err(|why| failed("closing", folder, why))
}

#[cfg(unix)]
fn only_for_owner(path: &Path, mode: u32) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    fs::set_permissions(path, fs::Permissions::from_mode(mode))
}

#[cfg(not(unix))]
fn only_for_owner(_path: &Path, _mode: u32) -> std::io::Result<()> {
    Ok(())
}

pub(super) fn with_end(path: &Path, end: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(end);
    PathBuf::from(name)
}

fn failed(doing: &'static str, path: &Path, why: std::io::Error) -> StoreError {
    StoreError::File {
        doing,
        path: path.to_owned(),
        why,
    }
}
