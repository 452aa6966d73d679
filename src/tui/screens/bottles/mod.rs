//! The bottles: the racks as they are, and the runs beside them. Where there is no room for both the
//! runs stand alone, and Tab shows the racks in their place.

mod racks;
mod runs;
mod shelf;

use std::cell::{Cell, RefCell};
use std::fmt::Write;
use std::rc::Rc;

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use super::Pane;
use crate::cellar::attention::words;
use crate::cellar::racks::Slot;
use crate::cellar::thing::Key;
use crate::cellar::verbs;
use crate::tui::commands::{Id, Place};
use crate::tui::layers::detail::Detail;
use crate::tui::message::{Ask, Call, Facts, Input, Notice, Reply};
use crate::tui::press::Press;
use crate::tui::theme::Theme;
use crate::tui::widgets::field::Field;
use crate::tui::widgets::scroll::{Scroll, moved};
use crate::tui::widgets::text;
use racks::Marked;
use shelf::{Lot, Shelf, Shown};

/// The bottles.
#[derive(Default)]
pub(super) struct Bottles {
    focus: Focus,
    /// The marked run.
    run: usize,
    /// The marked rack and slot.
    rack: usize,
    slot: Slot,
    /// Words that what is shown must fit.
    sought: Field,
    finding: bool,
    /// Derived from the cellar when it is first looked at after a change.
    shelf: RefCell<Option<Rc<Shelf>>>,
    /// Whether there was only room for one side, as last drawn.
    narrow: Cell<bool>,
    scrolls: [Scroll; 2],
}

/// Where the arrows move.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Focus {
    #[default]
    Runs,
    Racks,
}

impl Bottles {
    fn shelf(&self, facts: &Facts) -> Rc<Shelf> {
        let mut kept = self.shelf.borrow_mut();
        let all = kept.get_or_insert_with(|| Rc::new(Shelf::of(&facts.cellar, self.sought.text())));
        Rc::clone(all)
    }

    /// What is shown has changed: marks stay where something is.
    fn anew(&mut self, facts: &Facts) {
        self.shelf.replace(None);
        let all = self.shelf(facts);
        self.run = moved(self.run, 0, all.runs.len());
        self.rack = moved(self.rack, 0, all.racks.len());
        if let Some(shown) = all.racks.get(self.rack) {
            self.slot = within(shown, self.slot);
        }
        if all.racks.is_empty() {
            self.focus = Focus::Runs;
        }
    }

