//! The supplies: what is left of each, what the work ahead takes, how long it lasts; and what to buy.

mod shown;

use std::cell::RefCell;
use std::rc::Rc;

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use super::Pane;
use crate::cellar::attention::{Reason, ReasonKind};
use crate::cellar::bottling::PutOut;
use crate::cellar::supplies::to_buy::far_words;
use crate::cellar::thing::{Key, field};
use crate::tui::commands::{Id, Place};
use crate::tui::layers::charts::Charts;
use crate::tui::message::{Ask, Call, Effect, Facts, Input, Notice, Reply};
use crate::tui::theme::{MARK, Theme, sign};
use crate::tui::widgets::scroll::{Scroll, more, moved, rows_beside_sign};
use crate::tui::widgets::text;
use shown::{Row, Shown, Wanted};

/// Cells of the bar.
const BAR: usize = 10;
/// Lines of what is said of the marked lot, an empty one before it, by the height there is.
const fn about_lines(height: usize) -> usize {
    match height {
        0..=10 => 0,
        11..=24 => 5,
        _ => 10,
    }
}

/// Narrower than this nothing is said of how long it lasts.
const LEAST_LASTS: usize = 12;

/// The supplies.
#[derive(Default)]
pub(super) struct Stock {
    at: usize,
    /// Whether what is to be bought is shown in place of what there is.
    to_buy: bool,
    /// What was put out of use, once it was read.
    out: PutOut,
    /// Derived from the cellar when it is first looked at after a change.
    shown: RefCell<Option<Rc<Shown>>>,
    scroll: Scroll,
    /// The marked line of what is to be bought.
    wanted: usize,
    wanted_scroll: Scroll,
    /// Whether it was looked at: until then nothing is read for it.
    asked: bool,
}

impl Stock {
    fn shown(&self, facts: &Facts) -> Rc<Shown> {
        let mut kept = self.shown.borrow_mut();
        Rc::clone(kept.get_or_insert_with(|| Rc::new(Shown::of(facts, &self.out))))
    }

    fn marked(&self, facts: &Facts) -> Option<Key> {
        let shown = self.shown(facts);
        shown.rows.get(self.at).map(|it| it.lot)
    }

    fn command(&mut self, id: Id, facts: &Facts) -> Vec<Ask> {
        let shown = self.shown(facts);
        let total = if self.to_buy {
            shown.to_buy.len()
        } else {
            shown.rows.len()
        };
        let by = match id {
            Id::Up => -1,
            Id::Down => 1,
            Id::PageUp => -10,
            Id::PageDown => 10,
            Id::First => -(total as isize),
            Id::Last => total as isize,
            Id::ToBuy => {
                self.to_buy = !self.to_buy;
                0
            }
            Id::Open => return self.count(facts),
            Id::Charts => {
                let supply = self.about(facts);
                return supply.map_or_else(Vec::new, |it| Charts::lay(it, facts));
            }
            Id::StepBack if self.to_buy => {
                self.to_buy = false;
                0
            }
            Id::StepBack => return vec![Ask::Go(Place::Board, Call::default())],
            _ => 0,
        };
        // The other list keeps its mark.
        let mark = match (self.to_buy, id) {
            (_, Id::ToBuy | Id::StepBack) => return Vec::new(),
            (true, _) => &mut self.wanted,
            (false, _) => &mut self.at,
        };
        *mark = moved(*mark, by, total);
        Vec::new()
    }

    /// Takes stock of the marked lot, or buys what is wanted.
    fn count(&self, facts: &Facts) -> Vec<Ask> {
        if self.to_buy {
            let shown = self.shown(facts);
            let wanted = shown.to_buy.get(self.wanted);
            return vec![Ask::Verb(wanted.map_or_else(
                || Call {
                    name: "buy".to_owned(),
                    ..Call::default()
                },
                Wanted::call,
            ))];
        }
        let Some(lot) = self.marked(facts) else {
            let sentence = "There are no supplies yet; B writes one down.";
            return vec![Ask::Say(Notice::note(sentence))];
        };
        vec![Ask::Verb(Call {
            about: Some(lot),
            name: "stock take".to_owned(),
            values: vec![("lot".to_owned(), facts.cellar.name(lot).to_owned())],
            needs: vec!["amount".to_owned()],
        })]
    }

