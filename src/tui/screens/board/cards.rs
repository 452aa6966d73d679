//! The vessels as pictures, where there is room.

use std::cell::Cell;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use crate::cellar::attention::{Reason, Stage};
use crate::cellar::thing::Key;
use crate::tui::glance::{self, Glance};
use crate::tui::message::Facts;
use crate::tui::theme::{self, MARK, Theme};
use crate::tui::widgets::scroll::Scroll;
use crate::tui::widgets::vessel::Size;
use crate::tui::widgets::{text, vessel};
use crate::tui::words;

/// Rows of a card, with the blank one below.
pub(super) const HEIGHT: u16 = Size::Small.height() + 1;

/// How a vessel is laid out.
#[derive(Clone, Copy)]
struct Card {
    picture: Size,
    /// Columns and rows it wants.
    width: u16,
    height: u16,
}

/// A picture with its words beside it.
const BESIDE: Card = Card {
    picture: Size::Small,
    width: 29,
    height: HEIGHT,
};
/// A larger picture with its words below, where every vessel fits so.
const BELOW: Card = Card {
    picture: Size::Large,
    width: 20,
    height: Size::Large.height() + 5,
};

impl Card {
    fn across(self, area: Rect) -> usize {
        usize::from((area.width / self.width).max(1))
    }

    fn down(self, area: Rect) -> usize {
        usize::from((area.height / self.height).max(1))
    }

    fn fits(self, vessels: usize, area: Rect) -> bool {
        area.height >= self.height && vessels <= self.across(area) * self.down(area)
    }
}

/// Where the mark is.
pub(super) struct Marks {
    /// The vessel that is marked.
    pub(super) vessel: Option<usize>,
    /// The subject of the reason that is marked.
    pub(super) subject: Option<Key>,
}

pub(super) fn draw(
    facts: &Facts,
    marks: &Marks,
    columns: &Cell<usize>,
    scroll: &Scroll,
    theme: Theme,
    area: Rect,
    buf: &mut Buffer,
) {
    let total = facts.vessels.len();
    if total == 0 {
        let help = "   No vessels yet. Press : and type `here` or `vessel add`.";
        text::put(buf, area, 1, Line::from(Span::styled(help, theme.dim())));
        return;
    }
    let layout = if BELOW.fits(total, area) {
        BELOW
    } else {
        BESIDE
    };
    let (across, down) = (layout.across(area), layout.down(area));
    columns.set(across);
    let lines = total.div_ceil(across);
    let at = marks.vessel.unwrap_or(0) / across;
    let top = scroll.follow(at, at + 1, down, lines);
    let width = area.width / across as u16;
    for (at, glance) in glance::vessels(facts, top * across, down * across) {
        let place = Rect {
            x: area.x + (at % across) as u16 * width,
            y: area.y + (at / across - top) as u16 * layout.height,
            width,
            height: layout.height,
        };
        let mark = if marks.vessel == Some(at) {
            Mark::Here
        } else if marks.subject == Some(glance.thing.key) {
            Mark::Meant
        } else {
            Mark::None
        };
        card(
            &glance,
            facts,
            layout,
            mark,
            theme,
            place.intersection(area),
            buf,
        );
    }
    if lines > top + down {
        let more = format!("{} more below ", total - (top + down) * across);
        let more = text::fit_right(&more, usize::from(area.width));
        let last = usize::from(area.height).saturating_sub(1);
        text::put(buf, area, last, Line::from(Span::styled(more, theme.dim())));
    }
}

/// Whether a vessel is marked, or meant by the reason that is.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Mark {
    Here,
    Meant,
    None,
}

fn card(
    glance: &Glance<'_>,
    facts: &Facts,
    layout: Card,
    mark: Mark,
    theme: Theme,
    area: Rect,
    buf: &mut Buffer,
) {
    let picture = Rect {
        x: area.x + 1,
        width: area.width.saturating_sub(1),
        ..area
    };
    vessel::draw(
        &glance.picture(theme.wine(glance.kind)),
        layout.picture,
        theme,
        picture,
        buf,
    );
    let (beside, below) = match layout.picture {
        Size::Small => ((Size::Small.width() + 2).min(area.width), 0),
        Size::Large => (0, Size::Large.height().min(area.height)),
    };
    let words = Rect {
        x: area.x + beside,
        y: area.y + below,
        width: area.width - beside,
        height: area.height - below,
    };
    let cells = usize::from(words.width).saturating_sub(2);
    let name = text::cut(glance.thing.name(), cells);
    let style = if mark == Mark::Here {
        theme.selected()
    } else {
        theme.strong()
    };
    let sign = if mark == Mark::None { " " } else { MARK };
    text::put(
        buf,
        words,
        0,
        Line::from(vec![Span::raw(sign), Span::styled(name, style)]),
    );
    let lines = match layout.picture {
        _ if glance.wine.is_none() => {
            let empty = format!("empty, {}", glance.volume());
            vec![line(&empty, theme.dim(), cells)]
        }
        Size::Small => said_beside(glance, facts, theme, cells),
        Size::Large => said_below(glance, facts, theme, cells),
    };
    for (at, line) in lines.into_iter().enumerate() {
        text::put(buf, words, at + 1, line);
    }
}

