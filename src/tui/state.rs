//! All that the program remembers while it runs.

use std::collections::BTreeSet;

use crate::cellar::attention::Policy;
use crate::cellar::moment::Moment;
use crate::cellar::snapshot::Snapshot;

use super::commands::Place;
use super::message::{Facts, Notice};
use super::screens::{self, Pane};

/// The program's state. Only [`super::update::update`] changes it.
pub struct State {
    /// What is known of the cellar; `None` until it was first read.
    pub facts: Option<Facts>,
    /// What panes read before the cellar was.
    pub nothing: Facts,
    /// The screens, in the order of their digits.
    pub screens: Vec<Box<dyn Pane>>,
    /// Which screen is shown.
    pub shown: usize,
    /// Screens that have not heard yet that the cellar changed: they are told when they are shown, so
    /// that a key that writes does not wait for all of them.
    pub behind: BTreeSet<usize>,
    /// What is laid over it, the topmost last.
    pub layers: Vec<Box<dyn Pane>>,
    /// A line said until the next key.
    pub notice: Option<Notice>,
    /// When the last key was pressed, UTC ms, by the clock that runs on.
    pub clock_ms: i64,
    /// Bottles were counted since what needs someone was worked out.
    pub reasons_behind: bool,
    /// Asked whether to leave with something typed and not written.
    pub asked_to_leave: bool,
    /// Whether what a key does can be seen.
    pub window: Window,
    /// Leave now.
    pub leaving: bool,
}

/// The window that the program is shown in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Window {
    /// Large enough to show something.
    Large,
    /// Shows nothing but that.
    TooSmall,
}

impl State {
    /// Before anything was read.
    pub fn new(now: Moment) -> State {
        State {
            facts: None,
            nothing: Facts::with_reasons(Snapshot::empty(now), Policy::default(), Vec::new()),
            screens: screens::all(),
            shown: 0,
            behind: BTreeSet::new(),
            layers: Vec::new(),
            notice: None,
            clock_ms: now.utc_ms,
            reasons_behind: false,
            asked_to_leave: false,
            window: Window::Large,
            leaving: false,
        }
    }

    /// What panes read.
    pub fn facts(&self) -> &Facts {
        self.facts.as_ref().unwrap_or(&self.nothing)
    }

    /// The pane that keys go to.
    pub fn top(&self) -> &dyn Pane {
        match self.layers.last() {
            Some(layer) => layer.as_ref(),
            None => self.screens[self.shown].as_ref(),
        }
    }

    /// Where keys are read.
    pub fn place(&self) -> Place {
        self.top().place()
    }

    /// The pane beneath, for a layer that has no subject of its own.
    pub fn panes_from_top(&self) -> impl Iterator<Item = &dyn Pane> {
        let layers = self.layers.iter().rev().map(Box::as_ref);
        layers.chain(std::iter::once(self.screens[self.shown].as_ref()))
    }
}