    /// What there is: a heading, a line a lot, and more of the marked one below.
    fn list(&self, shown: &Shown, theme: Theme, area: Rect, buf: &mut Buffer) {
        let cells = usize::from(area.width);
        let height = usize::from(area.height);
        if shown.rows.is_empty() {
            let words = "   No supplies yet: B writes one down, n empty bottles.";
            text::put(buf, area, 0, Line::from(Span::styled(words, theme.dim())));
            return;
        }
        let columns = Columns::of(cells);
        let lasts = if columns.lasts > 0 { "lasts" } else { "" };
        let heading = columns.line("What there is", "left", "", "work ahead", lasts);
        let heading = Span::styled(text::cut(heading.trim_end(), cells), theme.dim());
        text::put(buf, area, 0, Line::from(heading));
        let about = about_lines(height);
        let total = shown.rows.len();
        let room = height.saturating_sub(1 + about).max(1);
        let rows = rows_beside_sign(room, total);
        let top = self.scroll.follow(self.at, self.at + 1, rows, total);
        for (at, row) in shown.rows.iter().enumerate().skip(top).take(rows) {
            let line = columns.row(row, at == self.at, theme);
            text::put(buf, area, 1 + at - top, line);
        }
        more(
            top,
            total.saturating_sub(top + rows),
            1 + rows,
            theme,
            area,
            buf,
        );
        let Some(marked) = shown.rows.get(self.at).filter(|_| about > 0) else {
            return;
        };
        let words = marked.about.iter().enumerate().flat_map(|(at, words)| {
            let style = if at == 0 {
                theme.strong()
            } else {
                theme.text()
            };
            let lines = text::wrap(words, cells.saturating_sub(4));
            lines.into_iter().map(move |it| (it, style))
        });
        let words: Vec<_> = words.collect();
        // Close under the list, where there is room to spare.
        let begin = (height - about).min(1 + total) + 1;
        let cut = words.len() >= about;
        for (at, (words, style)) in words.into_iter().take(about - 1).enumerate() {
            let sign = if cut && at == about - 2 { " …" } else { "" };
            let words = text::cut(&format!("   {words}{sign}"), cells);
            let line = Line::from(Span::styled(words, style));
            text::put(buf, area, begin + at, line);
        }
    }

    /// What is to be bought, and for what.
    fn shopping(&self, shown: &Shown, theme: Theme, area: Rect, buf: &mut Buffer) {
        let cells = usize::from(area.width);
        let heading = Span::styled(format!("   {}", shown.buying), theme.strong());
        text::put(buf, area, 0, Line::from(heading));
        if shown.to_buy.is_empty() {
            let far = far_words();
            let words =
                format!("   Nothing: what there is lasts for all planned in the next {far}.");
            text::put(buf, area, 2, Line::from(Span::styled(words, theme.dim())));
        }
        let total = shown.to_buy.len();
        let room = usize::from(area.height).saturating_sub(2);
        let rows = if total * 2 > room {
            (room.saturating_sub(1) / 2).max(1)
        } else {
            total
        };
        let at = self.wanted;
        let top = self.wanted_scroll.follow(at, at + 1, rows, total);
        let wanted = shown.to_buy.iter().enumerate().skip(top).take(rows);
        for (row, (at, wanted)) in wanted.enumerate() {
            let is_marked = at == self.wanted;
            let name = if is_marked {
                theme.selected()
            } else {
                theme.text()
            };
            let what = Line::from(vec![
                Span::raw(if is_marked { MARK } else { " " }),
                Span::raw("  "),
                Span::styled(text::cut(&wanted.what, cells.saturating_sub(3)), name),
            ]);
            let why = text::cut(&format!("      {}", wanted.why), cells);
            let why = Line::from(Span::styled(why, theme.dim()));
            text::put(buf, area, 2 + 2 * row, what);
            text::put(buf, area, 3 + 2 * row, why);
        }
        let below = total.saturating_sub(top + rows);
        more(top, below, 2 + 2 * rows, theme, area, buf);
    }
}

/// Widths of the columns.
struct Columns {
    name: usize,
    left: usize,
    ahead: usize,
    lasts: usize,
}

impl Columns {
    fn of(cells: usize) -> Columns {
        let (name, left, ahead) = match cells {
            118.. => (40, 10, 14),
            100.. => (36, 10, 14),
            76.. => (24, 9, 14),
            _ => (18, 10, 14),
        };
        let used = 3 + name + 1 + left + 2 + BAR + 2 + ahead + 1;
        Columns {
            name,
            left,
            ahead,
            lasts: Some(cells.saturating_sub(used))
                .filter(|it| *it >= LEAST_LASTS)
                .unwrap_or(0),
        }
    }