    /// What lies in the marked slot.
    fn in_slot<'a>(&self, all: &'a Shelf) -> Option<(&'a Shown, &'a [Lot])> {
        if self.focus != Focus::Racks {
            return None;
        }
        let shown = all.racks.get(self.rack)?;
        let lots = shown.cells.get(&self.slot).map_or(&[][..], Vec::as_slice);
        Some((shown, lots))
    }

    fn marked_run(&self, facts: &Facts) -> Option<Key> {
        let all = self.shelf(facts);
        match self.focus {
            Focus::Runs => all.runs.get(self.run).map(|it| it.key),
            Focus::Racks => self.in_slot(&all)?.1.first().map(|it| it.run),
        }
    }

    fn in_runs(&mut self, id: Id, facts: &Facts) {
        let total = self.shelf(facts).runs.len();
        self.run = match id {
            Id::Up => moved(self.run, -1, total),
            Id::Down => moved(self.run, 1, total),
            Id::PageUp => moved(self.run, -5, total),
            Id::PageDown => moved(self.run, 5, total),
            Id::First => 0,
            Id::Last => moved(total, 0, total),
            _ => self.run,
        };
    }

    /// Up and down go on into the rack above or below.
    fn in_racks(&mut self, id: Id, facts: &Facts) {
        let all = self.shelf(facts);
        let Some(shown) = all.racks.get(self.rack) else {
            return;
        };
        let Slot { row, column } = self.slot;
        let rows = shown.rack.columns.len() as u16;
        let to = |rack: usize, row: u16, column: u16| (rack, Slot { row, column });
        let last_row = |at: usize| {
            let rows = all.racks.get(at).map_or(1, |it| it.rack.columns.len());
            (rows as u16).saturating_sub(1)
        };
        let (rack, slot) = match id {
            Id::Left => to(self.rack, row, column.saturating_sub(1)),
            Id::Right => to(self.rack, row, column + 1),
            Id::Up if row > 0 => to(self.rack, row - 1, column),
            Id::Up if self.rack > 0 => to(self.rack - 1, last_row(self.rack - 1), column),
            Id::Down if row + 1 < rows => to(self.rack, row + 1, column),
            Id::Down if self.rack + 1 < all.racks.len() => to(self.rack + 1, 0, column),
            Id::PageUp => to(self.rack.saturating_sub(1), 0, 0),
            Id::PageDown => to(moved(self.rack, 1, all.racks.len()), 0, 0),
            Id::First => to(self.rack, 0, 0),
            Id::Last => to(self.rack, last_row(self.rack), u16::MAX),
            _ => (self.rack, self.slot),
        };
        self.rack = rack;
        if let Some(shown) = all.racks.get(rack) {
            self.slot = within(shown, slot);
        }
    }

    fn command(&mut self, id: Id, facts: &Facts) -> Vec<Ask> {
        match id {
            Id::Open => {
                return match self.marked_run(facts) {
                    Some(run) => vec![
                        Ask::Lay(Box::new(Detail::about(run))),
                        Ask::Do(Detail::reads(run)),
                    ],
                    None => vec![Ask::Say(Notice::note(
                        "Nothing lies there; m moves bottles to it, d lays some down in it.",
                    ))],
                };
            }
            Id::Across if self.focus == Focus::Racks => self.focus = Focus::Runs,
            Id::Across if self.shelf(facts).racks.is_empty() => {
                return vec![Ask::Say(Notice::note(
                    "There is no rack yet; n writes one down.",
                ))];
            }
            Id::Across => self.focus = Focus::Racks,
            Id::Find => self.finding = true,
            Id::Done => self.finding = false,
            Id::Empty => {
                self.sought = Field::default();
                self.anew(facts);
            }
            Id::StepBack if !self.sought.text().is_empty() => {
                self.sought = Field::default();
                self.anew(facts);
            }
            Id::StepBack if self.focus == Focus::Racks => self.focus = Focus::Runs,
            Id::StepBack => return vec![Ask::Go(Place::Board, Call::default())],
            _ if self.focus == Focus::Racks => self.in_racks(id, facts),
            _ => self.in_runs(id, facts),
        }
        Vec::new()
    }

    /// The line at the top: how many, and what is sought.
    fn head(&self, all: &Shelf, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        let (sure, maybe): (Vec<&shelf::Run>, Vec<&shelf::Run>) =
            all.runs.iter().partition(|it| it.unknown.is_empty());
        let total: i64 = sure.iter().map(|it| it.count).sum();
        let free: i64 = sure.iter().map(|it| it.drinkable).sum();
        let resting = sure.iter().filter(|it| it.waits.is_some());
        let resting: i64 = resting.map(|it| it.drinkable).sum();
        let drink = free - resting;
        let maybe: i64 = maybe.iter().map(|it| it.count).sum();
        let held_back = sure.iter().filter(|it| it.withheld.is_some());
        let held_back: i64 = held_back.map(|it| it.count).sum();
        let parts = [
            (drink, "to drink"),
            (resting, "resting"),
            (total - free - held_back, "kept"),
            (held_back, "not to be drunk"),
        ];
        let parts = parts.iter().filter(|it| it.0 > 0);
        let parts: Vec<String> = parts
            .map(|(count, what)| format!("{count} {what}"))
            .collect();
        let mut said = match total {
            0 => " No bottles".to_owned(),
            _ => format!(" {}: {}", words::count(total, "bottle"), parts.join(", ")),
        };
        if maybe > 0 {
            let _ = write!(said, "; {maybe} more it may be of");
        }
        let spans = vec![
            Span::styled(said.clone(), theme.strong()),
            Span::styled("   find ", theme.dim()),
        ];
        let sought = self.sought.text();
        if !self.finding && sought.is_empty() {
            text::put(buf, area, 0, Line::from(spans[..1].to_vec()));
            return None;
        }
        let used = (text::width(&said) + 8).min(usize::from(area.width)) as u16;
        text::put(buf, area, 0, Line::from(spans));
        let field = Rect {
            x: area.x + used,
            width: area.width - used,
            height: area.height.min(1),
            ..area
        };
        self.sought.view("", self.finding, theme, field, buf)
    }
}

/// The slot of a rack that is nearest.
fn within(shown: &Shown, slot: Slot) -> Slot {
    let rows = &shown.rack.columns;
    let row = usize::from(slot.row).min(rows.len().saturating_sub(1));
    let last = rows.get(row).map_or(0, |it| it.saturating_sub(1));
    Slot {
        row: row as u16,
        column: slot.column.min(last),
    }
}

impl Pane for Bottles {
    fn place(&self) -> Place {
        if self.finding {
            Place::Finding
        } else {
            Place::Bottles
        }
    }

    fn screen(&self) -> Place {
        Place::Bottles
    }

    fn about(&self, facts: &Facts) -> Option<Key> {
        self.marked_run(facts)
    }

    fn called(&self, id: Id, _facts: &Facts) -> Option<String> {
        let to = match self.focus {
            Focus::Racks => "runs",
            Focus::Runs => "racks",
        };
        (id == Id::Across).then(|| to.to_owned())
    }