/// A line of words in a card.
fn line(words: &str, style: Style, cells: usize) -> Line<'static> {
    Line::from(Span::styled(format!(" {}", text::cut(words, cells)), style))
}

/// In few and wide lines, below a picture.
fn said_below(
    glance: &Glance<'_>,
    facts: &Facts,
    theme: Theme,
    cells: usize,
) -> Vec<Line<'static>> {
    let volume = volume(glance, facts);
    let mut lines = vec![
        line(&glance.holds, theme.text(), cells),
        line(&volume, theme.text(), cells),
        match (glance.gravity(), glance.free_so2()) {
            (Some(gravity), _) if glance.ferment.is_some() || glance.ferments() => {
                let dry = glance.dry(cells.saturating_sub(7));
                let words = match (gravity.split_once(' '), dry) {
                    (Some((gravity, _)), Some(dry)) => format!("{gravity}, {dry}"),
                    (None, Some(dry)) => format!("{gravity}, {dry}"),
                    (_, None) => gravity,
                };
                line(&words, theme.text(), cells)
            }
            (_, Some(free)) => line(&format!("SO2 {free}"), theme.text(), cells),
            _ => line(&stage(glance, facts), theme.dim(), cells),
        },
    ];
    lines.extend(glance.reason.map(|it| deals(it, theme)));
    lines
}

/// In short lines, beside a picture.
fn said_beside(
    glance: &Glance<'_>,
    facts: &Facts,
    theme: Theme,
    cells: usize,
) -> Vec<Line<'static>> {
    let volume = volume(glance, facts);
    let mut lines = vec![
        line(&glance.holds, theme.text(), cells),
        line(&volume, theme.text(), cells),
        line(&stage(glance, facts), theme.dim(), cells),
    ];
    match (glance.gravity(), glance.free_so2()) {
        (Some(gravity), _) if glance.ferment.is_some() || glance.ferments() => {
            lines.push(line(&gravity, theme.text(), cells));
            let dry = glance.dry(cells);
            lines.extend(dry.map(|it| line(&it, theme.forecast(), cells)));
        }
        (_, Some(free)) => {
            lines.push(line(&format!("SO2 {free}"), theme.text(), cells));
            lines.extend(glance.aim().map(|it| line(&it, theme.dim(), cells)));
        }
        (Some(gravity), None) => lines.push(line(&gravity, theme.dim(), cells)),
        (None, None) => {}
    }
    lines.extend(glance.reason.map(|it| deals(it, theme)));
    lines
}

/// How much of how much, and for how long: `22.7/23.0 L, 4 mo`.
fn volume(glance: &Glance<'_>, facts: &Facts) -> String {
    let age = glance.days(facts).map(|it| format!(", {}", words::age(it)));
    glance.volume().replace(" of ", "/") + &age.unwrap_or_default()
}

/// Where its wine stands, in a word or two.
fn stage(glance: &Glance<'_>, facts: &Facts) -> String {
    if facts.cellar.is_being_bottled(glance.thing.key) {
        return "being bottled".to_owned();
    }
    let stage = glance.stage.filter(|it| *it != Stage::Unsaid);
    stage.map_or(String::new(), |it| it.label().to_owned())
}

/// The sign of a reason with the key that deals with it.
fn deals(reason: &Reason, theme: Theme) -> Line<'static> {
    let (key, verb) = glance::next(reason);
    Line::from(vec![
        Span::styled(
            format!(" {} ", theme::sign(reason.rank)),
            theme.rank(reason.rank),
        ),
        Span::styled(key, theme.key()),
        Span::raw(format!(" {verb}")),
    ])
}
