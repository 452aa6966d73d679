//! The vessels as pictures, where there is room.

use std::cell::Cell;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use crate::cellar::attention::Stage;
use crate::tui::glance::{self, Glance};
use crate::tui::message::Facts;
use crate::tui::theme::{self, MARK, Theme};
use crate::tui::widgets::scroll::Scroll;
use crate::tui::widgets::{text, vessel};
use crate::tui::words;

/// Rows of a card, with the blank one below.
pub(super) const HEIGHT: u16 = vessel::HEIGHT + 1;
/// Columns a card wants.
const WIDTH: u16 = 29;
/// Columns left of its words: the mark, the picture and a blank.
const PICTURE: u16 = vessel::WIDTH + 2;

pub(super) fn draw(
    facts: &Facts,
    marked: Option<usize>,
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
    let across = usize::from((area.width / WIDTH).max(1));
    columns.set(across);
    let lines = total.div_ceil(across);
    let shown = usize::from(area.height / HEIGHT).max(1);
    let at = marked.unwrap_or(0) / across;
    let top = scroll.follow(at, at + 1, shown, lines);
    let width = area.width / across as u16;
    for (at, glance) in glance::vessels(facts, top * across, shown * across) {
        let place = Rect {
            x: area.x + (at % across) as u16 * width,
            y: area.y + (at / across - top) as u16 * HEIGHT,
            width,
            height: HEIGHT,
        };
        card(
            &glance,
            facts,
            marked == Some(at),
            theme,
            place.intersection(area),
            buf,
        );
    }
    if lines > top + shown {
        let more = format!("{} more below ", total - (top + shown) * across);
        let more = text::fit_right(&more, usize::from(area.width));
        let last = usize::from(area.height).saturating_sub(1);
        text::put(buf, area, last, Line::from(Span::styled(more, theme.dim())));
    }
}

fn card(
    glance: &Glance<'_>,
    facts: &Facts,
    marked: bool,
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
        theme,
        picture,
        buf,
    );
    let words = Rect {
        x: area.x + PICTURE.min(area.width),
        width: area.width.saturating_sub(PICTURE),
        ..area
    };
    let cells = usize::from(words.width).saturating_sub(1);
    let name = text::cut(glance.thing.name(), cells);
    let style = if marked {
        theme.selected()
    } else {
        theme.strong()
    };
    let mark = if marked { MARK } else { " " };
    text::put(
        buf,
        words,
        0,
        Line::from(vec![Span::raw(mark), Span::styled(name, style)]),
    );
    for (at, line) in said(glance, facts, theme, cells).into_iter().enumerate() {
        text::put(buf, words, at + 1, line);
    }
}

/// What stands beside the picture below the name.
fn said(glance: &Glance<'_>, facts: &Facts, theme: Theme, cells: usize) -> Vec<Line<'static>> {
    let plain = |words: &str| Line::from(format!(" {}", text::cut(words, cells)));
    let dim = |words: &str| {
        let words = text::cut(words, cells);
        Line::from(Span::styled(format!(" {words}"), theme.dim()))
    };
    if glance.wine.is_none() {
        return vec![dim(&format!("empty, {}", glance.volume()))];
    }
    let mut lines = vec![plain(&glance.holds), plain(&glance.volume())];
    let age = glance.days(facts).map(words::age);
    let stage = glance
        .stage
        .filter(|it| *it != Stage::Unsaid)
        .map(|it| it.label().to_owned());
    let age: Vec<String> = age.into_iter().chain(stage).collect();
    lines.push(dim(&age.join(", ")));
    match (glance.gravity(), glance.free_so2()) {
        (Some(gravity), _) if glance.ferments() => lines.push(plain(&gravity)),
        (_, Some(free)) => {
            lines.push(plain(&format!("SO2 {free}")));
            lines.extend(glance.aim().map(|it| dim(&it)));
        }
        (Some(gravity), None) => lines.push(dim(&gravity)),
        (None, None) => {}
    }
    if let Some(reason) = glance.reason {
        let (key, verb) = glance::next(reason);
        lines.push(Line::from(vec![
            Span::styled(
                format!("{} ", theme::sign(reason.rank)),
                theme.rank(reason.rank),
            ),
            Span::styled(key, theme.key()),
            Span::raw(format!(" {verb}")),
        ]));
    }
    lines
}