    /// A bottle is taken out of the marked slot; into a free one bottles are put, and its rack is the
    /// one that is changed. One that is opened is tasted: typing begins there.
    fn fills(&self, verb: &str, facts: &Facts) -> Vec<(String, String)> {
        let one = (verb == "open").then(|| ("count".to_owned(), "1".to_owned()));
        let mut known: Vec<(String, String)> = one.into_iter().collect();
        let all = self.shelf(facts);
        let Some((shown, lots)) = self.in_slot(&all) else {
            return known;
        };
        let asks = |key: &str| {
            verbs::find(verb).is_some_and(|it| it.fields.iter().any(|it| it.key == key))
        };
        if verb == "shelves change" {
            known.push(("rack".to_owned(), shown.rack.name.clone()));
            return known;
        }
        let key = match (lots.is_empty(), verb) {
            (false, _) if asks("from") => "from",
            (true, "shift") => "to",
            (true, "lay-down") => "where",
            _ => return known,
        };
        known.push((key.to_owned(), shown.rack.place(self.slot)));
        known
    }

    fn hint(&self, facts: &Facts, cells: usize) -> Option<String> {
        let all = self.shelf(facts);
        if self.focus == Focus::Runs && !all.apart.is_empty() {
            return Some(text::cut(&all.apart, cells));
        }
        let (shown, lots) = self.in_slot(&all)?;
        let place = shown.rack.place(self.slot);
        if lots.is_empty() {
            return Some(format!("{place}: free."));
        }
        let said: Vec<String> = lots
            .iter()
            .map(|it| {
                let name = facts.cellar.name(it.run);
                let many = match it.count {
                    1 => String::new(),
                    many => format!("{many} × "),
                };
                let kept = match it.reserved.as_str() {
                    "" => String::new(),
                    whom => format!(", kept for {whom}"),
                };
                let found = match it.found.as_str() {
                    "" => String::new(),
                    found => format!(", {found}"),
                };
                format!("{many}{name}, {} mL{kept}{found}", it.size_ml)
            })
            .collect();
        Some(text::cut(&format!("{place}: {}.", said.join("; ")), cells))
    }

    fn update(&mut self, input: &Input<'_>, facts: &Facts) -> Vec<Ask> {
        match input {
            Input::Command(id) => return self.command(*id, facts),
            Input::Type(press) => {
                let typed = self.sought.typed(*press);
                if typed || matches!(press, Press::Backspace) {
                    self.anew(facts);
                }
            }
            Input::Paste(pasted) => {
                self.sought.paste(pasted);
                self.anew(facts);
            }
            Input::Called(call) => {
                self.anew(facts);
                let all = self.shelf(facts);
                let of_run = |it: &shelf::Run| Some(it.key) == call.about;
                if let Some(at) = all.runs.iter().position(of_run) {
                    self.run = at;
                    self.focus = Focus::Runs;
                }
            }
            // Worked out again when it is looked at: most changes are made on other screens.
            Input::Reply(Reply::Stale) => {
                self.shelf.replace(None);
            }
            Input::Reply(_) => {}
        }
        Vec::new()
    }

    fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        let all = self.shelf(facts);
        let cursor = self.head(&all, theme, area, buf);
        let below = Rect {
            y: area.y + area.height.min(2),
            height: area.height.saturating_sub(2),
            ..area
        };
        let narrow = area.width < 100 || area.height < 16;
        self.narrow.set(narrow);
        let both = !narrow && !all.racks.is_empty();
        let left = if both { area.width * 11 / 20 } else { 0 };
        let marked = match self.focus {
            Focus::Racks => Marked::Slot(self.rack, self.slot),
            Focus::Runs => Marked::Run(all.runs.get(self.run).map(|it| it.key)),
        };
        if both || self.focus == Focus::Racks {
            let width = if both { left } else { below.width };
            let place = Rect { width, ..below };
            racks::draw(&all, marked, &self.scrolls[1], theme, place, buf);
        }
        if both || self.focus == Focus::Runs {
            let place = Rect {
                x: below.x + left,
                width: below.width - left,
                ..below
            };
            let run = self.marked_run(facts);
            let at = all.runs.iter().position(|it| Some(it.key) == run);
            let at = at.map(|at| (at, self.focus == Focus::Runs));
            if all.runs.is_empty() {
                let words = if self.sought.text().is_empty() {
                    " No bottles yet: press 5 to bottle a wine, or H on the board to write down what is here."
                } else {
                    " No bottle of any run fits these words."
                };
                let words = text::cut(words, usize::from(place.width));
                text::put(buf, place, 0, Line::from(Span::styled(words, theme.dim())));
            }
            runs::draw(
                &all,
                at,
                facts.cellar.now,
                &self.scrolls[0],
                theme,
                place,
                buf,
            );
        }
        cursor
    }
}
