//! What was tasted: the wines on one side, the tastings of the marked one in order on the other,
//! beside what was measured by then; two wines side by side; scores over time.

mod wines;

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use super::Pane;
use crate::cellar::tasting::{Flight, Tasted};
use crate::cellar::thing::{Key, Sort};
use crate::tui::commands::{Id, Place};
use crate::tui::layers::detail::Detail;
use crate::tui::message::{Ask, Call, Effect, Facts, Input, Notice, Reply};
use crate::tui::theme::{MARK, Theme};
use crate::tui::widgets::scroll::{Scroll, moved};
use crate::tui::widgets::{chart, text};
use wines::{Said, Wine};

/// Columns of the wines.
const WINES: u16 = 26;
/// The least width at which the wines stand beside their tastings.
const BOTH: u16 = 76;
/// Rows of a chart of scores, where there is room for it.
const CHART: u16 = 12;

/// The tastings.
#[derive(Default)]
pub(super) struct Tasting {
    wines: Vec<Wine>,
    at: usize,
    /// The wine that the marked one is compared with.
    beside: Option<Key>,
    scroll: Scroll,
    /// Whether it was asked for.
    asked: bool,
}

impl Tasting {
    fn marked(&self) -> Option<&Wine> {
        self.wines.get(self.at)
    }

    fn compared(&self) -> Option<&Wine> {
        self.wines.iter().find(|it| Some(it.subject) == self.beside)
    }

    fn take(&mut self, all: &[Tasted], facts: &Facts) {
        let marked = self.marked().map(|it| it.subject);
        self.wines = wines::of(all, facts);
        let at = self.wines.iter().position(|it| Some(it.subject) == marked);
        self.at = at.unwrap_or(moved(self.at, 0, self.wines.len()));
    }

    fn command(&mut self, id: Id, facts: &Facts) -> Vec<Ask> {
        let total = self.wines.len();
        let by = match id {
            Id::Up => -1,
            Id::Down => 1,
            Id::PageUp => -5,
            Id::PageDown => 5,
            Id::First => -(total as isize),
            Id::Last => total as isize,
            Id::Across => {
                let marked = self.marked().map(|it| it.subject);
                self.beside = if self.beside.is_some() { None } else { marked };
                return match self.beside {
                    Some(_) => vec![Ask::Say(Notice::note(
                        "Kept: mark another wine to see both side by side; Tab lets it go.",
                    ))],
                    None => Vec::new(),
                };
            }
            Id::Open => return self.open(facts),
            Id::StepBack if self.beside.is_some() => {
                self.beside = None;
                0
            }
            Id::StepBack => return vec![Ask::Go(Place::Board, Call::default())],
            _ => 0,
        };
        self.at = moved(self.at, by, total);
        Vec::new()
    }

    fn open(&self, facts: &Facts) -> Vec<Ask> {
        match self.about(facts) {
            Some(place) => vec![
                Ask::Lay(Box::new(Detail::about(place))),
                Ask::Do(Detail::reads(place)),
            ],
            None => vec![Ask::Say(Notice::note("None of it is left."))],
        }
    }

    fn list(&self, theme: Theme, area: Rect, buf: &mut Buffer) {
        let cells = usize::from(area.width);
        let height = usize::from(area.height);
        let top = self
            .scroll
            .follow(self.at, self.at + 1, height, self.wines.len());
        let shown = self.wines.iter().enumerate().skip(top).take(height);
        for (at, wine) in shown {
            let style = if at == self.at {
                theme.selected()
            } else {
                theme.text()
            };
            let score = wine.last_score();
            let room = cells.saturating_sub(4 + text::width(&score));
            let kept = if Some(wine.subject) == self.beside {
                "+"
            } else {
                " "
            };
            let line = Line::from(vec![
                Span::raw(if at == self.at { MARK } else { " " }),
                Span::raw(kept),
                Span::styled(text::fit(&wine.name, room), style),
                Span::styled(format!(" {score}"), theme.strong()),
            ]);
            text::put(buf, area, at - top, line);
        }
    }
}

/// The tastings of a wine, the newest first, and its scores over time below.
fn tastings(wine: &Wine, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) {
    let cells = usize::from(area.width);
    let title = Span::styled(text::cut(&wine.name, cells), theme.strong());
    text::put(buf, area, 0, Line::from(title));
    let mut height = area.height;
    if wine.scores.readings.len() >= 2 && area.height >= 2 * CHART {
        height = area.height - CHART;
        let plot = Rect {
            y: area.y + height,
            height: CHART,
            ..area
        };
        chart::draw(&wine.scores, facts.cellar.now, theme, plot, buf);
    }
    // A tasting that would be cut is not begun, but for the first.
    let room = usize::from(height);
    let mut row = 1;
    for said in &wine.said {
        let lines = lines_of(said, theme, cells);
        if row > 1 && row + lines.len() > room {
            let more = Line::from(Span::styled("…", theme.dim()));
            text::put(buf, area, row.min(room.saturating_sub(1)), more);
            break;
        }
        for line in lines.into_iter().take(room.saturating_sub(row)) {
            text::put(buf, area, row, line);
            row += 1;
        }
    }
}

