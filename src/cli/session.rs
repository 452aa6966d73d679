//! What holds for a whole run of the program: which file, which now, which form of answer.

use std::cell::Cell;
use std::path::PathBuf;
use std::time::{SystemTime, UNIX_EPOCH};

use clap::ArgMatches;
use etcetera::BaseStrategy;

use crate::cellar::attention::{Policy, Reason, attention};
use crate::cellar::moment::{self, Moment, Zone};
use crate::cellar::snapshot::{Settings, Snapshot};
use crate::store::{Clock, Store};

use super::failure::Failure;

/// The global options, read.
#[derive(Clone, Debug)]
pub(super) struct Session {
    /// `--cellar`, as typed.
    file: Option<PathBuf>,
    /// `--today`, as typed.
    pub(super) today: Option<String>,
    /// Whether an answer is one JSON document.
    pub(super) json: bool,
    /// Whether the terminal program keeps to ASCII.
    pub(super) ascii: bool,
    /// Whether a cellar was opened that may not be written to.
    pub(super) read_only: Cell<bool>,
}

/// An open cellar, and how it stands now.
pub(super) struct Opened {
    /// The file.
    pub(super) store: Store,
    /// How it stands; its `now` is now.
    pub(super) cellar: Snapshot,
    /// Its zone.
    pub(super) zone: Zone,
}

impl Session {
    /// From the global options.
    pub(super) fn of(matches: &ArgMatches) -> Session {
        let text = |id: &str| matches.get_one::<String>(id);
        Session {
            file: text("cellar").map(PathBuf::from),
            today: text("today").cloned(),
            json: matches.get_flag("json"),
            ascii: matches.get_flag("ascii"),
            read_only: Cell::new(false),
        }
    }

    /// These options where they were given, else the others.
    pub(super) fn or(&self, other: Session) -> Session {
        Session {
            file: self.file.clone().or(other.file),
            today: self.today.clone().or(other.today),
            json: self.json || other.json,
            ascii: self.ascii || other.ascii,
            read_only: Cell::new(false),
        }
    }

    /// The cellar file: `--cellar`, else `LEESLINE_CELLAR`, else the one in the data folder.
    pub(super) fn file(&self) -> Result<PathBuf, Failure> {
        if let Some(file) = &self.file {
            if file.as_os_str().is_empty() {
                let why = "--cellar is empty; give the cellar file, or leave it out.";
                return Err(Failure::input(why));
            }
            return Ok(file.clone());
        }
        if let Some(file) = std::env::var_os("LEESLINE_CELLAR").filter(|it| !it.is_empty()) {
            return Ok(PathBuf::from(file));
        }
        let folders = etcetera::choose_base_strategy().map_err(|_| {
            Failure::book("This computer names no data folder; name the cellar file with --cellar.")
        })?;
        Ok(folders.data_dir().join("leesline").join("cellar.leesline"))
    }

    /// Opens the cellar as it stands now.
    pub(super) fn open(&self) -> Result<Opened, Failure> {
        let store = Store::open(&self.file()?)?;
        self.read_only.set(store.is_read_only()?);
        self.over(store)
    }

    /// The cellar as it stands now; an empty one where there is no file, for what can be said without.
    pub(super) fn open_if_any(&self) -> Result<Opened, Failure> {
        match self.file() {
            Ok(file) if file.exists() => self.open(),
            _ => self.over(Store::in_memory()?),
        }
    }

    /// An open file as it stands now.
    pub(super) fn over(&self, store: Store) -> Result<Opened, Failure> {
        let zone = store.settings()?.zone;
        let real = zone.moment(real_ms());
        let now = match &self.today {
            Some(today) => moment::today(today, real, zone)?,
            None => real,
        };
        let cellar = store.snapshot(now)?;
        Ok(Opened {
            store,
            cellar,
            zone,
        })
    }

    /// The cellar's settings, if there is one that can be opened. A calculation needs no cellar, so
    /// that a fault of the file is not its affair.
    pub(super) fn settings(&self) -> Option<Settings> {
        let file = self.file().ok().filter(|it| it.is_file())?;
        Store::open(&file).ok()?.settings().ok()
    }
}

impl Opened {
    /// Now, as the store takes it.
    pub(super) fn clock(&self) -> Clock {
        Clock {
            now_ms: self.cellar.now.utc_ms,
        }
    }

    /// The cellar as it was at a moment.
    pub(super) fn at(&self, moment: Moment) -> Result<Snapshot, Failure> {
        Ok(self.store.snapshot(moment)?)
    }

    /// Looks again after something was written.
    pub(super) fn refresh(&mut self) -> Result<(), Failure> {
        self.cellar = self.store.snapshot(self.cellar.now)?;
        Ok(())
    }

    /// Everything that needs someone, the most pressing first.
    pub(super) fn reasons(&self) -> Vec<Reason> {
        attention(&self.cellar, &Policy::of(&self.cellar))
    }
}

fn real_ms() -> i64 {
    let since = SystemTime::now().duration_since(UNIX_EPOCH);
    since.map_or(0, |it| i64::try_from(it.as_millis()).unwrap_or(i64::MAX))
}
