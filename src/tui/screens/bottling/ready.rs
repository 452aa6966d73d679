//! What comes before the first bottle: gathered, washed, sanitised, dosed, each ticked off with one key and kept in the book, so that
//! an interrupted evening goes on where it was.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use super::page::Page;
use crate::cellar::bottling::{Chore, Plan, Wish};
use crate::cellar::thing::{Key, Thing, field};
use crate::cellar::verbs::{self, Form, Prepared, Refusal};
use crate::tui::commands::{self, Command, Id, Place};
use crate::tui::message::Facts;
use crate::tui::widgets::scroll::Paged;
use crate::tui::widgets::{digits, text};

/// Rows that leave a blank one after what is done too.
const ROOMY: u16 = 12;

/// Columns of a chore's name with its sign.
const NAME: usize = 15;

/// The entry that ticks the present chore off.
pub(super) fn tick(run: Key, facts: &Facts) -> Result<Prepared, Refusal> {
    said_of(run, "bottle ready", facts)
}

/// The entry that says that two corks sit well.
pub(super) fn corks_sit(run: Key, facts: &Facts) -> Result<Prepared, Refusal> {
    said_of(run, "bottle corks", facts)
}

/// The entry that says which size is filled from now on.
pub(super) fn goes_on_in(run: Key, size_ml: i64, facts: &Facts) -> Result<Prepared, Refusal> {
    let size = size_ml.to_string();
    said(run, "bottle size", &[("size", &size)], facts)
}

fn said_of(run: Key, verb: &'static str, facts: &Facts) -> Result<Prepared, Refusal> {
    said(run, verb, &[], facts)
}