    fn line(&self, name: &str, left: &str, bar: &str, ahead: &str, lasts: &str) -> String {
        format!(
            "   {} {}  {}  {} {}",
            text::fit(name, self.name),
            text::fit_right(left, self.left),
            text::fit(bar, BAR),
            text::fit(ahead, self.ahead),
            text::fit(lasts, self.lasts)
        )
    }

    fn row(&self, row: &Row, marked: bool, theme: Theme) -> Line<'static> {
        let name = if marked {
            theme.selected()
        } else {
            theme.text()
        };
        let said = row.rank.map_or(" ", sign).to_owned();
        let rank = row.rank.map_or(theme.text(), |it| theme.rank(it));
        let lasts = if text::width(&row.lasts) <= self.lasts {
            &row.lasts
        } else {
            &row.lasts_short
        };
        Line::from(vec![
            Span::raw(if marked { MARK } else { " " }),
            Span::styled(format!("{said} "), rank),
            Span::styled(text::fit(&row.name, self.name), name),
            Span::raw(format!(" {}  ", text::fit_right(&row.left, self.left))),
            Span::styled(row.bar(BAR), theme.good()),
            Span::styled(format!("  {} ", text::fit(&row.ahead, self.ahead)), rank),
            Span::styled(text::cut(lasts, self.lasts), theme.dim()),
        ])
    }
}

impl Pane for Stock {
    fn place(&self) -> Place {
        Place::Stock
    }

    fn about(&self, facts: &Facts) -> Option<Key> {
        self.marked(facts).filter(|_| !self.to_buy)
    }

    fn reason(&self, facts: &Facts) -> Option<Reason> {
        let is_short_of = |it: &&Reason, substance: &str| {
            it.kind == ReasonKind::SupplyShort && it.suggested("substance") == substance
        };
        if self.to_buy {
            let shown = self.shown(facts);
            let wanted = shown.to_buy.get(self.wanted)?;
            let mut reasons = facts.reasons_for(wanted.subject);
            return reasons
                .find(|it| is_short_of(it, &wanted.substance))
                .cloned();
        }
        let lot = self.about(facts)?;
        let own = facts.reasons_for(lot).next();
        // What is short is asked about for the wine that it is short for.
        let short = || {
            let substance = facts.cellar.thing(lot)?.text(field::SUBSTANCE);
            let mut reasons = facts.reasons.iter();
            reasons.find(|it| is_short_of(it, substance))
        };
        own.or_else(short).cloned()
    }

    fn called(&self, id: Id, facts: &Facts) -> Option<String> {
        let is_empty = !self.to_buy && self.shown(facts).rows.is_empty();
        let name = match id {
            Id::Open | Id::Charts if is_empty => "",
            Id::Why if self.reason(facts).is_none() => "",
            Id::Open if self.to_buy => "bought",
            Id::ToBuy if self.to_buy => "supplies",
            // Enter does the one, and of what is not there yet there is nothing to draw.
            Id::Verb("buy") | Id::Charts if self.to_buy => "",
            _ => return None,
        };
        Some(name.to_owned())
    }

    fn update(&mut self, input: &Input<'_>, facts: &Facts) -> Vec<Ask> {
        match input {
            Input::Command(id) => return self.command(*id, facts),
            Input::Called(call) => {
                self.shown.replace(None);
                let shown = self.shown(facts);
                let of_lot = |it: &Row| Some(it.lot) == call.about;
                self.at = shown.rows.iter().position(of_lot).unwrap_or(self.at);
                self.asked = true;
                return vec![Ask::Do(Effect::ReadPutOut)];
            }
            Input::Reply(Reply::PutOut(out)) => {
                self.out.clone_from(out);
                self.shown.replace(None);
            }
            Input::Reply(Reply::Stale) => {
                self.shown.replace(None);
                let shown = self.shown(facts);
                self.at = moved(self.at, 0, shown.rows.len());
                self.wanted = moved(self.wanted, 0, shown.to_buy.len());
                if self.asked {
                    return vec![Ask::Do(Effect::ReadPutOut)];
                }
            }
            _ => {}
        }
        Vec::new()
    }

    fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        let cells = usize::from(area.width);
        let shown = self.shown(facts);
        let head = text::cut(&format!(" {}", shown.head), cells);
        text::put(buf, area, 0, Line::from(Span::styled(head, theme.strong())));
        let below = Rect {
            y: area.y + area.height.min(2),
            height: area.height.saturating_sub(2),
            ..area
        };
        if self.to_buy {
            self.shopping(&shown, theme, below, buf);
        } else {
            self.list(&shown, theme, below, buf);
        }
        None
    }
}
