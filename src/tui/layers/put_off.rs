//! What was put off or dismissed, until when and why; each can be taken back.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};

use crate::cellar::ahead;
use crate::cellar::snapshot::PutOff;
use crate::cellar::thing::Key;
use crate::tui::commands::{Id, Place};
use crate::tui::layers::listed::{self, Item};
use crate::tui::layers::undo::Undo;
use crate::tui::message::{Ask, Effect, Facts, Input};
use crate::tui::screens::Pane;
use crate::tui::theme::Theme;
use crate::tui::widgets::scroll::{Scroll, moved};

/// The list, one marked.
pub struct PutOffs {
    held: Vec<PutOff>,
    marked: usize,
    scroll: Scroll,
}

impl PutOffs {
    /// Those of the cellar as it is.
    pub fn of(facts: &Facts) -> PutOffs {
        PutOffs {
            held: held(facts),
            marked: 0,
            scroll: Scroll::default(),
        }
    }

    fn marked(&self) -> Option<&PutOff> {
        self.held.get(self.marked)
    }
}

/// What is still held back.
fn held(facts: &Facts) -> Vec<PutOff> {
    let held = ahead::held_back(&facts.cellar, &facts.policy);
    held.into_iter().cloned().collect()
}

impl Pane for PutOffs {
    fn place(&self) -> Place {
        Place::PutOff
    }

    fn about(&self, _facts: &Facts) -> Option<Key> {
        Some(self.marked()?.silence.subject)
    }

    fn called(&self, id: Id, _facts: &Facts) -> Option<String> {
        (id == Id::Open && self.marked().is_none()).then(String::new)
    }

    fn update(&mut self, input: &Input<'_>, facts: &Facts) -> Vec<Ask> {
        let total = self.held.len();
        match input {
            Input::Command(Id::Back) => return vec![Ask::Close],
            Input::Command(Id::Open) => {
                let Some(entry) = self.marked().map(|it| it.entry) else {
                    return vec![Ask::Close];
                };
                return vec![
                    Ask::Lay(Box::new(Undo::default())),
                    Ask::Do(Effect::PreviewVoid(Some(entry))),
                ];
            }
            Input::Command(Id::Up) => self.marked = moved(self.marked, -1, total),
            Input::Command(Id::Down) => self.marked = moved(self.marked, 1, total),
            Input::Command(Id::First | Id::PageUp) => self.marked = 0,
            Input::Command(Id::Last | Id::PageDown) => self.marked = total.saturating_sub(1),
            Input::Reply(_) => {
                self.held = held(facts);
                self.marked = moved(self.marked, 0, self.held.len());
            }
            _ => {}
        }
        Vec::new()
    }

    fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        let cellar = &facts.cellar;
        let items = self.held.iter().map(|it| {
            let subject = cellar.name(it.silence.subject);
            let said = match it.why.as_str() {
                "" => "No reason was given.".to_owned(),
                why => format!("Because: {why}"),
            };
            Item {
                what: format!("{subject}: {}, {}", it.what(), it.until(cellar.now)),
                why: format!("{said} (entry {}, {})", it.entry.0, it.said.day_words()),
            }
        });
        let none = "Nothing is put off or dismissed.";
        let at = (self.marked, &self.scroll);
        listed::draw("Put off", items, none, at, theme, area, buf);
        None
    }
}
