//! The whole screen: what and when at the top, a screen with what is laid over it, a line for what
//! was just said, and the keys that matter here.

use ratatui::Frame;
use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use super::ascii::to_ascii;
use super::commands::{self, Id};
use super::message::{Notice, Tone};
use super::state::{State, Window};
use super::theme::Theme;
use super::update::is_for_vessels;
use super::widgets::{footer, frame, text};
use crate::cellar::timer::{self, Timer};

/// The least size that something can be done on.
const LEAST: (u16, u16) = (60, 16);

/// Columns of the date in the header, where it is short.
const DATE: usize = 11;

/// Draws the whole screen.
pub fn view(state: &State, theme: Theme, screen: &mut Frame<'_>) {
    let area = screen.area();
    if let Some(cursor) = draw(state, theme, area, screen.buffer_mut()) {
        screen.set_cursor_position(cursor);
    }
}

/// Draws the whole screen, and says where the cursor stands if text is typed.
pub fn draw(state: &State, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
    let cursor = if window(area) == Window::TooSmall {
        too_small(area, buf);
        None
    } else {
        draw_parts(state, theme, area, buf)
    };
    if theme.ascii {
        to_ascii(buf);
    }
    cursor.filter(|it| area.contains(*it))
}

/// Whether anything can be shown on a screen of that size.
pub fn window(area: Rect) -> Window {
    if area.width < LEAST.0 || area.height < LEAST.1 {
        Window::TooSmall
    } else {
        Window::Large
    }
}

fn too_small(area: Rect, buf: &mut Buffer) {
    let need = format!(
        "Leesline needs {} columns and {} rows; this is {} by {}. Make the window larger, or press q to leave; no other key does anything.",
        LEAST.0, LEAST.1, area.width, area.height
    );
    for (at, line) in text::wrap(&need, usize::from(area.width))
        .into_iter()
        .enumerate()
    {
        text::put(buf, area, at, line);
    }
}

fn draw_parts(state: &State, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
    let cells = usize::from(area.width);
    let facts = state.facts();
    text::put(buf, area, 0, header(state, theme, cells));
    let main = Rect {
        y: area.y + 1,
        height: area.height - 3,
        ..area
    };
    let mut cursor = None;
    if state.facts.is_some() {
        if state.layers.is_empty() || !frame::covers(main) {
            cursor = state.screens[state.shown].view(facts, theme, main, buf);
        }
        for layer in &state.layers {
            cursor = layer.view(facts, theme, main, buf);
        }
    } else {
        text::put(
            buf,
            main,
            1,
            Line::from(Span::styled("   Opening the cellar book…", theme.dim())),
        );
    }
    let below = Rect {
        y: main.bottom(),
        height: 2,
        ..area
    };
    let hint = || state.top().hint(facts, cells).map(Notice::note);
    // What stands in full above is not said once more, cut off.
    let is_above = |it: &Notice| {
        text::width(&it.sentence) > notice_room(cells)
            && state.top().in_full() == Some(it.sentence.as_str())
    };
    let notice = state.notice.clone().filter(|it| !is_above(it));
    if let Some(notice) = notice.or_else(hint) {
        text::put(buf, below, 0, said(&notice, theme, cells));
    }
    let called = |id| match is_for_vessels(state, id) {
        Some(_) => Some(String::new()),
        None => state.top().called(id, facts),
    };
    text::put(
        buf,
        below,
        1,
        footer::footer(state.place(), called, theme, cells),
    );
    cursor
}

/// Cells that the line for notices has for words.
pub(super) const fn notice_room(cells: usize) -> usize {
    cells.saturating_sub(4)
}

fn said(notice: &Notice, theme: Theme, cells: usize) -> Line<'static> {
    let (sign, style) = match notice.tone {
        Tone::Done => ("√", theme.good()),
        Tone::Note => ("·", theme.dim()),
        Tone::Refused => ("!", theme.warn()),
    };
    let sentence = text::cut(&notice.sentence, notice_room(cells));
    Line::from(Span::styled(format!(" {sign} {sentence}"), style))
}

/// The screens with their digits, the cellar's name, the date. Where there is no room for every
/// title, the one shown keeps its own.
fn header(state: &State, theme: Theme, cells: usize) -> Line<'static> {
    let titles = state.screens.iter().map(|it| it.screen().title());
    let cellar = &state.facts().cellar;
    let settings = cellar.settings();
    let timers = &settings.timers;
    let running = timer::said(timers, state.clock_ms);
    // A timer that runs is worth more than the titles.
    let clock = running.as_deref().map_or(0, text::width);
    let wide = titles.map(|it| text::width(it) + 4).sum::<usize>() + DATE + clock <= cells;
    let mut spans = vec![Span::raw(" ")];
    let mut used = 1;
    for (at, screen) in state.screens.iter().enumerate() {
        let place = screen.screen();
        let key =
            commands::of(Id::Screen(place)).map_or(String::new(), |it| it.keys[0].to_string());
        let style = if at == state.shown {
            theme.selected()
        } else {
            theme.text()
        };
        let name = if wide || at == state.shown {
            format!(" {} ", place.title())
        } else {
            String::new()
        };
        used += text::width(&key) + text::width(&name) + 1;
        spans.push(Span::styled(key, theme.key()));
        spans.push(Span::styled(name, style));
        spans.push(Span::raw(" "));
    }
    let is_up = |it: &Timer| it.is_over(state.clock_ms) && it.said(state.clock_ms).is_some();
    let is_over = timers.iter().any(is_up);
    // While a timer runs it stands where the cellar's name does.
    let name = match running {
        Some(said) => said,
        None if state.facts.is_some() => settings.name,
        None => String::new(),
    };
    let style = if is_over {
        theme.warn()
    } else {
        theme.strong()
    };
    let date = |form: &str| cellar.now.local().format(form).to_string();
    let celsius = settings.temperature_c;
    let celsius = celsius.map_or(String::new(), |it| format!("   {it} °C"));
    let long = format!("   {}{celsius} ", date("%a %-d %b %Y"));
    // The name, or a timer that runs, is worth more than the weekday and the warmth.
    let right = if cells >= 100 && used + text::width(&name) + text::width(&long) <= cells {
        long
    } else {
        format!("   {} ", date("%-d %b"))
    };
    let room = cells.saturating_sub(used + text::width(&right));
    spans.push(Span::styled(text::fit_right(&name, room), style));
    spans.push(Span::styled(right, theme.dim()));
    Line::from(spans)
}