fn said(
    run: Key,
    verb: &'static str,
    more: &[(&'static str, &str)],
    facts: &Facts,
) -> Result<Prepared, Refusal> {
    let cellar = &facts.cellar;
    let Some(verb) = verbs::find(verb) else {
        return Err(Refusal::book(None, format!("There is no verb `{verb}`.")));
    };
    let pairs = [("run", cellar.name(run))].into_iter();
    let form = Form::of(pairs.chain(more.iter().copied()));
    let said = verbs::when(&form, cellar.now, cellar.settings().zone)?;
    verbs::prepare(verb, &form, cellar, &said)
}

/// What is still to be done before filling; `None` once that is what there is to do.
pub(super) fn chore(run: &Thing) -> Option<Chore> {
    Some(Chore::of(run)).filter(|it| *it != Chore::Fill)
}

pub(super) fn view(run: &Thing, paged: &Paged, page: &Page<'_>, area: Rect, buf: &mut Buffer) {
    let now = Chore::of(run);
    let hint = "Space ticks off what is done; so does Enter. Esc leaves it as it is.";
    let inner = page.frame(run.name(), hint, area, buf);
    let cellar = &page.facts.cellar;
    let vessel = run.int(field::VESSEL).and_then(|it| cellar.thing(Key(it)));
    let Some(plan) = vessel.and_then(|it| Plan::of(it, &Wish::of(run), cellar)) else {
        return;
    };
    let mut row = 1;
    if let Some(until_ms) = wet_until(run, now, &plan) {
        row = countdown(until_ms, page, inner, buf);
    }
    let row = (row as u16).min(inner.height);
    let below = Rect {
        y: inner.y + row,
        height: inner.height - row,
        ..inner
    };
    let mut lines = to_do(Chore::ALL, run, &plan, page, below);
    // Where not all of it has room, what is done gives way.
    if lines.len() > usize::from(below.height) {
        let at = Chore::ALL.iter().position(|it| *it == now).unwrap_or(0);
        lines = to_do(&Chore::ALL[at..], run, &plan, page, below);
    }
    paged.draw(lines, page.theme, below, buf);
}

/// What there is to do, the present one with all that it takes.
fn to_do(
    chores: &[Chore],
    run: &Thing,
    plan: &Plan<'_>,
    page: &Page<'_>,
    area: Rect,
) -> Vec<Line<'static>> {
    let (facts, theme) = (page.facts, page.theme);
    let now = Chore::of(run);
    let mut lines = Vec::new();
    for chore in chores {
        // Small screens keep their rows for what is still to do.
        if !lines.is_empty() && (*chore > now || area.height > ROOMY) {
            lines.push(Line::default());
        }
        let (sign, style) = match chore.cmp(&now) {
            std::cmp::Ordering::Less => ("x", theme.dim()),
            std::cmp::Ordering::Equal => (">", theme.strong()),
            std::cmp::Ordering::Greater => (" ", theme.text()),
        };
        let name = text::fit(&format!(" {sign} {}", chore.label()), NAME);
        let cells = usize::from(area.width).saturating_sub(NAME + 1);
        // What is done needs no more words.
        let mut words = match chore.cmp(&now) {
            std::cmp::Ordering::Less => vec!["done".to_owned()],
            _ => text::wrap(&chore.takes(plan), cells),
        };
        if *chore == now {
            // What to do meanwhile stands beside the minutes left.
            if let Some(until) = contact(run, now, plan, facts) {
                words = text::wrap(&until, cells);
            }
            let more = short(now, plan).into_iter();
            let more = more.chain(there_and_back(now, plan));
            words.extend(more.flat_map(|it| text::wrap(&it, cells)));
        }
        for (at, line) in words.into_iter().enumerate() {
            let lead = if at == 0 {
                name.clone()
            } else {
                " ".repeat(NAME)
            };
            lines.push(Line::from(vec![
                Span::styled(lead, style),
                Span::styled(line, style),
            ]));
        }
    }
    lines
}

/// When what is wet has been wet long enough.
fn contact(run: &Thing, now: Chore, plan: &Plan<'_>, facts: &Facts) -> Option<String> {
    let over = wet_until(run, now, plan)?;
    let since = run.int(field::CHORE_SINCE)?;
    let clock = |ms: i64| facts.cellar.now.at(ms).local().format("%H:%M").to_string();
    Some(format!(
        "Begun at {}: wet long enough at {}.",
        clock(since),
        clock(over)
    ))
}

/// When the sanitizer has been on the bottles for its minutes, UTC ms.
fn wet_until(run: &Thing, now: Chore, plan: &Plan<'_>) -> Option<i64> {
    let since = run
        .int(field::CHORE_SINCE)
        .filter(|_| now == Chore::Sanitise)?;
    Some(since + (plan.sanitizer.minutes * 60_000.0) as i64)
}

/// Rows from which the list of all that is to do has room below the large digits.
const TALL: u16 = 22;

/// The minutes and seconds left, to be read from the door, and what to do once they are over; gives the
/// row after them.
fn countdown(until_ms: i64, page: &Page<'_>, inner: Rect, buf: &mut Buffer) -> usize {
    let (theme, seconds) = (page.theme, (until_ms - page.facts.clock_ms + 999) / 1_000);
    let (said, style, then) = if seconds > 0 {
        let left = format!("{}:{:02}", seconds / 60, seconds % 60);
        let then = "Keep them wet; Space once the time is up and they are drained.";
        (left, theme.strong(), then)
    } else {
        let then = "Drain them; Space goes on.";
        ("time is up".to_owned(), theme.good(), then)
    };
    let room = if inner.height < TALL {
        5
    } else {
        inner.height - 14
    };
    let area = Rect {
        x: inner.x + 3.min(inner.width),
        width: inner.width.saturating_sub(4),
        height: room.min(inner.height),
        ..inner
    };
    let row = usize::from(digits::words(&said, style, area, buf));
    let then = Page::wrapped(then, 3, theme.strong(), inner);
    Page::lines(then, row, inner, buf)
}

/// Where the dose is written down, and the way back.
fn there_and_back(now: Chore, plan: &Plan<'_>) -> Option<String> {
    let key = |place| commands::of(Id::Screen(place)).map(Command::keys_words);
    let (there, back) = (key(Place::Dosing)?, key(Place::Bottling)?);
    let asks = now == Chore::Dose && plan.sulfite.is_wanted();
    asks.then(|| format!("{there} is dosing, where Enter writes it down; {back} comes back here."))
}

/// What is not there, while it can still be fetched.
fn short(now: Chore, plan: &Plan<'_>) -> Vec<String> {
    let short = plan.short.iter().filter(|_| now == Chore::Gather);
    short.map(|it| format!("! {}.", it.words())).collect()
}