/// What it came to first, for that is what is looked for; then when, and the words.
fn lines_of(said: &Said, theme: Theme, cells: usize) -> Vec<Line<'static>> {
    // What is left out of three lines says so.
    let part = |words: &str, indent: &str, style| -> Vec<Line<'static>> {
        const MOST: usize = 3;
        let room = cells.saturating_sub(indent.len());
        let mut lines = text::wrap(words, room);
        if lines.len() > MOST {
            let rest = lines.split_off(MOST - 1).join(" ");
            lines.push(text::cut(&rest, room));
        }
        let lines = lines.into_iter();
        lines
            .map(|it| Line::from(Span::styled(format!("{indent}{it}"), style)))
            .collect()
    };
    let when = part(&said.when, "  ", theme.dim());
    // Where it came to nothing, its words begin it.
    if said.verdict.is_empty() {
        return [part(&said.words, "", theme.text()), when].concat();
    }
    let verdict = part(&said.verdict, "", theme.strong());
    [verdict, part(&said.words, "  ", theme.text()), when].concat()
}

impl Pane for Tasting {
    fn place(&self) -> Place {
        Place::Tasting
    }

    /// Where the marked wine is now: the vessel that holds most of it, else its bottles.
    fn about(&self, facts: &Facts) -> Option<Key> {
        let subject = self.marked()?.subject;
        if facts.cellar.wine(subject).is_some() {
            return Some(subject);
        }
        let of_batch = |sort: Sort| {
            let places = facts.cellar.open(sort).filter_map(|it| {
                let wine = facts.cellar.wine(it.key)?;
                (wine.main_batch() == Some(subject)).then_some((wine.volume, it.key))
            });
            places.max().map(|it| it.1)
        };
        of_batch(Sort::Vessel).or_else(|| of_batch(Sort::Run))
    }

    /// One blind tasting at a time is begun, tasted and revealed.
    fn called(&self, id: Id, facts: &Facts) -> Option<String> {
        let is_on = Flight::of(&facts.cellar).is_some();
        let hidden = match id {
            Id::Verb("blind start") => is_on,
            Id::Verb("blind taste" | "blind reveal") => !is_on,
            Id::Across if self.beside.is_some() => return Some("one alone".to_owned()),
            Id::Across | Id::Open => self.wines.is_empty(),
            _ => false,
        };
        hidden.then(String::new)
    }

    fn update(&mut self, input: &Input<'_>, facts: &Facts) -> Vec<Ask> {
        match input {
            Input::Command(id) => return self.command(*id, facts),
            Input::Called(_) => {
                self.asked = true;
                return vec![Ask::Do(Effect::ReadTastings)];
            }
            Input::Reply(Reply::Stale) if self.asked => {
                return vec![Ask::Do(Effect::ReadTastings)];
            }
            Input::Reply(Reply::Tastings(all)) => self.take(all, facts),
            _ => {}
        }
        Vec::new()
    }

    fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        let head = match Flight::of(&facts.cellar) {
            Some(flight) => {
                let letters: Vec<String> = flight.letters().collect();
                format!(
                    " Blind tasting of {}: a tastes one by its letter, r reveals which was which",
                    letters.join(", ")
                )
            }
            None if self.wines.len() > 1 => {
                format!(
                    " What was tasted: wine {} of {}",
                    self.at + 1,
                    self.wines.len()
                )
            }
            None => " What was tasted".to_owned(),
        };
        let cells = usize::from(area.width);
        let head = Span::styled(text::cut(&head, cells), theme.strong());
        text::put(buf, area, 0, Line::from(head));
        let below = Rect {
            y: area.y + area.height.min(2),
            height: area.height.saturating_sub(2),
            ..area
        };
        let Some(marked) = self.marked() else {
            let words = "   Nothing was tasted yet: t writes it down, for any vessel or bottle.";
            let words = text::cut(words, cells);
            text::put(buf, below, 0, Line::from(Span::styled(words, theme.dim())));
            return None;
        };
        let (list, rest) = if area.width >= BOTH {
            let list = Rect {
                width: WINES,
                ..below
            };
            let rest = Rect {
                x: below.x + WINES + 1,
                width: below.width - WINES - 2,
                ..below
            };
            (list, rest)
        } else {
            let rows = (self.wines.len() as u16).min(below.height / 3).max(1);
            let list = Rect {
                height: rows.min(below.height),
                ..below
            };
            let rest = Rect {
                x: below.x + 2.min(below.width),
                y: below.y + (rows + 1).min(below.height),
                width: below.width.saturating_sub(3),
                height: below.height.saturating_sub(rows + 1),
            };
            (list, rest)
        };
        self.list(theme, list, buf);
        match self.compared().filter(|it| it.subject != marked.subject) {
            None => tastings(marked, facts, theme, rest, buf),
            Some(other) => {
                let half = rest.width.saturating_sub(2) / 2;
                let left = Rect {
                    width: half,
                    ..rest
                };
                let right = Rect {
                    x: rest.x + half + 2,
                    width: half,
                    ..rest
                };
                tastings(other, facts, theme, left, buf);
                tastings(marked, facts, theme, right, buf);
            }
        }
        None
    }
}
