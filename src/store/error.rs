//! Why the file or the book refused: one sentence each, saying what, why, and what to do.

use std::io::ErrorKind;
use std::path::PathBuf;

use rusqlite::{ErrorCode, ffi};

/// Why something could not be opened, read or written. Nothing was changed.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// No such file.
    #[error(
        "there is no cellar at {}; `leesline init` makes one, or give another file with --cellar.", .0.display()
    )]
    Missing(PathBuf),
    /// A file is where a new one should go.
    #[error("{} is already there and is left as it is; give another name.", .0.display())]
    Exists(PathBuf),
    /// A folder where a file should be.
    #[error("{} is a folder; give the cellar file inside it.", .0.display())]
    Folder(PathBuf),
    /// Not an SQLite file, or one of something else.
    #[error("{} is not a cellar of Leesline and is left as it is; give another file.", .0.display())]
    NotACellar(PathBuf),
    /// Written by a newer program.
    #[error(
        "{} was written by a newer Leesline (file version {found}, this program knows {known}); update the program. The file was not touched.", .path.display()
    )]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its version.
        found: i64,
        /// The newest version known here.
        known: i64,
    },
    /// The file or folder may not be written to.
    #[error(
        "the cellar file is read-only; make the file and its folder writable, or copy it elsewhere."
    )]
    ReadOnly,
    /// Another file has its name by now, or none.
    #[error(
        "the cellar file was replaced or taken away while it was open here, so nothing was written; leave the program and open the file anew."
    )]
    Replaced,
    /// The disk is full.
    #[error("the disk is full and nothing was written; free some room and do it again.")]
    Full,
    /// The disk or a limit of the system got in the way.
    #[error(
        "the cellar file could not be read or written to its end ({0}) and nothing was changed; look at the disk, and at how large a file may be (`ulimit -f`), then do it again."
    )]
    Disk(String),
    /// Another program is writing.
    #[error(
        "another program has been writing to the cellar file for 5 seconds; close it there, then do this again."
    )]
    Busy,
    /// The file is damaged.
    #[error(
        "the cellar file is damaged ({0}); `leesline check` says how far, `leesline restore` brings back a copy."
    )]
    Damaged(String),
    /// The operating system refused a file operation.
    #[error("{doing} {} failed: {why}; check the name and that the folder is writable.", .path.display())]
    File {
        /// What was being done, as in `copying to`.
        doing: &'static str,
        /// To what.
        path: PathBuf,
        /// What the system said.
        why: std::io::Error,
    },
    /// Well-formed, and refused by the book.
    #[error("{0}")]
    Refused(String),
    /// Not understood: no such entry or thing, an amount that no vessel can have.
    #[error("{0}")]
    Input(String),
    /// Anything else that SQLite says.
    #[error("the cellar file could not be used ({0}); run `leesline check`.")]
    Sqlite(rusqlite::Error),
}

impl StoreError {
    /// Whether the file or its folder may not be written to; the disk may have room, and the file be whole.
    pub fn is_read_only(&self) -> bool {
        match self {
            StoreError::ReadOnly => true,
            StoreError::File { why, .. } => matches!(
                why.kind(),
                ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem
            ),
            _ => false,
        }
    }

    /// Whether what was asked could not be understood (exit 2), rather than refused by the book or
    /// the file (exit 1).
    pub fn is_input(&self) -> bool {
        matches!(self, StoreError::Input(_))
    }
}

impl From<rusqlite::Error> for StoreError {
    fn from(error: rusqlite::Error) -> StoreError {
        match error.sqlite_error_code() {
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => StoreError::Busy,
            Some(ErrorCode::ReadOnly)
                if error.sqlite_error().map(|it| it.extended_code)
                    == Some(ffi::SQLITE_READONLY_DBMOVED) =>
            {
                StoreError::Replaced
            }
            Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied | ErrorCode::CannotOpen) => {
                StoreError::ReadOnly
            }
            Some(ErrorCode::DiskFull) => StoreError::Full,
            Some(ErrorCode::SystemIoFailure) => StoreError::Disk(error.to_string()),
            Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => {
                StoreError::Damaged(error.to_string())
            }
            _ => match error {
                // A word or a number in a column that this program does not know.
                rusqlite::Error::FromSqlConversionFailure(..)
                | rusqlite::Error::InvalidColumnType(..)
                | rusqlite::Error::IntegralValueOutOfRange(..) => {
                    StoreError::Damaged(error.to_string())
                }
                other => StoreError::Sqlite(other),
            },
        }
    }
}
